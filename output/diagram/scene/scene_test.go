package scene

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
)

const mm = measure.Millimetre

var views = map[string]View{"front": Front, "left": Left, "above": Above, "isometric": Isometric}

func box(x1, y1, z1, x2, y2, z2 measure.Length) cabinets.Box {
	return cabinets.Box{Lo: [3]measure.Length{x1 * mm, y1 * mm, z1 * mm}, Hi: [3]measure.Length{x2 * mm, y2 * mm, z2 * mm}}
}

// drawBodies draws bodies on a grid, each of one or two boxes less all that stood before.
func drawBodies(t *rapid.T, most int) (bodies []Body) {
	drawBox := func() cabinets.Box {
		var b cabinets.Box
		for a := range 3 {
			b.Lo[a] = measure.Length(rapid.IntRange(0, 5).Draw(t, "lo")) * mm
			b.Hi[a] = b.Lo[a] + measure.Length(rapid.IntRange(1, 4).Draw(t, "size"))*mm
		}
		return b
	}
	var taken Body
	for range rapid.IntRange(1, most).Draw(t, "bodies") {
		body := Body{drawBox()}
		if rapid.Bool().Draw(t, "two boxes") {
			second := drawBox()
			body = append(body.Less(second), second)
		}
		for _, b := range taken {
			body = body.Less(b)
		}
		taken = append(taken, body...)
		bodies = append(bodies, body)
	}
	return bodies
}

// at returns which body holds a place, -1 for none.
func at(bodies []Body, p [3]measure.Length) int {
	for i, body := range bodies {
		for _, b := range body {
			in := true
			for a := range p {
				in = in && b.Lo[a] < p[a] && p[a] < b.Hi[a]
			}
			if in {
				return i
			}
		}
	}
	return -1
}

// TestBodies holds cutting boxes out of one another against looking at every place.
func TestBodies(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		first, second := drawBodies(t, 1)[0], drawBodies(t, 1)[0]
		rest := first
		for _, b := range second {
			rest = rest.Less(b)
		}
		everywhere(func(p [3]measure.Length) {
			want := at([]Body{first}, p) == 0 && at([]Body{second}, p) < 0
			if got := at([]Body{rest}, p) == 0; got != want {
				t.Fatalf("at %v: left is %v, want %v", p, got, want)
			}
		})
	})
}

// everywhere calls visit with the middle of every cell of the grid.
func everywhere(visit func(p [3]measure.Length)) {
	for x := range measure.Length(10) {
		for y := range measure.Length(10) {
			for z := range measure.Length(10) {
				visit([3]measure.Length{x*mm + mm/2, y*mm + mm/2, z*mm + mm/2})
			}
		}
	}
}

// first returns the body that is seen at a place on paper, by following the line of sight
// from p, which no body reaches, away from the viewer in small steps; -1 is none.
func first(v View, bodies []Body, p [3]measure.Length) int {
	const step = mm / 20
	for range 40 * mm / step {
		if i := at(bodies, p); i >= 0 {
			return i
		}
		for a, to := range v.toward {
			p[a] -= step * to
		}
	}
	return -1
}

// TestFaces holds what is painted last at places all over the paper against following the
// line of sight.
func TestFaces(t *testing.T) {
	for name, v := range views {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) { paints(t, v, drawBodies(t, 6)) })
		})
	}
}

// TestFacesInACircle does so for beams that lie over one another all round, where no
// order of whole boxes is right.
func TestFacesInACircle(t *testing.T) {
	s := New(Isometric, pinwheel())
	if _, circle := s.order([]solid{{s.boxes[0], 0}, {s.boxes[1], 1}, {s.boxes[2], 2}}); circle == nil {
		t.Fatal("the three beams have an order")
	}
	if n := len(s.painted()); n < 4 {
		t.Errorf("%d boxes were painted, want more than the 3 beams", n)
	}
	paints(t, Isometric, pinwheel())
}

// pinwheel returns three beams: that along x passes before that along y, this before that
// along z, and this before the first.
func pinwheel() []Body {
	return []Body{{box(0, 5, 4, 8, 6, 5)}, {box(4, 1, 3, 5, 9, 4)}, {box(3, 4, 0, 4, 5, 8)}}
}

// painter reports what is wrong.
type painter interface {
	Fatalf(format string, values ...any)
}

// paints compares the body that is painted last with the one that is seen first, at places
// all over the paper.
func paints(t painter, v View, bodies []Body) {
	faces := New(v, bodies).Faces()
	everywhere(func(p [3]measure.Length) {
		if (p[0]+3*p[1]+7*p[2])/mm%13 != 0 { // one in so many is enough
			return
		}
		// Off the middle, so that no line of sight is less than a step from an edge: what it
		// goes through it goes through for 1/7 - 1/13 mm or more.
		p[0], p[1], p[2] = p[0]+mm/7, p[1]+mm/11, p[2]+mm/13
		want := first(v, bodies, beyond(v, p))
		x, y := v.Paper(p)
		got := -1
		for _, f := range faces {
			if inside(f.Points, x, y) {
				got = f.Body
			}
		}
		if got != want {
			t.Fatalf("at %.2f, %.2f body %d is painted, %d is seen", x, y, got, want)
		}
	})
}

