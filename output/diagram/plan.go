package diagram

import (
	"cmp"
	"slices"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/output/draw"
)

// Plan draws an interior from above in a room of that width and height in mm, its front at the
// left: the walls, what stands in the way, every cabinet with its front as a double line, those
// above others dashed, and where cabinets run into one another hatched. The cabinet
// named in hand is tinted.
func Plan(in *cabinets.Interior, inHand string, style measure.Style, width, height float64) draw.Drawing {
	d := draw.Drawing{Width: width, Height: height, Title: in.Title(), About: "from above, the front at the left"}
	p := newPlan(in, style)
	title := func(scale float64) [][]run {
		return flow([]run{
			{in.Title(), numberSize, true},
			{"from above, the front at the left", noteSize, false},
			{"scale " + scaleName(style.Unit, scale), noteSize, false},
		}, width, factGap)
	}
	for _, p.scale = range scalesFor(style.Unit) {
		top := rowsHeight(title(p.scale), titleGap) + 3
		shapes := p.shapes(inHand)
		e := extentOfAll(shapes)
		if e.width() > width || top+e.height() > height {
			continue
		}
		setRows(&d, title(p.scale), 0, 0, titleGap, factGap)
		d.Add(draw.Move(shapes, -e.x1, top-e.y1)...)
		d.Height = min(height, top+e.height()+1)
		return d
	}
	setRows(&d, title(0)[:1], 0, 0, titleGap, factGap)
	return d
}

// plan is an interior seen from above; x runs along it to the right, y across it upwards.
type plan struct {
	in    *cabinets.Interior
	style measure.Style
	scale float64
	whole cabinets.Box // of the inside and all that stands in it
}

func newPlan(in *cabinets.Interior, style measure.Style) *plan {
	p := &plan{in: in, style: style, whole: cabinets.Box{Hi: in.Layout.Inside}}
	for i := range in.Cabinets {
		b := in.Cabinets[i].Box
		for a := range b.Lo {
			p.whole.Lo[a], p.whole.Hi[a] = min(p.whole.Lo[a], b.Lo[a]), max(p.whole.Hi[a], b.Hi[a])
		}
	}
	return p
}

// paper returns where a box of the layout lies on paper.
func (p *plan) paper(b cabinets.Box) box {
	x := func(l measure.Length) float64 { return (l - p.whole.Lo[cabinets.X]).MM() / p.scale }
	y := func(l measure.Length) float64 { return (p.whole.Hi[cabinets.Y] - l).MM() / p.scale }
	return box{x(b.Lo[cabinets.X]), y(b.Hi[cabinets.Y]), x(b.Hi[cabinets.X]), y(b.Lo[cabinets.Y])}
}

func (p *plan) shapes(inHand string) []draw.Shape {
	shapes := p.walls()
	order := p.byHeight()
	for _, c := range order {
		shapes = append(shapes, p.cabinet(c, inHand)...)
	}
	shapes = append(shapes, p.clashes()...)
	shapes = append(shapes, p.names(order)...)
	return append(shapes, p.measures()...)
}

// walls draws the inside, the walls at the floor as measured, and what stands in the way.
func (p *plan) walls() (shapes []draw.Shape) {
	inside := p.paper(cabinets.Box{Hi: p.in.Layout.Inside})
	shapes = append(shapes, rectOf(inside, draw.Narrow))
	shell := p.in.Layout.Shell
	if shell == nil {
		return shapes
	}
	middle := p.in.Layout.Inside[cabinets.Y] / 2
	for i := 1; i < len(shell.Sections); i++ {
		a, b := &shell.Sections[i-1], &shell.Sections[i]
		for _, side := range []measure.Length{-1, 1} {
			from := p.paper(cabinets.Box{Lo: [3]measure.Length{a.At, middle + side*a.Walls[0].Half}, Hi: [3]measure.Length{a.At, middle + side*a.Walls[0].Half}})
			to := p.paper(cabinets.Box{Lo: [3]measure.Length{b.At, middle + side*b.Walls[0].Half}, Hi: [3]measure.Length{b.At, middle + side*b.Walls[0].Half}})
			shapes = append(shapes, draw.Line{X1: from.x1, Y1: from.y1, X2: to.x1, Y2: to.y1, Pen: draw.Pen{Width: draw.Wide}})
		}
	}
	for _, o := range shell.Boxes {
		b := p.paper(o.Box)
		r := rectOf(b, draw.Narrow)
		r.Hatch = 2.5
		shapes = append(shapes, r)
	}
	return shapes
}

// byHeight lists the cabinets from the floor up.
func (p *plan) byHeight() []*cabinets.Placed {
	order := make([]*cabinets.Placed, len(p.in.Cabinets))
	for i := range order {
		order[i] = &p.in.Cabinets[i]
	}
	slices.SortStableFunc(order, func(a, b *cabinets.Placed) int { return cmp.Compare(a.Box.Lo[cabinets.Z], b.Box.Lo[cabinets.Z]) })
	return order
}

// above reports whether a cabinet stands over another.
func (p *plan) above(c *cabinets.Placed) bool {
	for i := range p.in.Cabinets {
		o := &p.in.Cabinets[i]
		if o != c && o.Box.Hi[cabinets.Z] <= c.Box.Lo[cabinets.Z] && p.paper(o.Box).inset(0.01).overlaps(p.paper(c.Box)) {
			return true
		}
	}
	return false
}

// frontLine is how far the second line of a front lies from the first.
const frontLine = 1.0

