package diagram

import (
	"strings"

	"sawbook/cabinets"
	"sawbook/output/draw"
)

// Views draws a cabinet in a room of that width and height in mm as Cabinet does, without its
// parts taken apart: from the front, the left and above with dimensions, and from a corner.
func Views(k Keyed, width, height float64) draw.Drawing {
	d := draw.Drawing{Width: width, Height: height, Title: k.Title, About: "from the front, the left, above and a corner"}
	views := newElevations(k)
	var sizes []string
	for a := cabinets.X; a <= cabinets.Z; a++ {
		sizes = append(sizes, k.Style.Format(k.Solid.Outside.Size(a)))
	}
	title := func(scale float64) [][]run {
		return flow([]run{
			{k.Title, numberSize, true},
			{strings.Join(sizes, " × ") + " " + k.Style.Unit.String(), dimensionSize, false},
			{"scale " + scaleName(k.Style.Unit, scale), noteSize, false},
		}, width, factGap)
	}
	for _, scale := range scalesFor(k.Style.Unit) {
		room := box{0, rowsHeight(title(scale), titleGap) + 2, width, height}
		s := views.at(scale)
		corner := views.corner.within(box{s.width() + viewGap, room.y1, room.x2, room.y2})
		if s.width() > room.width() || s.height() > room.height() || corner.scale == 0 || corner.scale > 2.5*scale {
			continue
		}
		setRows(&d, title(scale), 0, 0, titleGap, factGap)
		d.Add(draw.Move(s.shapes, room.x1-s.x1, room.y1-s.y1)...)
		d.Add(views.corner.shapes(corner, draw.Pen{Width: draw.Narrow}, true, false)...)
		return d
	}
	setRows(&d, title(0)[:1], 0, 0, titleGap, factGap) // larger than any scale has room for
	return d
}
