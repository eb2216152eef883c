// Package pattern finds the most valuable way to cut one sheet with edge-to-edge cuts,
// if copies are not limited. It is what a column generation prices with, and a source of
// cutting patterns for a search.
//
// It knows no kerf and no trim: grow every part and every trimmed sheet by the kerf, and
// what remains is cutting without one. Lengths are of one unit of the caller's choice.
package pattern

import (
	"cmp"
	"math"
	"slices"
)

// Size is a length, along x, by a width, along y.
type Size struct{ L, W int64 }

// Way is a position in which a part may lie: parts that may turn have two.
type Way struct {
	Size
	Part   int  // index of the value that the caller gives to the part
	Turned bool // the part's length lies along y
}

// Direction is that of a cut. Its values are those of the nest package.
type Direction uint8

const (
	// NoCut marks a leaf.
	NoCut Direction = iota
	// Rip cuts run parallel to x.
	Rip
	// Crosscut cuts run parallel to y.
	Crosscut
)

// Tree is a cut tree: a piece and what becomes of it. A leaf is a part exactly to size,
// or waste, whose Part is -1. Children lie from the corner outwards, fill the piece, and
// are cut in the other direction or not at all.
type Tree struct {
	Size
	Part     int
	Turned   bool
	Cut      Direction
	Children []Tree
}

// Count adds the copies of each part in t to counts.
func (t *Tree) Count(counts []int) {
	if t.Part >= 0 {
		counts[t.Part]++
	}
	for i := range t.Children {
		t.Children[i].Count(counts)
	}
}

// Raster returns the lengths that pieces need to have in patterns on sheets of the given
// lengths, ascending from 0: the reduced raster points of
//
//	J. Terno, R. Lindemann, G. Scheithauer (1987), Zuschnittprobleme und ihre praktische
//	Loesung,
//
// for each sheet, united. It reports false where there would be more than most normal
// points (sums of part lengths), from which they are reduced.
func Raster(parts, sheets []int64, most int) ([]int64, bool) {
	longest := slices.Max(sheets)
	normal, merged := []int64{0}, []int64(nil)
	parts = slices.Clone(parts)
	slices.Sort(parts)
	for _, l := range slices.Compact(parts) {
		// Merge normal with itself plus any number of l.
		merged = merged[:0]
		for i, j := 0, 0; ; {
			next := int64(math.MaxInt64)
			if i < len(normal) {
				next = normal[i]
			}
			if j < len(merged) && merged[j]+l < next {
				next = merged[j] + l
			}
			if next > longest {
				break
			}
			if len(merged) == most {
				return nil, false
			}
			merged = append(merged, next)
			for i < len(normal) && normal[i] <= next {
				i++
			}
			for j < len(merged) && merged[j]+l <= next {
				j++
			}
		}
		normal, merged = merged, normal
	}
	var points []int64
	for _, sheet := range sheets {
		// <sheet - <sheet - p>>, where <a> is the greatest normal point up to a.
		for i := range normal {
			if normal[i] > sheet {
				break
			}
			points = append(points, normal[under(normal, sheet-normal[under(normal, sheet-normal[i])])])
		}
	}
	slices.Sort(points)
	return slices.Compact(points), true
}

// Table finds best patterns for sheets of several sizes at once, by dynamic programming
// over the raster points of both axes, after
//
//	P. C. Gilmore, R. E. Gomory (1966), The theory and computation of knapsack functions,
//	Operations Research 14.
//
// A piece is made of blocks side by side. Only those blocks are tried that are worth more
// than any two blocks beside one another and than any smaller piece: they are few, so
// that a table of n by m points takes little more than n*m steps.
type Table struct {
	swapped bool // everything is kept with x and y exchanged
	sheets  []Size
	ways    []Way
	xs, ys  []int64
	overX   []int32 // overX[i*len(xs)+j] is the index of the greatest point up to xs[i]-xs[j]
	overY   []int32 // the same of ys for the row at hand
	place   []int32 // of each way: the cell of the least piece that holds it
	best    []int64 // by cell, y*len(xs)+x
	blocks  [][]block
	steps   int64
	traced  int // parts of the pattern that is being traced
}

// MostParts is how many parts a pattern has at most that is handed out; the rest of the
// sheet is left over then.
const MostParts = 4000

