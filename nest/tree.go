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
	open  []int32 // free leaves in which something may be cut
	fill  float64 // area of the parts
	value float64 // of the open leaves, see worth
}

// node is one piece. A leaf is a part (kind ≥ 0) or free (kind < 0).
type node struct {
	l, w                int64
	parent, first, next int32
	kind                int32
	cut                 Direction // NoCut for a leaf
	turned              bool
	// level is the stage of the cuts that divide the node; for a leaf that of the cuts
	// that freed it.
	level int32
}

const none = int32(-1)

// newTree returns an uncut sheet.
func (m *model) newTree(s *stock) *tree {
	t := &tree{stock: s, spare: none}
	root := node{l: s.l, w: s.w, parent: none, first: none, next: none, kind: none}
	if m.problem.First != NoCut {
		// A sheet that is one strip from edge to edge needs no first cut.
		root.level = 1
	}
	t.nodes = append(t.nodes, root)
	t.reopen(m)
	return t
}

// copyFrom makes t equal to s, in t's own memory.
func (t *tree) copyFrom(s *tree) {
	nodes, open := append(t.nodes[:0], s.nodes...), append(t.open[:0], s.open...)
	*t = *s
	t.nodes, t.open = nodes, open
}

// spot is a way to cut one part out of a free leaf: a slab is cut off in direction
// slab, then the part off the slab.
type spot struct {
	leaf   int32
	slab   Direction
	turned bool
	loss   float64 // of worth; less is better
}

// worth values a free piece more than in proportion to its area, since one large
// remainder is of more use than two small ones. Square roots are exact on every
// processor, other powers are not.
func worth(l, w int64, scale float64) float64 {
	area := float64(l) * float64(w) * scale
	return float64(area * math.Sqrt(area))
}

// best returns the spot for k with the least loss of worth.
func (t *tree) best(m *model, k *kind) (spot, bool) {
	found := spot{leaf: none}
	for _, leaf := range t.open {
		n := &t.nodes[leaf]
		for _, turned := range k.ways(t.stock) {
			x, y := k.size(turned)
			if x > n.l || y > n.w {
				continue
			}
			for _, slab := range [2]Direction{Rip, Crosscut} {
				loss, allowed := t.try(m, n, x, y, slab)
				if allowed && (found.leaf == none || loss < found.loss) {
					found = spot{leaf, slab, turned, loss}
				}
			}
		}
	}
	return found, found.leaf != none
}

// direction returns that of the cuts that freed leaf n; NoCut where it is the sheet.
func (t *tree) direction(m *model, n *node) Direction {
	if n.parent == none {
		return m.problem.First
	}
	return t.nodes[n.parent].cut
}

// try weighs a slab in direction slab with a part of x by y out of leaf n, and reports
// whether stages and longest cuts allow it.
func (t *tree) try(m *model, n *node, x, y int64, slab Direction) (loss float64, allowed bool) {
	rest, side := n.w-y, n.l-x // beyond the slab, and beside the part in it
	if slab == Crosscut {
		rest, side = side, rest
	}
	level := n.level
	if slab != t.direction(m, n) {
		if rest == 0 && (side != 0 || n.parent != none) {
			return 0, false // the other direction gives the same
		}
		if rest != 0 {
			level++
		}
	}
	if m.stages > 0 && rest != 0 && level > m.stages {
		return 0, false
	}
	if rest != 0 && along(n.l, n.w, slab) > m.longest[slab] {
		return 0, false
	}
	across := slab.other()
	thick := along(x, y, across) // the slab's thickness
	if side != 0 && thick > m.longest[across] {
		return 0, false
	}
	loss = worth(n.l, n.w, m.scale)
	if rest != 0 {
		loss -= worth(along(n.l, n.w, slab), rest, m.scale)
	}
	if side != 0 && (m.stages == 0 || level < m.stages) {
		loss -= worth(side, thick, m.scale)
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
	piece := t.split(m, s.leaf, s.slab, along(x, y, s.slab.other()))
	piece = t.split(m, piece, s.slab.other(), along(x, y, s.slab))
	n := &t.nodes[piece]
	n.kind, n.turned = k, s.turned
	t.fill += m.kinds[k].area
	t.reopen(m)
}

// split cuts a piece of the given size off the free leaf at i, in direction d, and
// returns it: i itself where nothing else remains. The remainder stays free.
func (t *tree) split(m *model, i int32, d Direction, size int64) int32 {
	n := t.nodes[i]
	rest := node{l: n.l, w: n.w - size, first: none, next: none, kind: none}
	part := node{l: n.l, w: size, first: none, next: none, kind: none}
	if d == Crosscut {
		rest.l, rest.w, part.l, part.w = n.l-size, n.w, size, n.w
	}
	if rest.l == 0 || rest.w == 0 {
		return i
	}
	if n.parent != none && t.nodes[n.parent].cut == d {
		t.nodes[i].l, t.nodes[i].w = rest.l, rest.w
		return t.adopt(n.parent, part)
	}
	level := n.level + 1
	if n.parent == none && m.problem.First == d {
		level = 1
	}
	t.nodes[i].cut, t.nodes[i].level = d, level
	t.adopt(i, rest)
	return t.adopt(i, part)
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
	t.nodes[i] = n
	p.first = i
	return i
}

// take frees the node at i with all that is in it, and adds the kinds of the parts
// that were cut from it to out.
func (t *tree) take(m *model, i int32, out []int32) []int32 {
	out = t.clear(m, i, out)
	t.merge(m, i)
	t.reopen(m)
	return out
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
		t.nodes[c].next, t.spare = t.spare, c
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
	for {
		p := t.nodes[i].parent
		if p == none {
			return
		}
		for before, c := none, t.nodes[p].first; c != none; before, c = c, t.nodes[c].next {
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
			n.next, t.spare = t.spare, c
			break
		}
		if t.nodes[p].first != i || t.nodes[i].next != none {
			return
		}
		t.clear(m, p, nil)
		i = p
	}
}

// reopen lists the open leaves and sums their worth.
func (t *tree) reopen(m *model) {
	t.open, t.value = t.open[:0], 0
	t.walk(0, func(i int32) {
		n := &t.nodes[i]
		if n.cut == NoCut && n.kind < 0 && (m.stages == 0 || n.level <= m.stages) {
			t.open = append(t.open, i)
			t.value += worth(n.l, n.w, m.scale)
		}
	})
}

// walk calls f with every node below and at i.
func (t *tree) walk(i int32, f func(int32)) {
	f(i)
	for c := t.nodes[i].first; c != none; c = t.nodes[c].next {
		t.walk(c, f)
	}
}

// parts adds the kinds of all parts of t to out.
func (t *tree) parts(out []int32) []int32 {
	t.walk(0, func(i int32) {
		if t.nodes[i].kind >= 0 {
			out = append(out, t.nodes[i].kind)
		}
	})
	return out
}
