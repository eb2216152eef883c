package cabinets

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// carcass has every kind of joint that snapping knows: butted between, overlaid, in a dado,
// in a rabbet, flush, and a part held by nothing along one axis.
const carcass = `cabinet: carcass
sizes:
  width: {default: 600 mm, least: 300 mm, most: 1200 mm}
  depth: {default: 400 mm, least: 200 mm, most: 800 mm}
  height: {default: 700 mm, least: 400 mm, most: 2000 mm}
roles: {carcass: carcass, back: back, lid: plinth, drawer: boxes, bottom: bottoms}
let:
  groove: thick.carcass / 3
  inner: depth - thick.back
  bay: (width - 3 * thick.carcass) / 2
parts:
  left: {role: carcass, x: 0, y: [0, depth], z: [0, height], grain: z, grooves: [{for: back, depth: groove}, {for: shelf, depth: groove}]}
  right: {role: carcass, x: width - thick, y: [0, depth], z: [0, height], grain: z, grooves: [{for: back, depth: groove}, {for: shelf, depth: groove}]}
  bottom: {role: carcass, x: [thick, width - thick], y: [0, inner], z: 0, grain: x}
  top: {role: carcass, x: [thick, width - thick], y: [0, inner], z: height - thick, grain: x}
  middle: {role: carcass, x: thick + bay, y: [0, inner], z: [thick, height - thick], grain: z, grooves: [{for: shelf, depth: groove}]}
  shelf:
    role: carcass
    count: 2
    x: [thick - groove + (i - 1) * (bay + thick), thick + groove + bay + (i - 1) * (bay + thick)]
    y: [20, inner]
    z: height / 3
    grain: x
  back: {role: back, x: [thick.carcass - groove, width - thick.carcass + groove], y: inner, z: [0, height], grain: any}
uses:
  box:
    cabinet: box
    at: {x: thick.carcass + 10, y: 30, z: thick.carcass + 10}
    sizes: {width: bay - 20, depth: inner - 40, height: height / 5}
`

const box = `cabinet: box
sizes:
  width: {default: 300 mm, least: 50 mm, most: 900 mm}
  depth: {default: 300 mm, least: 50 mm, most: 900 mm}
  height: {default: 100 mm, least: 50 mm, most: 900 mm}
roles: {drawer: walls, bottom: bottom}
let: {deep: thick.drawer / 2}
parts:
  left: {role: drawer, x: 0, y: [0, depth], z: [0, height], grain: y, grooves: [{for: bottom, depth: deep}]}
  right: {role: drawer, x: width - thick, y: [0, depth], z: [0, height], grain: y, grooves: [{for: bottom, depth: deep}]}
  front: {role: drawer, x: [thick, width - thick], y: 0, z: [0, height], grain: x, grooves: [{for: bottom, depth: deep}]}
  back: {role: drawer, x: [thick, width - thick], y: depth - thick, z: [0, height], grain: x, grooves: [{for: bottom, depth: deep}]}
  bottom: {role: bottom, x: [deep, width - deep], y: [deep, depth - deep], z: 10, grain: x}
`

// TestSnap draws carcasses of any size, thickness and step, and holds the parts as cut to
// what snapping promises.
func TestSnap(t *testing.T) {
	d := read(t, carcass, read(t, box))
	rapid.Check(t, func(t *rapid.T) {
		s := bench()
		s.Saw.Step = rapid.SampledFrom([]measure.Length{mm / 2, mm, measure.Inch / 32, mm / 10}).Draw(t, "step")
		for _, m := range s.Materials {
			m.Thickness = measure.Length(rapid.Int64Range(5_900, 18_100).Draw(t, "thickness")) * measure.Micrometre
		}
		bandAll(t, s)
		sizes := map[string]measure.Length{}
		for _, size := range d.Sizes {
			sizes[size.Name] = measure.Length(rapid.Int64Range(int64(size.Least), int64(size.Most)).Draw(t, size.Name))
		}
		solid, err := Expand(s, d, Choice{Sizes: sizes})
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range solid.Findings {
			t.Errorf("%s: %s: %s", f.Level, f.Where, f.Text)
		}
		holdsAsCut(t, solid, s.Saw.Step)
		same := func(a, b string) {
			p, q := part(t, solid, a), part(t, solid, b)
			if p.Length != q.Length || p.Width != q.Width {
				t.Errorf("%s is %s x %s, %s is %s x %s", a, p.Length.Exact(), p.Width.Exact(), b, q.Length.Exact(), q.Width.Exact())
			}
		}
		// Nothing covers the front edges of a side, nor the upper one.
		for s, edge := range part(t, solid, "left").Edges {
			if d := part(t, solid, "left").Toward(Side(s)); edge.Open != edge.Length && d != toward(Y, true) {
				t.Errorf("the edge of the left side toward %s is open over %s of %s", d, edge.Open.Exact(), edge.Length.Exact())
			}
		}
		same("left", "right")
		same("bottom", "top")
		same("shelf-1", "shelf-2")
		same("box.left", "box.right")
		same("box.front", "box.back")
	})
}

