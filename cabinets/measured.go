package cabinets

import (
	"errors"
	"fmt"
	"strings"

	"sawbook/cabinets/formula"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
)

// A layout may write places and sizes as formulas over its measures: inside.length, inside.width
// and inside.height, and measured.NAME of what it lists itself. A vehicle that was measured may
// have others; what is written so then follows them.

// Measured are the measures of one vehicle, where they differ from its layout's.
type Measured struct {
	Who    string                    // its serials
	Values map[string]measure.Length // by name, as formulas have it
	Shell  source.Node               // its own shell, zero where it has none
}

// insideName returns what formulas call an extent of the inside.
func insideName(a Axis) string { return "inside." + extents[a] }

// measuredPrefix begins the names of a layout's own measures.
const measuredPrefix = "measured."

// ReadMeasured reads the measures of the vehicles called who, which must be some that the layout
// has.
func (l *Layout) ReadMeasured(n source.Node, bare measure.Unit, who string) *Measured {
	known := append([]string{"inside", "shell"}, l.Measures...)
	m := n.Map(known...)
	v := &Measured{Who: who, Values: map[string]measure.Length{}, Shell: m.Get("shell")}
	inside := m.Get("inside").Map(extents[:]...)
	for a := X; a <= Z; a++ {
		if n := inside.Get(extents[a]); !n.IsZero() {
			v.Values[insideName(a)] = n.LengthIn(bare, 100*measure.Millimetre, farthest)
		}
	}
	for _, name := range l.Measures {
		if n := m.Get(name); !n.IsZero() {
			v.Values[measuredPrefix+fold(name)] = n.LengthIn(bare, 0, farthest)
		}
	}
	if n.IsMap() && len(n.Entries()) == 0 {
		n.Fault("nothing is measured", "write what differs: inside: {width: 1794 mm}, or a name from the layout's measures")
	}
	return v
}

// measures reads what a layout is measured by, with what one vehicle has instead.
func (r *layoutReader) measures(l *Layout, inside, own source.Node) {
	m := inside.Map(extents[:]...)
	r.values, r.scope = formula.Values{}, formula.Scope{}
	set := func(name string, value measure.Length) measure.Length {
		if r.measured != nil {
			if other, has := r.measured.Values[name]; has {
				value = other
			}
		}
		r.scope[name], r.values[name] = true, value.MM()
		return value
	}
	for a := X; a <= Z; a++ {
		given := m.Need(extents[a]).LengthIn(r.shop.Unit, 100*measure.Millimetre, farthest)
		l.Inside[a] = set(insideName(a), given)
		r.shift[a] = l.Inside[a] - given
	}
	for _, e := range own.Entries() {
		l.Measures = append(l.Measures, e.Name)
		set(measuredPrefix+fold(e.Name), e.Value.LengthIn(r.shop.Unit, 0, farthest))
		if e.Name == "inside" || e.Name == "shell" {
			e.Key.Fault(fmt.Sprintf("a measure cannot be called %s", e.Name), "choose another name")
		}
	}
}

// isFormula reports whether a value is written over a layout's measures.
func isFormula(text string) bool {
	return strings.Contains(text, "inside.") || strings.Contains(text, measuredPrefix)
}

// moved returns a length across the vehicle by so much more as the vehicle differs from its layout; a
// formula follows by itself.
func (r *layoutReader) moved(n source.Node, l, by measure.Length) measure.Length {
	if n.IsText() && isFormula(n.Text()) {
		return l
	}
	return l + by
}

// formula works out what a node says over the layout's measures.
func (r *layoutReader) formula(n source.Node) (f *formula.Formula, ok bool) {
	f, err := formula.Number(n.Text(), r.scope)
	return f, !r.wrong(n, err)
}

// wrong faults a formula at its place.
func (r *layoutReader) wrong(n source.Node, err error) bool {
	var at *formula.Error
	if errors.As(err, &at) {
		n.FaultAt(at.Offset, at.Text, at.Hint)
	}
	return err != nil
}

// reckoned returns the length that a formula comes to, which must lie between two others; ok is
// false where it is at fault.
func (r *layoutReader) reckoned(n source.Node, least, most measure.Length) (l measure.Length, ok bool) {
	f, ok := r.formula(n)
	if !ok {
		return 0, false
	}
	l, err := f.Length(r.values)
	if r.wrong(n, err) {
		return 0, false
	}
	if l < least || l > most {
		n.Fault(fmt.Sprintf("%s comes to %s%s", n.Text(), r.shop.Style.WithUnit(l), r.forWhom()), fmt.Sprintf("it may be %s to %s", r.shop.Style.WithUnit(least), r.shop.Style.WithUnit(most)))
		return 0, false
	}
	return l, true
}

// reckonedWhole is reckoned for a count.
func (r *layoutReader) reckonedWhole(n source.Node, least, most int64) (measure.Length, bool) {
	f, ok := r.formula(n)
	if !ok {
		return 0, false
	}
	count, err := f.Whole(r.values)
	if r.wrong(n, err) {
		return 0, false
	}
	if int64(count) < least || int64(count) > most {
		n.Fault(fmt.Sprintf("%s comes to %d%s", n.Text(), count, r.forWhom()), fmt.Sprintf("it may be %d to %d", least, most))
		return 0, false
	}
	return measure.Length(count), true
}

// forWhom names the vehicle whose measures are in use.
func (r *layoutReader) forWhom() string {
	if r.measured == nil {
		return ""
	}
	return " in vehicle " + r.measured.Who
}
