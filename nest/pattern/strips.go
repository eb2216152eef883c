package pattern

import (
	"cmp"
	"slices"
)

// Strips finds best patterns of two or three stages: cuts in the first direction free
// strips, cuts across free pieces of the strip's thickness, which are one part each, or
// with three stages a stack of parts; and a last cut may bring each part to size. It is a
// knapsack problem over the stack of a piece, one over the pieces of a strip for each
// thickness, and one over the strips:
//
//	P. C. Gilmore, R. E. Gomory (1965), Multistage cutting stock problems of two and more
//	dimensions, Operations Research 13.
type Strips struct {
	first   Direction
	stacked bool
	// What follows is turned so that strips lie along x.
	sheets  []Size
	ways    []Way // by length
	xs, ys  []int64
	thick   []int // of each way: the index in ys of the least extent that holds it
	groups  []group
	strips  [][]int64 // by sheet, then y: the most valuable strip of that thickness
	column  [][]int64 // by sheet, then y: the most valuable strips of together that
	runs    []run     // of groups, for the thickness at hand
	nothing []int64   // a row without pieces
	traced  int       // parts of the pattern that is being traced
	known   map[place]known
	steps   int64
}

// run is some groups in a row, and the most valuable pieces of these and all before. It
// stands until a piece of theirs changes its value, from one thickness to the next or
// from one Fill to the next.
type run struct {
	groups []group
	values []int64 // by group: of a piece
	row    []int64 // by x: of pieces of together that; that of the run before where these add nothing
	own    []int64 // memory for row
	steps  int64   // with those of the runs before
}

// runCells bounds the memory of runs, so that it stays near the processor.
const runCells = 1 << 16

// place is where a strip stands in the tables.
type place struct {
	length int64
	y      int
}

// known is a strip traced since the last Fill, and how many parts it has.
type known struct {
	strip Tree
	parts int
}

// group is all ways up to a length, which a piece of that length may hold.
type group struct {
	length int64
	place  int     // index in xs of the least extent that holds it
	rest   []int32 // by x: the index of the greatest extent up to xs[x]-length
	ways   int     // how many ways are no longer
	value  []int64 // by y: the most valuable piece of that thickness
}

// NewStrips prepares patterns of two or three stages, the first in the given direction,
// with pieces of the given extents, which ascend from 0: with all raster points the best
// there are, with fewer patterns still.
func NewStrips(ways []Way, sheets []Size, first Direction, stages int, xs, ys []int64) *Strips {
	s := &Strips{first: first, stacked: stages == 3, xs: xs, ys: ys}
	if first == Crosscut {
		s.xs, s.ys = ys, xs
	}
	for _, w := range ways {
		s.ways = append(s.ways, Way{s.turn(w.Size), w.Part, w.Turned})
	}
	slices.SortStableFunc(s.ways, func(a, b Way) int { return cmp.Compare(a.L, b.L) })
	for i, w := range s.ways {
		at, _ := slices.BinarySearch(s.ys, w.W)
		s.thick = append(s.thick, at)
		if i == 0 || w.L > s.ways[i-1].L {
			s.addGroup(w.L)
		}
		s.groups[len(s.groups)-1].ways = i + 1
	}
	for _, size := range sheets {
		s.sheets = append(s.sheets, s.turn(size))
		s.strips = append(s.strips, make([]int64, len(s.ys)))
		s.column = append(s.column, make([]int64, len(s.ys)))
	}
	s.nothing, s.known = make([]int64, len(s.xs)), map[place]known{}
	s.inRuns(1 + len(s.groups)*len(s.xs)/runCells)
	return s
}

// inRuns makes runs of so many groups, as they are filled where no piece is worth anything.
func (s *Strips) inRuns(together int) {
	s.runs = nil
	for some := range slices.Chunk(s.groups, together) {
		s.runs = append(s.runs, run{groups: some, values: make([]int64, len(some)), row: s.nothing})
	}
}

func (s *Strips) addGroup(length int64) {
	place, _ := slices.BinarySearch(s.xs, length)
	g := group{length: length, place: place, rest: make([]int32, len(s.xs)), value: make([]int64, len(s.ys))}
	at := 0
	for x := place; x < len(s.xs); x++ {
		for s.xs[at+1] <= s.xs[x]-length {
			at++
		}
		g.rest[x] = int32(at)
	}
	s.groups = append(s.groups, g)
}

// turn exchanges x and y where the first cut is a crosscut.
func (s *Strips) turn(size Size) Size {
	if s.first == Crosscut {
		return Size{size.W, size.L}
	}
	return size
}

// Steps returns how many additions of a part, piece or strip were tried in all.
func (s *Strips) Steps() int64 { return s.steps }

