package cabinets

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// TestStrips: up to 60 mm wide a patch takes one strip, a wider one four round its edge,
// of which two fit between the other two, 19 mm wide each.
func TestStrips(t *testing.T) {
	felt := bench().Felt
	tests := []struct {
		a, b measure.Length
		runs int
		want string
	}{
		{500 * mm, 12 * mm, 1, "500"},
		{12 * mm, 500 * mm, 1, "500"},
		{60 * mm, 60 * mm, 1, "60"},
		{60_000_001, 300 * mm, 4, "644.000002"}, // 2 x 300 + 2 x (60.000001 - 38)
		{500 * mm, 300 * mm, 4, "1524"},         // 2 x 500 + 2 x (300 - 38)
	}
	for _, test := range tests {
		c := Contact{Face: toward(Z, true), Strips: strips(Box{Hi: [3]measure.Length{test.a, test.b, 1}}, Z, &felt)}
		if runs := len(c.Strips); runs != test.runs || c.Felt().Exact() != test.want {
			t.Errorf("%s x %s: %d strips of %s mm, want %d of %s", test.a.Exact(), test.b.Exact(), runs, c.Felt().Exact(), test.runs, test.want)
		}
	}
}

// TestContacts lays a lid on a box without a bottom, as in a bench, beside a fixed rail.
func TestContacts(t *testing.T) {
	solid := sound(t, bench(), `cabinet: bench
sizes:
  width: {default: 500 mm, least: 100 mm, most: 900 mm}
  depth: {default: 400 mm, least: 100 mm, most: 900 mm}
  height: {default: 300 mm, least: 100 mm, most: 900 mm}
roles: {carcass: box, lid: lid}
let: {lid_bottom: height - thick.lid}
parts:
  left: {role: carcass, x: 0, y: [0, depth], z: [0, lid_bottom - felt], grain: z}
  right: {role: carcass, x: width - thick, y: [0, depth], z: [0, lid_bottom - felt], grain: z}
  front: {role: carcass, x: [thick, width - thick], y: 0, z: [0, lid_bottom - felt], grain: x}
  back: {role: carcass, x: [thick, width - thick], y: depth - thick, z: [0, lid_bottom - felt], grain: x}
  lid: {role: lid, assembly: lid, x: [0, width], y: [0, 299], z: lid_bottom, grain: x}
  rail: {role: lid, assembly: rail, x: [0, width], y: [300, depth], z: lid_bottom, grain: x}
clearances:
  - {between: lid, and: rail, gap: 1 mm}
`)
	want := []string{
		"lid on its face against front, gap 1.5: 1 strip of 476.2",
		"lid on its face against left, gap 1.5: 1 strip of 299",
		"lid on its face against right, gap 1.5: 1 strip of 299",
		"rail on its face against back, gap 1.5: 1 strip of 476.2",
		"rail on its face against left, gap 1.5: 1 strip of 100",
		"rail on its face against right, gap 1.5: 1 strip of 100",
	}
	if len(solid.Contacts) != len(want) {
		t.Errorf("%d contacts, want %d", len(solid.Contacts), len(want))
	}
	for i, c := range solid.Contacts {
		where := "face"
		for _, e := range part(t, solid, c.On).Edges {
			if e.Felted {
				where = "edge"
			}
		}
		got := fmt.Sprintf("%s on its %s against %s, gap %s: %d strip of %s", c.On, where, c.Against, c.Gap.Exact(), len(c.Strips), c.Felt().Exact())
		if got != want[i] {
			t.Errorf("got  %s\nwant %s", got, want[i])
		}
	}
}

// TestFeltOnEdge stands two assemblies edge to edge: felt goes onto an edge of the larger.
func TestFeltOnEdge(t *testing.T) {
	solid := sound(t, bench(), `cabinet: shelf
sizes:
  width: {default: 500 mm, least: 100 mm, most: 900 mm}
  depth: {default: 400 mm, least: 100 mm, most: 900 mm}
outside: {x: width, y: depth, z: thick.carcass}
roles: {carcass: both}
parts:
  narrow: {role: carcass, x: [0, 100], y: [0, depth], z: 0, grain: x}
  wide: {role: carcass, assembly: wide, x: [100 + felt, width], y: [0, depth], z: 0, grain: y}
`)
	if len(solid.Contacts) != 1 || solid.Contacts[0].On != "wide" || solid.Contacts[0].Felt() != 400*mm {
		t.Fatalf("got %v", solid.Contacts)
	}
	// Its length runs along y and its thickness along z, so that v runs along x, but from
	// right to left: (y, z) are no axes in cyclic order with x between them.
	for s, e := range part(t, solid, "wide").Edges {
		if want := part(t, solid, "wide").Toward(Side(s)).String() == "-x"; e.Felted != want {
			t.Errorf("edge %d is felted: %v", s, e.Felted)
		}
	}
	for s, e := range part(t, solid, "narrow").Edges {
		if e.Felted {
			t.Errorf("edge %d of the narrow one is felted", s)
		}
	}
}