// block is a piece worth trying beside others.
type block struct {
	at    int32 // index of its extent
	value int64
}

// Axes returns the raster points of both axes for the given ways and sheets. It reports
// false where either has more than most normal points.
func Axes(ways []Way, sheets []Size, most int) (xs, ys []int64, ok bool) {
	var lengths, widths, sheetL, sheetW []int64
	for _, w := range ways {
		lengths, widths = append(lengths, w.L), append(widths, w.W)
	}
	for _, s := range sheets {
		sheetL, sheetW = append(sheetL, s.L), append(sheetW, s.W)
	}
	xs, okX := Raster(lengths, sheetL, most)
	ys, okY := Raster(widths, sheetW, most)
	return xs, ys, okX && okY
}

// NewTable prepares a table with pieces of the given extents, which ascend from 0. With
// all raster points its patterns are the best there are; with fewer they are patterns
// still.
func NewTable(ways []Way, sheets []Size, xs, ys []int64) *Table {
	t := &Table{sheets: slices.Clone(sheets), ways: slices.Clone(ways), xs: xs, ys: ys}
	if len(xs) > len(ys) {
		// What is tabulated of the axis within rows is the square of its points.
		t.swapped, t.xs, t.ys = true, ys, xs
		for i, s := range sheets {
			t.sheets[i] = Size{s.W, s.L}
		}
		for i, w := range ways {
			t.ways[i].Size = Size{w.W, w.L}
		}
	}
	t.overX, t.overY = remainders(t.xs), make([]int32, len(t.ys))
	t.place = make([]int32, len(ways))
	for i, w := range t.ways {
		x, _ := slices.BinarySearch(t.xs, w.L)
		y, _ := slices.BinarySearch(t.ys, w.W)
		t.place[i] = -1
		if x < len(t.xs) && y < len(t.ys) {
			t.place[i] = int32(y*len(t.xs) + x)
		}
	}
	t.best = make([]int64, len(t.xs)*len(t.ys))
	t.blocks = make([][]block, len(t.xs))
	return t
}

// Again returns a table of the same extents that may be filled beside t.
func (t *Table) Again() *Table {
	a := *t
	a.overY, a.best, a.blocks = make([]int32, len(t.ys)), make([]int64, len(t.best)), make([][]block, len(t.xs))
	a.steps = 0
	return &a
}

// under returns the index of the greatest of the points, which ascend from 0, up to a ≥ 0.
func under(points []int64, a int64) int {
	i, found := slices.BinarySearch(points, a)
	if !found {
		i--
	}
	return i
}

// remainders tabulates what is left of a point beside another.
func remainders(points []int64) []int32 {
	n := len(points)
	over := make([]int32, n*n)
	for i := range points {
		remainder(points, i, over[i*n:])
	}
	return over
}

// remainder tabulates what is left of point i beside each that is no greater: the index of
// the greatest point up to their difference.
func remainder(points []int64, i int, over []int32) {
	at := int32(i)
	for j := 0; j <= i; j++ {
		for points[at] > points[i]-points[j] {
			at--
		}
		over[j] = at
	}
}

// Cells returns how many pieces the table holds.
func (t *Table) Cells() int { return len(t.best) }

// Steps returns how many ways to divide a piece were tried in all.
func (t *Table) Steps() int64 { return t.steps }

// Fill computes the values of best patterns, given the value of each part, 0 or more.
// The sum of values on a sheet must stay below 2^62.
func (t *Table) Fill(values []int64) {
	clear(t.best)
	for i, w := range t.ways {
		if at := t.place[i]; at >= 0 {
			t.best[at] = max(t.best[at], values[w.Part])
		}
	}
	for x := range t.blocks {
		t.blocks[x] = t.blocks[x][:0]
	}
	nx := len(t.xs)
	var row []block
	tries := int64(0)
	for y := range t.ys {
		line := t.best[y*nx : (y+1)*nx]
		overY := t.overY
		remainder(t.ys, y, overY)
		row = row[:0]
		for x := range line {
			left, under := int64(0), int64(0)
			if x > 0 {
				left = line[x-1]
			}
			if y > 0 {
				under = t.best[(y-1)*nx+x]
			}
			// Side by side, then one above the other; the smaller block first.
			beside, above := int64(0), int64(0)
			overX := t.overX[x*nx : x*nx+x+1]
			for _, b := range row {
				rest := overX[b.at]
				if rest < b.at {
					break
				}
				beside = max(beside, b.value+line[rest])
				tries++
			}
			for _, b := range t.blocks[x] {
				rest := overY[b.at]
				if rest < b.at {
					break
				}
				above = max(above, b.value+t.best[int(rest)*nx+x])
				tries++
			}
			v := max(line[x], left, under, beside, above)
			line[x] = v
			if v > left && v > beside {
				row = append(row, block{int32(x), v})
			}
			if v > under && v > above {
				t.blocks[x] = append(t.blocks[x], block{int32(y), v})
			}
		}
	}
	t.steps += tries + 4*int64(len(t.best))
}

