package cabinets

import (
	"slices"

	"sawbook/cabinets/measure"
)

// inTheWay returns the cabinets that keep another from leaving its place for a doorway. What the
// vehicle itself keeps in is built inside, and no cabinet is told to be in its way. Nothing is known where no
// doorway says where it is.
func (in *Interior) inTheWay(p *Placed, standing []*Placed) (by []*Placed) {
	if !in.placedDoorway() || in.leaves(p, standing) || !in.leaves(p, nil) {
		return nil
	}
	others := slices.DeleteFunc(slices.Clone(standing), func(q *Placed) bool { return q == p })
	for i, q := range others {
		if in.leaves(p, slices.Delete(slices.Clone(others), i, i+1)) {
			by = append(by, q)
		}
	}
	if len(by) > 0 {
		return by
	}
	// None is in the way alone: those are told that would be if they stood by themselves.
	for _, q := range others {
		if !in.leaves(p, []*Placed{q}) {
			by = append(by, q)
		}
	}
	if len(by) > 0 {
		return by
	}
	return others
}

func (in *Interior) placedDoorway() bool {
	return in.Layout.Shell != nil && slices.ContainsFunc(in.Layout.Shell.Doorways, func(d Doorway) bool { return d.Placed })
}

// leaves reports whether a cabinet can be carried out while others stand: straight out of its place by its own
// extent, lifted over what is low enough, and from there along the vehicle to a doorway, or straight
// through one at an end of the vehicle.
func (in *Interior) leaves(p *Placed, standing []*Placed) bool {
	for _, look := range []Direction{toward(X, true), toward(X, false), toward(Y, true), toward(Y, false)} {
		beyond := in.toEnd(p.Box, look) < p.Box.Size(look.Axis())
		if beyond && !in.endDoorway(p, look) || !in.slides(p, look, standing) {
			continue
		}
		if beyond || in.wayFrom(p, standing) {
			return true
		}
	}
	return false
}

// slides reports whether a cabinet can move straight by its own extent, on the level or lifted over
// what stands there.
func (in *Interior) slides(p *Placed, look Direction, standing []*Placed) bool {
	path := before(p.Box, look, p.Box.Size(look.Axis()))
	lifts := []measure.Length{0}
	for _, q := range standing {
		if q != p && meetsBox(path, q.Box) {
			lifts = append(lifts, q.Box.Hi[Z]-p.Box.Lo[Z])
		}
	}
	up := toward(Z, true)
	return slices.ContainsFunc(lifts, func(lift measure.Length) bool {
		column, over := before(p.Box, up, lift), path
		over.Lo[Z], over.Hi[Z] = over.Lo[Z]+lift, over.Hi[Z]+lift
		return lift <= in.toEnd(p.Box, up) && !slices.ContainsFunc(standing, func(q *Placed) bool {
			return q != p && (meetsBox(column, q.Box) || meetsBox(over, q.Box))
		})
	})
}

// before returns the room before one side of a box, so deep.
func before(b Box, look Direction, deep measure.Length) Box {
	a := look.Axis()
	if look.High() {
		b.Lo[a], b.Hi[a] = b.Hi[a], b.Hi[a]+deep
	} else {
		b.Lo[a], b.Hi[a] = b.Lo[a]-deep, b.Lo[a]
	}
	return b
}

// meetsBox reports whether two boxes have room in common.
func meetsBox(a, b Box) bool {
	c := a.common(b)
	return c.Size(X) > same && c.Size(Y) > same && c.Size(Z) > same
}

// endDoorway reports whether there is a doorway at an end of the vehicle that all of a cabinet passes.
func (in *Interior) endDoorway(p *Placed, look Direction) bool {
	return look.Axis() == X && slices.ContainsFunc(in.Layout.Shell.Doorways, func(d Doorway) bool {
		end := d.At <= 0
		if look.High() {
			end = d.At >= in.Layout.Inside[X]
		}
		return d.Placed && end && d.admits(p)
	})
}

// admits reports whether all assemblies of a cabinet pass a doorway.
func (d Doorway) admits(p *Placed) bool {
	return !slices.ContainsFunc(p.Solid.assemblies(), func(a assemblyBox) bool { return d.short(a.box) > 0 })
}

// wayFrom reports whether what stands along the vehicle leaves a way from a cabinet's place to a doorway, as
// wide as the cabinet's assemblies are upright; what is low enough for it to be lifted over leaves it.
func (in *Interior) wayFrom(p *Placed, standing []*Placed) bool {
	s := in.Layout.Shell
	var solid []Box
	for _, q := range standing {
		if roof := in.Layout.Inside[Z]; q != p && q.Box.Hi[Z]+p.Box.Size(Z) > roof {
			solid = append(solid, q.Box)
		}
	}
	for _, o := range s.Boxes {
		solid = append(solid, o.Box)
	}
	wide := measure.Length(0)
	for _, a := range p.Solid.assemblies() {
		wide = max(wide, min(a.box.Size(X), a.box.Size(Y)))
	}
	return slices.ContainsFunc(s.Doorways, func(d Doorway) bool {
		if !d.Placed || !d.admits(p) {
			return false
		}
		from, to := p.Box.Hi[X], d.At
		if d.At < p.Box.Lo[X] {
			from, to = d.At, p.Box.Lo[X]
		}
		if from >= to {
			return true
		}
		least, _ := in.narrowest(s, solid, from, to)
		return least >= wide-same
	})
}
