package diagram

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/output/draw"
	"sawbook/output/table"
)

// Machining draws what is machined into a piece, seen from its upper face, with the places
// of all features from the start and the near edge, in a room of that width and height in
// mm. Where the list of features does not fit beside it, it goes on on further drawings.
func Machining(job *batch.Job, p *cabinets.Piece, width, height float64) []draw.Drawing {
	m := newMachined(job, p)
	rows := m.rows()
	var alone *draw.Drawing
	for _, scale := range scalesFor(m.style.Unit) {
		first := m.page(width, scale)
		room := box{0, first.Height, width, height}
		ground := m.ground(scale)
		if b := extentOfAll(ground); b.width() > room.width() || b.height() > room.height() {
			continue
		}
		marked := m.marked(ground, scale)
		b := extentOfAll(marked)
		if b.width() > room.width() || b.height() > room.height() {
			continue
		}
		first.Add(draw.Move(marked, -b.x1, room.y1-b.y1)...)
		first.Height += b.height()
		if alone == nil {
			alone = &first
		}
		for _, space := range []box{{0, first.Height + blockGap, width, height}, {b.width() + besideGap, room.y1, width, height}} {
			if g := newGrid(machiningHeads, rows, space.width()); g.fits() && g.height() <= space.height() {
				first.Add(draw.Move(g.shapes(), space.x1, space.y1)...)
				first.Height = max(first.Height, space.y1+g.height())
				return []draw.Drawing{first}
			}
		}
	}
	if alone == nil { // larger than any scale makes fit
		first := m.page(width, 0)
		alone = &first
	}
	drawings := []draw.Drawing{*alone}
	for len(rows) > 0 {
		d := m.page(width, 0)
		n := len(rows)
		for n > 1 && d.Height+newGrid(machiningHeads, rows[:n], width).height() > height {
			n--
		}
		grid := newGrid(machiningHeads, rows[:n], width)
		d.Add(draw.Move(grid.shapes(), 0, d.Height)...)
		d.Height += grid.height()
		drawings = append(drawings, d)
		rows = rows[n:]
	}
	return drawings
}

// manyHoles is from how many holes on a piece is drilled by a template.
const manyHoles = 8

// WantsTemplate reports whether a piece is marked out by a template at full size: it has
// cut-outs, or many holes in its faces.
func WantsTemplate(p *cabinets.Piece) bool {
	holes := 0
	for i := range p.Features {
		switch p.Features[i].Kind {
		case cabinets.Cutout:
			return true
		case cabinets.Hole:
			holes++
		}
	}
	return holes >= manyHoles
}

// Template draws the machining of a piece at full size, to be laid on it, with a bar to hold
// a ruler to.
func Template(job *batch.Job, p *cabinets.Piece) draw.Drawing {
	m := newMachined(job, p)
	shapes := m.marked(m.ground(1), 1)
	b := extentOfAll(shapes).inset(-draw.Wide / 2)
	d := m.page(max(b.width(), templateWidth), 1)
	top := d.Height
	d.Add(draw.Move(shapes, -b.x1, top-b.y1)...)
	d.Height += b.height() + blockGap
	rule(m.style.Unit, &d, 0, d.Height+1.5)
	d.Height += 4
	return d
}

const templateWidth = 100 // mm, the least: its title needs as much

// machined is a piece whose machining is drawn.
type machined struct {
	job   *batch.Job
	piece *cabinets.Piece
	list  []table.Machining
	style measure.Style
}

func newMachined(job *batch.Job, p *cabinets.Piece) *machined {
	return &machined{job: job, piece: p, list: table.Machinings(p), style: job.Batch.Shop.Style}
}

