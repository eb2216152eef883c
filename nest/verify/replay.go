package verify

import "math/big"

const (
	rip      = "rip"      // along the sheet's length, x
	crosscut = "crosscut" // along y
)

// laid is a placed part or an offcut whose numbers were read.
type laid struct {
	rect
	index int // in the written list
}

// checkPattern checks one pattern and adds what it places and uses to the sums.
func (c *checker) checkPattern(p *pattern) {
	times, ok := c.whole("times", p.Times)
	if ok && times < 1 {
		c.faultf("times is %d", times)
		times = 0
	}
	c.sheets += times
	if len(p.Parts) == 0 {
		c.faultf("no part lies on it")
	}
	stock, trimmed := c.checkSheet(&p.Sheet)
	parts := c.checkParts(p, stock, times)
	if stock == nil {
		c.costUnknown = true
		return
	}
	c.used[*stock] += times
	c.cost.Add(c.cost, new(big.Int).Mul(big.NewInt(times), big.NewInt(stock.Price)))
	root := trimmed.within()
	if root.length <= 0 || root.width <= 0 {
		c.faultf("the trim leaves nothing of the sheet")
		return
	}
	if s, made, ok := c.cutUp(p, trimmed, root, parts); ok {
		c.checkStages(s, made)
	}
}

// checkSheet finds the sheet that a pattern uses among the stock: the one of its size
// that is most alike, from which it must differ in nothing but a larger trim at the right
// and the top where sheets are broken down. It returns nil where there is none; the count
// of the one returned is 0. The other one returned has the trim that is written.
func (c *checker) checkSheet(s *sheet) (ordered, trimmed *Stock) {
	before := len(c.problems)
	read := func(what string, n number) int64 {
		v, _ := c.length("sheet: "+what, n)
		return v
	}
	got := Stock{
		Length: read("length", s.Length), Width: read("width", s.Width), GrainAcross: s.Grain == "width",
		Left: read("left trim", s.Trim.Left), Right: read("right trim", s.Trim.Right),
		Bottom: read("bottom trim", s.Trim.Bottom), Top: read("top trim", s.Trim.Top),
		Offcut: s.Offcut,
	}
	got.Price, _ = c.money("sheet: price", s.Price)
	if s.Grain != "" && s.Grain != "length" && s.Grain != "width" {
		c.faultf("sheet: grain is %q, not \"length\" or \"width\"", s.Grain)
	}
	if len(c.problems) > before {
		return nil, nil
	}
	if _, ok := c.stock[got]; ok {
		return &got, &got
	}
	var alike *Stock
	least := 0
	for _, o := range c.order.Limits.Sheets {
		if o.Length != got.Length || o.Width != got.Width || o.Offcut != got.Offcut {
			continue
		}
		o.Count = 0
		differ := 0
		if trims(o) != trims(got) && !c.brokenDown(o, got) {
			differ += 4
		}
		if o.GrainAcross != got.GrainAcross {
			differ += 2
		}
		if o.Price != got.Price {
			differ++
		}
		if alike == nil || differ < least {
			alike, least = &o, differ
		}
	}
	if alike == nil {
		c.faultf("sheet %s is not in stock", sheetName(got))
		return nil, nil
	}
	if least&4 != 0 {
		c.faultf("the trim of sheet %s is %s, ordered %s (left, right, bottom, top)", sheetName(got), trimText(got), trimText(*alike))
	}
	if least&2 != 0 {
		c.faultf("the face grain of sheet %s lies along its %s, ordered %s", sheetName(got), grainText(got), grainText(*alike))
	}
	if least&1 != 0 {
		c.faultf("sheet %s costs %s, ordered %s", sheetName(got), cents(big.NewInt(got.Price)), cents(big.NewInt(alike.Price)))
	}
	if least >= 4 {
		return alike, alike
	}
	written := *alike
	written.Right, written.Top = got.Right, got.Top
	return alike, &written
}

// brokenDown reports whether a sheet's trim differs from what is ordered only as that of a
// sheet that is broken down may.
func (c *checker) brokenDown(ordered, got Stock) bool {
	return c.order.Limits.Track != nil && got.Left == ordered.Left && got.Bottom == ordered.Bottom &&
		got.Right >= ordered.Right && got.Top >= ordered.Top
}

