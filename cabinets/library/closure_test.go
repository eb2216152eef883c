// Package library_test holds every built-in cabinet to what a solid must be, over the
// whole range of all its sizes and in materials as thick as they really come.
package library_test

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
)

const (
	mm = measure.Millimetre
	um = measure.Micrometre
	// rounding is how far apart planes may lie that were worked out by different formulas.
	rounding = um
)

// catalogue reads the built-in cabinets, and no shop's own.
func catalogue(t *testing.T) *cabinets.Catalogue {
	t.Helper()
	var c source.Collector
	k := cabinets.NewCatalogue(&c, t.TempDir())
	for _, name := range k.Names() {
		k.Lookup(name)
	}
	if err := c.Err(); err != nil {
		t.Fatal(err)
	}
	return k
}

// sheet is a material by what a data sheet for birch plywood says of it: its nominal
// thickness, and the least and most that are measured.
type sheet struct{ nominal, least, most measure.Length }

var (
	thin  = []sheet{{6*mm + mm/2, 6100 * um, 6900 * um}, {9 * mm, 8800 * um, 9500 * um}}
	thick = []sheet{{12 * mm, 11500 * um, 12500 * um}, {15 * mm, 14300 * um, 15300 * um}, {18 * mm, 17100 * um, 18100 * um}}
)

// drawShop draws a shop that works in mm or in inches, and what its roles are made of.
func drawShop(t *rapid.T) *shop.Shop {
	s := &shop.Shop{Roles: map[string]shop.Fill{}, Felt: shop.Felt{Width: 19 * mm, Narrow: 60 * mm}}
	s.Felt.Pressed = rapid.SampledFrom([]measure.Length{mm, 1500 * um, 2 * mm, measure.Inch / 16}).Draw(t, "felt")
	s.Saw.Step = rapid.SampledFrom([]measure.Length{mm / 2, mm, mm / 10, measure.Inch / 32}).Draw(t, "step")
	// Track saw, thin and full kerf, panel saw: common practice, no source.
	s.Saw.Kerf = rapid.SampledFrom([]measure.Length{2200 * um, 2400 * um, 3200 * um, 4400 * um}).Draw(t, "kerf")
	fill := func(role string, of []sheet) {
		as := rapid.SampledFrom(of).Draw(t, role)
		thickness := rapid.Int64Range(int64(as.least/um), int64(as.most/um)).Draw(t, "thickness of "+role)
		s.Roles[role] = shop.Fill{Material: &shop.Material{
			ID: role, Nominal: as.nominal, Thickness: measure.Length(thickness) * um, Density: 700, Grain: true, GoodFaces: 2,
		}, Edges: drawEdges(t, role)}
	}
	for _, role := range []string{"carcass", "drawer", "front", "lid", "top"} {
		fill(role, thick)
	}
	for _, role := range []string{"back", "bottom", "panel"} {
		fill(role, thin)
	}
	for _, of := range []struct {
		kind string
		side measure.Length
		load float64
	}{{"slide", 12700 * um, 45}, {"slide", 12700 * um, 70}, {"slide", 12700 * um, 120}, {"pantry-slide", 19100 * um, 150}} {
		h := &shop.Hardware{ID: of.kind, Kind: of.kind, Side: of.side, Load: of.load, Pack: 1, Hole: bore}
		// Side-mount slides come from 250 to 600 mm by 50 mm, or from 10 to 28 in by 2 in:
		// common practice, no source.
		for i := range measure.Length(8) {
			h.Lengths = append(h.Lengths, shop.SlideLength{Length: (250 + 50*i) * mm})
		}
		if s.Saw.Step == measure.Inch/32 {
			h.Lengths = nil
			for i := range measure.Length(10) {
				h.Lengths = append(h.Lengths, shop.SlideLength{Length: (10 + 2*i) * measure.Inch})
			}
		}
		for i := range h.Lengths {
			last := (h.Lengths[i].Length - 50*mm) / (32 * mm) * (32 * mm)
			h.Lengths[i].Holes = []shop.Spot{{Behind: 37 * mm}, {Behind: 37*mm + 32*mm}, {Behind: 37*mm + last}}
		}
		s.Hardware = append(s.Hardware, h)
	}
	drawJoints(t, s)
	// The 32 mm system: common practice, no source.
	s.Hardware = append(s.Hardware,
		&shop.Hardware{ID: "hinge-plate", Kind: "hinge-plate", Pack: 1, Hole: bore, Holes: []shop.Spot{{Behind: 37 * mm, Above: -16 * mm}, {Behind: 37 * mm, Above: 16 * mm}}},
		&shop.Hardware{ID: "shelf-pin", Kind: "shelf-pin", Pack: 1, Hole: bore, Holes: []shop.Spot{{}}})
	for _, kind := range []string{"latch", "hinge", "guide", "cup-hinge", "gas-strut", "vent", "dowel", "folding-bracket", "pull"} {
		s.Hardware = append(s.Hardware, &shop.Hardware{ID: kind, Kind: kind, Pack: 1})
	}
	return s
}

