package nest

import "math"

// tree is the cut tree of one sheet while it is being filled. Nodes lie in one slice
// and point at one another by index, so that a copy is one memory move. In its normal
// form a node's children are cut in the direction other than its own, and at most one
// of them is free, the remainder; their order says nothing. That merges free space
// wherever edge-to-edge cuts can. The form follows the layout nodes of
//
//	J. Gardeyn, T. Wauters (2022), A goal-driven ruin and recreate heuristic for the 2D
//	variable-sized bin packing problem with guillotine constraints, EJOR 301.
type tree struct {
	stock *stock
	nodes []node
	spare int32   // head of the list of unused nodes, linked by next; -1 where empty
	open  []leaf  // free leaves in which something may be cut
	fill  float64 // area of the parts
	value float64 // worth of the open leaves
	trial uint64  // of the state in which this copy was made
	gone  bool    // dropped in that trial

	version uint32 // changes with every change of nodes
	cache   []hit  // by kind
}

// node is one piece. A leaf is a part (kind ≥ 0) or free.
type node struct {
	l, w                int64
	parent, first, next int32
	kind                int32     // free or unused where below 0
	cut                 Direction // NoCut for a leaf
	turned              bool
	// level is the stage of the cuts that divide the node; for a leaf that of the cuts
	// that freed it.
	level int32
}

const (
	none   = int32(-1) // no node; a node that is no part
	unused = int32(-2) // kind of a node that is in no tree
)

// leaf is a free leaf in which something may be cut.
type leaf struct {
	l, w  int64
	worth float64
	node  int32
	level int32
	cut   Direction // of the cuts that freed it
}

// hit remembers the best spot of a kind in one version of a tree.
type hit struct {
	version uint32
	spot    spot
}

// newTree returns an uncut sheet.
func (m *model) newTree(s *stock) *tree {
	t := &tree{}
	t.reset(m, s)
	return t
}

// reset makes t an uncut sheet.
func (t *tree) reset(m *model, s *stock) {
	root := node{l: s.l, w: s.w, parent: none, first: none, next: none, kind: none}
	if m.problem.First != NoCut {
		// A sheet that is one strip from edge to edge needs no first cut.
		root.level = 1
	}
	t.stock, t.spare, t.fill = s, none, 0
	t.nodes = append(t.nodes[:0], root)
	t.reopen(m)
}

// copyFrom makes t equal to s, in t's own memory.
func (t *tree) copyFrom(s *tree) {
	t.nodes, t.open = append(t.nodes[:0], s.nodes...), append(t.open[:0], s.open...)
	t.stock, t.spare, t.fill, t.value = s.stock, s.spare, s.fill, s.value
	t.version++
}

// empty reports whether nothing is cut from t.
func (t *tree) empty() bool { return t.nodes[0].cut == NoCut && t.nodes[0].kind < 0 }

// spot is a way to cut one part out of a free leaf: a slab is cut off in direction
// slab, then the part off the slab.
type spot struct {
	loss   float64 // of worth; less is better
	leaf   int32   // its node; none where there is no spot
	slab   Direction
	turned bool
}

// worth values a free piece more than in proportion to its area, since one large
// remainder is of more use than two small ones. Square roots are exact on every
// processor, other powers are not.
func worth(l, w int64, scale float64) float64 {
	area := float64(l) * float64(w) * scale
	return float64(area * math.Sqrt(area))
}

// find returns the spot for kind k with the least loss, from the cache where it knows.
func (t *tree) find(m *model, k int32) spot {
	if t.cache == nil {
		t.cache = make([]hit, len(m.kinds))
		for i := range t.cache {
			t.cache[i].version = t.version - 1
		}
	}
	h := &t.cache[k]
	if h.version != t.version {
		h.version, h.spot = t.version, t.best(m, &m.kinds[k])
	}
	return h.spot
}

