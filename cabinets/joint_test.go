package cabinets

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	gocmp "github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// joinery returns the bench with screws and pins, and a joint of each kind.
func joinery() *shop.Shop {
	s := bench()
	screw := &shop.Hardware{ID: "screw", Name: "Screw 4 x 50", Kind: "screw", Pack: 200, Mass: 0.004}
	pin := &shop.Hardware{ID: "pin", Name: "Pin 1.2 x 30", Kind: "pin", Pack: 1000}
	peg := &shop.Hardware{ID: "peg", Name: "Dowel 8 x 35", Kind: "dowel", Pack: 100}
	s.Hardware = append(s.Hardware, screw, pin, peg)
	s.Joints = []*shop.Joint{
		{ID: "screwed", Kind: shop.Butt, Glued: true, Fixing: screw, Spacing: 150 * mm, End: 40 * mm, Edge: 5_500_000,
			Hole: shop.Bore{Diameter: 4_500_000}, Pilot: shop.Bore{Diameter: 2_500_000, Depth: 35 * mm}},
		{ID: "housed", Kind: shop.Dado, Glued: true, Depth: 4 * mm, Allowance: 200_000},
		{ID: "pinned", Kind: shop.Rabbet, Glued: true, Depth: 6 * mm, Fixing: pin, Spacing: 100 * mm, End: 30 * mm, Edge: 2_500_000},
		{ID: "pegged", Kind: shop.Dowel, Glued: true, Fixing: peg, Spacing: 128 * mm, End: 37 * mm,
			Hole: shop.Bore{Diameter: 8 * mm, Depth: 9 * mm}, Pilot: shop.Bore{Diameter: 8 * mm, Depth: 27 * mm}},
		{ID: "dry", Kind: shop.Connector, Fixing: peg, Spacing: 400 * mm, End: 60 * mm},
	}
	carcass := s.Roles["carcass"]
	carcass.Joint = s.Joints[0]
	s.Roles["carcass"] = carcass
	return s
}

// joined is a cabinet with a butt joint, a dado and a rabbet.
const joined = `cabinet: joined
sizes:
  width: {default: 400 mm, least: 200 mm, most: 900 mm}
  depth: {default: 306.4 mm, least: 100 mm, most: 900 mm}
  height: {default: 500 mm, least: 200 mm, most: 900 mm}
roles: {carcass: carcass, back: back}
let: {front: depth - thick.back}
parts:
  left: {role: carcass, x: 0, y: [0, depth], z: [0, height], grain: z, grooves: [{for: shelf, depth: 4}, {for: back, depth: 6}]}
  right: {role: carcass, x: width - thick, y: [0, depth], z: [0, height], grain: z, grooves: [{for: shelf, depth: 4}, {for: back, depth: 6}]}
  bottom: {role: carcass, x: [thick, width - thick], y: [0, front], z: 0, grain: x}
  shelf: {role: carcass, x: [thick - 4, width - thick + 4], y: [0, front], z: 250, grain: x}
  back: {role: back, x: [thick.carcass - 6, width - thick.carcass + 6], y: front, z: [0, height], grain: z}
`

// machining lists the features of a part.
func machining(p *Part) (list []string) {
	for _, f := range p.Features {
		var at []string
		for a := range 3 {
			at = append(at, f.Box.Lo[a].Exact()+"-"+f.Box.Hi[a].Exact())
		}
		list = append(list, fmt.Sprintf("%s %s %s", f.Kind, strings.Join(at, " "), f.About))
	}
	return list
}

