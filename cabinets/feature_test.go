package cabinets

import (
	"fmt"
	"strings"
	"testing"

	gocmp "github.com/google/go-cmp/cmp"

	"sawbook/cabinets/measure"
)

// TestFeatures machines a left and a right side, whose thickness runs along x and whose
// grain along z: then u runs up, v from back to front, and w to the right. The width of
// 300.2 is cut 300, so that what is nearer to the back is measured from there.
func TestFeatures(t *testing.T) {
	solid := sound(t, bench(), `cabinet: frame
sizes:
  width: {default: 400 mm, least: 100 mm, most: 900 mm}
  depth: {default: 300.2 mm, least: 100 mm, most: 900 mm}
  height: {default: 500 mm, least: 5 mm, most: 900 mm}
roles: {carcass: sides, back: shelf}
parts:
  left:
    role: carcass
    x: 0
    y: [0, depth]
    z: [0, height]
    grain: z
    good: -x
    grooves: [{for: shelf, depth: 6 mm}]
    cutouts: [{y: [250.2, depth + 5], z: [-5, 60], about: toe kick}]
    holes:
      - {y: 37, z: 100 + 32 * j, diameter: 5 mm, depth: 9 mm, from: +x, count: 2, about: shelf pins}
      - {y: depth - 37, z: 400, diameter: 1/4 in, about: bolt}
  right:
    role: carcass
    x: width - thick
    y: [0, depth]
    z: [0, height]
    grain: z
    good: +x
    grooves: [{for: shelf, depth: 6 mm}]
    holes:
      - {y: 37, z: 400, diameter: 5 mm, depth: 9 mm, from: -x}
    cutouts: [{y: [40 * j, 40 * j + 10], z: [20, 60], count: 2, about: vent}, {y: [0, 9], z: [0, 9], count: 0}]
  shelf: {role: back, x: [6.2, width - 6.2], y: [20, 280.2], z: 200, grain: x}
`)
	features := func(name string) (list []string) {
		for _, f := range part(t, solid, name).Features {
			list = append(list, fmt.Sprintf("%s %s-%s %s-%s %s-%s %s", f.Kind, f.Box.Lo[0].Exact(), f.Box.Hi[0].Exact(),
				f.Box.Lo[1].Exact(), f.Box.Hi[1].Exact(), f.Box.Lo[2].Exact(), f.Box.Hi[2].Exact(), f.About))
		}
		return list
	}
	// The shelf is 260.2 deep, cut 260, and stands in the middle of what it has room for: from
	// 20.1 to 280.1 of 300.2, less 0.1 as that becomes 300. It enters 5.7, its groove is 6.
	left := []string{
		"cut-out 0-60 0-50 0-11.9 toe kick",
		"hole 129.5-134.5 260.5-265.5 2.9-11.9 shelf pins",
		"hole 161.5-166.5 260.5-265.5 2.9-11.9 shelf pins",
		"hole 396.825-403.175 33.825-40.175 0-11.9 bolt",
		"groove 200-206.4 20-280 5.9-11.9 for shelf",
	}
	right := []string{
		"cut-out 20-60 250-260 0-11.9 vent",
		"cut-out 20-60 210-220 0-11.9 vent",
		"hole 397.5-402.5 260.5-265.5 0-9 ",
		"groove 200-206.4 20-280 0-6 for shelf",
	}
	if diff := gocmp.Diff(left, features("left")); diff != "" {
		t.Errorf("left (-want +got):\n%s", diff)
	}
	if diff := gocmp.Diff(right, features("right")); diff != "" {
		t.Errorf("right (-want +got):\n%s", diff)
	}
	if l, r := part(t, solid, "left").Good, part(t, solid, "right").Good; l != LowFace || r != HighFace {
		t.Errorf("the good faces are %d and %d", l, r)
	}
}

