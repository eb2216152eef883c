package diagram

import (
	"slices"

	"sawbook/cabinets/batch"
	"sawbook/output/draw"
)

// Glance draws a pattern's sheet at the largest scale at which it fits a width in mm, with what stands
// on it but not how it is cut: what a designer looks at, not what a saw hand goes by.
func Glance(job *batch.Job, m *batch.Material, p *batch.Pattern, width float64) draw.Drawing {
	c := newCommon(job, m, p, width)
	scales := scalesFor(c.style.Unit)
	i := slices.IndexFunc(scales, func(scale float64) bool { return p.Sheet.Length.MM()/scale+draw.Wide <= width })
	if i < 0 {
		i = len(scales) - 1
	}
	f := &figure{common: c, scale: scales[i]}
	f.findLeaves()
	f.ground()
	f.key = f.keyEntries(f.labels())
	f.edge = f.bounds()
	return f.under(f.heading, f.sheetBlock, f.keyBlock(f.key))
}

// heading names the pattern in a line or two.
func (f *figure) heading(d *draw.Drawing) float64 {
	bold := func(text string) run { return run{text, dimensionSize, true} }
	field := func(text string) run { return run{text, dimensionSize, false} }
	sheet := f.pattern.Sheet
	facts := []run{bold(f.name()), bold(f.material.Of.Name), bold("cut " + times(f.pattern.Times)), field(f.size(sheet.Length, sheet.Width) + " " + f.style.Unit.String())}
	if sheet.Offcut != "" {
		facts = append(facts, bold("offcut "+sheet.Offcut))
	}
	facts = append(facts, field(f.yield()), field("scale "+scaleName(f.style.Unit, f.scale)))
	return setRows(d, flow(facts, d.Width, factGap), 0, 0, titleGap, factGap)
}
