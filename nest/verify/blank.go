package verify

// readBlanks reads the blanks that a plan names into demands for the sheets' patterns.
func (c *checker) readBlanks(m *material) {
	c.blanks = map[string]Demand{}
	for i := range m.Blanks {
		b := &m.Blanks[i]
		c.blank = b.Blank
		length, ok1 := c.length("length", b.Sheet.Length)
		width, ok2 := c.length("width", b.Sheet.Width)
		times, ok3 := c.whole("times", b.Times)
		_, ordered := c.demand[b.Blank]
		_, twice := c.blanks[b.Blank]
		switch {
		case b.Blank == "":
			c.faultf("a blank has no name")
		case ordered:
			c.faultf("it has the name of a part that is ordered")
		case twice:
			c.faultf("it is listed twice")
		case ok1 && ok2 && ok3:
			if times < 1 {
				c.faultf("times is %d", times)
			}
			grain := b.Sheet.Grain
			if c.turns(b) {
				grain = "any"
			}
			c.blanks[b.Blank] = Demand{Part: b.Blank, Length: length, Width: width, Count: int(times), Grain: grain}
		}
	}
	c.blank = ""
}

// turns reports whether every part that a blank holds may be turned, and so the blank.
func (c *checker) turns(b *pattern) bool {
	for i := range b.Parts {
		if d, ok := c.demand[b.Parts[i].Part]; ok && d.Grain != "any" {
			return false
		}
	}
	return true
}

// checkBlank replays the second cuts of a blank as if it were a sheet, and adds the parts
// that it yields to the sums.
func (c *checker) checkBlank(p *pattern) {
	b, ok := c.blanks[p.Blank]
	if !ok {
		return
	}
	if len(p.Parts) == 0 {
		c.faultf("no part comes of it")
	}
	c.checkLayers(p, b)
	s := Stock{Length: b.Length, Width: b.Width, GrainAcross: p.Sheet.Grain == "width"}
	before := len(c.problems)
	s.Left, _ = c.length("left trim", p.Sheet.Trim.Left)
	s.Right, _ = c.length("right trim", p.Sheet.Trim.Right)
	s.Bottom, _ = c.length("bottom trim", p.Sheet.Trim.Bottom)
	s.Top, _ = c.length("top trim", p.Sheet.Trim.Top)
	root := s.within()
	if len(c.problems) > before {
		return
	}
	if min(s.Left, s.Right, s.Bottom, s.Top) < 0 || root.length <= 0 || root.width <= 0 {
		c.faultf("the trim leaves nothing of the blank")
		return
	}
	if cut, _, ok := c.cutUp(p, &s, root, c.checkParts(p, &s, int64(b.Count))); ok {
		c.checkHold(cut)
	}
}

// checkHold sees to it that a cut that makes something too small for the saw leaves enough
// to hold by on one side: the smallest part's length, and its width where the piece that
// is cut had that.
func (c *checker) checkHold(s *sawn) {
	long, short := c.order.Limits.SmallestLong, c.order.Limits.SmallestShort
	for i := range s.pieces {
		p := &s.pieces[i]
		if p.step == 0 {
			continue
		}
		small, held := false, false
		for _, n := range p.children {
			if n == 0 {
				continue
			}
			q := &s.pieces[n]
			small = small || q.parts > 0 && c.small(q.length, q.width)
			held = held || max(q.length, q.width) >= long && min(q.length, q.width) >= min(short, p.length, p.width)
		}
		if small && !held {
			c.faultf("step %d divides %s, and neither side is large enough to hold a part by that is below the smallest of %s",
				p.step, area(p.length, p.width), area(long, short))
		}
	}
}

// small reports whether a part is below the smallest, whichever way round.
func (c *checker) small(length, width int64) bool {
	return max(length, width) < c.order.Limits.SmallestLong || min(length, width) < c.order.Limits.SmallestShort
}

// cutUp replays a pattern's cuts and lays its parts and offcuts on what they free.
func (c *checker) cutUp(p *pattern, stock *Stock, root rect, parts []laid) (s *sawn, made []line, ok bool) {
	if s, made, ok = c.replay(p, stock, root); !ok {
		return s, made, false
	}
	at := s.leaves()
	c.place(s, at, p, parts)
	c.checkOffcuts(s, at, p)
	s.count()
	return s, made, true
}

// count adds up how many parts lie in each piece. Children come after their parents.
func (s *sawn) count() {
	for i := len(s.pieces) - 1; i >= 0; i-- {
		for _, n := range s.pieces[i].children {
			if n > 0 {
				s.pieces[i].parts += s.pieces[n].parts
			}
		}
	}
}