// bore is the hole of the 32 mm system.
var bore = shop.Bore{Diameter: 5 * mm, Depth: 10 * mm}

// drawEdges draws what the edges of a role get: nothing, or a band 0.5, 1, 2 or 3 mm thick
// (common practice, no source) or a lipping, which may come off the cut size.
func drawEdges(t *rapid.T, role string) (edges shop.Treatment) {
	if thickness := rapid.SampledFrom([]measure.Length{0, 500 * um, mm, 2 * mm, 3 * mm, 8 * mm}).Draw(t, "band of "+role); thickness > 0 {
		edges.Band = &shop.Band{ID: "band of " + role, Thickness: thickness, Lipping: thickness > 3*mm, Density: 700}
		edges.Band.Width = rapid.SampledFrom([]measure.Length{10 * mm, 23 * mm}).Draw(t, "width of that band")
		edges.Deduct = rapid.Bool().Draw(t, "deduct from "+role)
	}
	return edges
}

// drawJoints draws how carcasses and boxes are joined: by glue, by screws or in dadoes.
func drawJoints(t *rapid.T, s *shop.Shop) {
	screw := &shop.Hardware{ID: "screw", Kind: "screw", Pack: 1}
	s.Hardware = append(s.Hardware, screw)
	s.Joints = []*shop.Joint{
		{ID: "screwed", Kind: shop.Butt, Glued: true, Fixing: screw, Spacing: 150 * mm, End: 30 * mm,
			Hole: shop.Bore{Diameter: 4500 * um}, Pilot: shop.Bore{Diameter: 2500 * um, Depth: 35 * mm}},
		{ID: "housed", Kind: shop.Dado, Glued: true, Depth: 4 * mm, Allowance: 100 * um},
		{ID: "dry", Kind: shop.Connector, Fixing: screw, Spacing: 200 * mm, End: 30 * mm},
	}
	for _, role := range []string{"carcass", "drawer"} {
		fill := s.Roles[role]
		fill.Joint = rapid.SampledFrom(append(s.Joints, nil)).Draw(t, "joint of "+role)
		s.Roles[role] = fill
	}
}

// drawSizes draws every size of a cabinet from its whole range.
func drawSizes(t *rapid.T, d *cabinets.Definition) map[string]measure.Length {
	sizes := map[string]measure.Length{}
	for _, s := range d.Sizes {
		unit := um
		if s.Whole {
			unit = 1
		}
		sizes[s.Name] = unit * measure.Length(rapid.Int64Range(int64(s.Least/unit), int64(s.Most/unit)).Draw(t, s.Name))
	}
	return sizes
}

// draw draws a cabinet.
func draw(t *rapid.T, d *cabinets.Definition) (*shop.Shop, *cabinets.Solid) {
	s := drawShop(t)
	solid, err := cabinets.Expand(s, d, cabinets.Choice{Sizes: drawSizes(t, d)})
	if err != nil {
		t.Fatal(err)
	}
	return s, solid
}

func TestClosure(t *testing.T) {
	k := catalogue(t)
	for _, name := range k.Names() {
		d := k.Lookup(name)
		t.Run(name, rapid.MakeCheck(func(t *rapid.T) {
			s, solid := draw(t, d)
			checkFindings(t, solid)
			checkSizes(t, s, solid)
			checkOutside(t, "as designed", solid, rounding, func(p *cabinets.Part) cabinets.Box { return p.Box })
			checkOutside(t, "as cut", solid, s.Saw.Step, func(p *cabinets.Part) cabinets.Box { return p.Snapped })
			checkPairs(t, s, solid)
		}))
	}
}

