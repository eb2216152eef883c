// Package formula compiles and runs the arithmetic in cabinet definitions. A formula is
// a number (lengths are in mm) or a truth; names are checked when it is compiled.
// min, max, abs, floor, ceil and round are its only functions.
package formula

import "sawbook/cabinets/measure"

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

// Formula is a compiled expression.
type Formula struct {
	// fields are private to this package
}

// Number compiles a formula whose value is a number. The error is an *Error.
func Number(text string, scope Scope) (*Formula, error) { panic("not written yet") }

// Truth compiles a formula whose value is true or false. The error is an *Error.
func Truth(text string, scope Scope) (*Formula, error) { panic("not written yet") }

// Text returns the formula as written.
func (f *Formula) Text() string { panic("not written yet") }

// Uses lists the names that the formula uses, sorted.
func (f *Formula) Uses() []string { panic("not written yet") }

// Number runs the formula. The error is an *Error.
func (f *Formula) Number(v Values) (float64, error) { panic("not written yet") }

// Length runs the formula and rounds its value in mm to the nanometre once.
func (f *Formula) Length(v Values) (measure.Length, error) { panic("not written yet") }

// Whole runs the formula; a value that is not a whole number is an error.
func (f *Formula) Whole(v Values) (int, error) { panic("not written yet") }

// Truth runs a formula compiled by Truth.
func (f *Formula) Truth(v Values) (bool, error) { panic("not written yet") }
