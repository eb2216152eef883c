package scene

import (
	"slices"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
)

// Face is a face of a box that looks toward the viewer.
type Face struct {
	Body   int
	Axis   cabinets.Axis // it looks along
	Points []float64     // its corners on paper, in mm: x1, y1, x2, y2, ...
}

// Faces returns the faces that look toward the viewer in an order in which they can be
// painted over one another. Where boxes lie in front of one another all round, so that
// there is no such order, some are cut in two.
func (s *Scene) Faces() []Face {
	var faces []Face
	for _, b := range s.painted() {
		for a, to := range s.View.toward {
			if to != 0 {
				faces = append(faces, s.face(b, a))
			}
		}
	}
	return faces
}

// solid is a box of a body, turned so that the viewer is toward the high ends.
type solid struct {
	cabinets.Box
	body int
}

// face returns the face of a box that looks along an axis.
func (s *Scene) face(b solid, axis int) Face {
	f := Face{Body: b.body, Axis: cabinets.Axis(axis)}
	box := s.View.turn(b.Box) // turned back
	p, q := (axis+1)%3, (axis+2)%3
	for _, high := range [4]int{0, 1 << p, 1<<p | 1<<q, 1 << q} {
		if s.View.toward[axis] > 0 {
			high |= 1 << axis
		}
		x, y := s.View.Paper(corner(box, high))
		f.Points = append(f.Points, x, y)
	}
	return f
}

// painted returns the boxes from back to front.
func (s *Scene) painted() []solid {
	var boxes []solid
	for i, body := range s.Bodies {
		for _, b := range body {
			boxes = append(boxes, solid{s.View.turn(b), i})
		}
	}
	for {
		order, circle := s.order(boxes)
		if circle == nil {
			sorted := make([]solid, len(order))
			for i, k := range order {
				sorted[i] = boxes[k]
			}
			return sorted
		}
		boxes = cutOne(boxes, circle)
	}
}

// order sorts boxes from back to front, or returns some that lie behind one another all
// round.
func (s *Scene) order(boxes []solid) (order, circle []int) {
	behind := make([][]int, len(boxes)) // those that are to be painted before each
	waits := make([]int, len(boxes))
	before := make([][]int, len(boxes))
	for i := range boxes {
		for j := range boxes {
			if i != j && s.over(&boxes[j], &boxes[i]) {
				before[i] = append(before[i], j)
				behind[j] = append(behind[j], i)
				waits[j]++
			}
		}
	}
	var ready []int
	for i, n := range waits {
		if n == 0 {
			ready = append(ready, i)
		}
	}
	for len(ready) > 0 {
		i := ready[0]
		ready = ready[1:]
		order = append(order, i)
		for _, j := range before[i] {
			if waits[j]--; waits[j] == 0 {
				ready = append(ready, j)
			}
		}
	}
	if len(order) == len(boxes) {
		return order, nil
	}
	// Every box left waits for another one left: going from one to the next ends in a circle.
	at := slices.IndexFunc(waits, func(n int) bool { return n > 0 })
	for !slices.Contains(circle, at) {
		circle = append(circle, at)
		at = behind[at][slices.IndexFunc(behind[at], func(j int) bool { return waits[j] > 0 })]
	}
	return nil, circle[slices.Index(circle, at):]
}

// over reports whether a is to be painted over b: they overlap on paper, and a lies
// beyond b toward the viewer.
func (s *Scene) over(a, b *solid) bool {
	beyond := false
	for i, to := range s.View.toward {
		if to == 0 {
			if a.Lo[i] >= b.Hi[i] || b.Lo[i] >= a.Hi[i] {
				return false
			}
			continue
		}
		beyond = beyond || a.Lo[i] >= b.Hi[i]
		// A line of sight keeps the difference of any two coordinates along which it runs.
		for k := range i {
			if s.View.toward[k] != 0 && (a.Lo[i]-a.Hi[k] >= b.Hi[i]-b.Lo[k] || b.Lo[i]-b.Hi[k] >= a.Hi[i]-a.Lo[k]) {
				return false
			}
		}
	}
	return beyond
}

// cutOne cuts a box of a circle in two along a face of another one of it. There is such a
// box: boxes that no face of another cuts lie in the cells of a grid, and these have an
// order. As faces come from the boxes given, no box is cut for ever.
func cutOne(boxes []solid, circle []int) []solid {
	for _, i := range circle {
		for _, j := range circle {
			for a := range 3 {
				for _, at := range [2]measure.Length{boxes[j].Lo[a], boxes[j].Hi[a]} {
					if boxes[i].Lo[a] < at && at < boxes[i].Hi[a] {
						rest := boxes[i]
						boxes[i].Hi[a], rest.Lo[a] = at, at
						return append(boxes, rest)
					}
				}
			}
		}
	}
	panic("scene: boxes that cut none of one another lie in a circle")
}
