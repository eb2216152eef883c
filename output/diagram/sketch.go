package diagram

import (
	"fmt"
	"slices"

	"sawbook/cabinets"
	"sawbook/cabinets/shop"
	"sawbook/output/draw"
)

// sketch is a part with what its edges get, small: not to scale, and seen from the face that
// its label is stuck on, so that it lies as the part does.
type sketch struct {
	edges   [4]sketchEdge // at the bottom, the top, the left and the right
	aspect  float64       // of length to width
	grain   bool
	upright bool // the grain runs across the length
	key     []string
}

// sketchEdge is what one edge gets, as it is drawn: black where banded, double where lipped,
// heavy where sealed, hatched where felted, else a thin line. Letters say the same.
type sketchEdge struct {
	band, lipping, sealed, felt bool
	letters                     string
}

// mostAspect is how much longer than wide a part is drawn, at most.
const mostAspect = 3.0

// sketchOf sketches a piece, from its lower or its upper face. From below it is turned over
// about its length.
func sketchOf(p *cabinets.Piece, fromBelow bool) sketch {
	s := sketch{aspect: min(max(p.Length.MM()/p.Width.MM(), 1/mostAspect), mostAspect), grain: p.Material.Grain && !p.Turns, upright: p.Across}
	bands := bandsOf(p)
	for side, e := range p.Edges {
		if fromBelow && side < 2 {
			side = 1 - side
		}
		s.edges[side] = s.edge(e, bands)
	}
	return s
}

// bandsOf lists the bands and lippings of a piece, each once.
func bandsOf(p *cabinets.Piece) (all []*shop.Band) {
	for _, e := range p.Edges {
		if e.Treatment != nil && e.Treatment.Band != nil && !slices.Contains(all, e.Treatment.Band) {
			all = append(all, e.Treatment.Band)
		}
	}
	return all
}

// edge sketches an edge, and adds to the key what its letters mean.
func (s *sketch) edge(e cabinets.Edge, bands []*shop.Band) (drawn sketchEdge) {
	letter := func(letter, meaning string) {
		drawn.letters += letter
		if entry := letter + " " + meaning; !slices.Contains(s.key, entry) {
			s.key = append(s.key, entry)
		}
	}
	if t := e.Treatment; t != nil {
		if b := t.Band; b == nil {
			drawn.sealed = true
			letter("S", "sealed")
		} else {
			drawn.band, drawn.lipping = !b.Lipping, b.Lipping
			name := "B"
			if b.Lipping {
				name = "L"
			}
			if len(bands) > 1 {
				name += fmt.Sprint(slices.Index(bands, b) + 1)
			}
			letter(name, b.ID)
		}
		if t.Round {
			letter("R", "rounded")
		}
	}
	if e.Felted {
		drawn.felt = true
		letter("F", "felt")
	}
	if e.VoidFree {
		letter("V", "void-free")
	}
	return drawn
}

// Widths of what is drawn along an edge, in mm.
const (
	bandBar    = 0.9
	lippingBar = 1.3
	feltBar    = 1.4
	letterGap  = 0.4
	leastCore  = 2.6 // height and width of the part itself
)

// outside returns how far what is drawn along an edge reaches beyond the part, without its
// letters.
func (e *sketchEdge) outside() (reach float64) {
	switch {
	case e.band:
		reach = bandBar
	case e.lipping:
		reach = lippingBar
	case e.sealed:
		reach = draw.Wide / 2
	}
	if e.felt {
		reach += feltBar
	}
	return reach
}

// draw draws the sketch in the upper left of a room, its letters of a size, and returns where
// it ends at the right; ok is false where it has no room.
func (s *sketch) draw(room box, size float64) (shapes []draw.Shape, end float64, ok bool) {
	core := room
	bottom, top, left, right := &s.edges[0], &s.edges[1], &s.edges[2], &s.edges[3]
	high := func(e *sketchEdge) float64 {
		if e.letters == "" {
			return e.outside() + draw.Wide/2
		}
		return e.outside() + letterGap + size
	}
	wide := func(e *sketchEdge) float64 {
		if e.letters == "" {
			return e.outside() + draw.Wide/2
		}
		return e.outside() + letterGap + draw.TextWidth(e.letters, size, true)
	}
	core.y1, core.y2 = core.y1+high(top), core.y2-high(bottom)
	core.x1, core.x2 = core.x1+wide(left), core.x2-wide(right)
	if core.width() < leastCore || core.height() < leastCore {
		return nil, 0, false
	}
	if w := core.height() * s.aspect; w < core.width() {
		core.x2 = core.x1 + w
	} else {
		core.y2 = core.y1 + core.width()/s.aspect
	}
	if core.width() < leastCore || core.height() < leastCore { // lies squarer than it is
		core.x2, core.y2 = max(core.x2, core.x1+leastCore), max(core.y2, core.y1+leastCore)
	}
	shapes = append(shapes, rectOf(core, draw.Narrow))
	for i := range s.edges {
		shapes = append(shapes, s.edges[i].shapes(i, core)...)
	}
	middleX, middleY := (core.x1+core.x2)/2, (core.y1+core.y2)/2
	put := func(e *sketchEdge, x, y float64, anchor draw.Anchor) {
		if e.letters != "" {
			shapes = append(shapes, draw.Text{X: x, Y: y, Size: size, Bold: true, Anchor: anchor, Text: e.letters})
		}
	}
	put(top, middleX, core.y1-top.outside()-letterGap, draw.Middle)
	put(bottom, middleX, core.y2+bottom.outside()+letterGap+size, draw.Middle)
	put(left, core.x1-left.outside()-letterGap, middleY+size/2, draw.End)
	put(right, core.x2+right.outside()+letterGap, middleY+size/2, draw.Start)
	if s.grain {
		length := core.width()
		if s.upright {
			length = core.height()
		}
		shapes = append(shapes, arrowOf(middleX, middleY, min(0.7*length, arrowLength), s.upright))
	}
	return shapes, core.x2 + wide(right), true
}

// shapes draws what one edge gets, beside the part.
func (e *sketchEdge) shapes(side int, core box) (shapes []draw.Shape) {
	bar := func(from, wide float64) box {
		switch side {
		case 0:
			return box{core.x1, core.y2 + from, core.x2, core.y2 + from + wide}
		case 1:
			return box{core.x1, core.y1 - from - wide, core.x2, core.y1 - from}
		case 2:
			return box{core.x1 - from - wide, core.y1, core.x1 - from, core.y2}
		}
		return box{core.x2 + from, core.y1, core.x2 + from + wide, core.y2}
	}
	reach := 0.0
	switch {
	case e.band:
		shapes, reach = append(shapes, filled(bar(0, bandBar))), bandBar
	case e.lipping:
		shapes, reach = append(shapes, rectOf(bar(0, lippingBar), draw.Narrow)), lippingBar
	case e.sealed:
		shapes, reach = append(shapes, filled(bar(-draw.Wide/2, draw.Wide))), draw.Wide/2
	}
	if e.felt {
		felt := rectOf(bar(reach, feltBar), draw.Narrow)
		felt.Hatch = 0.8
		shapes = append(shapes, felt)
	}
	return shapes
}

func filled(b box) draw.Rect {
	return draw.Rect{X: b.x1, Y: b.y1, Width: b.width(), Height: b.height(), Fill: "black"}
}
