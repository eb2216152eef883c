package pattern

import (
	"cmp"
	"slices"
)

// Strips finds best patterns of two stages: cuts in the first direction free strips,
// cuts across free pieces of the strip's thickness, and a last cut may bring each to
// size. It is one knapsack problem over the length of a strip, extended by one part after
// the other in order of thickness, and one over the strips:
//
//	P. C. Gilmore, R. E. Gomory (1965), Multistage cutting stock problems of two and more
//	dimensions, Operations Research 13.
type Strips struct {
	first  Direction
	sheets []Size // strips lie along L
	ways   []Way  // by thickness, W
	xs, ys []int64
	place  []int     // of each way: the index in xs of its length
	thick  []int     // of each way: the index in ys of its thickness
	strips [][]int64 // by sheet, then way: the best strip of ways up to that one
	best   []int64
	steps  int64
	traced int // parts of the pattern that is traced
}

// NewStrips prepares patterns on the given sheets, first cut in the given direction. It
// reports false where an axis has more than most normal points.
func NewStrips(ways []Way, sheets []Size, first Direction, most int) (*Strips, bool) {
	s := &Strips{first: first, best: make([]int64, len(sheets))}
	for _, w := range ways {
		s.ways = append(s.ways, Way{s.turn(w.Size), w.Part, w.Turned})
	}
	slices.SortStableFunc(s.ways, func(a, b Way) int { return cmp.Compare(a.W, b.W) })
	for _, size := range sheets {
		s.sheets = append(s.sheets, s.turn(size))
	}
	var ok bool
	if s.xs, s.ys, ok = Axes(s.ways, s.sheets, most); !ok {
		return nil, false
	}
	s.place, s.thick = make([]int, len(ways)), make([]int, len(ways))
	for i, w := range s.ways {
		s.place[i], _ = slices.BinarySearch(s.xs, w.L)
		s.thick[i], _ = slices.BinarySearch(s.ys, w.W)
	}
	s.strips = make([][]int64, len(sheets))
	for i := range s.strips {
		s.strips[i] = make([]int64, len(ways))
	}
	return s, true
}

// turn exchanges x and y where the first cut is a crosscut.
func (s *Strips) turn(size Size) Size {
	if s.first == Crosscut {
		return Size{size.W, size.L}
	}
	return size
}

// Steps returns how many additions of a part or strip were tried in all.
func (s *Strips) Steps() int64 { return s.steps }

// Fill computes the values of best patterns, given the value of each part, 0 or more.
func (s *Strips) Fill(values []int64) {
	row := make([]int64, len(s.xs))
	for i, w := range s.ways {
		s.pack(row, s.xs, s.place[i], w.L, values[w.Part])
		for j, sheet := range s.sheets {
			s.strips[j][i] = 0
			if w.W <= sheet.W {
				s.strips[j][i] = row[under(s.xs, sheet.L)]
			}
		}
	}
	column := make([]int64, len(s.ys))
	for j, sheet := range s.sheets {
		clear(column)
		for i, w := range s.ways {
			s.pack(column, s.ys, s.thick[i], w.W, s.strips[j][i])
		}
		s.best[j] = column[under(s.ys, sheet.W)]
	}
}

// pack extends a knapsack table by any number of copies of one more thing.
func (s *Strips) pack(row, points []int64, place int, length, value int64) {
	if value == 0 || place == len(points) {
		return
	}
	rest := 0
	for x := place; x < len(points); x++ {
		for rest+1 < len(points) && points[rest+1] <= points[x]-length {
			rest++
		}
		row[x] = max(row[x], row[rest]+value)
		if x > 0 {
			row[x] = max(row[x], row[x-1])
		}
	}
	s.steps += int64(len(points) - place)
}

// Best returns the greatest value of a pattern on sheet j.
func (s *Strips) Best(j int) int64 { return s.best[j] }

// Patterns returns up to most patterns on sheet j that are worth more than least: the
// best one with any strip, for the thickest strips that give different values.
func (s *Strips) Patterns(j int, values []int64, least int64, most int) []Tree {
	sheet := s.sheets[j]
	column := make([]int64, len(s.ys))
	for i, w := range s.ways {
		s.pack(column, s.ys, s.thick[i], w.W, s.strips[j][i])
	}
	type choice struct {
		value int64
		way   int
	}
	var choices []choice
	for i, w := range s.ways {
		// Only a part that betters the strip makes it as thick as it is.
		if w.W <= sheet.W && s.strips[j][i] > 0 && (i == 0 || s.strips[j][i] > s.strips[j][i-1]) {
			if v := s.strips[j][i] + column[under(s.ys, sheet.W-w.W)]; v > least {
				choices = append(choices, choice{v, i})
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
			out = append(out, s.trace(j, column, values, c.way))
		}
	}
	return out
}

// trace returns a best pattern on sheet j among those with a strip up to the thickness of
// the given way.
func (s *Strips) trace(j int, column, values []int64, way int) Tree {
	sheet := s.sheets[j]
	out := Tree{Size: sheet, Part: -1, Cut: Rip}
	left := sheet.W
	s.traced = 0
	for way >= 0 && s.traced < MostParts {
		strip := s.strip(sheet.L, way, values)
		out.Children = append(out.Children, strip)
		left -= strip.W
		// What the table says of the rest, by one more strip.
		at := under(s.ys, left)
		way = -1
		for i, w := range s.ways {
			if v := s.strips[j][i]; v > 0 && w.W <= left && v+column[under(s.ys, left-w.W)] == column[at] {
				way = i
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
	if s.first == Crosscut {
		out = transposed(&out)
	}
	return out
}

// strip returns a best strip of the ways up to the given one.
func (s *Strips) strip(length int64, last int, values []int64) Tree {
	ways := s.ways[:last+1]
	row := make([]int64, len(s.xs))
	for i, w := range ways {
		s.pack(row, s.xs, s.place[i], w.L, values[w.Part])
	}
	var chosen []Way
	for at := under(s.xs, length); row[at] > 0 && s.traced < MostParts; {
		s.traced++
		for at > 0 && row[at-1] == row[at] {
			at--
		}
		found := false
		for _, w := range ways {
			if v := values[w.Part]; v > 0 && w.L <= s.xs[at] && v+row[under(s.xs, s.xs[at]-w.L)] == row[at] {
				chosen = append(chosen, w)
				at, found = under(s.xs, s.xs[at]-w.L), true
				break
			}
		}
		if !found {
			panic("pattern: values differ from those of the last Fill")
		}
	}
	thickness := int64(0)
	for _, w := range chosen {
		thickness = max(thickness, w.W)
	}
	out := Tree{Size: Size{length, thickness}, Part: -1, Cut: Crosscut}
	left := length
	for _, w := range chosen {
		out.Children = append(out.Children, single(Size{w.L, thickness}, &w))
		left -= w.L
	}
	if left > 0 {
		out.Children = append(out.Children, Tree{Size: Size{left, thickness}, Part: -1})
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
