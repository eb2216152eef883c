package batch

import (
	"context"
	"fmt"
	"maps"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sawbook/nest"
)

// TestPriceOptions works prices by hand. A sheet of 1000 x 500 mm for 20.00 gives two boards of 450 mm, so
// that a third costs a sheet; by area it is half of the first two, 10.00. The long board needs the third
// and is compared with it: both take two sheets, and its 0.225 m2 more count 40.00/0.675 m2, 13.33. One
// board less saves no sheet, and half of one by area. What excludes a chosen option is not priced.
func TestPriceOptions(t *testing.T) {
	files := maps.Clone(boards)
	files["layouts/two.yaml"] += `options:
  long: {needs: [third], change: {third: {sizes: {width: 900 mm}}}}
  third: {add: {third: {cabinet: board, at: [3 m, 0, 0]}}}
  one: {excludes: [third], drop: [left]}
  both: {needs: [sides], add: {fourth: {cabinet: board, at: [3 m, 1 m, 0]}}}
  sides: {needs: [both], add: {fifth: {cabinet: board, at: [1 m, 1 m, 0]}}}
`
	for _, c := range []struct {
		chosen []string
		want   []string
	}{
		{nil, []string{"long: +0.00 to buy, +13.33 by share, with third", "third: +20.00 to buy, +10.00 by share, with ", "one: +0.00 to buy, +-10.00 by share, with ",
			"both: +20.00 to buy, +20.00 by share, with sides", "sides: +20.00 to buy, +20.00 by share, with both"}},
		{[]string{"third"}, []string{"long: +0.00 to buy, +13.33 by share, with ", "one: excluded by third",
			"both: +20.00 to buy, +26.67 by share, with sides", "sides: +20.00 to buy, +26.67 by share, with both"}},
	} {
		f := shopOf(t, files)
		what := filepath.Join(f.Root, "layouts/two.yaml")
		job, err := Work(context.Background(), f.Load(what, c.chosen), Options{Effort: nest.Quick})
		if err != nil {
			t.Fatal(err)
		}
		priced, err := f.PriceOptions(context.Background(), what, c.chosen, Options{Effort: nest.Quick})
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, p := range priced {
			if p.ExcludedBy != "" {
				got = append(got, p.Option+": excluded by "+p.ExcludedBy)
				continue
			}
			from := &p.From(job).Estimate
			got = append(got, fmt.Sprintf("%s: +%.2f to buy, +%.2f by share, with %s", p.Option, float64(p.Estimate.Total-from.Total)/100,
				float64(p.Estimate.ShareCost(from)-from.ShareCost(from))/100, strings.Join(p.With, ", ")))
		}
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%q: %s", c.chosen, diff)
		}
	}
}