// TestFeltRows lays felt on random patches: strips lie in the patch and apart from one
// another, and no point of a wide patch is farther than the shop's spacing from one strip
// to the next.
func TestFeltRows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := func(least, most int64, name string) measure.Length {
			return measure.Length(rapid.Int64Range(least, most).Draw(t, name)) * measure.Micrometre
		}
		felt := &shop.Felt{Width: length(5_000, 50_000, "tape"), Narrow: length(5_000, 120_000, "narrow"), Spacing: length(50_000, 400_000, "spacing")}
		thin := Axis(rapid.IntRange(0, 2).Draw(t, "thin"))
		var patch Box
		for a := range patch.Lo {
			patch.Lo[a] = length(-1_000_000, 1_000_000, "corner")
			patch.Hi[a] = patch.Lo[a] + length(1_000, 1_500_000, "extent")
		}
		patch.Hi[thin] = patch.Lo[thin] + measure.Millimetre
		list := strips(patch, thin, felt)
		for i, s := range list {
			if !patch.holds(s) {
				t.Fatalf("strip %v lies outside the patch %v", s, patch)
			}
			for _, other := range list[:i] {
				if c := s.common(other); min(c.Size(X), c.Size(Y), c.Size(Z)) > 0 {
					t.Fatalf("strips %v and %v lie on one another", s, other)
				}
			}
		}
		if len(list) == 1 {
			return
		}
		// Those along the patch, from one of its longer edges to the other.
		across := (thin + 2) % 3
		if patch.Size((thin+1)%3) < patch.Size(across) {
			across = (thin + 1) % 3
		}
		var at []measure.Length
		for _, s := range append(list[:2:2], list[4:]...) {
			at = append(at, s.Lo[across], s.Hi[across])
		}
		slices.Sort(at)
		if at[0] != patch.Lo[across] || at[len(at)-1] != patch.Hi[across] {
			t.Fatalf("the edges of the patch %v have no felt: %v", patch, at)
		}
		for i := 2; i < len(at); i += 2 {
			if gap := at[i] - at[i-1]; gap > felt.Spacing+1 {
				t.Fatalf("%s mm are free between strips, the spacing is %s mm", gap.Exact(), felt.Spacing.Exact())
			}
		}
	})
}

// TestLined stands a can of 250 x 350 x 400 in a box whose walls are lined: one strip on
// each narrow wall, four round the edge of a wide one, 19 mm wide; the room between the
// felt is what the can has.
func TestLined(t *testing.T) {
	const tray = `cabinet: tray
sizes:
  width: {default: 100 mm, least: 50 mm, most: 900 mm}
  depth: {default: 353 mm, least: 50 mm, most: 900 mm}
  height: {default: 300 mm, least: 50 mm, most: 900 mm}
roles: {carcass: all}
let: {wall: thick.carcass + felt}
parts:
  left: {role: carcass, x: 0, y: [0, depth], z: [0, height], grain: z}
  right: {role: carcass, x: width - thick, y: [0, depth], z: [0, height], grain: z}
  floor: {role: carcass, x: [thick, width - thick], y: [0, depth], z: 0, grain: y}
inside:
  width: width - 2 * wall
  depth: depth
  height: height - wall
  at: {x: wall, y: 0, z: wall}
  lined: [left, right, bottom]
`
	solid := sound(t, bench(), tray)
	// The walls are felted over 353 x 286.6, the height above the felt on the floor; the
	// floor between the felt of the walls, 100 - 2 x 13.4 = 73.2 wide.
	want := []string{
		"floor on its top against contents: 4 strips of 776.4",   // 2 x 353 + 2 x (73.2 - 38)
		"left on its right against contents: 4 strips of 1203.2", // 2 x 353 + 2 x (286.6 - 38)
		"right on its left against contents: 4 strips of 1203.2",
	}
	var got []string
	for _, c := range solid.Contacts {
		got = append(got, fmt.Sprintf("%s on its %s against %s: %d strips of %s", c.On, c.Face.Word(), c.Against, len(c.Strips), c.Felt().Exact()))
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	// Without a gap of felt there is no room for it.
	solid = expand(t, bench(), read(t, strings.Replace(tray, "x: wall,", "x: wall + 2,", 1)), nil)
	if got := fmt.Sprint(solid.Findings); !strings.Contains(got, "no wall is there to be lined at the left of the inside") {
		t.Errorf("the findings are %s", got)
	}
}

// TestWithout takes random openings out of a patch: of every millimetre square of it, just
// what no opening takes lies in one of the rectangles that are left, and in one only.
func TestWithout(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		span := func(name string) (lo, hi measure.Length) {
			from := rapid.Int64Range(-3, 12).Draw(t, name)
			return measure.Length(from) * mm, measure.Length(from+rapid.Int64Range(0, 8).Draw(t, "extent")) * mm
		}
		thin := Axis(rapid.IntRange(0, 2).Draw(t, "thin"))
		first, second := (thin+1)%3, (thin+2)%3
		var patch Box
		patch.Hi[first], patch.Hi[second], patch.Hi[thin] = 12*mm, 9*mm, mm
		openings := make([]Box, rapid.IntRange(0, 4).Draw(t, "openings"))
		for i := range openings {
			o := &openings[i]
			o.Lo[first], o.Hi[first] = span("first")
			o.Lo[second], o.Hi[second] = span("second")
			o.Lo[thin] = -20 * mm // up to the patch, which lies on the part
		}
		rest := without(patch, thin, openings)
		for u := measure.Length(0); u < 12; u++ {
			for v := measure.Length(0); v < 9; v++ {
				var square Box
				square.Lo[first], square.Lo[second] = u*mm, v*mm
				square.Hi[first], square.Hi[second] = u*mm+mm, v*mm+mm
				in := func(boxes []Box) (n int) {
					for _, b := range boxes {
						if c := b.common(square); c.Size(first) > 0 && c.Size(second) > 0 {
							n++
						}
					}
					return n
				}
				want := 1
				if in(openings) > 0 {
					want = 0
				}
				if got := in(rest); got != want {
					t.Fatalf("square %d, %d lies in %d of %v", u, v, got, rest)
				}
			}
		}
	})
}
