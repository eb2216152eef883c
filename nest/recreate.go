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
		slices.Sort(s.missing)
		s.rng.Shuffle(len(s.missing), func(i, j int) {
			s.missing[i], s.missing[j] = s.missing[j], s.missing[i]
		})
		return
	}
	key := func(k *kind) int64 {
		switch o {
		case byLongSide:
			return max(k.l, k.w)
		case byShortSide:
			return min(k.l, k.w)
		default:
			return k.l + k.w
		}
	}
	slices.SortFunc(s.missing, func(a, b int32) int {
		ka, kb := &s.m.kinds[a], &s.m.kinds[b]
		c := 0
		if o != byArea {
			c = cmp.Compare(key(kb), key(ka))
		}
		return cmp.Or(c, cmp.Compare(kb.area, ka.area), cmp.Compare(a, b))
	})
}

// recreate places the missing parts in their order. What finds no place stays missing.
// A sheet is passed over with probability skip / 2^32 at each part.
func (s *state) recreate(skip uint32) {
	kept := s.missing[:0]
	failed := none
	for _, k := range s.missing {
		if k == failed || !s.place(k, skip) {
			kept = append(kept, k)
			if skip == 0 {
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

// ruin frees a random piece on some of the sheets.
func (s *state) ruin() {
	for range 1 + s.rng.IntN(3) {
		if len(s.trees) == 0 {
			return
		}
		i := s.rng.IntN(len(s.trees))
		t := s.trees[i]
		at := s.pick(t)
		if at == 0 {
			s.drop(i)
			continue
		}
		before := len(s.missing)
		s.missing = t.take(s.m, at, s.missing)
		for _, k := range s.missing[before:] {
			s.lack += s.m.kinds[k].area
		}
		if t.nodes[0].first == none && t.nodes[0].kind < 0 {
			s.drop(i)
		}
	}
}

// pick chooses a node that holds parts, each with the same chance.
func (s *state) pick(t *tree) int32 {
	chosen, seen := int32(0), 0
	t.walk(0, func(i int32) {
		n := &t.nodes[i]
		if n.kind < 0 && n.cut == NoCut {
			return
		}
		seen++
		if s.rng.IntN(seen) == 0 {
			chosen = i
		}
	})
	return chosen
}
