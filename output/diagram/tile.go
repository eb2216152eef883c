package diagram

import (
	"fmt"
	"math"
	"strings"

	"sawbook/cabinets/measure"
	"sawbook/output/draw"
)

const (
	tileHead    = 13.0 // mm over a tile: its label, what it is of, and a bar
	tileRim     = 6.0  // mm round it, for the labels of those beside it
	tileOverlap = 14.0 // mm that neighbours share
	markArm     = 5.0  // mm from the middle of a registration mark to its ends
	tileLabel   = 9.0
)

// Tiles cuts a drawing at full size into pages of that width and height in mm, to be laid on one
// another by their registration marks: rows are A, B ..., columns 1, 2 .... Neighbours share a
// strip, the marks lie in its middle. Each has a bar to hold a ruler to. A tile on which nothing lies is left out.
func Tiles(full draw.Drawing, unit measure.Unit, width, height float64) (pages []draw.Drawing) {
	g := newTiling(full, width, height)
	for row := range g.rows {
		for column := range g.columns {
			if g.blank(row, column) {
				continue
			}
			d := draw.Drawing{Width: width, Height: height, Title: full.Title + ", " + tileName(row, column), About: full.About}
			g.head(&d, unit, row, column)
			g.tile(&d, row, column)
			pages = append(pages, d)
		}
	}
	return pages
}

// tiling is how a drawing is cut into tiles.
type tiling struct {
	full          draw.Drawing
	window        box // of each page that shows its tile
	rows, columns int
}

func newTiling(full draw.Drawing, width, height float64) *tiling {
	g := &tiling{full: full, window: box{tileRim, tileHead + tileRim, width - tileRim, height - tileRim}}
	count := func(all, one float64) int {
		return max(1, int(math.Ceil((all-tileOverlap)/(one-tileOverlap))))
	}
	g.rows, g.columns = count(full.Height, g.window.height()), count(full.Width, g.window.width())
	return g
}

// part is what a tile shows of the drawing, in its mm.
func (g *tiling) part(row, column int) box {
	x, y := float64(column)*(g.window.width()-tileOverlap), float64(row)*(g.window.height()-tileOverlap)
	return box{x, y, x + g.window.width(), y + g.window.height()}
}

// blank reports whether nothing of the drawing lies on a tile.
func (g *tiling) blank(row, column int) bool {
	part := g.part(row, column)
	for _, s := range g.full.Shapes {
		if r, is := s.(draw.Rect); is && r.Fill == "" && r.Hatch == 0 {
			if overlapsAny(part, rim(extentOf(r))) { // of an outline nothing lies within
				return false
			}
		} else if part.overlaps(extentOf(s).inset(-draw.Wide)) {
			return false
		}
	}
	return true
}

// tileName is a tile's label: "B3" is the third in the second row.
func tileName(row, column int) string {
	return fmt.Sprintf("%s%d", strings.ToUpper(letters(row)), column+1)
}

func (g *tiling) head(d *draw.Drawing, unit measure.Unit, row, column int) {
	name := run{tileName(row, column), tileLabel, true}
	d.Add(draw.Text{X: 0, Y: tileLabel + 1, Size: tileLabel, Bold: true, Text: name.text})
	bar := barWidth(unit)
	words := []run{
		{g.full.Title, dimensionSize, true},
		{fmt.Sprintf("tiles A1 to %s at full size: print without scaling, lay mark on mark, blank tiles are left out", tileName(g.rows-1, g.columns-1)), noteSize, false},
	}
	setRows(d, flow(words, d.Width-name.width()-bar-12, factGap), name.width()+4, 0.5, titleGap, factGap)
	fullBar(unit, d, d.Width-bar, 4)
}

// tile draws what a tile shows, its frame, its marks, and which tile goes on which side.
func (g *tiling) tile(d *draw.Drawing, row, column int) {
	w, part := g.window, g.part(row, column)
	var seen []draw.Shape
	for _, s := range g.full.Shapes {
		if part.overlaps(extentOf(s).inset(-draw.Wide)) {
			seen = append(seen, s)
		}
	}
	d.Add(draw.Clip{X: w.x1, Y: w.y1, Width: w.width(), Height: w.height(), Shapes: draw.Move(seen, w.x1-part.x1, w.y1-part.y1)})
	d.Add(rectOf(w, draw.Narrow/2))
	marks := w.inset(tileOverlap / 2)
	for _, x := range []float64{marks.x1, marks.x2} {
		for _, y := range []float64{marks.y1, marks.y2} {
			d.Add(registration(x, y)...)
		}
	}
	beside := func(row, column int, x, y float64) {
		if row >= 0 && row < g.rows && column >= 0 && column < g.columns && !g.blank(row, column) {
			d.Add(draw.Text{X: x, Y: y + noteSize/2, Size: noteSize, Anchor: draw.Middle, Text: tileName(row, column)})
		}
	}
	midX, midY := (w.x1+w.x2)/2, (w.y1+w.y2)/2
	beside(row-1, column, midX, w.y1-tileRim/2)
	beside(row+1, column, midX, w.y2+tileRim/2)
	beside(row, column-1, w.x1-tileRim/2, midY)
	beside(row, column+1, w.x2+tileRim/2, midY)
}

// registration is a mark that lies on the same place of the drawing on every tile that has it; it
// looks unlike the middle of a hole.
func registration(x, y float64) []draw.Shape {
	pen := draw.Pen{Width: draw.Narrow / 2}
	return []draw.Shape{
		draw.Line{X1: x - markArm, Y1: y, X2: x + markArm, Y2: y, Pen: pen},
		draw.Line{X1: x, Y1: y - markArm, X2: x, Y2: y + markArm, Pen: pen},
		draw.Polygon{Points: []float64{x - markArm/2, y, x, y - markArm/2, x + markArm/2, y, x, y + markArm/2}, Pen: pen},
	}
}

// barOf is the length of the bar on a tile in mm, and what it says.
func barOf(unit measure.Unit) (length float64, words string) {
	if unit == measure.Inches {
		return 4 * 25.4, "4 in"
	}
	return 100, "100 mm"
}

func barWidth(unit measure.Unit) float64 {
	length, _ := barOf(unit)
	return length + 1
}

// fullBar draws a bar to hold a ruler to, its left end at x, y, and its length below it.
func fullBar(unit measure.Unit, d *draw.Drawing, x, y float64) {
	length, words := barOf(unit)
	pen := draw.Pen{Width: draw.Narrow}
	d.Add(
		draw.Line{X1: x, Y1: y, X2: x + length, Y2: y, Pen: pen},
		draw.Line{X1: x, Y1: y - 2, X2: x, Y2: y + 2, Pen: pen},
		draw.Line{X1: x + length, Y1: y - 2, X2: x + length, Y2: y + 2, Pen: pen},
		draw.Text{X: x + length/2, Y: y + 1.5 + noteSize + 0.5, Size: noteSize, Anchor: draw.Middle, Text: words + " on paper"})
}
