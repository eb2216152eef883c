package cabinets

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// stray lists felt of an interior that reaches out over the part that carries it: there a place measured from the
// part's front would be below 0.
func stray(in *Interior) (list []string) {
	look := func(p *Placed, c Contact) {
		part := p.Solid.Part(c.On).Box
		for _, strip := range c.Strips {
			for a := X; a <= Z; a++ {
				if a != c.Face.Axis() && (strip.Lo[a] < part.Lo[a] || strip.Hi[a] > part.Hi[a]) {
					list = append(list, fmt.Sprintf("%s: %s: felt against %s along %s", p.Name, c.On, c.Against, a))
				}
			}
		}
	}
	for i := range in.Cabinets {
		for _, c := range in.Cabinets[i].Solid.Contacts {
			look(&in.Cabinets[i], c)
		}
	}
	for _, c := range in.Contacts {
		look(in.Carrier(c))
	}
	return list
}

// TestFeltLiesOnItsPart turns cabinets and moves them along one another and the walls: their felt lies on the
// parts that carry it, in the cabinet's own frame.
func TestFeltLiesOnItsPart(outer *testing.T) {
	felted := 0
	rapid.Check(outer, func(t *rapid.T) {
		pick := func(name string, from ...string) string { return rapid.SampledFrom(from).Draw(t, name) }
		turn := func(name string) string { return pick(name, "0", "90", "180", "270") }
		text := strings.NewReplacer("TURN-A", turn("a"), "TURN-B", turn("b"), "TURN-C", turn("c"), "X", pick("x", "-90 mm", "0", "130 mm"), "Y", pick("y", "-250 mm", "0", "40 mm"),
			"SIDE", pick("side", "left", "back", "right", "bottom")).Replace(`layout: Wren
inside: {length: 3 m, width: 2 m, height: 2 m}
cabinets:
  a: {cabinet: crate, at: [900, 700, 300], turn: TURN-A, against: [SIDE]}
  b: {cabinet: crate, beside: a, shift: [0, Y, 0], turn: TURN-B, sizes: {width: 500 mm, boards: 2}}
  c: {cabinet: crate, above: a, shift: [X, Y, 0], turn: TURN-C}
`)
		in, faults := wren(outer, text)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		felted += len(in.Contacts)
		for _, s := range stray(in) {
			t.Error(s)
		}
	})
	if felted == 0 {
		outer.Error("no cabinets touched")
	}
}