// within returns what the trim leaves of a sheet.
func (s *Stock) within() rect {
	return rect{s.Left, s.Bottom, s.Length - s.Left - s.Right, s.Width - s.Bottom - s.Top}
}

func sheetName(s Stock) string {
	if s.Offcut != "" {
		return area(s.Length, s.Width) + " (offcut " + s.Offcut + ")"
	}
	return area(s.Length, s.Width)
}

func trims(s Stock) [4]int64 { return [4]int64{s.Left, s.Right, s.Bottom, s.Top} }

func trimText(s Stock) string {
	return mm(s.Left) + " " + mm(s.Right) + " " + mm(s.Bottom) + " " + mm(s.Top)
}

func grainText(s Stock) string {
	if s.GrainAcross {
		return "width"
	}
	return "length"
}

// checkParts holds size, turn and grain of the placed parts against the demand, and
// remade those that can be looked for on the sheet.
func (c *checker) checkParts(p *pattern, stock *Stock, times int64) []laid {
	out := make([]laid, 0, len(p.Parts))
	for i := range p.Parts {
		q := &p.Parts[i]
		r, ok := c.rect("part "+q.Part, q.X, q.Y, q.Length, q.Width)
		d, ordered := c.demand[q.Part]
		blank, isBlank := c.blanks[q.Part]
		switch {
		case isBlank && c.blank == "":
			d = blank
		case !ordered:
			c.faultf("part %s is not ordered", q.Part)
			continue
		case c.blank == "" && c.small(d.Length, d.Width):
			c.faultf("part %s is %s, below the smallest part of %s, yet no blank holds it", q.Part,
				area(d.Length, d.Width), area(c.order.Limits.SmallestLong, c.order.Limits.SmallestShort))
		}
		c.placed[q.Part] += times
		if !ok {
			continue
		}
		out = append(out, laid{r, i})
		length, width, how := d.Length, d.Width, ""
		if q.Turned {
			length, width, how = width, length, " turned"
		}
		if r.length != length || r.width != width {
			c.faultf("part %s at %s is %s, ordered %s%s", q.Part, point(r.x, r.y), area(r.length, r.width), area(length, width), how)
		}
		if stock != nil && d.Grain != "any" && q.Turned != (stock.GrainAcross == (d.Grain == "length")) {
			c.faultf("part %s at %s lies against the grain: its %s must follow the face grain, along the sheet's %s",
				q.Part, point(r.x, r.y), d.Grain, grainText(*stock))
		}
	}
	return out
}

func (c *checker) rect(what string, x, y, length, width number) (r rect, ok bool) {
	before := len(c.problems)
	r.x, _ = c.length(what+": x", x)
	r.y, _ = c.length(what+": y", y)
	r.length, _ = c.length(what+": length", length)
	r.width, _ = c.length(what+": width", width)
	return r, len(c.problems) == before
}

// line is a cut whose numbers were read. The place is y of a rip and x of a crosscut.
type line struct {
	along        bool
	at, from, to int64
	step, stage  int64
}

func (c *checker) line(i int, p *cut) (l line, ok bool) {
	before := len(c.problems)
	read := func(what string, n number) int64 {
		v, fault := decimal(string(n), 6, longest)
		if fault != "" {
			c.faultf("cut %d: %s %s", i+1, what, fault)
		}
		return v
	}
	x1, y1, x2, y2 := read("x1", p.X1), read("y1", p.Y1), read("x2", p.X2), read("y2", p.Y2)
	var fault string
	if l.step, fault = decimal(string(p.Step), 0, most); fault != "" {
		c.faultf("cut %d: step %s", i+1, fault)
	}
	if l.stage, fault = decimal(string(p.Stage), 0, most); fault != "" {
		c.faultf("cut %d: stage %s", i+1, fault)
	}
	if len(c.problems) > before {
		return l, false
	}
	if (x1 == x2) == (y1 == y2) {
		c.faultf("step %d: the cut from %s to %s runs neither along nor across the sheet", l.step, point(x1, y1), point(x2, y2))
		return l, false
	}
	if y1 == y2 {
		l.along, l.at, l.from, l.to = true, y1, min(x1, x2), max(x1, x2)
	} else {
		l.at, l.from, l.to = x1, min(y1, y2), max(y1, y2)
	}
	return l, true
}

