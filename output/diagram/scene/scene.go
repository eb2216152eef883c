// Package scene finds what is seen of bodies that are made of axis-aligned boxes, from the
// front, the back, the left, above, or a corner. Everything is worked out in whole nanometres, so
// that an edge is hidden or seen, never nearly so.
package scene

import (
	"math"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
)

// Body is one rigid thing: boxes that share no volume, with one another or with those of
// another body.
type Body []cabinets.Box

// Less returns the body with a box taken out of it.
func (b Body) Less(out cabinets.Box) Body {
	var rest Body
	for _, box := range b {
		rest = append(rest, less(box, out)...)
	}
	return rest
}

// less cuts what lies outside of out off a box, side by side, along the axes in turn.
func less(box, out cabinets.Box) (rest Body) {
	for a := range box.Lo {
		if out.Hi[a] <= box.Lo[a] || box.Hi[a] <= out.Lo[a] {
			return Body{box}
		}
	}
	for a := range box.Lo {
		if at := out.Lo[a]; box.Lo[a] < at {
			piece := box
			piece.Hi[a], box.Lo[a] = at, at
			rest = append(rest, piece)
		}
		if at := out.Hi[a]; at < box.Hi[a] {
			piece := box
			piece.Lo[a], box.Hi[a] = at, at
			rest = append(rest, piece)
		}
	}
	return rest
}

// Moved returns the body moved.
func (b Body) Moved(by [3]measure.Length) Body {
	moved := make(Body, len(b))
	for i, box := range b {
		for a := range by {
			box.Lo[a] += by[a]
			box.Hi[a] += by[a]
		}
		moved[i] = box
	}
	return moved
}

// View is a direction from which bodies are seen, all lines of sight being parallel.
type View struct {
	// toward is 1 or -1 where the viewer stands toward the high or the low end of an axis,
	// 0 where all along it is seen alike.
	toward [3]measure.Length
	// right and down turn a place into one on paper, in whole units of unit mm.
	right, down [3]measure.Length
	unit        [2]float64
}

// Views. The isometric one is from the front, the right and above; lengths along the
// three axes are true (ISO 5456-3).
var (
	Front     = View{toward: [3]measure.Length{0, -1, 0}, right: [3]measure.Length{1, 0, 0}, down: [3]measure.Length{0, 0, -1}, unit: [2]float64{1, 1}}
	Back      = View{toward: [3]measure.Length{0, 1, 0}, right: [3]measure.Length{-1, 0, 0}, down: [3]measure.Length{0, 0, -1}, unit: [2]float64{1, 1}}
	Left      = View{toward: [3]measure.Length{-1, 0, 0}, right: [3]measure.Length{0, -1, 0}, down: [3]measure.Length{0, 0, -1}, unit: [2]float64{1, 1}}
	Above     = View{toward: [3]measure.Length{0, 0, 1}, right: [3]measure.Length{1, 0, 0}, down: [3]measure.Length{0, -1, 0}, unit: [2]float64{1, 1}}
	Isometric = View{toward: [3]measure.Length{1, -1, 1}, right: [3]measure.Length{1, 1, 0}, down: [3]measure.Length{1, -1, -2}, unit: [2]float64{math.Sqrt(0.75), 0.5}}
)

// FromCorner reports whether no axis lies along the lines of sight or across them.
func (v View) FromCorner() bool { return v.toward[0] != 0 && v.toward[1] != 0 && v.toward[2] != 0 }

// spot is a place on paper, in the view's units.
type spot [2]measure.Length

func (v *View) spot(p [3]measure.Length) (s spot) {
	for a, at := range p {
		s[0] += v.right[a] * at
		s[1] += v.down[a] * at
	}
	return s
}

// Toward returns 1 or -1 where the viewer stands toward the high or the low end of an
// axis, 0 where faces along it are not seen.
func (v *View) Toward(a cabinets.Axis) int { return int(v.toward[a]) }

// Paper returns where a place comes to lie on paper, in mm: x to the right, y downwards.
func (v *View) Paper(p [3]measure.Length) (x, y float64) { return v.paper(v.spot(p)) }

func (v *View) paper(s spot) (x, y float64) { return s[0].MM() * v.unit[0], s[1].MM() * v.unit[1] }

// corner returns a corner of a box, at the high end of the axes whose bit is set.
func corner(b cabinets.Box, high int) [3]measure.Length {
	p := b.Lo
	for a := range p {
		if high>>a&1 == 1 {
			p[a] = b.Hi[a]
		}
	}
	return p
}

// Scene is bodies seen from somewhere.
type Scene struct {
	View   View
	Bodies []Body
	boxes  []cabinets.Box // of all bodies, turned so that the viewer is toward the high ends
}

// New returns a scene.
func New(v View, bodies []Body) *Scene {
	s := &Scene{View: v, Bodies: bodies}
	for _, body := range bodies {
		for _, b := range body {
			s.boxes = append(s.boxes, v.turn(b))
		}
	}
	return s
}

// turn turns a box so that the viewer is toward the high ends of the axes.
func (v *View) turn(b cabinets.Box) cabinets.Box {
	for a, to := range v.toward {
		if to < 0 {
			b.Lo[a], b.Hi[a] = -b.Hi[a], -b.Lo[a]
		}
	}
	return b
}

// Extent returns the rectangle that the bodies cover on paper.
func (s *Scene) Extent() (x1, y1, x2, y2 float64) {
	x1, y1, x2, y2 = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, body := range s.Bodies {
		for _, b := range body {
			for high := range 8 {
				x, y := s.View.Paper(corner(b, high))
				x1, y1, x2, y2 = min(x1, x), min(y1, y), max(x2, x), max(y2, y)
			}
		}
	}
	return x1, y1, x2, y2
}

// Hidden reports whether some body stands between a place and the viewer.
func (s *Scene) Hidden(p [3]measure.Length) bool {
	for a, to := range s.View.toward {
		if to < 0 {
			p[a] = -p[a]
		}
	}
	for i := range s.boxes {
		if s.before(&s.boxes[i], p) {
			return true
		}
	}
	return false
}

// before reports whether a line from p to the viewer goes through the inside of a box.
func (s *Scene) before(b *cabinets.Box, p [3]measure.Length) bool {
	from, to := measure.Length(0), measure.Length(math.MaxInt64)
	for a := range p {
		if s.View.toward[a] != 0 {
			from, to = max(from, b.Lo[a]-p[a]), min(to, b.Hi[a]-p[a])
		} else if p[a] <= b.Lo[a] || b.Hi[a] <= p[a] {
			return false
		}
	}
	return from < to
}
