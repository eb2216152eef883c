package diagram

import (
	"math"
	"testing"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/output/draw"
	"sawbook/output/internal/sample"
	"sawbook/output/table"
)

// TestScribe wants the wall and where to cut before fitting at full size: 20 mm come off at
// 100 mm up and none below, so that 10 mm to scribe leave a cut from 50 mm up alone.
func TestScribe(t *testing.T) {
	const mm = measure.Millimetre
	job := sample.Small(measure.Style{})
	job.Batch.Shop.Limits.Scribe = 10 * mm
	place := job.Pieces[0].Goes[0]
	place.Interior.Scribes = []cabinets.Scribe{{
		Cabinet: place.Cabinet, Part: place.Part, Side: cabinets.Back, From: cabinets.Right, Tall: 100 * mm, Deep: 300 * mm,
		Profile: []cabinets.Shaped{{}, {Height: 100 * mm, Off: 20 * mm}},
	}}
	d := Scribe(job, table.Templates(job)[0])
	c := &checker{}
	c.drawing(d, d.Width, d.Height)
	for _, fault := range c.found {
		t.Error(fault)
	}
	wall, cut := false, false
	for _, s := range d.Shapes {
		if l, ok := s.(draw.Line); ok {
			across, up := l.X1-l.X2, l.Y1-l.Y2
			wall = wall || l.Pen.Width == draw.Wide && math.Abs(across-20) < 1e-6 && math.Abs(up-100) < 1e-6
			cut = cut || l.Pen.Dashed && math.Abs(across-10) < 1e-6 && math.Abs(up-50) < 1e-6
		}
	}
	if !wall || !cut {
		t.Errorf("wall %v, cut before fitting %v", wall, cut)
	}
}