// bandAll draws whether carcass and boxes are banded, and whether that comes off the cut size.
func bandAll(t *rapid.T, s *shop.Shop) {
	for _, role := range []string{"carcass", "drawer"} {
		fill := s.Roles[role]
		if rapid.Bool().Draw(t, "band "+role) {
			fill.Edges = shop.Treatment{Band: s.Bands[0], Deduct: rapid.Bool().Draw(t, "deduct from "+role)}
		}
		s.Roles[role] = fill
	}
}

// holdsAsCut checks every part as cut against the parts as designed.
func holdsAsCut(t *rapid.T, s *Solid, step measure.Length) {
	for i := range s.Parts {
		p := &s.Parts[i]
		if p.Length%step != 0 || p.Width%step != 0 {
			t.Errorf("%s is %s x %s, the step is %s", p.Name, p.Length.Exact(), p.Width.Exact(), step.Exact())
		}
		if got := p.Snapped.Size(p.Thin); got != p.Material.Thickness {
			t.Errorf("%s is %s thick, want %s", p.Name, got.Exact(), p.Material.Thickness.Exact())
		}
		for j := range s.Parts {
			q := &s.Parts[j]
			if i == j {
				continue
			}
			was, is := p.Box.common(q.Box), p.Snapped.common(q.Snapped)
			overlapped, overlaps := true, true
			for a := X; a <= Z; a++ {
				overlapped = overlapped && was.Size(a) > same
				overlaps = overlaps && is.Size(a) > same
			}
			switch {
			case overlaps && !overlapped:
				t.Errorf("%s and %s overlap as cut: %v", p.Name, q.Name, is)
			case overlaps && q.Box.Size(p.Thin) > was.Size(p.Thin) && is.Size(p.Thin) > was.Size(p.Thin)+same:
				t.Errorf("%s enters %s %s deep as cut, designed %s", q.Name, p.Name, is.Size(p.Thin).Exact(), was.Size(p.Thin).Exact())
			}
			if p.Assembly != q.Assembly {
				continue
			}
			for a := X; a <= Z; a++ {
				if open := is.Size(a); was.Size(a) >= -same && was.Size(a) <= same && open < -step && (a != p.Thin || a != q.Thin) {
					touch := was.Size((a+1)%3) > same && was.Size((a+2)%3) > same
					if touch {
						t.Errorf("the joint of %s and %s is open by %s along %s", p.Name, q.Name, open.Exact(), a)
					}
				}
			}
		}
	}
}