// checkFindings wants no findings but those of the definition's own checks.
func checkFindings(t *rapid.T, solid *cabinets.Solid) {
	var own []string
	var gather func(d *cabinets.Definition)
	gather = func(d *cabinets.Definition) {
		for _, c := range d.Checks {
			own = append(own, c.Say)
		}
		for _, u := range d.Uses {
			gather(u.Cabinet)
		}
	}
	gather(solid.Definition)
	for _, f := range solid.Findings {
		if f.Level == cabinets.LevelError || !slices.Contains(own, f.Text) {
			t.Errorf("%s: %s: %s", f.Level, f.Where, f.Text)
		}
	}
}

// checkSizes wants every part to be something that a saw can be set to.
func checkSizes(t *rapid.T, s *shop.Shop, solid *cabinets.Solid) {
	for i := range solid.Parts {
		p := &solid.Parts[i]
		if p.Length < 20*mm || p.Width < 20*mm {
			t.Errorf("%s is %s x %s mm", p.Name, p.Length.Exact(), p.Width.Exact())
		}
		if p.SawnFrom == "" && (p.Length%s.Saw.Step != 0 || p.Width%s.Saw.Step != 0) {
			t.Errorf("%s: %s x %s mm is not in steps of %s mm", p.Name, p.Length.Exact(), p.Width.Exact(), s.Saw.Step.Exact())
		}
		if got := p.Snapped.Size(p.Thin); got != p.Material.Thickness {
			t.Errorf("%s is %s mm thick, its sheet %s mm", p.Name, got.Exact(), p.Material.Thickness.Exact())
		}
	}
}

// checkOutside wants the parts to fill the outside, within a tolerance: the sizes width,
// depth and height, or what the definition declares instead.
func checkOutside(t *rapid.T, when string, solid *cabinets.Solid, tolerance measure.Length, box func(*cabinets.Part) cabinets.Box) {
	for axis, name := range []string{"width", "depth", "height"} {
		want := solid.Outside.Size(cabinets.Axis(axis))
		for _, s := range solid.Sizes {
			if s.Name == name && solid.Definition.Outside[axis].Text() == name {
				want = s.Value
			}
		}
		lo, hi := measure.Most, -measure.Most
		for i := range solid.Parts {
			b := box(&solid.Parts[i])
			lo, hi = min(lo, b.Lo[axis]), max(hi, b.Hi[axis])
		}
		if off := hi - lo - want; max(off, -off) > tolerance {
			t.Errorf("%s: the parts take %s mm, %s is %s mm", when, (hi - lo).Exact(), name, want.Exact())
		}
	}
}

var counter = regexp.MustCompile(`-\d+(\.|$)`)

// rule finds the rule of a part by its name, and the name of the cabinet in it ("" or
// "drawer-1.").
func rule(d *cabinets.Definition, part string) (*cabinets.PartRule, string) {
	at := strings.LastIndexByte(part, '.') + 1
	for _, stem := range strings.Split(strings.TrimSuffix(part[:at], "."), ".") {
		for i := range d.Uses {
			if u := &d.Uses[i]; u.Name == stem || u.Name == counter.ReplaceAllString(stem, "") {
				d = u.Cabinet
				break
			}
		}
	}
	for i := range d.Parts {
		if p := &d.Parts[i]; p.Name == part[at:] || p.Count != nil && p.Name == counter.ReplaceAllString(part[at:], "") {
			return p, part[:at]
		}
	}
	panic("no rule makes " + part)
}

// grooved reports whether part a has a groove for part b.
func grooved(d *cabinets.Definition, a, b string) bool {
	ra, ina := rule(d, a)
	rb, inb := rule(d, b)
	return ina == inb && slices.ContainsFunc(ra.Grooves, func(g cabinets.GrooveRule) bool { return g.For == rb.Name })
}

// common returns the extents of what two boxes share, below 0 where they are apart.
func common(a, b cabinets.Box) (e [3]measure.Length) {
	for axis := range e {
		e[axis] = min(a.Hi[axis], b.Hi[axis]) - max(a.Lo[axis], b.Lo[axis])
	}
	return e
}

