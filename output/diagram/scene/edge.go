package scene

import (
	"cmp"
	"slices"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
)

// edge is an edge of a body along an axis.
type edge struct {
	axis int
	at   [3]measure.Length // on the other axes; 0 along its own
	span
}

// span is an interval, empty where to is not above from.
type span struct{ from, to measure.Length }

// edges returns the edges of a body; where its boxes meet flush there is none.
func (b Body) edges() (list []edge) {
	for axis := range 3 {
		p, q := (axis+1)%3, (axis+2)%3
		lines := map[[3]measure.Length][]span{}
		for _, box := range b {
			for high := range 4 {
				var at [3]measure.Length
				at[p], at[q] = box.Lo[p], box.Lo[q]
				if high&1 == 1 {
					at[p] = box.Hi[p]
				}
				if high&2 == 2 {
					at[q] = box.Hi[q]
				}
				lines[at] = append(lines[at], span{box.Lo[axis], box.Hi[axis]})
			}
		}
		for at, spans := range lines {
			for _, sp := range b.sharp(axis, at, spans) {
				list = append(list, edge{axis, at, sp})
			}
		}
	}
	slices.SortFunc(list, func(e, f edge) int {
		return cmp.Or(cmp.Compare(e.axis, f.axis), slices.Compare(e.at[:], f.at[:]), cmp.Compare(e.from, f.from))
	})
	return list
}

// sharp returns where a line along an axis is an edge of the body: where of the four
// quarters round it one, three, or two that are opposite lie in the body.
func (b Body) sharp(axis int, at [3]measure.Length, spans []span) (list []span) {
	var round []cabinets.Box // those that the line touches
	var stops []measure.Length
	p, q := (axis+1)%3, (axis+2)%3
	for _, box := range b {
		if box.Lo[p] <= at[p] && at[p] <= box.Hi[p] && box.Lo[q] <= at[q] && at[q] <= box.Hi[q] {
			round = append(round, box)
			stops = append(stops, box.Lo[axis], box.Hi[axis])
		}
	}
	for _, sp := range spans {
		stops = append(stops, sp.from, sp.to)
	}
	slices.Sort(stops)
	stops = slices.Compact(stops)
	for i := 1; i < len(stops); i++ {
		var in [4]bool // the quarters, round the line
		for _, box := range round {
			if box.Lo[axis] > stops[i-1] || box.Hi[axis] < stops[i] {
				continue
			}
			for quarter := range in {
				pHigh, qHigh := quarter == 1 || quarter == 2, quarter >= 2
				in[quarter] = in[quarter] || beside(box.Lo[p], box.Hi[p], at[p], pHigh) && beside(box.Lo[q], box.Hi[q], at[q], qHigh)
			}
		}
		if in[0] == in[1] && in[2] == in[3] || in[0] == in[3] && in[1] == in[2] {
			continue
		}
		list = append(list, span{stops[i-1], stops[i]})
	}
	return merged(list)
}

// beside reports whether from lo to hi there is something just above a place, or just
// below it.
func beside(lo, hi, at measure.Length, above bool) bool {
	if above {
		return lo <= at && at < hi
	}
	return lo < at && at <= hi
}

// merged joins spans that touch or overlap, and sorts them.
func merged(spans []span) []span {
	slices.SortFunc(spans, func(s, t span) int { return cmp.Compare(s.from, t.from) })
	joined := spans[:0]
	for _, s := range spans {
		if n := len(joined); n > 0 && s.from <= joined[n-1].to {
			joined[n-1].to = max(joined[n-1].to, s.to)
		} else if s.from < s.to {
			joined = append(joined, s)
		}
	}
	return joined
}

// without returns what of spans lies in none of the others; both are merged.
func without(spans, others []span) (rest []span) {
	for _, s := range spans {
		for _, o := range others {
			if o.to <= s.from || s.to <= o.from {
				continue
			}
			if s.from < o.from {
				rest = append(rest, span{s.from, o.from})
			}
			s.from = o.to
		}
		if s.from < s.to {
			rest = append(rest, s)
		}
	}
	return rest
}

// seen returns where an edge is seen: an edge turned as the boxes are. One that is covered
// on one side alone is the outline of what covers it, and is seen.
func (s *Scene) seen(e edge) []span {
	whole := []span{e.span}
	across := -1 // the axis along which an edge has two sides, seen straight on
	for a, to := range s.View.toward {
		if a != e.axis && to == 0 {
			across = a
		}
	}
	if across < 0 {
		return without(whole, s.covered(e))
	}
	low, high := e, e
	low.at[across]--
	high.at[across]++
	return merged(append(without(whole, s.covered(low)), without(whole, s.covered(high))...))
}

