// Package measure holds exact lengths. A Length is a whole number of nanometres, so
// that 1/64 in, 0.001 in and 0.01 mm are all exact.
package measure

import "math"

// Length is in nanometres.
type Length int64

// Exact units.
const (
	Nanometre  Length = 1
	Micrometre        = 1000 * Nanometre
	Millimetre        = 1000 * Micrometre
	Centimetre        = 10 * Millimetre
	Metre             = 1000 * Millimetre
	Inch              = 25_400_000 * Nanometre // 25.4 mm exactly
	Foot              = 12 * Inch
	// Most is the longest length that is read: 1 km. Anything longer is a slip.
	Most = 1000 * Metre
)

// Unit is what a bare number means.
type Unit uint8

const (
	Millimetres Unit = iota
	Inches
)

// length is the unit as a length.
func (u Unit) length() Length {
	if u == Inches {
		return Inch
	}
	return Millimetre
}

// String returns the unit's symbol.
func (u Unit) String() string {
	if u == Inches {
		return "in"
	}
	return "mm"
}

// MM returns l in millimetres.
func (l Length) MM() float64 { return float64(l) / 1e6 }

// FromMM rounds a value in millimetres to the nanometre, half away from zero. It
// reports false for what is not finite or lies beyond ±Most.
func FromMM(mm float64) (Length, bool) {
	nm := math.Round(mm * 1e6)
	if !(math.Abs(nm) <= float64(Most)) { // not ">", which a NaN would pass
		return 0, false
	}
	return Length(nm), true
}

// Snap returns the multiple of step nearest to l, a half going down; l itself where
// step is 0 or less.
func (l Length) Snap(step Length) Length {
	if step <= 0 {
		return l
	}
	down := l.SnapDown(step)
	if l-down > step-(l-down) {
		return down + step
	}
	return down
}

// SnapDown returns the greatest multiple of step that is not above l; l itself where
// step is 0 or less.
func (l Length) SnapDown(step Length) Length {
	if step <= 0 {
		return l
	}
	rest := l % step
	if rest < 0 {
		rest += step
	}
	return l - rest
}
