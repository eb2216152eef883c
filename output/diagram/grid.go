package diagram

import (
	"sawbook/output/draw"
)

// grid is a table with heads, its cells broken into lines where columns must be narrower
// than what they hold.
type grid struct {
	heads  []string
	rows   [][]run
	widths []float64
	most   float64 // width there is
}

const (
	gridGap   = 4.0  // between columns
	gridLine  = 5.2  // from one line to the next
	gridSpace = 1.2  // below the lines of a row
	leastCell = 18.0 // no column is made narrower
)

// newGrid returns a table that is as wide as it needs, or made narrower to fit a width: the
// widest column gives way first.
func newGrid(heads []string, rows [][]run, width float64) *grid {
	g := &grid{heads: heads, rows: rows, most: width}
	for i, head := range heads {
		w := draw.TextWidth(head, noteSize, false)
		for _, row := range rows {
			w = max(w, row[i].width())
		}
		g.widths = append(g.widths, w)
	}
	for !g.fits() {
		widest := 0
		for i, w := range g.widths {
			if w > g.widths[widest] {
				widest = i
			}
		}
		if g.widths[widest] <= leastCell {
			break
		}
		g.widths[widest] = max(leastCell, g.widths[widest]-1)
	}
	return g
}

func (g *grid) width() float64 {
	sum := -gridGap
	for _, w := range g.widths {
		sum += w + gridGap
	}
	return sum
}

func (g *grid) fits() bool { return g.width() <= g.most }

// height returns that of the heads and all rows.
func (g *grid) height() float64 {
	sum := cutHead
	for _, row := range g.rows {
		sum += g.rowHeight(row)
	}
	return sum
}

func (g *grid) rowHeight(row []run) float64 {
	lines := 1
	for i, cell := range row {
		lines = max(lines, len(broken(cell, g.widths[i])))
	}
	return float64(float64(lines)*gridLine) + gridSpace
}

// shapes draws the table from 0, 0 down.
func (g *grid) shapes() (shapes []draw.Shape) {
	x, y := 0.0, cutHead
	for i, head := range g.heads {
		shapes = append(shapes, draw.Text{X: x, Y: noteSize + 0.3, Size: noteSize, Text: head})
		x += g.widths[i] + gridGap
	}
	shapes = append(shapes, draw.Line{Y1: y, X2: g.width(), Y2: y, Pen: draw.Pen{Width: draw.Wide}})
	for _, row := range g.rows {
		x = 0
		for i, cell := range row {
			for n, line := range broken(cell, g.widths[i]) {
				shapes = append(shapes, draw.Text{X: x, Y: y + float64(float64(n+1)*gridLine) - 0.4, Size: line.size, Bold: line.bold, Text: line.text})
			}
			x += g.widths[i] + gridGap
		}
		y += g.rowHeight(row)
		shapes = append(shapes, draw.Line{Y1: y, X2: g.width(), Y2: y, Pen: draw.Pen{Width: hairline}})
	}
	return shapes
}

const hairline = 0.13 // mm, of lines that only guide the eye