// TestJointsByHand drills a carcass. Sides: u up, v from back to front, 306.5 wide as cut.
//
// Bottom, 300 deep, at 0 to 11.9: screws 40 from its ends, 220 between them, so 2 spaces of
// 110, at most 150. As cut the sides are 306.5 deep for the 306.4 of bottom and back, so that the
// bottom begins 0.1 behind their front: the middles are at 306.5 - 40.1 = 266.4, 156.4 and 46.4,
// 5.95 up. In the bottom, 376 long, pilots of 2.5 go 35 in from both ends, half way up. The
// shelf's dadoes are 11.9 + 0.2 wide. The back lies in rabbets, 6 deep, and is pinned through its
// face into the sides, at 500 less 2 x 30 in spaces of at most 100: 5 spaces, 6 pins a side,
// without holes; it has no joint with bottom and shelf but glue.
func TestJointsByHand(t *testing.T) {
	solid := sound(t, joinery(), joined)
	left := []string{
		"groove 249.9-262 6.4-306.4 7.9-11.9 for shelf",
		"groove 0-500 0-6.4 5.9-11.9 for back",
		"hole 3.7-8.2 264.15-268.65 0-11.9 for bottom",
		"hole 3.7-8.2 154.15-158.65 0-11.9 for bottom",
		"hole 3.7-8.2 44.15-48.65 0-11.9 for bottom",
	}
	bottom := []string{
		"edge hole 0-35 38.75-41.25 4.7-7.2 for left",
		"edge hole 0-35 148.75-151.25 4.7-7.2 for left",
		"edge hole 0-35 258.75-261.25 4.7-7.2 for left",
		"edge hole 341-376 38.75-41.25 4.7-7.2 for right",
		"edge hole 341-376 148.75-151.25 4.7-7.2 for right",
		"edge hole 341-376 258.75-261.25 4.7-7.2 for right",
	}
	for name, want := range map[string][]string{"left": left, "bottom": bottom, "back": nil} {
		got := machining(part(t, solid, name))
		slices.Sort(got)
		slices.Sort(want)
		if diff := gocmp.Diff(want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", name, diff)
		}
	}
	var got []string
	for _, j := range solid.Joints {
		got = append(got, fmt.Sprintf("%s %s > %s, %s mm, %d", j.How.ID, j.Through, j.Into, j.Run.Exact(), j.Fixings))
	}
	want := []string{
		"pinned back > left, 500 mm, 6", "pinned back > right, 500 mm, 6",
		"screwed left > bottom, 300 mm, 3", "housed left > shelf, 300 mm, 0",
		"screwed right > bottom, 300 mm, 3", "housed right > shelf, 300 mm, 0",
	}
	if diff := gocmp.Diff(want, got); diff != "" {
		t.Errorf("joints (-want +got):\n%s", diff)
	}
	lines := ""
	for _, h := range solid.Hardware {
		lines += fmt.Sprintf("%s %d %s, ", h.Name, h.Count, h.Item.ID)
	}
	if want := "screwed 6 screw, pinned 12 pin, "; lines != want {
		t.Errorf("hardware %s, want %s", lines, want)
	}
	// 4.5 and 2.5 wide: 3 holes of 4.5 through 11.9 take as much as their area; pilots 35 deep
	// take pi/4 x 2.5 x 2.5 x 35 of the sheet's volume.
	plain := sound(t, bench(), joined)
	p, q := part(t, solid, "bottom"), part(t, plain, "bottom")
	if gone, want := q.Mass-p.Mass, 6*0.7853982*2.5*2.5*35/11.9*12*695e-9; gone < 0.999*want || gone > 1.001*want {
		t.Errorf("the pilots weigh %g kg, want %g", gone, want)
	}
}

// TestWhoSaysTheJoint asks the part that ends, then the one it ends on, then the role, then the
// shop, and leaves it at glue where none says anything.
func TestWhoSaysTheJoint(t *testing.T) {
	for _, test := range []struct {
		old, new string
		want     string // of bottom, shelf and back with the left side
	}{
		{"", "", "screwed housed pinned"},
		{"x: [thick, width - thick]", "joint: dry, x: [thick, width - thick]", "dry housed pinned"},
		{"x: [thick, width - thick]", "joint: {-x: pegged}, x: [thick, width - thick]", "pegged housed pinned"},
		{"x: [thick, width - thick]", "joint: {+x: pegged}, x: [thick, width - thick]", "screwed housed pinned"},
		{"x: [thick, width - thick]", "joint: {-x: dowel}, x: [thick, width - thick]", "pegged housed pinned"},
		{"x: [thick, width - thick]", "joint: glue, x: [thick, width - thick]", "- housed pinned"},
		{"left: {", "left: {joint: dry, ", "dry housed pinned"},
		{"left: {", "left: {joint: glue, ", "- housed pinned"},
		{"left: {", "left: {joint: dado, ", "screwed housed pinned"},
		{"{for: shelf, depth: 4}", "{for: shelf, depth: 4, joint: glue}", "screwed - pinned"},
		{"{for: back, depth: 6}", "{for: back, depth: 6, joint: dado}", "screwed housed housed"},
		{"x: [thick - 4,", "joint: rabbet, x: [thick - 4,", "screwed pinned pinned"},
	} {
		solid := sound(t, joinery(), strings.Replace(joined, test.old, test.new, 1))
		got := ""
		for _, with := range []string{"bottom", "shelf", "back"} {
			how := "-"
			for _, j := range solid.Joints {
				if j.Through == "left" && j.Into == with || j.Into == "left" && j.Through == with {
					how = j.How.ID
				}
			}
			got += " " + how
		}
		if got[1:] != test.want {
			t.Errorf("%s: %s, want %s", test.new, got[1:], test.want)
		}
	}
	if solid := sound(t, bench(), joined); len(solid.Joints)+len(solid.Hardware) > 0 {
		t.Errorf("a shop without joints makes %v", solid.Joints)
	}
}

