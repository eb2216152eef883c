package diagram

import (
	"cmp"
	"math"
	"slices"

	"sawbook/output/draw"
)

// mark is a number that a line leads from to a dot on what it names.
type mark struct {
	text string
	x, y float64 // of the dot
	slot
}

// slot is a place beside a picture: where a mark's line begins.
type slot struct{ fromX, fromY float64 }

// markSizes are the heights of a mark's text, from what is read at arm's length to the
// least.
var markSizes = []float64{numberSize, 4.5, 4, 3.5, 3, 2.5, 2}

const (
	markPitch  = 1.3 // of marks, as a share of their height
	markGap    = 1.0 // between a text and its line
	markMargin = 5.0 // between the texts and the picture
)

// markSize returns the height at which so many marks have room on both sides of a picture
// of that height, 0 where there is none.
func markSize(count int, height float64) float64 {
	for _, size := range markSizes {
		if float64((count+1)/2)*size*markPitch <= height {
			return size
		}
	}
	return 0
}

// markWidth returns the width of the widest text.
func markWidth(marks []mark, size float64) (widest float64) {
	for _, m := range marks {
		widest = max(widest, draw.TextWidth(m.text, size, true))
	}
	return widest
}

// markRoom is how much room the texts take on either side of a picture.
func markRoom(marks []mark) float64 { return markWidth(marks, numberSize) + markGap + markMargin }

// leadMarks sets the marks' texts at the left and right of a box, whose middle holds the
// picture, and leads lines from them to their dots, which do not cross on either side.
func leadMarks(marks []mark, within box) (shapes []draw.Shape) {
	slices.SortStableFunc(marks, func(a, b mark) int { return cmp.Compare(a.x, b.x) })
	size := markSize(len(marks), within.height())
	column := markWidth(marks, size) + markGap
	half := len(marks) / 2
	for i, side := range [2][]mark{marks[:half], marks[half:]} {
		slices.SortStableFunc(side, func(a, b mark) int { return cmp.Compare(a.y, b.y) })
		stack(side, float64(size*markPitch), within.y1, within.y2)
		text := draw.Text{X: within.x1 + column - markGap, Anchor: draw.End, Size: size, Bold: true}
		from := within.x1 + column
		if i == 1 {
			text.X, text.Anchor = within.x2-column+markGap, draw.Start
			from = within.x2 - column
		}
		for k := range side {
			side[k].fromX = from
		}
		uncross(side)
		for _, m := range side {
			text.Y, text.Text = m.fromY+size/2, m.text
			shapes = append(shapes, text,
				draw.Line{X1: m.fromX, Y1: m.fromY, X2: m.x, Y2: m.y, Pen: draw.Pen{Width: draw.Narrow}},
				draw.Circle{X: m.x, Y: m.y, Radius: 0.6, Fill: "black"})
		}
	}
	return shapes
}

// stack gives marks, sorted by height, places one under another a pitch apart, each as near
// to its dot as those above and below let it.
func stack(marks []mark, pitch, top, bottom float64) {
	end := top
	for i := range marks {
		marks[i].fromY = max(marks[i].y, end+pitch/2)
		end = marks[i].fromY + pitch/2
	}
	end = bottom
	for i := range slices.Backward(marks) {
		marks[i].fromY = min(marks[i].fromY, end-pitch/2)
		end = marks[i].fromY - pitch/2
	}
}

// uncross exchanges the places of marks on one side until no two lines cross: each exchange
// makes the lines shorter, so that it ends.
func uncross(marks []mark) {
	for again := true; again; {
		again = false
		for i := range marks {
			for k := range i {
				a, b := &marks[i], &marks[k]
				if a.length(b.slot)+b.length(a.slot) < a.length(a.slot)+b.length(b.slot)-1e-6 {
					a.slot, b.slot = b.slot, a.slot
					again = true
				}
			}
		}
	}
}

// length returns the length of a mark's line from a place.
func (m *mark) length(from slot) float64 { return math.Hypot(m.x-from.fromX, m.y-from.fromY) }
