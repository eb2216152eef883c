package nest

import (
	"cmp"
	"context"
	"slices"
	"sync"
)

// energy is what a search makes small: above all the area of missing parts, then the
// cost of sheets less the worth of what is free on them.
func (s *state) energy() float64 {
	e := 4 * s.lack
	for _, t := range s.trees {
		e += float64(t.stock.price)/s.m.dearest - t.value
	}
	return e
}

// construct places a demand beside what is fixed, and returns the best of several
// orders.
func (r *run) construct(fixed []cutting, demand []int) *state {
	var best *state
	for o := range orders {
		s := newState(r.m, r.seed)
		s.reserve(fixed)
		for k, n := range demand {
			s.want(int32(k), n)
		}
		s.begin()
		s.sort(o)
		s.recreate(0)
		s.commit()
		r.spend(s)
		r.offer(fixed, s)
		if best == nil || s.lack < best.lack || s.lack == best.lack && s.price().below(best.price()) {
			best = s
		}
		if r.over() {
			break
		}
	}
	return best
}

// improve ruins and recreates the sheets of s beside what is fixed, aiming at a plan
// cheaper than the best, in at most so many lanes. It reports whether it found one within
// the steps.
func (r *run) improve(fixed []cutting, s *state, until int64, most int) bool {
	s.begin()
	s.wander = len(r.m.stocks) > 1
	s.limit = noLimit
	if len(r.best.missing) == 0 {
		s.limit = r.best.price.minus(total(fixed))
	}
	for len(s.trees) > 0 && !s.price().below(s.limit) {
		s.drop(s.weakest())
	}
	s.commit()
	if !s.price().below(s.limit) || len(s.m.stocks) == 1 && !s.roomy() {
		return false // what is fixed leaves nothing to better, or too little room
	}
	return r.search(fixed, s, until, most)
}

// roomy reports whether as many sheets as the limit allows of the only stock have the
// area of all parts.
func (s *state) roomy() bool {
	need := s.lack
	for _, t := range s.trees {
		need += t.fill
	}
	return need <= float64(s.limit.sheets-1)*(1+1e-9) || s.limit == noLimit
}

// weakest returns the sheet with the least area of parts.
func (s *state) weakest() int {
	weakest := 0
	for i, t := range s.trees {
		if t.fill < s.trees[weakest].fill {
			weakest = i
		}
	}
	return weakest
}

// lanes is how many searches run side by side. Their number does not depend on the
// machine, so that a plan does not either.
const lanes = 2

// mostCached is up to how many best spots, one a kind on every sheet, a search has more
// lanes than one: each lane remembers its own.
const mostCached = 1 << 20

// slice is how many units of work a lane does between two barriers.
const slice = 1 << 13

// lane is one of several searches that start from the same state and share nothing until
// a barrier. It anneals by late acceptance:
//
//	E. K. Burke, Y. Bykov (2017), The late acceptance hill-climbing heuristic, European
//	Journal of Operational Research 258.
type lane struct {
	*state
	ctx    context.Context
	energy float64
	late   [1000]float64
	passes int
}

func newLane(ctx context.Context, s *state) *lane {
	l := &lane{state: s, ctx: ctx, energy: s.energy()}
	for i := range l.late {
		l.late[i] = l.energy
	}
	return l
}

// advance makes passes until a slice of work is done, or every part has a place, or nobody waits.
func (l *lane) advance() {
	for l.units < slice && len(l.missing) > 0 && l.ctx.Err() == nil {
		l.units++
		l.begin()
		l.ruin()
		l.sort(order(l.rng.below(int(orders))))
		l.setOut()
		l.recreate(50)
		l.arrive()
		at := l.passes % len(l.late)
		l.passes++
		// A plan with all parts keeps to the limit, whatever its energy.
		if e := l.state.energy(); len(l.missing) == 0 || e <= l.energy || e <= l.late[at] {
			l.commit()
			l.energy = e
		} else {
			l.rollback()
		}
		l.late[at] = l.energy
	}
}

// search looks for a place for every part within s.limit, in lanes. It reports whether it
// found one, which is the best plan then.
func (r *run) search(fixed []cutting, s *state, until int64, most int) bool {
	all := []*lane{newLane(r.ctx, s)}
	for len(all) < most && len(s.trees)*len(s.m.kinds) <= mostCached {
		all = append(all, newLane(r.ctx, s.clone(uint64(len(all)))))
	}
	for n := 1; !r.over() && r.units < until; n++ {
		var g sync.WaitGroup
		for _, l := range all[1:] {
			g.Go(l.advance)
		}
		all[0].advance()
		g.Wait()
		if r.barrier(fixed, all) {
			s.become(all[0].state)
			return true
		}
		if n%together == 0 {
			follow(all)
		}
	}
	return false
}

// together is after how many barriers all lanes go on from the best state.
const together = 32

// follow makes all lanes go on from the state of least energy, the first of equal ones.
func follow(all []*lane) {
	best := slices.MinFunc(all, func(a, b *lane) int { return cmp.Compare(a.energy, b.energy) })
	for _, l := range all {
		if l != best {
			l.become(best.state)
			l.energy = best.energy
		}
	}
}

// barrier books the work of all lanes and offers what they found. Where one has placed
// every part it becomes the first, and barrier reports true.
func (r *run) barrier(fixed []cutting, all []*lane) bool {
	slices.SortStableFunc(all, func(a, b *lane) int {
		return cmp.Or(cmp.Compare(a.lack, b.lack), cmp.Compare(a.cost, b.cost), cmp.Compare(len(a.trees), len(b.trees)))
	})
	for _, l := range all {
		r.spend(l.state)
	}
	best := all[0]
	if len(best.missing) == 0 || best.lack < r.best.lack {
		r.offer(fixed, best.state)
	}
	return len(best.missing) == 0
}
