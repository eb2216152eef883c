package sample

import (
	"path/filepath"
	"testing"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
	"sawbook/nest"
)

// Demo works the demo shop's spring batch out with little effort, for the tests of a package
// beside this one's parent.
func Demo(t testing.TB, style measure.Style) *batch.Job {
	t.Helper()
	file := filepath.Join("..", "..", "testdata", "demo", "batches", "spring.yaml")
	root, err := batch.FindFolder(file)
	if err != nil {
		t.Fatal(err)
	}
	faults := &source.Collector{}
	f := batch.OpenFolder(faults, root)
	if err := faults.Err(); err != nil {
		t.Fatal(err)
	}
	f.Shop.Style = style
	b := f.Load(file, nil)
	if err := faults.Err(); err != nil {
		t.Fatal(err)
	}
	job, err := batch.Work(t.Context(), b, batch.Options{Effort: nest.Quick})
	if err != nil {
		t.Fatal(err)
	}
	return job
}