// TestEdgeTreatments: an edge that glue covers wholly gets nothing, one that is open over
// any interval is treated over its whole length, as the role says or the part.
func TestEdgeTreatments(t *testing.T) {
	solid := sound(t, bench(), `cabinet: shelf
sizes:
  width: {default: 400 mm, least: 100 mm, most: 900 mm}
  depth: {default: 300 mm, least: 100 mm, most: 900 mm}
  height: {default: 200 mm, least: 5 mm, most: 900 mm}
roles: {carcass: sides, front: board}
parts:
  left: {role: carcass, x: 0, y: [0, depth], z: [0, height], grain: z, edges: {"-y": oak-2}}
  right: {role: carcass, x: width - thick, y: [0, depth - 100], z: [0, height], grain: z, edges: oak-2}
  board: {role: front, x: [thick.carcass, width - thick.carcass], y: [0, depth], z: 100, grain: x, edges: {"+y": bare}}
`)
	want := []string{
		"left -y 200 of 200 oak-2", "left +y 200 of 200 bare", "left -z 300 of 300 bare", "left +z 300 of 300 bare",
		"right -y 200 of 200 oak-2", "right +y 200 of 200 oak-2", "right -z 200 of 200 oak-2", "right +z 200 of 200 oak-2",
		"board -x 0 of 300 ", "board +x 100 of 300 oak-2", "board -y 376 of 376 oak-2", "board +y 376 of 376 bare",
	}
	var got []string
	for _, p := range solid.Parts {
		for _, d := range directions(p.Thin) {
			e := p.Edges[p.side(direction(d))]
			treatment := ""
			if e.Treatment != nil {
				treatment = e.Treatment.String()
			}
			got = append(got, fmt.Sprintf("%s %s %s of %s %s", p.Name, d, e.Open.Exact(), e.Length.Exact(), treatment))
		}
	}
	if diff := gocmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// TestUsedWithinUsed places boxes in racks in a wall, two of each.
func TestUsedWithinUsed(t *testing.T) {
	const sizes = `sizes:
  width: {default: 100 mm, least: 50 mm, most: 2000 mm}
  depth: {default: 300 mm, least: 50 mm, most: 900 mm}
  height: {default: 100 mm, least: 50 mm, most: 900 mm}
  count: {default: 1, least: 1, most: 5, whole: true}
`
	rack := read(t, "cabinet: rack\n"+sizes+`roles: {wood: sides, bottom: bottoms}
outside: {x: width, y: depth, z: height}
parts:
  board: {role: wood, x: [0, width], y: [0, depth], z: 0, grain: x}
uses:
  box: {cabinet: box, count: count, at: {x: (i - 1) * (width + felt) / 2, y: 0, z: thick.wood}, sizes: {width: (width - felt) / 2, depth: depth, height: height - thick.wood}, roles: {drawer: wood}}
`, read(t, box))
	wall := read(t, "cabinet: wall\n"+sizes+`roles: {wood: all, back: bottoms}
uses:
  rack:
    cabinet: rack
    count: 2
    at: {x: (i - 1) * (201.5 + felt), y: 10, z: 20}
    sizes: {width: 201.5, depth: 200, height: 120, count: 2}
    roles: {bottom: back}
outside: {x: 2 * 201.5 + felt, y: 210, z: 140}
parts:
  strap: {role: back, count: 2, assembly: rack.body, x: [(i - 1) * 203, i * 203 - 1.5], y: [10, 210], z: 20 - thick, grain: x}
  base: {role: wood, x: [0, 404.5], y: [0, 10], z: 0, grain: x}
`, rack)
	s := bench()
	s.Roles["wood"] = s.Roles["carcass"]
	solid := expand(t, s, wall, nil)
	at := func(name string) string {
		p := part(t, solid, name)
		return fmt.Sprint(p.Assembly, " ", p.Box.Lo[X].Exact(), " ", p.Box.Lo[Y].Exact(), " ", p.Box.Lo[Z].Exact(), " ", p.Material.ID, " ", p.Role)
	}
	for name, want := range map[string]string{
		"strap-2":             "rack-2.body 203 10 13.6 thin back",
		"rack-2.board":        "rack-2.body 203 10 20 birch wood",
		"rack-2.box-2.left":   "rack-2.box-2.body 304.5 10 31.9 birch drawer",
		"rack-2.box-2.bottom": "rack-2.box-2.body 310.45 15.95 41.9 thin bottom",
		"rack-1.box-1.right":  "rack-1.box-1.body 88.1 10 31.9 birch drawer",
	} {
		if got := at(name); got != want {
			t.Errorf("%s: got %s, want %s", name, got, want)
		}
	}
	for _, f := range solid.Findings {
		if f.Level == LevelError {
			t.Errorf("%s: %s: %s", f.Level, f.Where, f.Text)
		}
	}
}

// TestHardware chooses slides by what they carry and how long they may be.
func TestHardware(t *testing.T) {
	for rule, want := range map[string]string{
		"kind: slide":                          "slide-45 500 mm 1, 1 kg",
		"kind: slide, load: 45":                "slide-45 500 mm 1, 1 kg",
		"kind: slide, load: 46, count: 2":      "slide-60 500 mm 2, 2 kg",
		"kind: slide, load: 61, count: 2":      "slide-100 600 mm 2, 2.4 kg",
		"kind: slide, fits: 400":               "slide-45 400 mm 1, 0.8 kg",
		"kind: slide, fits: 399.999999":        "slide-45 350 mm 1, 0.7 kg",
		"kind: slide, fits: width, load: 99.5": "slide-100 400 mm 1, 0.8 kg",
		"kind: latch, count: 3":                "latch 0 mm 3, 0.18 kg",
		"kind: latch, count: 0":                "",
	} {
		d := read(t, strings.Replace(plank, "roles:", "hardware: {it: {"+rule+"}}\nroles:", 1))
		got := ""
		for _, l := range expand(t, bench(), d, nil).Hardware {
			got += fmt.Sprintf("%s %s mm %d, %.4g kg", l.Item.ID, l.Length.Exact(), l.Count, l.Mass())
		}
		if got != want {
			t.Errorf("%s: got %s, want %s", rule, got, want)
		}
	}
}

// TestGroovesAreWithinACabinet: a groove for a bottom is one for its own bottom only.
func TestGroovesAreWithinACabinet(t *testing.T) {
	d := read(t, `cabinet: pair
sizes:
  width: {default: 594 mm, least: 100 mm, most: 900 mm}
  depth: {default: 300 mm, least: 50 mm, most: 900 mm}
  height: {default: 100 mm, least: 50 mm, most: 900 mm}
roles: {drawer: walls, bottom: bottom}
uses:
  box: {cabinet: box, count: 2, at: {x: (i - 1) * 294, y: 0, z: 0}}
`, read(t, box))
	var said []string
	for _, f := range expand(t, bench(), d, map[string]measure.Length{}).Findings {
		said = append(said, f.Where+": "+f.Text)
	}
	// The right side of the first box ends at 300, the second box begins at 294 and its
	// bottom at 299.95: half a tenth in it.
	if got, want := strings.Join(said, "|"), "box-1.right: the part and box-2.bottom are in the same place, 0.05 mm deep"; !strings.Contains(got, want) {
		t.Errorf("got %s", strings.Join(said, "\n"))
	}
}

// TestFaces warns where more faces are seen than the sheet has good ones.
func TestFaces(t *testing.T) {
	board := func(keys string) *Solid {
		return expand(t, bench(), read(t, strings.Replace(plank, "grain: x", "grain: x, "+keys, 1)), nil)
	}
	for keys, want := range map[string]int{"good: +z": 0, "exposed: [+z]": 0, "good: +z, exposed: [+z]": 0, "good: +z, exposed: [-z]": 1, "exposed: [-z, +z]": 1} {
		s := bench()
		s.Roles["carcass"].Material.GoodFaces = 1
		solid := expand(t, s, read(t, strings.Replace(plank, "grain: x", "grain: x, "+keys, 1)), nil)
		if len(solid.Findings) != want {
			t.Errorf("%s: %v", keys, solid.Findings)
		}
	}
	if p := board(`exposed: [-z], void-free: [+y]`).Parts[0]; p.Exposed != [2]bool{true, false} || !p.Edges[SideFar].VoidFree || p.Edges[SideNear].VoidFree {
		t.Errorf("got %+v", p)
	}
}
