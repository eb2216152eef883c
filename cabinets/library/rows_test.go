package library_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
)

// drilled is a hole of hardware in a part: its middle in the cabinet.
type drilled struct {
	part     *cabinets.Part
	box      cabinets.Box
	at       [3]measure.Length // 0 along the thickness
	inwards  bool              // drilled from the face that looks into the cabinet
	diameter measure.Length
}

// front is how far the middle lies behind the finished front edge of its part.
func (d *drilled) front() measure.Length { return d.at[cabinets.Y] - d.part.Snapped.Lo[cabinets.Y] }

// drilledFor returns the holes that hardware of a name has in a cabinet.
func drilledFor(solid *cabinets.Solid, name string) (list []drilled) {
	for i := range solid.Parts {
		p := &solid.Parts[i]
		cut, third := p.Cut(), cabinets.X+cabinets.Y+cabinets.Z-p.Thin-p.Long
		down := (third-p.Long+3)%3 == 2 // v runs from high to low
		for _, f := range p.Features {
			if f.About != name {
				continue
			}
			d := drilled{part: p, box: f.Box, diameter: f.Box.Size(0)}
			d.at[p.Long] = cut.Lo[p.Long] + f.Box.Lo[0] + d.diameter/2
			d.at[third] = cut.Lo[third] + f.Box.Lo[1] + d.diameter/2
			if down {
				d.at[third] = cut.Hi[third] - f.Box.Lo[1] - d.diameter/2
			}
			middle := (solid.Outside.Lo[p.Thin] + solid.Outside.Hi[p.Thin]) / 2
			low := f.Box.Lo[2] == 0
			d.inwards = low == (p.Box.Lo[p.Thin] > middle)
			list = append(list, d)
		}
	}
	return list
}

// TestThirtyTwo holds all holes for slides, hinge plates and shelf pins to the 32 mm system,
// common practice, no source: holes of 5 mm on a pitch of 32 mm, the front row 37 mm behind the front
// edge where the front lies over it, and that much and the front's thickness where the front
// is inset (as the lip of a shelf unit is). They go into the inner faces of the cabinet.
func TestThirtyTwo(t *testing.T) {
	for _, c := range []struct {
		cabinet, hardware string
		inset             bool
	}{
		{"drawer-bank", "slide", false},
		{"pantry", "slide", false},
		{"galley-base", "slide", false},
		{"galley-base", "plate", false},
		{"overhead-locker", "plate", false},
		{"shelf-unit", "pin", true},
	} {
		d, some := catalogue(t).Lookup(c.cabinet), false
		t.Run(c.cabinet+" "+c.hardware, rapid.MakeCheck(func(t *rapid.T) {
			s, solid := draw(t, d)
			row := 37 * mm
			if c.inset {
				row += s.Roles["carcass"].Material.Thickness
			}
			holes, nearest := drilledFor(solid, c.hardware), measure.Length(measure.Most)
			for _, h := range holes {
				some = true
				within(t, "diameter", h.diameter, 5*mm, 5*mm)
				if off := (h.front() - row) % (32 * mm); min(off, 32*mm-off) > rounding {
					t.Errorf("%s: a hole %s mm behind the front edge is off the grid", h.part.Name, h.front().Exact())
				}
				if !h.inwards && h.part.Name != "partition" {
					t.Errorf("%s: a hole in the outer face", h.part.Name)
				}
				nearest = min(nearest, h.front())
			}
			if len(holes) > 0 {
				within(t, "front row", nearest, row-rounding, row+rounding)
			}
		}))
		if !some {
			t.Errorf("%s: no hole for a %s was ever drilled", c.cabinet, c.hardware)
		}
	}
}

