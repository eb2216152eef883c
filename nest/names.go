package nest

import (
	"cmp"
	"maps"
	"slices"
	"sort"
)

// plans writes the sheets as plans: those that are cut alike are one pattern, and equal
// parts are given out so that patterns repeat.
func (t *tidier) plans() []Planned {
	out := slices.Clone(t.work)
	pools := make([]pool, len(out))
	for of := range out {
		plan := *out[of].Plan
		plan.Patterns, plan.Cost, plan.Kept, plan.Sheets = nil, 0, 0, 0
		out[of].Plan, pools[of] = &plan, t.pool(of)
	}
	for _, s := range t.alike() {
		for left := s.times; left > 0; {
			root, times := pools[s.of].deal(t, s, left)
			left -= times
			plan := out[s.of].Plan
			plan.Patterns = append(plan.Patterns, Pattern{Sheet: s.sheet, Times: times, Root: root})
			plan.Cost += int64(times) * out[s.of].Problem.Sheets[s.sheet].Price
			plan.Kept += int64(times) * s.laid.value
			plan.Sheets += times
		}
	}
	for _, w := range out {
		sheets := w.Problem.Sheets
		if w.Plan.Status == Finished && w.Plan.Cost <= w.Plan.Bound.Cost && w.Plan.Sheets <= w.Plan.Bound.Sheets {
			w.Plan.Status = Proven
		}
		slices.SortStableFunc(w.Plan.Patterns, func(a, b Pattern) int {
			return cmp.Or(cmp.Compare(sheets[b.Sheet].Price, sheets[a.Sheet].Price), cmp.Compare(a.Sheet, b.Sheet), cmp.Compare(b.Times, a.Times))
		})
	}
	return out
}

// alike joins the sheets that are cut alike, most used first.
func (t *tidier) alike() []*tidySheet {
	index := map[patternID]*tidySheet{}
	var all []*tidySheet
	for _, s := range t.sheets {
		if known := index[s.id()]; known != nil && t.same(s.of, &known.laid.root, &s.laid.root) {
			known.times += s.times
			continue
		}
		c := *s
		index[s.id()] = &c
		all = append(all, &c)
	}
	slices.SortStableFunc(all, func(a, b *tidySheet) int { return cmp.Compare(b.times, a.times) })
	return all
}

// same reports whether two patterns are cut alike into parts of equal kinds.
func (t *tidier) same(of int, a, b *Piece) bool {
	if a.Length != b.Length || a.Width != b.Width || a.Cut != b.Cut || a.Turned != b.Turned || (a.Part < 0) != (b.Part < 0) || len(a.Children) != len(b.Children) {
		return false
	}
	if a.Part >= 0 && t.kind(of, a.Part) != t.kind(of, b.Part) {
		return false
	}
	for i := range a.Children {
		if !t.same(of, &a.Children[i], &b.Children[i]) {
			return false
		}
	}
	return true
}

// pool holds the parts that are still to be given out: how many of each, by kind.
type pool map[int32]map[int]int

// pool takes all parts of a plan.
func (t *tidier) pool(of int) pool {
	left := pool{}
	for i := range t.work[of].Plan.Patterns {
		n := &t.work[of].Plan.Patterns[i]
		n.Root.eachPart(func(p *Piece) {
			kind := t.kind(of, p.Part)
			if left[kind] == nil {
				left[kind] = map[int]int{}
			}
			left[kind][p.Part] += n.Times
		})
	}
	return left
}

func (p *Piece) eachPart(f func(*Piece)) {
	if p.Part >= 0 {
		f(p)
	}
	for i := range p.Children {
		p.Children[i].eachPart(f)
	}
}

// deal names the parts of as many of the sheets of s as can have the same names, at most
// so many.
func (left pool) deal(t *tidier, s *tidySheet, most int) (root Piece, times int) {
	root = s.laid.root.clone()
	slots := map[int32]int{}
	root.eachPart(func(p *Piece) { slots[t.kind(s.of, p.Part)]++ })
	// The more sheets, the fewer names can fill them: the first number that is too many.
	times = sort.Search(most, func(n int) bool {
		for kind, want := range slots {
			have := 0
			for _, count := range left[kind] {
				have += count / (n + 1)
			}
			if have < want {
				return true
			}
		}
		return false
	})
	times = max(times, 1)
	names := map[int32][]int{}
	for kind := range slots {
		names[kind] = slices.Sorted(maps.Keys(left[kind]))
	}
	root.eachPart(func(p *Piece) {
		kind := t.kind(s.of, p.Part)
		for _, part := range names[kind] {
			if left[kind][part] >= times {
				p.Part = part
				left[kind][part] -= times
				return
			}
		}
	})
	return root, times
}

func (p *Piece) clone() Piece {
	c := *p
	c.Children = slices.Clone(p.Children)
	for i := range c.Children {
		c.Children[i] = c.Children[i].clone()
	}
	return c
}
