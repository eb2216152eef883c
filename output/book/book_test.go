package book

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"testing"

	"sawbook/output/internal/sample"
)

func TestLook(t *testing.T) {
	dir := os.Getenv("LOOK")
	if dir == "" {
		t.Skip()
	}
	o := sample.Metric(2, 25)
	o.Patterns = 5
	err := WriteFolder(sample.Job(o), func(name string, write func(io.Writer) error) error {
		var b bytes.Buffer
		if err := write(&b); err != nil {
			return err
		}
		path := filepath.Join(dir, "book", name)
		os.MkdirAll(filepath.Dir(path), 0o755)
		return os.WriteFile(path, b.Bytes(), 0o644)
	})
	if err != nil {
		t.Fatal(err)
	}
}
