package cabinets

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
)

// boxesOf works out the boxes of a cabinet, and nothing that follows from them.
func boxesOf(t *rapid.T, s *shop.Shop, d *Definition, sizes map[string]measure.Length) *expansion {
	e := &expansion{shop: s, solid: &Solid{Definition: d}, refused: map[any]bool{}}
	top := &instance{expansion: e, d: d, fills: e.fills(d, nil)}
	top.expand(e.sizes(d, sizes))
	if len(e.refusals) > 0 {
		t.Fatal(e.refusals)
	}
	return e
}

// mirrored mirrors the boxes of a cabinet from left to right, and all that is machined
// into them or said of their faces and edges.
func (e *expansion) mirrored() *expansion {
	m := &expansion{shop: e.shop, solid: &Solid{Outside: e.solid.Outside}, refused: map[any]bool{}, gaps: e.gaps}
	lo, hi := e.solid.Outside.Lo[X], e.solid.Outside.Hi[X]
	flip := func(b Box) Box {
		b.Lo[X], b.Hi[X] = lo+hi-b.Hi[X], lo+hi-b.Lo[X]
		return b
	}
	turned := func(d Direction) Direction {
		if d != 0 && d.Axis() == X {
			return -d
		}
		return d
	}
	for i := range e.solid.Parts {
		p, of := e.solid.Parts[i], e.made[i]
		p.Box = flip(p.Box)
		if p.Thin == X && p.Good != NoFace {
			p.Good = LowFace + HighFace - p.Good
		}
		p.openings = slices.Clone(p.openings)
		for k := range p.openings {
			p.openings[k] = flip(p.openings[k])
		}
		rule := *of.rule
		rule.Edges = slices.Clone(rule.Edges)
		for k := range rule.Edges {
			rule.Edges[k].Toward = turned(rule.Edges[k].Toward)
		}
		of.rule = &rule
		of.cutouts = slices.Clone(of.cutouts)
		for k := range of.cutouts {
			of.cutouts[k].box = flip(of.cutouts[k].box)
		}
		of.holes = slices.Clone(of.holes)
		for k := range of.holes {
			h := &of.holes[k]
			if p.Thin != X {
				h.at[X], h.off[X] = lo+hi-h.at[X], -h.off[X]
			}
			from := *h.rule
			from.From = turned(from.From)
			from.By = slices.Clone(from.By)
			for n := range from.By {
				from.By[n] = turned(from.By[n])
			}
			h.rule = &from
		}
		m.solid.Parts = append(m.solid.Parts, p)
		m.made = append(m.made, of)
	}
	return m
}

// TestMirror: a mirrored cabinet gives mirrored parts, as cut and machined.
func TestMirror(t *testing.T) {
	inner := read(t, box)
	rapid.Check(t, func(t *rapid.T) {
		s := joinery()
		for _, m := range s.Materials {
			m.Thickness = measure.Length(rapid.Int64Range(590, 1810).Draw(t, "thickness")) * 10 * measure.Micrometre
		}
		bandAll(t, s)
		// A place on each of four kinds of part, a side, an end, a middle and a board.
		place := func(name string) int { return rapid.IntRange(20, 150).Draw(t, name) }
		text := strings.NewReplacer(
			"left: {", fmt.Sprintf(`left: {good: -x, edges: {"-y": oak-2}, holes: [{y: %d, z: %d, diameter: 5, depth: 3, from: +x}], `, place("y"), place("z")),
			"top: {", fmt.Sprintf(`top: {good: +z, edges: {"+x": oak-2}, cutouts: [{x: [%d, 200], y: [10, 60]}], holes: [{x: width - %d, y: %d, diameter: 5}], `, place("x"), place("x"), place("y")),
			"middle: {", fmt.Sprintf(`middle: {cutouts: [{y: [%d, 180], z: [300, 350]}], `, place("y")),
			"back: {", fmt.Sprintf(`back: {holes: [{x: %d, z: %d, diameter: 8, depth: 2, from: -y}], `, place("x"), place("z")),
		).Replace(carcass)
		d := read(t, text, inner)
		sizes := map[string]measure.Length{}
		for _, size := range d.Sizes {
			sizes[size.Name] = 10 * measure.Micrometre * measure.Length(rapid.Int64Range(int64(size.Least/10_000), int64(size.Most/10_000)).Draw(t, size.Name))
		}
		is, image := boxesOf(t, s, d, sizes), boxesOf(t, s, d, sizes).mirrored()
		sameMirrored(t, is, image)
	})
}

// sameMirrored finishes a cabinet and its image, and wants mirrored parts and as much felt.
func sameMirrored(t *rapid.T, is, image *expansion) {
	is.finish()
	image.finish()
	for i := range is.solid.Parts {
		p, q := &is.solid.Parts[i], &image.solid.Parts[i]
		if lie(mirror(p)).key != lie(q).key {
			t.Errorf("%s\n%+v\nand its image\n%+v", p.Name, p, q)
		}
		if p.Length != q.Length || p.Width != q.Width {
			t.Errorf("%s is %s x %s, its image %s x %s", p.Name, p.Length.Exact(), p.Width.Exact(), q.Length.Exact(), q.Width.Exact())
		}
	}
	felt := func(e *expansion) (sum measure.Length) {
		for i := range e.solid.Contacts {
			sum += e.solid.Contacts[i].Felt()
		}
		return sum
	}
	if a, b := felt(is), felt(image); len(is.solid.Contacts) != len(image.solid.Contacts) || max(a-b, b-a) > same {
		t.Errorf("%d contacts with %s mm of felt, %d with %s mm in the image", len(is.solid.Contacts), a.Exact(), len(image.solid.Contacts), b.Exact())
	}
}

// TestLibraryMirror mirrors every built-in cabinet, over the whole range of its sizes.
func TestLibraryMirror(t *testing.T) {
	var c source.Collector
	k := NewCatalogue(&c, t.TempDir())
	for _, name := range k.Names() {
		d := k.Lookup(name)
		if err := c.Err(); err != nil {
			t.Fatal(err)
		}
		t.Run(name, rapid.MakeCheck(func(t *rapid.T) {
			s := screwed()
			for _, role := range []string{"top", "panel"} {
				s.Roles[role] = s.Roles["carcass"]
			}
			s.Saw.Kerf = 3_200_000
			sizes := map[string]measure.Length{}
			for _, size := range d.Sizes {
				unit := measure.Micrometre
				if size.Whole {
					unit = 1
				}
				sizes[size.Name] = unit * measure.Length(rapid.Int64Range(int64(size.Least/unit), int64(size.Most/unit)).Draw(t, size.Name))
			}
			is, image := boxesOf(t, s, d, sizes), boxesOf(t, s, d, sizes).mirrored()
			is.linings = nil // the image has none
			sameMirrored(t, is, image)
		}))
	}
}
