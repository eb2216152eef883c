package nest

import "math/rand/v2"

// state is a plan in the making: sheets in work and the parts that have no place yet.
type state struct {
	m       *model
	rng     *rand.Rand
	trees   []*tree
	used    []int   // sheets in work by stock
	missing []int32 // kinds, one entry a copy
	lack    float64 // area of missing
	cost    int64
	steps   int64
	// limit is what the sheets may cost, see affordable.
	limit price
}

// price is the cost of sheets, and their number, which decides between equal costs.
type price struct {
	cost   int64
	sheets int
}

func (p price) below(q price) bool {
	return p.cost < q.cost || p.cost == q.cost && p.sheets < q.sheets
}

var noLimit = price{1 << 62, 0}

func newState(m *model, seed uint64) *state {
	return &state{m: m, rng: rand.New(rand.NewPCG(seed, 0x9e3779b97f4a7c15)), used: make([]int, len(m.stocks)), limit: noLimit}
}

// price returns what the sheets in work cost.
func (s *state) price() price { return price{s.cost, len(s.trees)} }

// copyFrom makes s equal to t but for its random numbers, steps and limit.
func (s *state) copyFrom(t *state) {
	for len(s.trees) < len(t.trees) {
		s.trees = append(s.trees, &tree{})
	}
	s.trees = s.trees[:len(t.trees)]
	for i := range t.trees {
		s.trees[i].copyFrom(t.trees[i])
	}
	s.used = append(s.used[:0], t.used...)
	s.missing = append(s.missing[:0], t.missing...)
	s.lack, s.cost = t.lack, t.cost
}

// want adds copies of a kind to what is missing.
func (s *state) want(k int32, copies int) {
	for range copies {
		s.missing = append(s.missing, k)
	}
	s.lack += float64(copies) * s.m.kinds[k].area
}

// place puts part k where it loses least worth, on a new sheet if need be. It reports
// whether there was a place.
func (s *state) place(k int32, skip uint32) bool {
	kind := &s.m.kinds[k]
	at, best := -1, spot{}
	for i, t := range s.trees {
		s.steps++
		if skip > 0 && s.rng.Uint32() < skip {
			continue
		}
		found, ok := t.best(s.m, kind)
		if ok && (at < 0 || found.loss < best.loss) {
			at, best = i, found
		}
	}
	if at < 0 {
		t, found, ok := s.fresh(kind)
		if !ok {
			return false
		}
		at, best = len(s.trees), found
		s.add(t)
	}
	s.trees[at].put(s.m, k, best)
	return true
}

// fresh returns a new sheet for kind: of those in stock and within the limit, the
// cheapest by area on which it can lie.
func (s *state) fresh(kind *kind) (*tree, spot, bool) {
	var best *tree
	var where spot
	for i := range s.m.stocks {
		st := &s.m.stocks[i]
		if st.count >= 0 && s.used[i] >= st.count {
			continue
		}
		if !(price{s.cost + st.price, len(s.trees) + 1}).below(s.limit) {
			continue
		}
		if best != nil && float64(st.price)*best.stock.area >= float64(best.stock.price)*st.area {
			continue
		}
		t := s.m.newTree(st)
		s.steps++
		if found, ok := t.best(s.m, kind); ok {
			best, where = t, found
		}
	}
	return best, where, best != nil
}

func (s *state) add(t *tree) {
	s.trees = append(s.trees, t)
	s.used[s.m.index(t.stock)]++
	s.cost += t.stock.price
}

// drop takes sheet i out of work; its parts are missing then.
func (s *state) drop(i int) {
	t := s.trees[i]
	before := len(s.missing)
	s.missing = t.parts(s.missing)
	for _, k := range s.missing[before:] {
		s.lack += s.m.kinds[k].area
	}
	s.used[s.m.index(t.stock)]--
	s.cost -= t.stock.price
	last := len(s.trees) - 1
	s.trees[i] = s.trees[last]
	s.trees = s.trees[:last]
}

// index returns that of a stock in m.stocks.
func (m *model) index(s *stock) int {
	for i := range m.stocks {
		if &m.stocks[i] == s {
			return i
		}
	}
	return -1
}
