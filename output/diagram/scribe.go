package diagram

import (
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/output/draw"
	"sawbook/output/table"
)

// Scribe draws a part with a scribed edge at full size, the edge to the right: the wall as
// measured as a wide line, and dashed where to cut before the part is fitted to the wall
// itself. Heights are from the lower end; the bar is to hold a ruler to.
func Scribe(job *batch.Job, t *table.Template) draw.Drawing {
	style, allowance := job.Batch.Shop.Style, job.Batch.Shop.Limits.Scribe
	narrow := draw.Pen{Width: draw.Narrow}
	deep, tall := t.Deep.MM(), t.Tall.MM()
	shapes := []draw.Shape{rectOf(box{0, -tall, deep, 0}, draw.Narrow)}
	right := deep // of all that is drawn
	for _, s := range t.Profile {
		right = max(right, deep-s.Off.MM())
	}
	labelled := 2 * dimensionSize // y of the last label
	for i, s := range t.Profile {
		y := -s.Height.MM()
		if i > 0 {
			below := t.Profile[i-1]
			line := func(from, to, fromOff, toOff measure.Length, pen draw.Pen) {
				shapes = append(shapes, draw.Line{X1: deep - fromOff.MM(), Y1: -from.MM(), X2: deep - toOff.MM(), Y2: -to.MM(), Pen: pen})
			}
			line(below.Height, s.Height, below.Off, s.Off, draw.Pen{Width: draw.Wide})
			dashed := draw.Pen{Width: draw.Narrow, Dashed: true}
			bend, end := s.Height, table.Rough(s.Off, allowance) // where the allowance is all that comes off
			if rise := s.Off - below.Off; (s.Off > allowance) != (below.Off > allowance) {
				bend = below.Height + measure.Length(float64(s.Height-below.Height)*float64(allowance-below.Off)/float64(rise))
				line(bend, s.Height, 0, end, dashed)
				end = 0
			}
			line(below.Height, bend, table.Rough(below.Off, allowance), end, dashed)
		}
		if labelled-y < dimensionSize+1 {
			continue
		}
		labelled = y
		shapes = append(shapes,
			draw.Line{X1: deep - max(s.Off, 0).MM(), Y1: y, X2: right + 4, Y2: y, Pen: narrow},
			draw.Text{X: right + 5, Y: y + dimensionSize/2, Size: dimensionSize, Text: style.Format(s.Height)},
			draw.Text{X: deep - max(s.Off, 0).MM() - 3, Y: y + dimensionSize + 1, Size: dimensionSize, Anchor: draw.End, Text: offWords(style, s.Off)})
	}
	shapes = append(shapes, draw.Text{X: deep / 2, Y: -tall / 2, Size: numberSize, Anchor: draw.Middle, Bold: true, Text: t.Piece.ID})
	b := extentOfAll(shapes).inset(-draw.Wide / 2)
	d := draw.Drawing{Width: max(b.width(), templateWidth), Title: "Scribed edge of " + t.Cabinet + " " + t.Part, About: "the " + t.Side.Word() + " edge, at the right"}
	facts := []run{
		{t.Piece.ID, patternSize, true},
		{t.In.Title() + " " + t.Cabinet + ": " + t.Part, numberSize, true},
		{t.Side.Word() + " edge, seen from the " + t.From.Word(), dimensionSize, true},
		{style.Format(t.Deep) + " × " + style.Format(t.Tall), dimensionSize, false},
		{"solid: the wall as measured", noteSize, false},
		{"dashed: cut here before fitting, " + style.WithUnit(allowance) + " to scribe", noteSize, false},
		{"batch " + job.Batch.Name + "-" + job.Digest, noteSize, false},
		{"scale " + scaleName(style.Unit, 1), noteSize, false},
	}
	d.Height = setRows(&d, flow(facts, d.Width, factGap), 0, 0, titleGap, factGap) + blockGap
	d.Add(draw.Move(shapes, -b.x1, d.Height-b.y1)...)
	d.Height += b.height() + blockGap
	rule(style.Unit, &d, 0, d.Height+1.5)
	d.Height += 4
	return d
}

// offWords says what comes off an edge, or what is missing of it.
func offWords(style measure.Style, off measure.Length) string {
	if off < 0 {
		return style.Format(-off) + " short"
	}
	return style.Format(off) + " off"
}
