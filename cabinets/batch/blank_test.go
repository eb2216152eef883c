package batch

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"sawbook/cabinets/measure"

	"pgregory.net/rapid"
)

// smallSaw is a saw whose smallest part is 150 x 40 mm, and its blade 3.2 mm.
func smallSaw(t interface{ Helper() }) func(list string) (*Job, error) {
	t.Helper()
	s := listShop(-1)
	s.Saw.LeastLength, s.Saw.LeastWidth = 150e6, 40e6
	return func(list string) (*Job, error) {
		list, step := strings.CutSuffix(list, " step\n")
		if s.Saw.Step = 0; step {
			s.Saw.Step = measure.Millimetre / 2
		}
		return tryList(context.Background(), s, list)
	}
}

// TestBlanksByHand: what is too short or too narrow comes from a blank that leaves 150 mm
// along the strip and 40 mm across to hold by, and is at most 4 times as large as that each
// way, but for the last part.
func TestBlanksByHand(t *testing.T) {
	for _, test := range []struct{ list, want string }{
		// 600 - 150 holds 7 of 60 + 3.2, 160 - 40 holds 3 of 30 + 3.2: 21 a blank, 10 in two
		// strips of 5. 5 x 63.2 + 150 = 466, 2 x 33.2 + 40 = 106.4; two rips, ten crosscuts.
		{"stop,60,30,10,length\n", "1 × sheet-B1 466 x 106.4: 10 stop, 12 cuts"},
		// 22 go into two blanks of 11: 6 x 63.2 + 150 = 529.2; two strips.
		{"stop,60,30,22,length\n", "2 × sheet-B1 529.2 x 106.4: 11 stop, 13 cuts"},
		// 43 into three: 15 + 15 + 13, three strips of 5; 13 in two of 7 and 6.
		{"stop,60,30,43,length\n", "2 × sheet-B1 466 x 139.6: 15 stop, 18 cuts; 1 × sheet-B2 592.4 x 106.4: 13 stop, 15 cuts"},
		// Long but narrow: it is ripped off a blank of its own length.
		{"lath,800,25,4,length\n", "1 × sheet-B1 800 x 152.8: 4 lath, 4 cuts"},
		// Wide but short: it is crosscut off a strip of its own width.
		{"block,100,90,2,length\n", "1 × sheet-B1 356.4 x 90: 2 block, 2 cuts"},
		// The same with the grain along the short side: the blank's length is along it.
		{"block,90,100,2,length\n", "1 × sheet-B1 90 x 356.4: 2 block, 2 cuts"},
		// The fence is set in steps of 0.5 mm: 63.2 + 150 = 213.2, 33.2 + 40 = 73.2.
		{"stop,60,30,1,length step\n", "1 × sheet-B1 213.5 x 73.5: 1 stop, 2 cuts"},
		// Whichever way round, 40 x 150 is not too small.
		{"rail,40,150,3,length\n", ""},
	} {
		j, err := smallSaw(t)(test.list)
		if err != nil {
			t.Errorf("%q: %v", test.list, err)
			continue
		}
		var got []string
		for _, b := range j.Materials[0].Blanks {
			got = append(got, fmt.Sprintf("%d × %s %s x %s: %d %s, %d cuts", b.Times, b.Blank.ID,
				b.Sheet.Length.Exact(), b.Sheet.Width.Exact(), len(b.Parts), b.Parts[0].Piece.ID, len(b.Cuts)))
		}
		if text := strings.Join(got, "; "); text != strings.ReplaceAll(test.want, "sheet-B", "A-B") {
			t.Errorf("%q:\ngot  %s\nwant %s", test.list, text, test.want)
		}
	}
}

// TestSmallPartsAreCut: whatever the sizes, every plan stands up to the verifier, which
// refuses a small part on a sheet and a blank that is too small to hold; every part is
// delivered, and the sheets' use counts parts, not blanks.
func TestSmallPartsAreCut(t *testing.T) {
	work := smallSaw(t)
	rapid.Check(t, func(t *rapid.T) {
		var list strings.Builder
		parts, area := map[string]int{}, 0.0
		for i := range rapid.IntRange(1, 4).Draw(t, "kinds") {
			length, width := rapid.IntRange(5, 400).Draw(t, "length"), rapid.IntRange(5, 120).Draw(t, "width")
			count, grain := rapid.IntRange(1, 30).Draw(t, "count"), rapid.SampledFrom([]string{"length", "width", "any"}).Draw(t, "grain")
			name := fmt.Sprintf("p%d", i)
			fmt.Fprintf(&list, "%s,%d,%d,%d,%s\n", name, length, width, count, grain)
			parts[name], area = count, area+float64(count*length*width)/1e6
		}
		j, err := work(list.String())
		if err != nil {
			t.Fatal(err)
		}
		if n := j.Materials[0].Unplaced(); n > 0 {
			t.Fatalf("%d parts on no sheet", n)
		}
		for _, p := range j.Materials[0].AllPatterns() {
			for _, l := range p.Parts {
				parts[l.Piece.ID] -= p.Times
				if p.Blank == nil && j.Batch.Shop.Saw.TooSmall(l.Length, l.Width) {
					t.Errorf("%s lies on a sheet", l.Piece.ID)
				}
			}
		}
		for name, missing := range parts {
			if !strings.Contains(name, "-B") && missing != 0 {
				t.Errorf("%d of %s missing", missing, name)
			}
		}
		if use := j.Estimate.Sheets[0].Parts; use < area-1e-9 || use > area+1e-9 {
			t.Errorf("%g m2 of parts used, %g ordered", use, area)
		}
	})
}

// TestBlanksRunOutOfStock: of 17 parts, a blank that a sheet can hold has at most 4 in each
// of 3 strips, so there are two blanks, for 9 and for 8, and one sheet has room for one of
// them. What is missing is counted in parts.
func TestBlanksRunOutOfStock(t *testing.T) {
	s := listShop(1)
	s.Saw.LeastLength, s.Saw.LeastWidth = 600*measure.Millimetre, 200*measure.Millimetre
	s.Materials[0].Sheets[0].Length, s.Materials[0].Sheets[0].Width = 1500*measure.Millimetre, 850*measure.Millimetre
	// 600 + 4 x (190 + 3.2) = 1372.8 <= 1480 < 1566; 3 x (160 + 3.2) <= 4 x 200 - 200.
	j, err := tryList(context.Background(), s, "block,190,160,17,length\n")
	if err != nil {
		t.Fatal(err)
	}
	m := &j.Materials[0]
	if got := fmt.Sprint(m.Unplaced(), len(m.Blanks), len(m.AllPatterns())-len(m.Patterns)); got != "8 2 1" {
		t.Errorf("unplaced, blanks, blanks cut: %s", got)
	}
}
