package cabinets

import (
	"math"
	"strings"
	"testing"
)

// tower is a cabinet of 300 x 500 x 1200 mm with one tall pull-out, all of 12 mm birch of 700 kg/m3, on slides
// of 450 mm that carry 45 kg or, at another price, 60.
const (
	tower = `cabinet: crate
sizes:
  guides: {default: 0, least: 0, most: 1, whole: true}
  load: {default: 37, least: 5, most: 60, whole: true}
outside: {x: 300, y: 500, z: 1200}
roles: {carcass: all}
parts:
  left: {role: carcass, x: 0, y: [0, 500], z: [0, 1200], grain: z}
  right: {role: carcass, x: 300 - thick, y: [0, 500], z: [0, 1200], grain: z}
  floor: {role: carcass, x: [thick, 300 - thick], y: [0, 500], z: 0, grain: x}
  left-panel: {role: carcass, assembly: pull-out, x: 20, y: [0, 400], z: [100, 1100], grain: z}
  right-panel: {role: carcass, assembly: pull-out, x: 280 - thick, y: [0, 400], z: [100, 1100], grain: z}
  tray: {role: carcass, assembly: pull-out, x: [20 + thick, 280 - thick], y: [0, 400], z: 100, grain: x}
hardware:
  slide: {kind: slide, fits: 460, load: load}
  latch: {kind: latch}
  guide: {kind: guide, count: guides}
moves:
  - {assembly: pull-out, is: drawer, latch: latch, runs: {slides: slide, on: [left-panel, right-panel], up: 50, guide: guide}}
`
	towerShop = interiorShop + `hardware:
  light: {kind: slide, side: 8 mm, load: 45, lengths: [{length: 450 mm, price: 9}]}
  stout: {kind: slide, side: 8 mm, load: 60, lengths: [{length: 450 mm, price: 19}]}
  latch: {kind: latch, price: 5}
  guide: {kind: guide, price: 6}
`
	towers = `layout: Wren
inside: {length: 3000 mm, width: 1600 mm, height: 1800 mm}
vehicle: {front-axle: -1200 mm, wheelbase: 3000 mm, most: 3300, empty: 2720, rule: EN 12195-1}
cabinets:
  a: {cabinet: crate, at: [0, 600, 0], fixings: 4}
`
)

// TestTallDrawer works the tower's pull-out out by hand, with statics alone. Panels of 400 x 1000, 0.4 x 0.012 x 700 = 3.36
// kg each, their middle 600 mm up, a tray of 236 x 400, 0.79296 kg, 106 mm up, and 37 kg in the middle of its outside,
// 600 mm up: 44.51296 kg, centre (6.72 x 600 + 0.79296 x 106 + 37 x 600)/44.51296 = 591.2 mm, and its slides are
// 150 mm up, so 441.2 mm; they are 260 mm apart. Pushed by 0.8 g, as EN 12195-1 asks forward, 44.51296 x 9.80665
// x 0.8 x 0.4412 = 154.1 Nm over one slide, x 0.13 = 56.75 Nm back; by 0.6 g, where it stands across, 115.6 Nm. A guide
// at its top, 950 mm above the slides, bears 154.1/0.95 = 162.2 N. As published: the accelerations alone.
func TestTallDrawer(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{"", "", "Wren: a: pull-out: is tall for its width: 0.8 g along the vehicle (EN 12195-1) tip it over one of its slides, 155 Nm against the 56 Nm of its weight, and no guide holds its top"},
		{"fixings: 4", "fixings: 4, turn: 90", "Wren: a: pull-out: is tall for its width: 0.6 g to the side (EN 12195-1) tip it over one of its slides, 116 Nm against the 56 Nm of its weight, and no guide holds its top"},
		{"rule: EN 12195-1", "rule: \"VDI 2700-16, to 2.0 t\"", "Wren: a: pull-out: is tall for its width: 0.9 g along the vehicle (VDI 2700-16, to 2.0 t) tip it over one of its slides, 174 Nm against the 56 Nm of its weight, and no guide holds its top"},
		{"fixings: 4", "fixings: 4, sizes: {guides: 1}", ""},
	} {
		in, faults := wrenWith(t, towerShop, tower, strings.Replace(towers, c.old, c.new, 1))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		if got := warnings(in); got != c.want {
			t.Errorf("%q: got %q, want %q", c.new, got, c.want)
		}
		d := in.Drawers()[0]
		guide := 162.2
		if !d.Run.Guided {
			guide = 0
		}
		if math.Abs(d.Mass-44.51296) > 1e-5 || math.Abs(d.Above-441.2) > 0.05 || math.Abs(d.Back-56.75) > 0.005 || math.Abs(d.Guide-guide) > 0.1 {
			t.Errorf("%q: %+v", c.new, d)
		}
	}
}

// warnings are the texts of an interior's warnings and errors.
func warnings(in *Interior) string {
	var all []string
	for _, f := range in.Findings {
		if f.Level != LevelNote {
			all = append(all, f.Where+": "+f.Text)
		}
	}
	return strings.Join(all, "|")
}

// TestLowDrawer: a pull-out whose slides lie at half its height does not tip.
func TestLowDrawer(t *testing.T) {
	in, faults := wrenWith(t, towerShop, strings.Replace(tower, "up: 50", "up: 480", 1), towers)
	if got := warnings(in); len(faults) > 0 || got != "" {
		t.Errorf("got %q, %v", got, faults)
	}
}

