package batch

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sawbook/cabinets"
	"sawbook/cabinets/shop"
	"sawbook/nest"
)

// terms are those of a quote that is easy to work out by hand.
const terms = `quote:
  date: 2026-11-01
  hour: 48.00
  minutes: {setting: 2, cut: 1, seal: 0.5, assembly: 10, cabinet: 30, hole: 5}
  waste: 5 %
  overhead: 10 %
  margin: 20 %
  tax: 19 %
`

// TestQuoteByHand: two boards of 450 x 500 lie on one sheet of 1000 x 500, for 20.00. At no kerf and no trim that
// takes two crosscuts at one setting. Four edges of each board are sealed, 3.8 m in all.
//
//	setting   1 x  2 min                  1.60
//	cut       2 x  1 min                  1.60
//	seal    3.8 x 0.5 min = 1.9 min       1.52
//	assembly  2 x 10 min                 16.00
//	cabinet   2 x 30 min                 48.00   labour  68.72
//	material 20.00, waste 5 % 1.00, overhead 10 % of 89.72 = 8.97, margin 20 % of 98.69 = 19.74,
//	net 118.43, tax 19 % 22.50, total 140.93
func TestQuoteByHand(t *testing.T) {
	files := map[string]string{}
	for name, text := range boards {
		files[name] = text
	}
	files["shop.yaml"] += terms
	f := shopOf(t, files)
	j, err := Work(context.Background(), f.Load(filepath.Join(f.Root, "layouts/two.yaml"), nil), Options{Effort: nest.Quick})
	if err != nil {
		t.Fatal(err)
	}
	each, whole, err := j.Quotes()
	if err != nil || len(each) != 1 {
		t.Fatal(each, err)
	}
	var got []string
	for _, l := range whole.Lines {
		got = append(got, fmt.Sprintf("%s %.1f %d", l.Operation, l.Quantity, l.Cost))
	}
	want := "setting 1.0 160, cut 2.0 160, seal 3.8 152, assembly 2.0 1600, cabinet 2.0 4800"
	if strings.Join(got, ", ") != want {
		t.Errorf("got %s\nwant %s", strings.Join(got, ", "), want)
	}
	for _, q := range []Quote{each[0], whole} {
		steps := []shop.Money{q.Labour, q.Material, q.Waste, q.Overhead, q.Margin, q.Net, q.Tax, q.Total}
		if fmt.Sprint(steps) != "[6872 2000 100 897 1974 11843 2250 14093]" {
			t.Errorf("%s: %v", q.Title, steps)
		}
	}
	j.Batch.Shop.Quote = nil
	if _, _, err := j.Quotes(); !errors.Is(err, ErrNoQuote) {
		t.Errorf("without terms: %v", err)
	}
}

// TestQuotesAddUp: the interiors' quotes are the batch's to the cent, and material is what the estimate says.
func TestQuotesAddUp(t *testing.T) {
	j := workDemo(t, func(s *shop.Shop) { s.Rates.Cut, s.Rates.Setting = 3, 7 })
	each, whole, err := j.Quotes()
	if err != nil || len(each) < 2 {
		t.Fatal(len(each), err)
	}
	var sum, material shop.Money
	for _, q := range each {
		sum += q.Total
		material += q.Material
	}
	if sum != whole.Total || material != whole.Material || material != j.Estimate.Total-j.Estimate.Saw.Cost {
		t.Errorf("sum %d, whole %d; material %d, whole %d, estimate %d less %d", sum, whole.Total, material, whole.Material, j.Estimate.Total, j.Estimate.Saw.Cost)
	}
}

// TestQuoteCountsWhatIsThere: the demo's quote counts, over all vehicles, every joint, hole and pair of slides of its solids.
func TestQuoteCountsWhatIsThere(t *testing.T) {
	j := workDemo(t, nil)
	want := map[shop.Operation]float64{}
	for _, v := range j.Batch.Vehicles {
		for _, c := range v.Interior.Cabinets {
			want[shop.OpCabinet]++
			want[shop.OpJoint] += float64(len(c.Solid.Joints))
			for _, h := range c.Solid.Hardware {
				if len(h.Item.Lengths) > 0 {
					want[shop.OpDrawer] += float64(h.Count)
				}
			}
			for _, p := range c.Solid.Parts {
				for _, f := range p.Features {
					if f.Kind == cabinets.Hole || f.Kind == cabinets.EdgeHole {
						want[shop.OpHole]++
					}
				}
			}
		}
	}
	_, whole, err := j.Quotes()
	if err != nil {
		t.Fatal(err)
	}
	for op, n := range want {
		i := slices.IndexFunc(whole.Lines, func(l QuoteLine) bool { return l.Operation == op })
		if n == 0 || i < 0 || whole.Lines[i].Quantity != n {
			t.Errorf("%s: want %v of %v", op, n, whole.Lines)
		}
	}
}
