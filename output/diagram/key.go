package diagram

import (
	"fmt"

	"sawbook/cabinets/measure"
	"sawbook/output/draw"
	"sawbook/output/table"
)

const (
	keyColumnGap = 6.0
	keyRowGap    = 1.5
)

// keyBlock returns a block that lists what the drawing had no room for, in the columns
// that make it lowest.
func (f *figure) keyBlock(entries []keyEntry) func(d *draw.Drawing, y float64) float64 {
	return func(d *draw.Drawing, y float64) float64 {
		if len(entries) == 0 {
			return y
		}
		y += blockGap
		best := keyLayout(entries, d.Width, 1)
		for columns := 2; columns <= mostKeyColumns && keyColumn(d.Width, columns) >= widestEntry(entries); columns++ {
			if k := keyLayout(entries, d.Width, columns); k.height < best.height {
				best = k
			}
		}
		d.Add(draw.Move(best.Shapes, 0, y)...)
		return y + best.height
	}
}

const mostKeyColumns = 5

// keyColumns is a key set in columns.
type keyColumns struct {
	draw.Drawing
	height float64
}

// keyColumn returns the width of one of so many columns.
func keyColumn(width float64, columns int) float64 {
	return (width+keyColumnGap)/float64(columns) - keyColumnGap
}

// widestEntry returns the width that no entry's letter, number and size exceed.
func widestEntry(entries []keyEntry) (widest float64) {
	for _, e := range entries {
		e.name, e.unmarked = "", 0
		width, _, _ := rowExtent(e.runs())
		widest = max(widest, width)
	}
	return widest
}

func keyLayout(entries []keyEntry, width float64, columns int) (k keyColumns) {
	column := keyColumn(width, columns)
	perColumn := (len(entries) + columns - 1) / columns
	for c := 0; c*perColumn < len(entries); c++ {
		y := 0.0
		for _, e := range entries[c*perColumn : min((c+1)*perColumn, len(entries))] {
			rows := flow(e.runs(), column, runGap)
			y = setRows(&k.Drawing, rows, float64(float64(c)*(column+keyColumnGap)), y, 0.6, runGap) + keyRowGap
		}
		k.height = max(k.height, y)
	}
	return k
}

// runs returns an entry's texts in their order.
func (e keyEntry) runs() []run {
	var runs []run
	if e.letter != "" {
		runs = append(runs, run{e.letter + " =", keySize, true})
	}
	runs = append(runs, run{e.number, keySize, true}, run{e.size, dimensionSize, false})
	if e.name != "" && e.name != e.number {
		runs = append(runs, run{e.name, noteSize, false})
	}
	if e.unmarked > 0 {
		runs = append(runs, run{fmt.Sprintf("(%d unmarked)", e.unmarked), noteSize, false})
	}
	return runs
}

// legend explains the signs from y down, and returns where it ends.
func (f *figure) legend(d *draw.Drawing, y float64) float64 {
	const rise, gap = 3.4, 7.0
	x := 0.0
	y += 1.6
	text := func(words string) {
		d.Add(draw.Text{X: x, Y: y + 3, Size: noteSize, Text: words})
		x += draw.TextWidth(words, noteSize, false) + gap
	}
	d.Add(draw.Rect{X: x, Y: y, Width: 7, Height: rise, Pen: draw.Pen{Width: draw.Narrow}, Hatch: 1.2})
	x += 8
	text("waste")
	d.Add(draw.Polygon{Points: []float64{x + 1.4, y, x + 5, y, x + 5, y + rise, x + 1.4, y + rise, x, y + rise/2}, Fill: "black"})
	x += 6
	text("cut; its point shows the fence or the stop")
	if f.material.Of.Grain {
		d.Add(grainArrow(x+arrowLength/2, y+rise/2, false))
		x += arrowLength + 1
		text("grain")
	}
	text("scale " + scaleName(f.style.Unit, f.scale))
	rule(f.style.Unit, d, x, y+rise/2)
	y += rise + 0.5
	if len(f.inTable) > 0 {
		y = setRows(d, flow([]run{{"cuts that have no number here: " + table.Ranges(f.inTable), noteSize, false}}, d.Width, runGap), 0, y+0.5, 0.6, runGap)
	}
	var cautions []run
	for _, text := range sawCautions {
		cautions = append(cautions, run{text, cautionSize, false})
	}
	return setRows(d, flow(cautions, d.Width, cautionGap), 0, y+0.7, 0.6, cautionGap)
}

const (
	cautionSize = 2.2 // mm
	cautionGap  = 1.5
)

// sawCautions are common practice; the book's cautions give figures and where they come from.
var sawCautions = []string{
	"Guard and riving knife on.", "Push stick near the blade.", "Eyes, ears and lungs protected, dust extracted.", "Saw off before you reach near it.", "The manual and local rules come first.",
}

// rule draws a bar to hold a ruler to, flush right at the height y, where that leaves
// what ends at x alone: a printer may scale a page.
func rule(unit measure.Unit, d *draw.Drawing, x, y float64) {
	length, words := 50.0, "50 mm on paper"
	if unit == measure.Inches {
		length, words = 2*25.4, "2 in on paper"
	}
	end := d.Width - draw.TextWidth(words, noteSize, false) - 1.5
	start := end - length
	if start < x {
		return
	}
	pen := draw.Pen{Width: draw.Narrow}
	d.Add(
		draw.Line{X1: start, Y1: y, X2: end, Y2: y, Pen: pen},
		draw.Line{X1: start, Y1: y - 1.2, X2: start, Y2: y + 1.2, Pen: pen},
		draw.Line{X1: end, Y1: y - 1.2, X2: end, Y2: y + 1.2, Pen: pen},
		draw.Text{X: d.Width, Y: y + noteSize/2, Size: noteSize, Anchor: draw.End, Text: words})
}
