// Package diagram turns what is computed into drawings.
package diagram

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/output/draw"
	"sawbook/output/table"
)

// Sheet draws how to cut one pattern's sheet: the sheet at the largest scale at which it
// and the table of its cuts fit a room of that width and height in mm. Where that would
// leave parts without a mark, or fits at no scale, the sheet is as large as fits and the
// rest stands on further drawings.
func Sheet(job *batch.Job, m *batch.Material, p *batch.Pattern, width, height float64) []draw.Drawing {
	c := newCommon(job, m, p, width)
	var largest, withKey *figure
	for _, scale := range scalesFor(c.style.Unit) {
		if p.Sheet.Length.MM()/scale > width || p.Sheet.Width.MM()/scale > height {
			continue
		}
		f := newFigure(c, scale)
		if f.edge.width() > width {
			continue
		}
		if f.page(f.sheetBlock, f.legend, moreBlock).Height > height {
			// With all cuts beside the sheet, nothing need say that more follows.
			if d := f.page(f.besideBlock, f.legend); d.Height <= height {
				return []draw.Drawing{d}
			}
			continue
		}
		if largest == nil {
			largest = f
		}
		if f.unmarked() > largest.unmarked() || f.sheet().width() < width/2 && f.sheet().height() < height/2 {
			break
		}
		if withKey == nil && f.page(f.sheetBlock, f.keyBlock(f.key), f.legend, moreBlock).Height <= height {
			withKey = f
		}
		for _, d := range []draw.Drawing{
			f.page(f.sheetBlock, f.keyBlock(f.key), f.legend, f.cutBlock(f.runs)),
			f.page(f.besideBlock, f.legend),
		} {
			if d.Height <= height {
				return []draw.Drawing{d}
			}
		}
	}
	if f := withKey; f != nil {
		first := f.page(f.sheetBlock, f.keyBlock(f.key), f.legend, moreBlock)
		return append([]draw.Drawing{first}, pages(f, f.runs, f.cutBlock, height)...)
	}
	f := largest
	if f == nil { // a title as long as a page
		scales := scalesFor(c.style.Unit)
		f = newFigure(c, scales[len(scales)-1])
	}
	first := f.page(f.sheetBlock, f.legend, moreBlock)
	return slices.Concat([]draw.Drawing{first}, pages(f, f.key, f.keyBlock, height), pages(f, f.runs, f.cutBlock, height))
}

const besideGap = 8.0 // mm between the sheet and what stands beside it

// besideBlock draws the sheet with its key and the table of its cuts to the right. Where
// they are too wide for that, it is higher than any page.
func (f *figure) besideBlock(d *draw.Drawing, y float64) float64 {
	rest := d.Width - f.edge.width() - besideGap
	if rest < f.cutTable(f.runs).width() {
		return math.Inf(1)
	}
	d.Add(draw.Move(f.shapes, -f.edge.x1, y+blockGap-f.edge.y1)...)
	side := draw.Drawing{Width: rest}
	end := f.cutBlock(f.runs)(&side, f.keyBlock(f.key)(&side, y))
	d.Add(draw.Move(side.Shapes, d.Width-rest, 0)...)
	return max(y+blockGap+f.edge.height(), end)
}

// moreBlock says that the drawing goes on.
func moreBlock(d *draw.Drawing, y float64) float64 {
	return setRows(d, [][]run{{{"The cuts follow on the next page.", noteSize, true}}}, 0, y+0.8, 0, 0)
}

// pages puts a list on as many pages as it takes, none higher than height.
func pages[E any](f *figure, list []E, block func([]E) func(*draw.Drawing, float64) float64, height float64) []draw.Drawing {
	var drawings []draw.Drawing
	for len(list) > 0 {
		n := len(list)
		for n > 1 && f.page(block(list[:n])).Height > height {
			n = n * 9 / 10
		}
		drawings = append(drawings, f.page(block(list[:n])))
		list = list[n:]
	}
	return drawings
}

// page puts blocks under the title, each drawing itself from y down and returning where
// it ends.
func (f *figure) page(blocks ...func(d *draw.Drawing, y float64) float64) draw.Drawing {
	return f.under(f.titleBlock, blocks...)
}

