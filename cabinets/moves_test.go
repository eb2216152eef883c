package cabinets

import (
	"slices"
	"strings"
	"testing"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// chest has a lid and two drawers, each with a latch.
const chest = `cabinet: chest
sizes:
  width: {default: 400 mm, least: 200 mm, most: 900 mm}
  latches: {default: 2, least: 0, most: 4, whole: true}
outside: {x: width, y: 300, z: 100}
roles: {carcass: all, lid: lid}
parts:
  floor: {role: carcass, x: [0, width], y: [0, 300], z: 0, grain: x}
  lid: {role: lid, assembly: lid, x: [0, width], y: [0, 300], z: 100 - thick, grain: x}
uses:
  drawer: {cabinet: plank, count: 2, at: {x: 0, y: 0, z: 30 * i}, sizes: {width: width, depth: 300}}
hardware:
  lid-latch: {kind: latch}
  latch: {kind: latch, count: latches}
  hinge: {kind: hinge, in: lid, count: 2}
moves:
  - {assembly: lid, is: lid, latch: lid-latch, when: width > 250}
  - {assembly: drawer.body, is: drawer, latch: latch}
`

// chestErrors expands a chest, edited, and returns its findings of level error.
func chestErrors(t *testing.T, s *shop.Shop, edits ...string) string {
	t.Helper()
	d := read(t, strings.NewReplacer(edits...).Replace(chest), read(t, plank))
	var list []string
	for _, f := range expand(t, s, d, nil).Findings {
		if f.Level == LevelError {
			list = append(list, f.Where+": "+f.Text)
		}
	}
	return strings.Join(list, "|")
}

// TestLatched: a drawer, door or lid without a latch is an error, for on the road it opens.
func TestLatched(t *testing.T) {
	for _, test := range []struct{ old, new, want string }{
		{"latch: lid-latch, ", "latch: lid-latch, ", ""},
		{"latch: lid-latch, ", "", "lid: the lid has no latch: on the road it opens"},
		{", latch: lid-latch, when: width > 250", ", when: width > 450", ""}, // it is screwed down
		{"count: latches", "count: 1", "drawer.body: 1 latches for 2 that move, beginning with the drawer: on the road the others open"},
		{"is: drawer, latch: latch", "is: drawer, latch: lid-latch", "lid: 1 latches for 3 that move, beginning with the lid: on the road the others open"},
		{"count: 2, at", "count: 0, at", ""},
	} {
		if got := chestErrors(t, bench(), test.old, test.new); got != test.want {
			t.Errorf("%q: got %q, want %q", test.new, got, test.want)
		}
	}
}

// TestLetIn: a cup 12.6 mm deep (common practice, no source) goes through a panel of 12; the
// shop wants 1.5 mm to stay behind it.
func TestLetIn(t *testing.T) {
	for _, test := range []struct {
		thickness float64
		want      string
	}{
		{12, "lid: Hinge goes 12.6 mm deep and wants 1.5 mm behind it, the part is 12 mm thick"},
		{14, "lid: Hinge goes 12.6 mm deep and wants 1.5 mm behind it, the part is 14 mm thick"},
		{14.1, ""},
	} {
		s := bench()
		hinge := s.Hardware[4]
		hinge.Depth, hinge.Rest = 12_600_000, 1_500_000
		lid := *s.Roles["lid"].Material
		lid.Thickness = measure.Length(test.thickness * 1e6)
		s.Roles["lid"] = shop.Fill{Material: &lid}
		if got := chestErrors(t, s); got != test.want {
			t.Errorf("%g mm: got %q, want %q", test.thickness, got, test.want)
		}
		if got := chestErrors(t, s, "in: lid, count: 2", "in: lid, count: 0"); got != "" {
			t.Errorf("%g mm, no hinges: %s", test.thickness, got)
		}
	}
}

// TestLacking: hardware of a kind that the shop does not have is one finding, not those that
// follow from it as well.
func TestLacking(t *testing.T) {
	s := bench()
	s.Hardware = slices.DeleteFunc(s.Hardware, func(h *shop.Hardware) bool { return h.Kind == "latch" })
	if got, want := chestErrors(t, s), `lid-latch: the shop has no hardware of the kind "latch"`; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	// The slide's length is 0: the lid that is as long comes to nothing, and so does the outside.
	got := chestErrors(t, bench(), "hinge: {kind: hinge, in: lid, count: 2}", "slide: {kind: slides, fits: 300}", "[0, 300], z: 100 - thick", "[0, slide.length], z: 100 - thick")
	if want := `slide: the shop has no hardware of the kind "slides"`; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

// TestAlternatives lists what else would carry a drawer and fits it: of 45 kg and 450 mm, the
// stout slide as long, and the heavy one of 400.
func TestAlternatives(t *testing.T) {
	d := read(t, strings.Replace(chest, "  hinge: {kind: hinge, in: lid, count: 2}", "  slide: {kind: slide, fits: 460, load: 40}", 1), read(t, plank))
	lines := expand(t, bench(), d, nil).Hardware
	h := lines[slices.IndexFunc(lines, func(h HardwareLine) bool { return h.Name == "slide" })]
	got := h.Item.ID + " " + h.Length.Exact()
	for _, or := range h.Or {
		got += ", " + or.Item.ID + " " + or.Length.Exact()
	}
	if want := "slide-45 450, slide-100 400, slide-60 450"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}