// page returns a drawing with its title alone; a scale of 0 is none.
func (m *machined) page(width, scale float64) draw.Drawing {
	p, style := m.piece, m.style
	d := draw.Drawing{Width: width, Title: "Machining of " + p.ID + ", " + p.Name, About: fmt.Sprintf("%d features", len(p.Features))}
	facts := []run{
		{p.ID, patternSize, true},
		{p.Name, numberSize, true},
		{fmt.Sprintf("%d ×", p.Count), numberSize, true},
		{style.Format(p.Length) + " × " + style.Size(p.Width, p.Material.Thickness), dimensionSize, true},
		{p.Material.Name, dimensionSize, false},
		{table.UpperFace(p), dimensionSize, true},
		{"batch " + m.job.Batch.Name + "-" + m.job.Digest, noteSize, false},
	}
	if scale > 0 {
		facts = append(facts, run{"scale " + scaleName(style.Unit, scale), noteSize, false})
	}
	d.Height = setRows(&d, flow(facts, width, factGap), 0, 0, titleGap, factGap) + blockGap
	return d
}

var machiningHeads = []string{"", "feature", "from face", "from start", "from near", "size", "in a row"}

// rows returns the list of features.
func (m *machined) rows() (rows [][]run) {
	for i := range m.list {
		o := &m.list[i]
		near := m.style.Format(o.At[1])
		if o.Up > 0 {
			near += ", " + m.style.Format(o.Up) + " up"
		}
		rows = append(rows, []run{
			{o.Mark, dimensionSize, true}, {o.What(), noteSize, false}, {o.Face, noteSize, false},
			{m.style.Format(o.At[0]), dimensionSize, false}, {near, dimensionSize, false},
			{o.How(m.style), dimensionSize, false}, {o.Row(m.style), dimensionSize, false},
		})
	}
	return rows
}

// ground draws the piece at a scale: the start edge at the left, the near edge below.
func (m *machined) ground(scale float64) (shapes []draw.Shape) {
	length, width := m.piece.Length.MM()/scale, m.piece.Width.MM()/scale
	shapes = append(shapes, rectOf(box{0, -width, length, 0}, draw.Wide))
	for i := range m.list {
		o := &m.list[i]
		o.Each(func(at [2]measure.Length) { shapes = append(shapes, m.feature(o, at, scale)...) })
	}
	shapes = append(shapes, m.ordinates(0, scale)...)
	return append(shapes, m.ordinates(1, scale)...)
}

// marked adds the marks of the features and the names of the edges.
func (m *machined) marked(ground []draw.Shape, scale float64) []draw.Shape {
	shapes := append(ground, m.marks(ground, scale)...)
	return append(shapes, m.names(scale, extentOfAll(shapes))...)
}

// feature draws one feature: dashed where it is not seen from above.
func (m *machined) feature(o *table.Machining, at [2]measure.Length, scale float64) []draw.Shape {
	x, y := at[0].MM()/scale, -at[1].MM()/scale
	w, h := o.Size[0].MM()/scale, o.Size[1].MM()/scale
	pen := draw.Pen{Width: draw.Wide}
	if o.Face == "lower" {
		pen = draw.Pen{Width: draw.Narrow, Dashed: true}
	}
	narrow := draw.Pen{Width: draw.Narrow}
	switch {
	case o.Up > 0: // a bore into an edge, as far as it goes
		b := m.bore(o, at, scale)
		r := rectOf(b, draw.Narrow)
		r.Pen.Dashed = true
		return []draw.Shape{r}
	case o.Round:
		reach := w/2 + 1
		return []draw.Shape{
			draw.Circle{X: x, Y: y, Radius: w / 2, Pen: pen},
			draw.Line{X1: x - reach, Y1: y, X2: x + reach, Y2: y, Pen: narrow},
			draw.Line{X1: x, Y1: y - reach, X2: x, Y2: y + reach, Pen: narrow},
		}
	case o.Depth == 0: // an opening is crossed out
		return []draw.Shape{
			draw.Rect{X: x, Y: y - h, Width: w, Height: h, Pen: pen},
			draw.Line{X1: x, Y1: y - h, X2: x + w, Y2: y, Pen: narrow},
			draw.Line{X1: x, Y1: y, X2: x + w, Y2: y - h, Pen: narrow},
		}
	}
	return []draw.Shape{draw.Rect{X: x, Y: y - h, Width: w, Height: h, Pen: pen}}
}

