package cabinets

import (
	"testing"

	gocmp "github.com/google/go-cmp/cmp"

	"sawbook/cabinets/shop"
)

// screwed returns the bench with what is screwed into rows of 5 mm, 32 mm apart and 37 mm from the front:
// common practice, no source.
func screwed() *shop.Shop {
	s := bench()
	hole := shop.Bore{Diameter: 5 * mm, Depth: 10 * mm}
	for _, h := range s.Hardware {
		if h.Kind == "slide" {
			h.Hole = hole
			for i := range h.Lengths {
				h.Lengths[i].Holes = []shop.Spot{{Behind: 37 * mm}, {Behind: 37*mm + (h.Lengths[i].Length-60*mm)/(32*mm)*(32*mm)}}
			}
		}
	}
	s.Hardware = append(s.Hardware,
		&shop.Hardware{ID: "plate", Kind: "hinge-plate", Hole: hole, Holes: []shop.Spot{{Behind: 37 * mm, Above: -16 * mm}, {Behind: 37 * mm, Above: 16 * mm}}},
		&shop.Hardware{ID: "pin", Kind: "shelf-pin", Hole: hole, Holes: []shop.Spot{{}}})
	return s
}

// TestHolesForHardware drills two sides of 300.2 x 500.2, which are cut 300 x 500. What is named for hardware, or
// measured by an edge, keeps its distances from that edge; of what is not, the half beyond the
// middle moves. An inset front of 18 stands before the slide: its first hole is 37 + 18 from the
// edge, as is usual (common practice, no source). v runs from the back to the front.
func TestHolesForHardware(t *testing.T) {
	solid := sound(t, screwed(), `cabinet: frame
sizes:
  width: {default: 400 mm, least: 100 mm, most: 900 mm}
  depth: {default: 300.2 mm, least: 100 mm, most: 900 mm}
  height: {default: 500.2 mm, least: 5 mm, most: 900 mm}
roles: {carcass: sides and front, front: inset}
parts:
  left:
    role: carcass
    x: 0
    y: [0, depth]
    z: [0, height]
    grain: z
    holes:
      - {for: slide, y: thick.front, z: 100, from: +x}
      - {for: plate, y: 0, z: 400.2, from: +x}
  right:
    role: carcass
    x: width - thick
    y: [0, depth]
    z: [0, height]
    grain: z
    holes:
      - {for: pin, y: 37, z: 200 + 100 * j, by: [-y, -z], from: -x, count: 2}
      - {for: pin, y: 237, z: 200 + 100 * j, by: [+y, +z], from: -x, count: 2}
hardware:
  slide: {kind: slide, fits: 260, load: 40}
  plate: {kind: hinge-plate}
  pin: {kind: shelf-pin, count: 4}
`)
	holes := func(name string) (list []string) {
		for _, f := range part(t, solid, name).Features {
			list = append(list, f.About+" "+(f.Box.Lo[0]+f.Box.Hi[0]).Exact()+"/2 up, "+(600*mm-f.Box.Lo[1]-f.Box.Hi[1]).Exact()+"/2 behind")
		}
		return list
	}
	// A slide of 250 has its last hole 160 behind the first. The plate's middle is
	// nearer to the top: 100 below it.
	left := []string{"slide 200/2 up, 110/2 behind", "slide 200/2 up, 430/2 behind", "plate 768/2 up, 74/2 behind", "plate 832/2 up, 74/2 behind"}
	if diff := gocmp.Diff(left, holes("left")); diff != "" {
		t.Error(diff)
	}
	// By the front and the bottom a hole stays where it is, by the back and the top it moves by 0.2.
	right := []string{"pin 600/2 up, 74/2 behind", "pin 800/2 up, 74/2 behind", "pin 599.6/2 up, 473.6/2 behind", "pin 799.6/2 up, 473.6/2 behind"}
	if diff := gocmp.Diff(right, holes("right")); diff != "" {
		t.Error(diff)
	}
}

// TestHolesOfASilentShop: where the shop file tells no holes of a slide, none are drilled.
func TestHolesOfASilentShop(t *testing.T) {
	text := `cabinet: board
sizes:
  width: {default: 300 mm, least: 100 mm, most: 900 mm}
  depth: {default: 300 mm, least: 100 mm, most: 900 mm}
  height: {default: 11.9 mm, least: 5 mm, most: 900 mm}
roles: {carcass: the board}
parts:
  board: {role: carcass, x: [0, width], y: [0, depth], z: 0, grain: x, holes: [{for: slide, x: 100, y: 0, from: +z}]}
hardware:
  slide: {kind: slide, fits: 260, load: 40}
`
	for want, s := range map[int]*shop.Shop{0: bench(), 2: screwed()} {
		if got := len(part(t, sound(t, s, text), "board").Features); got != want {
			t.Errorf("%d holes, want %d", got, want)
		}
	}
}
