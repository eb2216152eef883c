package batch

import (
	"context"
	"fmt"
	"maps"
	"path/filepath"
	"strings"
	"testing"

	"sawbook/nest"
)

// TestPlanLarger: four boards of 450 x 500 mm, by hand. A sheet of 500 x 500 holds one, of 1000 x 500 two, of
// 2000 x 500 all four; of each a tenth is waste.
func TestPlanLarger(t *testing.T) {
	for _, c := range []struct{ what, sheets, want string }{
		{"small sheets are cheap", "{size: 500 x 500 mm, price: 8}, {size: 1000 x 500 mm, price: 20}, {size: 2000 x 500 mm, price: 36}",
			"from 1000 mm: 4 sheets for 3200 now, 1 for 3600 with, at least 1 for 3600, 10.0 % waste"},
		{"of equal sheets none is larger", "{size: 500 x 500 mm, price: 8}, {size: 500 x 500 mm, grain: width, price: 9}", "nothing"},
		{"the largest are taken", "{size: 500 x 500 mm, price: 8}, {size: 2000 x 500 mm, price: 20}", "nothing"},
		{"too few of the larger", "{size: 500 x 500 mm, price: 8}, {size: 1000 x 500 mm, price: 20, stock: 1}", "nothing"},
		{"offcuts stay", "{size: 500 x 500 mm, price: 8}, {size: 1000 x 500 mm, price: 20}, {offcut: OC-1, size: 450 x 500 mm, price: 1}, {offcut: OC-2, size: 450 x 500 mm, price: 1}, {offcut: OC-3, size: 450 x 500 mm, price: 1}",
			"from 1000 mm: 4 sheets for 1100 now, 3 for 2200 with, at least 2 for 2200, 5.3 % waste"},
	} {
		files := maps.Clone(boards)
		files["shop.yaml"] = strings.Replace(files["shop.yaml"], "[{size: 1000 x 500 mm, grain: length, price: 20.00}]", "["+c.sheets+"]", 1)
		files["layouts/two.yaml"] = strings.ReplaceAll(files["layouts/two.yaml"], "cabinet: board,", "cabinet: board, sizes: {many: 2},")
		f := shopOf(t, files)
		job, err := Work(context.Background(), f.Load(filepath.Join(f.Root, "layouts/two.yaml"), nil), Options{Effort: nest.Quick})
		if err != nil {
			t.Fatal(err)
		}
		if err := job.PlanLarger(context.Background()); err != nil {
			t.Fatal(err)
		}
		got := "nothing"
		for _, l := range job.Larger {
			got = fmt.Sprintf("from %g mm: %d sheets for %d now, %d for %d with, at least %d for %d, %.1f %% waste", l.Least.Length.MM(), l.Now.Sheets, l.Now.Cost,
				l.With.Sheets, l.With.Cost, l.With.Bound, l.With.Least, 100*l.With.Waste())
		}
		if got != c.want {
			t.Errorf("%s: %s, want %s", c.what, got, c.want)
		}
	}
}
