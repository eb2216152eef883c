package cabinets

import (
	"cmp"
	"slices"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// cover is a rectangle of an edge that a glued neighbour covers.
type cover struct{ alongLo, alongHi, thinLo, thinHi measure.Length }

// edges works out how much of each edge stays open, and what it gets.
func (e *expansion) edges(found []meet) {
	covers := make([][4][]cover, len(e.solid.Parts))
	for _, m := range found {
		if !e.glued(m.a, m.b) {
			continue
		}
		if m.overlap {
			e.enclosed(covers, m.a, m.b, m.shared)
			e.enclosed(covers, m.b, m.a, m.shared)
		} else if m.touches() {
			e.cover(covers, m.a, toward(m.axis, true), m.shared)
			e.cover(covers, m.b, toward(m.axis, false), m.shared)
		}
	}
	for i := range e.solid.Parts {
		p := &e.solid.Parts[i]
		for s := range p.Edges {
			toward := p.Toward(Side(s))
			along := X + Y + Z - p.Thin - toward.Axis()
			edge := &p.Edges[s]
			edge.Length = p.Snapped.Size(along)
			open := p.Box.Size(along) - covered(covers[i][s], p.Box.Lo[p.Thin], p.Box.Hi[p.Thin])
			if open > same {
				// As cut: a step's difference between design and cut is no gap.
				edge.Open = max(open+edge.Length-p.Box.Size(along), same)
				edge.Treatment = e.made[i].treatment(toward)
			}
		}
	}
}

// enclosed notes the edges of part i that end inside part j.
func (e *expansion) enclosed(covers [][4][]cover, i, j int, shared Box) {
	p, q := e.solid.Parts[i].Box, e.solid.Parts[j].Box
	for a := X; a <= Z; a++ {
		if q.Lo[a] < p.Lo[a]-same {
			e.cover(covers, i, toward(a, false), shared)
		}
		if q.Hi[a] > p.Hi[a]+same {
			e.cover(covers, i, toward(a, true), shared)
		}
	}
}

// cover notes a covered patch on what may be an edge of a part.
func (e *expansion) cover(covers [][4][]cover, i int, d Direction, patch Box) {
	p := &e.solid.Parts[i]
	if d.Axis() == p.Thin {
		return
	}
	along := X + Y + Z - p.Thin - d.Axis()
	s := p.side(d)
	covers[i][s] = append(covers[i][s], cover{patch.Lo[along], patch.Hi[along], patch.Lo[p.Thin], patch.Hi[p.Thin]})
}

// covered returns the length over which covers, together, take the whole thickness.
func covered(covers []cover, lo, hi measure.Length) (total measure.Length) {
	if len(covers) == 0 {
		return 0
	}
	stops := make([]measure.Length, 0, 2*len(covers))
	for _, c := range covers {
		stops = append(stops, c.alongLo, c.alongHi)
	}
	slices.Sort(stops)
	slices.SortFunc(covers, func(a, b cover) int { return cmp.Compare(a.thinLo, b.thinLo) })
	for k := 1; k < len(stops); k++ {
		from, to := stops[k-1], stops[k]
		if to == from {
			continue
		}
		reached := lo
		for _, c := range covers {
			if c.alongLo <= from && c.alongHi >= to && c.thinLo <= reached+same {
				reached = max(reached, c.thinHi)
			}
		}
		if reached >= hi-same {
			total += to - from
		}
	}
	return total
}

// treatment returns what an open edge that looks in a direction gets.
func (m *made) treatment(d Direction) *shop.Treatment {
	t := &m.fill.Edges
	for i, r := range m.rule.Edges {
		if r.Toward == 0 || r.Toward == d {
			t = &m.edges[i]
		}
	}
	return t
}
