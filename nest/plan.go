package nest

import (
	"cmp"
	"fmt"
	"math/big"
	"slices"
	"strings"
)

// plan writes the best state as a Plan.
func (r *run) plan() *Plan {
	m := r.m
	plan := &Plan{Steps: min(r.units, r.of) / unitsPerStep, Misfits: m.misfits, Bound: r.bound}
	deal := newDeal(m)
	for _, c := range m.merge(r.best.cuttings) {
		for c.times > 0 {
			pattern, times := deal.pattern(c)
			c.times -= times
			plan.Patterns = append(plan.Patterns, pattern)
			plan.Cost += int64(times) * c.tree.stock.price
			plan.Sheets += times
			plan.Kept += int64(times) * m.keptValue(&pattern.Root)
		}
	}
	rest := deal.rest()
	switch {
	case len(rest) > 0:
		plan.Status = Short
		plan.Unplaced = rest
		plan.Bound = m.areaBound(m.placed(r.best))
	case r.proven():
		plan.Status = Proven
	case r.cancelled:
		plan.Status = Cancelled
	default:
		plan.Status = Finished
	}
	return plan
}

// placed returns the copies of each kind that are not missing.
func (m *model) placed(s *solution) []int {
	d := m.demand()
	for _, k := range s.missing {
		d[k]--
	}
	return d
}

// merge joins sheets with equal parts, and sorts: dearest first, then by sheet, then by
// times.
func (m *model) merge(cuttings []cutting) []cutting {
	index := map[string]int{}
	var all []cutting
	var keys []string
	for _, c := range cuttings {
		key := m.signature(c.tree)
		if i, known := index[key]; known {
			all[i].times += c.times
			continue
		}
		index[key] = len(all)
		all = append(all, c)
		keys = append(keys, key)
	}
	byKey := map[*tree]string{}
	for i, c := range all {
		byKey[c.tree] = keys[i]
	}
	slices.SortStableFunc(all, func(a, b cutting) int {
		sa, sb := a.tree.stock, b.tree.stock
		return cmp.Or(cmp.Compare(sb.price, sa.price), cmp.Compare(sa.sheet, sb.sheet),
			cmp.Compare(b.times, a.times), cmp.Compare(byKey[a.tree], byKey[b.tree]))
	})
	return all
}

// signature is equal for sheets of one stock with the same parts.
func (m *model) signature(t *tree) string {
	parts := t.parts(nil)
	slices.Sort(parts)
	return fmt.Sprint(t.stock.sheet, strings.Trim(fmt.Sprint(parts), "[]"))
}

// deal gives the parts of each kind out to the patterns.
type deal struct {
	m    *model
	left []int // by part of the problem
}

func newDeal(m *model) *deal {
	d := &deal{m: m, left: make([]int, len(m.problem.Parts))}
	for i, part := range m.problem.Parts {
		d.left[i] = part.Count
	}
	for _, misfit := range m.misfits {
		d.left[misfit.Part] = 0
	}
	return d
}

// rest returns the copies that were not dealt.
func (d *deal) rest() map[int]int {
	rest := map[int]int{}
	for part, n := range d.left {
		if n > 0 {
			rest[part] = n
		}
	}
	return rest
}

// pattern names the parts of c, and returns for how many of its sheets these names
// hold.
func (d *deal) pattern(c cutting) (Pattern, int) {
	use := map[int]int{}
	times := c.times
	kinds := c.tree.parts(nil)
	slices.Sort(kinds)
	names := map[int32][]member{}
	for _, k := range kinds {
		b := d.draw(k, times, use)
		use[b.part]++
		names[k] = append(names[k], b)
	}
	for part, n := range use {
		times = min(times, d.left[part]/n)
	}
	for part, n := range use {
		d.left[part] -= n * times
	}
	w := writer{m: d.m, tree: c.tree, names: names}
	s := &d.m.problem.Sheets[c.tree.stock.sheet]
	root := w.piece(0, s.Left, s.Bottom)
	return Pattern{Sheet: c.tree.stock.sheet, Times: times, Root: root}, times
}

