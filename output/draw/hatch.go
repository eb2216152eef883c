package draw

import "math"

const hatchWidth = 0.13 // mm, of a hatch's lines

// hatch returns the lines that fill r, rising to the right, spacing apart. They lie on
// one grid of the whole paper, so that neighbours join.
func hatch(r Rect, spacing float64) []Line {
	step := spacing * math.Sqrt2 // along x
	var lines []Line
	// A line is x + y = c; the rectangle's corners give the least and the greatest c.
	least, most := r.X+r.Y, r.X+r.Width+r.Y+r.Height
	for n := math.Floor(least/step) + 1; n*step < most; n++ {
		c := float64(n * step)
		x1 := max(r.X, c-(r.Y+r.Height))
		x2 := min(r.X+r.Width, c-r.Y)
		if x2-x1 > 0.05 { // shorter is a dot
			lines = append(lines, Line{X1: x1, Y1: c - x1, X2: x2, Y2: c - x2})
		}
	}
	return lines
}
