package migrate

import (
	"path/filepath"
	"testing"

	"sawbook/cabinets/source"
)

// Every file that comes with the tool tells its form, so that a copy of it can be migrated once forms have changed.
func TestFilesTellTheirForm(t *testing.T) {
	for _, pattern := range []string{
		"cabinets/library/*.yaml", "cmd/sawbook/starter/*.yaml", "cmd/sawbook/starter/*/*.yaml", "testdata/demo/*.yaml", "testdata/demo/*/*.yaml",
	} {
		paths, err := filepath.Glob(filepath.Join("..", "..", filepath.FromSlash(pattern)))
		if err != nil || len(paths) == 0 {
			t.Errorf("%s: %d files, %v", pattern, len(paths), err)
		}
		for _, path := range paths {
			faults := &source.Collector{}
			if form := source.ReadFile(faults, path, path).Form(); form != source.Form || faults.Err() != nil {
				t.Errorf("%s has form %d, want %d: %v", path, form, source.Form, faults.Err())
			}
		}
	}
}