// best returns the spot for k with the least loss of worth.
func (t *tree) best(m *model, k *kind) spot {
	first, last := k.ways(t.stock)
	return t.bestOf(m, k, first, last)
}

// bestOf is best for the ways first to last only.
func (t *tree) bestOf(m *model, k *kind, first, last int) spot {
	found := spot{leaf: none}
	for way := first; way <= last; way++ {
		turned := way == 1
		x, y := k.size(turned)
		for i := range t.open {
			f := &t.open[i]
			if x > f.l || y > f.w {
				continue
			}
			for slab := Rip; slab <= Crosscut; slab++ {
				loss, allowed := f.try(m, x, y, slab)
				if allowed && (found.leaf == none || loss < found.loss) {
					found = spot{loss, f.node, slab, turned}
				}
			}
		}
	}
	return found
}

// try weighs a slab in direction slab with a part of x by y out of leaf f, and reports
// whether stages and longest cuts allow it.
func (f *leaf) try(m *model, x, y int64, slab Direction) (loss float64, allowed bool) {
	rest, side := f.w-y, f.l-x // beyond the slab, and beside the part in it
	length, thick := f.l, y    // of the slab
	if slab == Crosscut {
		rest, side = side, rest
		length, thick = f.w, x
	}
	level := f.level
	if slab != f.cut {
		if rest == 0 && (side != 0 || f.node != 0) {
			return 0, false // the other direction gives the same
		}
		if rest != 0 {
			level++
		}
		if f.cut != NoCut && f.node == 0 && side != 0 {
			return 0, false // only a part that spans the sheet may come before the first cut
		}
	}
	loss = f.worth
	if rest != 0 {
		if m.stages > 0 && level > m.stages || length > m.longest[slab] {
			return 0, false
		}
		loss -= worth(length, rest, m.scale)
	}
	if side != 0 {
		if thick > m.longest[slab.other()] {
			return 0, false
		}
		if m.stages == 0 || level < m.stages {
			loss -= worth(side, thick, m.scale)
		}
	}
	return loss, true
}

// along returns the extent of an l by w piece in the direction of cut d.
func along(l, w int64, d Direction) int64 {
	if d == Rip {
		return l
	}
	return w
}

func (d Direction) other() Direction {
	if d == Rip {
		return Crosscut
	}
	return Rip
}

// put cuts part k, of m.kinds[k], at s.
func (t *tree) put(m *model, k int32, s spot) {
	x, y := m.kinds[k].size(s.turned)
	piece, _ := t.divide(m, s.leaf, s.slab, along(x, y, s.slab.other()))
	piece, _ = t.divide(m, piece, s.slab.other(), along(x, y, s.slab))
	n := &t.nodes[piece]
	n.kind, n.turned = k, s.turned
	t.fill += m.kinds[k].area
	t.reopen(m)
}

// divide cuts a piece of the given size off the free leaf at i, in direction d. It
// returns the piece, which is i itself where nothing else remains, and the free
// remainder or none.
func (t *tree) divide(m *model, i int32, d Direction, size int64) (piece, rest int32) {
	n := t.nodes[i]
	far := node{l: n.l, w: n.w - size, first: none, next: none, kind: none}
	near := node{l: n.l, w: size, first: none, next: none, kind: none}
	if d == Crosscut {
		far.l, far.w, near.l, near.w = n.l-size, n.w, size, n.w
	}
	if far.l == 0 || far.w == 0 {
		return i, none
	}
	if n.parent != none && t.nodes[n.parent].cut == d {
		t.nodes[i].l, t.nodes[i].w = far.l, far.w
		return t.adopt(n.parent, near), i
	}
	level := n.level + 1
	if n.parent == none && m.problem.First == d {
		level = 1
	}
	t.nodes[i].cut, t.nodes[i].level = d, level
	rest = t.adopt(i, far)
	return t.adopt(i, near), rest
}