// Best returns the greatest value of a pattern on sheet j.
func (t *Table) Best(j int) int64 {
	x, y := t.cell(t.sheets[j])
	return t.best[y*len(t.xs)+x]
}

// cell returns the indexes of the greatest points up to a size.
func (t *Table) cell(s Size) (x, y int) { return under(t.xs, s.L), under(t.ys, s.W) }

// Patterns returns up to most patterns of the last Fill, given its values again, on sheet
// j that are worth more than least: a best one, then those that are best with another
// first cut. No two of them have the same value.
func (t *Table) Patterns(j int, values []int64, least int64, most int) []Tree {
	type choice struct {
		value int64
		cut   Direction
		a, b  int
	}
	var choices []choice
	s := t.sheets[j]
	x, y := t.cell(s)
	nx := len(t.xs)
	for a := 1; a < x; a++ {
		b := int(t.overX[x*nx+a])
		if v := t.best[y*nx+a] + t.best[y*nx+b]; b <= a && v > least {
			choices = append(choices, choice{v, Crosscut, a, b})
		}
	}
	for a := 1; a < y; a++ {
		b := under(t.ys, t.ys[y]-t.ys[a])
		if v := t.best[a*nx+x] + t.best[b*nx+x]; b <= a && v > least {
			choices = append(choices, choice{v, Rip, a, b})
		}
	}
	slices.SortStableFunc(choices, func(a, b choice) int { return cmp.Compare(b.value, a.value) })
	var out []Tree
	best, last := t.best[y*nx+x], int64(-1)
	if best > least {
		t.traced = 0
		tree := t.trace(s, x, y, values, NoCut)
		out, last = append(out, t.handOut(&tree)), best
	}
	for _, c := range choices {
		if len(out) >= most {
			break
		}
		if c.value == last {
			continue
		}
		last = c.value
		t.traced = 0
		tree := Tree{Size: s, Part: -1, Cut: c.cut}
		if c.cut == Crosscut {
			l := t.xs[c.a]
			tree.Children = []Tree{t.trace(Size{l, s.W}, c.a, y, values, c.cut), t.trace(Size{s.L - l, s.W}, c.b, y, values, c.cut)}
		} else {
			w := t.ys[c.a]
			tree.Children = []Tree{t.trace(Size{s.L, w}, x, c.a, values, c.cut), t.trace(Size{s.L, s.W - w}, x, c.b, values, c.cut)}
		}
		out = append(out, t.handOut(&tree))
	}
	return out
}

// handOut makes a traced tree one in the caller's coordinates.
func (t *Table) handOut(tree *Tree) Tree {
	join(tree)
	if t.swapped {
		return transposed(tree)
	}
	return *tree
}

