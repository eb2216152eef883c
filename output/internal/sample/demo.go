package sample

import (
	"path/filepath"
	"testing"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
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
	return work(t, root, file, func(s *shop.Shop) { s.Style = style })
}

// Layout works a layout of a shop's folder out as Demo does.
func Layout(t testing.TB, root, name string) *batch.Job {
	t.Helper()
	return work(t, root, filepath.Join(root, "layouts", name+".yaml"), func(*shop.Shop) {})
}

// Little is the effort that both take.
var Little = batch.Options{Effort: nest.Quick}

func work(t testing.TB, root, file string, change func(*shop.Shop)) *batch.Job {
	t.Helper()
	faults := &source.Collector{}
	f := batch.OpenFolder(faults, root)
	if err := faults.Err(); err != nil {
		t.Fatal(err)
	}
	change(f.Shop)
	b := f.Load(file, nil)
	if err := faults.Err(); err != nil {
		t.Fatal(err)
	}
	job, err := batch.Work(t.Context(), b, Little)
	if err != nil {
		t.Fatal(err)
	}
	return job
}
