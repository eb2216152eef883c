package cabinets

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// extents are what people call the axes of a layout.
var extents = [3]string{"length", "width", "height"}

// check gathers the findings of all cabinets, and finds those that stand outside the
// inside or too near one another.
func (in *Interior) check(s *shop.Shop) {
	for i := range in.Cabinets {
		p := &in.Cabinets[i]
		for _, f := range p.Solid.Findings {
			where := p.Name
			if f.Where != "" {
				where += ": " + f.Where
			}
			in.find(f.Level, where, f.Text, f.Do)
		}
		in.inside(s.Style, p)
		in.pressed(s, p)
		for k := range in.Cabinets[:i] {
			in.apart(s, &in.Cabinets[k], p)
		}
	}
	in.Findings = SortFindings(in.Findings)
}

// find adds a finding about something in the layout.
func (in *Interior) find(level Level, where, text, do string) {
	in.Findings = append(in.Findings, Finding{level, in.Layout.Title() + ": " + where, text, do})
}

// inside finds by how much a cabinet reaches out of the inside.
func (in *Interior) inside(style measure.Style, p *Placed) {
	for axis, room := range in.Layout.Inside {
		if room == 0 {
			continue
		}
		if out := p.Box.Hi[axis] - room; out > 0 {
			in.find(LevelError, p.Name,
				fmt.Sprintf("reaches %s beyond the inside %s of %s", style.WithUnit(out), extents[axis], style.WithUnit(room)),
				"move it, or make it smaller")
		}
		if out := -p.Box.Lo[axis]; out > 0 {
			in.find(LevelError, p.Name,
				fmt.Sprintf("begins %s before the inside %s does", style.WithUnit(out), extents[axis]),
				"move it, or make it smaller")
		}
	}
}

// apart finds by how much two cabinets overlap, or lack room for felt.
func (in *Interior) apart(s *shop.Shop, a, b *Placed) {
	shared := a.Box.common(b.Box)
	axis := X // along which they overlap least, or stand apart
	for other := range shared.Lo {
		if shared.Size(Axis(other)) < shared.Size(axis) {
			axis = Axis(other)
		}
	}
	names := a.Name + ", " + b.Name
	switch gap := -shared.Size(axis); {
	case gap < -same:
		in.find(LevelError, names,
			fmt.Sprintf("they overlap by %s along the %s", s.Style.WithUnit(-gap), extents[axis]),
			"move one of them, or make it smaller")
	case s.Felt.Pressed-gap > same && faces(shared, axis):
		in.find(LevelWarning, names,
			fmt.Sprintf("they stand %s apart, and pressed felt takes %s", s.Style.WithUnit(max(gap, 0)), s.Style.WithUnit(s.Felt.Pressed)),
			"leave room for the felt, or place one beside or above the other")
	}
}

// faces reports whether two boxes that are apart along one axis only face one another.
func faces(shared Box, apart Axis) bool {
	for axis := X; axis <= Z; axis++ {
		if axis != apart && shared.Size(axis) <= same {
			return false
		}
	}
	return true
}

// meet finds where cabinets touch one another. The pieces do not show that felt: which
// of some cabinets alike carries it is for the assembler to see.
func (in *Interior) meet(felt *shop.Felt) {
	var bodies []feltBody
	var boxes []Box
	var owners []int
	for i := range in.Cabinets {
		p := &in.Cabinets[i]
		for k := range p.Solid.Parts {
			part := &p.Solid.Parts[k]
			b := feltBody{p.Name + "." + part.Name, p.turned(part.Thin), p.Place(part.Box), nil}
			for _, o := range part.openings {
				b.openings = append(b.openings, p.Place(o))
			}
			bodies, boxes, owners = append(bodies, b), append(boxes, b.box), append(owners, i)
		}
	}
	for i := range in.Cabinets {
		in.Contacts = append(in.Contacts, in.Cabinets[i].skin(felt)...)
	}
	for _, m := range meets(boxes, felt.Pressed) {
		if owners[m.a] != owners[m.b] && !m.overlap {
			found, _ := touching(bodies[m.a], bodies[m.b], m, felt)
			in.Contacts = append(in.Contacts, found...)
		}
	}
	slices.SortFunc(in.Contacts, func(a, b Contact) int {
		return cmp.Or(natural(a.On, b.On), natural(a.Against, b.Against))
	})
}

