package cabinets

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"sawbook/cabinets/measure"
)

// snap gives every part the size that it is cut to: length and width in steps of the saw's
// fence, so that mates still meet.
//
// Each assembly is snapped by itself, one axis after the other. What counts are the planes
// at which its parts begin and end: parts whose ends lie in one plane are mates, whether
// they touch or are flush. A thickness ties its two planes as it is, and so does a groove
// tie the end of the part in it to the part that it is cut into. Then, one after another,
// cut sizes tie their two planes, in the order of hold: each becomes the nearest multiple of
// the step, and nothing but the designed size decides which, so that equal sizes stay equal.
// Only where the planes are tied already does a size give way to what is left, rounded down,
// and so does, always, that of a part that is housed in a groove: an overlaid back or a
// panel in grooves gets shorter, never longer, and nothing overlaps.
func (e *expansion) snap(found []meet) {
	for i := range e.solid.Parts {
		p := &e.solid.Parts[i]
		p.Snapped = p.Box
		for a := X; a <= Z; a++ {
			p.off[a] = e.banded(i, a)
		}
	}
	if e.shop.Saw.Step > 0 {
		mates := e.mates(found)
		e.assemblies(func(_ string, parts []int) {
			for a := X; a <= Z; a++ {
				e.snapAxis(parts, a, mates)
			}
		})
	}
	e.lay()
	e.sawn()
}

// lay reads length and width off the boxes as cut.
func (e *expansion) lay() {
	for i := range e.solid.Parts {
		p := &e.solid.Parts[i]
		cut := p.Cut()
		if p.Turns { // its length is the longer side
			first, second := (p.Thin+1)%3, (p.Thin+2)%3
			p.Long = min(first, second)
			if other := max(first, second); cut.Size(other) > cut.Size(p.Long) {
				p.Long = other
			}
		}
		p.Length, p.Width = cut.Size(p.Long), cut.Size(p.across())
	}
}

// mate is what holds the two ends of a part along an axis.
type mate struct {
	lo, hi bool // whether the end is held: by a broad face of a glued neighbour, or a groove
	// In a groove: the plane of the grooved part's near face, to which the end is tied.
	loTo, hiTo *measure.Length
}

// mates finds what holds the ends of each part.
func (e *expansion) mates(found []meet) [][3]mate {
	mates := make([][3]mate, len(e.solid.Parts))
	for _, m := range found {
		if !e.glued(m.a, m.b) {
			continue
		}
		if m.overlap {
			e.grooved(mates, m.a, m.b)
			e.grooved(mates, m.b, m.a)
		} else if m.touches() {
			if e.solid.Parts[m.b].Thin == m.axis {
				mates[m.a][m.axis].hi = true
			}
			if e.solid.Parts[m.a].Thin == m.axis {
				mates[m.b][m.axis].lo = true
			}
		}
	}
	return mates
}

// grooved notes the ends of part j that lie within the thickness of part i.
func (e *expansion) grooved(mates [][3]mate, i, j int) {
	p, q := &e.solid.Parts[i], &e.solid.Parts[j]
	m := &mates[j][p.Thin]
	if lo := q.Box.Lo[p.Thin]; lo > p.Box.Lo[p.Thin] && lo < p.Box.Hi[p.Thin] {
		m.lo, m.loTo = true, &p.Box.Hi[p.Thin]
	}
	if hi := q.Box.Hi[p.Thin]; hi > p.Box.Lo[p.Thin] && hi < p.Box.Hi[p.Thin] {
		m.hi, m.hiTo = true, &p.Box.Lo[p.Thin]
	}
}

// planes are those of an assembly along an axis, and how they are tied to one another:
// a forest, each plane at a fixed distance above its parent.
type planes struct {
	at     []measure.Length // as designed, sorted
	parent []int
	above  []measure.Length
	now    []measure.Length // as cut
}

func newPlanes(at []measure.Length) *planes {
	slices.Sort(at)
	at = slices.Compact(at)
	p := &planes{at: at, parent: make([]int, len(at)), above: make([]measure.Length, len(at))}
	for i := range p.parent {
		p.parent[i] = i
	}
	return p
}

// index returns the number of the plane at a designed coordinate.
func (p *planes) index(at measure.Length) int {
	i, _ := slices.BinarySearch(p.at, at)
	return i
}

// root returns the plane that i is tied to, and how far i lies above it.
func (p *planes) root(i int) (root int, above measure.Length) {
	if p.parent[i] == i {
		return i, 0
	}
	root, above = p.root(p.parent[i])
	above += p.above[i]
	p.parent[i], p.above[i] = root, above
	return root, above
}

