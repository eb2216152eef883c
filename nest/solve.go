package nest

import (
	"context"
)

// run is one solve.
type run struct {
	ctx       context.Context
	m         *model
	seed      uint64
	steps, of int64
	progress  func(done, of int64, cost int64)
	best      *solution
	bound     Bound
	cancelled bool
}

// Solve finds a plan of least cost (less the value of offcuts worth keeping), then of
// fewest sheets, then of fewest patterns and settings, then with the largest offcuts.
// It returns a *FaultError that lists every fault of a problem that makes no sense; a
// part that fits no sheet is no error but a Misfit.
func Solve(ctx context.Context, p Problem, o Options) (*Plan, error) {
	if err := validate(&p); err != nil {
		return nil, err
	}
	if o.Effort == 0 {
		o.Effort = Normal
	}
	m := newModel(&p)
	r := &run{ctx: ctx, m: m, seed: o.Seed, of: int64(o.Effort), progress: o.Progress}
	r.bound = m.areaBound(m.demand())
	r.solve()
	return r.plan(), nil
}

func (r *run) solve() {
	fixed, rest := r.m.bulk()
	r.construct(fixed, rest)
	if len(r.best.missing) > 0 {
		return
	}
	if r.m.copies() >= 4*len(r.m.kinds) {
		r.columns()
	}
	s := newState(r.m, r.seed)
	s.begin()
	s.load(r.best.cuttings)
	s.commit()
	for !r.over() && !r.proven() && r.improve(nil, s, r.of) {
	}
}

// columns plans by linear programming and improves what rounding leaves.
func (r *run) columns() {
	c := newColumns(r.m)
	if len(c.generators) == 0 {
		return
	}
	for _, b := range r.best.cuttings {
		c.add(b.tree)
	}
	stock := make([]int, len(r.m.stocks))
	for i := range stock {
		stock[i] = r.m.stocks[i].count
	}
	rng := random(r.seed)
	stop := func() bool {
		r.steps += c.steps
		c.steps = 0
		return r.over()
	}
	for round := 0; !r.over() && !r.proven(); round++ {
		fixed, rest := c.dive(r.m.demand(), stock, 12, &rng, stop)
		s := r.construct(fixed, rest)
		until := min(r.of, r.steps+r.of/8)
		for !r.proven() && r.improve(fixed, s, until) {
		}
	}
}

// spend books the steps of s.
func (r *run) spend(s *state) {
	before := r.steps
	r.steps += s.steps
	s.steps = 0
	const beat = 1 << 12
	if before/beat == r.steps/beat {
		return
	}
	r.cancelled = r.cancelled || r.ctx.Err() != nil
	if r.progress != nil && r.best != nil {
		r.progress(min(r.steps, r.of), r.of, r.best.price.cost)
	}
}

// over reports whether the run has to end.
func (r *run) over() bool { return r.steps >= r.of || r.cancelled }

// proven reports whether no plan can cost less than the best.
func (r *run) proven() bool {
	b := r.best
	return len(b.missing) == 0 && b.price.cost <= r.bound.Cost && b.price.sheets <= r.bound.Sheets
}
