package diagram

import (
	"math"
	"slices"

	"sawbook/cabinets/measure"
	"sawbook/output/draw"
)

// mostOf is the share of a view's extent that an outline must run along at least for its
// place to be dimensioned.
const mostOf = 0.3

// leastLed is the least length that is led out of a chain where it has no room in it:
// thicknesses and gaps stand in the lists.
const leastLed = 25.0 // mm

// stops returns the places to dimension in a view, in mm from its upper or left edge:
// both ends, and where long outlines are seen.
func (l *sight) stops(vertical bool) []float64 {
	whole := l.extent.width()
	if vertical {
		whole = l.extent.height()
	}
	long := map[int64]float64{} // by nanometre
	at := func(v float64) int64 { return int64(math.Round(v * 1e6)) }
	for _, line := range l.lines {
		x, y := line.X1-l.extent.x1, line.Y1-l.extent.y1
		switch {
		case line.Hidden:
		case vertical && line.Y1 == line.Y2:
			long[at(y)] += math.Abs(line.X2-line.X1) / l.extent.width()
		case !vertical && line.X1 == line.X2:
			long[at(x)] += math.Abs(line.Y2-line.Y1) / l.extent.height()
		}
	}
	long[0], long[at(whole)] = 1, 1
	var stops []float64
	for place, share := range long {
		if share >= mostOf {
			stops = append(stops, float64(place)/1e6)
		}
	}
	slices.Sort(stops)
	return stops
}

// dimensions draws a chain of dimensions along the left or lower edge of a view, and the
// whole beyond it.
func dimensions(stops []float64, l *sight, f frame, vertical bool, style measure.Style) []draw.Shape {
	origin, edge := f.x, f.y+l.extent.height()/f.scale
	if vertical {
		origin, edge = f.y, f.x
	}
	at := func(from, to float64) link {
		length, _ := measure.FromMM(to - from)
		k := link{from: origin + from/f.scale, to: origin + to/f.scale, text: style.Format(length)}
		k.at = (k.from + k.to) / 2
		return k
	}
	whole := chain{vertical: vertical}
	whole.add(at(stops[0], stops[len(stops)-1]))
	if len(stops) == 2 {
		return whole.shapes(edge)
	}
	parts := chain{vertical: vertical}
	for i := 1; i < len(stops); i++ {
		parts.add(at(stops[i-1], stops[i]))
	}
	parts.led = slices.DeleteFunc(parts.led, func(k link) bool { return (k.to-k.from)*f.scale < leastLed })
	parts.led = spread(parts.led, origin, origin+stops[len(stops)-1]/f.scale)
	shapes := parts.shapes(edge)
	beyond := edge
	for _, s := range shapes {
		if e := extentOf(s); vertical {
			beyond = min(beyond, e.x1)
		} else {
			beyond = max(beyond, e.y2)
		}
	}
	return append(shapes, whole.shapes(beyond)...)
}
