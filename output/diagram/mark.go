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
	slot         // where the text stands
}

// slot is a place for a mark's text beside a picture.
type slot struct {
	left bool
	at   float64 // the middle of the text
	size float64
}

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

// markRoom is how much room the texts take on either side of a picture.
func markRoom(marks []mark) float64 {
	widest := 0.0
	for _, m := range marks {
		widest = max(widest, m.width(numberSize))
	}
	return widest + markGap + markMargin
}

func (m mark) width(size float64) float64 { return draw.TextWidth(m.text, size, true) }

// end returns where a mark's line begins at its text.
func (m mark) end(within box) (x, y float64) {
	if m.left {
		return within.x1 + m.width(m.size) + markGap, m.at
	}
	return within.x2 - m.width(m.size) - markGap, m.at
}

// leadMarks sets the marks' texts at the left and right of a box, whose middle holds the
// picture, and leads lines from them to their dots, which do not cross.
func leadMarks(marks []mark, within box) (shapes []draw.Shape) {
	slices.SortStableFunc(marks, func(a, b mark) int { return cmp.Compare(a.x, b.x) })
	half := len(marks) / 2
	size := markSize(len(marks), within.height())
	for i := range marks {
		marks[i].left, marks[i].size = i < half, size
	}
	for _, side := range [2][]mark{marks[:half], marks[half:]} {
		slices.SortStableFunc(side, func(a, b mark) int { return cmp.Compare(a.y, b.y) })
		stack(side, within.y1, within.y2)
		uncross(side, within)
	}
	for _, m := range marks {
		x, y := m.end(within)
		shapes = append(shapes,
			draw.Line{X1: x, Y1: y, X2: m.x, Y2: m.y, Pen: draw.Pen{Width: draw.Narrow}},
			draw.Circle{X: m.x, Y: m.y, Radius: 0.6, Fill: "black"})
		text := draw.Text{X: within.x1, Y: m.at + size/2, Size: size, Bold: true, Text: m.text}
		if !m.left {
			text.X, text.Anchor = within.x2, draw.End
		}
		shapes = append(shapes, text)
	}
	return shapes
}

// stack gives marks, sorted by height, places one under another, each as near to its dot
// as those above and below let it.
func stack(marks []mark, top, bottom float64) {
	end := top
	for i := range marks {
		pitch := marks[i].size * markPitch
		marks[i].at = max(marks[i].y, end+pitch/2)
		end = marks[i].at + pitch/2
	}
	end = bottom
	for i := range slices.Backward(marks) {
		pitch := marks[i].size * markPitch
		marks[i].at = min(marks[i].at, end-pitch/2)
		end = marks[i].at - pitch/2
	}
}

// uncross exchanges the places of marks on one side until no two lines cross: each exchange
// makes the lines shorter, so that it ends.
func uncross(marks []mark, within box) {
	for again := true; again; {
		again = false
		for i := range marks {
			for k := range i {
				a, b := &marks[i], &marks[k]
				swapped := *a
				swapped.slot = b.slot
				other := *b
				other.slot = a.slot
				if swapped.length(within)+other.length(within) < a.length(within)+b.length(within)-1e-6 {
					a.slot, b.slot = b.slot, a.slot
					again = true
				}
			}
		}
	}
}

// length returns the length of a mark's line.
func (m mark) length(within box) float64 {
	x, y := m.end(within)
	return math.Hypot(m.x-x, m.y-y)
}
