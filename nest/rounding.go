package nest

import "sync"

// rounder is one of several lanes that plan by linear programming over patterns, round by
// diving, and improve what rounding leaves. It is a run of its own, which starts from the
// best plan of all lanes in every round.
type rounder struct {
	run
	columns *columns
	rng     random
	whole   []int // of each stock, as many as there are
}

// rounding plans in lanes. The first proves a bound meanwhile; the patterns that it meets
// on the way go to all. Else the lanes share nothing but the best plan, which is chosen by
// price and then by lane after every round. It reports false where linear programming
// does not help.
func (r *run) rounding() bool {
	columns := newColumns(r.ctx, r.m)
	if columns == nil {
		return false
	}
	all := make([]*rounder, lanes)
	for i := range all {
		all[i] = r.rounder(uint64(i), columns.again())
	}
	third := r.of / 3
	var trees []*tree
	r.together(all[1:], third, func() { trees = r.prove(third, true) })
	for _, l := range all {
		l.bound = r.bound
		for _, t := range trees {
			l.columns.add(t)
		}
	}
	for !r.done() {
		r.together(all, (r.of-r.units)/lanes, func() {})
	}
	return true
}

// together makes a round in every lane, for so many units each, while it does something
// else; then it takes over what the lanes found.
func (r *run) together(all []*rounder, units int64, meanwhile func()) {
	var g sync.WaitGroup
	start := r.best
	for _, l := range all {
		l.best, l.units, l.of = start, 0, max(units, 1)
		g.Go(func() { l.round(r.of / 8) })
	}
	meanwhile()
	g.Wait()
	for _, l := range all {
		r.cancelled = r.cancelled || l.cancelled
		r.patterns = max(r.patterns, len(l.columns.all))
		if better := l.columns.relaxed; better > 0 && (r.relaxed == 0 || better < r.relaxed) {
			r.relaxed = better
			r.tell("program")
		}
		r.book(l.units)
		if l.best != start && r.best.worseThan(l.best.lack, l.best.price) {
			r.best = l.best
			r.tell("plan")
		}
	}
}

// rounder returns a lane.
func (r *run) rounder(lane uint64, c *columns) *rounder {
	for _, b := range r.best.cuttings {
		c.add(b.tree)
	}
	l := &rounder{run: run{ctx: r.ctx, m: r.m, seed: r.seed + lane, bound: r.bound}, columns: c, rng: random(r.seed + lane)}
	for i := range r.m.stocks {
		l.whole = append(l.whole, r.m.stocks[i].count)
	}
	return l
}

func sum(counts []int) (total int) {
	for _, n := range counts {
		total += n
	}
	return total
}

// round dives once and improves what is left, for at most so many units of work besides
// those of the dive.
func (l *rounder) round(units int64) {
	const leave = 12 // sheets to the search
	l.units++        // so that rounds come to an end, whatever they find
	stop := func() bool {
		l.book(l.columns.steps)
		l.columns.steps = 0
		return l.done()
	}
	fixed, rest := l.columns.dive(l.m.demand(), l.whole, leave, &l.rng, stop)
	if sum(rest) > mostSingly {
		return // the dive ended too early
	}
	s := l.construct(fixed, rest)
	until := min(l.of, l.units+units)
	for !l.done() && l.improve(fixed, s, until, 1) {
	}
}
