package cabinets

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
)

// wall is a layout whose far row follows the wall, and whose deck is as wide as there is room.
const wall = `
layout: Wall
inside: {length: 4000 mm, width: 1800 mm, height: 1900 mm}
measures: {gap: 700 mm}
shell:
  sections:
    - {at: 0 mm, walls: [[0, 900], [1900, 880]]}
    - {at: 4000 mm, walls: [[0, 900], [1900, 880]]}
cabinets:
  near: {cabinet: shelf-unit, at: [0, 0, 0], turn: 180, sizes: {width: 600 mm, depth: 300 mm, height: 800 mm, shelves: 1}, fixings: 4}
  far: {cabinet: shelf-unit, at: [0, inside.width - 330, 0], sizes: {width: 500 mm, depth: 300 mm, height: 800 mm, shelves: 1}, fixings: 4}
  fill: {cabinet: shelf-unit, at: [700, 0, 0], turn: 180, sizes: {width: measured.gap - 6, depth: 300 mm, height: inside.height / 2, shelves: 1}, fixings: 4}
`

const demoFolder = "../testdata/demo"

// demoShop reads the demo's shop and its cabinets.
func demoShop(t *testing.T, c *source.Collector) (*shop.Shop, *Catalogue) {
	t.Helper()
	file := filepath.Join(demoFolder, "shop.yaml")
	return shop.Read(c, source.ReadFile(c, file, file)), NewCatalogue(c, filepath.Join(demoFolder, "cabinets"))
}

// inWall reads the layout for a vehicle with measures of its own, "" for none.
func inWall(t *testing.T, text, measured string) (*Interior, []string) {
	t.Helper()
	var c source.Collector
	s, k := demoShop(t, &c)
	return layoutFor(&c, s, k, text, measured)
}

func layoutFor(c *source.Collector, s *shop.Shop, k *Catalogue, text, measured string) (*Interior, []string) {
	root := source.Read(c, "wall.yaml", strings.NewReader(text))
	l := ReadLayout(root, s, k, nil)
	if measured != "" && c.Err() == nil {
		own := l.ReadMeasured(source.Read(c, "batch.yaml", strings.NewReader(measured)), s.Unit, "34")
		l = ReadLayout(root, s, k, own)
	}
	in := l.Interior(c, s, source.Node{}, nil)
	var faults []string
	if err := c.Err(); err != nil {
		for _, f := range err.(source.Faults) {
			faults = append(faults, fmt.Sprintf("%s:%d:%d: %s; %s", f.File, f.Line, f.Column, f.Text, f.Hint))
		}
	}
	return in, faults
}

// A vehicle that is 6 mm narrower, with a gap of 690 mm: the far row stands 6 mm nearer, and is the same
// pieces; what fills the gap is 10 mm narrower; the walls are 3 mm nearer to the middle.
func TestMeasuredVehicle(t *testing.T) {
	var c source.Collector
	s, k := demoShop(t, &c)
	usual, faults := layoutFor(&c, s, k, wall, "")
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	own, faults := layoutFor(&c, s, k, wall, "{inside: {width: 1794 mm}, gap: 690 mm}")
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	if own.Title() != "Wall as measured in 34" || usual.Title() != "Wall" {
		t.Errorf("%s, %s", own.Title(), usual.Title())
	}
	const mm = measure.Millimetre
	for i, want := range []struct{ y, width measure.Length }{{0, 600 * mm}, {-6 * mm, 500 * mm}, {0, 684 * mm}} {
		a, b := &usual.Cabinets[i], &own.Cabinets[i]
		if moved := b.Box.Lo[Y] - a.Box.Lo[Y]; moved != want.y || b.Box.Size(X) != want.width {
			t.Errorf("%s moved by %v and is %v wide", b.Name, moved, b.Box.Size(X))
		}
		var parts []Standing
		for k := range a.Solid.Parts {
			parts = append(parts, Standing{&a.Solid.Parts[k], Place{usual, a.Name, a.Solid.Parts[k].Name, 1}}, Standing{&b.Solid.Parts[k], Place{own, b.Name, b.Solid.Parts[k].Name, 1}})
		}
		split := 0
		for _, p := range Pieces(s, parts) {
			if in := []string{p.Goes[0].Interior.Title(), p.Goes[len(p.Goes)-1].Interior.Title()}; in[0] == in[1] {
				split++
			}
		}
		if follows := i == 2; (split > 0) != follows {
			t.Errorf("%s: %d pieces are in one of the two alone", b.Name, split)
		}
	}
	if half := own.Layout.Shell.Sections[0].Walls[1].Half; half != 877*mm {
		t.Errorf("half of the width is %v", half)
	}
}