// TestTipsForward works the open tower out by hand, with statics alone. The carcass, 2 x 0.6 x 8.4 + 0.138 x 8.4 = 11.2392 kg,
// stands 250 mm behind its front foot: 27.55 Nm. The pull-out's 44.51296 kg, 200 mm behind the front, come out
// by the 450 mm of its slides: 44.51296 x 9.80665 x 0.25 = 109.13 Nm. So (109.13 - 27.55)/1.2 = 67.98 N at its top
// hold it. With a toe kick of 50 mm sawn out of its sides and its floor behind that, the foot lies 50 mm further back.
func TestTipsForward(t *testing.T) {
	loose := strings.Replace(towers, ", fixings: 4", ", sizes: {guides: 1}", 1)
	kick := strings.NewReplacer("z: [0, 1200], grain: z}", "z: [0, 1200], grain: z, cutouts: [{y: [0, 50], z: [0, 60]}]}",
		"y: [0, 500], z: 0, grain: x", "y: [50, 500], z: 0, grain: x").Replace(tower)
	for _, c := range []struct{ cabinet, want string }{
		{tower, "Wren: a: tips forward at rest once its drawers are open and full: 110 Nm over its front foot, 27 Nm back, and no fixings are declared"},
		// 2 x (5.04 - 0.003 x 8.4) = 10.0296 kg, (250 x 5.04 - 25 x 0.0252)/5.0148 = 251.1 mm back; as the box counts, 250; and
		// 0.1242 x 8.4 = 1.04328 kg at 275: 9.80665 x (10.0296 x 0.2 + 1.04328 x 0.225) = 21.97 Nm; 44.51296 x 9.80665 x 0.3 = 130.96.
		{kick, "Wren: a: tips forward at rest once its drawers are open and full: 131 Nm over its front foot, 21 Nm back, and no fixings are declared"},
	} {
		in, faults := wrenWith(t, towerShop, c.cabinet, loose)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		got := strings.ReplaceAll(warnings(in), "|Wren: a: no fixings to the vehicle are declared", "")
		if strings.TrimPrefix(got, "Wren: a: no fixings to the vehicle are declared|") != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
	in, _ := wrenWith(t, towerShop, tower, strings.Replace(towers, "fixings: 4", "fixings: 4, sizes: {guides: 1}", 1))
	if o := in.Opened()[0]; math.Abs(o.Over-109.13) > 0.005 || math.Abs(o.Back-27.55) > 0.005 || math.Abs(o.Pull-67.98) > 0.005 || warnings(in) != "" {
		t.Errorf("%+v, %q", o, warnings(in))
	}
}

// TestSlidesCarryTheBox: slides are chosen by what is in a drawer and by the drawer itself, 7.51296 kg here.
func TestSlidesCarryTheBox(t *testing.T) {
	for _, c := range []struct{ load, limits, item, want string }{
		{"37", "", "light", ""}, // 44.51 kg
		{"38", "", "stout", ""}, // 45.51
		{"52", "", "stout", ""},
		{"53", "", "stout", "Wren: a: slide: no slide carries 53 kg in a box of 7.6 kg: the strongest carries 60 kg"},
		{"30", "limits: {moving: 1.5}\n", "stout", ""}, // 56.27
		{"33", "limits: {moving: 1.5}\n", "stout", "Wren: a: slide: no slide carries 60.8 kg, 1.5 times 33 kg in a box of 7.6 kg on the road (load classes are for furniture that stands, no rating for a vehicle): the strongest carries 60 kg"},
	} {
		in, faults := wrenWith(t, towerShop+c.limits, tower, strings.Replace(towers, "fixings: 4", "fixings: 4, sizes: {guides: 1, load: "+c.load+"}", 1))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		if got := in.Cabinets[0].Solid.Hardware[0].Item.ID; got != c.item || warnings(in) != c.want {
			t.Errorf("%s kg: %s, %q; want %s, %q", c.load, got, warnings(in), c.item, c.want)
		}
	}
}

// TestOverfull: the tower's pull-out is made for 37 kg.
func TestOverfull(t *testing.T) {
	for mass, want := range map[string]string{"37": "", "37.04": "Wren: a: keeps 37.04 kg, and its drawers are made to hold 37.00 kg in all", "50": "Wren: a: keeps 50.0 kg, and its drawers are made to hold 37.0 kg in all"} {
		in, faults := wrenWith(t, towerShop, tower, strings.Replace(towers, "fixings: 4", "fixings: 4, sizes: {guides: 1}, contents: [{what: a, mass: "+mass+"}]", 1))
		if got := warnings(in); len(faults) > 0 || got != want {
			t.Errorf("%s kg: got %q, %v", mass, got, faults)
		}
	}
}

// TestBeyond: a figure beyond a limit never reads like it.
func TestBeyond(t *testing.T) {
	for _, c := range []struct {
		figure, limit float64
		want          string
	}{
		{24.66, 24, "24.7 24.0"}, {24.04, 24, "24.04 24.00"}, {24.0004, 24, "24.0004 24.0000"}, {1.96, 1.9583, "1.960 1.958"}, {2, 2, "2.000000000 2.000000000"},
	} {
		if a, b := Beyond(c.figure, c.limit); a+" "+b != c.want {
			t.Errorf("%v, %v: %s %s, want %s", c.figure, c.limit, a, b, c.want)
		}
	}
}
