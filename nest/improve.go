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
// cheaper than the best. It reports whether it found one within the steps.
func (r *run) improve(fixed []cutting, s *state, until int64) bool {
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
	if len(s.m.stocks) == 1 && !s.roomy() {
		return false
	}
	return r.search(fixed, s, until)
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

// search looks for a place for every part within s.limit. It reports whether it found
// one, which is the best plan then.
func (r *run) search(fixed []cutting, s *state, until int64) bool {
	const memory = 1000
	energy := s.energy()
	var late [memory]float64
	for i := range late {
		late[i] = energy
	}
	for i := 0; !r.over() && r.units < until; i++ {
		s.units++
		s.begin()
		s.ruin()
		s.sort(order(s.rng.below(int(orders))))
		s.setOut()
		s.recreate(50)
		s.arrive()
		r.spend(s)
		if len(s.missing) == 0 || s.lack < r.best.lack {
			r.offer(fixed, s) // whatever its energy: it keeps to the limit
		}
		if len(s.missing) == 0 {
			s.commit()
			return true
		}
		if e := s.energy(); e <= energy || e <= late[i%memory] {
			s.commit()
			energy = e
		} else {
			s.rollback()
		}
		late[i%memory] = energy
	}
	return false
}
