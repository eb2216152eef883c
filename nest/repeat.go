package nest

import (
	"cmp"
	"slices"
	"sort"
)

// plan writes the sheets as a plan: those that are cut alike are one pattern, and equal
// parts are given out so that patterns repeat.
func (t *tidier) plan() *Plan {
	plan := *t.given
	plan.Patterns, plan.Kept = nil, 0
	pool := t.pool()
	for _, s := range t.alike() {
		for left := s.times; left > 0; {
			root, times := pool.deal(t, s, left)
			left -= times
			plan.Patterns = append(plan.Patterns, Pattern{Sheet: s.sheet, Times: times, Root: root})
			plan.Kept += int64(times) * s.laid.kept
		}
	}
	slices.SortStableFunc(plan.Patterns, func(a, b Pattern) int {
		sheets := t.problem.Sheets
		return cmp.Or(cmp.Compare(sheets[b.Sheet].Price, sheets[a.Sheet].Price), cmp.Compare(a.Sheet, b.Sheet), cmp.Compare(b.Times, a.Times))
	})
	return &plan
}

// alike joins the sheets that are cut alike, most used first.
func (t *tidier) alike() []*tidySheet {
	type shape struct {
		sheet int
		key   string
	}
	index := map[shape]*tidySheet{}
	var all []*tidySheet
	for _, s := range t.sheets {
		at := shape{s.sheet, s.laid.key()}
		if known := index[at]; known != nil {
			known.times += s.times
			continue
		}
		c := *s
		index[at] = &c
		all = append(all, &c)
	}
	slices.SortStableFunc(all, func(a, b *tidySheet) int { return cmp.Compare(b.times, a.times) })
	return all
}

// key is equal for patterns with cuts and parts of equal sizes at equal places.
func (l *laidOut) key() string {
	var b []byte
	l.root.appendKey(&b)
	return string(b)
}

func (p *Piece) appendKey(b *[]byte) {
	what := byte(p.Cut)
	if p.Part >= 0 {
		what = 'p'
	}
	*b = append(*b, what)
	for _, v := range [...]int64{p.X, p.Y, p.Length, p.Width, int64(len(p.Children))} {
		for shift := 0; shift < 64; shift += 8 {
			*b = append(*b, byte(v>>shift))
		}
	}
	for i := range p.Children {
		p.Children[i].appendKey(b)
	}
}

// pool holds the parts that are still to be given out, by what makes them equal.
type pool map[Part]map[int]int

// pool takes all parts of the plan.
func (t *tidier) pool() pool {
	left := pool{}
	for _, s := range t.sheets {
		s.laid.root.eachPart(func(p *Piece) {
			kind := t.kind(p)
			if left[kind] == nil {
				left[kind] = map[int]int{}
			}
			left[kind][p.Part] += s.times
		})
	}
	return left
}

// kind is what a piece's part shares with those that may take its place.
func (t *tidier) kind(p *Piece) Part {
	kind := t.problem.Parts[p.Part]
	kind.Count = 0
	return kind
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
	slots := map[Part]int{}
	root.eachPart(func(p *Piece) { slots[t.kind(p)]++ })
	// The more sheets, the fewer kinds can fill them: the first number that is too many.
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
	names := map[Part][]int{}
	for kind := range slots {
		for part := range left[kind] {
			names[kind] = append(names[kind], part)
		}
		slices.Sort(names[kind])
	}
	root.eachPart(func(p *Piece) {
		kind := t.kind(p)
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
