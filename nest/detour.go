package nest

// detour leads one pass of recreate away from the spots of least loss, which alone do not
// reach every pattern: a kind that may turn lies one way only, and a free piece is divided
// before any part is put into it, so that a strip may become as thick as two parts
// together.
type detour struct {
	kind   int32 // none where no kind is held to a way
	way    int
	fresh  bool // divide every new sheet
	pieces []divided
}

// divided is a piece that was divided off beforehand, in the tree of a sheet.
type divided struct {
	sheet int
	piece int32
}

// setOut draws the detour of a pass.
func (s *state) setOut() {
	if len(s.missing) == 0 {
		return
	}
	switch s.rng.below(6) {
	case 0:
		s.detour.kind, s.detour.way = s.anyMissing(), s.rng.below(2)
	case 1:
		for range 1 + s.rng.below(3) {
			s.divideAny()
		}
	case 2:
		s.detour.fresh = true
	}
}

func (s *state) anyMissing() int32 { return s.missing[s.rng.below(len(s.missing))] }

// divideAny divides a free piece of any sheet.
func (s *state) divideAny() {
	if len(s.trees) == 0 {
		return
	}
	at := s.rng.below(len(s.trees))
	if open := s.trees[at].open; len(open) > 0 {
		s.divide(at, open[s.rng.below(len(open))])
	}
}

// divide divides leaf f of a sheet to hold up to three missing parts side by side, or to
// leave room for them, and reports whether it did.
func (s *state) divide(at int, f leaf) bool {
	d := Rip + Direction(s.rng.below(2))
	on := s.trees[at].stock
	size := int64(0)
	for range 1 + s.rng.below(3) {
		size += s.anyExtent(on, d)
	}
	whole := along(f.l, f.w, d.other())
	if s.rng.below(2) == 0 {
		size = whole - size
	}
	if size <= 0 || size >= whole || !f.divides(s.m, d) {
		return false
	}
	t := s.edit(at)
	piece, _ := t.divide(s.m, f.node, d, size)
	t.reopen(s.m)
	s.detour.pieces = append(s.detour.pieces, divided{at, piece})
	return true
}

// anyExtent returns how much of a sheet's extent across cuts in direction d a missing part
// takes, in a position that it may have.
func (s *state) anyExtent(on *stock, d Direction) int64 {
	k := &s.m.kinds[s.anyMissing()]
	first, last := k.ways(on)
	x, y := k.size(first+s.rng.below(last-first+1) == 1)
	return along(x, y, d.other())
}

// divides reports whether leaf f may be divided in direction d with no part in it yet.
func (f *leaf) divides(m *model, d Direction) bool {
	if along(f.l, f.w, d) > m.longest[d] {
		return false
	}
	if d == f.cut || f.node == 0 && f.cut == NoCut {
		return true
	}
	return f.node != 0 && (m.stages == 0 || f.level < m.stages)
}

// find returns the spot for kind k in t, by way of the detour.
func (s *state) find(t *tree, k int32) spot {
	if k == s.detour.kind {
		first, last := s.m.kinds[k].ways(t.stock)
		if first <= s.detour.way && s.detour.way <= last {
			if found := t.bestOf(s.m, &s.m.kinds[k], s.detour.way, s.detour.way); found.leaf != none {
				return found
			}
		}
	}
	return t.find(s.m, k)
}

// first returns the spot for the first part, of kind k, on a new sheet.
func (s *state) first(at int, k int32) spot {
	t := s.trees[at]
	if s.detour.fresh && s.divide(at, t.open[0]) {
		if found := s.find(t, k); found.leaf != none {
			return found
		}
		t.reset(s.m, t.stock)
		s.detour.pieces = s.detour.pieces[:len(s.detour.pieces)-1]
	}
	return s.find(t, k)
}

// arrive ends a detour, and joins what was divided beforehand where nothing was put in.
func (s *state) arrive() {
	for i := len(s.detour.pieces) - 1; i >= 0; i-- {
		d := s.detour.pieces[i]
		t := s.edit(d.sheet)
		if n := &t.nodes[d.piece]; n.kind == none && n.cut == NoCut {
			t.merge(s.m, d.piece)
			t.reopen(s.m)
		}
	}
	s.detour.kind, s.detour.fresh, s.detour.pieces = none, false, s.detour.pieces[:0]
}