// trace finds again how the value of a cell came about, in a piece of size s that is at
// least as large. Cuts go on in the direction of the one before where they can.
func (t *Table) trace(s Size, x, y int, values []int64, last Direction) Tree {
	x, y = t.shrink(x, y)
	v := t.best[y*len(t.xs)+x]
	if v == 0 || t.traced >= MostParts {
		return Tree{Size: s, Part: -1}
	}
	way := -1
	for i, w := range t.ways {
		if values[w.Part] == v && w.L <= t.xs[x] && w.W <= t.ys[y] &&
			(way < 0 || cmp.Or(cmp.Compare(w.L, t.ways[way].L), cmp.Compare(w.W, t.ways[way].W)) > 0) {
			way = i
		}
	}
	if way >= 0 {
		t.traced++
		return single(s, &t.ways[way])
	}
	d := Crosscut
	near, far, ok := t.divide(x, y, d)
	if nearR, farR, okR := t.divide(x, y, Rip); okR && (!ok || last == Rip) {
		d, near, far, ok = Rip, nearR, farR, okR
	}
	if !ok {
		panic("pattern: values differ from those of the last Fill")
	}
	out := Tree{Size: s, Part: -1, Cut: d}
	for ok && t.traced < MostParts {
		if d == Crosscut {
			piece := Size{t.xs[near], s.W}
			out.Children = append(out.Children, t.trace(piece, near, y, values, d))
			x, s.L = far, s.L-piece.L
		} else {
			piece := Size{s.L, t.ys[near]}
			out.Children = append(out.Children, t.trace(piece, x, near, values, d))
			y, s.W = far, s.W-piece.W
		}
		x, y = t.shrink(x, y)
		near, far, ok = t.divide(x, y, d)
	}
	if s.L > 0 && s.W > 0 {
		out.Children = append(out.Children, t.trace(s, x, y, values, d))
	}
	return out
}

// shrink returns the least cell of the same value.
func (t *Table) shrink(x, y int) (int, int) {
	nx := len(t.xs)
	v := t.best[y*nx+x]
	for x > 0 && t.best[y*nx+x-1] == v {
		x--
	}
	for y > 0 && t.best[(y-1)*nx+x] == v {
		y--
	}
	return x, y
}

// divide finds two cells beside one another, cut in direction d, that are together worth
// as much as a cell, the first as small as can be.
func (t *Table) divide(x, y int, d Direction) (near, far int, ok bool) {
	nx := len(t.xs)
	v := t.best[y*nx+x]
	if d == Crosscut {
		for a := 1; a < x; a++ {
			b := int(t.overX[x*nx+a])
			if one := t.best[y*nx+a]; one > 0 && one < v && one+t.best[y*nx+b] == v {
				return a, b, true
			}
		}
		return 0, 0, false
	}
	for a := 1; a < y; a++ {
		b := under(t.ys, t.ys[y]-t.ys[a])
		if one := t.best[a*nx+x]; one > 0 && one < v && one+t.best[b*nx+x] == v {
			return a, b, true
		}
	}
	return 0, 0, false
}

// single cuts one part from a piece.
func single(s Size, w *Way) Tree {
	out := Tree{Size: w.Size, Part: w.Part, Turned: w.Turned}
	if s.L > w.L {
		out = Tree{Size: Size{s.L, w.W}, Part: -1, Cut: Crosscut, Children: []Tree{out, {Size: Size{s.L - w.L, w.W}, Part: -1}}}
	}
	if s.W > w.W {
		out = Tree{Size: s, Part: -1, Cut: Rip, Children: []Tree{out, {Size: Size{s.L, s.W - w.W}, Part: -1}}}
	}
	return out
}

// join lifts all children that are cut in the direction of their parent into it, and joins
// the waste among them at the end.
func join(t *Tree) {
	for i := range t.Children {
		join(&t.Children[i])
	}
	lift(t)
}

// lift is join for the children of t itself.
func lift(t *Tree) {
	if t.Cut == NoCut || t.lifted() {
		return
	}
	children := make([]Tree, 0, len(t.Children)+1)
	waste := int64(0)
	for i := range t.Children {
		grandchildren := t.Children[i : i+1]
		if c := &t.Children[i]; c.Cut == t.Cut {
			grandchildren = c.Children
		}
		for _, g := range grandchildren {
			switch {
			case g.Part >= 0 || g.Cut != NoCut:
				children = append(children, g)
			case t.Cut == Rip:
				waste += g.W
			default:
				waste += g.L
			}
		}
	}
	if waste > 0 {
		rest := Tree{Size: Size{waste, t.W}, Part: -1}
		if t.Cut == Rip {
			rest.Size = Size{t.L, waste}
		}
		children = append(children, rest)
	}
	t.Children = children
}

// lifted reports whether there is nothing to lift or join in t.
func (t *Tree) lifted() bool {
	for i := range t.Children {
		c := &t.Children[i]
		if c.Cut == t.Cut || c.Part < 0 && c.Cut == NoCut && i+1 < len(t.Children) {
			return false
		}
	}
	return true
}
