// Package formula compiles and runs the arithmetic in cabinet definitions. A formula is
// a number (lengths are in mm) or a truth; names are checked when it is compiled.
// min, max, abs, floor, ceil, round and pick are its only functions.
//
// Every number is a float64, and no value may lie beyond ±[Limit], so that nothing
// overflows and no whole number loses its last digit.
package formula

import (
	"fmt"
	"math"
	"slices"
	"sync"

	"github.com/expr-lang/expr/vm"

	"sawbook/cabinets/measure"
)

// Error is a formula that cannot be compiled or has no finite value, with the byte
// offset of the fault in its text.
type Error struct {
	Offset     int
	Text, Hint string
}

func (e *Error) Error() string { return e.Text }

// Scope holds the names that a formula may use; all are numbers. A dotted name
// ("slide.length") is one name. Hyphens are no part of names: a definition's
// "inside-width" is written inside_width in formulas.
type Scope map[string]bool

// Values holds the value of every name that a formula uses.
type Values map[string]float64

// Formula is a compiled expression. It may be run from several goroutines at once.
type Formula struct {
	text    string
	program *vm.Program
	uses    []use // sorted by name
}

// use is a name that a formula uses, with the offset of its first place.
type use struct {
	name   string
	offset int
}

// Number compiles a formula whose value is a number. The error is an *Error.
func Number(text string, scope Scope) (*Formula, error) { return compile(text, scope, number) }

// Truth compiles a formula whose value is true or false. The error is an *Error.
func Truth(text string, scope Scope) (*Formula, error) { return compile(text, scope, truth) }

// Text returns the formula as written.
func (f *Formula) Text() string { return f.text }

// Uses lists the names that the formula uses, sorted.
func (f *Formula) Uses() []string {
	names := make([]string, len(f.uses))
	for i, u := range f.uses {
		names[i] = u.name
	}
	return names
}

// Number runs a formula compiled by [Number]. The error is an *Error.
func (f *Formula) Number(v Values) (float64, error) {
	value, err := f.run(v)
	if err != nil {
		return 0, err
	}
	return value.(float64), nil
}

// Length runs a formula compiled by [Number] and rounds its value in mm to the nanometre once.
func (f *Formula) Length(v Values) (measure.Length, error) {
	mm, err := f.Number(v)
	if err != nil {
		return 0, err
	}
	l, ok := measure.FromMM(mm)
	if !ok {
		return 0, f.fault(fmt.Sprintf("the length comes to %s mm, beyond 1 km", figure(mm)), "lengths in formulas are in mm")
	}
	return l, nil
}

// mostWhole bounds counts, so that an int holds them everywhere.
const mostWhole = 1_000_000_000

// Whole runs a formula compiled by [Number]; a value that is not a whole number (up to [Slack]) is an error.
func (f *Formula) Whole(v Values) (int, error) {
	value, err := f.Number(v)
	if err != nil {
		return 0, err
	}
	whole := math.Round(value)
	if math.Abs(value-whole) >= Slack {
		return 0, f.fault(fmt.Sprintf("the value comes to %s, which is no whole number", figure(value)), "use floor, ceil or round")
	}
	if math.Abs(whole) > mostWhole {
		return 0, f.fault(fmt.Sprintf("the value comes to %s, too large for a count", figure(value)), fmt.Sprintf("a count may come to %d", mostWhole))
	}
	return int(whole), nil
}

// Truth runs a formula compiled by [Truth]. The error is an *Error.
func (f *Formula) Truth(v Values) (bool, error) {
	value, err := f.run(v)
	if err != nil {
		return false, err
	}
	return value.(bool), nil
}

// fault is an error of the whole formula.
func (f *Formula) fault(text, hint string) *Error {
	return &Error{Offset: start(f.text), Text: text, Hint: hint}
}

// machine is what a run needs and the next can use again.
type machine struct {
	vm  vm.VM
	env map[string]any
}

var machines = sync.Pool{New: func() any { return &machine{env: map[string]any{}} }}

func (f *Formula) run(v Values) (any, error) {
	m := machines.Get().(*machine)
	defer machines.Put(m)
	clear(m.env)
	for _, u := range f.uses {
		value, ok := v[u.name]
		if !ok {
			return nil, &Error{Offset: u.offset, Text: fmt.Sprintf("%q has no value", u.name), Hint: "a name must be worked out before it is used"}
		}
		if !(math.Abs(value) <= Limit) { // not ">", which a NaN would pass
			return nil, &Error{Offset: u.offset, Text: fmt.Sprintf("%q is %s, too large for a formula", u.name, figure(value)), Hint: limitHint}
		}
		m.env[u.name] = value
	}
	value, err := m.vm.Run(f.program, m.env)
	if err != nil {
		return nil, runError(f.text, err)
	}
	return value, nil
}

// names lists a scope, sorted.
func (s Scope) names() []string {
	var names []string
	for name, in := range s {
		if in {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}
