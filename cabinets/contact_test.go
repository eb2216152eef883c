package cabinets

import (
	"fmt"
	"testing"

	"sawbook/cabinets/measure"
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
		if runs, total := strips(test.a, test.b, &felt); runs != test.runs || total.Exact() != test.want {
			t.Errorf("%s x %s: %d strips of %s mm, want %d of %s", test.a.Exact(), test.b.Exact(), runs, total.Exact(), test.runs, test.want)
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
		got := fmt.Sprintf("%s on its %s against %s, gap %s: %d strip of %s", c.On, where, c.Against, c.Gap.Exact(), c.Runs, c.Felt.Exact())
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
	if len(solid.Contacts) != 1 || solid.Contacts[0].On != "wide" || solid.Contacts[0].Felt != 400*mm {
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
