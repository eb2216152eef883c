package library_test

import (
	"maps"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
)

// TestInside wants room for a box as large as the declared inside in the cabinet as cut:
// clear of every part, and within all of them together.
func TestInside(t *testing.T) {
	k := catalogue(t)
	var flat []string
	for _, name := range k.Names() {
		d := k.Lookup(name)
		if d.Inside == nil {
			flat = append(flat, name)
			continue
		}
		t.Run(name, rapid.MakeCheck(func(t *rapid.T) {
			_, solid := draw(t, d)
			if !hasRoom(solid) {
				t.Errorf("no room for %s x %s x %s mm", solid.Inside[0].Exact(), solid.Inside[1].Exact(), solid.Inside[2].Exact())
			}
		}))
	}
	if want := []string{"counter", "deck-panel", "divider", "door", "loose-shelf", "table-top", "wall-panel"}; !slices.Equal(flat, want) {
		t.Errorf("%q declare no inside, %q enclose nothing", flat, want)
	}
}

// hasRoom looks for a place of the inside. It begins where some part ends along each
// axis, or where the cabinet begins.
func hasRoom(solid *cabinets.Solid) bool {
	hull := solid.Parts[0].Snapped
	var planes [3][]measure.Length
	for i := range solid.Parts {
		b := solid.Parts[i].Snapped
		for a := range planes {
			hull.Lo[a], hull.Hi[a] = min(hull.Lo[a], b.Lo[a]), max(hull.Hi[a], b.Hi[a])
			planes[a] = append(planes[a], b.Hi[a])
		}
	}
	for a := range planes {
		if solid.Inside[a] <= 0 {
			return false
		}
		planes[a] = append(planes[a], hull.Lo[a])
		slices.Sort(planes[a])
		planes[a] = slices.DeleteFunc(slices.Compact(planes[a]), func(at measure.Length) bool {
			return at+solid.Inside[a] > hull.Hi[a]+rounding
		})
	}
	for _, x := range planes[0] {
		for _, y := range planes[1] {
			for _, z := range planes[2] {
				lo := [3]measure.Length{x, y, z}
				hi := [3]measure.Length{x + solid.Inside[0], y + solid.Inside[1], z + solid.Inside[2]}
				if !slices.ContainsFunc(solid.Parts, func(p cabinets.Part) bool {
					e := common(p.Snapped, cabinets.Box{Lo: lo, Hi: hi})
					return min(e[0], e[1], e[2]) > rounding
				}) {
					return true
				}
			}
		}
	}
	return false
}

// TestHolds wants any cabinet that is given something to hold large enough for it, and too
// small when one of its chosen sizes is a step less.
func TestHolds(t *testing.T) {
	axes := [3]string{"width", "depth", "height"}
	k := catalogue(t)
	for _, name := range k.Names() {
		d := k.Lookup(name)
		if d.Inside == nil {
			continue
		}
		t.Run(name, rapid.MakeCheck(func(t *rapid.T) {
			s, given := draw(t, d)
			step := s.Saw.Step
			held := &cabinets.Held{Object: "crate", Clearance: measure.Length(rapid.Int64Range(0, 8000).Draw(t, "clearance")) * um}
			var need [3]measure.Length
			for a := range held.Size { // something that some size holds
				share := rapid.Int64Range(20, 100).Draw(t, "share of the inside")
				held.Size[a] = max(given.Inside[a]*measure.Length(share)/100-2*held.Clearance, mm)
				need[a] = held.Size[a] + 2*held.Clearance
			}
			expand := func(sizes map[string]measure.Length) (*cabinets.Solid, map[string]measure.Length) {
				solid, err := cabinets.Expand(s, d, cabinets.Choice{Sizes: sizes, Holds: held})
				if err != nil {
					t.Fatal(err)
				}
				return solid, sizesOf(solid)
			}
			others := sizesOf(given)
			for _, axis := range axes {
				delete(others, axis)
			}
			solid, chosen := expand(others)
			for a, axis := range axes {
				size := chosen[axis]
				most := limit(d, axis, func(s cabinets.Size) measure.Length { return s.Most.SnapDown(step) })
				if solid.Inside[a] < need[a] && size < most {
					t.Errorf("%s: %s mm of %s are needed, %s mm are there", axis, need[a].Exact(), axis, solid.Inside[a].Exact())
				}
				if size%step != 0 {
					t.Errorf("%s %s mm is no multiple of the step", axis, size.Exact())
				}
				least := limit(d, axis, func(s cabinets.Size) measure.Length { return s.Least })
				if size-step < least {
					continue
				}
				less := maps.Clone(chosen)
				less[axis] -= step
				if small, _ := expand(less); small.Inside[a] >= need[a] {
					t.Errorf("%s %s mm is chosen, and a step less holds it too", axis, size.Exact())
				}
			}
		}))
	}
}

// sizesOf returns the sizes of a solid by name.
func sizesOf(solid *cabinets.Solid) map[string]measure.Length {
	sizes := map[string]measure.Length{}
	for _, s := range solid.Sizes {
		sizes[s.Name] = s.Value
	}
	return sizes
}

// limit returns an end of the range of a size.
func limit(d *cabinets.Definition, name string, of func(cabinets.Size) measure.Length) measure.Length {
	for _, s := range d.Sizes {
		if s.Name == name {
			return of(s)
		}
	}
	panic(d.Name + " has no size " + name)
}
