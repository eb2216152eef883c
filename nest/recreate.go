package nest

import (
	"cmp"
	"slices"
)

// order sorts missing parts for insertion; the hardest to place come first.
type order uint8

const (
	byArea order = iota
	byLongSide
	byShortSide
	byPerimeter
	anyOrder
	orders
)

// sort brings the missing parts into order o; equal ones stand together.
func (s *state) sort(o order) {
	if o == anyOrder {
		for i := len(s.missing) - 1; i > 0; i-- {
			j := s.rng.below(i + 1)
			s.missing[i], s.missing[j] = s.missing[j], s.missing[i]
		}
		return
	}
	// Ranks are whole numbers, which sort faster than the kinds that they stand for.
	ranked := &s.m.ranked[o]
	for i, k := range s.missing {
		s.missing[i] = ranked.rank[k]
	}
	slices.Sort(s.missing)
	for i, r := range s.missing {
		s.missing[i] = ranked.kinds[r]
	}
}

// ranking is all kinds in an order, and the rank of each.
type ranking struct{ kinds, rank []int32 }

// rankings puts the kinds into every order that does not hang on chance.
func (m *model) rankings() (all [anyOrder]ranking) {
	for o := range anyOrder {
		r := ranking{make([]int32, len(m.kinds)), make([]int32, len(m.kinds))}
		for k := range r.kinds {
			r.kinds[k] = int32(k)
		}
		slices.SortFunc(r.kinds, func(a, b int32) int { return o.compare(&m.kinds[a], &m.kinds[b], a, b) })
		for at, k := range r.kinds {
			r.rank[k] = int32(at)
		}
		all[o] = r
	}
	return all
}

// compare tells which of two kinds, a and b, comes first.
func (o order) compare(ka, kb *kind, a, b int32) int {
	c := 0
	switch o {
	case byLongSide:
		c = cmp.Compare(max(kb.l, kb.w), max(ka.l, ka.w))
	case byShortSide:
		c = cmp.Compare(min(kb.l, kb.w), min(ka.l, ka.w))
	case byPerimeter:
		c = cmp.Compare(kb.l+kb.w, ka.l+ka.w)
	}
	return cmp.Or(c, cmp.Compare(kb.area, ka.area), cmp.Compare(a, b))
}

// recreate places the missing parts in their order. What finds no place stays missing.
// At each part every sheet is passed over with a chance of one in skips, 0 for never.
func (s *state) recreate(skips int) {
	kept := s.missing[:0]
	failed := none
	s.skip = s.stride(skips)
	for _, k := range s.missing {
		if k == failed || !s.place(k, skips) {
			kept = append(kept, k)
			if skips == 0 {
				failed = k
			}
			continue
		}
		s.lack -= s.m.kinds[k].area
	}
	s.missing = kept
	if len(kept) == 0 {
		s.lack = 0
	}
}

// stride draws how many sheets to look at until one is passed over, skips on average.
func (s *state) stride(skips int) int {
	if skips == 0 {
		return 1 << 62
	}
	return 1 + s.rng.below(2*skips)
}

// place puts part k where it loses least worth, on a new sheet if need be. It reports
// whether there was a place.
func (s *state) place(k int32, skips int) bool {
	at, best := -1, spot{}
	for i, t := range s.trees {
		if s.skip--; s.skip == 0 {
			s.skip = s.stride(skips)
			continue
		}
		found := s.find(t, k)
		if found.leaf != none && (at < 0 || found.loss < best.loss) {
			at, best = i, found
		}
	}
	s.units += 1 + int64(len(s.trees)/8)
	if at < 0 {
		st := s.fresh(k)
		if st == nil {
			return false
		}
		t := s.fetch()
		t.reset(s.m, st)
		at = len(s.trees)
		s.add(t)
		best = s.first(at, k)
	}
	s.edit(at).put(s.m, k, best)
	return true
}

// fresh returns the stock of a new sheet for kind k, of those on hand and within the
// limit: the cheapest by area on which it can lie, or now and then any; nil where there
// is none.
func (s *state) fresh(k int32) *stock {
	var best *stock
	any := s.wander && s.rng.below(2) == 0
	seen := 0
	for i := range s.m.stocks {
		st := &s.m.stocks[i]
		if !s.m.kinds[k].fits[i] || st.count >= 0 && s.used[i] >= st.count {
			continue
		}
		if !(price{s.cost + st.price, len(s.trees) + 1}).below(s.limit) {
			continue
		}
		if seen++; any {
			if s.rng.below(seen) == 0 {
				best = st
			}
		} else if best == nil || float64(st.price)*best.area < float64(best.price)*st.area {
			best = st
		}
	}
	return best
}

// ruin frees random pieces on a few sheets. Few sheets and many pieces leave room that
// belongs together.
func (s *state) ruin() {
	const sheets, pieces = 3, 12
	if s.wander && len(s.trees) > 0 && s.rng.below(4) == 0 {
		s.drop(s.rng.below(len(s.trees)))
	}
	n := min(1+s.rng.below(sheets), len(s.trees))
	for i := range n {
		j := i + s.rng.below(len(s.trees)-i)
		s.trees[i], s.trees[j] = s.trees[j], s.trees[i]
	}
	for range 1 + s.rng.below(pieces) {
		if n == 0 {
			return
		}
		i := s.rng.below(n)
		s.free(i)
		if s.trees[i].empty() {
			n--
			s.trees[i], s.trees[n] = s.trees[n], s.trees[i]
			s.drop(n)
		}
	}
}

// free frees a random piece of sheet i.
func (s *state) free(i int) {
	t := s.edit(i)
	before := len(s.missing)
	s.missing = t.take(s.m, s.pick(t), s.missing)
	for _, k := range s.missing[before:] {
		s.lack += s.m.kinds[k].area
	}
}

// pick chooses a node that holds parts, each with the same chance.
func (s *state) pick(t *tree) int32 {
	for {
		i := s.rng.below(len(t.nodes))
		n := &t.nodes[i]
		if n.kind >= 0 || n.cut != NoCut && n.kind != unused {
			return int32(i)
		}
	}
}