func TestMeasuredRefuses(t *testing.T) {
	for _, c := range []struct{ text, measured, want string }{
		{wall, "{gap: 290 mm, gab: 3}", `batch.yaml:1:15: unknown key "gab"; did you mean "gap"?`},
		{wall, "{}", "batch.yaml:1:1: nothing is measured; write what differs: inside: {width: 1794 mm}, or a name from the layout's measures"},
		{wall, "{gap: 20 mm}", "wall.yaml:12:74: measured.gap - 6 comes to 14 mm in vehicle 34; it may be 250 mm to 1200 mm"},
		{strings.Replace(wall, "measured.gap - 6", "measured.gab - 6", 1), "", `wall.yaml:12:74: unknown name "measured.gab"; did you mean "measured.gap"?`},
		{strings.Replace(wall, "inside.width - 330", "inside.width - ", 1), "", "wall.yaml:11:52: the formula ends too early; a value or a closing parenthesis is missing"},
		{strings.Replace(wall, "{gap: 700 mm}", "{inside: 700 mm}", 1), "", "wall.yaml:4:12: a measure cannot be called inside; choose another name"},
		{strings.Replace(wall, "shelves: 1}, fixings: 4}\n  far", "shelves: inside.width / 700}, fixings: 4}\n  far", 1), "", "wall.yaml:10:120: the value comes to 2.5714285714285716, which is no whole number; use floor, ceil or round"},
	} {
		_, faults := inWall(t, c.text, c.measured)
		if !slices.Contains(faults, c.want) {
			t.Errorf("%s\n%s\nwant %s", c.measured, strings.Join(faults, "\n"), c.want)
		}
	}
}

// TestFar: a crate of 400 x 300 x 200 mm at the far ends of an inside of 3000 x 1600 x 1800, turned by a quarter
// and off the wall by 1.5 mm of felt; made deeper, it stays there.
func TestFar(t *testing.T) {
	text := edit(t, interior, "    at: ", "    at: [far, far, 100]\n    turn: 270\n    against: [back]")
	text = edit(t, text, "      a: ", "      a: {sizes: {depth: 350 mm}}")
	for _, c := range []struct {
		options []string
		want    [6]float64
	}{
		{nil, [6]float64{2698.5, 1200, 100, 2998.5, 1600, 300}},
		{[]string{"fine"}, [6]float64{2648.5, 1200, 100, 2998.5, 1600, 300}},
	} {
		in, faults := wren(t, text, c.options...)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		if got := mms(in.Cabinets[0].Box); got != c.want {
			t.Errorf("%v, want %v", got, c.want)
		}
	}
}

// TestMeasuredWalls: 6 mm narrower, the walls come 3 mm nearer to the middle and the wheel box at the far wall
// moves with it; what is a formula, or measured in the vehicle itself, is as it says.
func TestMeasuredWalls(t *testing.T) {
	const shell = "{sections: [{at: 0, walls: [[0, 900], [1000, inside.width / 2 - 10]]}], boxes: {near: {at: [0, 0, 0], size: {length: 700, width: 200, height: 300}}, " +
		"far: {at: [0, 1600, 0], size: {length: 700, width: 200, height: 300}}, last: {at: [0, inside.width - 150, 0], size: {length: 700, width: 150, height: 300}}}}"
	head, tail, _ := strings.Cut(wall, "shell:")
	_, tail, _ = strings.Cut(tail, "cabinets:")
	text := head + "shell: " + shell + "\ncabinets:" + tail
	for _, c := range []struct{ measured, want string }{
		{"", "halves 900 890, boxes at 0 1600 1650"},
		{"{inside: {width: 1794 mm}}", "halves 897 887, boxes at 0 1594 1644"},
		{"{inside: {width: 1794 mm}, shell: " + shell + "}", "halves 900 887, boxes at 0 1600 1644"},
	} {
		in, faults := inWall(t, text, c.measured)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		s := in.Layout.Shell
		got := fmt.Sprintf("halves %g %g, boxes at %g %g %g", s.Sections[0].Walls[0].Half.MM(), s.Sections[0].Walls[1].Half.MM(), s.Boxes[0].Box.Lo[Y].MM(), s.Boxes[1].Box.Lo[Y].MM(), s.Boxes[2].Box.Lo[Y].MM())
		if got != c.want {
			t.Errorf("%s: %s, want %s", c.measured, got, c.want)
		}
	}
}
