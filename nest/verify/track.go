package verify

// breaksDown holds a cut of a piece against the limits of the saw that makes it, and reports
// whether it is a break-down cut, made with the track saw.
func (c *checker) breaksDown(p *cut, l line, of rect, stock *Stock) bool {
	limits := &c.order.Limits
	t := limits.Track
	start, end, longest, side := of.x, of.x+of.length, limits.LongestCrosscut, stock.Width
	if l.along {
		start, end, longest, side = of.y, of.y+of.width, limits.LongestRip, stock.Length
	}
	if p.Tool == "" {
		if longest > 0 && l.to-l.from > longest {
			c.faultf("step %d: %s is %s long, at most %s", l.step, l, mm(l.to-l.from), mm(longest))
		}
		heavy := t != nil && float64(of.length)*float64(of.width) > t.Lift
		if heavy && c.blank == "" && l.stage == 1 && l.at-start > limits.Kerf && end-l.at > limits.Kerf {
			c.faultf("step %d: %s divides %s, which is too heavy for the table saw", l.step, l, area(of.length, of.width))
		}
		return false
	}
	switch {
	case p.Tool != TrackSaw:
		c.faultf("step %d: the tool is %q, not %q", l.step, p.Tool, TrackSaw)
		return false
	case t == nil || c.blank != "":
		c.faultf("step %d: %s is made with the track saw, which is not ordered", l.step, l)
		return false
	case l.stage != 1:
		c.faultf("step %d: %s is of stage %d, yet the track saw makes none but the first", l.step, l, l.stage)
	case side > t.Rail:
		c.faultf("step %d: %s is %s long with the trim, the rail %s", l.step, l, mm(side), mm(t.Rail))
	case end-l.at <= t.Gap:
		c.faultf("step %d: %s leaves nothing beyond its allowance", l.step, l)
	}
	return true
}
