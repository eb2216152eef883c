package cabinets

import (
	"fmt"
	"maps"
	"sort"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
)

// Held is an object that a cabinet is to hold.
type Held struct {
	Object    string
	Size      [3]measure.Length // width, depth, height
	Clearance measure.Length    // kept free on every side
}

// axisSizes are the sizes that are chosen by what a cabinet holds.
var axisSizes = [3]string{"width", "depth", "height"}

// needs returns the clear room that the object takes along an axis.
func (h *Held) needs(a Axis) measure.Length { return h.Size[a] + 2*h.Clearance }

// inside reads the clear room of the main compartment.
func (r *reader) inside(n source.Node) {
	if n.IsZero() {
		return
	}
	m := n.Map(append(axisSizes[:], "at", "lined")...)
	r.d.Inside = &InsideRule{}
	for a, key := range axisSizes {
		r.d.Inside.Size[a] = r.number(m.Need(key))
	}
	lined := m.Get("lined")
	r.d.Inside.Lined = readSides(lined)
	at := m.Get("at")
	if !lined.IsZero() {
		at = m.Need("at")
	}
	if !at.IsZero() {
		corner := at.Map("x", "y", "z")
		r.d.Inside.At = &[3]Formula{}
		for a := X; a <= Z; a++ {
			r.d.Inside.At[a] = r.number(corner.Need(a.String()))
		}
	}
}

// holds reads what a cabinet is to hold, nil where that is left out.
func (r *layoutReader) holds(n source.Node, d *Definition) *Held {
	if n.IsZero() {
		return nil
	}
	if d.Inside == nil {
		n.Fault(d.Name+" declares no inside", "leave holds out and give it sizes, or, where it encloses something, add inside: {width: ..., depth: ..., height: ...} to the cabinet")
	}
	m := n.Map("object", "width", "depth", "height", "clearance")
	h := &Held{Object: m.Need("object").Text(), Clearance: r.length(m.Get("clearance"), 0)}
	for a, key := range axisSizes {
		h.Size[a] = r.length(m.Need(key), measure.Millimetre)
	}
	return h
}

// length returns the size with a name that is a length, nil where there is none.
func (d *Definition) length(name string) *Size {
	if s := d.size(name); s != nil && !s.Whole {
		return s
	}
	return nil
}

// clear works out the clear room of the cabinet's main compartment, 0 where none is
// declared. What is cut in steps may leave a step less than is designed.
func (in *instance) clear() (room [3]measure.Length) {
	if in.d.Inside != nil {
		for a := range room {
			room[a] = max(in.length(&in.d.Inside.Size[a])-in.shop.Saw.Step, 0)
		}
	}
	return room
}

// fitted gives the sizes that are left open the least multiple of the shop's step at
// which the inside holds what it is to hold, or the greatest where none does: width
// first, then depth, then height.
func (e *expansion) fitted(d *Definition, choice Choice) map[string]measure.Length {
	given := choice.Sizes
	choice.Sizes = map[string]measure.Length{}
	maps.Copy(choice.Sizes, given)
	for a, name := range axisSizes {
		if _, chosen := given[name]; !chosen && d.length(name) != nil {
			choice.Sizes[name], _ = e.least(d, choice, Axis(a))
		}
	}
	return choice.Sizes
}

// least returns the least multiple of the shop's step within the range of the size along
// an axis at which the inside holds what it is to hold, the others being as given. Where
// none does, it returns the greatest and reports false. An inside must not shrink as the
// size grows.
func (e *expansion) least(d *Definition, choice Choice, a Axis) (measure.Length, bool) {
	size := d.size(axisSizes[a])
	step := max(e.shop.Saw.Step, 1)
	first := (size.Least + step - 1) / step
	count := int(size.Most/step-first) + 1
	if count <= 0 { // no multiple lies in the range
		return size.Least, false
	}
	trial := maps.Clone(choice.Sizes)
	at := sort.Search(count, func(i int) bool {
		trial[size.Name] = (first + measure.Length(i)) * step
		scratch := &expansion{shop: e.shop, solid: &Solid{Definition: d}, refused: map[any]bool{}, riding: e.riding}
		top := &instance{expansion: scratch, d: d, fills: scratch.fills(d, choice.Roles)}
		top.names(scratch.sizes(d, trial))
		return top.clear()[a] >= choice.Holds.needs(a)
	})
	return (first + measure.Length(min(at, count-1))) * step, at < count
}

// held finds by how much the inside is too small for what it is to hold.
func (e *expansion) held(d *Definition, choice Choice) {
	h := choice.Holds
	for a, name := range axisSizes {
		short := h.needs(Axis(a)) - e.solid.Inside[a]
		if short <= 0 {
			continue
		}
		do := "choose a smaller clearance, or another cabinet"
		if size := d.length(name); size != nil {
			if enough, ok := e.least(d, choice, Axis(a)); ok {
				do = fmt.Sprintf("choose %s %s mm or more, or leave it to be chosen", name, enough.Exact())
			} else {
				do += fmt.Sprintf(": %s goes up to %s mm", name, size.Most.Exact())
			}
		}
		e.finding(LevelError, "", fmt.Sprintf("%s needs %s mm of inside %s with its clearance, %s mm are there: %s mm too little",
			h.Object, h.needs(Axis(a)).Exact(), name, e.solid.Inside[a].Exact(), short.Exact()), do)
	}
}
