package diagram

import (
	"fmt"
	"math"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/output/draw"
)

const (
	curveWidth  = 180.0
	curvePanel  = 60.0 // height of each of the two panels
	curveLeft   = 26.0
	curveTop    = 16.0
	curveGap    = 12.0
	curveText   = 2.6 // capital height
	curvePoints = 0.7 // radius
)

// Curve draws cost and sheets against the size that is swept: steps as dashed uprights,
// wide where they are proven, and today's value as a marked one. A sweep of
// several sizes shows the first axis alone and is better read as a table.
func Curve(s *batch.Sweep) draw.Drawing {
	c := newCurve(s)
	c.panel("Cost, "+s.Batch.Shop.Currency, func(t *batch.Trial) float64 { return float64(t.Job.Estimate.Total) / 100 }, false)
	c.panel("Sheets", func(t *batch.Trial) float64 {
		n := 0
		for _, u := range t.Job.Estimate.Sheets {
			n += u.Sheets
		}
		return float64(n)
	}, true)
	c.sizes()
	return c.d
}

// unit names the unit of the values, where they have one.
func (c *curve) unit() string {
	switch {
	case c.axis.Whole:
		return ""
	case c.sweep.Batch.Shop.Style.Unit == measure.Inches:
		return " in inches"
	}
	return " in mm"
}

// curve is a drawing in the making.
type curve struct {
	sweep  *batch.Sweep
	axis   *batch.Axis
	lo, hi float64 // values at the ends of the axis
	y      float64 // of the next panel's upper edge
	d      draw.Drawing
}

func newCurve(s *batch.Sweep) *curve {
	c := &curve{sweep: s, axis: &s.Axes[0], y: curveTop}
	values := append([]batch.Trial{s.Now}, s.Trials...)
	c.lo, c.hi = math.Inf(1), math.Inf(-1)
	for i := range values {
		v := float64(values[i].Values[0])
		c.lo, c.hi = min(c.lo, v), max(c.hi, v)
	}
	if c.hi == c.lo {
		c.hi++
	}
	name := c.axis.Cabinet + "." + c.axis.Size
	c.d = draw.Drawing{Width: curveWidth, Height: curveTop + 2*curvePanel + curveGap + 16, Title: s.Batch.Name + ": " + name + c.unit(),
		About: "Cost and sheets against " + name}
	c.text(curveLeft, 8, draw.Start, true, c.d.Title)
	c.text(curveWidth-4, 8, draw.End, false, "today "+c.axis.Print(c.axis.Now, s.Batch.Shop.Style))
	return c
}

func (c *curve) text(x, y float64, anchor draw.Anchor, bold bool, text string) {
	c.d.Add(draw.Text{X: x, Y: y, Size: curveText, Anchor: anchor, Bold: bold, Text: text})
}

func (c *curve) line(x1, y1, x2, y2, width float64, dashed bool) {
	c.d.Add(draw.Line{X1: x1, Y1: y1, X2: x2, Y2: y2, Pen: draw.Pen{Width: width, Dashed: dashed}})
}

// x returns where a value stands on the paper.
func (c *curve) x(v measure.Length) float64 {
	return curveLeft + float64((float64(v)-c.lo)/(c.hi-c.lo)*(curveWidth-curveLeft-6))
}

// panel draws one figure of the trials against the size, as dots joined by lines, or by
// steps where it is a count.
func (c *curve) panel(title string, figure func(*batch.Trial) float64, stepped bool) {
	top, bottom := c.y, c.y+curvePanel
	c.y = bottom + curveGap
	c.text(curveLeft, top-2, draw.Start, false, title)
	ticks := ticksOver(c.figures(figure))
	lo, hi := ticks[0], ticks[len(ticks)-1]
	y := func(v float64) float64 { return bottom - float64((v-lo)/(hi-lo)*curvePanel) }
	for _, v := range ticks {
		c.line(curveLeft, y(v), curveWidth-6, y(v), draw.Narrow/2, false)
		c.text(curveLeft-2, y(v)+curveText/2, draw.End, false, fmt.Sprintf("%g", v))
	}
	c.uprights(top, bottom)
	var before *batch.Trial
	for i := range c.sweep.Trials {
		t := &c.sweep.Trials[i]
		if t.Job == nil {
			before = nil
			continue
		}
		x, at := c.x(t.Values[0]), y(figure(t))
		if before != nil {
			x0, y0 := c.x(before.Values[0]), y(figure(before))
			if stepped {
				c.line(x0, y0, x, y0, draw.Wide, false)
				c.line(x, y0, x, at, draw.Wide, false)
			} else {
				c.line(x0, y0, x, at, draw.Wide, false)
			}
		}
		c.d.Add(draw.Circle{X: x, Y: at, Radius: curvePoints, Fill: "#000000"})
		before = t
	}
	if t := &c.sweep.Now; t.Job != nil {
		c.d.Add(draw.Circle{X: c.x(t.Values[0]), Y: y(figure(t)), Radius: 3 * curvePoints, Pen: draw.Pen{Width: draw.Wide}})
	}
}

// figures lists what a panel shows.
func (c *curve) figures(figure func(*batch.Trial) float64) (all []float64) {
	for _, t := range append([]batch.Trial{c.sweep.Now}, c.sweep.Trials...) {
		if t.Job != nil {
			all = append(all, figure(&t))
		}
	}
	return all
}

// uprights marks the steps, and today's value.
func (c *curve) uprights(top, bottom float64) {
	for i := range c.sweep.Steps {
		p := &c.sweep.Steps[i]
		width := draw.Narrow / 2
		if p.Proven {
			width = draw.Narrow
		}
		x := c.x(p.From)
		c.line(x, top, x, bottom, width, true)
	}
	x := c.x(c.axis.Now)
	c.line(x, top, x, bottom, draw.Narrow, false)
}

// sizes writes the values under the lower panel, and what the marks mean.
func (c *curve) sizes() {
	bottom := c.y - curveGap
	style := c.sweep.Batch.Shop.Style
	room := -math.MaxFloat64
	for i := range c.sweep.Trials {
		v := c.sweep.Trials[i].Values[0]
		label := style.Format(v)
		if c.axis.Whole {
			label = c.axis.Print(v, style)
		}
		x, half := c.x(v), draw.TextWidth(label, curveText, false)/2
		if x-half < room {
			continue
		}
		room = x + half + 4
		c.line(x, bottom, x, bottom+1.2, draw.Narrow, false)
		c.text(x, bottom+1.2+2*curveText, draw.Middle, false, label)
	}
	steps := "no step"
	if n := len(c.sweep.Steps); n > 0 {
		steps = "dashed: a material's sheets change; wide where that is proven"
	}
	c.text(curveLeft, bottom+12, draw.Start, false, steps+"; ring: today")
}

// ticksOver returns round values, at least two, from at or below the least figure to at or above
// the greatest.
func ticksOver(figures []float64) []float64 {
	if len(figures) == 0 {
		return []float64{0, 1}
	}
	lo, hi := figures[0], figures[0]
	for _, v := range figures {
		lo, hi = min(lo, v), max(hi, v)
	}
	unit := 1.0
	if spread := (hi - lo) / 5; spread > 1 {
		unit = math.Pow10(int(math.Floor(math.Log10(spread))))
		for _, m := range []float64{1, 2, 5, 10} {
			if m*unit >= spread {
				unit *= m
				break
			}
		}
	}
	first := math.Floor(lo / unit)
	var ticks []float64
	for i := 0; len(ticks) < 2 || ticks[len(ticks)-1] < hi; i++ {
		ticks = append(ticks, float64((first+float64(i))*unit))
	}
	return ticks
}
