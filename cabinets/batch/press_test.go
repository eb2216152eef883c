package batch

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
	"sawbook/nest"
)

const milli = measure.Millimetre

// pressShop presses fronts of birch 12 mm (11.9 measured), laminate 0.7 mm and backer
// 0.5 mm (NEMA LD 3 as quoted in Architectural Woodwork Standards 2009, section 4).
func pressShop(t *testing.T, press string) *shop.Shop {
	t.Helper()
	var c source.Collector
	s := shop.Read(&c, source.Read(&c, "shop.yaml", strings.NewReader(`
shop: Press
currency: EUR
saw: {kerf: 3 mm, trim: 10 mm, step: 0.5 mm, keep: 2000 x 1000 mm}
materials:
  birch: {nominal: 12 mm, thickness: 11.9 mm, density: 700, sheets: [{size: 2500 x 1250 mm, price: 70}]}
  grey: {nominal: 0.7 mm, density: 1400, grain: no, cutter: {kerf: 2 mm, trim: 0}, sheets: [{size: 2500 x 1250 mm, price: 40}]}
  backer: {nominal: 0.5 mm, density: 1400, grain: no, cutter: {kerf: 2 mm, trim: 0}, sheets: [{size: 2500 x 1250 mm, price: 15}]}
  front: {press: {core: birch, face: grey, adhesive: contact, `+press+`}}
adhesives:
  contact: {covers: 5, tin: 0.5, price: 12}
felt: {name: Felt, width: 19 mm, thickness: 2 mm, pressed: 1.5 mm, roll: 10 m, price: 9, narrow: 60 mm}
`)))
	if err := c.Err(); err != nil {
		t.Fatal(err)
	}
	return s
}

// fronts returns a batch of so many vehicles, each with a bank of fronts 600 wide and as
// high as given, from the lowest to the highest, and a side of birch.
func fronts(s *shop.Shop, vehicles int, heights ...measure.Length) *Batch {
	front, birch := s.Material("front"), s.Material("birch")
	solid := &cabinets.Solid{}
	z := measure.Length(0)
	for i, h := range heights {
		solid.Parts = append(solid.Parts, cabinets.Part{Name: fmt.Sprintf("drawer-%d.front", i+1), Role: "front", Material: front,
			Long: cabinets.X, Thin: cabinets.Y, Turns: true, Length: 600 * milli, Width: h * milli, Mass: front.SheetMass(0.6 * h.MM() * 1e6 / 1000),
			Box: cabinets.Box{Lo: [3]measure.Length{0, 0, z}, Hi: [3]measure.Length{600 * milli, front.Thickness, z + h*milli}}})
		z += (h + 3) * milli
	}
	solid.Parts = append(solid.Parts, cabinets.Part{Name: "side", Role: "carcass", Material: birch, Long: cabinets.Z, Length: 700 * milli, Width: 500 * milli})
	in := &cabinets.Interior{Layout: &cabinets.Layout{Name: "Van"}, Cabinets: []cabinets.Placed{{Name: "bank", Solid: solid}}}
	b := &Batch{Name: "one", Shop: s}
	for i := range vehicles {
		b.Vehicles = append(b.Vehicles, Vehicle{fmt.Sprint(i + 1), in})
	}
	return b
}

// work works a batch out; what comes of it was replayed from the written plan.
func work(t *testing.T, b *Batch) *Job {
	t.Helper()
	j, err := Work(context.Background(), b, Options{Effort: nest.Quick})
	if err != nil {
		t.Fatal(err)
	}
	return j
}

func (j *Job) material(id string) *Material {
	for i := range j.Materials {
		if j.Materials[i].Of.ID == id {
			return &j.Materials[i]
		}
	}
	return nil
}

func line(t *testing.T, j *Job, group, item string) Line {
	t.Helper()
	at := slices.IndexFunc(j.Estimate.Lines, func(l Line) bool { return l.Group == group && l.Item == item })
	if at < 0 {
		t.Fatalf("no line for %s %s", group, item)
	}
	return j.Estimate.Lines[at]
}