func (l line) String() string {
	if l.along {
		return "the rip from " + point(l.from, l.at) + " to " + point(l.to, l.at)
	}
	return "the crosscut from " + point(l.at, l.from) + " to " + point(l.at, l.to)
}

// replay makes the cuts of a pattern, one after the other. It remade the pieces, and
// by how much the stages exceed what a limit counts (see checkFirst).
func (c *checker) replay(p *pattern, stock *Stock, root rect) (s *sawn, made []line, ok bool) {
	s = newSawn(root)
	made = make([]line, 0, len(p.Cuts)+1)
	made = append(made, line{})
	raw := rect{0, 0, stock.Length, stock.Width}
	for i := range p.Cuts {
		l, ok := c.line(i, &p.Cuts[i])
		if !ok {
			return nil, nil, false
		}
		if l.stage == 0 {
			if len(made) > 1 {
				c.faultf("step %d: %s has stage 0, but the trim is gone before step 1", l.step, l)
				return nil, nil, false
			}
			if !c.trim(&raw, l, stock) {
				return nil, nil, false
			}
			continue
		}
		step := len(made)
		if l.step != int64(step) {
			c.faultf("step %d is listed where step %d is due", l.step, step)
			return nil, nil, false
		}
		n := s.find(l.along, l.at, l.from, l.to)
		if n < 0 {
			c.astray(s, l, root)
			return nil, nil, false
		}
		stage := s.pieces[n].stage
		if stage == 0 || s.pieces[n].along != l.along {
			stage++
		}
		if l.stage != stage {
			c.faultf("step %d: the stage of %s is %d, stated %d", step, l, stage, l.stage)
		}
		l.stage = stage
		kerf := c.order.Limits.Kerf
		if c.breaksDown(&p.Cuts[i], l, s.pieces[n].rect, stock) {
			kerf = c.order.Limits.Track.Gap
		}
		s.divide(n, l.along, l.at, kerf, stage, step)
		made = append(made, l)
	}
	return s, made, true
}

// trim makes a listed trim cut, whose kerf is the inner or, at the far edges, the outer
// end of what the trim takes off. A blade wider than the trim runs out over the edge.
func (c *checker) trim(raw *rect, l line, s *Stock) bool {
	if l.step > 0 {
		c.faultf("step %d: %s has stage 0, but the trim is gone before step 1", l.step, l)
		return false
	}
	kerf := c.order.Limits.Kerf
	edges := l.from == raw.y && l.to == raw.y+raw.width
	near, far := &raw.x, &raw.length
	first, second, size := s.Left, s.Right, s.Length
	if l.along {
		edges = l.from == raw.x && l.to == raw.x+raw.length
		near, far = &raw.y, &raw.width
		first, second, size = s.Bottom, s.Top, s.Width
	}
	switch {
	case edges && first > 0 && *near == 0 && l.at == max(0, first-kerf):
		*near, *far = first, *far-first
	case edges && second > 0 && *near+*far == size && l.at == size-second:
		*far -= second
	default:
		c.faultf("trim: %s takes off none of the ordered trims", l)
		return false
	}
	return true
}

// astray says why a cut divides no piece.
func (c *checker) astray(s *sawn, l line, root rect) {
	x, y := l.from, l.at
	length, width := l.to-l.from, int64(0)
	if !l.along {
		x, y, length, width = l.at, l.from, 0, l.to-l.from
	}
	if x < root.x || y < root.y || x+length > root.x+root.length || y+width > root.y+root.width {
		c.faultf("step %d: %s leaves the trimmed sheet, %s at %s", l.step, l, area(root.length, root.width), point(root.x, root.y))
		return
	}
	// The piece under the middle of the line.
	x, y = x+length/2, y+width/2
	for i := range s.pieces {
		q := &s.pieces[i]
		if q.step == 0 && q.x <= x && x < q.x+q.length && q.y <= y && y < q.y+q.width {
			c.faultf("step %d: %s does not run from edge to edge of a piece: %s at %s lies there",
				l.step, l, area(q.length, q.width), point(q.x, q.y))
			return
		}
	}
	c.faultf("step %d: %s divides no piece: only a kerf or an edge lies there", l.step, l)
}