// Fill computes the values of best patterns, given the value of each part, 0 or more.
// The sum of values on a sheet must stay below 2^62.
func (s *Strips) Fill(values []int64) {
	s.fillPieces(values)
	clear(s.known)
	for y := range s.ys {
		if y > 0 && !s.changes(y) {
			for j := range s.sheets {
				s.strips[j][y] = s.strips[j][y-1]
			}
			continue
		}
		row := s.fillRow(y)
		for j, sheet := range s.sheets {
			s.strips[j][y] = row[under(s.xs, sheet.L)]
		}
	}
	for j := range s.sheets {
		column := s.column[j]
		clear(column)
		for y, v := range s.strips[j] {
			if v > column[y] {
				s.pack(column, y, s.ys[y], v)
			}
		}
	}
	s.steps += int64(len(s.groups) * len(s.ys))
}

func (s *Strips) fillPieces(values []int64) {
	stack := make([]int64, len(s.ys))
	way := 0
	for i := range s.groups {
		g := &s.groups[i]
		for ; way < g.ways; way++ {
			v := values[s.ways[way].Part]
			switch {
			case v == 0:
			case s.stacked:
				s.pack(stack, s.thick[way], s.ways[way].W, v)
			default:
				for y := s.thick[way]; y < len(stack) && stack[y] < v; y++ {
					stack[y] = v
				}
			}
		}
		copy(g.value, stack)
	}
}

// changes reports whether a strip can hold more for being of thickness y.
func (s *Strips) changes(y int) bool {
	for i := range s.groups {
		if v := s.groups[i].value; v[y] != v[y-1] {
			return true
		}
	}
	return false
}

// fillRow packs pieces of thickness y into strips of all lengths.
func (s *Strips) fillRow(y int) []int64 {
	row, steps, stands := s.nothing, int64(0), true
	for i := range s.runs {
		r := &s.runs[i]
		if stands = stands && r.stands(y); !stands {
			r.fill(y, row, steps)
		}
		row, steps = r.row, r.steps
	}
	s.steps += steps
	return row
}

// stands reports whether pieces of thickness y are worth what r was filled with.
func (r *run) stands(y int) bool {
	for i := range r.groups {
		if r.groups[i].value[y] != r.values[i] {
			return false
		}
	}
	return true
}

// fill adds the pieces of r to a row, which took so many steps.
func (r *run) fill(y int, row []int64, steps int64) {
	for i := range r.groups {
		g := &r.groups[i]
		v := g.value[y]
		r.values[i] = v
		if g.place == len(row) || v <= row[g.place] {
			continue
		}
		if r.own == nil {
			r.own = make([]int64, len(row))
		}
		own, rest := r.own, g.rest[:len(row)]
		copy(own[:g.place], row)
		last := row[g.place]
		for x := g.place; x < len(row); x++ {
			last = max(last, row[x], own[rest[x]]+v)
			own[x] = last
		}
		row = own
		steps += int64(len(row) - g.place)
	}
	r.row, r.steps = row, steps
}

// pack extends a knapsack over ys by any number of copies of one more thing.
func (s *Strips) pack(table []int64, place int, length, value int64) {
	rest := 0
	for y := place; y < len(table); y++ {
		for s.ys[rest+1] <= s.ys[y]-length {
			rest++
		}
		table[y] = max(table[y], table[rest]+value)
		if y > 0 {
			table[y] = max(table[y], table[y-1])
		}
	}
	s.steps += int64(len(table) - place)
}

// Best returns the greatest value of a pattern on sheet j.
func (s *Strips) Best(j int) int64 { return s.column[j][under(s.ys, s.sheets[j].W)] }

// Patterns returns up to most patterns of the last Fill, given its values again, on sheet
// j that are worth more than least: the best ones with a strip of some thickness. No two
// of them have the same value.
func (s *Strips) Patterns(j int, values []int64, least int64, most int) []Tree {
	type choice struct {
		value int64
		y     int
	}
	var choices []choice
	strips := s.strips[j]
	top := under(s.ys, s.sheets[j].W)
	for y := 1; y <= top; y++ {
		if strips[y] > strips[y-1] {
			if v := strips[y] + s.column[j][under(s.ys, s.sheets[j].W-s.ys[y])]; v > least {
				choices = append(choices, choice{v, y})
			}
		}
	}
	slices.SortStableFunc(choices, func(a, b choice) int { return cmp.Compare(b.value, a.value) })
	var out []Tree
	last := int64(-1)
	for _, c := range choices {
		if len(out) == most {
			break
		}
		if c.value != last {
			last = c.value
			out = append(out, s.trace(j, values, c.y))
		}
	}
	return out
}

