package cabinets

import (
	"cmp"
	"fmt"
	"slices"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
)

// Fixings are what holds a cabinet to the vehicle.
type Fixings struct {
	Count int         // below 0 where none are declared
	From  []Direction // sides of the cabinet, from any of which they are reached; none is from its inside
}

// noFixings are those of a cabinet that declares none.
var noFixings = Fixings{Count: -1}

// fromInside is where fixings are reached that no neighbour can hide.
const fromInside = "inside"

// fixings reads a number, or {count: ..., from: [sides]}.
func (r *layoutReader) fixings(n source.Node) Fixings {
	switch {
	case n.IsZero():
		return noFixings
	case n.IsText():
		return Fixings{Count: int(n.Whole(1, 1000))}
	}
	m := n.Map("count", "from")
	f := Fixings{Count: int(m.Need("count").Whole(1, 1000))}
	from := m.Get("from")
	items := []source.Node{from}
	if !from.IsText() {
		items = from.Items()
	}
	inside := false
	for _, item := range items {
		word := item.OneOf(append(slices.Clip(sideWords), fromInside)...)
		inside = inside || word == fromInside
		if at := slices.Index(sideWords, word); at >= 0 {
			f.From = append(f.From, sideLooks[at])
		}
	}
	if inside {
		f.From = nil
	}
	return f
}

// access is the room before one side of a cabinet.
type access struct {
	free   measure.Length // to what stands next there
	by     []*Placed      // cabinets nearer than the reach, the nearest first
	walled bool           // the vehicle itself is nearer than that
}

// open reports whether the side can be reached.
func (a *access) open() bool { return !a.walled && len(a.by) == 0 }

// access returns the room before a side of a cabinet while some others stand. Where the fixings lie on the
// side is not known, so that whatever stands before any of it counts.
func (in *Interior) access(p *Placed, side Direction, reach measure.Length, standing []*Placed) access {
	look := p.facing(side)
	a := access{free: in.toEnd(p.Box, look)}
	if s := in.Layout.Shell; s != nil {
		for _, o := range s.Boxes {
			if gap, before := gapTo(p.Box, o.Box, look); before {
				a.free = min(a.free, gap)
			}
		}
	}
	a.walled = a.free < reach-same
	gaps := map[*Placed]measure.Length{}
	for _, q := range standing {
		gap, before := gapTo(p.Box, q.Box, look)
		if q == p || !before {
			continue
		}
		if a.free = min(a.free, gap); gap < reach-same {
			a.by, gaps[q] = append(a.by, q), gap
		}
	}
	slices.SortStableFunc(a.by, func(q, r *Placed) int { return cmp.Compare(gaps[q], gaps[r]) })
	return a
}

// toEnd returns how far it is from a box to the end of the inside.
func (in *Interior) toEnd(b Box, look Direction) measure.Length {
	room := in.Layout.Inside[look.Axis()]
	switch {
	case room == 0:
		return farthest
	case look.High():
		return room - b.Hi[look.Axis()]
	}
	return b.Lo[look.Axis()]
}

// gapTo returns how far one box is from another that it looks at; before is false where the other
// does not lie that way.
func gapTo(b, other Box, look Direction) (gap measure.Length, before bool) {
	a := look.Axis()
	if gap = b.Lo[a] - other.Hi[a]; look.High() {
		gap = other.Lo[a] - b.Hi[a]
	}
	return max(gap, 0), gap >= -same && faces(b.common(other), a)
}

// accesses returns the room before each of the sides from which a cabinet's fixings are reached, that of the side
// with the most room first; nil where they are reached from inside.
func (in *Interior) accesses(p *Placed, reach measure.Length, standing []*Placed) (all []access) {
	if reach == 0 {
		return nil
	}
	for _, side := range p.Fixings.From {
		all = append(all, in.access(p, side, reach, standing))
	}
	slices.SortStableFunc(all, func(a, b access) int { return cmp.Compare(b.free, a.free) })
	return all
}

// hidden returns the cabinets that hide a cabinet's fixings: while one of its sides is open, or where the vehicle
// itself is before all of them, there is none.
func (in *Interior) hidden(p *Placed, reach measure.Length, standing []*Placed) (by []*Placed) {
	for _, a := range in.accesses(p, reach, standing) {
		if a.open() {
			return nil
		}
		if !a.walled {
			by = append(by, a.by...)
		}
	}
	return by
}

// reached finds fixings that cannot be reached, and cabinets that no order lets in.
func (in *Interior) reached(reach measure.Length, style measure.Style) {
	all := in.all()
	for _, p := range all {
		sides := in.accesses(p, reach, all)
		if len(sides) == 0 || slices.ContainsFunc(sides, func(a access) bool { return a.open() }) {
			continue
		}
		best := slices.IndexFunc(sides, func(a access) bool { return !a.walled })
		if best < 0 {
			in.find(LevelError, p.Name, fmt.Sprintf("its fixings have %s of room before the vehicle, and %s are wanted", style.WithUnit(sides[0].free), style.WithUnit(reach)),
				"reach them from another side, or from inside")
			continue
		}
		by := sides[best].by[0].Name
		in.find(LevelWarning, p.Name, fmt.Sprintf("once %s stands, its fixings are reached through %s, and %s are wanted", by, style.WithUnit(sides[best].free), style.WithUnit(reach)),
			fmt.Sprintf("fix it before %s goes in; to take it out, %s comes out first", by, by))
	}
	in.ordered(reach)
}