// TestSlideHoles wants the holes of each drawer's slides at one height on either side, where
// the box is.
func TestSlideHoles(t *testing.T) {
	for _, name := range []string{"drawer-bank", "galley-base"} {
		d := catalogue(t).Lookup(name)
		t.Run(name, rapid.MakeCheck(func(t *rapid.T) {
			_, solid := draw(t, d)
			holes := drilledFor(solid, "slide")
			var boxes []cabinets.Box
			if sizesOf(solid)["drawers"] > 0 {
				boxes = parts(solid, `drawer-\d+\.(left|right)-side`)
			}
			for _, box := range boxes {
				n := 0
				for _, h := range holes {
					off := max(gap(h.part.Snapped, box, cabinets.X), gap(box, h.part.Snapped, cabinets.X))
					if z := h.at[cabinets.Z]; off < 20*mm && box.Lo[cabinets.Z]+15*mm < z && z < box.Hi[cabinets.Z]-15*mm {
						n++
					}
				}
				if n != 3 {
					t.Errorf("a side of a box at %s mm has %d holes beside it, not the slide's 3", box.Lo[cabinets.Z].Exact(), n)
				}
			}
			if len(holes) != 3*len(boxes) {
				t.Errorf("%d holes for %d sides of boxes", len(holes), len(boxes))
			}
		}))
	}
}

// TestSlideHolesByHand: the middle line of the lowest slide of a bank is at 71.9 + 15 + 40 = 126.9,
// 40 above the edge of its box; boxes 230 high follow every (766.2 - 25 - 230) / 2 = 255.6. All
// holes are 37, 261 and 453 from the front of the side; v runs there from the back, 533.5 deep.
func TestSlideHolesByHand(t *testing.T) {
	solid, err := cabinets.Expand(workshop(), catalogue(t).Lookup("drawer-bank"), cabinets.Choice{Sizes: drawerBank.sizes})
	if err != nil {
		t.Fatal(err)
	}
	var want []string
	for _, up := range []string{"126.9", "382.5", "638.1"} {
		for _, behind := range []string{"37", "261", "453"} {
			want = append(want, up+" up, "+behind+" behind")
		}
	}
	for _, side := range []string{"left-side", "right-side"} {
		var got []string
		for _, h := range drilledFor(solid, "slide") {
			if h.part.Name == side {
				got = append(got, (h.box.Lo[0]+5*mm/2).Exact()+" up, "+h.front().Exact()+" behind")
			}
		}
		slices.Sort(got)
		slices.Sort(want)
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s: by hand (-) and worked out (+):\n%s", side, diff)
		}
	}
}

// TestManyDrawers: 560 less the kick of 60 is room for six fronts of 68 + 11.9 and a step; of
// twelve drawers six are made, and a warning says so.
func TestManyDrawers(t *testing.T) {
	for _, c := range []struct {
		height       measure.Length
		asked, made  int
		wantsWarning bool
	}{{1200 * mm, 12, 12, false}, {560 * mm, 6, 6, false}, {560 * mm, 12, 6, true}} {
		solid, err := cabinets.Expand(workshop(), catalogue(t).Lookup("drawer-bank"), cabinets.Choice{Sizes: map[string]measure.Length{
			"height": c.height, "kick": 60 * mm, "drawers": measure.Length(c.asked),
		}})
		if err != nil {
			t.Fatal(err)
		}
		warned := false
		for _, f := range solid.Findings {
			warned = warned || f.Text == "there is no room for so many drawers"
			if f.Level == cabinets.LevelError {
				t.Errorf("%s: %s", f.Where, f.Text)
			}
		}
		if made := len(parts(solid, `front-\d+`)); made != c.made || warned != c.wantsWarning {
			t.Errorf("%d of %d drawers are made, want %d; warned %t", made, c.asked, c.made, warned)
		}
	}
}