// covered returns where an edge lies behind boxes.
func (s *Scene) covered(e edge) (spans []span) {
	for i := range s.boxes {
		if sp := s.behind(e, &s.boxes[i]); sp.from < sp.to {
			spans = append(spans, sp)
		}
	}
	return merged(spans)
}

// behind returns where an edge lies behind a box: those of its points from which a line to
// the viewer goes through the inside of the box. With t the place along the edge and s how
// far the line has gone, that is lo < p + s < hi on each axis toward the viewer for one s
// above 0, so that t lies between two bounds that do not depend on it.
func (s *Scene) behind(e edge, b *cabinets.Box) span {
	from, to := measure.Length(0), 4*measure.Most
	for a := range e.at {
		if a == e.axis {
			continue
		}
		if s.View.toward[a] != 0 {
			from, to = max(from, b.Lo[a]-e.at[a]), min(to, b.Hi[a]-e.at[a])
		} else if e.at[a] <= b.Lo[a] || b.Hi[a] <= e.at[a] {
			return span{}
		}
	}
	if from >= to {
		return span{}
	}
	if s.View.toward[e.axis] == 0 {
		return span{b.Lo[e.axis], b.Hi[e.axis]}
	}
	return span{b.Lo[e.axis] - to, b.Hi[e.axis] - from}
}

// Line is a straight line on paper, in mm.
type Line struct {
	X1, Y1, X2, Y2 float64
	Hidden         bool
}

// slope is a straight line on paper without ends: its direction, and how far it lies from
// the corner, in units that only compare.
type slope struct {
	direction spot
	offset    measure.Length
}

// Lines returns the edges of the bodies: those that are seen, and the hidden ones. Of
// lines that lie on one another each place is drawn once, seen before hidden.
func (s *Scene) Lines() []Line {
	seen, hidden := map[slope][]span{}, map[slope][]span{}
	for _, body := range s.Bodies {
		turned := make(Body, len(body))
		for i, b := range body {
			turned[i] = s.View.turn(b)
		}
		for _, e := range turned.edges() {
			if l, along := s.View.slope(e); along != nil {
				visible := s.seen(e)
				seen[l] = append(seen[l], shadows(visible, along)...)
				hidden[l] = append(hidden[l], shadows(without([]span{e.span}, visible), along)...)
			}
		}
	}
	var slopes []slope
	for l := range seen {
		seen[l], hidden[l] = merged(seen[l]), merged(hidden[l])
		slopes = append(slopes, l)
	}
	slices.SortFunc(slopes, func(l, m slope) int {
		return cmp.Or(slices.Compare(l.direction[:], m.direction[:]), cmp.Compare(l.offset, m.offset))
	})
	var lines []Line
	for _, l := range slopes {
		for _, sp := range seen[l] {
			lines = append(lines, s.View.line(l, sp, false))
		}
		for _, sp := range without(hidden[l], seen[l]) {
			lines = append(lines, s.View.line(l, sp, true))
		}
	}
	return lines
}

// slope returns on which line of the paper an edge lies, turned as the boxes are, and how
// places along the edge are measured along that line; nil for an edge that is seen end on.
func (v *View) slope(e edge) (l slope, along func(measure.Length) measure.Length) {
	var direction spot
	direction[0], direction[1] = v.right[e.axis], v.down[e.axis]
	if direction == (spot{}) {
		return l, nil
	}
	measured := 0 // which of x and y measures along the line
	if direction[0] == 0 {
		measured = 1
	}
	step := direction[measured]
	if step < 0 {
		direction[0], direction[1] = -direction[0], -direction[1]
	}
	p := e.at
	for a, to := range v.toward {
		if to < 0 {
			p[a] = -p[a]
		}
	}
	origin := v.spot(p)
	if v.toward[e.axis] < 0 {
		step = -step
	}
	l = slope{direction, origin[0]*direction[1] - origin[1]*direction[0]}
	return l, func(t measure.Length) measure.Length { return origin[measured] + step*t }
}

// shadows measures spans of an edge along its line on paper.
func shadows(spans []span, along func(measure.Length) measure.Length) []span {
	shadows := make([]span, len(spans))
	for i, sp := range spans {
		from, to := along(sp.from), along(sp.to)
		shadows[i] = span{min(from, to), max(from, to)}
	}
	return shadows
}

// line returns a span of a line on paper.
func (v *View) line(l slope, sp span, hidden bool) Line {
	end := func(t measure.Length) (x, y float64) {
		// direction[measured] is above 0, and 1 where it is x that measures.
		if l.direction[0] == 0 {
			return v.paper(spot{l.offset / l.direction[1], t})
		}
		return v.paper(spot{t, (t*l.direction[1] - l.offset) / l.direction[0]})
	}
	line := Line{Hidden: hidden}
	line.X1, line.Y1 = end(sp.from)
	line.X2, line.Y2 = end(sp.to)
	return line
}
