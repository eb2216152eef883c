package measure

import (
	"strconv"
	"strings"
)

// Style says how lengths are printed.
type Style struct {
	Unit Unit
	// Denominator is the finest fraction of an inch printed: 16, 32 or 64. 0 is 64.
	Denominator int64
}

// Exact prints l in mm with as many decimals as it needs, at most 6: "18", "11.9",
// "18.25625". It is what the JSON and CSV files carry.
func (l Length) Exact() string {
	sign, nm := l.split()
	whole, rest := nm/uint64(Millimetre), nm%uint64(Millimetre)
	text := sign + strconv.FormatUint(whole, 10)
	if rest == 0 {
		return text
	}
	decimals := strconv.FormatUint(uint64(Millimetre)+rest, 10)[1:] // six digits, zeros in front
	return text + "." + strings.TrimRight(decimals, "0")
}

// split returns the sign and the magnitude, which for the least int64 is no int64.
func (l Length) split() (sign string, nm uint64) {
	if l < 0 {
		return "-", -uint64(l)
	}
	return "", uint64(l)
}

// Format prints l for people, without a unit: mm up to 0.1 ("576.2"), or inches with a
// fraction to the style's denominator (`23 1/2`). A print that had to be rounded (half
// away from zero) starts with "~".
func (s Style) Format(l Length) string {
	parts := uint64(10) // of the unit, the finest printed
	if s.Unit == Inches {
		parts = uint64(s.Denominator)
		if s.Denominator <= 0 {
			parts = 64
		}
	}
	unit := uint64(s.Unit.length())
	sign, nm := l.split()
	// The whole units are split off first: parts * nm could overflow.
	whole, rest := nm/unit, nm%unit
	count := (2*rest*parts + unit) / (2 * unit) // of parts, rounded
	rounded := ""
	if count*unit != rest*parts {
		rounded = "~"
	}
	whole, count = whole+count/parts, count%parts
	if whole == 0 && count == 0 {
		sign = ""
	}
	number := strconv.FormatUint(whole, 10)
	switch {
	case count == 0:
	case s.Unit == Inches:
		for count%2 == 0 && parts%2 == 0 {
			count, parts = count/2, parts/2
		}
		fraction := strconv.FormatUint(count, 10) + "/" + strconv.FormatUint(parts, 10)
		if whole == 0 {
			number = fraction
		} else {
			number += " " + fraction
		}
	default:
		number += "." + strconv.FormatUint(count, 10)
	}
	return rounded + sign + number
}

// WithUnit is Format with its unit: "576.2 mm", `23 1/2 in`.
func (s Style) WithUnit(l Length) string { return s.Format(l) + " " + s.Unit.String() }

// Size prints a length and a width with their unit: "2500 x 1250 mm".
func (s Style) Size(length, width Length) string {
	return s.Format(length) + " x " + s.WithUnit(width)
}