// TestPlatesMeetCups wants two holes, 32 mm apart, in the carcass for each cup in a door, and in line with it.
func TestPlatesMeetCups(t *testing.T) {
	for name, along := range map[string]cabinets.Axis{"galley-base": cabinets.Z, "overhead-locker": cabinets.X} {
		d := catalogue(t).Lookup(name)
		t.Run(name, rapid.MakeCheck(func(t *rapid.T) {
			s, solid := draw(t, d)
			cups, plates := drilledFor(solid, "hinge cup"), drilledFor(solid, "plate")
			for _, c := range cups {
				n := 0
				for _, p := range plates {
					off := p.at[along] - c.at[along]
					if off = max(off, -off) - 16*mm; max(off, -off) <= s.Saw.Step {
						n++
					}
				}
				if n != 2 {
					t.Errorf("%s: a cup at %s mm along %s has %d holes for its plate", c.part.Name, c.at[along].Exact(), along, n)
				}
			}
			if len(plates) != 2*len(cups) {
				t.Errorf("%d holes of plates, %d cups", len(plates), len(cups))
			}
		}))
	}
}

// TestShelvesOnPins wants four holes right under every loose shelf, and holes above and below
// to move it by.
func TestShelvesOnPins(t *testing.T) {
	d := catalogue(t).Lookup("shelf-unit")
	loose := 0
	rapid.Check(t, func(t *rapid.T) {
		s := drawShop(t)
		sizes := drawSizes(t, d)
		sizes["adjustable"] = 1
		solid, err := cabinets.Expand(s, d, cabinets.Choice{Sizes: sizes})
		if err != nil {
			t.Fatal(err)
		}
		holes, fixed := drilledFor(solid, "pin"), 0
		var shelves []cabinets.Box
		for i := range solid.Parts {
			switch p := &solid.Parts[i]; {
			case strings.HasPrefix(p.Name, "shelf-"):
				fixed++
			case strings.HasSuffix(p.Name, ".shelf"):
				shelves = append(shelves, p.Snapped)
			}
		}
		loose += len(shelves)
		for _, b := range shelves {
			under := b.Lo[cabinets.Z] - 5*mm/2
			found := map[measure.Length]int{}
			for _, h := range holes {
				for _, move := range []measure.Length{-32 * mm, 0, 32 * mm} {
					if off := h.at[cabinets.Z] - under - move; max(off, -off) <= s.Saw.Step && b.Lo[cabinets.Y] < h.at[cabinets.Y] && h.at[cabinets.Y] < b.Hi[cabinets.Y] {
						found[move]++
					}
				}
			}
			if found[0] != 4 || found[32*mm]+found[-32*mm] < 4 {
				t.Errorf("a shelf at %s mm has %v holes", b.Lo[cabinets.Z].Exact(), found)
			}
		}
		if len(shelves)+fixed != int(sizes["shelves"]) {
			t.Errorf("%d loose shelves and %d fixed ones, want %d", len(shelves), fixed, sizes["shelves"])
		}
	})
	if loose == 0 {
		t.Error("no shelf was ever loose")
	}
}

// TestDemoSlides holds the demo's slides to the 32 mm system (common practice, no source): the
// first hole 37 mm from the front, all on the pitch, and within the slide.
func TestDemoSlides(t *testing.T) {
	var c source.Collector
	s, _ := demoShop(&c)
	if err := c.Err(); err != nil {
		t.Fatal(err)
	}
	for _, h := range s.Hardware {
		if !strings.HasSuffix(h.Kind, "slide") {
			continue
		}
		for _, l := range h.Lengths {
			if len(l.Holes) < 3 || l.Holes[0].Behind != 37*mm || h.Hole.Diameter != 5*mm {
				t.Errorf("%s, %s mm: holes %v", h.Name, l.Length.Exact(), l.Holes)
			}
			for _, at := range l.Holes {
				if (at.Behind-37*mm)%(32*mm) != 0 || at.Behind > l.Length-10*mm || at.Above != 0 {
					t.Errorf("%s, %s mm: a hole at %s mm", h.Name, l.Length.Exact(), at.Behind.Exact())
				}
			}
		}
	}
}
