package folder

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"
)

func text(s string) func(io.Writer) error {
	return func(w io.Writer) error { _, err := io.WriteString(w, s); return err }
}

func TestWriteMakesTheFolderWhole(t *testing.T) {
	parent := filepath.Join(t.TempDir(), "out")
	path, fresh, err := Write(parent, "spring-1", func(create Create) error {
		return errors.Join(create("index.html", text("one")), create("diagrams/a-1.svg", text("two")))
	})
	if err != nil || !fresh {
		t.Fatalf("fresh %v, error %v", fresh, err)
	}
	got, err := os.ReadFile(filepath.Join(path, "diagrams", "a-1.svg"))
	if err != nil || string(got) != "two" {
		t.Errorf("diagrams/a-1.svg holds %q, error %v", got, err)
	}
	if names := list(t, parent); len(names) != 1 {
		t.Errorf("the parent holds %v, want spring-1 alone", names)
	}
}

func TestWriteLeavesNothingWhenFillingFails(t *testing.T) {
	parent := t.TempDir()
	broken := errors.New("broken")
	_, _, err := Write(parent, "spring-1", func(create Create) error {
		return errors.Join(create("index.html", text("one")), create("parts.csv", func(io.Writer) error { return broken }))
	})
	if !errors.Is(err, broken) {
		t.Errorf("error %v, want %v", err, broken)
	}
	if names := list(t, parent); len(names) != 0 {
		t.Errorf("the parent holds %v, want nothing", names)
	}
}

func TestWriteLeavesAnExistingFolderAlone(t *testing.T) {
	parent := t.TempDir()
	fill := func(s string) func(Create) error {
		return func(create Create) error { return create("index.html", text(s)) }
	}
	if _, _, err := Write(parent, "spring-1", fill("first")); err != nil {
		t.Fatal(err)
	}
	path, fresh, err := Write(parent, "spring-1", fill("second"))
	if err != nil || fresh {
		t.Fatalf("fresh %v, error %v", fresh, err)
	}
	if got, _ := os.ReadFile(filepath.Join(path, "index.html")); string(got) != "first" {
		t.Errorf("index.html holds %q, want the first run's", got)
	}
}

func TestWriteRefusesAFileInTheWay(t *testing.T) {
	parent := t.TempDir()
	if err := os.WriteFile(filepath.Join(parent, "spring-1"), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	_, _, err := Write(parent, "spring-1", func(Create) error { return nil })
	want := filepath.Join(parent, "spring-1") + " is in the way: it is no folder\nhint: move it away, or name another folder with --out"
	if err == nil || err.Error() != want {
		t.Errorf("error %v, want %s", err, want)
	}
}

// A file that is replaced keeps its mode; nothing else is left beside it, and where it cannot be written the one before stays.
func TestReplace(t *testing.T) {
	parent := t.TempDir()
	path := filepath.Join(parent, "van.yaml")
	if err := Replace(path, "first"); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(path, 0o640); err != nil {
		t.Fatal(err)
	}
	if err := Replace(path, "second"); err != nil {
		t.Fatal(err)
	}
	info, err := os.Stat(path)
	if err != nil || info.Mode().Perm() != 0o640 {
		t.Errorf("its mode is %v, error %v", info.Mode(), err)
	}
	if got, _ := os.ReadFile(path); string(got) != "second" {
		t.Errorf("it holds %q", got)
	}
	if names := list(t, parent); len(names) != 1 {
		t.Errorf("the folder holds %q", names)
	}
	if err := Replace(filepath.Join(parent, "none", "van.yaml"), "third"); err == nil {
		t.Error("a file is written to a folder that is not there")
	}
}

func list(t *testing.T, folder string) (names []string) {
	t.Helper()
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}
