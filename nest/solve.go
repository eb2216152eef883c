package nest

import "context"

// run is one solve.
type run struct {
	ctx       context.Context
	m         *model
	seed      uint64
	steps, of int64
	progress  func(done, of int64, cost int64)
	best      *state
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
	r.construct()
	if len(r.best.missing) == 0 {
		r.improve()
	}
	return r.plan(), nil
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
		r.progress(min(r.steps, r.of), r.of, r.best.cost)
	}
}

// over reports whether the run has to end.
func (r *run) over() bool { return r.steps >= r.of || r.cancelled }

// proven reports whether no plan can cost less than the best.
func (r *run) proven() bool {
	return len(r.best.missing) == 0 && r.best.cost <= r.bound.Cost && len(r.best.trees) <= r.bound.Sheets
}

// offer keeps s if it is better than the best so far.
func (r *run) offer(s *state) {
	switch {
	case r.best == nil:
		r.best = newState(r.m, 0)
	case s.lack > r.best.lack, s.lack == r.best.lack && !s.price().below(r.best.price()):
		return
	}
	r.best.copyFrom(s)
}