// checkPairs wants no two parts in the same place, a groove of at most half the thickness
// excepted, and joints that still close when the parts are cut.
func checkPairs(t *rapid.T, s *shop.Shop, solid *cabinets.Solid) {
	for i := range solid.Parts {
		a := &solid.Parts[i]
		for k := range i {
			b := &solid.Parts[k]
			designed, cut := common(a.Box, b.Box), common(a.Snapped, b.Snapped)
			if through(a, b) || through(b, a) {
				continue
			}
			for when, e := range map[string][3]measure.Length{"as designed": designed, "as cut": cut} {
				if min(e[0], e[1], e[2]) <= rounding {
					continue
				}
				in := measure.Length(0) // how deep one is in a groove of the other
				switch {
				case grooved(solid.Definition, a.Name, b.Name):
					in = e[a.Thin] - a.Material.Thickness/2
				case grooved(solid.Definition, b.Name, a.Name):
					in = e[b.Thin] - b.Material.Thickness/2
				default:
					t.Errorf("%s: %s and %s are in the same place: %v", when, a.Name, b.Name, e)
				}
				if in > rounding {
					t.Errorf("%s: %s and %s are %s mm deeper in one another than half the thickness", when, a.Name, b.Name, in.Exact())
				}
			}
			if a.Assembly != b.Assembly || !joined(designed) {
				continue
			}
			for axis, extent := range cut {
				if -extent > s.Saw.Step+rounding {
					t.Errorf("%s and %s meet as designed, and stand %s mm apart along %s as cut", a.Name, b.Name, (-extent).Exact(), "xyz"[axis:axis+1])
				}
			}
		}
	}
}

// through reports whether part b, as cut, stands in a cut-out of part a. In a part's own
// frame u runs along its length, v across it and w through it, v from high to low unless
// length, width and thickness are x, y, z in cyclic order.
func through(a, b *cabinets.Part) bool {
	across := cabinets.X + cabinets.Y + cabinets.Z - a.Thin - a.Long
	for _, f := range a.Features {
		if f.Kind != cabinets.Cutout {
			continue
		}
		lo, hi := f.Box.Lo[1], f.Box.Hi[1]
		if across != (a.Long+1)%3 {
			lo, hi = a.Width-hi, a.Width-lo
		}
		at := a.Cut().Lo
		if at[a.Long]+f.Box.Lo[0] <= b.Snapped.Lo[a.Long] && b.Snapped.Hi[a.Long] <= at[a.Long]+f.Box.Hi[0] &&
			at[across]+lo <= b.Snapped.Lo[across] && b.Snapped.Hi[across] <= at[across]+hi {
			return true
		}
	}
	return false
}

// joined reports whether boxes that share such extents touch in a patch, or overlap.
func joined(e [3]measure.Length) bool {
	planes := 0
	for _, extent := range e {
		switch {
		case extent < -rounding:
			return false
		case extent <= rounding:
			planes++
		}
	}
	return planes <= 1
}

// parts returns the boxes, as cut, of the parts that a pattern names, from the lowest up.
func parts(solid *cabinets.Solid, pattern string) []cabinets.Box {
	re := regexp.MustCompile("^(" + pattern + ")$")
	var boxes []cabinets.Box
	for i := range solid.Parts {
		if re.MatchString(solid.Parts[i].Name) {
			boxes = append(boxes, solid.Parts[i].Snapped)
		}
	}
	if len(boxes) == 0 {
		panic("no part is called " + pattern)
	}
	slices.SortFunc(boxes, func(a, b cabinets.Box) int { return int(a.Lo[cabinets.Z] - b.Lo[cabinets.Z]) })
	return boxes
}

// gap is a gap along an axis from the high side of one part to the low side of another.
func gap(from, to cabinets.Box, axis cabinets.Axis) measure.Length {
	return to.Lo[axis] - from.Hi[axis]
}

// within wants a measure in a range; what the fence's step takes off comes on top.
func within(t *rapid.T, what string, got, least, most measure.Length) {
	if got < least-rounding || got > most+rounding {
		t.Errorf("%s: %s mm, want %s to %s", what, got.Exact(), least.Exact(), most.Exact())
	}
}