// vehicle is what presses against the felt of a cabinet that stands against its skin.
const vehicle = "vehicle"

// skin lays felt where the cabinet stands against the vehicle: on the parts that lie in the
// outermost plane of each such side.
func (p *Placed) skin(felt *shop.Felt) (found []Contact) {
	for _, d := range p.Against {
		wall := p.Solid.Outside
		if a := d.Axis(); d.High() {
			wall.Lo[a] = wall.Hi[a] + felt.Pressed
			wall.Hi[a] = wall.Lo[a] + felt.Pressed
		} else {
			wall.Hi[a] = wall.Lo[a] - felt.Pressed
			wall.Lo[a] = wall.Hi[a] - felt.Pressed
		}
		found = append(found, backed(p.Solid.Parts, wall, -d, vehicle, felt)...)
	}
	for i := range found {
		c := &found[i]
		c.On, c.Face, c.Box = p.Name+"."+c.On, p.facing(c.Face), p.Place(c.Box)
		for k := range c.Strips {
			c.Strips[k] = p.Place(c.Strips[k])
		}
	}
	return found
}

// pressed finds sides that stand against the vehicle without room for felt.
func (in *Interior) pressed(s *shop.Shop, p *Placed) {
	for _, side := range p.Against {
		d := p.facing(side)
		a := d.Axis()
		gap := p.Box.Lo[a]
		if d.High() {
			gap = in.Layout.Inside[a] - p.Box.Hi[a]
		}
		if in.Layout.Inside[a] > 0 && gap >= -same && s.Felt.Pressed-gap > same { // beyond the inside is found already
			in.find(LevelWarning, p.Name,
				fmt.Sprintf("its %s stands %s from the vehicle, and pressed felt takes %s", side.Word(), s.Style.WithUnit(max(gap, 0)), s.Style.WithUnit(s.Felt.Pressed)),
				"leave room for the felt")
		}
	}
}

// Carrier returns the cabinet that carries the felt of a contact of the layout, and the
// contact as it is in that cabinet: its part and its coordinates.
func (in *Interior) Carrier(c Contact) (carrier *Placed, own Contact) {
	for i := range in.Cabinets {
		p := &in.Cabinets[i]
		if part, found := strings.CutPrefix(c.On, p.Name+"."); found && p.Solid.Part(part) != nil {
			carrier = p
			c.On = part
			break
		}
	}
	for back := carrier.Turn; back%4 != 0; back++ {
		c.Face = turnedOnce(c.Face)
	}
	c.Box = carrier.Within(c.Box)
	c.Strips = slices.Clone(c.Strips)
	for i := range c.Strips {
		c.Strips[i] = carrier.Within(c.Strips[i])
	}
	return carrier, c
}

// Mass returns the mass of all cabinets in kg: parts and hardware.
func (in *Interior) Mass() (kg float64) {
	for _, p := range in.Cabinets {
		of, _ := p.Solid.Mass()
		kg += of
	}
	return kg
}

// Felt returns the length of felt in and between all cabinets.
func (in *Interior) Felt() (length measure.Length) {
	add := func(contacts []Contact) {
		for _, c := range contacts {
			length += c.Felt()
		}
	}
	for _, p := range in.Cabinets {
		add(p.Solid.Contacts)
	}
	add(in.Contacts)
	return length
}

// Parts lists all parts with the places where they go in so many vehicles.
func (in *Interior) Parts(vehicles int) []Standing {
	var all []Standing
	for _, p := range in.Cabinets {
		for i := range p.Solid.Parts {
			part := &p.Solid.Parts[i]
			all = append(all, Standing{part, Place{in, p.Name, part.Name, vehicles}})
		}
	}
	return all
}