// tie puts plane j at a distance above plane i, and reports false where both are tied
// already.
func (p *planes) tie(i, j int, distance measure.Length) bool {
	ri, above := p.root(i)
	rj, aboveJ := p.root(j)
	if ri == rj {
		return false
	}
	p.parent[rj], p.above[rj] = ri, above+distance-aboveJ
	return true
}

// hold says how a part's ends are held along an axis, in the order in which sizes are
// settled.
type hold int

const (
	between hold = iota // between two mates: it decides how far apart they are
	free                // at most one end meets a mate
	housed              // an end in a groove, where a little less does no harm
)

func (m *mate) hold() hold {
	switch {
	case m.loTo != nil || m.hiTo != nil:
		return housed
	case m.lo && m.hi:
		return between
	}
	return free
}

// cutSize is a part's extent along an axis, where it is cut.
type cutSize struct {
	part    int
	lo, hi  int // planes
	nominal measure.Length
	off     measure.Length // bands that are added to what is cut
	size    measure.Length // as cut, with them
	hold    hold
}

// snapped returns the size, no larger than room leaves, whose panel is a multiple of the step,
// the nearest or the next one down.
func (c *cutSize) snapped(room, step measure.Length, down bool) measure.Length {
	panel := room - c.off
	if down {
		panel = (panel + same).SnapDown(step)
	} else {
		panel = (panel - same).Snap(step) // a half goes down, for every rounding of it
	}
	return max(panel, step) + c.off
}

// compare orders sizes as they are settled. Among those between mates or in grooves the
// short come first, as a long one may bridge several; among the others the long come
// first, as they are the outside.
func (c cutSize) compare(d cutSize) int {
	long := cmp.Compare(c.nominal, d.nominal)
	if c.hold == free {
		long = -long
	}
	return cmp.Or(cmp.Compare(c.hold, d.hold), long, cmp.Compare(c.off, d.off), cmp.Compare(c.lo, d.lo), cmp.Compare(c.part, d.part))
}

// snapAxis snaps the parts of one assembly along one axis.
func (e *expansion) snapAxis(parts []int, a Axis, mates [][3]mate) {
	at := make([]measure.Length, 0, 2*len(parts))
	for _, i := range parts {
		at = append(at, e.solid.Parts[i].Box.Lo[a], e.solid.Parts[i].Box.Hi[a])
	}
	p := newPlanes(at)
	step := e.shop.Saw.Step
	var cuts []cutSize
	for _, i := range parts {
		part, m := &e.solid.Parts[i], &mates[i][a]
		lo, hi := p.index(part.Box.Lo[a]), p.index(part.Box.Hi[a])
		if m.loTo != nil {
			p.tie(p.index(*m.loTo), lo, part.Box.Lo[a]-*m.loTo)
		}
		if m.hiTo != nil {
			p.tie(p.index(*m.hiTo), hi, part.Box.Hi[a]-*m.hiTo)
		}
		if part.Thin == a {
			p.tie(lo, hi, part.Material.Thickness)
			continue
		}
		c := cutSize{part: i, lo: lo, hi: hi, nominal: part.Box.Size(a), off: part.off[a].sum(), hold: m.hold()}
		c.size = c.snapped(c.nominal, step, c.hold == housed)
		cuts = append(cuts, c)
	}
	slices.SortFunc(cuts, cutSize.compare)
	for _, c := range cuts {
		if c.hold != housed {
			p.tie(c.lo, c.hi, c.size)
		}
	}
	p.settle()
	for _, i := range parts {
		part := &e.solid.Parts[i]
		if part.Thin == a {
			part.Snapped.Lo[a] = p.place(part.Box.Lo[a])
			part.Snapped.Hi[a] = part.Snapped.Lo[a] + part.Material.Thickness
		}
	}
	for i := range cuts {
		c := &cuts[i]
		c.size = min(c.size, c.snapped(p.now[c.hi]-p.now[c.lo], step, true))
	}
	evenHoused(cuts)
	for _, c := range cuts {
		part, m := &e.solid.Parts[c.part], &mates[c.part][a]
		lo := p.now[c.lo]
		switch slack := p.now[c.hi] - lo - c.size; {
		case m.lo == m.hi:
			lo += slack / 2
		case m.hi:
			lo += slack
		}
		part.Snapped.Lo[a], part.Snapped.Hi[a] = lo, lo+c.size
	}
}

// evenHoused makes equal sizes of housed parts equal as cut, where some had less left
// than others.
func evenHoused(cuts []cutSize) {
	for from := 0; from < len(cuts); {
		to, least := from, cuts[from].size
		for ; to < len(cuts) && cuts[to].hold == cuts[from].hold && cuts[to].off == cuts[from].off && cuts[to].nominal-cuts[from].nominal <= same; to++ {
			least = min(least, cuts[to].size)
		}
		for i := from; i < to && cuts[from].hold == housed; i++ {
			cuts[i].size = least
		}
		from = max(to, from+1)
	}
}

