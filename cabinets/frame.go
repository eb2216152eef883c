package cabinets

import "sawbook/cabinets/measure"

// across returns the axis of the part's width.
func (p *Part) across() Axis { return X + Y + Z - p.Thin - p.Long }

// against reports that v runs against its axis, so that the frame is right-handed.
func (p *Part) against() bool { return p.across() != (p.Long+1)%3 }

// Toward returns the outward direction of an edge in the cabinet.
func (p *Part) Toward(s Side) Direction {
	switch s {
	case SideStart, SideEnd:
		return toward(p.Long, s == SideEnd)
	default:
		return toward(p.across(), (s == SideFar) != p.against())
	}
}

// side returns the edge that looks in a direction, which is not along the thickness.
func (p *Part) side(d Direction) Side {
	for s := SideNear; s < SideEnd; s++ {
		if p.Toward(s) == d {
			return s
		}
	}
	return SideEnd
}

// Cut returns the box of the panel as it is sawn: Snapped, less the bands whose thickness
// comes off the cut size.
func (p *Part) Cut() Box {
	b := p.Snapped
	for a := range p.off {
		b.Lo[a] += p.off[a][0]
		b.Hi[a] -= p.off[a][1]
	}
	return b
}

// own turns a box that lies relative to the least corner of the part as cut, in the
// cabinet's axes, into the part's own frame.
func (p *Part) own(b Box) Box {
	own := Box{
		Lo: [3]measure.Length{b.Lo[p.Long], b.Lo[p.across()], b.Lo[p.Thin]},
		Hi: [3]measure.Length{b.Hi[p.Long], b.Hi[p.across()], b.Hi[p.Thin]},
	}
	if p.against() {
		own.Lo[1], own.Hi[1] = p.Width-own.Hi[1], p.Width-own.Lo[1]
	}
	return own
}

// Place turns a box in the part's own frame into one in the cabinet.
func (p *Part) Place(own Box) Box {
	if p.against() {
		own.Lo[1], own.Hi[1] = p.Width-own.Hi[1], p.Width-own.Lo[1]
	}
	var b Box
	cut := p.Cut()
	for i, a := range [3]Axis{p.Long, p.across(), p.Thin} {
		b.Lo[a], b.Hi[a] = cut.Lo[a]+own.Lo[i], cut.Lo[a]+own.Hi[i]
	}
	return b
}
