package cabinets

import (
	"cmp"
	"fmt"
	"slices"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// cover is a rectangle of an edge, or of a face, that a neighbour of the same assembly covers.
type cover struct {
	alongLo, alongHi, thinLo, thinHi measure.Length
	dry                              bool // it is not glued
}

// sides holds what there is at the low and at the high end of an axis.
type sides [2]measure.Length

func (s sides) sum() measure.Length { return s[0] + s[1] }

// end is the index of what a direction looks to in sides.
func (d Direction) end() int {
	if d.High() {
		return 1
	}
	return 0
}

// covers are the rectangles that are covered of a part's edges and faces, by axis and end.
type covers [3][2][]cover

// openings works out how much of each edge stays open, as designed.
func (e *expansion) openings(found []meet) {
	all := make([]covers, len(e.solid.Parts))
	for _, m := range found {
		if !e.glued(m.a, m.b) {
			continue
		}
		dry := e.dry(m)
		if m.overlap {
			e.enclosed(all, m.a, m.b, m.shared, dry)
			e.enclosed(all, m.b, m.a, m.shared, dry)
		} else if m.touches() {
			e.cover(all, m.a, toward(m.axis, true), m.shared, dry)
			e.cover(all, m.b, toward(m.axis, false), m.shared, dry)
		}
	}
	dry := func(c cover) bool { return c.dry }
	for i := range e.solid.Parts {
		p := &e.solid.Parts[i]
		for a := X; a <= Z; a++ {
			for end, covers := range all[i][a] {
				if a == p.Thin {
					p.Glued[end] = area(slices.DeleteFunc(covers, dry))
					continue
				}
				open := func() measure.Length {
					return p.Box.Size(p.third(a)) - covered(covers, p.Box.Lo[p.Thin], p.Box.Hi[p.Thin])
				}
				hidden := open() <= same
				covers = slices.DeleteFunc(covers, dry)
				if open := open(); open > same {
					e.made[i].open[a][end], e.made[i].hidden[a][end] = open, hidden
				}
			}
		}
	}
}

// third returns the axis that is neither the part's thickness nor another one.
func (p *Part) third(a Axis) Axis { return X + Y + Z - p.Thin - a }

// banded returns how much thickness of band comes off a part's cut size, at either end of an
// axis.
func (e *expansion) banded(i int, a Axis) (off sides) {
	m := &e.made[i]
	for end := range off {
		if m.open[a][end] > 0 {
			off[end] = m.treatment(toward(a, end == 1)).Off()
		}
	}
	return off
}

// edges tells each part what its edges get, once it is cut.
func (e *expansion) edges() {
	for i := range e.solid.Parts {
		p := &e.solid.Parts[i]
		cut := p.Cut()
		for s := range p.Edges {
			d := p.Toward(Side(s))
			along := p.third(d.Axis())
			edge := &p.Edges[s]
			edge.Length, edge.Toward = cut.Size(along), d
			if open := e.made[i].open[d.Axis()][d.end()]; open > 0 {
				// As cut: a step's difference between design and cut is no gap.
				edge.Open = max(open+edge.Length-p.Box.Size(along), same)
				edge.Treatment = e.made[i].treatment(d)
			}
			edge.VoidFree = slices.Contains(e.made[i].rule.VoidFree, d)
		}
	}
}

// faces warns of a part that shows more faces than its material has good ones.
func (e *expansion) faces() {
	for i := range e.solid.Parts {
		p := &e.solid.Parts[i]
		seen := 0
		for end, exposed := range p.Exposed {
			if exposed || p.Good == LowFace+Face(end) {
				seen++
			}
		}
		if good := p.Material.GoodFaces; len(e.made[i].rule.Exposed) > 0 && seen > good {
			e.finding(LevelWarning, p.Name, fmt.Sprintf("%d of its faces are seen, %s has %d that may be", seen, p.Material.Name, good), "choose another material, or paint or line the face")
		}
	}
}

// enclosed notes the edges and faces of part i that end inside part j.
func (e *expansion) enclosed(all []covers, i, j int, shared Box, dry bool) {
	p, q := e.solid.Parts[i].Box, e.solid.Parts[j].Box
	for a := X; a <= Z; a++ {
		if q.Lo[a] < p.Lo[a]-same {
			e.cover(all, i, toward(a, false), shared, dry)
		}
		if q.Hi[a] > p.Hi[a]+same {
			e.cover(all, i, toward(a, true), shared, dry)
		}
	}
}

// cover notes a covered patch on an edge or a face of a part.
func (e *expansion) cover(all []covers, i int, d Direction, patch Box, dry bool) {
	p := &e.solid.Parts[i]
	along, across := p.third(d.Axis()), p.Thin
	if d.Axis() == p.Thin {
		along, across = (p.Thin+1)%3, (p.Thin+2)%3
	}
	of := &all[i][d.Axis()][d.end()]
	*of = append(*of, cover{patch.Lo[along], patch.Hi[along], patch.Lo[across], patch.Hi[across], dry})
}

// swept returns where covers begin and end along, in order, and puts them in their order across.
func swept(covers []cover) []measure.Length {
	stops := make([]measure.Length, 0, 2*len(covers))
	for _, c := range covers {
		stops = append(stops, c.alongLo, c.alongHi)
	}
	slices.Sort(stops)
	slices.SortFunc(covers, func(a, b cover) int { return cmp.Compare(a.thinLo, b.thinLo) })
	return stops
}

// covered returns the length over which covers, together, take the whole thickness.
func covered(covers []cover, lo, hi measure.Length) (total measure.Length) {
	if len(covers) == 0 {
		return 0
	}
	stops := swept(covers)
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

// area returns the area in mm2 that covers take together.
func area(covers []cover) (total float64) {
	stops := swept(covers)
	for k := 1; k < len(stops); k++ {
		from, to := stops[k-1], stops[k]
		wide, reached := measure.Length(0), covers[0].thinLo // the least of all
		for _, c := range covers {
			if c.alongLo <= from && c.alongHi >= to && c.thinHi > reached {
				wide += c.thinHi - max(c.thinLo, reached)
				reached = c.thinHi
			}
		}
		total += float64(wide.MM() * (to - from).MM())
	}
	return total
}

// treatment returns what an open edge that looks in a direction gets. One that is open only
// because a joint is not glued is sealed.
func (m *made) treatment(d Direction) *shop.Treatment {
	if m.hidden[d.Axis()][d.end()] {
		return &shop.Treatment{}
	}
	t := &m.fill.Edges
	for i, r := range m.rule.Edges {
		if r.Toward == 0 || r.Toward == d {
			t = &m.edges[i]
		}
	}
	return t
}
