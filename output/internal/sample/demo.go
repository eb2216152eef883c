package sample

import (
	"fmt"
	"os"
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

// Many works a batch of so many vehicles out as Demo does: as many of each of the demo's interiors.
func Many(t testing.TB, vehicles int) *batch.Job {
	t.Helper()
	root := filepath.Join(t.TempDir(), "shop")
	if err := os.CopyFS(root, os.DirFS(filepath.Join("..", "..", "testdata", "demo"))); err != nil {
		t.Fatal(err)
	}
	text := "sawbook: 1\nbatch: many\nvehicles:\n"
	for i, name := range []string{"curlew", "dunlin"} {
		text += fmt.Sprintf("  - {layout: %s, serials: [", name)
		for n := range vehicles / 2 {
			text += fmt.Sprintf("%d, ", 1000*(i+1)+n)
		}
		text += "]}\n"
	}
	file := filepath.Join(root, "batches", "many.yaml")
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return work(t, root, file, func(*shop.Shop) {})
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
