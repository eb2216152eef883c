package diagram

import (
	"strings"

	"sawbook/output/draw"
)

// flow sets runs one after another in rows of at most that width, breaking runs that
// are wider at spaces, and where a word alone is wider, within it. They stand gap apart.
func flow(runs []run, width, gap float64) [][]run {
	var rows [][]run
	left := -1.0 // room in the last row
	for _, r := range runs {
		for _, piece := range broken(r, width) {
			w := piece.width()
			if w+gap > left {
				rows = append(rows, nil)
				left = width + gap
			}
			rows[len(rows)-1] = append(rows[len(rows)-1], piece)
			left -= w + gap
		}
	}
	return rows
}

// broken splits a run into pieces no wider than width.
func broken(r run, width float64) []run {
	var pieces []run
	for r.width() > width {
		cut := breakAt(r, width)
		head := r
		head.text = strings.TrimRight(r.text[:cut], " ")
		pieces = append(pieces, head)
		r.text = strings.TrimLeft(r.text[cut:], " ")
	}
	return append(pieces, r)
}

// breakAt returns where to break a run that is too wide: after the last space that
// fits, else after the last letter that fits, and after the first in any case.
func breakAt(r run, width float64) int {
	fits, space := 0, 0
	for i, letter := range r.text {
		head := r
		head.text = r.text[:i]
		if i > 0 && head.width() > width {
			break
		}
		fits = i
		if letter == ' ' {
			space = i
		}
	}
	switch {
	case space > 0:
		return space
	case fits > 0:
		return fits
	}
	for i := range r.text {
		if i > 0 {
			return i
		}
	}
	return len(r.text)
}

// setRows sets rows flush left from x, y down, their runs gap apart, and returns where
// they end.
func setRows(d *draw.Drawing, rows [][]run, x, y, rowGap, gap float64) float64 {
	for i, row := range rows {
		_, above, below := rowExtent(row)
		if i > 0 {
			y += rowGap
		}
		y += above
		at := x
		for _, r := range row {
			d.Add(draw.Text{X: at, Y: y, Size: r.size, Bold: r.bold, Text: r.text})
			at += r.width() + gap
		}
		y += below
	}
	return y
}

// rowsHeight returns the height that setRows takes.
func rowsHeight(rows [][]run, rowGap float64) float64 {
	var scratch draw.Drawing
	return setRows(&scratch, rows, 0, 0, rowGap, 0)
}
