package nest

import (
	"sawbook/nest/bound"
	"sawbook/nest/pattern"
)

// A step is some microseconds of work, in these units: a part tried on eight sheets is
// one, as are so many steps of the proof of a bound.
const (
	unitsPerStep   = 20
	boundStepsEach = 64
)

// atAGlance is how many steps show that many a plan cannot be bettered. They are few beside
// what they may save, and are not booked.
const atAGlance = 1500

// glance proves what is proven at little cost, where there are steps enough for more.
func (r *run) glance() {
	if before := r.units; r.of > 8*atAGlance*unitsPerStep && !r.done() {
		r.prove(atAGlance*unitsPerStep, false)
		r.units = before
	}
}

// prove raises the bound, for at most so many units, and returns the patterns that it met
// on the way.
func (r *run) prove(units int64, columns bool) []*tree {
	m := r.m
	p := bound.Problem{Stages: int(m.stages), First: pattern.Direction(m.problem.First)}
	for i := range m.kinds {
		k := &m.kinds[i]
		p.Parts = append(p.Parts, bound.Part{L: k.l, W: k.w, Count: k.count, Turns: k.turns})
	}
	for _, s := range m.stocks {
		p.Sheets = append(p.Sheets, bound.Sheet{L: s.l, W: s.w, Across: s.across, Price: s.price, Stock: s.count})
	}
	o := bound.Options{Steps: units * boundStepsEach, Columns: columns, Known: r.known}
	if len(r.best.missing) == 0 {
		o.Sheets, o.Cost = r.best.price.sheets, r.best.price.cost
	}
	found := bound.Least(r.ctx, p, o)
	r.book(found.Steps / boundStepsEach)
	if found.Short {
		return nil
	}
	method, before := found.CostBy, r.bound
	r.patterns = max(r.patterns, len(found.Columns))
	r.bound.Sheets = max(r.bound.Sheets, found.Sheets)
	if found.Cost >= r.bound.Cost {
		r.bound.Cost, r.bound.Method = found.Cost, method
	}
	if r.bound != before {
		r.tell("bound")
	}
	var trees []*tree
	if r.over() {
		return nil // nobody needs them
	}
	for i := range found.Columns {
		c := &found.Columns[i]
		t := m.newTree(&m.stocks[c.Sheet])
		t.graft(m, 0, &c.Tree)
		t.reopen(m)
		if t.allowed(m) {
			trees = append(trees, t)
		}
	}
	return trees
}

// allowed reports whether t keeps to the limits on stages, first and longest cuts.
func (t *tree) allowed(m *model) bool {
	if !t.beginsRight(m) {
		return false
	}
	for i := range t.nodes {
		n := &t.nodes[i]
		if n.kind == unused || n.cut == NoCut {
			continue
		}
		if along(n.l, n.w, n.cut) > m.longest[n.cut] {
			return false
		}
		if m.stages > 0 && n.level > m.stages && !t.trims(n, m) {
			return false
		}
	}
	return true
}

// trims reports whether the cuts of n bring a single part to size after the last stage.
func (t *tree) trims(n *node, m *model) bool {
	parts := 0
	for c := n.first; c != none; c = t.nodes[c].next {
		if t.nodes[c].cut != NoCut {
			return false
		}
		if t.nodes[c].kind >= 0 {
			parts++
		}
	}
	return n.level == m.stages+1 && parts == 1
}