// TestDrawerRoom holds the gaps of drawers, as cut, to common practice (no source): side
// space 12.7 mm, of which slide makers ask 12.9 to 13.2, here up to half a step more; 5 mm
// behind; 15 mm below a stack, 25 between, 10 above; 3 mm between fronts and 1.5 mm a side.
func TestDrawerRoom(t *testing.T) {
	k := catalogue(t)
	for _, of := range []struct{ cabinet, left, top, beside string }{
		{"drawer-bank", "left-side", "top", ""},
		{"galley-base", "partition", "bay-front-rail", `door\.panel`},
	} {
		t.Run(of.cabinet, rapid.MakeCheck(func(t *rapid.T) {
			s, solid := draw(t, k.Lookup(of.cabinet))
			if sizesOf(solid)["drawers"] == 0 {
				return
			}
			step := s.Saw.Step
			left, right := parts(solid, of.left)[0], parts(solid, "right-side")[0]
			bottom, top, back := parts(solid, "bottom")[0], parts(solid, of.top)[0], parts(solid, "back")[0]
			most := 12900*um + step/2
			boxes, rears := parts(solid, `drawer-\d+\.left-side`), parts(solid, `drawer-\d+\.back`)
			for i, b := range parts(solid, `drawer-\d+\.right-side`) {
				within(t, "room at the left", gap(left, boxes[i], cabinets.X), 12900*um, most)
				within(t, "room at the right", gap(b, right, cabinets.X), 12900*um, most)
				within(t, "room behind", gap(rears[i], back, cabinets.Y), 5*mm, measure.Most)
			}
			for i := range boxes[1:] {
				within(t, "gap in the stack", gap(boxes[i], boxes[i+1], cabinets.Z), 25*mm, measure.Most)
			}
			within(t, "gap below the stack", gap(bottom, boxes[0], cabinets.Z), 15*mm-step, measure.Most)
			within(t, "gap above the stack", gap(boxes[len(boxes)-1], top, cabinets.Z), 10*mm-step, measure.Most)

			fronts := parts(solid, `front-\d+`)
			for i := range fronts[1:] {
				within(t, "gap between fronts", gap(fronts[i], fronts[i+1], cabinets.Z), 3*mm, 3*mm+2*step)
			}
			for i, f := range fronts {
				if of.beside == "" {
					within(t, "gap at the left of a front", f.Lo[cabinets.X]-left.Lo[cabinets.X], 1500*um, 1500*um+step)
				} else {
					within(t, "gap at the left of a front", gap(parts(solid, of.beside)[0], f, cabinets.X), 3*mm, 3*mm+2*step)
				}
				within(t, "gap at the right of a front", right.Hi[cabinets.X]-f.Hi[cabinets.X], 1500*um-step, 1500*um+2*step)
				// A box must pass the other fronts when it is drawn.
				if boxes[i].Lo[cabinets.Z] < f.Lo[cabinets.Z] || boxes[i].Hi[cabinets.Z] > f.Hi[cabinets.Z] {
					t.Errorf("box %d reaches out behind its front: %v, %v", i+1, boxes[i], f)
				}
			}
		}))
	}
}

// TestPantryRoom holds the pull-out of a pantry to the same, with the side space of its
// own slides.
func TestPantryRoom(t *testing.T) {
	d := catalogue(t).Lookup("pantry")
	rapid.Check(t, func(t *rapid.T) {
		s, solid := draw(t, d)
		left, right := parts(solid, "left-side")[0], parts(solid, "right-side")[0]
		panel := parts(solid, "rear-panel")[0]
		most := 19300*um + s.Saw.Step/2
		within(t, "room at the left", gap(left, panel, cabinets.X), 19300*um, most)
		within(t, "room at the right", gap(panel, right, cabinets.X), 19300*um, most)
		within(t, "room behind", gap(panel, parts(solid, "back")[0], cabinets.Y), 5*mm, measure.Most)
		within(t, "room above", gap(panel, parts(solid, "top")[0], cabinets.Z), 20*mm, measure.Most)
	})
}

// TestPantrySlides wants heavy locking slides, never light ones: neither side-mount slides nor
// locking ones that carry less than its 60 kg and itself will do.
func TestPantrySlides(t *testing.T) {
	d := catalogue(t).Lookup("pantry")
	for _, test := range []struct {
		kind string
		load float64
		want string
	}{
		{"pantry-slide", 100, ""},
		{"pantry-slide", 45, "no pantry-slide carries 60 kg in a box of 20.9 kg: the strongest carries 45 kg"},
		{"slide", 100, `the shop has no hardware of the kind "pantry-slide"`},
	} {
		s := workshop()
		s.Hardware = append(s.Hardware, &shop.Hardware{ID: "guide", Kind: "guide"}, &shop.Hardware{
			ID: "heavy", Kind: test.kind, Load: test.load, Side: 19100 * um, Lengths: []shop.SlideLength{{Length: 500 * mm}},
		})
		solid, err := cabinets.Expand(s, d, cabinets.Choice{})
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		for _, f := range solid.Findings {
			if f.Level == cabinets.LevelError && f.Where == "slide" {
				got += f.Text
			}
		}
		if got != test.want {
			t.Errorf("%s %g kg: %q, want %q", test.kind, test.load, got, test.want)
		}
		for _, h := range solid.Hardware {
			if h.Item.Kind == "slide" {
				t.Errorf("%s %g kg: a pantry on %s", test.kind, test.load, h.Item.ID)
			}
		}
	}
}