// settle gives every plane its place as cut. The planes tied together that reach farthest
// stay where their lowest one was designed. Others, such as those of a shelf that only the
// sides hold, move by as much as those did at their height, so that equal bays stay equal.
func (p *planes) settle() {
	type span struct{ lo, hi int }
	spans := make([]*span, len(p.at)) // by root
	var roots []int
	for i := range p.at {
		root, _ := p.root(i)
		if spans[root] == nil {
			spans[root] = &span{i, i}
			roots = append(roots, root)
		}
		spans[root].hi = i
	}
	size := func(s *span) measure.Length { return p.at[s.hi] - p.at[s.lo] }
	main := spans[roots[0]]
	for _, root := range roots {
		if size(spans[root]) > size(main) {
			main = spans[root]
		}
	}
	_, low := p.root(main.lo)
	_, high := p.root(main.hi)
	grown := high - low - size(main)
	shift := make([]measure.Length, len(p.at)) // by root, from 0
	for _, root := range roots {
		s := spans[root]
		_, lo := p.root(s.lo)
		_, hi := p.root(s.hi)
		if s == main {
			shift[root] = p.at[s.lo] - lo
			continue
		}
		// Twice the middle, so that it is whole.
		above := p.at[s.lo] + p.at[s.hi] - 2*p.at[main.lo]
		share := min(max(float64(above)/float64(2*size(main)), 0), 1)
		moved := measure.Length(math.Round(share * float64(grown)))
		shift[root] = (p.at[s.lo]+p.at[s.hi]-lo-hi)/2 + moved
	}
	p.now = make([]measure.Length, len(p.at))
	for i := range p.at {
		root, above := p.root(i)
		p.now[i] = shift[root] + above
	}
}

// place returns where the plane that was designed at a coordinate lies as cut.
func (p *planes) place(at measure.Length) measure.Length { return p.now[p.index(at)] }

// snapped returns the parts' boxes as cut.
func (e *expansion) snapped() []Box {
	boxes := make([]Box, len(e.solid.Parts))
	for i := range boxes {
		boxes[i] = e.solid.Parts[i].Snapped
	}
	return boxes
}

// closesAsCut checks that the solid still closes: nothing overlaps that did not before,
// glued joints are open by less than a step, and no assembly's outside is off by more.
func (e *expansion) closesAsCut(designed, cut []meet) {
	step := e.shop.Saw.Step
	once := fmt.Sprintf("once cut in steps of %s mm, ", step.Exact())
	const do = "choose sizes that are multiples of the step"
	before := map[[2]int]bool{} // overlap as designed
	for _, m := range designed {
		a, b := &e.solid.Parts[m.a], &e.solid.Parts[m.b]
		if m.overlap {
			before[[2]int{m.a, m.b}], before[[2]int{m.b, m.a}] = true, true
		} else if open := b.Snapped.Lo[m.axis] - a.Snapped.Hi[m.axis]; m.touches() && e.glued(m.a, m.b) && open >= max(step, same) {
			e.finding(LevelWarning, a.Name, fmt.Sprintf("%sthe joint with %s is open by %s mm", once, b.Name, open.Exact()), do)
		}
	}
	for _, m := range cut {
		if m.overlap && !before[[2]int{m.a, m.b}] {
			a, b := &e.solid.Parts[m.a], &e.solid.Parts[m.b]
			e.finding(LevelError, a.Name, fmt.Sprintf("%sthe part and %s are in the same place, %s mm deep", once, b.Name, depth(m.shared).Exact()), do+", or leave more room")
		}
	}
	e.assemblies(func(name string, parts []int) {
		was, is := e.solid.Parts[parts[0]].Box, e.solid.Parts[parts[0]].Snapped
		for _, i := range parts {
			was, is = was.around(e.solid.Parts[i].Box), is.around(e.solid.Parts[i].Snapped)
		}
		for a := X; a <= Z; a++ {
			if off := is.Size(a) - was.Size(a); max(off, -off) > step+same {
				e.finding(LevelWarning, name, fmt.Sprintf("%sthe assembly is %s mm along %s, designed %s mm", once, is.Size(a).Exact(), a, was.Size(a).Exact()), do)
			}
		}
	})
}

// assemblies visits every assembly with the indices of its parts, in the order of their
// first parts.
func (e *expansion) assemblies(visit func(name string, parts []int)) {
	parts := map[string][]int{}
	var order []string
	for i := range e.solid.Parts {
		name := e.solid.Parts[i].Assembly
		if parts[name] == nil {
			order = append(order, name)
		}
		parts[name] = append(parts[name], i)
	}
	for _, name := range order {
		visit(name, parts[name])
	}
}
