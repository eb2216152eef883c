package diagram

import (
	"slices"

	"sawbook/output/draw"
	"sawbook/output/table"
)

const (
	cutText      = 2.5  // mm, but for settings
	cutCellGap   = 1.8  // between the cells of a row
	cutColumnGap = 6.0  // between rows beside one another
	cutRowGap    = 1.0  // below a row's texts, for what reaches under the line
	widestCell   = 60.0 // a cell wider than this goes over several lines
	tickSize     = 3.0
	waySize      = 3.4
	mostTicks    = 6
)

// The cells of a row of the table of cuts, in their order.
const (
	cellStep = iota
	cellOf
	cellWay // a sign: the way the blade goes through the piece
	cellSet
	cellFrees
	cellRemains
	cutCells
)

var cutHeads = [cutCells]string{"cut", "of", "", "set", "frees", "remains"}

// cutRow is a row of the table of cuts: the lines of each cell.
type cutRow struct {
	cells [cutCells][]run
	rip   bool
	way   bool // the blade goes through it one way
}

// cutBlock returns a block with the rows of some runs, in as many columns as fit.
func (f *figure) cutBlock(runs []table.Run) func(d *draw.Drawing, y float64) float64 {
	return func(d *draw.Drawing, y float64) float64 {
		if len(runs) == 0 {
			return y
		}
		t := f.cutTable(runs)
		return t.draw(d, y+blockGap)
	}
}

// cutTable is a table of cuts, measured.
type cutTable struct {
	rows   []cutRow
	widths [cutCells]float64
	ticks  int // boxes at the end of a row
}

func (f *figure) cutTable(runs []table.Run) *cutTable {
	t := &cutTable{}
	if f.pattern.Times <= mostTicks {
		t.ticks = f.pattern.Times
	}
	for _, r := range runs {
		t.rows = append(t.rows, f.cutRow(r))
	}
	for i, head := range cutHeads {
		t.widths[i] = draw.TextWidth(head, cutText, false)
	}
	t.widths[cellWay] = waySize
	for _, row := range t.rows {
		for i, cell := range row.cells {
			for _, line := range cell {
				t.widths[i] = max(t.widths[i], line.width())
			}
		}
	}
	return t
}

// cutRow sets a run of cuts. What is freed or remains to be cut further is called by
// its kind, for its size follows from the setting.
func (f *figure) cutRow(r table.Run) cutRow {
	row := cutRow{rip: r.Rip, way: r.First > 0}
	steps, freed := r.Steps(), r.Freed()
	switch {
	case r.Track:
		steps += " track"
	case !row.way:
		freed = "off " + table.OffWords(r.Off, f.style)
	}
	for i, text := range map[int]string{cellStep: steps, cellOf: r.OfStep(), cellFrees: freed, cellRemains: r.Remains} {
		isStep := i == cellStep || i == cellOf && !r.OnSaw()
		row.cells[i] = broken(run{text, cutText, isStep}, widestCell)
	}
	if row.way {
		row.cells[cellSet] = []run{{f.style.Format(r.Setting), dimensionSize, true}}
	}
	return row
}

// lines returns how many lines a row has.
func (r cutRow) lines() int {
	n := 1
	for _, cell := range r.cells {
		n = max(n, len(cell))
	}
	return n
}

const (
	cutLine = 3.9 // from one line of a row to the next
	cutHead = 4.0
)

func (r cutRow) height() float64 { return float64(float64(r.lines())*cutLine) + cutRowGap }

// width returns that of one column.
func (t *cutTable) width() float64 {
	sum := 0.0
	for _, w := range t.widths {
		sum += w + cutCellGap
	}
	return sum + float64(float64(t.ticks)*(tickSize+1))
}

// draw sets the table from y down and returns where it ends.
func (t *cutTable) draw(d *draw.Drawing, y float64) float64 {
	columns := max(1, int((d.Width+cutColumnGap)/(t.width()+cutColumnGap)))
	pitch := (d.Width + cutColumnGap) / float64(columns)
	bottom := y
	for c, rows := range slices.Collect(slices.Chunk(t.rows, (len(t.rows)+columns-1)/columns)) {
		x := float64(float64(c) * pitch)
		at := t.heads(d, x, y, pitch-cutColumnGap)
		for _, row := range rows {
			at = t.row(d, row, x, at, pitch-cutColumnGap)
		}
		bottom = max(bottom, at)
	}
	return bottom
}

// heads sets a column's heads over a rule.
func (t *cutTable) heads(d *draw.Drawing, x, y, width float64) float64 {
	at := x
	for i, head := range cutHeads {
		text := draw.Text{X: at, Y: y + cutText + 0.3, Size: cutText, Text: head}
		if i == cellSet {
			text.X, text.Anchor = at+t.widths[i], draw.End
		}
		if i != cellWay {
			d.Add(text)
		}
		at += t.widths[i] + cutCellGap
	}
	d.Add(draw.Line{X1: x, Y1: y + cutHead, X2: x + width, Y2: y + cutHead, Pen: draw.Pen{Width: draw.Wide}})
	return y + cutHead
}

// row sets a row over a narrow rule, with a box to tick for every sheet.
func (t *cutTable) row(d *draw.Drawing, row cutRow, x, y, width float64) float64 {
	at := x
	for i, cell := range row.cells {
		if i == cellWay && row.way {
			d.Add(waySign(at, y+0.6, row.rip)...)
		}
		for n, line := range cell {
			text := draw.Text{X: at, Y: y + 0.1 + float64(float64(n+1)*cutLine), Size: line.size, Bold: line.bold, Text: line.text}
			if i == cellSet {
				text.X, text.Anchor = at+t.widths[i], draw.End
			}
			d.Add(text)
		}
		at += t.widths[i] + cutCellGap
	}
	bottom := y + row.height()
	for n := range t.ticks {
		d.Add(draw.Rect{X: x + width - float64(float64(n+1)*(tickSize+1)) + 0.8, Y: y + 0.8, Width: tickSize, Height: tickSize, Pen: draw.Pen{Width: draw.Narrow}})
	}
	d.Add(draw.Line{X1: x, Y1: bottom, X2: x + width, Y2: bottom, Pen: draw.Pen{Width: 0.13}})
	return bottom
}

// waySign draws a small piece with the cut through it, as it runs on the diagram.
func waySign(x, y float64, rip bool) []draw.Shape {
	const half = waySize / 2
	line := draw.Line{X1: x, Y1: y + half, X2: x + waySize, Y2: y + half, Pen: draw.Pen{Width: draw.Wide}}
	if !rip {
		line.X1, line.Y1, line.X2, line.Y2 = x+half, y, x+half, y+waySize
	}
	return []draw.Shape{draw.Rect{X: x, Y: y, Width: waySize, Height: waySize, Pen: draw.Pen{Width: 0.13}}, line}
}
