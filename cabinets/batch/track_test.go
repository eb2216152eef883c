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

// trackShop breaks down sheets of 2500 x 1250 x 12 mm at 700 kg/m3, 26.25 kg each, until a
// piece weighs no more than lift kg. A break-down cut takes 3 + 2.2 + 3 = 8.2 mm.
func trackShop(lift float64) *shop.Shop {
	s := listShop(-1)
	s.Saw.LeastLength, s.Saw.LeastWidth = 0, 0
	m := s.Materials[0]
	m.Nominal, m.Thickness, m.Density = 12*measure.Millimetre, 12*measure.Millimetre, 700
	s.Saw.Track = &shop.Track{Kerf: 2200 * measure.Micrometre, Rail: 2700 * measure.Millimetre, Allowance: 3 * measure.Millimetre, Lift: lift}
	return s
}

// TestBreakDownByHand: 2480 x 1230 mm within the trim weigh 25.62 kg. What is left of the
// sheet goes with the last group.
func TestBreakDownByHand(t *testing.T) {
	for _, test := range []struct {
		name, list  string
		lift        float64
		first, want string
	}{
		// 16 kg are 2480 x 768, so there may be up to 2 break-down cuts, and one suffices: of the
		// 2 x 5 mm that they may take more than the blade, 5 come off the top with the trim.
		// 10 + 600 + 8.2 + 616.8 + 15 = 1250.
		{"in two", "shelf,1200,600,4,length\n", 16, "rip", "trim 10 10 10 15: 2480 x 600 | 2480 x 616.8"},
		// Six strips of 200 lie three by three: 3 x 200 + 2 x 3.2 = 606.4.
		{"strips together", "lath,2400,200,6,length\n", 16, "rip", "trim 10 10 10 15: 2480 x 606.4 | 2480 x 610.4"},
		// 18 kg are 1742 x 1230: at most one cut, and 800 + 3.2 + 800 + 3.2 + 65.4 = 1671.8.
		{"crosswise", "side,800,1210,3,length\n", 18, "crosscut", "trim 10 10 10 10: 800 x 1230 | 1671.8 x 1230"},
		// 6.6 kg are 2480 x 316.8: up to 6 cuts, so 1230 - 6 x 5 = 1200 mm are ripped. A part of
		// that width leaves nothing to rip, so the sheet is broken down crosswise: 6.6 kg are
		// 638.8 x 1230, up to 6 cuts again, of whose 30 mm one takes 5. 10 + 20 + 8.2 + 2426.8 + 35 = 2500.
		{"spanned", "strip,1200,20,1,any\n", 6.6, "rip", "trim 10 35 10 40: 20 x 1200 | 2426.8 x 1200"},
		// Light enough as it is.
		{"light", "shelf,1200,600,4,length\n", 26, "rip", "trim 10 10 10 10:"},
	} {
		s := trackShop(test.lift)
		s.Saw.First = test.first
		j := workList(t, context.Background(), s, test.list)
		m := &j.Materials[0]
		if len(m.Patterns) != 1 || len(j.Findings) > 0 {
			t.Errorf("%s: %d patterns, findings %+v", test.name, len(m.Patterns), j.Findings)
			continue
		}
		p := &m.Patterns[0]
		got := "trim"
		for _, trim := range p.Trim {
			got += " " + trim.Exact()
		}
		got += ":"
		for i, a := range p.BrokenDown() {
			if i > 0 {
				got += " |"
			}
			got += " " + a.Length.Exact() + " x " + a.Width.Exact()
		}
		if got != test.want {
			t.Errorf("%s:\ngot  %s\nwant %s", test.name, got, test.want)
		}
	}
}

// TestSawnPiecesFillTheSheet: as the track saw leaves them, the pieces of a sheet and its
// kerfs between them are the whole sheet, the trim included.
func TestSawnPiecesFillTheSheet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := trackShop(rapid.Float64Range(6.6, 27).Draw(t, "lift"))
		s.Saw.First = rapid.SampledFrom([]string{"", "rip", "crosscut"}).Draw(t, "first")
		if s.Saw.First != "rip" && rapid.Bool().Draw(t, "short rail") {
			s.Saw.Track.Rail = 1300 * measure.Millimetre // so that no rip comes first
		}
		s.Saw.Stages = rapid.IntRange(0, 3).Draw(t, "stages")
		if s.Saw.Stages == 1 {
			s.Saw.Stages = 2
		}
		var list strings.Builder
		count := 0
		for i := range rapid.IntRange(1, 5).Draw(t, "kinds") {
			n := rapid.IntRange(1, 12).Draw(t, "count")
			count += n
			// Multiples of 5 mm often span what is left of a sheet whose break-down cuts take 5 mm more.
			step := rapid.SampledFrom([]int{1, 5}).Draw(t, "step")
			fmt.Fprintf(&list, "p%d,%d,%d,%d,%s\n", i, step*rapid.IntRange(20/step, 2300/step).Draw(t, "length"), step*rapid.IntRange(20/step, 1100/step).Draw(t, "width"),
				n, rapid.SampledFrom([]string{"length", "any"}).Draw(t, "grain"))
		}
		j, err := tryList(context.Background(), s, list.String())
		if err != nil {
			t.Fatalf("%v\n%s", err, list.String())
		}
		m := &j.Materials[0]
		if n := m.Unplaced(); n > 0 {
			t.Fatalf("%d parts of %d on no sheet\n%s", n, count, list.String())
		}
		for i := range m.Patterns {
			p := &m.Patterns[i]
			end, whole := -s.Saw.Track.Kerf, measure.Length(0)
			for _, a := range p.BrokenDown() {
				b := p.Sawn(a)
				start, size, across := b.X, b.Length, b.Y == 0 && b.Width == p.Sheet.Width
				if whole = p.Sheet.Length; p.Cuts[0].Rip {
					start, size, whole = b.Y, b.Width, p.Sheet.Width
					across = b.X == 0 && b.Length == p.Sheet.Length
				}
				if start != end+s.Saw.Track.Kerf || !across {
					t.Errorf("%+v does not lie beside what ends at %s", b, end.Exact())
				}
				end = start + size
			}
			if end > 0 && end != whole {
				t.Errorf("the pieces end at %s of %s", end.Exact(), whole.Exact())
			}
		}
	})
}
