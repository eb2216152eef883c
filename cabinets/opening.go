package cabinets

import (
	"fmt"

	"sawbook/cabinets/measure"
)

// opening is the room that something takes to open: a box in front of it, or above it.
type opening struct {
	room  Box // in the cabinet
	along Axis
	up    bool // along the axis, else down it
}

// opening returns the room that a move takes. A drawer comes out by its depth. A door or a lid
// swings out by its lesser extent, upwards where it lies flat. A panel lifts out by hand.
func (m Move) opening(b Box) (o opening, takes bool) {
	if m.Is == "panel" {
		return o, false
	}
	o = opening{room: b, along: Y}
	reach := b.Size(Y)
	if m.Is != "drawer" {
		reach = min(b.Size(X), b.Size(Z))
		if b.Size(Z) < min(b.Size(X), b.Size(Y)) {
			o.along, o.up, reach = Z, true, min(b.Size(X), b.Size(Y))
		}
	}
	if o.up {
		o.room.Lo[o.along], o.room.Hi[o.along] = b.Hi[o.along], b.Hi[o.along]+reach
	} else {
		o.room.Lo[o.along], o.room.Hi[o.along] = b.Lo[o.along]-reach, b.Lo[o.along]
	}
	return o, true
}

// opens finds what cannot open as far as it should, for what stands in its way.
func (in *Interior) opens(style measure.Style) {
	for i := range in.Cabinets {
		p := &in.Cabinets[i]
		boxes := map[string]Box{}
		for _, a := range p.Solid.assemblies() {
			boxes[a.name] = a.box
		}
		for _, m := range p.Solid.Moves {
			o, takes := m.opening(boxes[m.Assembly])
			if !takes {
				continue
			}
			free, by := in.freeTo(p, o)
			if reach := o.room.Size(o.along); free < reach-same {
				in.find(LevelError, p.Name+": "+m.Assembly, fmt.Sprintf("the %s opens %s of %s: %s stands in its way", m.Is, style.WithUnit(max(free, 0)), style.WithUnit(reach), by),
					"move one of them, or make what opens less deep")
			}
		}
	}
}

// freeTo returns how far something opens, and what it meets then.
func (in *Interior) freeTo(p *Placed, o opening) (free measure.Length, by string) {
	free = o.room.Size(o.along)
	room := p.Place(o.room)
	// Where the near end of the room lies once the cabinet is turned.
	near := o.room
	if o.up {
		near.Hi[o.along] = near.Lo[o.along]
	} else {
		near.Lo[o.along] = near.Hi[o.along]
	}
	start := p.Place(near)
	along := p.turned(o.along)
	up := start.Lo[along] == room.Lo[along]
	meets := func(b Box, name string) {
		shared := room.common(b)
		if shared.Size(X) <= same || shared.Size(Y) <= same || shared.Size(Z) <= same {
			return
		}
		distance := shared.Lo[along] - start.Lo[along]
		if !up {
			distance = start.Lo[along] - shared.Hi[along]
		}
		if distance < free {
			free, by = distance, name
		}
	}
	for i := range in.Cabinets {
		q := &in.Cabinets[i]
		if q == p {
			continue
		}
		for k := range q.Solid.Parts {
			meets(q.Place(q.Solid.Parts[k].Box), q.Name)
		}
	}
	if in.Layout.Shell != nil {
		for _, b := range in.Layout.Shell.Boxes {
			meets(b.Box, b.Name)
		}
	}
	for a, extent := range in.Layout.Inside {
		if extent == 0 {
			continue
		}
		beyond := room
		beyond.Lo[a] = max(extent, room.Lo[a])
		meets(beyond, "the end of the inside")
		before := room
		before.Hi[a] = min(0, room.Hi[a])
		meets(before, "the end of the inside")
	}
	return free, by
}