// leaf finds the undivided piece that is exactly r, or says what lies there instead.
func leaf(at map[[2]int64]int32, s *sawn, r rect) (int32, string) {
	n, ok := at[[2]int64{r.x, r.y}]
	switch {
	case !ok:
		return -1, "no piece that is left begins there"
	case s.pieces[n].rect != r:
		return -1, "the piece that is left there is " + area(s.pieces[n].length, s.pieces[n].width)
	}
	return n, ""
}

// leaves maps the corners of undivided pieces to them.
func (s *sawn) leaves() map[[2]int64]int32 {
	at := make(map[[2]int64]int32, len(s.pieces)/2+1)
	for i := range s.pieces {
		if p := &s.pieces[i]; p.step == 0 {
			at[[2]int64{p.x, p.y}] = int32(i)
		}
	}
	return at
}

// place lays the parts on the pieces that are left after all cuts.
func (c *checker) place(s *sawn, at map[[2]int64]int32, p *pattern, parts []laid) {
	for _, q := range parts {
		name := p.Parts[q.index].Part
		n, fault := leaf(at, s, q.rect)
		if fault != "" {
			c.faultf("part %s, %s at %s, is not cut out: %s", name, area(q.length, q.width), point(q.x, q.y), fault)
			continue
		}
		if other := s.pieces[n].part; other >= 0 {
			c.faultf("part %s at %s lies on the same piece as part %s", name, point(q.x, q.y), p.Parts[other].Part)
			continue
		}
		s.pieces[n].part, s.pieces[n].parts = int32(q.index), 1
	}
}

// checkOffcuts holds the listed offcuts against the pieces that are no part.
func (c *checker) checkOffcuts(s *sawn, at map[[2]int64]int32, p *pattern) {
	listed := map[int32]bool{}
	for i := range p.Offcuts {
		o := &p.Offcuts[i]
		r, ok := c.rect("offcut", o.X, o.Y, o.Length, o.Width)
		if !ok {
			continue
		}
		n, fault := leaf(at, s, r)
		if fault == "" && s.pieces[n].part >= 0 {
			fault = "part " + p.Parts[s.pieces[n].part].Part + " lies there"
		}
		if fault == "" && listed[n] {
			fault = "it is listed twice"
		}
		if fault != "" {
			c.faultf("offcut %s at %s is none: %s", area(r.length, r.width), point(r.x, r.y), fault)
			continue
		}
		listed[n] = true
	}
}

// checkStages holds the cuts against the first direction and the limit on stages.
//
// Where a part is as long as the trimmed sheet across the first direction, no cut in that
// direction can come before it: the first stage is then empty, but counts.
func (c *checker) checkStages(s *sawn, made []line) {
	spans := false
	root := &s.pieces[0]
	first := c.order.Limits.First
	for i := range s.pieces {
		p := &s.pieces[i]
		if p.part >= 0 && (first == rip && p.width == root.width || first == crosscut && p.length == root.length) {
			spans = true
		}
	}
	limit := int64(c.order.Limits.Stages)
	if limit == 0 {
		limit = int64(len(made))
	}
	if first != "" && len(made) > 1 && made[1].along != (first == rip) {
		switch {
		case !spans:
			c.faultf("step 1: %s comes first, where a %s must", made[1], first)
		case c.order.Limits.Stages > 0:
			limit--
		}
	}
	for i := range s.pieces {
		p := &s.pieces[i]
		if p.step == 0 || made[p.step].stage <= limit {
			continue
		}
		if made[p.step].stage == limit+1 && s.bringsToSize(p) {
			continue
		}
		c.faultf("step %d: %s is of stage %d, at most %d", p.step, made[p.step], made[p.step].stage, limit)
	}
}

// bringsToSize reports whether the cut of p frees one part and the other side carries
// none.
func (s *sawn) bringsToSize(p *piece) bool {
	if p.parts != 1 {
		return false
	}
	for _, n := range p.children {
		if n > 0 && s.pieces[n].part >= 0 {
			return true
		}
	}
	return false
}