// TestDadoOfARole: the role's own dado goes before the shop's first, and is fixed through the
// grooved part, be the one in it thinner or not.
func TestDadoOfARole(t *testing.T) {
	s := joinery()
	fill := s.Roles["carcass"]
	fill.Joint = &shop.Joint{ID: "deep", Kind: shop.Dado, Glued: true, Depth: 5 * mm, Fixing: s.Joints[0].Fixing, Spacing: 150 * mm, End: 40 * mm}
	s.Roles["carcass"] = fill
	thin := s.Roles["back"]
	s.Roles["thin"] = thin
	solid := sound(t, s, strings.NewReplacer("back: back}", "back: back, thin: shelf}", "shelf: {role: carcass, x: [thick - 4, width - thick + 4]", "shelf: {role: thin, x: [thick.carcass - 4, width - thick.carcass + 4]").Replace(joined))
	for _, j := range solid.Joints {
		if j.Through == "shelf" || j.Into == "shelf" && (j.How.ID != "deep" || j.Fixings != 3) {
			t.Errorf("%s %s > %s, %d fixings", j.How.ID, j.Through, j.Into, j.Fixings)
		}
	}
	if !slices.ContainsFunc(solid.Joints, func(j Joint) bool { return j.Through == "left" && j.Into == "shelf" }) {
		t.Error("the shelf is not joined to the left side")
	}
}

// TestUnglued: what is not glued is not covered. The bottom's ends are bare, and sealed.
func TestUnglued(t *testing.T) {
	solid := sound(t, joinery(), strings.Replace(joined, "bottom: {", "bottom: {joint: dry, ", 1))
	bottom := part(t, solid, "bottom")
	for _, s := range []Side{SideStart, SideEnd} {
		if e := bottom.Edges[s]; e.Open != e.Length || e.Treatment == nil {
			t.Errorf("edge %d: %+v", s, e)
		}
	}
	if e := part(t, solid, "shelf").Edges[SideStart]; e.Open != 0 {
		t.Errorf("the shelf's end is open over %s", e.Open.Exact())
	}
	if len(solid.Contacts) > 0 {
		t.Errorf("felt in a joint: %v", solid.Contacts)
	}
}

// TestFixingsMissCutouts: a notch of 60 by 20 at the front of the left side takes the screws'
// place there. Behind it and 4.5 more, from 64.5, there are 235.6 up to 300.1: less 2 x 40 they
// are 2 spaces of 77.8, in steps of 0.5 of 77.5, the first at 64.5 + (235.6 - 155) / 2 = 104.8,
// which is 104.7 in the bottom that begins at 0.1.
func TestFixingsMissCutouts(t *testing.T) {
	solid := sound(t, joinery(), strings.Replace(joined, "left: {", "left: {cutouts: [{y: [0, 60], z: [0, 20]}], ", 1))
	var got []string
	for _, f := range part(t, solid, "bottom").Features {
		if f.About == "for left" {
			got = append(got, ((f.Box.Lo[1] + f.Box.Hi[1]) / 2).Exact())
		}
	}
	if diff := gocmp.Diff([]string{"104.7", "182.2", "259.7"}, got); diff != "" {
		t.Error(diff)
	}
	// One in the middle of the bottom's own edge leaves what is before and behind it.
	solid = sound(t, joinery(), strings.Replace(joined, "bottom: {", "bottom: {cutouts: [{x: [0, 40], y: [100, 200]}], ", 1))
	for _, f := range part(t, solid, "left").Features {
		if y := 306_500_000 - f.Box.Hi[1]; f.Kind == Hole && y > 90*mm && y < 205*mm {
			t.Errorf("a screw at %s goes into the cut-out", y.Exact())
		}
	}
}

