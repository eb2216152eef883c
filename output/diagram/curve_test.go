package diagram

import (
	"bytes"
	"strings"
	"testing"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/output/draw"
)

// trialOf is a trial that takes so many sheets and so much money.
func trialOf(value measure.Length, sheets int, cost shop.Money) batch.Trial {
	e := batch.Estimate{Total: cost, Sheets: []batch.SheetUse{{Sheets: sheets}}}
	return batch.Trial{Values: []measure.Length{value}, Job: &batch.Job{Estimate: e}}
}

// TestCurve: a dot for every trial in both panels, a ring for today's, an upright for every step,
// and no text over another or off the paper.
func TestCurve(t *testing.T) {
	for _, unit := range []measure.Unit{measure.Millimetres, measure.Inches} {
		s := &batch.Sweep{
			Batch: &batch.Batch{Name: "Curlew", Shop: &shop.Shop{Currency: "EUR", Style: measure.Style{Unit: unit, Denominator: 32}}},
			Axes:  []batch.Axis{{Cabinet: "bank-1", Size: "width", Now: 400 * measure.Millimetre}},
			Now:   trialOf(400*measure.Millimetre, 7, 100_000),
		}
		for mm := measure.Length(300); mm <= 900; mm += 5 {
			s.Trials = append(s.Trials, trialOf(mm*measure.Millimetre, 7+int(mm)/600, 100_000+shop.Money(mm)/600*7400))
		}
		s.Trials = append(s.Trials, batch.Trial{Values: []measure.Length{905 * measure.Millimetre}, Refused: "too wide"})
		s.Steps = []batch.Step{{Below: 595 * measure.Millimetre, From: 600 * measure.Millimetre, Sheets: [2]int{7, 8}, Proven: true}}
		d := Curve(s)
		dots, rings, dashed := 0, 0, 0
		var texts []box
		for _, shape := range d.Shapes {
			switch v := shape.(type) {
			case draw.Circle:
				if v.Fill != "" {
					dots++
				} else {
					rings++
				}
			case draw.Line:
				if v.Pen.Dashed {
					dashed++
				}
			case draw.Text:
				b := boxOf(v)
				if overlapsAny(b, texts) || !(box{0, 0, d.Width, d.Height}).holds(b) {
					t.Errorf("%q overlaps or leaves the paper", v.Text)
				}
				texts = append(texts, b)
			}
		}
		if dots != 2*(len(s.Trials)-1) || rings != 2 || dashed != 2 {
			t.Errorf("%d dots, %d rings, %d dashed lines", dots, rings, dashed)
		}
		var b bytes.Buffer
		if err := draw.WriteSVG(&b, d); err != nil || !strings.Contains(b.String(), "bank-1.width") {
			t.Errorf("error %v, %d bytes", err, b.Len())
		}
	}
}