// bore returns the rectangle of a hole in an edge.
func (m *machined) bore(o *table.Machining, at [2]measure.Length, scale float64) box {
	b := box{at[0].MM() / scale, -at[1].MM() / scale, at[0].MM() / scale, -at[1].MM() / scale}
	half, deep := o.Size[0].MM()/scale/2, o.Depth.MM()/scale
	switch o.Face {
	case "start edge":
		b.x2 += deep
	case "end edge":
		b.x1 -= deep
	case "near edge":
		b.y1 -= deep
	default:
		b.y2 += deep
	}
	if b.width() > 0 {
		b.y1, b.y2 = b.y1-half, b.y2+half
	} else {
		b.x1, b.x2 = b.x1-half, b.x2+half
	}
	return b
}

// names writes the names of the edges along them, beyond all other shapes.
func (m *machined) names(scale float64, beyond box) []draw.Shape {
	x, y := m.piece.Length.MM()/scale/2, -m.piece.Width.MM()/scale/2
	name := func(side cabinets.Side, t draw.Text) draw.Text {
		t.Size, t.Anchor, t.Text = noteSize, draw.Middle, table.EdgeName(m.piece, side)+" edge"
		return t
	}
	const gap = 1.5
	return []draw.Shape{
		name(cabinets.SideFar, draw.Text{X: x, Y: beyond.y1 - gap}),
		name(cabinets.SideNear, draw.Text{X: x, Y: beyond.y2 + gap + noteSize}),
		name(cabinets.SideStart, draw.Text{X: beyond.x1 - gap, Y: y, Turned: true}),
		name(cabinets.SideEnd, draw.Text{X: beyond.x2 + gap + noteSize, Y: y, Turned: true}),
	}
}

const (
	ordinateOut  = 2.0 // mm from the edge to where lines to the values begin to lean
	ordinateLean = 3.0
)

// ordinates dimensions the places of features along an axis, all from the start or the near
// edge: superimposed running dimensions of ISO 129.
func (m *machined) ordinates(axis int, scale float64) (shapes []draw.Shape) {
	whole := [2]measure.Length{m.piece.Length, m.piece.Width}[axis]
	inner := map[measure.Length]measure.Length{0: 0, whole: 0} // how far in the nearest feature lies
	add := func(at, in measure.Length) {
		if known, there := inner[at]; !there || in < known {
			inner[at] = in
		}
	}
	for i := range m.list {
		o := &m.list[i]
		if o.Up > 0 && (o.At[axis] == 0 || o.At[axis] == whole) {
			continue // it is in that edge
		}
		last := o.At[axis] + measure.Length(o.Count[axis]-1)*o.Pitch[axis]
		add(o.At[axis], o.At[1-axis])
		add(last, o.At[1-axis])
		if !o.Round {
			add(o.At[axis]+o.Size[axis], o.At[1-axis])
		}
	}
	var links []link
	seen := map[string]bool{}
	for _, at := range slices.Sorted(maps.Keys(inner)) {
		text := m.style.Format(at)
		if seen[text] {
			continue
		}
		seen[text] = true
		paper := at.MM() / scale
		links = append(links, link{from: paper, to: paper, at: paper, text: text})
		if in := inner[at].MM() / scale; in > 0 {
			shapes = append(shapes, m.from(axis, paper, 0, paper, -in, hairline))
		}
	}
	end := whole.MM() / scale
	for _, k := range spread(links, -chainPitch/2, end+chainPitch/2) {
		shapes = append(shapes, m.from(axis, k.from, 0.6, k.from, ordinateOut, draw.Narrow), m.from(axis, k.from, ordinateOut, k.at, ordinateOut+ordinateLean, draw.Narrow))
		text := draw.Text{X: k.at + dimensionSize/2, Y: ordinateOut + ordinateLean + 0.6, Size: dimensionSize, Anchor: draw.End, Turned: true, Text: k.text}
		if axis == 1 {
			text.X, text.Y, text.Turned = -ordinateOut-ordinateLean-0.6, -k.at+dimensionSize/2, false
		}
		shapes = append(shapes, text)
	}
	return shapes
}

// from draws a line between places that are given along an edge and out from it.
func (m *machined) from(axis int, along1, out1, along2, out2, pen float64) draw.Line {
	l := draw.Line{X1: along1, Y1: out1, X2: along2, Y2: out2, Pen: draw.Pen{Width: pen}}
	if axis == 1 {
		l.X1, l.Y1, l.X2, l.Y2 = -out1, -along1, -out2, -along2
	}
	return l
}

