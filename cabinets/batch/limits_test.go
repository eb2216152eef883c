package batch

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"

	"pgregory.net/rapid"
)

// TestSawLimitsAreKept: whatever the parts, no cut is longer than the saw allows, and the
// first is in the direction that the shop asks for unless a part spans the sheet. The same
// plan is refused where the limit is a nanometre less than its longest cut, or the other
// direction is asked for.
func TestSawLimitsAreKept(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := listShop(-1)
		s.Saw.LeastLength, s.Saw.LeastWidth = 0, 0
		s.Saw.First = rapid.SampledFrom([]string{"", "rip", "crosscut"}).Draw(t, "first")
		// A full sheet is 2480 x 1230 within its trim: with less than both there is no first cut.
		s.Saw.LongestRip = measure.Length(rapid.SampledFrom([]int{0, 1500, 2480}).Draw(t, "rip")) * measure.Millimetre
		s.Saw.LongestCrosscut = measure.Length(rapid.SampledFrom([]int{0, 1230, 1300}).Draw(t, "crosscut")) * measure.Millimetre
		if s.Saw.LongestRip == 1500*measure.Millimetre && s.Saw.First == "rip" {
			s.Saw.First = ""
		}
		var list strings.Builder
		for i := range rapid.IntRange(1, 5).Draw(t, "kinds") {
			fmt.Fprintf(&list, "p%d,%d,%d,%d,any\n", i, rapid.IntRange(50, 1200).Draw(t, "length"), rapid.IntRange(50, 1100).Draw(t, "width"), rapid.IntRange(1, 9).Draw(t, "count"))
		}
		j, err := tryList(context.Background(), s, list.String())
		if err != nil {
			t.Fatal(err)
		}
		m := &j.Materials[0]
		if n := m.Unplaced(); n > 0 {
			t.Fatalf("%d parts on no sheet: %s", n, list.String())
		}
		var rip, crosscut measure.Length
		for i := range m.Patterns {
			p := &m.Patterns[i]
			for _, c := range p.Cuts {
				if c.Rip {
					rip = max(rip, c.X2-c.X1)
				} else {
					crosscut = max(crosscut, c.Y2-c.Y1)
				}
			}
			if first := p.Cuts[0]; s.Saw.First != "" && first.Rip != (s.Saw.First == "rip") {
				t.Errorf("pattern %d begins with %+v", p.Number, first) // no part here spans a sheet
			}
		}
		if s.Saw.LongestRip > 0 && rip > s.Saw.LongestRip || s.Saw.LongestCrosscut > 0 && crosscut > s.Saw.LongestCrosscut {
			t.Errorf("a rip of %s and a crosscut of %s", rip.Exact(), crosscut.Exact())
		}
		for name, change := range map[string]func(*shop.Saw){
			"at most " + (rip - 1).Exact():   func(saw *shop.Saw) { saw.LongestRip = rip - 1 },
			"most " + (crosscut - 1).Exact(): func(saw *shop.Saw) { saw.LongestCrosscut = crosscut - 1 },
			"comes first": func(saw *shop.Saw) {
				if saw.First = "rip"; m.Patterns[0].Cuts[0].Rip {
					saw.First = "crosscut"
				}
			},
		} {
			if rip == 0 && strings.HasPrefix(name, "at") || crosscut == 0 && strings.HasPrefix(name, "most") {
				continue
			}
			saw := m.Saw
			change(&m.Saw)
			if err := j.verify(); err == nil || !strings.Contains(err.Error(), name) {
				t.Errorf("%s: verified as %v", name, err)
			}
			m.Saw = saw
		}
	})
}

// TestOldOffcutsAreUsedWhereCheaper: one shelf fits an offcut and a new sheet, two fit two
// offcuts or one sheet of 74.00. What costs less is taken, never more than there is of it.
func TestOldOffcutsAreUsedWhereCheaper(t *testing.T) {
	for _, test := range []struct {
		price   shop.Money // of an offcut
		shelves int
		across  bool // the offcuts' grain
		want    string
	}{
		{1000, 1, false, "O1 10.00"},
		{7399, 1, false, "O1 73.99"},
		{7401, 1, false, "new 74.00"},
		{3600, 2, false, "O1 O2 72.00"},
		{3800, 2, false, "new 74.00"},
		{0, 1, true, "new 74.00"},           // the shelf is too long across them
		{1000, 8, false, "O1 O2 new 94.00"}, // six on a sheet, one on each offcut
	} {
		s := listShop(-1)
		for i := range 2 {
			s.Materials[0].Sheets = append(s.Materials[0].Sheets, shop.Sheet{Length: 1180 * measure.Millimetre, Width: 640 * measure.Millimetre,
				GrainAcross: test.across, Price: test.price, Stock: 1, Offcut: fmt.Sprintf("O%d", i+1), Trimmed: true})
		}
		j := workList(t, context.Background(), s, fmt.Sprintf("shelf,1180,400,%d,length\n", test.shelves))
		used := map[string]int{}
		for _, p := range j.Materials[0].Patterns {
			used[p.Sheet.Offcut] += p.Times
		}
		got := ""
		for _, label := range []string{"O1", "O2", ""} {
			if name := label; used[label] > 0 {
				if name == "" {
					name = "new"
				}
				got += name + " "
			}
		}
		if got += fmt.Sprintf("%.2f", float64(j.Estimate.Total)/100); got != test.want {
			t.Errorf("%+v: %s", test, got)
		}
	}
}
