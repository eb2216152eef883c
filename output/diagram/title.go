package diagram

import (
	"fmt"
	"math"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/output/draw"
	"sawbook/output/table"
)

const (
	patternSize  = 7.5 // mm, the pattern's name
	titlePadding = 1.8
	titleGap     = 1.2 // between its rows
	factGap      = 4.5 // between its fields
)

// titleBlock draws what the sheet is, along the top, and returns where it ends: the
// pattern's name, facts, and how often to cut it.
func (f *figure) titleBlock(d *draw.Drawing) float64 {
	name := run{f.name(), patternSize, true}
	count := run{"cut " + times(f.pattern.Times) + stacks(f.pattern, f.material.Saw.Stack), numberSize, true}
	number := run{f.number(), noteSize, false}
	left := max(name.width(), number.width()) + 2*titlePadding + 1
	right := count.width() + 2*titlePadding + 1
	rows := flow(f.facts(), d.Width-left-right-2*titlePadding, factGap)
	height := max(rowsHeight(rows, titleGap)+2*titlePadding, patternSize+noteSize+4)

	d.Add(draw.Rect{Width: left, Height: height, Fill: "black"})
	d.Add(draw.Text{X: left / 2, Y: (height+patternSize-noteSize)/2 - 0.7, Size: patternSize, Bold: true, Anchor: draw.Middle, Text: name.text, Color: "white"})
	d.Add(draw.Text{X: left / 2, Y: height - 1.3, Size: number.size, Anchor: draw.Middle, Text: number.text, Color: "white"})
	setRows(d, rows, left+titlePadding, titlePadding, titleGap, factGap)
	d.Add(draw.Text{X: d.Width - right/2, Y: height/2 + numberSize/2, Size: numberSize, Bold: true, Anchor: draw.Middle, Text: count.text})
	d.Add(
		draw.Line{X1: d.Width - right, Y1: 0, X2: d.Width - right, Y2: height, Pen: draw.Pen{Width: draw.Narrow}},
		draw.Rect{X: draw.Wide / 2, Y: draw.Wide / 2, Width: d.Width - draw.Wide, Height: height - draw.Wide, Pen: draw.Pen{Width: draw.Wide}})
	return height
}

// number says which of the material's patterns or blanks it is.
func (f *figure) number() string {
	if f.pattern.Blank != nil {
		return fmt.Sprintf("blank %d of %d", f.pattern.Number, len(f.material.Blanks))
	}
	return fmt.Sprintf("pattern %d of %d", f.pattern.Number, len(f.material.Patterns))
}

// stacks says in how many stacks the shop cuts a pattern, "" where it cuts sheet by sheet.
func stacks(p *batch.Pattern, most int) string {
	if most < 2 || p.Times < 2 {
		return ""
	}
	if n := p.Runs(most); n > 1 {
		return fmt.Sprintf(", in %d stacks", n)
	}
	return ", in one stack"
}

// facts returns the title's fields, most wanted first.
func (f *figure) facts() []run {
	m, p, style := f.material, f.pattern, f.style
	bold := func(format string, values ...any) run {
		return run{fmt.Sprintf(format, values...), dimensionSize, true}
	}
	field := func(format string, values ...any) run {
		return run{fmt.Sprintf(format, values...), dimensionSize, false}
	}
	runs := []run{
		bold("%s", m.Of.Name),
		bold("%s %s", f.size(p.Sheet.Length, p.Sheet.Width), style.Unit),
	}
	switch {
	case p.Matched:
		runs = append(runs, bold("matched: mark 1 to %d before the cut", len(p.Parts)))
	case p.Layers != nil:
		runs = append(runs, bold("second cut of a pressed blank"))
	case p.Blank != nil:
		runs = append(runs, bold("second cut of a blank"))
	}
	if p.Sheet.Offcut != "" {
		runs = append(runs, bold("offcut %s", p.Sheet.Offcut))
	}
	if m.Of.Grain {
		runs = append(runs, field("face grain %s", grainWords(p)))
	}
	if m.Of.GoodFaces == 1 {
		runs = append(runs, bold("good face up"))
	} else {
		runs = append(runs, field("either face up"))
	}
	if len(p.BrokenDown()) > 0 {
		t := m.Saw.Track
		runs = append(runs, bold("track saw %s, leave %s", style.Format(t.Kerf), style.Format(t.Allowance)))
	}
	return append(runs,
		field("%s", f.job.Batch.Shop.Name),
		field("batch %s-%s", f.job.Batch.Name, f.job.Digest), // as its folder is called
		field("kerf %s", style.Format(m.Saw.Kerf)),
		field("%s", trimWords(p.Trim, style)),
		field("%s", f.yield()),
	)
}

// yield says how much of the sheet becomes parts, rounded down.
func (f *figure) yield() string {
	sheet := f.pattern.Sheet
	used := f.pattern.Used / (batch.Area{Length: sheet.Length, Width: sheet.Width}).M2()
	return fmt.Sprintf("yield %.1f %%", math.Floor(1000*used)/10)
}

func grainWords(p *batch.Pattern) string {
	if p.Sheet.GrainAcross {
		return "across the length"
	}
	return "along the length"
}

// trimWords says what comes off each edge.
func trimWords(trim [4]measure.Length, style measure.Style) string {
	if trim == [4]measure.Length{} {
		return "no trim"
	}
	return "trim " + table.OffWords(trim, style)
}
