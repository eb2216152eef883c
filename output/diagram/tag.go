package diagram

import (
	"strconv"

	"sawbook/cabinets/batch"
	"sawbook/output/draw"
)

// A tag carries a cut's step number. It stands on the cut's line, on the side of the
// piece that the cut frees, and its point shows where the fence or the stop is.
type tag struct {
	box
	rip  bool
	text string
	size float64 // of the number
	// point is how far its point reaches beyond its body, space what lies round the number.
	point, space float64
}

// Extents of a tag as shares of its number's size.
const (
	tagPoint = 0.42 // from its body to the end of its point
	tagSpace = 0.18 // round the number
	tagRise  = 1.06 // of the number's digits
)

var tagSizes = []float64{2.8, 2.2, 1.7}

// newTag returns a tag whose base has its left or lower end at x, y on the cut's line.
func newTag(c *batch.Cut, size, x, y float64) tag {
	t := tag{rip: c.Rip, text: strconv.Itoa(c.Step), size: size, point: float64(size * tagPoint), space: float64(size * tagSpace)}
	width := draw.TextWidth(t.text, size, true) + t.space + t.space
	height := float64(size*tagRise) + t.space + t.space
	if c.Rip {
		t.box = box{x, y, x + width, y + height + t.point}
	} else {
		t.box = box{x - width - t.point, y - height, x, y}
	}
	return t
}

// shapes draws the tag: black, so that it stands out from part numbers.
func (t tag) shapes() []draw.Shape {
	b := t.box
	var outline []float64
	body := b
	if t.rip {
		body.y2 -= t.point
		outline = []float64{b.x1, b.y1, b.x2, b.y1, b.x2, body.y2, (b.x1 + b.x2) / 2, b.y2, b.x1, body.y2}
	} else {
		body.x1 += t.point
		outline = []float64{b.x2, b.y1, b.x2, b.y2, body.x1, b.y2, b.x1, (b.y1 + b.y2) / 2, body.x1, b.y1}
	}
	return []draw.Shape{
		draw.Polygon{Points: outline, Fill: "black"},
		draw.Text{X: (body.x1 + body.x2) / 2, Y: body.y2 - t.space, Size: t.size, Anchor: draw.Middle, Bold: true, Text: t.text, Color: "white"},
	}
}

// tags puts a number at every cut: in the margin for those across the whole sheet, else
// within the piece freed, at the end that lies on the fence.
func (f *figure) tags() {
	for i := range f.pattern.Cuts {
		c := &f.pattern.Cuts[i]
		if c.Stage == 1 && f.marginTag(c) || f.innerTag(c) || f.marginTag(c) {
			continue
		}
		f.inTable = append(f.inTable, c.Step)
	}
}

const marginTagColumns = 3

// marginTag puts a cut's tag outside the sheet, on its line made longer, and reports
// whether there was room.
func (f *figure) marginTag(c *batch.Cut) bool {
	x1, y1, x2, y2 := f.line(c)
	sheet, trimmed := f.sheet(), f.trimmed()
	if c.Rip && x2 < trimmed.x2-0.01 || !c.Rip && y2 > trimmed.y1+0.01 {
		return false // another piece lies between
	}
	for column := range marginTagColumns {
		for _, size := range tagSizes {
			wide := newTag(c, size, 0, 0)
			var t tag
			var line draw.Line
			if c.Rip {
				x := sheet.x2 + 1 + float64(float64(column)*(wide.width()+1))
				t = newTag(c, size, x, y1)
				line = draw.Line{X1: sheet.x2, Y1: y1, X2: t.x2, Y2: y2}
			} else {
				y := sheet.y1 - 1 - float64(float64(column)*(wide.height()+1))
				t = newTag(c, size, x1, y)
				line = draw.Line{X1: x1, Y1: sheet.y1, X2: x2, Y2: t.y1}
			}
			stem := extentOf(line).inset(-0.2)
			if overlapsAny(t.box.inset(-0.3), f.outside) || overlapsAny(stem, f.outside) {
				continue
			}
			line.Pen.Width = draw.Narrow
			f.add(line)
			f.add(t.shapes()...)
			f.outside = append(f.outside, t.box, stem)
			return true
		}
	}
	return false
}

// innerTag puts a cut's tag into one of the leaves along its fence side, where it costs
// the leaf's label nothing; or, failing that, no more than its number's height. It
// reports whether there was such a place.
func (f *figure) innerTag(c *batch.Cut) bool {
	for _, most := range []lack{lacksNothing, lacksSize, lacksHeight} {
		for _, size := range tagSizes {
			for i := range f.leaves {
				l := &f.leaves[i]
				for _, t := range f.tagsAlong(c, l, size) {
					if !overlapsAny(t.box, l.tags) && f.bearable(l, t.box, most) {
						l.tags = append(l.tags, t.box)
						f.add(t.shapes()...)
						return true
					}
				}
			}
		}
	}
	return false
}

// tagsAlong returns the places for a cut's tag in a leaf that its line touches on the
// fence side: at either end of what they share.
func (f *figure) tagsAlong(c *batch.Cut, l *leaf, size float64) []tag {
	const touch = 0.01
	freed := f.boxOf(c.Frees.X, c.Frees.Y, c.Frees.Length, c.Frees.Width)
	if !freed.inset(-touch).holds(l.box) {
		return nil
	}
	var tags []tag
	if c.Rip {
		if l.y1 > freed.y1+touch {
			return nil
		}
		t := newTag(c, size, l.x1+draw.Wide, l.y1)
		tags = []tag{t, newTag(c, size, l.x2-draw.Wide-t.width(), l.y1)}
	} else {
		if l.x2 < freed.x2-touch {
			return nil
		}
		t := newTag(c, size, l.x2, l.y2-draw.Wide)
		tags = []tag{t, newTag(c, size, l.x2, l.y1+draw.Wide+t.height())}
	}
	var within []tag
	for _, t := range tags {
		if l.inset(-touch).holds(t.box) {
			within = append(within, t)
		}
	}
	return within
}

// bearable reports whether a leaf's label lacks no more with a tag there than without,
// or no more than most.
func (f *figure) bearable(l *leaf, t box, most lack) bool {
	if len(l.blocks) == 0 {
		return true
	}
	before := lackOf(l.blocks, l.room(l.tags))
	after := lackOf(l.blocks, l.room(append([]box{t}, l.tags...)))
	return after <= max(before, most)
}

// room returns where a label may stand beside the given tags.
func (l *leaf) room(tags []box) []box {
	grown := make([]box, len(tags))
	for i, t := range tags {
		grown[i] = t.inset(-padding)
	}
	return l.box.inset(padding).clear(grown)
}

// lackOf returns how much the best label that fits one of the boxes lacks.
func lackOf(blocks []block, boxes []box) lack {
	if k, _, _, ok := fit(blocks, boxes); ok {
		return k.lacks
	}
	if _, _, _, ok := fit(widestLetters, boxes); ok {
		return lacksNumber
	}
	return lacksAll
}

// widestLetters stands for a letter of the key that is not chosen yet.
var widestLetters = letterBlocks("mm")
