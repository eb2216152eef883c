package nest

import (
	"context"

	"sawbook/nest/bound"
)

// run is one solve.
type run struct {
	ctx       context.Context
	m         *model
	seed      uint64
	enough    int64 // a cost at which to end; 0 is none
	units     int64 // of work done, see unitsPerStep
	of        int64
	progress  func(done, of int64, cost int64)
	explain   func(Moment)
	patterns  int   // known to linear programs
	relaxed   int64 // see Moment
	best      *solution
	bound     Bound
	known     *bound.Known // of the bound; runs of other stages share it
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
	r := &run{ctx: ctx, m: m, seed: o.Seed, of: int64(max(o.Effort, 1)) * unitsPerStep, progress: o.Progress, explain: o.Explain, enough: o.Enough, known: &bound.Known{}}
	r.solve()
	return r.plan(), nil
}

func (r *run) solve() {
	r.bound = r.m.areaBound(r.m.demand())
	fixed, rest := r.m.bulk()
	r.construct(fixed, rest)
	if len(r.m.kinds) == 0 || r.done() {
		return
	}
	r.prove(0, false)
	if r.staged(); r.done() {
		return
	}
	repeated := 2*r.m.copies() >= 5*len(r.m.kinds)
	if !repeated {
		r.whole(r.of / 16)
	}
	if r.glance(); r.done() {
		return
	}
	if !repeated || !r.rounding() {
		r.prove(r.of/8, false)
	}
	r.whole(r.of)
}

// done reports whether the search has to end or need not go on.
func (r *run) done() bool { return r.over() || r.proven() || r.enoughFound() }

// enoughFound reports whether a plan is as cheap as asked.
func (r *run) enoughFound() bool {
	return r.enough > 0 && len(r.best.missing) == 0 && r.best.price.cost <= r.enough
}

// longChain is from how many parts on one long search finds more than several short ones.
const longChain = 200

// whole improves all sheets together, until so many units of work are done.
func (r *run) whole(until int64) {
	if r.over() || r.best.price.sheets > mostSingly {
		return
	}
	s := newState(r.m, r.seed)
	s.begin()
	s.load(r.best.cuttings)
	s.miss(r.best.missing...)
	s.commit()
	most := lanes
	if r.m.copies() > longChain {
		most = 1
	}
	for !r.done() && r.improve(nil, s, until, most) {
	}
}

// tell explains what got better.
func (r *run) tell(what string) {
	if r.explain != nil {
		r.explain(Moment{Step: min(r.units, r.of) / unitsPerStep, What: what, Sheets: r.best.price.sheets, Cost: r.best.price.cost,
			Missing: len(r.best.missing), Bound: r.bound, Patterns: r.patterns, Relaxed: r.relaxed})
	}
}

// book adds units of work.
func (r *run) book(units int64) {
	before := r.units
	r.units += units
	const beat = 1 << 14
	if before/beat == r.units/beat {
		return
	}
	if r.progress != nil && r.best != nil {
		r.progress(min(r.units, r.of)/unitsPerStep, r.of/unitsPerStep, r.best.price.cost)
	}
}

// spend books the units of s.
func (r *run) spend(s *state) {
	r.book(s.units)
	s.units = 0
}

// over reports whether the run has to end.
func (r *run) over() bool {
	r.cancelled = r.cancelled || r.ctx.Err() != nil
	return r.units >= r.of || r.cancelled
}

// proven reports whether no plan can cost less than the best.
func (r *run) proven() bool {
	b := r.best
	return len(b.missing) == 0 && b.price.cost <= r.bound.Cost && b.price.sheets <= r.bound.Sheets
}