// TestSlideByLoad wants the lightest slide that carries what is asked for and its box, which weighs 6.3 kg.
func TestSlideByLoad(t *testing.T) {
	var c source.Collector
	s, k := demoShop(&c)
	for load, want := range map[measure.Length]string{30: "side-slide-45 450", 38: "side-slide-45 450", 39: "side-slide-70 400", 60: "side-slide-70 400"} {
		solid, err := cabinets.Expand(s, k.Lookup("drawer-bank"), cabinets.Choice{Sizes: map[string]measure.Length{"load": load}})
		if err != nil || c.Err() != nil {
			t.Fatal(err, c.Err())
		}
		for _, h := range solid.Hardware {
			if got := h.Item.ID + " " + h.Length.Exact(); h.Item.Kind == "slide" && got != want {
				t.Errorf("%d kg: %s, want %s", load, got, want)
			}
		}
	}
}

// TestEqualBays wants shelves and dividers to share the room equally, a step of the fence
// excepted.
func TestEqualBays(t *testing.T) {
	k := catalogue(t)
	for _, of := range []struct {
		cabinet  string
		axis     cabinets.Axis
		from, to string // the outer two
		walls    string
	}{
		{"shelf-unit", cabinets.Z, "bottom", "top", `shelf-\d+`},
		{"bench-box", cabinets.X, "left-side", "right-side", `divider-\d+`},
		{"pantry", cabinets.Z, "tray-1", "tray-2", `tray-\d+`},
	} {
		t.Run(of.cabinet, rapid.MakeCheck(func(t *rapid.T) {
			s, solid := draw(t, k.Lookup(of.cabinet))
			re := regexp.MustCompile("^(" + of.from + "|" + of.walls + "|" + of.to + ")$")
			var walls []cabinets.Box
			for i := range solid.Parts {
				if re.MatchString(solid.Parts[i].Name) {
					walls = append(walls, solid.Parts[i].Snapped)
				}
			}
			slices.SortFunc(walls, func(a, b cabinets.Box) int { return int(a.Lo[of.axis] - b.Lo[of.axis]) })
			for i := range walls[1:] {
				within(t, "bay", gap(walls[i], walls[i+1], of.axis), gap(walls[0], walls[1], of.axis)-s.Saw.Step, gap(walls[0], walls[1], of.axis)+s.Saw.Step)
			}
		}))
	}
}

// TestLatches wants a latch for every drawer, pull-out, door, lid and loose panel: in a
// vehicle, what can open does.
func TestLatches(t *testing.T) {
	k := catalogue(t)
	for name, opens := range map[string]func(sizes map[string]measure.Length) string{
		"bed-deck":        always(`panel-\d+\.panel|extension`),
		"bench-end":       always(`back`),
		"door":            always(`panel`),
		"drawer-bank":     always(`front-\d+`),
		"galley-base":     always(`front-\d+|door\.panel`),
		"long-box":        always(`lid-\d+\.panel`),
		"overhead-locker": always(`door-\d+\.panel`),
		"pantry":          always(`front`),
		"bench-box": func(sizes map[string]measure.Length) string {
			if sizes["access"] == 1 { // the lid is screwed down
				return `panel-\d+`
			}
			return `lid`
		},
	} {
		t.Run(name, rapid.MakeCheck(func(t *rapid.T) {
			_, solid := draw(t, k.Lookup(name))
			latches := 0
			for _, h := range solid.Hardware {
				if h.Item.Kind == "latch" {
					latches += h.Count
				}
			}
			if n := len(parts(solid, opens(sizesOf(solid)))); latches < n {
				t.Errorf("%d latches for %d parts that open", latches, n)
			}
		}))
	}
}

func always(pattern string) func(map[string]measure.Length) string {
	return func(map[string]measure.Length) string { return pattern }
}

// TestAbout wants every cabinet, size and role explained.
func TestAbout(t *testing.T) {
	k := catalogue(t)
	for _, name := range k.Names() {
		d := k.Lookup(name)
		said := map[string]string{"the cabinet": d.About}
		for _, s := range d.Sizes {
			said["size "+s.Name] = s.About
		}
		for _, r := range d.Roles {
			said["role "+r.Name] = r.About
		}
		for what, about := range said {
			if strings.TrimSpace(about) == "" {
				t.Errorf("%s: %s has no about", name, what)
			}
		}
	}
}
