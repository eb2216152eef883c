package scene

import (
	"math"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
)

// across is how many places a face is looked at along each of its sides.
const across = 9

// Spot returns a place on paper where a body is seen, well inside the largest of its
// faces, by what is seen of them, and how much that is in mm2; 0 is nothing.
func (s *Scene) Spot(body int) (x, y, largest float64) {
	for _, b := range s.Bodies[body] {
		for axis, to := range s.View.toward {
			if to == 0 {
				continue
			}
			p, q := (axis+1)%3, (axis+2)%3
			at := corner(b, 0)
			if to > 0 {
				at[axis] = b.Hi[axis]
			}
			var seen grid
			for i := range seen {
				at[p] = b.Lo[p] + b.Size(cabinets.Axis(p))*measure.Length(2*(i/across)+1)/(2*across)
				at[q] = b.Lo[q] + b.Size(cabinets.Axis(q))*measure.Length(2*(i%across)+1)/(2*across)
				if !s.Hidden(at) {
					seen[i].x, seen[i].y = s.View.Paper(at)
					seen[i].ok = true
				}
			}
			n, in := seen.middle()
			if area := b.Size(cabinets.Axis(p)).MM() * b.Size(cabinets.Axis(q)).MM() * float64(n) / (across * across); area > largest {
				largest, x, y = area, in.x, in.y
			}
		}
	}
	return x, y, largest
}

// grid is the places at which a face is looked at.
type grid [across * across]looked

// looked is a place on paper, and whether the face is seen there.
type looked struct {
	x, y float64
	ok   bool
}

// middle returns how many places are seen, and of these the one with most of them round
// it, the nearest to their mean among several.
func (g *grid) middle() (n int, best looked) {
	var x, y float64
	for _, p := range g {
		if p.ok {
			n++
			x, y = x+p.x, y+p.y
		}
	}
	most, nearest := 0, math.Inf(1)
	for i, p := range g {
		round := 0
		for k, q := range g {
			if q.ok && abs(i/across-k/across) <= 2 && abs(i%across-k%across) <= 2 {
				round++
			}
		}
		if d := math.Hypot(p.x-x/float64(n), p.y-y/float64(n)); p.ok && (round > most || round == most && d < nearest) {
			most, nearest, best = round, d, p
		}
	}
	return n, best
}

func abs(n int) int { return max(n, -n) }
