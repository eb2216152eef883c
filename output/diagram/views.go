package diagram

import (
	"sawbook/output/draw"
)

// Views draws a cabinet in a room of that width and height in mm, or less high, as Cabinet does, without its
// parts taken apart: from the front, the left and above with dimensions, and from a corner.
func Views(k Keyed, width, height float64) draw.Drawing {
	d := draw.Drawing{Width: width, Height: height, Title: k.Title, About: "from the front, the left, above and a corner"}
	views := newElevations(k)
	title := func(scale float64) [][]run {
		return k.title(width, "scale "+scaleName(k.Style.Unit, scale))
	}
	for _, scale := range scalesFor(k.Style.Unit) {
		top := rowsHeight(title(scale), titleGap) + 2
		s := views.at(scale)
		if s.width() > width || top+s.height() > height {
			continue
		}
		corner := views.corner.within(box{s.width() + viewGap, top, width, height})
		if below := views.corner.within(box{0, top + s.height() + viewGap, width, height}); below.larger(corner) {
			corner = below
			corner.y = top + s.height() + viewGap
		}
		if corner.scale == 0 || corner.scale > 1.5*scale {
			continue
		}
		setRows(&d, title(scale), 0, 0, titleGap, factGap)
		d.Add(draw.Move(s.shapes, -s.x1, top-s.y1)...)
		d.Add(views.corner.shapes(corner, draw.Pen{Width: draw.Narrow}, true, false)...)
		d.Height = min(height, max(top+s.height(), corner.y+views.corner.extent.scaled(corner.scale).height())+1)
		return d
	}
	setRows(&d, title(0)[:1], 0, 0, titleGap, factGap) // larger than any scale has room for
	return d
}

// larger reports whether a frame shows more than another; a scale of 0 shows nothing.
func (f frame) larger(than frame) bool {
	return f.scale > 0 && (than.scale == 0 || f.scale < than.scale)
}