// trace returns a best pattern on sheet j with a strip of thickness y. Between fewer than
// all points, one order of pieces may leave more room than another: a pattern may then
// be worth more than the tables say.
func (s *Strips) trace(j int, values []int64, y int) Tree {
	sheet := s.sheets[j]
	out := Tree{Size: sheet, Part: -1, Cut: Rip}
	left, room := sheet.W, sheet.W
	s.traced = 0
	for y > 0 && s.traced < MostParts {
		strip := s.strip(sheet.L, y, values)
		out.Children = append(out.Children, strip)
		left -= strip.W
		// What the table says of the rest, by one more strip. The room is what is left by
		// its reckoning; a strip may turn out thinner.
		room -= s.ys[y]
		at := under(s.ys, room)
		y = 0
		for i := 1; i <= at; i++ {
			if v := s.strips[j][i]; v > s.strips[j][i-1] && v+s.column[j][under(s.ys, room-s.ys[i])] >= s.column[j][at] {
				y = i
				break
			}
		}
	}
	if left > 0 {
		out.Children = append(out.Children, Tree{Size: Size{sheet.L, left}, Part: -1})
	}
	if len(out.Children) == 1 {
		out = out.Children[0]
	}
	lift(&out)
	if s.first == Crosscut {
		out = transposed(&out)
	}
	return out
}

// strip returns a best strip of thickness y, as thin as its parts let it be, its children
// joined.
func (s *Strips) strip(length int64, y int, values []int64) Tree {
	at := place{length, y}
	if k, ok := s.known[at]; ok && s.traced+k.parts <= MostParts {
		s.traced += k.parts
		return k.strip
	}
	before := s.traced
	out := s.traceStrip(length, y, values)
	join(&out)
	if s.traced < MostParts {
		s.known[at] = known{out, s.traced - before}
	}
	return out
}

func (s *Strips) traceStrip(length int64, y int, values []int64) Tree {
	row := s.fillRow(y)
	var pieces []Tree
	thickness, left := int64(0), length
	for at := under(s.xs, length); row[at] > 0 && s.traced < MostParts; {
		for row[at-1] == row[at] {
			at--
		}
		found := 0
		for ; ; found++ {
			if g := &s.groups[found]; g.place <= at && g.value[y] > 0 && g.value[y]+row[g.rest[at]] >= row[at] {
				break
			}
		}
		piece := s.stack(&s.groups[found], y, values)
		pieces = append(pieces, piece)
		thickness, left = max(thickness, piece.W), left-piece.L
		at = int(s.groups[found].rest[at])
	}
	out := Tree{Size: Size{length, thickness}, Part: -1, Cut: Crosscut}
	for _, p := range pieces {
		switch rest := thickness - p.W; {
		case rest == 0:
		case p.Cut == Rip:
			p.Children = append(p.Children, Tree{Size: Size{p.L, rest}, Part: -1})
			p.W = thickness
		default:
			p = Tree{Size: Size{p.L, thickness}, Part: -1, Cut: Rip, Children: []Tree{p, {Size: Size{p.L, rest}, Part: -1}}}
		}
		out.Children = append(out.Children, p)
	}
	if left > 0 {
		out.Children = append(out.Children, Tree{Size: Size{left, thickness}, Part: -1})
	}
	if len(out.Children) == 1 {
		out = out.Children[0]
	}
	return out
}

// stack returns a best piece for a strip of thickness y, as small as its parts let it be.
func (s *Strips) stack(g *group, y int, values []int64) Tree {
	var chosen []*Way
	length, width := int64(0), int64(0)
	for at := y; g.value[at] > 0 && s.traced < MostParts; {
		for g.value[at-1] == g.value[at] {
			at--
		}
		rest := 0
		found := slices.IndexFunc(s.ways[:g.ways], func(w Way) bool {
			v := values[w.Part]
			if v == 0 || w.W > s.ys[at] {
				return false
			}
			if s.stacked {
				rest = under(s.ys, s.ys[at]-w.W)
			}
			return v+g.value[rest] >= g.value[at]
		})
		w := &s.ways[found]
		chosen = append(chosen, w)
		s.traced++
		length, width = max(length, w.L), width+w.W
		if !s.stacked {
			break
		}
		at = rest
	}
	out := Tree{Size: Size{length, width}, Part: -1, Cut: Rip}
	for _, w := range chosen {
		out.Children = append(out.Children, single(Size{length, w.W}, w))
	}
	if len(out.Children) == 1 {
		out = out.Children[0]
	}
	return out
}

// transposed returns t with x and y exchanged.
func transposed(t *Tree) Tree {
	out := *t
	out.Size = Size{t.W, t.L}
	if t.Cut != NoCut {
		out.Cut = Rip + Crosscut - t.Cut
	}
	out.Children = make([]Tree, len(t.Children))
	for i := range t.Children {
		out.Children[i] = transposed(&t.Children[i])
	}
	return out
}