// beyond moves a place toward the viewer, out of all bodies.
func beyond(v View, p [3]measure.Length) [3]measure.Length {
	for a, to := range v.toward {
		p[a] += 12 * mm * to
	}
	return p
}

// inside reports whether a place lies in a convex polygon.
func inside(points []float64, x, y float64) bool {
	left, right := false, false
	for i := 0; i < len(points); i += 2 {
		k := (i + 2) % len(points)
		side := (points[k]-points[i])*(y-points[i+1]) - (points[k+1]-points[i+1])*(x-points[i])
		left, right = left || side > 0, right || side < 0
	}
	return left != right
}

// TestLines holds the lines against looking, at the middle of every edge of every cell of
// the grid, whether an edge is there and whether it is seen.
func TestLines(t *testing.T) {
	for name, v := range views {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				bodies := drawBodies(t, 6)
				lines := New(v, bodies).Lines()
				seen, hidden := map[[2]int]bool{}, map[[2]int]bool{} // places on paper
				eachEdge(func(axis int, p [3]measure.Length) {
					if v.right[axis] == 0 && v.down[axis] == 0 || !edgeAt(bodies, axis, p) {
						return
					}
					if sees(v, bodies, axis, p) {
						seen[key(v, p)] = true
					} else {
						hidden[key(v, p)] = true
					}
				})
				eachEdge(func(axis int, p [3]measure.Length) {
					if v.right[axis] == 0 && v.down[axis] == 0 {
						return
					}
					k := key(v, p)
					drawnSeen, drawnHidden := drawn(lines, v, p)
					if drawnSeen != seen[k] || drawnHidden != (hidden[k] && !seen[k]) {
						t.Fatalf("at %v along %d: drawn %v and dashed %v, seen %v, hidden %v", p, axis, drawnSeen, drawnHidden, seen[k], hidden[k])
					}
				})
			})
		})
	}
}

// eachEdge calls visit with the middle of every edge of every cell of the grid.
func eachEdge(visit func(axis int, p [3]measure.Length)) {
	everywhere(func(p [3]measure.Length) {
		for axis := range 3 {
			q := p
			q[(axis+1)%3] -= mm / 2
			q[(axis+2)%3] -= mm / 2
			visit(axis, q)
		}
	})
}

// edgeAt reports whether a body has an edge at a place: the four cells round it, taken as
// of that body or not, lie neither all alike nor in two flush halves.
func edgeAt(bodies []Body, axis int, p [3]measure.Length) bool {
	for i := range bodies {
		var in [2][2]bool
		for k := range 4 {
			q := p
			q[(axis+1)%3] += measure.Length(k/2)*mm - mm/2
			q[(axis+2)%3] += measure.Length(k%2)*mm - mm/2
			in[k/2][k%2] = at(bodies[i:i+1], q) == 0
		}
		if in[0] != in[1] && (in[0][0] != in[0][1] || in[1][0] != in[1][1]) {
			return true
		}
	}
	return false
}

// sees follows the line of sight from a place on an edge to the viewer, in an isometric
// view; in the others from both sides of the edge, one of which is enough.
func sees(v View, bodies []Body, axis int, p [3]measure.Length) bool {
	starts := [][3]measure.Length{p}
	for a, to := range v.toward {
		if a != axis && to == 0 {
			low, high := p, p
			low[a] -= mm / 9
			high[a] += mm / 9
			starts = [][3]measure.Length{low, high}
		}
	}
	for _, q := range starts {
		free := true
		for range 10 * 4 { // a quarter of a cell at a time, from an eighth on
			for a, to := range v.toward {
				q[a] += mm / 8 * to
			}
			free = free && at(bodies, q) < 0
			for a, to := range v.toward {
				q[a] += mm / 8 * to
			}
		}
		if free {
			return true
		}
	}
	return false
}

// key is a place on paper that can be compared.
func key(v View, p [3]measure.Length) [2]int {
	x, y := v.Paper(p)
	return [2]int{int(math.Round(x * 1000)), int(math.Round(y * 1000))}
}

// drawn reports which kinds of lines go through a place on paper.
func drawn(lines []Line, v View, p [3]measure.Length) (seen, hidden bool) {
	x, y := v.Paper(p)
	for _, l := range lines {
		length := math.Hypot(l.X2-l.X1, l.Y2-l.Y1)
		along := ((x-l.X1)*(l.X2-l.X1) + (y-l.Y1)*(l.Y2-l.Y1)) / length
		off := ((x-l.X1)*(l.Y2-l.Y1) - (y-l.Y1)*(l.X2-l.X1)) / length
		if math.Abs(off) < 1e-4 && along > 1e-4 && along < length-1e-4 {
			seen, hidden = seen || !l.Hidden, hidden || l.Hidden
		}
	}
	return seen, hidden
}
