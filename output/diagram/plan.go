package diagram

import (
	"cmp"
	"math"
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
	p := newPlan(in, style)
	return p.onPage("from above, the front at the left", width, height, p.shellWords(), func() []draw.Shape { return p.shapes(inHand) })
}

// onPage draws a view of an interior at the largest scale at which it fits, under a title with words and notes.
func (p *plan) onPage(words string, width, height float64, notes []run, shapes func() []draw.Shape) draw.Drawing {
	d := draw.Drawing{Width: width, Height: height, Title: p.in.Title() + ", " + words, About: words}
	title := func(scale float64) [][]run {
		return flow(append([]run{
			{p.in.Title(), numberSize, true},
			{words, noteSize, false},
			{"scale " + scaleName(p.style.Unit, scale), noteSize, false},
		}, notes...), width, factGap)
	}
	for _, p.scale = range scalesFor(p.style.Unit) {
		if all := p.paper(p.whole); all.width() > width || all.height() > height {
			continue
		}
		p.lines = nil
		top := rowsHeight(title(p.scale), titleGap) + 3
		shapes := shapes()
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

// shellWords say what doorways there are, and which aisle is to stay free.
func (p *plan) shellWords() (words []run) {
	shell := p.in.Layout.Shell
	if shell == nil {
		return nil
	}
	for _, d := range shell.Doorways {
		words = append(words, run{"doorway " + d.Name + " " + p.style.Format(d.Width) + " × " + p.style.Format(d.Height), dimensionSize, false})
	}
	if a := shell.Aisle; a.Width > 0 {
		words = append(words, run{"aisle " + p.style.Format(a.Width) + " wide from " + p.style.Format(a.From) + " to " + p.style.Format(a.To), dimensionSize, false})
	}
	return words
}

// plan is an interior seen from above; x runs along it to the right, y across it upwards. Seen from
// the side, z runs upwards, and x to the left where it is mirrored.
type plan struct {
	in       *cabinets.Interior
	style    measure.Style
	scale    float64
	whole    cabinets.Box // of the inside and all that stands in it
	up       cabinets.Axis
	mirrored bool
	cabinets []*cabinets.Placed // that are shown
	lines    []box              // that names keep clear of, beyond outlines
}

func newPlan(in *cabinets.Interior, style measure.Style) *plan {
	p := &plan{in: in, style: style, up: cabinets.Y, whole: cabinets.Box{Hi: in.Layout.Inside}}
	for i := range in.Cabinets {
		p.cabinets = append(p.cabinets, &in.Cabinets[i])
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
	y := func(l measure.Length) float64 { return (p.whole.Hi[p.up] - l).MM() / p.scale }
	at := box{x(b.Lo[cabinets.X]), y(b.Hi[p.up]), x(b.Hi[cabinets.X]), y(b.Lo[p.up])}
	if p.mirrored {
		end := x(p.whole.Hi[cabinets.X])
		at.x1, at.x2 = end-at.x2, end-at.x1
	}
	return at
}

func (p *plan) shapes(inHand string) []draw.Shape {
	shapes := p.walls()
	order := p.byHeight()
	for _, c := range order {
		drawn := p.cabinet(c, inHand)
		p.lines = append(p.lines, extentOf(drawn[1]).inset(-0.4))
		shapes = append(shapes, drawn...)
	}
	shapes = append(shapes, p.clashes()...)
	return append(shapes, p.measured()...)
}

// measured draws the dimensions, and the names clear of them.
func (p *plan) measured() []draw.Shape {
	measures := p.measures()
	return append(measures, p.names(p.byHeight(), extentOfAll(measures).y2+2)...)
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
	order := slices.Clone(p.cabinets)
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

// names writes each cabinet's name where no line and no other name lies, led out, or as a letter that is
// explained from the height below on paper down.
func (p *plan) names(order []*cabinets.Placed, below float64) (shapes []draw.Shape) {
	var taken []box
	var key []run
	for _, c := range order {
		own := p.paper(c.Box).inset(frontLine + padding)
		obstacles := slices.Clone(taken)
		for _, l := range p.lines {
			if l.overlaps(own) {
				obstacles = append(obstacles, l)
			}
		}
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
		k, at, turned, ok := fit(blocks, own.clear(obstacles))
		if !ok {
			if led, takes := p.leadOut(c, order, taken); led != nil {
				shapes = append(shapes, led...)
				taken = append(taken, takes...)
				continue
			}
			k, at, turned, ok = fit(letterBlocks(letter), own.clear(obstacles))
		}
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
	setRows(&d, flow(key, all.width(), factGap), all.x1, below, titleGap, factGap)
	return append(shapes, d.Shapes...)
}

// leadOut sets a cabinet's name over it or under it where nothing is drawn, at the end of a line from its middle, or
// from beside that, which crosses no name; nil where there is no room. It returns what name and line take as well.
func (p *plan) leadOut(c *cabinets.Placed, order []*cabinets.Placed, taken []box) ([]draw.Shape, []box) {
	const dot = 0.5
	own, all := p.paper(c.Box), p.paper(p.whole)
	obstacles := slices.Concat(taken, p.lines)
	for _, o := range order {
		obstacles = append(obstacles, rim(p.paper(o.Box))...)
	}
	y := (own.y1 + own.y2) / 2
	for _, share := range []float64{0.5, 0.25, 0.75, 0.1, 0.9} {
		x := own.x1 + float64(own.width()*share)
		for _, reach := range []float64{2, 4, 7, 10} {
			for _, base := range []float64{own.y1 - reach, own.y2 + reach + dimensionSize} {
				t := draw.Text{X: x, Y: base, Size: dimensionSize, Anchor: draw.Middle, Text: c.Name}
				at := boxOf(t).inset(-padding)
				line := box{x - dot, at.y2, x + dot, y + dot}
				end := at.y2
				if base > own.y2 {
					end = at.y1
					line.y1, line.y2 = y-dot, end
				}
				if !all.holds(at) || overlapsAny(at, obstacles) || overlapsAny(line, taken) {
					continue
				}
				return []draw.Shape{
					draw.Line{X1: x, Y1: y, X2: x, Y2: end, Pen: draw.Pen{Width: draw.Narrow}}, draw.Circle{X: x, Y: y, Radius: dot, Fill: "black"}, t,
				}, []box{at, line}
			}
		}
	}
	return nil, nil
}

// rim returns thin boxes along the edges of b.
func rim(b box) []box {
	const half = 0.4
	return []box{
		{b.x1 - half, b.y1 - half, b.x2 + half, b.y1 + half}, {b.x1 - half, b.y2 - half, b.x2 + half, b.y2 + half},
		{b.x1 - half, b.y1 - half, b.x1 + half, b.y2 + half}, {b.x2 - half, b.y1 - half, b.x2 + half, b.y2 + half},
	}
}

// lowest is up to which height above the floor a cabinet stands on it, for what is dimensioned.
const lowest = 300 * measure.Millimetre

// measures dimensions the inside, and along it the cabinets that stand on the floor: from above those of the left side;
// from the side their heights as well.
func (p *plan) measures() []draw.Shape {
	inside, all := p.paper(cabinets.Box{Hi: p.in.Layout.Inside}), p.paper(p.whole)
	if p.in.Layout.Inside == [3]measure.Length{} {
		inside = all
	}
	// A sight of nothing but the inside.
	s := &sight{extent: box{0, 0, float64(inside.width() * p.scale), float64(inside.height() * p.scale)}}
	at := frame{inside.x1, inside.y1, p.scale}
	along, upright := []float64{0, s.extent.x2}, []float64{0, s.extent.y2}
	for _, c := range p.cabinets {
		b := p.paper(c.Box)
		if c.Box.Lo[cabinets.Z] < lowest && (p.up == cabinets.Z || c.Box.Lo[cabinets.Y] < p.whole.Size(cabinets.Y)/4) {
			along = append(along, float64((b.x1-inside.x1)*p.scale), float64((b.x2-inside.x1)*p.scale))
		}
		if p.up == cabinets.Z {
			upright = append(upright, float64((b.y1-inside.y1)*p.scale))
		}
	}
	return append(dimensions(tidyStops(along), s, at, false, p.style), dimensions(tidyStops(upright), s, at, true, p.style)...)
}

// tidyStops sorts places in mm, and drops those outside of the first two and doubles.
func tidyStops(stops []float64) (tidy []float64) {
	least, most := stops[0], stops[1]
	for i := range stops {
		stops[i] = math.Round(stops[i]*1e6) / 1e6
	}
	slices.Sort(stops)
	for _, v := range stops {
		if v < least-1e-6 || v > most+1e-6 || len(tidy) > 0 && v-tidy[len(tidy)-1] < 1e-6 {
			continue
		}
		tidy = append(tidy, v)
	}
	return tidy
}