// under puts blocks under a title, which returns where it ends.
func (f *figure) under(title func(d *draw.Drawing) float64, blocks ...func(d *draw.Drawing, y float64) float64) draw.Drawing {
	d := draw.Drawing{Width: f.width, Title: "Cut diagram " + f.name() + ", " + f.material.Of.Name}
	d.About = fmt.Sprintf("%d parts, cut %s", len(f.pattern.Parts), times(f.pattern.Times))
	d.Height = title(&d)
	for _, block := range blocks {
		d.Height = block(&d, d.Height)
	}
	return d
}

func (f *figure) sheetBlock(d *draw.Drawing, y float64) float64 {
	d.Add(draw.Move(f.shapes, (d.Width-f.edge.width())/2-f.edge.x1, y+blockGap-f.edge.y1)...)
	return y + blockGap + f.edge.height()
}

// unmarked returns how many parts carry no mark.
func (f *figure) unmarked() (n int) {
	for i := range f.leaves {
		if f.leaves[i].lacks == lacksAll {
			n++
		}
	}
	return n
}

func (f *figure) name() string { return f.material.NameOf(f.pattern) }

const blockGap = 2.4 // mm between the blocks of a drawing

func times(n int) string {
	if n == 1 {
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}

// common is what the drawings of a pattern share at all scales.
type common struct {
	job      *batch.Job
	material *batch.Material
	pattern  *batch.Pattern
	style    measure.Style
	width    float64 // mm, of the drawing
	runs     []table.Run
	blocks   map[*cabinets.Piece][]block // ways to label a part
}

func newCommon(job *batch.Job, m *batch.Material, p *batch.Pattern, width float64) *common {
	c := &common{job: job, material: m, pattern: p, style: job.Batch.Shop.Style, width: width, runs: table.Runs(p), blocks: map[*cabinets.Piece][]block{}}
	for _, l := range p.Parts {
		if c.blocks[l.Piece] == nil {
			c.blocks[l.Piece] = partBlocks(l.Piece.ID, nameOf(l.Piece), c.size(l.Piece.Length, l.Piece.Width))
		}
	}
	return c
}

// nameOf names a piece, and its place in a matched group.
func nameOf(p *cabinets.Piece) string {
	return strings.TrimSpace(p.Name + " " + table.Place(p))
}

// size prints a length and a width.
func (c *common) size(length, width measure.Length) string {
	return c.style.Format(length) + " × " + c.style.Format(width)
}

// figure is the sheet itself at one scale with what stands in and round it. Its origin
// is the corner of the untrimmed sheet: on paper the sheet lies right of and above it.
type figure struct {
	*common
	scale   float64
	shapes  []draw.Shape
	edge    box // holds all shapes
	leaves  []leaf
	outside []box // taken up in the margins
	inTable []int // steps that found no room for their number
	key     []keyEntry
}

// leaf is a piece that is not divided further.
type leaf struct {
	box
	part   *batch.Laid
	offcut *batch.Offcut
	blocks []block // ways to label it
	tags   []box
	lacks  lack
}

func (f *figure) add(shapes ...draw.Shape) { f.shapes = append(f.shapes, shapes...) }

func (f *figure) paper(l measure.Length) float64 { return l.MM() / f.scale }

func (f *figure) boxOf(x, y, length, width measure.Length) box {
	return box{f.paper(x), -f.paper(y + width), f.paper(x + length), -f.paper(y)}
}

// sheet is the untrimmed sheet, trimmed what the trims leave.
func (f *figure) sheet() box {
	return f.boxOf(0, 0, f.pattern.Sheet.Length, f.pattern.Sheet.Width)
}

func (f *figure) trimmed() box {
	t, s := f.pattern.Trim, f.pattern.Sheet
	return f.boxOf(t[0], t[2], s.Length-t[0]-t[1], s.Width-t[2]-t[3])
}

func newFigure(c *common, scale float64) *figure {
	f := &figure{common: c, scale: scale}
	f.findLeaves()
	f.ground()
	f.chain()
	f.tags()
	f.key = f.keyEntries(f.labels())
	f.edge = f.bounds()
	return f
}

func (f *figure) findLeaves() {
	for i := range f.pattern.Parts {
		l := &f.pattern.Parts[i]
		f.leaves = append(f.leaves, leaf{
			box: f.boxOf(l.X, l.Y, l.Length, l.Width), part: l,
			blocks: f.blocks[l.Piece],
		})
	}
	for i := range f.pattern.Offcuts {
		o := &f.pattern.Offcuts[i]
		n := leaf{box: f.boxOf(o.X, o.Y, o.Length, o.Width), offcut: o}
		if o.Keep {
			n.blocks = offcutBlocks(o.Label, f.size(o.Length, o.Width))
		}
		f.leaves = append(f.leaves, n)
	}
}

const wasteHatch = 2.2 // mm between the lines of waste

// ground draws the sheet, its trims, its waste and its cuts.
func (f *figure) ground() {
	sheet, trimmed := f.sheet(), f.trimmed()
	for _, b := range []box{
		{sheet.x1, sheet.y1, trimmed.x1, sheet.y2}, {trimmed.x2, sheet.y1, sheet.x2, sheet.y2},
		{trimmed.x1, trimmed.y2, trimmed.x2, sheet.y2}, {trimmed.x1, sheet.y1, trimmed.x2, trimmed.y1},
	} {
		f.hatch(b)
	}
	for _, l := range f.leaves {
		if l.offcut != nil && !l.offcut.Keep {
			f.hatch(l.box)
		}
	}
	f.strips()
	f.add(rectOf(sheet, draw.Wide))
	if trimmed != sheet {
		f.add(rectOf(trimmed, draw.Wide))
	}
	for i := range f.pattern.Cuts {
		x1, y1, x2, y2 := f.line(&f.pattern.Cuts[i])
		f.add(draw.Line{X1: x1, Y1: y1, X2: x2, Y2: y2, Pen: draw.Pen{Width: draw.Wide}})
	}
}

const stripPen = 2 * draw.Wide // round a matched strip

// strips draws a heavier outline round what matched groups come from.
func (f *figure) strips() {
	if f.pattern.Matched {
		f.add(rectOf(f.trimmed(), stripPen))
	}
	for _, l := range f.leaves {
		if l.part != nil && f.material.IsStrip(l.part.Piece) {
			f.add(rectOf(l.box, stripPen))
		}
	}
}

func (f *figure) hatch(b box) {
	if b.width() > 0 && b.height() > 0 {
		f.add(draw.Rect{X: b.x1, Y: b.y1, Width: b.width(), Height: b.height(), Hatch: wasteHatch})
	}
}

func rectOf(b box, pen float64) draw.Rect {
	return draw.Rect{X: b.x1, Y: b.y1, Width: b.width(), Height: b.height(), Pen: draw.Pen{Width: pen}}
}

// line returns a cut's line on paper: the middle of its kerf.
func (f *figure) line(c *batch.Cut) (x1, y1, x2, y2 float64) {
	half := kerfOf(c) / 2
	x1, y1, x2, y2 = f.paper(c.X1), -f.paper(c.Y1), f.paper(c.X2), -f.paper(c.Y2)
	if c.Rip {
		y1, y2 = y1-f.paper(half), y2-f.paper(half)
	} else {
		x1, x2 = x1+f.paper(half), x2+f.paper(half)
	}
	return x1, y1, x2, y2
}

// kerfOf returns how much of the piece a cut's blade takes.
func kerfOf(c *batch.Cut) measure.Length {
	if c.Rip {
		return c.From.Width - c.Frees.Width - c.Remains.Width
	}
	return c.From.Length - c.Frees.Length - c.Remains.Length
}

// bounds returns the box that holds all shapes.
func (f *figure) bounds() box {
	b := f.sheet()
	for _, s := range f.shapes {
		b = b.with(extentOf(s))
	}
	return b.inset(-draw.Wide / 2)
}

// extentOf returns the box of a shape, its line without width.
func extentOf(s draw.Shape) box {
	switch v := s.(type) {
	case draw.Line:
		return box{min(v.X1, v.X2), min(v.Y1, v.Y2), max(v.X1, v.X2), max(v.Y1, v.Y2)}
	case draw.Rect:
		return box{v.X, v.Y, v.X + v.Width, v.Y + v.Height}
	case draw.Circle:
		return box{v.X - v.Radius, v.Y - v.Radius, v.X + v.Radius, v.Y + v.Radius}
	case draw.Clip:
		return box{v.X, v.Y, v.X + v.Width, v.Y + v.Height}
	case draw.Text:
		return boxOf(v)
	case draw.Polygon:
		b := box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
		for i := 0; i+1 < len(v.Points); i += 2 {
			b = b.with(box{v.Points[i], v.Points[i+1], v.Points[i], v.Points[i+1]})
		}
		return b
	}
	panic(fmt.Sprintf("no shape: %T", s))
}