func (p *plan) cabinet(c *cabinets.Placed, inHand string) []draw.Shape {
	b := p.paper(c.Box)
	r := rectOf(b, draw.Wide)
	r.Pen.Dashed = p.above(c)
	if c.Name == inHand {
		r.Fill = shade(palette[0], shades[1])
	}
	front := draw.Line{X1: b.x1, Y1: b.y2 - frontLine, X2: b.x2, Y2: b.y2 - frontLine, Pen: draw.Pen{Width: draw.Narrow}}
	switch c.Turn {
	case 1: // looks along x
		front.X1, front.Y1, front.X2, front.Y2 = b.x2-frontLine, b.y1, b.x2-frontLine, b.y2
	case 2:
		front.Y1, front.Y2 = b.y1+frontLine, b.y1+frontLine
	case 3:
		front.X1, front.Y1, front.X2, front.Y2 = b.x1+frontLine, b.y1, b.x1+frontLine, b.y2
	}
	return []draw.Shape{r, front}
}

// clashes hatches what two cabinets both take, and what stands out of the inside.
func (p *plan) clashes() (shapes []draw.Shape) {
	mark := func(b cabinets.Box) {
		r := rectOf(p.paper(b), draw.Wide)
		r.Hatch = 1
		shapes = append(shapes, r)
	}
	for i := range p.in.Cabinets {
		a := p.in.Cabinets[i].Box
		for k := range p.in.Cabinets[:i] {
			if b := shared(a, p.in.Cabinets[k].Box); b.Size(cabinets.X) > 0 && b.Size(cabinets.Y) > 0 && b.Size(cabinets.Z) > 0 {
				mark(b)
			}
		}
		for axis := cabinets.X; axis <= cabinets.Y; axis++ {
			if room := p.in.Layout.Inside[axis]; room > 0 && a.Hi[axis] > room {
				out := a
				out.Lo[axis] = max(a.Lo[axis], room)
				mark(out)
			}
			if a.Lo[axis] < 0 {
				out := a
				out.Hi[axis] = min(a.Hi[axis], 0)
				mark(out)
			}
		}
	}
	return shapes
}

// shared returns what lies in both boxes; an extent is below 0 where they stand apart.
func shared(a, b cabinets.Box) cabinets.Box {
	for axis := range a.Lo {
		a.Lo[axis], a.Hi[axis] = max(a.Lo[axis], b.Lo[axis]), min(a.Hi[axis], b.Hi[axis])
	}
	return a
}

// names writes each cabinet's name where no line and no other name lies, or a letter that is
// explained below.
func (p *plan) names(order []*cabinets.Placed) (shapes []draw.Shape) {
	var taken []box
	var key []run
	for _, c := range order {
		own := p.paper(c.Box).inset(frontLine + padding)
		obstacles := slices.Clone(taken)
		for _, o := range order {
			if o != c {
				obstacles = append(obstacles, rim(p.paper(o.Box))...)
			}
		}
		letter := letters(len(key))
		var blocks []block
		for _, size := range []float64{dimensionSize, 3, noteSize} {
			n := run{c.Name, size, false}
			blocks = append(blocks, newBlock(lacksNothing, []run{n}), newBlock(lacksNothing, stacked(n)...))
		}
		k, at, turned, ok := fit(append(blocks, letterBlocks(letter)...), own.clear(obstacles))
		if !ok || k.lacks == lacksNumber {
			key = append(key, run{letter + " = " + c.Name, noteSize, false})
		}
		if !ok {
			continue
		}
		for _, t := range k.texts(at, turned) {
			shapes = append(shapes, t)
			taken = append(taken, boxOf(t).inset(-padding))
		}
	}
	if len(key) == 0 {
		return shapes
	}
	all := p.paper(p.whole)
	var d draw.Drawing
	setRows(&d, flow(key, all.width(), factGap), all.x1, all.y2+measuresRoom, titleGap, factGap)
	return append(shapes, d.Shapes...)
}

// measuresRoom is the room that the length below a plan takes.
const measuresRoom = 10.0

// rim returns thin boxes along the edges of b.
func rim(b box) []box {
	const half = 0.4
	return []box{
		{b.x1 - half, b.y1 - half, b.x2 + half, b.y1 + half}, {b.x1 - half, b.y2 - half, b.x2 + half, b.y2 + half},
		{b.x1 - half, b.y1 - half, b.x1 + half, b.y2 + half}, {b.x2 - half, b.y1 - half, b.x2 + half, b.y2 + half},
	}
}

// measures dimensions the inside.
func (p *plan) measures() []draw.Shape {
	inside, all := p.paper(cabinets.Box{Hi: p.in.Layout.Inside}), p.paper(p.whole)
	if p.in.Layout.Inside == [3]measure.Length{} {
		inside = all
	}
	length, across := chain{}, chain{vertical: true}
	length.add(link{from: inside.x1, to: inside.x2, at: (inside.x1 + inside.x2) / 2, text: p.extent(cabinets.X)})
	across.add(link{from: inside.y1, to: inside.y2, at: (inside.y1 + inside.y2) / 2, text: p.extent(cabinets.Y)})
	return append(length.shapes(all.y2), across.shapes(all.x1)...)
}

func (p *plan) extent(a cabinets.Axis) string {
	if room := p.in.Layout.Inside[a]; room > 0 {
		return p.style.Format(room)
	}
	return p.style.Format(p.whole.Size(a))
}
