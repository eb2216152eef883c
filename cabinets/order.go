package cabinets

import (
	"fmt"
	"slices"
	"strings"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
)

// Fixings are what holds a cabinet to the vehicle.
type Fixings struct {
	Count int         // below 0 where none are declared
	From  []Direction // sides of the cabinet from which they are reached; none is from its inside
}

// SideWord returns what a file calls a side of a cabinet.
func SideWord(d Direction) string { return sideWords[slices.Index(sideLooks, d)] }

// noFixings are those of a cabinet that declares none.
var noFixings = Fixings{Count: -1}

// fixings reads a number, or {count: ..., from: [sides]}.
func (r *layoutReader) fixings(n source.Node) Fixings {
	switch {
	case n.IsZero():
		return noFixings
	case n.IsText():
		return Fixings{Count: int(n.Whole(1, 1000))}
	}
	m := n.Map("count", "from")
	return Fixings{Count: int(m.Need("count").Whole(1, 1000)), From: readSides(m.Get("from"))}
}

// GoesIn is a cabinet in its turn of going in.
type GoesIn struct {
	*Placed
	After []string // cabinets that must be in before it
}

// Order returns the cabinets in an order in which they can go in: what stands above another or beside it follows
// that, and a cabinet whose fixings would be hidden by another comes before it. They come out the other way
// round. Where no order does, those that wait for one another are left out.
func (in *Interior) Order(reach measure.Length) []GoesIn {
	after := in.after(reach)
	var order []GoesIn
	placed := map[string]bool{}
	for changed := true; changed; {
		changed = false
		for i := range in.Cabinets {
			p := &in.Cabinets[i]
			if placed[p.Name] || slices.ContainsFunc(after[p.Name], func(name string) bool { return !placed[name] }) {
				continue
			}
			placed[p.Name], changed = true, true
			order = append(order, GoesIn{p, after[p.Name]})
		}
	}
	return order
}

// after tells for each cabinet which must be in before it.
func (in *Interior) after(reach measure.Length) map[string][]string {
	after := map[string][]string{}
	add := func(later, earlier string) {
		if !slices.Contains(after[later], earlier) {
			after[later] = append(after[later], earlier)
		}
	}
	for i := range in.Cabinets {
		p := &in.Cabinets[i]
		for k := range in.Cabinets {
			if q := &in.Cabinets[k]; q != p && p.restsOn(q) {
				add(p.Name, q.Name)
			}
		}
		if _, by := in.hidden(p, reach); by != nil {
			add(by.Name, p.Name)
		}
	}
	for name := range after {
		slices.SortFunc(after[name], natural)
	}
	return after
}

// restsOn reports whether a cabinet stands on another, a gap of felt between.
func (p *Placed) restsOn(q *Placed) bool {
	gap := p.Box.Lo[Z] - q.Box.Hi[Z]
	over := p.Box.common(q.Box)
	return gap >= 0 && gap <= 10*measure.Millimetre && over.Size(X) > same && over.Size(Y) > same
}

// hidden returns the free room before the side from which a cabinet's fixings are reached best,
// and, where that is less than reach, the cabinet that hides it. Those that are reached from inside are never hidden.
func (in *Interior) hidden(p *Placed, reach measure.Length) (room measure.Length, by *Placed) {
	if reach == 0 || len(p.Fixings.From) == 0 {
		return 0, nil
	}
	for i, side := range p.Fixings.From {
		free, blocks := in.before(p, p.facing(side))
		if i == 0 || free > room {
			room, by = free, blocks
		}
	}
	if room >= reach {
		by = nil
	}
	return room, by
}

// before returns how far it is from a side of a cabinet to the next one, which is nil where
// there is none but the end of the inside.
func (in *Interior) before(p *Placed, side Direction) (free measure.Length, next *Placed) {
	a := side.Axis()
	free = farthest
	if room := in.Layout.Inside[a]; room > 0 {
		if free = p.Box.Lo[a]; side.High() {
			free = room - p.Box.Hi[a]
		}
	}
	for i := range in.Cabinets {
		q := &in.Cabinets[i]
		if q == p || !faces(p.Box.common(q.Box), a) {
			continue
		}
		gap := p.Box.Lo[a] - q.Box.Hi[a]
		if side.High() {
			gap = q.Box.Lo[a] - p.Box.Hi[a]
		}
		if gap >= -same && gap < free {
			free, next = gap, q
		}
	}
	return free, next
}

// reached finds fixings that cannot be reached, and cabinets that no order lets in.
func (in *Interior) reached(reach measure.Length, style measure.Style) {
	for i := range in.Cabinets {
		p := &in.Cabinets[i]
		room, by := in.hidden(p, reach)
		switch {
		case by != nil:
			in.find(LevelWarning, p.Name, fmt.Sprintf("once %s stands, its fixings are reached through %s, and %s are wanted", by.Name, style.WithUnit(room), style.WithUnit(reach)),
				fmt.Sprintf("fix it before %s goes in; to take it out, %s comes out first", by.Name, by.Name))
		case reach > 0 && len(p.Fixings.From) > 0 && room < reach:
			in.find(LevelError, p.Name, fmt.Sprintf("its fixings have %s of room before the end of the inside, and %s are wanted", style.WithUnit(room), style.WithUnit(reach)),
				"reach them from another side, or from inside")
		}
	}
	if order := in.Order(reach); len(order) < len(in.Cabinets) {
		var stuck []string
		for i := range in.Cabinets {
			name := in.Cabinets[i].Name
			if !slices.ContainsFunc(order, func(t GoesIn) bool { return t.Name == name }) {
				stuck = append(stuck, name)
			}
		}
		in.find(LevelError, strings.Join(stuck, ", "), "no order lets them in: each hides the fixings of another, or stands on one that does", "reach the fixings of one of them from another side, or from inside")
	}
}
