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
		found, onA := touching(feltBody{a.Name, a.Thin, a.Box, a.openings}, feltBody{b.Name, b.Thin, b.Box, b.openings}, m, &e.shop.Felt)
		if len(found) == 0 {
			continue
		}
		e.solid.Contacts = append(e.solid.Contacts, found...)
		if len(e.solid.Contacts) > mostMeets {
			e.limit(mostMeets, "patches of felt")
			return
		}
		c, on, d := found[0], a, toward(m.axis, true)
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
	for _, l := range e.linings {
		e.line(l)
	}
	slices.SortStableFunc(e.solid.Contacts, func(a, b Contact) int {
		return cmp.Or(natural(a.On, b.On), natural(a.Against, b.Against))
	})
}

// feltBody is a part as felt sees it.
type feltBody struct {
	name     string // unique
	thin     Axis
	box      Box
	openings []Box // its cut-outs
}

// touching makes contacts of two parts that meet without glue, the first being the lower
// one, one for each rectangle that their cut-outs leave of the patch, and reports whether the
// first carries the felt.
func touching(a, b feltBody, m meet, felt *shop.Felt) (found []Contact, onA bool) {
	onA = a.carries(b, m.axis)
	if !onA {
		a, b = b, a
	}
	for _, patch := range without(m.shared, m.axis, slices.Concat(a.openings, b.openings)) {
		found = append(found, Contact{
			On: a.name, Against: b.name, Face: toward(m.axis, onA), Box: patch, Gap: m.gap, Strips: strips(patch, m.axis, felt),
		})
	}
	return found, onA
}

// without returns rectangles that make up a patch, thin along an axis, less the openings
// that reach its plane.
func without(patch Box, thin Axis, openings []Box) []Box {
	rest := []Box{patch}
	for _, o := range openings {
		var next []Box
		for _, r := range rest {
			next = append(next, r.minus(o, thin)...)
		}
		rest = next
	}
	return rest
}

// minus returns what a box taken away leaves of a patch: the largest rectangle beside the
// box that spans the patch, and what that leaves in turn.
func (b Box) minus(o Box, thin Axis) (rest []Box) {
	first, second := (thin+1)%3, (thin+2)%3
	for {
		shared := b.common(o)
		if shared.Size(thin) < -same || shared.Size(first) <= same || shared.Size(second) <= same {
			return append(rest, b)
		}
		var largest, left Box
		most := 0.0
		for _, a := range []Axis{first, second} {
			below, above := b, b
			below.Hi[a], above.Lo[a] = shared.Lo[a], shared.Hi[a]
			for _, r := range []Box{below, above} {
				if area := r.Size(first).MM() * r.Size(second).MM(); r.Size(a) > same && area > most {
					most, largest, left = area, r, b
					if r.Lo[a] == b.Lo[a] {
						left.Lo[a] = r.Hi[a]
					} else {
						left.Hi[a] = r.Lo[a]
					}
				}
			}
		}
		if most == 0 {
			return rest
		}
		rest, b = append(rest, largest), left
	}
}

// Felt is the length of all strips.
func (c *Contact) Felt() (length measure.Length) {
	for _, s := range c.Strips {
		long, _ := c.Strip(s)
		length += long
	}
	return length
}

// Strip returns the length and the width of a strip of the contact.
func (c *Contact) Strip(s Box) (long, wide measure.Length) {
	first, second := s.Size((c.Face.Axis()+1)%3), s.Size((c.Face.Axis()+2)%3)
	return max(first, second), min(first, second)
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

// strips lays felt on a patch, which is thin along an axis. A narrow patch takes one strip
// along its middle, no wider than the patch. A wide one takes four round its edge, of which
// the two along it run from end to end, and so many between these two, at equal distances,
// that no more than the shop's spacing is left free.
func strips(patch Box, thin Axis, felt *shop.Felt) []Box {
	long, across := (thin+1)%3, (thin+2)%3
	if patch.Size(long) < patch.Size(across) {
		long, across = across, long
	}
	wide := patch.Size(across)
	if wide <= max(felt.Narrow, 2*felt.Width) {
		width := min(wide, felt.Width)
		return []Box{within(patch, across, (wide-width)/2, width)}
	}
	rows := 0 // between the two at the edges
	for felt.Spacing > 0 && wide-measure.Length(rows+2)*felt.Width > measure.Length(rows+1)*felt.Spacing {
		rows++
	}
	list := make([]Box, 0, 4+rows)
	list = append(list, within(patch, across, 0, felt.Width), within(patch, across, wide-felt.Width, felt.Width))
	between := within(patch, across, felt.Width, wide-2*felt.Width)
	list = append(list,
		within(between, long, 0, felt.Width), within(between, long, patch.Size(long)-felt.Width, felt.Width))
	inner := within(patch, long, felt.Width, patch.Size(long)-2*felt.Width)
	for i := range measure.Length(rows) {
		list = append(list, within(inner, across, (i+1)*(wide-felt.Width)/measure.Length(rows+1), felt.Width))
	}
	return list
}

// within returns what lies in a box from a distance along an axis, so wide.
func within(b Box, a Axis, from, wide measure.Length) Box {
	b.Lo[a] += from
	b.Hi[a] = b.Lo[a] + wide
	return b
}
