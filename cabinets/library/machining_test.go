package library_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
)

// machined returns the holes or cut-outs of a part with what they are about.
func machined(solid *cabinets.Solid, part, about string) (boxes []cabinets.Box) {
	for i := range solid.Parts {
		if solid.Parts[i].Name != part {
			continue
		}
		for _, f := range solid.Parts[i].Features {
			if f.About == about {
				boxes = append(boxes, f.Box)
			}
		}
	}
	return boxes
}

// TestDoorHinges holds the cups of a door to common practice (no source): 35 mm wide, at
// least 12.6 deep, 3 to 7 from the edge.
func TestDoorHinges(t *testing.T) {
	d := catalogue(t).Lookup("door")
	rapid.Check(t, func(t *rapid.T) {
		s, solid := draw(t, d)
		panel := &solid.Parts[0]
		cups := machined(solid, "panel", "hinge cup")
		hinges := map[string]int{}
		for _, h := range solid.Hardware {
			hinges[h.Item.Kind] += h.Count
		}
		if hinges["cup-hinge"] != len(cups) || hinges["cup-hinge"]+hinges["hinge"] < 2 || hinges["cup-hinge"]*hinges["hinge"] > 0 {
			t.Errorf("%d cups, hinges %v", len(cups), hinges)
		}
		for _, c := range cups {
			within(t, "width of a cup", c.Size(0), 35*mm, 35*mm)
			within(t, "depth of a cup", c.Size(2), 12600*um, 12600*um)
			// u runs up the door, v across it. The edge is that of the door with its bands.
			edge := min(c.Lo[1], panel.Width-c.Hi[1])
			if sizesOf(solid)["hang"] == 0 {
				edge = panel.Length - c.Hi[0]
			}
			edge += s.Roles["front"].Edges.Off()
			within(t, "from the edge to a cup", edge, 3*mm, 7*mm)
		}
	})
}

// TestThinDoor wants no cup in a door that it would go through, or nearly.
func TestThinDoor(t *testing.T) {
	d := catalogue(t).Lookup("door")
	for thickness, cups := range map[measure.Length]int{11900 * um: 0, 12600 * um: 0, 14000 * um: 0, 14100 * um: 2, 15200 * um: 2} {
		s := workshop()
		s.Roles["front"] = of(thickness, thickness)
		solid, err := cabinets.Expand(s, d, cabinets.Choice{})
		if err != nil {
			t.Fatal(err)
		}
		if got := len(machined(solid, "panel", "hinge cup")); got != cups || len(solid.Findings) > 0 {
			t.Errorf("%s mm: %d cups, want %d; %v", thickness.Exact(), got, cups, solid.Findings)
		}
	}
}

// TestDowelHoles wants a hole in the back of a long box opposite each one in the front.
func TestDowelHoles(t *testing.T) {
	d := catalogue(t).Lookup("long-box")
	rapid.Check(t, func(t *rapid.T) {
		_, solid := draw(t, d)
		places := func(part string) (at [][2]measure.Length) {
			for _, b := range machined(solid, part, "dowel") {
				at = append(at, [2]measure.Length{b.Lo[0], b.Lo[1]})
			}
			return at
		}
		front, back := places("front"), places("back")
		if diff := cmp.Diff(front, back); diff != "" || len(front) == 0 {
			t.Errorf("%d holes in the front, (-) those in the front, (+) in the back:\n%s", len(front), diff)
		}
	})
}

// TestBenchEndAir wants openings low and high in the front, so that air passes what stands
// between them.
func TestBenchEndAir(t *testing.T) {
	d := catalogue(t).Lookup("bench-end")
	rapid.Check(t, func(t *rapid.T) {
		_, solid := draw(t, d)
		low, high := 0, 0
		front := parts(solid, "front")[0]
		for _, b := range machined(solid, "front", "vent") {
			if b.Hi[0] < front.Size(cabinets.Z)/3 {
				low++
			}
			if b.Lo[0] > front.Size(cabinets.Z)*2/3 {
				high++
			}
		}
		grilles := 0
		for _, h := range solid.Hardware {
			if h.Item.Kind == "vent" {
				grilles += h.Count
			}
		}
		if low == 0 || low != high || grilles != low+high {
			t.Errorf("%d vents low, %d high, %d grilles", low, high, grilles)
		}
	})
}

// TestTableStows wants a table top to lie in the drawer that it is made for.
func TestTableStows(t *testing.T) {
	k := catalogue(t)
	rapid.Check(t, func(t *rapid.T) {
		s, table := draw(t, k.Lookup("table-top"))
		sizes := sizesOf(table)
		drawer, err := cabinets.Expand(s, k.Lookup("drawer-box"), cabinets.Choice{Sizes: map[string]measure.Length{
			"width": sizes["drawer-width"], "depth": sizes["drawer-depth"],
		}})
		if err != nil {
			t.Fatal(err)
		}
		for a, name := range []string{"length", "breadth"} {
			within(t, "room for its "+name, drawer.Inside[a]-table.Parts[0].Snapped.Size(cabinets.Axis(a)), 2*sizes["gap"]-s.Saw.Step, 2*sizes["gap"]+s.Saw.Step)
		}
	})
}
