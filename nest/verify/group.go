package verify

import (
	"cmp"
	"slices"
	"strings"
)

// Group is a matched group: parts that come from one strip, so that the figure of the veneer
// runs through them.
type Group struct {
	Parts []string // as they follow one another from the strip's corner
	Along bool     // they do so along the face grain
	Count int      // strips
}

// group is how a plan states one.
type group struct {
	Strip string   `json:"strip"` // the blank that is cut apart
	Count number   `json:"count"`
	Parts []string `json:"parts"`
}

// key tells groups apart by their parts.
func key(parts []string) string { return strings.Join(parts, " ") }

// checkGroups holds the strips of a plan against the matched groups that are ordered: each is
// there as often as asked, and its parts are nowhere else.
func (c *checker) checkGroups(m *material) {
	ordered := map[string]Group{}
	member := map[string]bool{}
	for _, g := range c.order.Groups {
		ordered[key(g.Parts)] = g
		for _, part := range g.Parts {
			member[part] = true
		}
	}
	stated := map[string]int64{}
	strips := map[string]bool{}
	for i := range m.Groups {
		g := &m.Groups[i]
		o, ok := ordered[key(g.Parts)]
		if !ok {
			c.faultf("group %s of %s is not ordered", g.Strip, key(g.Parts))
			continue
		}
		strips[g.Strip] = true
		if n, ok := c.whole("group "+g.Strip+": count", g.Count); ok {
			stated[key(g.Parts)] += n
			c.checkStrip(m, g, o, n)
		}
	}
	for _, g := range c.order.Groups {
		if n := stated[key(g.Parts)]; n != int64(g.Count) {
			c.faultf("the matched group of %s is there %d times, ordered %d", key(g.Parts), n, g.Count)
		}
	}
	for _, patterns := range [][]pattern{m.Patterns, m.Blanks} {
		for i := range patterns {
			for k := range patterns[i].Parts {
				if p := &patterns[i].Parts[k]; member[p.Part] && !strips[patterns[i].Blank] {
					c.faultf("part %s of a matched group lies outside its strip", p.Part)
				}
			}
		}
	}
}

// checkStrip sees to it that a group's blank yields its parts and no others, in one row and
// in order, a kerf apart, none turned against the others.
func (c *checker) checkStrip(m *material, g *group, o Group, count int64) {
	at := slices.IndexFunc(m.Blanks, func(b pattern) bool { return b.Blank == g.Strip })
	if at < 0 {
		c.faultf("group %s has no strip", g.Strip)
		return
	}
	b := &m.Blanks[at]
	if n, ok := c.whole("times", b.Times); ok && n != count {
		c.faultf("group %s: %d are stated, %d strips are cut apart", g.Strip, count, n)
	}
	type member struct {
		*placed
		rect
	}
	var row []member
	for i := range b.Parts {
		p := &b.Parts[i]
		r, ok := c.rect("part "+p.Part, p.X, p.Y, p.Length, p.Width)
		if !ok {
			return
		}
		if o.Along == (b.Sheet.Grain == "width") { // seen as if the parts followed one another along x
			r = rect{r.y, r.x, r.width, r.length}
		}
		row = append(row, member{p, r})
	}
	slices.SortStableFunc(row, func(p, q member) int { return cmp.Compare(p.x, q.x) })
	names := make([]string, len(row))
	for i, p := range row {
		names[i] = p.Part
		if i == 0 {
			continue
		}
		before := row[i-1]
		if gap := p.x - before.x - before.rect.length; gap != c.order.Limits.Kerf || p.y != before.y || p.rect.width != before.rect.width {
			c.faultf("group %s: part %s does not follow part %s a kerf apart in one strip", g.Strip, p.Part, before.Part)
		}
		if p.Turned != before.Turned {
			c.faultf("group %s: parts %s and %s are turned against one another", g.Strip, before.Part, p.Part)
		}
	}
	if key(names) != key(o.Parts) {
		c.faultf("group %s: its strip yields %s, ordered %s", g.Strip, key(names), key(o.Parts))
	}
}
