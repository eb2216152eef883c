package main

import (
	"bytes"
	"context"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"testing"
)

var demo = filepath.Join("..", "..", "testdata", "demo")

// TestSameBytes cuts the demo batch on one core and on two, and from a copy whose files
// were made in another order: every file must be the same, and so the folder's name.
func TestSameBytes(t *testing.T) {
	first := cutDemo(t, demo)
	cores := runtime.GOMAXPROCS(1)
	one := cutDemo(t, demo)
	runtime.GOMAXPROCS(2)
	two := cutDemo(t, demo)
	runtime.GOMAXPROCS(cores)
	for name, other := range map[string]map[string][]byte{
		"second run, one core": one, "third run, two cores": two,
		"files made in another order": cutDemo(t, reversedCopy(t, demo)),
	} {
		for file, want := range first {
			if !bytes.Equal(other[file], want) {
				t.Errorf("%s: %s differs", name, file)
			}
		}
		if len(other) != len(first) {
			t.Errorf("%s: %d files, want %d", name, len(other), len(first))
		}
	}
	if len(first) < 10 {
		t.Errorf("only %d files were compared", len(first))
	}
}

// cutDemo cuts the spring batch of a shop's folder and returns what it wrote, by path.
func cutDemo(t *testing.T, shop string) map[string][]byte {
	t.Helper()
	out := t.TempDir()
	var errs bytes.Buffer
	args := []string{"cut", filepath.Join(shop, "batches", "spring.yaml"), "--effort", "quick", "--out", out}
	if code := run(context.Background(), args, nil, &bytes.Buffer{}, &errs); code != exitDone {
		t.Fatalf("exit code %d: %s", code, errs.String())
	}
	return readFolder(t, out)
}

func readFolder(t *testing.T, root string) map[string][]byte {
	t.Helper()
	files := map[string][]byte{}
	err := fs.WalkDir(os.DirFS(root), ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		files[path], err = os.ReadFile(filepath.Join(root, path))
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// reversedCopy copies a folder, its files made from last to first.
func reversedCopy(t *testing.T, folder string) string {
	t.Helper()
	files := readFolder(t, folder)
	names := make([]string, 0, len(files))
	for name := range files {
		names = append(names, name)
	}
	slices.Sort(names)
	slices.Reverse(names)
	copied := t.TempDir()
	for _, name := range names {
		path := filepath.Join(copied, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, files[name], 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return copied
}
