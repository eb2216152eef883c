package diagram

import (
	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/output/diagram/scene"
	"sawbook/output/draw"
)

// Elevations draw what stands along the left and the right wall of an interior, seen from between them, each in a room of that
// width and height in mm. A wall along which nothing stands has none.
func Elevations(in *cabinets.Interior, style measure.Style, width, height float64) (drawings []draw.Drawing) {
	for _, right := range []bool{false, true} {
		if w := newWall(in, right, style); len(w.cabinets) > 0 {
			drawings = append(drawings, w.drawing(width, height))
		}
	}
	return drawings
}

// wall is a wall of an interior with what stands along it. Looking forward, y runs to the right.
type wall struct {
	*plan
	right bool
	sight *sight
}

func newWall(in *cabinets.Interior, right bool, style measure.Style) *wall {
	w := &wall{plan: newPlan(in, style), right: right}
	w.up, w.mirrored, w.cabinets = cabinets.Z, !right, nil
	view := scene.Back
	if right {
		view = scene.Front
	}
	var bodies []scene.Body
	for i := range in.Cabinets {
		c := &in.Cabinets[i]
		if !w.along(c.Box) {
			continue
		}
		w.cabinets = append(w.cabinets, c)
		for k := range c.Solid.Parts {
			body := bodyOf(&c.Solid.Parts[k])
			for b := range body {
				body[b] = c.Place(body[b])
			}
			bodies = append(bodies, body)
		}
	}
	if len(bodies) > 0 {
		sc := scene.New(view, bodies)
		w.sight = &sight{scene: sc, lines: sc.Lines()}
		w.sight.extent.x1, w.sight.extent.y1, w.sight.extent.x2, w.sight.extent.y2 = sc.Extent()
	}
	return w
}

// along reports whether a box stands along the wall, for the most part or across the whole vehicle.
func (w *wall) along(b cabinets.Box) bool {
	middle := w.whole.Lo[cabinets.Y] + w.whole.Size(cabinets.Y)/2
	if inside := w.in.Layout.Inside[cabinets.Y]; inside > 0 {
		middle = inside / 2
	}
	if w.right {
		return b.Hi[cabinets.Y]-middle > max(0, middle-b.Lo[cabinets.Y])/4
	}
	return middle-b.Lo[cabinets.Y] > max(0, b.Hi[cabinets.Y]-middle)/4
}

func (w *wall) drawing(width, height float64) draw.Drawing {
	words := "left wall, the front at the right"
	if w.right {
		words = "right wall, the front at the left"
	}
	return w.onPage(words, width, height, nil, func() []draw.Shape {
		shapes := []draw.Shape{rectOf(w.paper(cabinets.Box{Hi: w.in.Layout.Inside}), draw.Narrow)}
		if shell := w.in.Layout.Shell; shell != nil {
			for _, o := range shell.Boxes {
				if w.along(o.Box) {
					r := rectOf(w.paper(o.Box), draw.Narrow)
					r.Pen.Dashed = true
					shapes = append(shapes, r)
				}
			}
		}
		all := w.cabinets[0].Box
		for _, c := range w.cabinets[1:] {
			all = around(all, c.Box)
		}
		at := w.paper(all)
		lines := w.sight.shapes(frame{at.x1, at.y1, w.scale}, draw.Pen{Width: draw.Narrow}, false, false)
		for _, l := range lines {
			w.lines = append(w.lines, extentOf(l).inset(-0.4))
		}
		shapes = append(shapes, lines...)
		return append(shapes, w.measured()...)
	})
}