// marks sets each feature's mark beside the first of it, as near as there is room, with a
// line to it.
func (m *machined) marks(drawn []draw.Shape, scale float64) (shapes []draw.Shape) {
	taken := obstacles(drawn)
	var texts []box
	for _, s := range drawn {
		if t, ok := s.(draw.Text); ok {
			texts = append(texts, boxOf(t))
		}
	}
	for i := range m.list {
		o := &m.list[i]
		x1, y1 := o.At[0].MM()/scale, -o.At[1].MM()/scale
		on := box{x1, y1 - o.Size[1].MM()/scale, x1 + o.Size[0].MM()/scale, y1}
		switch {
		case o.Up > 0:
			on = m.bore(o, o.At, scale)
		case o.Round:
			on = box{x1, y1, x1, y1}
		}
		text, line, ok := besideMark(o.Mark, on, taken, texts)
		if !ok {
			continue
		}
		b := boxOf(text)
		texts = append(texts, b)
		taken = append(append(taken, b.inset(-0.3)), along(line)...)
		shapes = append(shapes, text, line, draw.Circle{X: line.X2, Y: line.Y2, Radius: 0.4, Fill: "black"})
	}
	return shapes
}

// besideMark finds a place for a mark near what it names: outward from it, all round.
func besideMark(mark string, on box, taken, texts []box) (text draw.Text, line draw.Line, ok bool) {
	const ways, most = 24, 70
	midX, midY := (on.x1+on.x2)/2, (on.y1+on.y2)/2
	for reach := 4.0; reach < most; reach += 1.5 {
		for way := range ways {
			sin, cos := math.Sincos(2*math.Pi*float64(way)/ways + 0.7)
			text = draw.Text{X: midX + float64(cos*reach), Y: midY + float64(sin*reach) + dimensionSize/2, Size: dimensionSize, Anchor: draw.Middle, Bold: true, Text: mark}
			b := boxOf(text)
			if overlapsAny(b.inset(-0.4), taken) {
				continue
			}
			line = draw.Line{X2: min(max(midX, on.x1), on.x2), Y2: min(max(midY, on.y1), on.y2), Pen: draw.Pen{Width: draw.Narrow}}
			line.X1, line.Y1 = min(max(line.X2, b.x1-0.5), b.x2+0.5), min(max(line.Y2, b.y1-0.5), b.y2+0.5)
			free := true
			for _, piece := range along(line) {
				free = free && !overlapsAny(piece, texts)
			}
			if free {
				return text, line, true
			}
		}
	}
	return text, line, false
}

// along covers a line with small boxes.
func along(l draw.Line) (boxes []box) {
	n := math.Ceil(2*math.Hypot(l.X2-l.X1, l.Y2-l.Y1)) + 1
	for i := range int(n) + 1 {
		share := float64(i) / n
		x, y := l.X1+float64(share*(l.X2-l.X1)), l.Y1+float64(share*(l.Y2-l.Y1))
		boxes = append(boxes, box{x - 0.35, y - 0.35, x + 0.35, y + 0.35})
	}
	return boxes
}

// obstacles returns boxes that cover what is drawn: of rectangles that are not filled their
// lines alone.
func obstacles(shapes []draw.Shape) (boxes []box) {
	for _, s := range shapes {
		switch v := s.(type) {
		case draw.Rect:
			b := extentOf(s)
			for _, side := range []box{{b.x1, b.y1, b.x2, b.y1}, {b.x1, b.y2, b.x2, b.y2}, {b.x1, b.y1, b.x1, b.y2}, {b.x2, b.y1, b.x2, b.y2}} {
				boxes = append(boxes, side.inset(-draw.Wide/2))
			}
		case draw.Line:
			boxes = append(boxes, along(v)...)
		default:
			boxes = append(boxes, extentOf(s).inset(-draw.Wide/2))
		}
	}
	return boxes
}

// extentOfAll returns the box of all shapes.
func extentOfAll(shapes []draw.Shape) box {
	b := extentOf(shapes[0])
	for _, s := range shapes[1:] {
		b = b.with(extentOf(s))
	}
	return b
}
