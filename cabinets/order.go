package cabinets

import (
	"fmt"
	"slices"
	"strings"

	"sawbook/cabinets/measure"
)

// GoesIn is a cabinet in its turn of going in.
type GoesIn struct {
	*Placed
	After []Wait   // cabinets that are in before it
	Until []string // cabinets that come out before it
}

// Wait is a cabinet that another waits for, and what of it would not do otherwise.
type Wait struct{ Name, Why string }

// Why a cabinet goes in before another: what it would lack if it did not.
const (
	WhyUnder   = "under it"
	WhyFixings = "its fixings"
	WhyWay     = "its way in"
)

// Order returns the cabinets in an order in which they can go in, and those that no order lets in. It is found
// from its end: of all that stand, one comes out whose fixings are reached, on which nothing stands
// and that has a way to a doorway, and so on. What comes out is never in the way of another, so
// that this finds an order wherever there is one; as far as it can, it is the layout's.
func (in *Interior) Order(reach measure.Length) (order []GoesIn, stuck []*Placed) {
	in = in.full()
	standing := in.all()
	for len(standing) > 0 {
		waits := make([][]wait, len(standing))
		out := -1
		for i, p := range standing {
			if waits[i] = in.waits(p, standing, reach); len(waits[i]) == 0 {
				out = i
			}
		}
		if out < 0 {
			break
		}
		turn := GoesIn{Placed: standing[out]}
		for i, p := range standing {
			for _, w := range waits[i] {
				if w.by == turn.Placed {
					turn.After = append(turn.After, Wait{p.Name, w.why})
				}
			}
		}
		order = append(order, turn)
		standing = slices.Delete(standing, out, out+1)
	}
	slices.Reverse(order)
	for i := range order {
		for _, later := range order[i+1:] {
			if slices.ContainsFunc(later.After, func(w Wait) bool { return w.Name == order[i].Name }) {
				order[i].Until = append(order[i].Until, later.Name)
			}
		}
	}
	return order, standing
}

// all returns the cabinets of an interior.
func (in *Interior) all() (all []*Placed) {
	for i := range in.Cabinets {
		all = append(all, &in.Cabinets[i])
	}
	return all
}

// wait is a cabinet that has to come out before another can.
type wait struct {
	by  *Placed
	why string
}

// waits returns what keeps a cabinet in its place while others stand.
func (in *Interior) waits(p *Placed, standing []*Placed, reach measure.Length) (all []wait) {
	for _, q := range standing {
		if q != p && q.restsOn(p) {
			all = append(all, wait{q, WhyUnder})
		}
	}
	for _, q := range in.hidden(p, reach, standing) {
		all = append(all, wait{q, WhyFixings})
	}
	for _, q := range in.inTheWay(p, standing) {
		all = append(all, wait{q, WhyWay})
	}
	return all
}

// restsOn reports whether a cabinet stands on another, a gap of felt between.
func (p *Placed) restsOn(q *Placed) bool {
	gap := p.Box.Lo[Z] - q.Box.Hi[Z]
	over := p.Box.common(q.Box)
	return gap >= 0 && gap <= 10*measure.Millimetre && over.Size(X) > same && over.Size(Y) > same
}

// ordered finds cabinets that no order lets in.
func (in *Interior) ordered(reach measure.Length) {
	_, stuck := in.Order(reach)
	if len(stuck) == 0 {
		return
	}
	var names, why []string
	for _, p := range stuck {
		names = append(names, p.Name)
		w := in.waits(p, stuck, reach)[0]
		why = append(why, fmt.Sprintf("%s before %s (%s)", p.Name, w.by.Name, w.why))
	}
	in.find(LevelError, strings.Join(names, ", "), "no order lets them in: "+strings.Join(why, "; "), "reach the fixings of one of them from another side or from inside, or move it")
}