// TestSnapByHand works out what becomes of single sizes, in steps of 0.5 mm.
func TestSnapByHand(t *testing.T) {
	const sizes = `cabinet: unit
sizes:
  width: {default: 600 mm, least: 100 mm, most: 900 mm}
  depth: {default: 300 mm, least: 100 mm, most: 900 mm}
  height: {default: 500 mm, least: 5 mm, most: 900 mm}
roles: {carcass: sides, back: back}
`
	tests := map[string]struct{ text, want string }{
		// Nothing stands between the sides: they stay where they are designed, and the
		// shelf gets shorter, the same on either side: 600 - 23.8 + 8.2 = 584.4, cut 584.
		"dado": {sizes + `parts:
  left: {role: carcass, x: 0, y: [0, depth], z: [0, height], grain: z, grooves: [{for: shelf, depth: 4.1}]}
  right: {role: carcass, x: width - thick, y: [0, depth], z: [0, height], grain: z, grooves: [{for: shelf, depth: 4.1}]}
  shelf: {role: carcass, x: [7.8, width - 7.8], y: [0, depth], z: 100, grain: x}
`, "left 0-11.9 right 588.1-600 shelf 8-592"},
		// 576.2 becomes 576, so the back, designed 600, has 599.8 left and is cut 599.5,
		// which leaves 0.15 on either side.
		"overlaid back": {sizes + `parts:
  left: {role: carcass, x: 0, y: [0, depth - thick.back], z: [0, height], grain: z}
  right: {role: carcass, x: width - thick, y: [0, depth - thick.back], z: [0, height], grain: z}
  board: {role: carcass, x: [thick, width - thick], y: [0, depth - thick.back], z: 0, grain: x}
  back: {role: back, x: [0, width], y: depth - thick, z: [0, height], grain: x}
`, "left 0-11.9 right 587.9-599.8 board 11.9-587.9 back 0.15-599.65"},
		// 576.2 becomes 576, so what stands in the middle comes half of 0.2 nearer.
		"held by nothing": {sizes + `parts:
  left: {role: carcass, x: 0, y: [0, depth], z: [0, height], grain: z}
  right: {role: carcass, x: width - thick, y: [0, depth], z: [0, height], grain: z}
  board: {role: carcass, x: [thick, width - thick], y: [0, depth], z: 0, grain: x}
  post: {role: carcass, x: (width - thick) / 2, y: [0, depth], z: [thick, 200], grain: z}
`, "left 0-11.9 right 587.9-599.8 board 11.9-587.9 post 293.95-305.85"},
		// Two bays of (576.2 - 11.9) / 2 = 282.15 are both cut 282; the board of 576.2 over
		// both has 575.9 left, and is cut 575.5; the middle moves with the left bay.
		"equal bays": {sizes + `let: {bay: (width - 3 * thick.carcass) / 2}
parts:
  left: {role: carcass, x: 0, y: [0, depth], z: [0, height], grain: z}
  middle: {role: carcass, x: thick + bay, y: [0, depth], z: [thick, height], grain: z}
  right: {role: carcass, x: width - thick, y: [0, depth], z: [0, height], grain: z}
  bay-left: {role: carcass, x: [thick, thick + bay], y: [0, depth], z: 100, grain: x}
  bay-right: {role: carcass, x: [2 * thick + bay, width - thick], y: [0, depth], z: 300, grain: x}
  board: {role: carcass, x: [thick, width - thick], y: [0, depth], z: 0, grain: x}
`, "left 0-11.9 middle 293.9-305.8 right 587.8-599.7 bay-left 11.9-293.9 bay-right 305.8-587.8 board 12.1-587.6"},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			solid := expand(t, bench(), read(t, test.text), nil)
			got := ""
			for _, p := range solid.Parts {
				got += p.Name + " " + p.Snapped.Lo[X].Exact() + "-" + p.Snapped.Hi[X].Exact() + " "
			}
			if got != test.want+" " {
				t.Errorf("got  %s\nwant %s", got, test.want)
			}
			for _, f := range solid.Findings {
				t.Errorf("%s: %s: %s", f.Level, f.Where, f.Text)
			}
		})
	}
}

