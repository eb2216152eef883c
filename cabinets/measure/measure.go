// Package measure holds exact lengths. A Length is a whole number of nanometres, so
// that 1/64 in, 0.001 in and 0.01 mm are all exact.
package measure

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

// Style says how lengths are printed.
type Style struct {
	Unit Unit
	// Denominator is the finest fraction of an inch printed: 16, 32 or 64.
	Denominator int64
}

// SyntaxError is a length that cannot be read, with the byte offset of the fault.
type SyntaxError struct {
	Offset int
	Text   string // what is wrong
	Hint   string // what to do
}

func (e *SyntaxError) Error() string { return e.Text }

// Parse reads a length such as "18 mm", "1.8 cm", `23 1/2 in`, `23-1/2"`, "3/4 in",
// `7' 6"` or "600" (in the bare unit). The error is a *SyntaxError.
func Parse(text string, bare Unit) (Length, error) { panic("not written yet") }

// MM returns l in millimetres.
func (l Length) MM() float64 { return float64(l) / 1e6 }

// FromMM rounds a value in millimetres to the nanometre, half away from zero. It
// reports false for what is not finite or lies beyond ±Most.
func FromMM(mm float64) (Length, bool) { panic("not written yet") }

// Exact prints l in mm with as many decimals as it needs, at most 6: "18", "11.9",
// "18.25625". It is what the JSON and CSV files carry.
func (l Length) Exact() string { panic("not written yet") }

// Format prints l for people, without a unit: mm up to 0.1 ("576.2"), or inches with a
// fraction to the style's denominator (`23 1/2`). A print that had to be rounded starts
// with "~".
func (s Style) Format(l Length) string { panic("not written yet") }

// WithUnit is Format with its unit: "576.2 mm", `23 1/2 in`.
func (s Style) WithUnit(l Length) string { panic("not written yet") }

// Snap returns the multiple of step nearest to l, a half going down; l itself where
// step is 0.
func (l Length) Snap(step Length) Length { panic("not written yet") }

// SnapDown returns the greatest multiple of step that is not above l.
func (l Length) SnapDown(step Length) Length { panic("not written yet") }
