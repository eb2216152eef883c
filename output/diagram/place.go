package diagram

import (
	"sawbook/cabinets"
	"sawbook/output/draw"
)

// labels sets the label of every part and kept offcut: in place, led out by a line, or
// as a letter that the key explains. It returns those letters.
func (f *figure) labels() map[*cabinets.Piece]string {
	letter := map[*cabinets.Piece]string{}
	for i := range f.leaves {
		l := &f.leaves[i]
		if len(l.blocks) == 0 {
			continue
		}
		if k, at, turned, ok := fit(l.blocks, l.room(l.tags)); ok {
			l.lacks = k.lacks
			f.set(l, k, at, turned)
			continue
		}
		if f.leadOut(l) {
			continue
		}
		l.lacks = lacksAll
		if l.part == nil {
			continue
		}
		if letter[l.part.Piece] == "" {
			letter[l.part.Piece] = letters(len(letter))
		}
		if k, at, turned, ok := fit(letterBlocks(letter[l.part.Piece]), l.room(l.tags)); ok {
			l.lacks = lacksNumber
			f.set(l, k, at, turned)
		}
	}
	return letter
}

// set draws a label, and an arrow for the grain where there is room beside it.
func (f *figure) set(l *leaf, k block, at box, turned bool) {
	taken := append([]box{}, l.tags...)
	for _, t := range k.texts(at, turned) {
		f.add(t)
		taken = append(taken, boxOf(t))
	}
	if l.part == nil || !f.material.Of.Grain || l.part.Piece.Turns {
		return
	}
	f.arrow(l.room(taken), l.part.Turned != l.part.Piece.Across)
}

const (
	arrowLength = 9.0
	arrowWidth  = 1.6
)

// arrow draws a grain arrow in the first of the boxes that has room for it.
func (f *figure) arrow(boxes []box, upright bool) {
	w, h := arrowLength, arrowWidth
	if upright {
		w, h = h, w
	}
	for _, b := range boxes {
		if b.width() < w || b.height() < h {
			continue
		}
		x, y := (b.x1+b.x2)/2, (b.y1+b.y2)/2
		f.add(grainArrow(x, y, upright))
		return
	}
}

// grainArrow returns an arrow with two heads, its middle at x, y.
func grainArrow(x, y float64, upright bool) draw.Polygon { return arrowOf(x, y, arrowLength, upright) }

// arrowOf returns a grain arrow of a length: one line that comes back along itself.
func arrowOf(x, y, length float64, upright bool) draw.Polygon {
	half, head, side := length/2, min(2.2, length/3), arrowWidth/2
	arrow := draw.Polygon{Pen: draw.Pen{Width: draw.Narrow}}
	for _, p := range [][2]float64{
		{-half, 0}, {half, 0}, {half - head, side}, {half, 0}, {half - head, -side}, {half, 0},
		{-half, 0}, {head - half, side}, {-half, 0}, {head - half, -side},
	} {
		if upright {
			p[0], p[1] = p[1], p[0]
		}
		arrow.Points = append(arrow.Points, x+p[0], y+p[1])
	}
	return arrow
}

// ledReaches are how many mm beyond the sheet a line may lead a label.
var ledReaches = []float64{2, 7}

// leadOut sets a part's label over or under the sheet and leads a line to it, where
// nothing but waste lies between. It reports whether there was room.
func (f *figure) leadOut(l *leaf) bool {
	if l.part == nil {
		return false
	}
	number, size := l.part.Piece.ID, f.size(l.part.Piece.Length, l.part.Piece.Width)
	k := newBlock(lacksName, []run{{number, keySize, true}, {size, dimensionSize, false}})
	x, y := (l.x1+l.x2)/2, (l.y1+l.y2)/2
	sheet := f.sheet()
	if x-k.width/2 < sheet.x1 || x+k.width/2 > sheet.x2 {
		return false
	}
	for _, reach := range ledReaches {
		over, under := sheet.y1-reach, sheet.y2+reach
		if f.lead(l, k, draw.Line{X1: x, Y1: y, X2: x, Y2: over}, over-0.6-k.height) ||
			f.lead(l, k, draw.Line{X1: x, Y1: y, X2: x, Y2: under}, under+0.6) {
			return true
		}
	}
	return false
}

// lead sets a label with its upper edge at top, at the end of a line from its part, and
// reports whether there was room.
func (f *figure) lead(l *leaf, k block, line draw.Line, top float64) bool {
	at := box{line.X2 - k.width/2, top, line.X2 + k.width/2, top + k.height}
	stem := extentOf(line).inset(-0.2)
	if !f.openTo(l, stem) || overlapsAny(stem, f.outside) || overlapsAny(at.inset(-0.4), f.outside) {
		return false
	}
	line.Pen.Width = draw.Narrow
	f.add(line, draw.Circle{X: line.X1, Y: line.Y1, Radius: 0.5, Fill: "black"})
	for _, t := range k.texts(at, false) {
		f.add(t)
	}
	f.outside = append(f.outside, stem, at)
	l.tags = append(l.tags, stem)
	l.lacks = k.lacks
	return true
}

// openTo reports whether a line may leave a leaf: it meets no tag, and no other leaf
// but waste.
func (f *figure) openTo(from *leaf, line box) bool {
	for i := range f.leaves {
		l := &f.leaves[i]
		if l != from && len(l.blocks) > 0 && l.overlaps(line) || overlapsAny(line, l.tags) {
			return false
		}
	}
	return true
}

// keyEntry is a line of the key: a piece whose label was left out, or part of it.
type keyEntry struct {
	letter, number, size, name string
	unmarked                   int // how many of it carry no mark on the drawing
}

// keyEntries returns what the key has to say: offcuts and pieces in the order they
// stand on the sheet.
func (f *figure) keyEntries(letter map[*cabinets.Piece]string) []keyEntry {
	var entries []keyEntry
	index := map[*cabinets.Piece]int{}
	for i := range f.leaves {
		l := &f.leaves[i]
		if l.lacks == lacksNothing || len(l.blocks) == 0 {
			continue
		}
		if l.part == nil {
			entries = append(entries, keyEntry{number: "keep " + l.offcut.Label, size: f.size(l.offcut.Length, l.offcut.Width)})
			continue
		}
		piece := l.part.Piece
		at, known := index[piece]
		if !known {
			at = len(entries)
			index[piece] = at
			entries = append(entries, keyEntry{letter: letter[piece], number: piece.ID, size: f.size(piece.Length, piece.Width), name: piece.Name})
		}
		if l.lacks == lacksAll {
			entries[at].unmarked++
		}
	}
	return entries
}
