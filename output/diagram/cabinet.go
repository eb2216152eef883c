package diagram

import (
	"math"
	"slices"
	"strings"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/output/diagram/scene"
	"sawbook/output/draw"
)

// Keyed is a cabinet whose parts are told apart by marks.
type Keyed struct {
	Title string
	Solid *cabinets.Solid
	Marks []string // of the solid's parts: part numbers or the like
	Where string   // where it stands; "" is left out
	Style measure.Style
}

// title sets what a cabinet is called, its outside and notes in rows of a width in mm.
func (k Keyed) title(width float64, notes ...string) [][]run {
	var sizes []string
	for a := cabinets.X; a <= cabinets.Z; a++ {
		sizes = append(sizes, k.Style.Format(k.Solid.Outside.Size(a)))
	}
	words := []run{{k.Title, numberSize, true}, {strings.Join(sizes, " × ") + " " + k.Style.Unit.String(), dimensionSize, false}}
	for _, n := range notes {
		words = append(words, run{n, noteSize, false})
	}
	return flow(words, width, factGap)
}

const viewGap = 9.0 // mm between views

// Cabinet draws a cabinet in a room of that width and height in mm: from the front, from
// the left and from above to scale, with dimensions, and in isometric views, assembled and
// taken apart. Views stand as in first angle projection (ISO 5456-2).
func Cabinet(k Keyed, width, height float64) draw.Drawing {
	d := draw.Drawing{Width: width, Height: height, Title: k.Title, About: "from the front, the left and above, assembled and taken apart"}
	title := func(scale float64) [][]run {
		return k.title(width, k.Where, "scale "+scaleName(k.Style.Unit, scale)+", dimensions as cut; views from a corner are not to scale")
	}
	views, apart := newElevations(k), newApart(k)
	best, bestScale := arrangement{}, 0.0
	for _, scale := range scalesFor(k.Style.Unit) {
		if e := views.front.extent.scaled(scale); e.width() > width || e.height() > height {
			continue
		}
		shown := views.at(scale)
		room := box{0, rowsHeight(title(scale), titleGap) + 2, width, height}
		for _, share := range []float64{0.35, 0.4, 0.45, 0.5, 0.55, 0.6} {
			for _, a := range []arrangement{
				{views: box{room.x1, room.y1, room.x1 + share*room.width(), room.y2}, apart: box{room.x1 + share*room.width() + viewGap, room.y1, room.x2, room.y2}},
				{views: box{room.x1, room.y1, room.x2, room.y1 + share*room.height()}, apart: box{room.x1, room.y1 + share*room.height() + viewGap, room.x2, room.y2}},
			} {
				if a.fits(shown, views.corner, apart) && a.worth > best.worth {
					best, bestScale = a, scale
				}
			}
		}
	}
	setRows(&d, title(bestScale), 0, 0, titleGap, factGap)
	d.Add(best.shapes(views.corner, apart)...)
	return d
}

// elevations are the views of a cabinet that are to scale, and the one that is not.
type elevations struct {
	style                      measure.Style
	front, left, above, corner *sight
}

func newElevations(k Keyed) *elevations {
	at := func(v scene.View) *sight { return newSight(v, k.Solid, nil) }
	return &elevations{k.Style, at(scene.Front), at(scene.Left), at(scene.Above), at(scene.Isometric)}
}

// shown are elevations on paper: their shapes, what these cover, and where the corner
// below the view from the left begins.
type shown struct {
	shapes []draw.Shape
	box
	cornerX, cornerY float64
	scale            float64
}

const frontWords = "from the front"

var outline = draw.Pen{Width: draw.Wide}

// at draws the elevations at a scale.
func (e *elevations) at(scale float64) *shown {
	s := &shown{scale: scale}
	front := e.front.extent.scaled(scale)
	below := s.view(e.front, frame{0, 0, scale}, frontWords)
	chains := slices.Concat(
		dimensions(e.front.stops(true), e.front, frame{0, 0, scale}, true, e.style),
		dimensions(e.front.stops(false), e.front, frame{0, 0, scale}, false, e.style))
	for _, shape := range chains {
		below = max(below, extentOf(shape).y2)
	}
	leftAt := frame{max(front.width(), draw.TextWidth(frontWords, noteSize, false)) + viewGap, 0, scale}
	s.view(e.left, leftAt, "from the left")
	aboveAt := frame{0, below + viewGap, scale}
	s.view(e.above, aboveAt, "from above")
	s.shapes = append(s.shapes, chains...)
	s.shapes = append(s.shapes, dimensions(e.above.stops(true), e.above, aboveAt, true, e.style)...)
	s.box = extentOfAll(s.shapes)
	s.cornerX, s.cornerY = leftAt.x, aboveAt.y
	return s
}

// view draws one view with its name over it, and returns where it ends.
func (s *shown) view(v *sight, f frame, name string) float64 {
	s.shapes = append(s.shapes, draw.Text{X: f.x, Y: f.y - 1.5, Size: noteSize, Text: name})
	s.shapes = append(s.shapes, v.shapes(f, outline, false, true)...)
	return f.y + v.extent.scaled(f.scale).height()
}

