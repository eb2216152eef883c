package verify

// rect is a rectangle of a sheet, from the corner of the untrimmed sheet, in nm.
type rect struct{ x, y, length, width int64 }

// piece is a node of the tree that the cuts make of a sheet.
type piece struct {
	rect
	stage    int64    // of the cuts that freed it, 0 for the trimmed sheet
	along    bool     // those cuts were rips
	step     int      // index of the cut that divides it, from 1; 0 for none
	children [2]int32 // the near and the far one; 0 where nothing of it remains
	part     int32    // index of the part placed on it, or -1
	parts    int      // how many parts lie in it
}

// sawn is a sheet in the course of being cut. Pieces with the same two long edges lie
// in one row, and those with the same two ends in one column, so that the piece that a
// cut divides is found by its edges and the nearest start.
//
// No piece is taken out of the rows and columns when it is divided: its children
// either take its place there or belong to other ones, and then nothing else can come
// where it was.
type sawn struct {
	pieces        []piece
	rows, columns map[[2]int64]int32 // roots in the forest
	forest        forest
}

func newSawn(root rect) *sawn {
	s := &sawn{rows: map[[2]int64]int32{}, columns: map[[2]int64]int32{}, forest: forest{{}}}
	s.add(piece{rect: root, part: -1})
	return s
}

func (s *sawn) add(p piece) int32 {
	n := int32(len(s.pieces))
	s.pieces = append(s.pieces, p)
	row, column := [2]int64{p.y, p.y + p.width}, [2]int64{p.x, p.x + p.length}
	s.rows[row] = s.forest.set(s.rows[row], p.x, n)
	s.columns[column] = s.forest.set(s.columns[column], p.y, n)
	return n
}

// find returns the undivided piece that a cut at the given place, running from one
// edge to the other, divides, or -1.
func (s *sawn) find(along bool, at, from, to int64) int32 {
	lines := s.rows
	if along {
		lines = s.columns
	}
	n := s.forest.last(lines[[2]int64{from, to}], at-1)
	if n < 0 || s.pieces[n].step != 0 {
		return -1
	}
	start, size := s.pieces[n].x, s.pieces[n].length
	if along {
		start, size = s.pieces[n].y, s.pieces[n].width
	}
	if at >= start+size {
		return -1
	}
	return n
}

// divide cuts piece n; the kerf lies on the far side of the line.
func (s *sawn) divide(n int32, along bool, at, kerf, stage int64, step int) {
	near, far := s.pieces[n].rect, s.pieces[n].rect
	if along {
		near.width = at - near.y
		far.width -= near.width + kerf
		far.y = at + kerf
	} else {
		near.length = at - near.x
		far.length -= near.length + kerf
		far.x = at + kerf
	}
	s.pieces[n].step = step
	s.pieces[n].children[0] = s.add(piece{rect: near, stage: stage, along: along, part: -1})
	if far.length > 0 && far.width > 0 {
		s.pieces[n].children[1] = s.add(piece{rect: far, stage: stage, along: along, part: -1})
	}
}

// forest is a set of treaps (search trees that are heaps by pseudo-random rank, so that
// no order of cuts makes them deep). Entry 0 is the empty tree.
type forest []struct {
	key         int64
	value       int32
	rank        uint32
	left, right int32
}

// set puts value at key in the tree t and returns the tree's new root.
func (f *forest) set(t int32, key int64, value int32) int32 {
	if t == 0 {
		rank := uint32(len(*f)) * 2654435769 // Fibonacci hashing spreads the ranks
		rank ^= rank >> 15
		rank *= 2246822519
		*f = append(*f, forest{{key: key, value: value, rank: rank}}[0])
		return int32(len(*f) - 1)
	}
	switch {
	case key == (*f)[t].key:
		(*f)[t].value = value
	case key < (*f)[t].key:
		l := f.set((*f)[t].left, key, value)
		(*f)[t].left = l
		if (*f)[l].rank > (*f)[t].rank {
			(*f)[t].left, (*f)[l].right = (*f)[l].right, t
			return l
		}
	default:
		r := f.set((*f)[t].right, key, value)
		(*f)[t].right = r
		if (*f)[r].rank > (*f)[t].rank {
			(*f)[t].right, (*f)[r].left = (*f)[r].left, t
			return r
		}
	}
	return t
}

// last returns the value at the greatest key up to the given one, or -1.
func (f forest) last(t int32, key int64) int32 {
	found := int32(-1)
	for t != 0 {
		if f[t].key <= key {
			found, t = f[t].value, f[t].right
		} else {
			t = f[t].left
		}
	}
	return found
}
