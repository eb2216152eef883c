package nest

// state is a plan in the making: sheets in work and the parts that have no place yet.
// Changes are made in trials, which can be taken back: a tree is copied before its first
// change in a trial.
type state struct {
	m   *model
	rng random
	contents
	limit price // what the sheets may cost: less than this
	units int64 // of work since they were last booked
	// wander says that sheets of any stock are tried, not just the cheapest by area.
	wander bool
	skip   int // sheets until one is passed over, see place
	detour detour

	trial uint64
	old   contents
	made  []*tree // in this trial
	left  []*tree // of before this trial, no longer in use
	pool  []*tree // for reuse
}

// contents are what a trial may change.
type contents struct {
	trees   []*tree
	used    []int   // sheets in work by stock
	missing []int32 // kinds, one entry a copy
	lack    float64 // area of missing
	cost    int64
}

func (c *contents) copyFrom(d *contents) {
	c.trees = append(c.trees[:0], d.trees...)
	c.used = append(c.used[:0], d.used...)
	c.missing = append(c.missing[:0], d.missing...)
	c.lack, c.cost = d.lack, d.cost
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
	s := &state{m: m, rng: random(seed), limit: noLimit, detour: detour{kind: none}}
	s.used = make([]int, len(m.stocks))
	return s
}

// price returns what the sheets in work cost.
func (s *state) price() price { return price{s.cost, len(s.trees)} }

// clone returns a copy of s in memory of its own, which draws other random numbers.
func (s *state) clone(lane uint64) *state {
	c := newState(s.m, uint64(s.rng)+lane)
	c.limit, c.wander = s.limit, s.wander
	c.copyContents(s)
	return c
}

// copyContents makes s hold what t does, in memory of its own.
func (s *state) copyContents(t *state) {
	s.copyFrom(&t.contents)
	for i := range s.trees {
		c := &tree{}
		c.copyFrom(t.trees[i])
		s.trees[i] = c
	}
}

// become makes s hold what t does, unless it is t.
func (s *state) become(t *state) {
	if s != t {
		s.copyContents(t)
	}
}

// begin starts a trial.
func (s *state) begin() {
	s.trial++
	s.made, s.left = s.made[:0], s.left[:0]
	s.old.copyFrom(&s.contents)
}

// commit keeps what the trial changed.
func (s *state) commit() {
	s.pool = append(s.pool, s.left...)
	for _, t := range s.made {
		if t.gone {
			s.pool = append(s.pool, t)
		}
	}
}

// rollback takes back what the trial changed.
func (s *state) rollback() {
	s.pool = append(s.pool, s.made...)
	s.contents, s.old = s.old, s.contents
}

// fetch returns a tree of this trial, with nothing of use in it.
func (s *state) fetch() *tree {
	var t *tree
	if last := len(s.pool) - 1; last >= 0 {
		t, s.pool = s.pool[last], s.pool[:last]
	} else {
		t = &tree{}
	}
	t.trial, t.gone = s.trial, false
	s.made = append(s.made, t)
	return t
}

// edit returns tree i, ready to be changed.
func (s *state) edit(i int) *tree {
	t := s.trees[i]
	if t.trial == s.trial {
		return t
	}
	c := s.fetch()
	c.copyFrom(t)
	s.trees[i] = c
	s.left = append(s.left, t)
	return c
}

// want adds copies of a kind to what is missing.
func (s *state) want(k int32, copies int) {
	for range copies {
		s.miss(k)
	}
}

// miss adds parts to what is missing.
func (s *state) miss(kinds ...int32) {
	s.missing = append(s.missing, kinds...)
	for _, k := range kinds {
		s.lack += s.m.kinds[k].area
	}
}

// add takes a sheet into work.
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
	t.gone = true
	if t.trial != s.trial {
		s.left = append(s.left, t)
	}
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