// TestPressedByParts works one front of 600 x 200 by hand: the core is 25 larger each way,
// face and back 10 larger than it.
func TestPressedByParts(t *testing.T) {
	j := work(t, fronts(pressShop(t, "order: parts, back: backer"), 1, 200))
	laid := map[string][]string{}
	for _, m := range j.Materials {
		for _, p := range m.Patterns {
			for _, l := range p.Parts {
				laid[m.Of.ID] = append(laid[m.Of.ID], fmt.Sprintf("%s %s x %s", l.Piece.ID, l.Piece.Length.Exact(), l.Piece.Width.Exact()))
			}
			slices.Sort(laid[m.Of.ID])
		}
	}
	if got, want := fmt.Sprint(laid), "map[backer:[D-B1b 635 x 235] birch:[A-001 700 x 500 D-B1c 625 x 225] grey:[D-B1f 635 x 235]]"; got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	b := j.material("front").Blanks[0]
	var cuts []string
	for _, c := range b.Cuts {
		cuts = append(cuts, fmt.Sprintf("rip %t at %s", c.Rip, c.Setting.Exact()))
	}
	// Two edges are trued by 12.5; what is then cut is 612.5 x 212.5.
	got := fmt.Sprintf("%d x %s of %s x %s, true %v, %v, part at %s, %s", b.Times, b.Blank.ID, b.Sheet.Length.Exact(), b.Sheet.Width.Exact(),
		b.Trim[0].Exact(), cuts, b.Parts[0].X.Exact(), b.Parts[0].Y.Exact())
	if want := "1 x D-B1 of 625 x 225, true 12.5, [rip false at 600 rip true at 200], part at 12.5, 12.5"; got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	if n := j.material("front").Plan.Sheets; n != 0 {
		t.Errorf("%d sheets of what is pressed", n)
	}
	// Both faces of two joints: 2 x 0.625 x 0.225 + 2 x 0.635 x 0.235 = 0.5797 m2 at 5 m2 a litre.
	if l := line(t, j, GroupAdhesive, "contact"); math.Abs(l.Need-0.57970/5) > 1e-9 || l.Buy != 1 || l.Pack != "0.5 l tin" || l.Cost != 1200 {
		t.Errorf("adhesive: %+v", l)
	}
	// The blank counts as the part that comes of it: 0.12 m2 of front, 0.35 m2 of side.
	for _, u := range j.Estimate.Sheets {
		if want := map[string]float64{"birch": 0.47, "grey": 0.12, "backer": 0.12}[u.Material.ID]; math.Abs(u.Parts-want) > 1e-9 {
			t.Errorf("%s: %g m2 of parts, want %g", u.Material.ID, u.Parts, want)
		}
	}
	if len(j.Findings) > 0 || j.material("birch").Unplaced()+j.material("front").Unplaced() > 0 {
		t.Errorf("findings %v", j.Findings)
	}
	if cost := j.Estimate.Total; cost != 7000+4000+1500+1200 {
		t.Errorf("the job costs %d", cost)
	}
}

// TestPressedSheets works the same front in the other order: one sheet of each layer is
// pressed, trimmed and cut; it costs what its layers cost.
func TestPressedSheets(t *testing.T) {
	j := work(t, fronts(pressShop(t, "order: sheets, back: backer"), 1, 200))
	m := j.material("front")
	p := m.Patterns[0]
	got := fmt.Sprintf("%d sheets of %s x %s at %d: %s at %s, %s", m.Plan.Sheets, p.Sheet.Length.Exact(), p.Sheet.Width.Exact(), p.Sheet.Price, p.Parts[0].Piece.ID, p.Parts[0].X.Exact(), p.Parts[0].Y.Exact())
	if want := "1 sheets of 2500 x 1250 at 12500: D-001 at 10, 10"; got != want || len(m.Blanks) > 0 {
		t.Errorf("got %s, %d blanks, want %s", got, len(m.Blanks), want)
	}
	if got := fmt.Sprint(len(j.Materials), j.material("grey") == nil, len(j.material("birch").Pieces)); got != "2 true 1" {
		t.Errorf("layers are cut apart: %s", got)
	}
	// 4 x 2.5 x 1.25 = 12.5 m2 at 5 m2 a litre: five tins of half a litre.
	if l := line(t, j, GroupAdhesive, "contact"); l.Need != 2.5 || l.Buy != 5 {
		t.Errorf("adhesive: %+v", l)
	}
	if front := j.Pieces[len(j.Pieces)-1]; front.Material.Thickness.MM() != 13.1 || front.Count != 1 {
		t.Errorf("the front is %s thick", front.Material.Thickness.Exact())
	}
}

