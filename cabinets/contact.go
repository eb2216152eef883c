package cabinets

import (
	"cmp"
	"fmt"
	"slices"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// contacts finds where assemblies touch, and what felt that takes.
func (e *expansion) contacts(found []meet, ends [][]end) {
	for _, m := range found {
		if m.overlap || e.glued(m.a, m.b) || e.apart(ends, m.a, m.b) >= 0 {
			continue
		}
		a, b := &e.solid.Parts[m.a], &e.solid.Parts[m.b]
		c, onA := touching(feltBody{a.Name, a.Thin, a.Box}, feltBody{b.Name, b.Thin, b.Box}, m, &e.shop.Felt)
		e.solid.Contacts = append(e.solid.Contacts, c)
		on, d := a, toward(m.axis, true)
		if !onA {
			on, d = b, toward(m.axis, false)
		}
		if on.Thin != m.axis {
			on.Edges[on.side(d)].Felted = true
		}
		if e.shop.Felt.Pressed-m.gap > same {
			e.finding(LevelWarning, c.On, fmt.Sprintf("felt against %s takes %s mm, the gap is %s mm", c.Against, e.shop.Felt.Pressed.Exact(), m.gap.Exact()), "leave a gap of felt, glue the two by giving them one assembly, or declare a clearance")
		}
	}
	slices.SortStableFunc(e.solid.Contacts, func(a, b Contact) int {
		return cmp.Or(natural(a.On, b.On), natural(a.Against, b.Against))
	})
}

// feltBody is a part as felt sees it.
type feltBody struct {
	name string // unique
	thin Axis
	box  Box
}

// touching makes a contact of two parts that meet without glue, the first being the lower
// one, and reports whether the first carries the felt.
func touching(a, b feltBody, m meet, felt *shop.Felt) (c Contact, onA bool) {
	onA = a.carries(b, m.axis)
	c = Contact{On: a.name, Against: b.name, Box: m.shared, Gap: m.gap}
	if !onA {
		c.On, c.Against = b.name, a.name
	}
	first := (m.axis + 1) % 3
	second := (m.axis + 2) % 3
	c.Runs, c.Felt = strips(m.shared.Size(first), m.shared.Size(second), felt)
	return c, onA
}

// carries reports whether the felt between a and b goes onto a: onto a broad face rather
// than an edge, then onto the larger part, then onto the one whose name comes first, so
// that it is the same seen from either side.
func (a feltBody) carries(b feltBody, axis Axis) bool {
	if broad := a.thin == axis; broad != (b.thin == axis) {
		return broad
	}
	return cmp.Or(cmp.Compare(b.face(), a.face()), natural(a.name, b.name)) < 0
}

// face is the area of a broad face, in mm2.
func (a feltBody) face() float64 {
	return a.box.Size((a.thin+1)%3).MM() * a.box.Size((a.thin+2)%3).MM()
}

// strips returns how many strips of felt a patch takes, and their length: one along the
// middle of a narrow patch, four round the edge of a wide one, of which two fit between
// the other two.
func strips(long, wide measure.Length, felt *shop.Felt) (runs int, total measure.Length) {
	if long < wide {
		long, wide = wide, long
	}
	if wide <= felt.Narrow {
		return 1, long
	}
	return 4, 2*long + 2*max(wide-2*felt.Width, 0)
}
