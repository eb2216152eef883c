package cabinets

import (
	"cmp"
	"math"
	"slices"
	"strconv"
)

// Level is how grave a finding is.
type Level string

const (
	LevelError   Level = "error"
	LevelWarning Level = "warning"
	LevelNote    Level = "note"
)

// levels lists the levels from grave to light.
var levels = []Level{LevelError, LevelWarning, LevelNote}

// Finding is what a check says: where, what, and what to do.
type Finding struct {
	Level Level
	Where string // "Curlew: pantry: tray-2.left-side"; in a solid, the path in the cabinet
	Text  string
	Do    string
}

// SortFindings orders findings by level, errors first, then by place and text, and drops
// doubles.
func SortFindings(fs []Finding) []Finding {
	slices.SortStableFunc(fs, func(a, b Finding) int {
		return cmp.Or(
			cmp.Compare(slices.Index(levels, a.Level), slices.Index(levels, b.Level)),
			natural(a.Where, b.Where), cmp.Compare(a.Text, b.Text), cmp.Compare(a.Do, b.Do))
	})
	return slices.Compact(fs)
}

// Beyond prints a figure and the limit that it is beyond, with the fewest decimals, one at least, at which they
// read differently.
func Beyond(figure, limit float64) (string, string) {
	for decimals := 1; ; decimals++ {
		a, b := strconv.FormatFloat(figure, 'f', decimals, 64), strconv.FormatFloat(limit, 'f', decimals, 64)
		if a != b || decimals == 9 {
			return a, b
		}
	}
}

// above prints a figure, rounded up to a tenth: less than it is would be too little.
func above(figure float64) string {
	return strconv.FormatFloat(math.Ceil(float64(10*figure)-1e-9)/10, 'f', 1, 64)
}

// natural compares texts, runs of digits by their value: tray-2 comes before tray-10.
func natural(a, b string) int {
	for i, j := 0, 0; ; {
		switch {
		case i == len(a) || j == len(b):
			return cmp.Or(cmp.Compare(len(a)-i, len(b)-j), cmp.Compare(a, b))
		case !digit(a[i]) || !digit(b[j]):
			if a[i] != b[j] {
				return cmp.Compare(a[i], b[j])
			}
			i, j = i+1, j+1
		default:
			x, y := number(a[i:]), number(b[j:])
			i, j = i+len(x), j+len(y)
			x, y = significant(x), significant(y)
			if c := cmp.Or(cmp.Compare(len(x), len(y)), cmp.Compare(x, y)); c != 0 {
				return c
			}
		}
	}
}

func digit(c byte) bool { return '0' <= c && c <= '9' }

// number returns the digits that a text begins with.
func number(text string) string {
	n := 0
	for n < len(text) && digit(text[n]) {
		n++
	}
	return text[:n]
}

// significant drops zeros in front.
func significant(digits string) string {
	for len(digits) > 1 && digits[0] == '0' {
		digits = digits[1:]
	}
	return digits
}