// arrangement is a way to fill a page: in views the elevations and the assembled cabinet,
// in apart the parts.
type arrangement struct {
	views, apart box
	shown        *shown
	whole, parts frame
	worth        float64
}

// fits places the elevations in the upper left of their box, the assembled cabinet in the
// largest space beside them, and the parts in theirs. It reports whether there is room.
func (a *arrangement) fits(s *shown, whole *sight, apart *apart) bool {
	if s.width() > a.views.width() || s.height() > a.views.height() {
		return false
	}
	a.shown = s
	dx, dy := a.move()
	for _, space := range []box{
		{s.x2 + dx + viewGap, a.views.y1, a.views.x2, a.views.y2},
		{a.views.x1, s.y2 + dy + viewGap, a.views.x2, a.views.y2},
		{s.cornerX + dx, s.cornerY + dy, a.views.x2, a.views.y2},
	} {
		if f := whole.within(space); f.scale > 0 && (a.whole.scale == 0 || f.scale < a.whole.scale) {
			a.whole = f
		}
	}
	if a.parts = apart.within(a.apart); a.whole.scale == 0 || a.parts.scale == 0 {
		return false
	}
	// What is taken apart holds the most to read.
	a.worth = 1 / (s.scale * a.parts.scale * a.parts.scale)
	if !apart.single() {
		a.worth /= math.Sqrt(a.whole.scale)
	}
	return true
}

// move returns how far the elevations are moved to lie in the upper left of their box.
func (a *arrangement) move() (dx, dy float64) {
	return a.views.x1 - a.shown.x1, a.views.y1 - a.shown.y1
}

func (a *arrangement) shapes(whole *sight, apart *apart) []draw.Shape {
	dx, dy := a.move()
	shapes := append(draw.Move(a.shown.shapes, dx, dy), apart.shapes(a.parts, a.apart)...)
	if apart.single() { // there is nothing to take apart
		return shapes
	}
	return append(shapes, whole.shapes(a.whole, draw.Pen{Width: draw.Narrow}, true, false)...)
}

// within returns the frame that shows a sight in the middle of a box as large as fits; its
// scale is 0 where the box is empty.
func (l *sight) within(b box) frame {
	if b.width() <= 0 || b.height() <= 0 {
		return frame{}
	}
	scale := max(l.extent.width()/b.width(), l.extent.height()/b.height())
	e := l.extent.scaled(scale)
	return frame{(b.x1 + b.x2 - e.width()) / 2, (b.y1 + b.y2 - e.height()) / 2, scale}
}

// scaled returns a box in mm as it is on paper.
func (b box) scaled(scale float64) box {
	return box{b.x1 / scale, b.y1 / scale, b.x2 / scale, b.y2 / scale}
}

// apart is a cabinet taken apart, with its marks.
type apart struct {
	*sight
	marks []mark // their dots in mm at full size
}

// single reports whether the cabinet is one part.
func (a *apart) single() bool { return len(a.fills) == 1 }

func newApart(k Keyed) (a *apart) {
	different := map[string]bool{}
	for _, text := range k.Marks {
		different[text] = true
	}
	for _, spread := range spreads {
		a = apartBy(k, explode(k.Solid, spread))
		if len(a.marks) == len(different) {
			break
		}
	}
	return a
}

// apartBy looks at a cabinet whose parts are moved, and puts each mark's dot where most is
// seen of a part that carries it.
func apartBy(k Keyed, moved [][3]measure.Length) *apart {
	a := &apart{sight: newSight(scene.Isometric, k.Solid, moved)}
	at, most := map[string]int{}, map[string]float64{}
	for i, text := range k.Marks {
		x, y, area := a.scene.Spot(i)
		if area <= most[text] {
			continue
		}
		if most[text] == 0 {
			at[text] = len(a.marks)
			a.marks = append(a.marks, mark{text: text})
		}
		most[text] = area
		a.marks[at[text]].x, a.marks[at[text]].y = x, y
	}
	return a
}

// within returns the frame that shows the parts in the middle of a box, between their
// marks.
func (a *apart) within(b box) frame {
	room := markRoom(a.marks)
	if markSize(len(a.marks), b.height()) == 0 {
		return frame{}
	}
	return a.sight.within(box{b.x1 + room, b.y1, b.x2 - room, b.y2})
}

func (a *apart) shapes(f frame, within box) []draw.Shape {
	marks := slices.Clone(a.marks)
	for i := range marks {
		marks[i].x, marks[i].y = a.place(f, marks[i].x, marks[i].y)
	}
	room := markRoom(marks) // marks stand by the picture, however wide its box
	within.x1, within.x2 = f.x-room, f.x+a.extent.width()/f.scale+room
	return append(a.sight.shapes(f, draw.Pen{Width: draw.Narrow}, true, false), leadMarks(marks, within)...)
}
