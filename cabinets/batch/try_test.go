package batch

import (
	"context"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
	"sawbook/nest"
)

// boards is a shop whose only cabinet is one board, and a layout of two of them.
var boards = map[string]string{
	"shop.yaml": `shop: Boards
currency: EUR
unit: mm
saw: {kerf: 0, trim: 0, step: 0.5 mm, keep: 600 x 150 mm}
felt: {name: Felt tape, width: 19 mm, thickness: 2 mm, pressed: 1.5 mm, roll: 10 m, price: 9.50, narrow: 60 mm}
materials:
  ply: {name: Plywood, nominal: 12 mm, density: 700, sheets: [{size: 1000 x 500 mm, grain: length, price: 20.00}]}
roles:
  top: {material: ply}
`,
	"cabinets/board.yaml": `cabinet: board
about: One board
sizes:
  width: {default: 450 mm, least: 200 mm, most: 1200 mm, about: from left to right}
  depth: {default: 500 mm, least: 100 mm, most: 500 mm, about: from front to back}
  many: {default: 1, least: 1, most: 4, whole: true, about: how many lie on one another}
roles:
  top: the board
outside: {x: width, y: depth, z: many * thick.top}
parts:
  top: {role: top, count: many, x: [0, width], y: [0, depth], z: (i - 1) * thick, grain: x}
checks:
  - {that: width <= 990, say: "the board is long", do: make it shorter, level: error}
`,
	"layouts/two.yaml": `layout: Two
inside: {length: 5 m, width: 2 m, height: 2 m}
cabinets:
  left: {cabinet: board, at: [0, 0, 0]}
  right: {cabinet: board, at: [2 m, 0, 0]}
`,
}

