package cabinets

import (
	"math"
	"testing"

	"sawbook/cabinets/shop"
)

// TestCoats works a stand out by hand: two sides, a bottom butted between them and a shelf
// let 6 mm into each.
func TestCoats(t *testing.T) {
	s := bench()
	s.Materials[0].Thickness = 12 * mm
	paint, oil := &shop.Finish{Coats: 2}, &shop.Finish{Coats: 1}
	s.Roles["carcass"] = shop.Fill{Material: s.Materials[0], Finish: paint}
	s.Roles["back"] = shop.Fill{Material: s.Materials[1], Finish: oil, EdgeFinish: oil}
	s.Roles["drawer"] = shop.Fill{Material: s.Materials[0], Finish: paint, EdgeFinish: oil, Edges: shop.Treatment{Band: s.Bands[0]}}
	solid := sound(t, s, `cabinet: stand
sizes:
  width: {default: 400 mm, least: 100 mm, most: 900 mm}
  depth: {default: 300 mm, least: 100 mm, most: 900 mm}
  height: {default: 500 mm, least: 100 mm, most: 900 mm}
roles: {carcass: sides and bottom, back: shelf, drawer: top, front: rail}
parts:
  left:
    role: carcass
    x: 0
    y: [0, depth]
    z: [0, height - thick]
    grain: z
    grooves: [{for: shelf, depth: 6 mm}]
    cutouts: [{y: [100, 150], z: [300, 320]}]
    holes: [{y: 50, z: 400, diameter: 10 mm}, {y: 70, z: 400, diameter: 10 mm, depth: 5 mm, from: +x}]
  right: {role: carcass, x: width - thick, y: [0, depth], z: [0, height - thick], grain: z, grooves: [{for: shelf, depth: 6 mm}]}
  bottom: {role: carcass, x: [thick, width - thick], y: [0, depth], z: 0, grain: x}
  shelf: {role: back, x: [6, width - 6], y: [0, depth], z: 200, grain: x}
  top: {role: drawer, x: [0, width], y: [0, depth], z: height - thick, grain: x, edges: {-y: bare}}
  rail: {role: front, x: [thick.carcass, width - thick.carcass], y: 0, z: [height - 62, height - 12], grain: x}
`)
	type amount struct{ faces, edges float64 } // mm2
	hole := math.Pi / 4 * 100
	for name, want := range map[string]map[*shop.Finish]amount{
		// 488 x 300; the groove's mouth is 6.4 x 300, the bottom's end 12 x 300, the rail's 18 x 50;
		// a cut-out of 50 x 20 and a hole go through, one is drilled from one face
		"left":  {paint: {2*488*300 - 6.4*300 - 12*300 - 18*50 - 2*50*20 - 3*hole, 0}},
		"right": {paint: {2*488*300 - 6.4*300 - 12*300 - 18*50, 0}},
		// its ends are glued, its faces free
		"bottom": {paint: {2 * 376 * 300, 0}},
		// 6 mm of both faces stand in each side; its long edges are open
		"shelf": {oil: {2*388*300 - 4*6*300, 2 * 388 * 6.4}},
		// two sides and the rail below; the front edge alone has no band
		"top": {paint: {2*400*300 - 2*12*300 - 18*376, 0}, oil: {0, 400 * 12}},
		// its role gets no finish
		"rail": {},
	} {
		p := part(t, solid, name)
		if len(p.Coats) != len(want) {
			t.Errorf("%s: %d finishes, want %d", name, len(p.Coats), len(want))
		}
		for _, c := range p.Coats {
			w := want[c.Finish]
			if math.Abs(c.Faces*1e6-w.faces) > 1e-3 || math.Abs(c.Edges*1e6-w.edges) > 1e-3 {
				t.Errorf("%s: %.3f and %.3f mm2, want %.3f and %.3f", name, c.Faces*1e6, c.Edges*1e6, w.faces, w.edges)
			}
		}
	}
}
