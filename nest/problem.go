package nest

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// Limits beyond which a problem is refused: no shop meets them, and below them no
// length, count or cost can overflow.
const (
	mostLength = int64(1) << 50
	mostCopies = 100_000_000
	mostPrice  = int64(1) << 33
	mostKinds  = 100_000
	// mostOnSheet bounds the parts of one pattern: its time grows with their square.
	mostOnSheet = 5_000
)

// Fault is one thing about a problem that makes no sense.
type Fault struct {
	Field string // "Parts", "Sheets", "Kerf", "Stages", "First", "Longest" or "Keep"
	Index int    // of the part or sheet; -1 where the field has none
	Text  string
}

func (f Fault) String() string {
	if f.Index < 0 {
		return f.Field + ": " + f.Text
	}
	return fmt.Sprintf("%s[%d]: %s", f.Field, f.Index, f.Text)
}

// FaultError lists every fault of a problem.
type FaultError struct{ Faults []Fault }

func (e *FaultError) Error() string {
	lines := make([]string, len(e.Faults))
	for i, f := range e.Faults {
		lines[i] = f.String()
	}
	return strings.Join(lines, "\n")
}

// validate returns a *FaultError with all faults of p, or nil.
func validate(p *Problem) error {
	var v validator
	v.parts(p.Parts)
	v.sheets(p.Sheets)
	v.rules(p)
	if len(v.faults) == 0 {
		v.crowds(p)
	}
	if len(v.faults) == 0 {
		return nil
	}
	return &FaultError{v.faults}
}

type validator struct{ faults []Fault }

func (v *validator) add(field string, index int, format string, args ...any) {
	v.faults = append(v.faults, Fault{field, index, fmt.Sprintf(format, args...)})
}

// length refuses what is not a length between least and mostLength.
func (v *validator) length(field string, index int, name string, value, least int64) {
	switch {
	case value < least && least == 1:
		v.add(field, index, "%s is %d, must be above 0", name, value)
	case value < least:
		v.add(field, index, "%s is %d, must not be below 0", name, value)
	case value > mostLength:
		v.add(field, index, "%s is %d, more than %d", name, value, mostLength)
	}
}

func (v *validator) parts(parts []Part) {
	if len(parts) > mostKinds {
		v.add("Parts", -1, "%d kinds, more than %d", len(parts), mostKinds)
		return
	}
	total := 0
	for i, part := range parts {
		v.length("Parts", i, "length", part.Length, 1)
		v.length("Parts", i, "width", part.Width, 1)
		switch {
		case part.Count < 1:
			v.add("Parts", i, "count is %d, must be above 0", part.Count)
		case part.Count > mostCopies:
			v.add("Parts", i, "count is %d, more than %d", part.Count, mostCopies)
		default:
			total += part.Count
		}
		if part.Grain > Across {
			v.add("Parts", i, "grain %d is none of Any, Along, Across", part.Grain)
		}
	}
	if total > mostCopies {
		v.add("Parts", -1, "%d copies in all, more than %d", total, mostCopies)
	}
}

func (v *validator) sheets(sheets []Sheet) {
	if len(sheets) == 0 {
		v.add("Sheets", -1, "there is none")
		return
	}
	stocked := false
	for i := range sheets {
		v.sheet(i, &sheets[i])
		stocked = stocked || sheets[i].Stock != 0
	}
	if !stocked {
		v.add("Sheets", -1, "stock is 0 everywhere")
	}
}

func (v *validator) sheet(i int, s *Sheet) {
	before := len(v.faults)
	v.length("Sheets", i, "length", s.Length, 1)
	v.length("Sheets", i, "width", s.Width, 1)
	v.length("Sheets", i, "left trim", s.Left, 0)
	v.length("Sheets", i, "right trim", s.Right, 0)
	v.length("Sheets", i, "bottom trim", s.Bottom, 0)
	v.length("Sheets", i, "top trim", s.Top, 0)
	if len(v.faults) == before {
		if s.Left+s.Right >= s.Length {
			v.add("Sheets", i, "trims leave nothing of its length %d", s.Length)
		}
		if s.Bottom+s.Top >= s.Width {
			v.add("Sheets", i, "trims leave nothing of its width %d", s.Width)
		}
	}
	if s.Price < 0 || s.Price > mostPrice {
		v.add("Sheets", i, "price is %d, must lie between 0 and %d", s.Price, mostPrice)
	}
}

func (v *validator) rules(p *Problem) {
	v.length("Kerf", -1, "kerf", p.Kerf, 0)
	if p.Stages < 0 || p.Stages > math.MaxInt16 {
		v.add("Stages", -1, "limit is %d, must lie between 0 and %d", p.Stages, math.MaxInt16)
	}
	if p.First > Crosscut {
		v.add("First", -1, "direction %d is none of NoCut, Rip, Crosscut", p.First)
	}
	v.length("Longest", -1, "longest rip", p.LongestRip, 0)
	v.length("Longest", -1, "longest crosscut", p.LongestCrosscut, 0)
	v.length("Keep", -1, "long side", p.Keep.Long, 0)
	v.length("Keep", -1, "short side", p.Keep.Short, 0)
	if p.Keep.ValueNum < 0 || p.Keep.ValueArea < 0 {
		v.add("Keep", -1, "value %d for every %d must not be below 0", p.Keep.ValueNum, p.Keep.ValueArea)
	}
}

// crowds refuses sheets that could hold more parts than one pattern may have, going by
// area, small parts first.
func (v *validator) crowds(p *Problem) {
	area := func(l, w int64) float64 { return float64(l+p.Kerf) * float64(w+p.Kerf) }
	parts := slices.Clone(p.Parts)
	slices.SortFunc(parts, func(a, b Part) int {
		return cmp.Compare(area(a.Length, a.Width), area(b.Length, b.Width))
	})
	for i, s := range p.Sheets {
		room := area(s.Length-s.Left-s.Right, s.Width-s.Bottom-s.Top)
		count := 0
		for _, part := range parts {
			each := area(part.Length, part.Width)
			n := int(min(float64(part.Count), math.Floor(room/each)))
			count += n
			if room -= float64(n) * each; n < part.Count || count > mostOnSheet {
				break
			}
		}
		if count > mostOnSheet {
			v.add("Sheets", i, "one could hold more than %d parts", mostOnSheet)
		}
	}
}