// TestThinEdge warns of screws in an edge that is too thin for them, and of dowels that come out.
func TestThinEdge(t *testing.T) {
	for _, test := range []struct {
		thickness measure.Length
		joint     string
		want      string
	}{
		{11 * mm, "screwed", ""},
		{10_900_000, "screwed", "warning: fixings through left lie 5.45 mm from a face or an edge, screwed asks for 5.5 mm"},
		{9_200_000, "pegged", ""},
		{9 * mm, "pegged", "error: the holes of pegged are 9 mm deep, the part 9 mm thick"},
	} {
		s := joinery()
		s.Roles["carcass"].Material.Thickness = test.thickness
		solid := expand(t, s, read(t, strings.Replace(joined, "bottom: {", "bottom: {joint: {-x: "+test.joint+"}, ", 1)), nil)
		got := ""
		for _, f := range solid.Findings {
			if strings.Contains(f.Text, "through left") || strings.Contains(f.Text, "holes of") && f.Where == "left" {
				got = string(f.Level) + ": " + f.Text
			}
		}
		if got != test.want {
			t.Errorf("%s mm: %q, want %q", test.thickness.Exact(), got, test.want)
		}
	}
}

// TestFixingPlaces: fixings sit equally far from both ends, no nearer to them and to one another than
// they should, unless only one fits.
func TestFixingPlaces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := func(name string, least, most int64) measure.Length {
			return measure.Length(rapid.Int64Range(least, most).Draw(t, name)) * measure.Micrometre
		}
		r := row{how: &shop.Joint{Spacing: length("spacing", 10_000, 400_000), End: length("end", 5_000, 100_000), Pilot: shop.Bore{Diameter: 2 * mm}}}
		lo := length("lo", 0, 1_000_000)
		hi := lo + length("run", 4_000, 2_000_000)
		step := rapid.SampledFrom([]measure.Length{mm / 2, measure.Inch / 32}).Draw(t, "step")
		at := r.places(lo, hi, step)
		if len(at) == 0 {
			t.Fatal("nothing fixes the joint")
		}
		first, last := at[0]-lo, hi-at[len(at)-1]
		if off := first - last; max(off, -off) > 1 {
			t.Errorf("%s from one end, %s from the other", first.Exact(), last.Exact())
		}
		if len(at) == 1 {
			if hi-lo > 2*r.how.End+4*mm+step {
				t.Errorf("one fixing over %s", (hi - lo).Exact())
			}
			return
		}
		if spaces := measure.Length(len(at) - 1); first < r.how.End || first > r.how.End+spaces*step {
			t.Errorf("%s from the end, want %s", first.Exact(), r.how.End.Exact())
		}
		for i := range at[1:] {
			if pitch := at[i+1] - at[i]; pitch > r.how.Spacing || pitch%step != 0 {
				t.Errorf("%s apart", pitch.Exact())
			}
		}
	})
}

// TestPilotsMeetHoles: in any carcass, every pilot lies behind a hole of the part that it is
// screwed through, and there are as many of either as there are screws.
func TestPilotsMeetHoles(t *testing.T) {
	d := read(t, carcass, read(t, box))
	rapid.Check(t, func(t *rapid.T) {
		s := joinery()
		bandAll(t, s)
		for _, role := range []string{"carcass", "drawer"} {
			fill := s.Roles[role]
			fill.Joint = s.Joints[0]
			s.Roles[role] = fill
		}
		sizes := map[string]measure.Length{}
		for _, size := range d.Sizes {
			sizes[size.Name] = measure.Length(rapid.Int64Range(int64(size.Least), int64(size.Most)).Draw(t, size.Name))
		}
		solid := expand(t, s, d, sizes)
		type line struct {
			along Axis
			at    [3]measure.Length // middle, 0 along it
		}
		holes, pilots, screws := map[line]int{}, 0, 0
		each := func(kind FeatureKind, visit func(line)) {
			for i := range solid.Parts {
				p := &solid.Parts[i]
				for _, f := range p.Features {
					if f.Kind != kind {
						continue
					}
					b := p.Place(f.Box)
					l := line{along: p.Thin}
					for a := X; a <= Z; a++ {
						if l.at[a] = (b.Lo[a] + b.Hi[a]) / 2 / 10; kind == EdgeHole && b.Size(a) == 35*mm {
							l.along = a
						}
					}
					l.at[l.along] = 0
					visit(l)
				}
			}
		}
		each(Hole, func(l line) { holes[l]++ })
		each(EdgeHole, func(l line) {
			pilots++
			if holes[l] == 0 {
				t.Errorf("no hole leads to the pilot at %v along %s", l.at, l.along)
			}
		})
		for _, j := range solid.Joints {
			if j.How.ID == "screwed" {
				screws += j.Fixings
			}
		}
		drilled := 0
		for _, n := range holes {
			drilled += n
		}
		if screws == 0 || pilots != screws || drilled != screws {
			t.Errorf("%d screws, %d pilots, %d holes", screws, pilots, drilled)
		}
	})
}