// TestPressedTogether: of four fronts, lowest 300 high, the press takes blanks up to 650 x
// 700: 300 + 3 + 200 + 25 = 528 leaves no room for another 200, so two by two.
func TestPressedTogether(t *testing.T) {
	j := work(t, fronts(pressShop(t, "order: parts, together: 700 x 650 mm, back: backer"), 3, 300, 200, 200, 150))
	var got []string
	for _, b := range j.material("front").Blanks {
		words := fmt.Sprintf("%d x %s %s x %s:", b.Times, b.Blank.ID, b.Blank.Length.Exact(), b.Blank.Width.Exact())
		for _, l := range b.Parts {
			words += fmt.Sprintf(" %s %s-%s", l.Piece.ID, l.Y.Exact(), (l.Y + l.Width).Exact())
		}
		got = append(got, words)
	}
	want := []string{"3 x D-B1 625 x 528: D-001 12.5-312.5 D-002 315.5-515.5", "3 x D-B2 625 x 378: D-002 12.5-212.5 D-003 215.5-365.5"}
	if !slices.Equal(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
	// 200 high fronts are one piece, on both blanks.
	if n := len(j.material("front").BlanksOf(j.Pieces[2])); n != 2 || j.Pieces[2].Count != 6 {
		t.Errorf("%s is on %d blanks, %d in all", j.Pieces[2].ID, n, j.Pieces[2].Count)
	}
}

// TestPressedWithoutSawn: a lid that is sawn out of another front takes no blank, whether
// fronts share blanks or not.
func TestPressedWithoutSawn(t *testing.T) {
	for _, press := range []string{"order: parts, back: backer", "order: parts, together: 700 x 650 mm, back: backer"} {
		b := fronts(pressShop(t, press), 1, 300, 200)
		parts := b.Vehicles[0].Interior.Cabinets[0].Solid.Parts
		parts[1].SawnFrom = parts[0].Name
		j := work(t, b)
		if blanks := j.material("front").Blanks; len(blanks) != 1 || len(blanks[0].Parts) != 1 || blanks[0].Parts[0].Width != 300*milli {
			t.Errorf("%s: %d blanks, the first %+v", press, len(blanks), blanks[0].Parts)
		}
	}
}

// TestPressedShort: there is backer for one blank of three.
func TestPressedShort(t *testing.T) {
	s := pressShop(t, "order: parts, back: backer")
	s.Material("backer").Sheets[0] = shop.Sheet{Length: 700 * milli, Width: 400 * milli, Price: 500, Stock: 1}
	j := work(t, fronts(s, 3, 200))
	m := j.material("front")
	if got := fmt.Sprint(m.Blanks[0].Times, m.Unplaced(), j.material("backer").Unplaced()); got != "1 2 0" {
		t.Errorf("blanks, parts not cut, layers counted as parts: %s", got)
	}
	want := "error backer: D-B1b: 2 of 3 back of D-B1 found no sheet: stock has run out"
	if !slices.ContainsFunc(j.Findings, func(f cabinets.Finding) bool { return fmt.Sprint(f.Level, " ", f.Where, ": ", f.Text) == want }) {
		t.Errorf("findings %v", j.Findings)
	}
}

// TestPressedLike: where face and back are alike, one piece is cut twice.
func TestPressedLike(t *testing.T) {
	j := work(t, fronts(pressShop(t, "order: parts, back: grey"), 2, 200))
	grey := j.material("grey").Pieces
	if len(grey) != 1 || grey[0].Count != 4 || j.material("front").Blanks[0].Times != 2 {
		t.Errorf("%d pieces, %d of the first", len(grey), grey[0].Count)
	}
}

// TestPressedStock: sheets that are pressed come from the stock of their core.
func TestPressedStock(t *testing.T) {
	for stock, want := range map[int]string{1: "[2 sheets of 2500 x 1250 mm are needed, 1 of them to be pressed; 1 are in stock]", 2: "[]"} {
		s := pressShop(t, "order: sheets, back: backer")
		s.Material("birch").Sheets[0].Stock = stock
		s.Material("front").Sheets[0].Layers[0].Stock = stock
		got := []string{}
		for _, f := range work(t, fronts(s, 1, 200)).Findings {
			got = append(got, f.Text)
		}
		if fmt.Sprint(got) != want {
			t.Errorf("%d in stock: %q", stock, got)
		}
	}
}

// TestPressedSteps: a blank is the part and the allowance, up to what the fence can be set to.
func TestPressedSteps(t *testing.T) {
	for _, c := range []struct {
		step      measure.Length
		allowance string
		want      string // of a front of 600 x 200
	}{
		{milli / 2, "25 mm", "625 x 225"},
		{milli / 2, "25.3 mm", "625.5 x 225.5"},
		{10 * milli, "25 mm", "630 x 230"},
		{measure.Inch / 32, "1 in", "625.475 x 225.425"}, // 788 and 284 steps of 0.79375
	} {
		s := pressShop(t, "order: parts, back: backer, allowance: "+c.allowance)
		s.Saw.Step = c.step
		b := work(t, fronts(s, 1, 200)).material("front").Blanks[0].Blank
		if got := b.Length.Exact() + " x " + b.Width.Exact(); got != c.want {
			t.Errorf("%s, in steps of %s mm: %s, want %s", c.allowance, c.step.Exact(), got, c.want)
		}
	}
}

// TestPressedBanks: whatever the heights, the fronts of a bank lie in their order from the
// lowest to the highest, a kerf apart, on as few blanks as the press takes in that order, and
// the allowance is there on all of them.
func TestPressedBanks(t *testing.T) {
	const kerf, allowance, press = 3 * milli, 25 * milli, 700 * milli
	rapid.Check(t, func(r *rapid.T) {
		heights := rapid.SliceOfN(rapid.Custom(func(r *rapid.T) measure.Length { return measure.Length(rapid.IntRange(100, 400).Draw(r, "height")) }), 1, 6).Draw(r, "heights")
		j := work(t, fronts(pressShop(t, "order: parts, together: 700 x 650 mm, back: backer"), 1, heights...))
		// Filling each blank in turn takes the fewest, since order is kept.
		want, room := []string{}, measure.Length(0)
		for _, h := range heights {
			if h *= milli; len(want) > 0 && room >= kerf+h {
				want[len(want)-1] += " " + h.Exact()
				room -= kerf + h
				continue
			}
			want = append(want, h.Exact())
			room = press - allowance - h
		}
		var got []string
		for _, b := range j.material("front").Blanks {
			words, y := make([]string, len(b.Parts)), b.Trim[2]
			for i, l := range b.Parts {
				words[i] = l.Width.Exact()
				if l.Y != y {
					r.Errorf("%s lies at %s mm, not %s", l.Piece.ID, l.Y.Exact(), y.Exact())
				}
				y += l.Width + kerf
			}
			if used := y - kerf - b.Trim[2] + allowance; b.Blank.Width != used {
				r.Errorf("the blank is %s wide, want %s", b.Blank.Width.Exact(), used.Exact())
			}
			for range b.Times {
				got = append(got, strings.Join(words, " "))
			}
		}
		slices.Sort(want) // blanks that are alike are one pattern
		slices.Sort(got)
		if !slices.Equal(got, want) {
			r.Errorf("got %q, want %q", got, want)
		}
	})
}
