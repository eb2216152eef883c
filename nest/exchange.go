package nest

import "slices"

// slot is where a knot lies in that of a sheet, and how much room it could take.
type slot struct {
	knot *knot
	need [2]int64
	room [2]int64
}

// slots lists those of all knots in k, which has the given room, but k itself.
func (k *knot) slots(room [2]int64, all []slot) []slot {
	if k.cut == NoCut {
		return all
	}
	a := axis(k.cut)
	rest := room[a] - k.need(a)
	for _, kid := range k.kids {
		s := slot{knot: kid, need: [2]int64{kid.need(0), kid.need(1)}, room: room}
		s.room[a] = kid.extent(a) + rest
		all = kid.slots(s.room, append(all, s))
	}
	return all
}

// with returns k with old replaced by others, side by side; none takes it out.
func (k *knot) with(old *knot, others ...*knot) *knot {
	if k.cut == NoCut {
		return k
	}
	c := *k
	c.kids = nil
	for _, kid := range k.kids {
		if kid != old {
			c.kids = append(c.kids, kid.with(old, others...))
			continue
		}
		for _, other := range others {
			if other.cut == k.cut {
				c.kids = append(c.kids, other.kids...)
			} else {
				bare := *other
				bare.room = 0
				c.kids = append(c.kids, &bare)
			}
		}
	}
	c.kids = slices.DeleteFunc(c.kids, func(kid *knot) bool { return kid.cut != NoCut && len(kid.kids) == 0 })
	return &c
}

// exchange swaps what lies on two sheets, piece for piece, while that makes plans better.
func (t *tidier) exchange(a, b *tidySheet) (changed bool) {
	defer func() { t.tried[[2]*tidySheet{a, b}] = t.clock + 1 }()
	for again := true; again; {
		again = false
		ofA, ofB := a.knot.slots(t.room(a), nil), b.knot.slots(t.room(b), nil)
		for i := range ofA {
			for j := range ofB {
				if t.over() {
					return changed
				}
				p, q := &ofA[i], &ofB[j]
				if !p.holds(q) || !q.holds(p) || p.knot.compare(q.knot) == 0 {
					continue
				}
				if t.tryBoth(a, b, a.knot.with(p.knot, q.knot), b.knot.with(q.knot, p.knot)) {
					changed, again = true, true
					break
				}
			}
			if again {
				break
			}
		}
	}
	return changed
}

// holds reports whether there is room for q in place of s.
func (s *slot) holds(q *slot) bool { return q.need[0] <= s.room[0] && q.need[1] <= s.room[1] }

// tryBoth is try for two sheets together.
func (t *tidier) tryBoth(a, b *tidySheet, ka, kb *knot) bool {
	la, ok := t.lay(a, ka)
	if !ok {
		return false
	}
	lb, ok := t.lay(b, kb)
	if !ok {
		return false
	}
	before, oldA, oldB := t.total, a.laid, b.laid
	t.relay(a, la)
	t.relay(b, lb)
	if t.better(before) {
		t.settle(a, ka)
		t.settle(b, kb)
		return true
	}
	t.relay(b, oldB)
	t.relay(a, oldA)
	return false
}

// relay books a sheet as laid otherwise.
func (t *tidier) relay(s *tidySheet, l laidOut) {
	t.leave(s)
	s.laid = l
	t.enter(s)
}

// due reports whether one of two sheets was changed since they were last tried.
func (t *tidier) due(a, b *tidySheet) bool {
	return t.tried[[2]*tidySheet{a, b}] <= max(a.since, b.since)
}

// partners reports whether what lies on a sheet may lie on the other, as it is.
func (t *tidier) partners(a, b *tidySheet) bool {
	if a.of != b.of || a.times != b.times {
		return false
	}
	sheets := t.work[a.of].Problem.Sheets
	return sheets[a.sheet].GrainAcross == sheets[b.sheet].GrainAcross
}