// adopt makes n a child of the node at parent and returns its index.
func (t *tree) adopt(parent int32, n node) int32 {
	p := &t.nodes[parent]
	n.parent, n.next, n.level = parent, p.first, p.level
	i := t.spare
	if i == none {
		i = int32(len(t.nodes))
		p.first = i
		t.nodes = append(t.nodes, n)
		return i
	}
	t.spare = t.nodes[i].next
	p.first = i
	t.nodes[i] = n
	return i
}

// release puts node i on the list of unused ones.
func (t *tree) release(i int32) {
	n := &t.nodes[i]
	n.kind, n.next, t.spare = unused, t.spare, i
}

// take frees the node at i with all that is in it, and adds the kinds of the parts
// that were cut from it to out.
func (t *tree) take(m *model, i int32, out []int32) []int32 {
	out = t.clear(m, i, out)
	t.merge(m, i)
	if !t.beginsRight(m) {
		out = t.clear(m, 0, out)
	}
	t.reopen(m)
	return out
}

// beginsRight reports whether the first cut has the direction that the problem asks for,
// or else a part spans the sheet, so that no such cut can come before it.
func (t *tree) beginsRight(m *model) bool {
	root := &t.nodes[0]
	if m.problem.First == NoCut || root.cut == NoCut || root.cut == m.problem.First {
		return true
	}
	for c := root.first; c != none; c = t.nodes[c].next {
		if t.nodes[c].kind >= 0 {
			return true
		}
	}
	return false
}

// clear makes the node at i a free leaf.
func (t *tree) clear(m *model, i int32, out []int32) []int32 {
	n := &t.nodes[i]
	if n.kind >= 0 {
		out = append(out, n.kind)
		t.fill -= m.kinds[n.kind].area
		n.kind = none
	}
	for c := n.first; c != none; {
		next := t.nodes[c].next
		out = t.clear(m, c, out)
		t.release(c)
		c = next
	}
	n.first = none
	if n.cut != NoCut {
		n.cut = NoCut
		n.level--
		if n.parent == none && m.problem.First != NoCut {
			n.level = 1
		}
	}
	return out
}

// merge joins the free leaf at i with the free leaf beside it, and with its parent
// where nothing else is left there.
func (t *tree) merge(m *model, i int32) {
	for p := t.nodes[i].parent; p != none; p = t.nodes[i].parent {
		t.join(p, i)
		if t.nodes[p].first != i || t.nodes[i].next != none {
			return
		}
		t.clear(m, p, nil)
		i = p
	}
}

// join adds the free leaf beside i, another child of p, to i.
func (t *tree) join(p, i int32) {
	before := none
	for c := t.nodes[p].first; c != none; before, c = c, t.nodes[c].next {
		n := &t.nodes[c]
		if c == i || n.kind >= 0 || n.cut != NoCut {
			continue
		}
		if t.nodes[p].cut == Rip {
			t.nodes[i].w += n.w
		} else {
			t.nodes[i].l += n.l
		}
		if before == none {
			t.nodes[p].first = n.next
		} else {
			t.nodes[before].next = n.next
		}
		t.release(c)
		return
	}
}

// reopen lists the open leaves and sums their worth.
func (t *tree) reopen(m *model) {
	t.version++
	t.open, t.value = t.open[:0], 0
	for i := range t.nodes {
		n := &t.nodes[i]
		if n.cut != NoCut || n.kind != none || m.stages > 0 && n.level > m.stages {
			continue
		}
		cut := m.problem.First
		if n.parent != none {
			cut = t.nodes[n.parent].cut
		}
		v := worth(n.l, n.w, m.scale)
		t.open = append(t.open, leaf{n.l, n.w, v, int32(i), n.level, cut})
		t.value += v
	}
}

// parts adds the kinds of all parts of t to out.
func (t *tree) parts(out []int32) []int32 {
	for i := range t.nodes {
		if t.nodes[i].kind >= 0 {
			out = append(out, t.nodes[i].kind)
		}
	}
	return out
}