// shopOf writes a shop's folder and opens it.
func shopOf(t *testing.T, files map[string]string) *Folder {
	t.Helper()
	root := t.TempDir()
	for name, text := range files {
		path := filepath.Join(root, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	c := &source.Collector{}
	f := OpenFolder(c, root)
	if err := c.Err(); err != nil {
		t.Fatal(err)
	}
	return f
}

func try(t *testing.T, f *Folder, layout string, axes ...string) *Sweep {
	t.Helper()
	s, err := f.Try(context.Background(), filepath.Join(f.Root, layout), nil, axes, Options{Effort: nest.Quick})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// A try expands what changes, and only that: what it comes to is what the changed file would.
func TestTryExpandsWhatChanges(t *testing.T) {
	f := shopOf(t, boards)
	b := f.Load(filepath.Join(f.Root, "layouts/two.yaml"), nil)
	sizes := map[string]measure.Length{"width": 600 * measure.Millimetre}
	tried, err := b.Changed(cabinets.NamedChange{Name: "left", Change: cabinets.Change{Sizes: sizes}})
	if err != nil {
		t.Fatal(err)
	}
	was, is := b.Vehicles[0].Interior.Cabinets, tried.Vehicles[0].Interior.Cabinets
	for i := range was {
		changed := was[i].Name == "left"
		if same := was[i].Solid == is[i].Solid; same == changed {
			t.Errorf("%s: kept is %v", was[i].Name, same)
		}
		if wide := is[i].Solid.Outside.Size(cabinets.X); changed && wide != sizes["width"] {
			t.Errorf("left is as wide as %v", wide.MM())
		}
	}
}

// TestStepsOfASweep: two boards as wide as the sheet share one up to where both are half as
// long as it is together with the other one, which keeps its 450 mm: 550 mm. From 1001 mm the
// tried one fits none.
func TestStepsOfASweep(t *testing.T) {
	s := try(t, shopOf(t, boards), "layouts/two.yaml", "left.width=500..1020/40")
	var got []string
	for _, p := range s.Steps {
		got = append(got, fmt.Sprint(p.Material.ID, " ", p.Below.MM(), " ", p.Sheets[0], " ", p.From.MM(), " ", p.Sheets[1], " ", p.Proven))
	}
	want := []string{"ply 550 1 551 2 true", "ply 1000 2 1001 1 true"}
	if !slices.Equal(got, want) {
		t.Errorf("steps %q, want %q", got, want)
	}
	var notes []string
	for _, h := range s.Heard {
		notes = append(notes, fmt.Sprint(h.Level, " ", h.From.MM(), " ", h.To.MM(), " ", strings.Fields(h.Text)[0:3]))
	}
	wantNotes := []string{"error 991 1020 [the board is]", "error 1001 1020 [top (1001 x]"}
	if !slices.Equal(notes, wantNotes) {
		t.Errorf("findings %q, want %q", notes, wantNotes)
	}
	var picks []string
	for _, p := range s.Picks() {
		picks = append(picks, fmt.Sprint(p.Values[0].MM(), " ", p.Why))
	}
	wantPicks := []string{"500 costs least", "500 is the smallest that costs no more than today's", "550 is the largest that costs no more than today's"}
	if !slices.Equal(picks, wantPicks) {
		t.Errorf("picks %q, want %q", picks, wantPicks)
	}
}

// TestStepsOfPrice: with sheets of two lengths, the two boards come from the shorter one up to 550 mm
// and from the longer one up to 1050 mm, which costs more though it is one sheet as before.
func TestStepsOfPrice(t *testing.T) {
	files := maps.Clone(boards)
	files["shop.yaml"] = strings.Replace(boards["shop.yaml"], "price: 20.00}", "price: 20.00}, {size: 1500 x 500 mm, grain: length, price: 31.50}", 1)
	s := try(t, shopOf(t, files), "layouts/two.yaml", "left.width=500..700/40")
	want := []Step{{Material: s.Batch.Shop.Materials[0], Below: 550 * measure.Millimetre, From: 551 * measure.Millimetre,
		Sheets: [2]int{1, 1}, Costs: [2]shop.Money{2000, 3150}, Proven: true}}
	if !slices.Equal(s.Steps, want) {
		t.Errorf("steps %+v, want %+v", s.Steps, want)
	}
}

// TestGrid: several sizes are tried in every combination; a count is a plain number.
func TestGrid(t *testing.T) {
	s := try(t, shopOf(t, boards), "layouts/two.yaml", "left.width=400..600/100", "right.many=1..2")
	var got []string
	for _, trial := range s.Trials {
		got = append(got, fmt.Sprint(trial.Values[0].MM(), " ", int64(trial.Values[1]), " ", trial.Job.Estimate.Sheets[0].Sheets))
	}
	// The boards are 450 long but for the tried one; two of 450 share a sheet, and so do 450 and 400 or 500.
	want := []string{"400 1 1", "400 2 2", "500 1 1", "500 2 2", "600 1 2", "600 2 2"}
	if !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}

// TestTryTellsAllThatIsRefused: where two cabinets cannot be built, a trial says so of both.
func TestTryTellsAllThatIsRefused(t *testing.T) {
	files := maps.Clone(boards)
	files["cabinets/board.yaml"] = strings.Replace(files["cabinets/board.yaml"], "x: [0, width]", `x: [0, "width * 100 / max(0, width - 300)"]`, 1)
	s := try(t, shopOf(t, files), "layouts/two.yaml", "left.width=260..460/200", "right.width=280..480/200")
	var got []string
	for _, trial := range s.Trials {
		got = append(got, trial.Refused)
	}
	want := []string{"left: division by zero; right: division by zero", "left: division by zero", "right: division by zero", ""}
	if !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}

// TestTriedIsWhatIsPriced: what a sweep says of a value is what the layout comes to once the
// size stands in its file, in one run of each.
func TestTriedIsWhatIsPriced(t *testing.T) {
	files := boards
	s := try(t, shopOf(t, files), "layouts/two.yaml", "right.width=300..700/200")
	for _, trial := range s.Trials {
		changed := map[string]string{}
		for name, text := range files {
			changed[name] = strings.Replace(text, "right: {cabinet: board,", fmt.Sprintf("right: {cabinet: board, sizes: {width: %v mm},", trial.Values[0].MM()), 1)
		}
		f := shopOf(t, changed)
		j, err := Work(context.Background(), f.Load(filepath.Join(f.Root, "layouts/two.yaml"), nil), Options{Effort: nest.Quick})
		if err != nil {
			t.Fatal(err)
		}
		if string(j.Written) != string(trial.Job.Written) || j.Estimate.Total != trial.Job.Estimate.Total {
			t.Errorf("%v mm: tried\n%s\npriced\n%s", trial.Values[0].MM(), trial.Job.Written, j.Written)
		}
	}
}

// TestParseAxis reads what is written on the command line; bare numbers are in the unit.
func TestParseAxis(t *testing.T) {
	f := shopOf(t, boards)
	in := f.Load(filepath.Join(f.Root, "layouts/two.yaml"), nil).Vehicles[0].Interior
	for _, c := range []struct {
		text string
		unit measure.Unit
		want string // from, to and number of values, or the error's first line
	}{
		{"left.width=400..700/10", measure.Millimetres, "400 700 31"},
		{"left.width=400..700", measure.Millimetres, "400 700 31"},
		{"left.width=400 mm..1 m/100", measure.Millimetres, "400 1000 7"},
		{"left.width=20 1/2..30 1/2/1/4", measure.Inches, "520.7 774.7 41"},
		{"left.width=20 1/2..30 1/2", measure.Inches, "520.7 774.7 21"},
		{"left.many=1..4", measure.Millimetres, "1 4 4"},
		{"left.width", measure.Millimetres, `"left.width" has no =`},
		{"width=1..2", measure.Millimetres, `"width=1..2" names no cabinet`},
		{"lift.width=400..500", measure.Millimetres, `"lift.width=400..500" names no cabinet of Two`},
		{"left.widht=400..500", measure.Millimetres, `"left.widht=400..500" names no size of left, a board`},
		{"left.width=400", measure.Millimetres, `"left.width=400" has no ..`},
		{"left.width=500..400", measure.Millimetres, `"left.width=500..400" falls`},
		{"left.width=100..400", measure.Millimetres, `"left.width=100..400" leaves the range of width, 200 mm to 1200 mm`},
		{"left.width=400..500/0", measure.Millimetres, `"left.width=400..500/0" has a step that is not above 0`},
		{"left.width=400..900/0.1", measure.Millimetres, `"left.width=400..900/0.1" has more than 2000 values`},
		{"left.many=1..x", measure.Millimetres, `"left.many=1..x" has "x" where many is a whole number`},
		{"left.width=wide..500", measure.Millimetres, `"left.width=wide..500" has "wide": unknown unit wide`},
	} {
		t.Run(c.text, func(t *testing.T) {
			a, err := ParseAxis(c.text, in, c.unit)
			got := ""
			switch first, last := 0, len(a.Values)-1; {
			case err != nil:
				got, _, _ = strings.Cut(err.Error(), "\n")
			case a.Whole:
				got = fmt.Sprint(int64(a.Values[first]), " ", int64(a.Values[last]), " ", len(a.Values))
			default:
				got = fmt.Sprint(a.Values[first].MM(), " ", a.Values[last].MM(), " ", len(a.Values))
			}
			if got != c.want {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}

// BenchmarkTry tries 41 widths of one cabinet of the demo's longer interior.
func BenchmarkTry(b *testing.B) {
	for b.Loop() {
		c := &source.Collector{}
		f := OpenFolder(c, "../../testdata/demo")
		s, err := f.Try(context.Background(), "../../testdata/demo/layouts/curlew.yaml", nil, []string{"bank-1.width=400..800/10"}, Options{Effort: nest.Quick})
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(len(s.Trials)), "values")
	}
}

// TestCompare: of two layouts one board is longer, one is gone and one is added; the
// change of a price shows in the lines.
func TestCompare(t *testing.T) {
	changed := map[string]string{}
	for name, text := range boards {
		text = strings.Replace(text, "left: {cabinet: board,", "left: {cabinet: board, sizes: {width: 700 mm},", 1)
		text = strings.Replace(text, "right:", "other:", 1)
		changed[name] = strings.Replace(text, "price: 20.00", "price: 21.00", 1)
	}
	before, after := shopOf(t, boards), shopOf(t, changed)
	load := func(f *Folder) *Batch { return f.Load(filepath.Join(f.Root, "layouts/two.yaml"), nil) }
	c, err := Compare(context.Background(), load(before), load(after), Options{Effort: nest.Quick})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, p := range c.Parts {
		line := fmt.Sprint(p.Where, " ", p.Name, " ", p.Count, " ", p.Resized())
		for _, piece := range []*measure.Length{lengthOf(p.A), lengthOf(p.B)} {
			if piece != nil {
				line += fmt.Sprint(" ", piece.MM())
			} else {
				line += " -"
			}
		}
		got = append(got, line)
	}
	want := []string{"left top 1 true 450 700", "other top 1 false - 450", "right top 1 false 450 -"}
	if !slices.Equal(got, want) {
		t.Errorf("parts %q, want %q", got, want)
	}
	if len(c.Lines) != 1 || !c.Lines[0].Differs() || c.Lines[0].More() != 2*2100-2000 {
		t.Errorf("lines %+v", c.Lines)
	}
	same, err := Compare(context.Background(), load(before), load(before), Options{Effort: nest.Quick})
	if err != nil {
		t.Fatal(err)
	}
	if len(same.Parts) != 0 || same.Lines[0].Differs() || len(same.Gone)+len(same.Added) != 0 {
		t.Errorf("a layout differs from itself: %+v", same)
	}
}

func lengthOf(p *cabinets.Piece) *measure.Length {
	if p == nil {
		return nil
	}
	return &p.Length
}
