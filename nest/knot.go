package nest

import (
	"cmp"
	"slices"
)

// knot is a node of a cut tree without places: what is cut, in which direction, and in
// which order, but not what is left over. Its extents are grown by the kerf, as in model,
// and follow from its parts; what remains of a piece after its children is one free
// remainder, always the last.
type knot struct {
	cut  Direction // NoCut for a part
	kids []*knot   // parts, or knots cut in the other direction

	part   int // of the problem
	turned bool
	size   [2]int64 // of a part, along x and along y

	// room, where above 0, is the extent that a child is given along the axis that its
	// parent divides, beyond what it needs.
	room int64
	// tail, where above 0, is the extent of the child that comes last where nothing
	// remains, so that no cut need be set to it.
	tail int64
}

// axis returns the index of the extent that cuts in direction d divide.
func axis(d Direction) int {
	if d == Rip {
		return 1
	}
	return 0
}

// tie reads the knot of a piece, nil where no part lies on it. Cuts that bring one part to
// size are left out: they follow from the room that the part gets.
func tie(p *Piece, parts []Part, kerf int64) *knot {
	if p.Part >= 0 {
		l, w := parts[p.Part].Length+kerf, parts[p.Part].Width+kerf
		if p.Turned {
			l, w = w, l
		}
		return &knot{part: p.Part, turned: p.Turned, size: [2]int64{l, w}}
	}
	k := &knot{cut: p.Cut}
	for i := range p.Children {
		kid := tie(&p.Children[i], parts, kerf)
		switch {
		case kid == nil:
		case kid.cut == p.Cut:
			k.kids = append(k.kids, kid.kids...)
		default:
			k.kids = append(k.kids, kid)
		}
	}
	switch {
	case len(k.kids) == 0:
		return nil
	case len(k.kids) == 1 && k.kids[0].cut == NoCut:
		return k.kids[0]
	}
	return k
}

func (k *knot) clone() *knot {
	n := k.count()
	return (&copies{make([]knot, n), make([]*knot, n-1)}).of(k)
}

// count returns how many knots there are, k among them.
func (k *knot) count() int {
	n := 1
	for _, kid := range k.kids {
		n += kid.count()
	}
	return n
}

// copies is room for copies of knots: to make it at once takes far less time than one by one.
type copies struct {
	knots []knot
	kids  []*knot
}

func (c *copies) of(k *knot) *knot {
	next, n := &c.knots[0], len(k.kids)
	*next, c.knots = *k, c.knots[1:]
	next.kids, c.kids = c.kids[:n:n], c.kids[n:]
	for i, kid := range k.kids {
		next.kids[i] = c.of(kid)
	}
	return next
}

// need returns the least extent of k along axis a.
func (k *knot) need(a int) (sum int64) {
	if k.cut == NoCut {
		return k.size[a]
	}
	for _, kid := range k.kids {
		if a == axis(k.cut) {
			sum += kid.extent(a)
		} else {
			sum = max(sum, kid.need(a))
		}
	}
	return sum
}

// extent returns that of a child along the axis a that its parent divides.
func (k *knot) extent(a int) int64 { return max(k.room, k.need(a)) }

// sort orders the children everywhere: widest first, equal ones together.
func (k *knot) sort() {
	if k.cut == NoCut {
		return
	}
	a := axis(k.cut)
	for _, kid := range k.kids {
		kid.sort()
	}
	slices.SortStableFunc(k.kids, func(p, q *knot) int {
		return cmp.Or(cmp.Compare(q.extent(a), p.extent(a)), cmp.Compare(q.need(1-a), p.need(1-a)), p.compare(q))
	})
	if i := slices.IndexFunc(k.kids, func(kid *knot) bool { return kid.extent(a) == k.tail }); i >= 0 {
		k.kids = append(slices.Delete(slices.Clone(k.kids), i, i+1), k.kids[i])
	}
}

// compare returns 0 for knots that are cut alike into parts of equal sizes.
func (k *knot) compare(q *knot) int {
	if c := cmp.Or(cmp.Compare(k.cut, q.cut), cmp.Compare(k.room, q.room), cmp.Compare(k.size[0], q.size[0]), cmp.Compare(k.size[1], q.size[1])); c != 0 {
		return c
	}
	return slices.CompareFunc(k.kids, q.kids, (*knot).compare)
}

// lay places k at a corner, in a piece of the given extents, which must be as large as it
// needs. What a child leaves beside a part is cut off to bring the part to size.
func (k *knot) lay(at, size [2]int64, kerf int64) Piece {
	p := Piece{X: at[0], Y: at[1], Length: size[0] - kerf, Width: size[1] - kerf, Part: -1, Cut: k.cut}
	kids, a := k.kids, axis(k.cut)
	if k.cut == NoCut {
		switch {
		case size == k.size:
			p.Part, p.Turned = k.part, k.turned
			return p
		case size[0] > k.size[0]:
			p.Cut, a = Crosscut, 0
		default:
			p.Cut, a = Rip, 1
		}
		kids = []*knot{k}
	}
	left := size[a]
	for _, kid := range kids {
		extent := size
		extent[a] = kid.extent(a)
		piece := kid.lay(at, extent, kerf)
		if piece.Cut == p.Cut { // nothing was to be cut across it
			p.Children = append(p.Children, piece.Children...)
		} else {
			p.Children = append(p.Children, piece)
		}
		// Where the blade takes what a child leaves, the next moves up.
		last := &p.Children[len(p.Children)-1]
		end := [2]int64{last.X + last.Length, last.Y + last.Width}[a] + kerf
		left -= end - at[a]
		at[a] = end
	}
	if left > kerf {
		rest := size
		rest[a] = left
		p.Children = append(p.Children, Piece{X: at[0], Y: at[1], Length: rest[0] - kerf, Width: rest[1] - kerf, Part: -1})
	}
	if len(p.Children) == 1 && left == 0 {
		return p.Children[0]
	}
	return p
}
