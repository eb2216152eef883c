package nest

// energy is what a search makes small: above all the area of missing parts, then the
// cost of sheets less the worth of what is free on them.
func (s *state) energy() float64 {
	e := 4 * s.lack
	for _, t := range s.trees {
		e += float64(t.stock.price)/s.m.dearest - t.value
	}
	return e
}

// construct places all parts, in the best of several orders.
func (r *run) construct() {
	for o := range orders {
		s := newState(r.m, r.seed)
		for k := range r.m.kinds {
			s.want(int32(k), r.m.kinds[k].count)
		}
		s.sort(o)
		s.recreate(0)
		r.spend(s)
		r.offer(s)
		if r.over() {
			return
		}
	}
}

// improve ruins and recreates, aiming at a plan cheaper than the best, until the steps
// are spent or the bound is met.
func (r *run) improve() {
	s := newState(r.m, r.seed)
	next := newState(r.m, r.seed)
	for !r.over() && !r.proven() {
		s.copyFrom(r.best)
		s.limit, next.limit = r.best.price(), r.best.price()
		for len(s.trees) > 0 && !s.price().below(s.limit) {
			s.drop(s.weakest())
		}
		if !r.search(s, next) {
			return
		}
	}
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

// search looks for a place for every part within s.limit. It reports whether it found
// one, which is the best plan then.
func (r *run) search(s, next *state) bool {
	const memory = 100
	energy := s.energy()
	var late [memory]float64
	for i := range late {
		late[i] = energy
	}
	for i := 0; !r.over(); i++ {
		next.copyFrom(s)
		next.steps++
		next.ruin()
		next.sort(order(next.rng.IntN(int(orders))))
		next.recreate(1 << 32 / 50)
		r.spend(next)
		e := next.energy()
		if e <= energy || e <= late[i%memory] {
			s, next, energy = next, s, e
		}
		late[i%memory] = energy
		if len(s.missing) == 0 {
			r.offer(s)
			return true
		}
	}
	return false
}
