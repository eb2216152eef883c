package diagram

import (
	"strconv"

	"sawbook/cabinets/measure"
)

// Paper is a sheet of paper lying on its long side, in mm, and its margin.
type Paper struct {
	Name                  string // as CSS knows it
	Width, Height, Margin float64
}

// A4 is that of ISO 216, Letter 11 by 8 1/2 in.
var (
	A4     = Paper{"A4", 297, 210, 8}
	Letter = Paper{"letter", 279.4, 215.9, 8}
)

// PaperFor returns the paper of those who measure in a unit.
func PaperFor(u measure.Unit) Paper {
	if u == measure.Inches {
		return Letter
	}
	return A4
}

// Room returns the space within the margins.
func (p Paper) Room() (width, height float64) {
	return p.Width - 2*p.Margin, p.Height - 2*p.Margin
}

// Scales from large to small. The metric ones are those of ISO 5455 and what lies
// between on a scale rule; those in inches are 3 in, 1 1/2 in, 1 in, 3/4 in ... to the foot.
var (
	metricScales = []float64{1, 2, 2.5, 5, 7.5, 10, 12.5, 15, 20, 25, 30, 40, 50, 75, 100}
	inchScales   = []float64{1, 2, 4, 8, 12, 16, 24, 32, 48, 96}
	inchNames    = map[float64]string{4: "3 in", 8: "1 1/2 in", 12: "1 in", 16: "3/4 in", 24: "1/2 in", 32: "3/8 in", 48: "1/4 in", 96: "1/8 in"}
)

func scalesFor(u measure.Unit) []float64 {
	if u == measure.Inches {
		return inchScales
	}
	return metricScales
}

func scaleName(u measure.Unit, scale float64) string {
	ratio := "1:" + strconv.FormatFloat(scale, 'f', -1, 64)
	if name := inchNames[scale]; u == measure.Inches && name != "" {
		return ratio + " (" + name + " to the foot)"
	}
	return ratio
}
