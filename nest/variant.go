package nest

import "slices"

// variants lists other ways to cut the parts of a sheet.
func (t *tidier) variants(s *tidySheet) []*knot {
	k, size := s.knot, t.room(s)
	all := wraps(k)
	if k.cut == NoCut {
		return all
	}
	// A change is made at the n-th knot of a copy.
	count := 0
	k.each(size, func(*knot, int64) { count++ })
	for n := range count {
		for _, change := range []func(k *knot, rest int64) bool{transpose, transposeRuns} {
			all = appendChanged(all, k, size, n, change)
		}
		for i := range nth(k, n).kids {
			all = appendChanged(all, k, size, n, func(k *knot, rest int64) bool { return k.widen(i, rest) })
			all = appendChanged(all, k, size, n, func(k *knot, rest int64) bool { return k.last(i, rest) })
			all = appendChanged(all, k, size, n, func(k *knot, rest int64) bool { return t.match(k, i, rest, t.work[s.of].Problem.Kerf) })
		}
	}
	return all
}

// nth returns the n-th knot of k that is cut, itself first.
func nth(k *knot, n int) (found *knot) {
	k.each([2]int64{}, func(q *knot, _ int64) {
		if n == 0 {
			found = q
		}
		n--
	})
	return found
}

// each calls f for k and every knot in it that is cut, with what remains of each.
func (k *knot) each(size [2]int64, f func(k *knot, rest int64)) {
	if k.cut == NoCut {
		return
	}
	a := axis(k.cut)
	f(k, size[a]-k.need(a))
	for _, kid := range k.kids {
		size[a] = kid.extent(a)
		kid.each(size, f)
	}
}

// appendChanged adds a copy of k whose n-th knot is changed, where the change is one.
func appendChanged(all []*knot, k *knot, size [2]int64, n int, change func(k *knot, rest int64) bool) []*knot {
	c, changed := k.clone(), false
	c.each(size, func(q *knot, rest int64) {
		if n == 0 {
			changed = change(q, rest)
		}
		n--
	})
	if changed {
		all = append(all, c)
	}
	return all
}

// wraps lists ways to free all parts of a sheet from it: by a cut across first, by two, or
// by none.
func wraps(k *knot) []*knot {
	for k.cut != NoCut && len(k.kids) == 1 {
		k = k.kids[0]
	}
	if k.cut == NoCut {
		return []*knot{k, {cut: Rip, kids: []*knot{k}}, {cut: Crosscut, kids: []*knot{k}}}
	}
	k = k.clone()
	k.room = 0
	once := &knot{cut: k.cut.other(), kids: []*knot{k}}
	return []*knot{k, once.clone(), {cut: k.cut, kids: []*knot{once.clone()}}}
}

// transpose turns rows that are alike into columns, where all children of k are.
func transpose(k *knot, _ int64) bool {
	first := k.kids[0]
	if len(k.kids) < 2 || first.cut == NoCut || slices.ContainsFunc(k.kids, func(q *knot) bool { return q.compare(first) != 0 }) {
		return false
	}
	k.cut, k.kids, k.tail = first.cut, turned(k.cut, k.kids), 0
	return true
}

// transposeRuns does so with children that are alike, and leaves the others.
func transposeRuns(k *knot, _ int64) bool {
	changed := false
	for i := 0; i < len(k.kids); i++ {
		first := k.kids[i]
		n := 1
		for i+n < len(k.kids) && first.cut != NoCut && k.kids[i+n].compare(first) == 0 {
			n++
		}
		if n < 2 || n == len(k.kids) {
			continue
		}
		block := &knot{cut: first.cut, kids: turned(k.cut, k.kids[i:i+n])}
		k.kids = slices.Replace(k.kids, i, i+n, block)
		changed = true
	}
	return changed
}

// turned returns the columns of rows that are alike, each cut in direction d.
func turned(d Direction, rows []*knot) []*knot {
	var columns []*knot
	for i := range rows[0].kids {
		column := &knot{cut: d}
		for _, row := range rows {
			c := row.kids[i].clone()
			c.room = 0
			if c.cut == d {
				column.kids = append(column.kids, c.kids...)
			} else {
				column.kids = append(column.kids, c)
			}
		}
		columns = append(columns, column)
	}
	return columns
}

// widen gives child i all that remains beside it.
func (k *knot) widen(i int, rest int64) bool {
	a, kid := axis(k.cut), k.kids[i]
	if rest <= 0 {
		return false
	}
	room := kid.extent(a) + rest
	if kid.cut == NoCut {
		kid = &knot{cut: k.cut.other(), kids: []*knot{kid}}
		k.kids[i] = kid
	}
	kid.room, k.tail = room, room // last, so that no cut is set to its extent
	return true
}

// last leaves child i for the end, where nothing remains beside it.
func (k *knot) last(i int, rest int64) bool {
	tail := k.kids[i].extent(axis(k.cut))
	if rest != 0 || k.tail == tail || k.kids[len(k.kids)-1].extent(axis(k.cut)) == tail {
		return false
	}
	k.tail = tail
	return true
}

// match makes child i as wide as the next setting in use.
func (t *tidier) match(k *knot, i int, rest, kerf int64) bool {
	a, kid := axis(k.cut), k.kids[i]
	if kid.cut == NoCut || rest <= 0 {
		return false
	}
	now, found := kid.extent(a), int64(0)
	for at := range t.used {
		size := at.Size + kerf
		if at.Cut == k.cut && size > now && size <= now+rest && (found == 0 || size < found) {
			found = size
		}
	}
	if found == 0 {
		return false
	}
	kid.room = found
	return true
}