// TestEqualSizes cuts parts of equal size the same where what is left for them differs.
func TestEqualSizes(t *testing.T) {
	const sizes = `cabinet: unit
sizes:
  width: {default: 201.2 mm, least: 100 mm, most: 900 mm}
  depth: {default: 300 mm, least: 100 mm, most: 900 mm}
  height: {default: 500 mm, least: 5 mm, most: 900 mm}
roles: {carcass: sides, lid: sides}
`
	tests := map[string]struct{ text, want string }{
		// The board of 165.2 is cut 165. The bays of (165.2 - 36) / 3 + 8 = 51.067 lose a third
		// of 0.2 each, which leaves 51 but for the shifts of the middles: 50.997 left and
		// right, 51.006 between.
		"housed bays": {sizes + `let: {bay: (width - 4 * thick.lid) / 3, pitch: bay + thick.lid}
parts:
  left: {role: lid, x: 0, y: [0, depth], z: [0, height], grain: z, grooves: [{for: bay, depth: 4}]}
  middle: {role: lid, count: 2, x: i * pitch, y: [0, depth], z: [thick, height], grain: z, grooves: [{for: bay, depth: 4}]}
  right: {role: lid, x: width - thick, y: [0, depth], z: [0, height], grain: z, grooves: [{for: bay, depth: 4}]}
  bay: {role: carcass, count: 3, x: [thick.lid - 4 + (i - 1) * pitch, i * pitch + 4], y: [0, depth], z: 90 + i * 90, grain: x}
  board: {role: lid, x: [thick, width - thick], y: [0, 150], z: 0, grain: x}
`, "bay-1 50.5 bay-2 50.5 bay-3 50.5 board 165"},
		// 100.25 lies half way between two steps, and so does what rounding to the nanometre
		// makes of it.
		"a half": {sizes + `parts:
  a: {role: carcass, x: [0, 100.25], y: [0, depth], z: 0, grain: x}
  b: {role: carcass, x: [20, 120.250001], y: [0, depth], z: 488.1, grain: x}
  c: {role: carcass, x: [50, 150.249999], y: [0, depth], z: 200, grain: x}
  post: {role: carcass, x: 189.3, y: [0, depth], z: [0, height], grain: z}
`, "a 100 b 100 c 100"},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			solid := expand(t, bench(), read(t, test.text), nil)
			got := ""
			for _, p := range solid.Parts {
				if p.Long == X {
					got += " " + p.Name + " " + p.Length.Exact()
				}
			}
			if got != " "+test.want {
				t.Errorf("got %s\nwant %s", got, test.want)
			}
			for _, f := range solid.Findings {
				t.Errorf("%s: %s: %s", f.Level, f.Where, f.Text)
			}
		})
	}
}

// TestBandedBeside: of two boards that end in dadoes and are equally long, one has a band of 0.3
// at its free end that comes off: it is cut 0.5 shorter, the other as long as it would be alone.
func TestBandedBeside(t *testing.T) {
	s := bench()
	s.Bands = append(s.Bands, &shop.Band{ID: "thin", Thickness: 300_000, Deduct: true})
	solid := sound(t, s, `cabinet: pair
sizes: {width: {default: 300 mm, least: 200 mm, most: 400 mm}}
outside: {x: width, y: 200, z: 300}
roles: {carcass: all}
parts:
  left: {role: carcass, x: 0, y: [0, 200], z: [0, 300], grain: z, grooves: [{for: banded, depth: 4}, {for: bare, depth: 4}]}
  banded: {role: carcass, x: [thick - 4, width], y: [0, 200], z: 100, grain: x, edges: {+x: thin}}
  bare: {role: carcass, x: [thick - 4, width], y: [0, 200], z: 200, grain: x, edges: bare}
`)
	banded, bare := part(t, solid, "banded"), part(t, solid, "bare")
	if got := banded.Length.Exact() + " " + banded.Snapped.Size(X).Exact() + " " + bare.Length.Exact(); got != "291.5 291.8 292" {
		t.Errorf("cut, built, and the bare one: %s", got)
	}
}

// TestMiddleOfABand: what is drilled in the middle of a board is in the middle once the board is
// banded, on one edge here, of which 2 mm came off.
func TestMiddleOfABand(t *testing.T) {
	s := bench()
	s.Bands[0].Deduct = true
	solid := sound(t, s, strings.Replace(plank, "grain: x", `grain: x, edges: {-x: oak-2}, holes: [{x: width / 2, y: 100, diameter: 5}]`, 1))
	p := &solid.Parts[0]
	if b := p.Features[0].Box; p.Length != 398*mm || (b.Lo[0]+b.Hi[0])/2 != 198*mm {
		t.Errorf("%s long, the hole at %s", p.Length.Exact(), ((b.Lo[0] + b.Hi[0]) / 2).Exact())
	}
}