// draw returns the member of kind k with enough left for all times, or else the first
// with any left.
func (d *deal) draw(k int32, times int, use map[int]int) member {
	members := d.m.kinds[k].members
	first := -1
	for i, b := range members {
		left := d.left[b.part] - use[b.part]*times
		if left >= times {
			return b
		}
		if first < 0 && d.left[b.part] > use[b.part] {
			first = i
		}
	}
	return members[max(first, 0)]
}

// writer turns a tree into pieces.
type writer struct {
	m     *model
	tree  *tree
	names map[int32][]member
}

// piece writes node i with its corner at x, y.
func (w *writer) piece(i int32, x, y int64) Piece {
	n := &w.tree.nodes[i]
	p := Piece{X: x, Y: y, Length: n.l*w.m.unit - w.m.kerf, Width: n.w*w.m.unit - w.m.kerf, Part: -1, Cut: n.cut}
	if n.kind >= 0 {
		b := w.names[n.kind][0]
		w.names[n.kind] = w.names[n.kind][1:]
		p.Part, p.Turned = b.part, n.turned != b.swapped
		return p
	}
	for _, c := range w.children(i) {
		child := &w.tree.nodes[c]
		if min(child.l, child.w)*w.m.unit > w.m.kerf {
			p.Children = append(p.Children, w.piece(c, x, y))
		}
		if n.cut == Rip {
			y += child.w * w.m.unit
		} else {
			x += child.l * w.m.unit
		}
	}
	return p
}

// children returns those of node i, thickest first. A piece that may be thinner than it is
// comes after those whose size parts need, and the free remainder last: so the blade sets
// the sizes that count, and what is over falls to what is left.
func (w *writer) children(i int32) []int32 {
	nodes := w.tree.nodes
	var all []int32
	for c := nodes[i].first; c != none; c = nodes[c].next {
		all = append(all, c)
	}
	late := func(c int32) int {
		switch {
		case nodes[c].kind < 0 && nodes[c].cut == NoCut:
			return 2
		case w.tree.slack(c, nodes[i].cut.other()) > 0:
			return 1
		}
		return 0
	}
	slices.SortFunc(all, func(a, b int32) int {
		na, nb := &nodes[a], &nodes[b]
		return cmp.Or(late(a)-late(b), cmp.Compare(nb.l, na.l), cmp.Compare(nb.w, na.w),
			cmp.Compare(na.kind, nb.kind), cmp.Compare(na.cut, nb.cut), cmp.Compare(a, b))
	})
	return all
}

// slack returns by how much node i could be shorter along cuts in direction d, if its
// parts were moved up; endless for a free leaf.
func (t *tree) slack(i int32, d Direction) int64 {
	const endless = int64(1) << 62
	n := &t.nodes[i]
	switch {
	case n.kind >= 0:
		return 0
	case n.cut == NoCut:
		return endless
	}
	least, free := endless, int64(0)
	for c := n.first; c != none; c = t.nodes[c].next {
		child := &t.nodes[c]
		if child.kind < 0 && child.cut == NoCut {
			free += along(child.l, child.w, d)
		}
		least = min(least, t.slack(c, d))
	}
	if n.cut == d { // its children are as long as it is
		return least
	}
	return free
}

// keptValue is what the shop counts for the offcuts worth keeping in p.
func (m *model) keptValue(p *Piece) int64 {
	keep := &m.problem.Keep
	if keep.Long == 0 || keep.ValueArea == 0 {
		return 0
	}
	if p.Cut == NoCut {
		if p.Part >= 0 || !keep.Worth(p.Length, p.Width) {
			return 0
		}
		v := product(p.Length, p.Width, keep.ValueNum)
		return v.Quo(v, big.NewInt(keep.ValueArea)).Int64()
	}
	sum := int64(0)
	for i := range p.Children {
		sum += m.keptValue(&p.Children[i])
	}
	return sum
}

// Worth reports whether an offcut of the given extents is worth keeping.
func (k *Keep) Worth(length, width int64) bool {
	return k.Long > 0 && max(length, width) >= max(k.Long, k.Short) && min(length, width) >= min(k.Long, k.Short)
}
