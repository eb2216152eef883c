package cabinets

import (
	"fmt"

	"sawbook/cabinets/shop"
)

// lining is an inside whose walls are lined with felt.
type lining struct {
	in  *instance
	box Box
}

// contents is what presses against the felt of a lined inside that holds nothing in
// particular.
const contents = "contents"

// line lays felt on the walls round an inside, for what stands in it.
func (e *expansion) line(l lining) {
	held := contents
	if h := e.solid.Holds; h != nil && l.in.name == "" {
		held = h.Object
	}
	for _, d := range l.in.d.Inside.Lined {
		found := backed(e.solid.Parts[l.in.first:l.in.last], l.box, d, held, &e.shop.Felt)
		if len(found) == 0 {
			l.in.find(LevelWarning, "", fmt.Sprintf("no wall is there to be lined at the %s of the inside", d.Word()), "let the inside begin a gap of felt before the wall")
		}
		e.solid.Contacts = append(e.solid.Contacts, found...)
	}
}

// backed lays felt between a box that is no part, called name, and the parts before which
// it lies: those that it faces in the direction d across no more than the gap of pressed
// felt. The parts carry the felt.
func backed(parts []Part, box Box, d Direction, name string, felt *shop.Felt) (found []Contact) {
	for i := range parts {
		// The part is the lower of the two where the box looks down at it.
		boxes := []Box{parts[i].Box, box}
		m, ok := pair(boxes, 0, 1, felt.Pressed)
		if !ok || m.overlap || m.axis != d.Axis() || (m.b == 0) != d.High() {
			continue
		}
		for _, patch := range without(m.shared, m.axis, parts[i].openings) {
			found = append(found, Contact{
				On: parts[i].Name, Against: name, Face: -d, Box: patch, Gap: m.gap, Strips: strips(patch, m.axis, felt),
			})
		}
	}
	return found
}
