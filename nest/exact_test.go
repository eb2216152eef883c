package nest

import (
	"fmt"
	"math/bits"
	"math/rand/v2"
	"testing"
)

// partSet is a set of single parts.
type partSet uint8

const never = int64(1) << 40

// oneSheet decides by trying everything whether a few parts can be cut from one sheet. A cut
// in direction d divides an extent l and is as long as the other extent w; both are
// those of pieces as they lie, and the blade takes a kerf beside each cut.
type oneSheet struct {
	p      *Problem
	ways   [][][2]int64 // by part, the extents along x and y that it may have
	extent [3]int64     // of the trimmed sheet, by the direction of cuts that divide it
	stages int
	known  map[question]int64
}

// question asks for the least extent, divided by cuts in direction d, of a piece with
// the other extent w that all parts of s can be cut from. The cuts in d are of a stage
// after which stages-1 more may follow.
type question struct {
	s      partSet
	d      Direction
	stages int
	w      int64
}

func otherDirection(d Direction) Direction { return Rip + Crosscut - d }

// newOneSheet takes the parts one by one.
func newOneSheet(p *Problem, parts []Part, s *Sheet) *oneSheet {
	o := &oneSheet{p: p, stages: p.Stages, known: map[question]int64{}}
	o.extent[Crosscut] = s.Length - s.Left - s.Right
	o.extent[Rip] = s.Width - s.Bottom - s.Top
	if o.stages == 0 {
		o.stages = 2 * len(parts) // each second stage divides parts, or it was not needed
	}
	for _, part := range parts {
		along, over := [2]int64{part.Length, part.Width}, [2]int64{part.Width, part.Length}
		switch {
		case part.Grain == Any:
			o.ways = append(o.ways, [][2]int64{along, over})
		case (part.Grain == Along) == s.GrainAcross:
			o.ways = append(o.ways, [][2]int64{over})
		default:
			o.ways = append(o.ways, [][2]int64{along})
		}
	}
	return o
}

// lies reports whether s is one part that may lie with the extents l, divided by cuts in
// d, and w; or w or less, if that will do.
func (o *oneSheet) lies(s partSet, d Direction, l, w int64, less bool) bool {
	if bits.OnesCount8(uint8(s)) != 1 {
		return false
	}
	for _, way := range o.ways[bits.TrailingZeros8(uint8(s))] {
		if d == Rip {
			way[0], way[1] = way[1], way[0]
		}
		if way[0] == l && (way[1] == w || less && way[1] < w) {
			return true
		}
	}
	return false
}

func (o *oneSheet) mayCut(d Direction, length int64) bool {
	longest := o.p.LongestRip
	if d == Crosscut {
		longest = o.p.LongestCrosscut
	}
	return longest == 0 || length <= longest
}

// whole reports whether s can be cut from a piece of l by w that no cut in d divides
// before one across it does. The last cut, which brings a part to size, is of no stage.
func (o *oneSheet) whole(s partSet, d Direction, stages int, l, w int64) bool {
	if o.lies(s, d, l, w, false) {
		return true
	}
	if stages == 1 {
		return o.lies(s, d, l, w, true) && o.mayCut(otherDirection(d), l)
	}
	return o.fits(s, otherDirection(d), stages-1, w, l)
}

// fits reports whether s can be cut from a piece of l by w.
func (o *oneSheet) fits(s partSet, d Direction, stages int, l, w int64) bool {
	return o.mayCut(d, w) && o.least(s, d, stages, w) <= l || o.whole(s, d, stages, l, w)
}

// least answers a question. A piece longer than it need be loses the rest to one more
// cut of the same stage, so that longer is never worse.
func (o *oneSheet) least(s partSet, d Direction, stages int, w int64) int64 {
	q := question{s, d, stages, w}
	if l, ok := o.known[q]; ok {
		return l
	}
	l := min(o.strip(q), o.split(q))
	o.known[q] = l
	return l
}

// strip is the least extent without a cut in the question's direction.
func (o *oneSheet) strip(q question) int64 {
	for _, l := range o.places(q.s, q.d) {
		if o.whole(q.s, q.d, q.stages, l, q.w) {
			return l
		}
	}
	return never
}

// split is the least extent with such a cut between two parts.
func (o *oneSheet) split(q question) int64 {
	least := never
	first := q.s & -q.s
	for near := (q.s - 1) & q.s; near > 0; near = (near - 1) & q.s {
		if near&first != 0 {
			l := o.least(near, q.d, q.stages, q.w)
			if l < least {
				least = min(least, l+o.p.Kerf+o.least(q.s&^near, q.d, q.stages, q.w))
			}
		}
	}
	return least
}

// places returns, ascending, the extents that parts of s and kerfs between them add up
// to: with every piece pushed to the corner, no other is of use.
func (o *oneSheet) places(s partSet, d Direction) []int64 {
	sums := make([]bool, o.extent[d]+o.p.Kerf+1)
	sums[0] = true
	for ; s > 0; s &= s - 1 {
		before := append([]bool(nil), sums...)
		for _, way := range o.ways[bits.TrailingZeros8(uint8(s))] {
			l := way[0]
			if d == Rip {
				l = way[1]
			}
			for at, ok := range before {
				if to := int64(at) + l + o.p.Kerf; ok && to < int64(len(sums)) {
					sums[to] = true
				}
			}
		}
	}
	var places []int64
	for at, ok := range sums {
		if l := int64(at) - o.p.Kerf; ok && l > 0 {
			places = append(places, l)
		}
	}
	return places
}

// sheet reports whether s can be cut from the sheet.
func (o *oneSheet) sheet(s partSet) bool {
	first := o.p.First
	if first == NoCut {
		return o.begins(s, Rip) || o.begins(s, Crosscut) || o.fits(s, Rip, 1, o.extent[Rip], o.extent[Crosscut])
	}
	return o.begins(s, first) || o.spanned(s, first)
}

// begins reports whether s can be cut from the sheet with a cut in d first.
func (o *oneSheet) begins(s partSet, d Direction) bool {
	q := question{s, d, o.stages, o.extent[otherDirection(d)]}
	return o.mayCut(d, q.w) && (o.split(q) <= o.extent[d] || o.strip(q) < o.extent[d])
}

// spanned reports whether s can be cut from the sheet without a cut in d first because a
// part spans the sheet, so that there can be none. The first stage is then empty.
func (o *oneSheet) spanned(s partSet, d Direction) bool {
	for i, ways := range o.ways {
		for _, way := range ways {
			if s&(1<<i) == 0 || d == Rip && way[1] != o.extent[d] || d == Crosscut && way[0] != o.extent[d] {
				continue
			}
			fixed := *o
			fixed.known = map[question]int64{}
			fixed.ways = append([][][2]int64(nil), o.ways...)
			fixed.ways[i] = [][2]int64{way}
			if fixed.whole(s, d, fixed.stages, fixed.extent[d], fixed.extent[otherDirection(d)]) {
				return true
			}
		}
	}
	return false
}

// exact returns the least cost of p, the fewest sheets at that cost, and the fewest
// sheets at any cost; ok is false where the stock does not suffice. It takes time
// exponential in the number of copies, of which there may be 8.
func exact(p *Problem) (cost int64, sheets, fewest int, ok bool) {
	var parts []Part
	for _, part := range p.Parts {
		for range part.Count {
			parts = append(parts, Part{part.Length, part.Width, 1, part.Grain})
		}
	}
	c := sheetCover{p: p, fits: make([][]bool, len(p.Sheets)), stock: make([]int, len(p.Sheets))}
	all := partSet(1)<<len(parts) - 1
	for i := range p.Sheets {
		o := newOneSheet(p, parts, &p.Sheets[i])
		c.fits[i] = make([]bool, all+1)
		for s := partSet(1); s <= all && s > 0; s++ {
			c.fits[i][s] = o.sheet(s)
		}
		if c.stock[i] = p.Sheets[i].Stock; c.stock[i] < 0 {
			c.stock[i] = len(parts)
		}
	}
	const one = int64(1) << 16 // more than sheets can be
	both := c.least(all, func(s Sheet) int64 { return s.Price*one + 1 })
	if both >= never {
		return 0, 0, 0, false
	}
	return both / one, int(both % one), int(c.least(all, func(Sheet) int64 { return 1 })), true
}

// sheetCover covers parts by sheets.
type sheetCover struct {
	p     *Problem
	fits  [][]bool // by sheet and set
	stock []int
}

// least returns the least sum of values of sheets that cover s.
func (c *sheetCover) least(s partSet, value func(Sheet) int64) int64 {
	if s == 0 {
		return 0
	}
	least := never
	for i, sheet := range c.p.Sheets {
		if c.stock[i] == 0 {
			continue
		}
		c.stock[i]--
		for on := s; on > 0; on = (on - 1) & s {
			if on&(s&-s) != 0 && c.fits[i][on] {
				least = min(least, value(sheet)+c.least(s&^on, value))
			}
		}
		c.stock[i]++
	}
	return least
}

// saw tries every cut at every whole place of a piece, and counts stages as the verifier
// does: a reading of the rules that is too slow to use, and hard to get wrong.
type saw struct {
	p     *Problem
	sizes [][2]int64 // by part, the extents along x and y
	known map[piece]bool
}

// piece is what the saw may still have to cut: a piece freed by cuts in direction d of
// the given stage, from which all parts of s are to come.
type piece struct {
	s     partSet
	l, w  int64
	d     Direction
	stage int
}

// cuts reports whether the parts can be had from q, with a cut in direction first if
// that is one.
func (c *saw) cuts(q piece, first Direction) bool {
	if q.s == 0 || bits.OnesCount8(uint8(q.s)) == 1 && c.sizes[bits.TrailingZeros8(uint8(q.s))] == [2]int64{q.l, q.w} {
		return true
	}
	if ok, known := c.known[q]; known && first == NoCut {
		return ok
	}
	ok := false
	for d := Rip; d <= Crosscut && !ok; d++ {
		length, extent, longest := q.l, q.w, c.p.LongestRip
		if d == Crosscut {
			length, extent, longest = q.w, q.l, c.p.LongestCrosscut
		}
		if first != NoCut && d != first || longest > 0 && length > longest {
			continue
		}
		for at := int64(1); at < extent && !ok; at++ {
			ok = c.cut(q, d, at, extent-at-c.p.Kerf)
		}
	}
	if first == NoCut {
		c.known[q] = ok
	}
	return ok
}

// cut reports whether the parts can be had from q by a cut in direction d that leaves
// the extents near and far.
func (c *saw) cut(q piece, d Direction, near, far int64) bool {
	side := func(s partSet, extent int64) piece {
		n := piece{s, q.l, extent, d, q.stage}
		if d == Crosscut {
			n = piece{s, extent, q.w, d, q.stage}
		}
		if d != q.d {
			n.stage++
		}
		return n
	}
	limit := c.p.Stages
	stage := side(0, near).stage
	for s := q.s; s > 0; s = (s - 1) & q.s {
		a, b := side(s, near), side(q.s&^s, far)
		if b.s != 0 && far <= 0 {
			continue
		}
		size := [2]int64{a.l, a.w}
		sized := stage == limit+1 && a.s == q.s && bits.OnesCount8(uint8(q.s)) == 1 && c.sizes[bits.TrailingZeros8(uint8(q.s))] == size
		if limit > 0 && stage > limit && !sized {
			continue
		}
		if c.cuts(a, NoCut) && c.cuts(b, NoCut) {
			return true
		}
	}
	return false
}

// slow is what oneSheet answers for all parts, by every cut in every way for them to lie.
func slow(p *Problem, o *oneSheet) bool {
	c := saw{p: p, known: map[piece]bool{}}
	root := piece{1<<len(o.ways) - 1, o.extent[Crosscut], o.extent[Rip], NoCut, 0}
	var try func() bool
	try = func() bool {
		if i := len(c.sizes); i < len(o.ways) {
			for _, way := range o.ways[i] {
				c.sizes = append(c.sizes[:i], way)
				if try() {
					return true
				}
			}
			c.sizes = c.sizes[:i]
			return false
		}
		clear(c.known)
		if c.cuts(root, p.First) {
			return true
		}
		spans := false
		for _, size := range c.sizes {
			spans = spans || p.First == Rip && size[1] == root.w || p.First == Crosscut && size[0] == root.l
		}
		late := root
		late.stage = 1 // the first stage is empty
		return spans && c.cuts(late, NoCut)
	}
	return try()
}

// TestSaw holds the exhaustive solver against a saw that knows nothing but cuts.
func TestSaw(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(11, 12))
	fit := 0
	const problems = 800
	for range problems {
		p := Problem{Kerf: rng.Int64N(3), Stages: rng.IntN(4), First: Direction(rng.IntN(3)),
			Sheets: []Sheet{{Length: 4 + rng.Int64N(8), Width: 4 + rng.Int64N(6), GrainAcross: rng.IntN(3) == 0}}}
		if rng.IntN(4) == 0 {
			p.LongestRip, p.LongestCrosscut = 4+rng.Int64N(6), 3+rng.Int64N(5)
		}
		for range 1 + rng.IntN(4) {
			part := Part{1 + rng.Int64N(6), 1 + rng.Int64N(4), 1, Grain(rng.IntN(3))}
			if rng.IntN(4) == 0 {
				part.Length = p.Sheets[0].Length
			}
			if rng.IntN(4) == 0 {
				part.Width = p.Sheets[0].Width
			}
			p.Parts = append(p.Parts, part)
		}
		o := newOneSheet(&p, p.Parts, &p.Sheets[0])
		got, want := o.sheet(1<<len(p.Parts)-1), slow(&p, o)
		if got != want {
			t.Errorf("%v, but the saw says %v: %+v", got, want, p)
		}
		if want {
			fit++
		}
	}
	if fit < problems/4 || fit > 3*problems/4 {
		t.Errorf("%d of %d fit: too few or too many to tell", fit, problems)
	}
}

// tinyProblem returns a problem of 3 to 7 copies on two sizes of sheets, small enough to
// try everything.
func tinyProblem(rng *rand.Rand) Problem {
	p := Problem{Kerf: rng.Int64N(3), Stages: rng.IntN(4), First: Direction(rng.IntN(3))}
	for range 2 {
		s := Sheet{Length: 18 + rng.Int64N(18), Width: 12 + rng.Int64N(12), GrainAcross: rng.IntN(3) == 0,
			Left: rng.Int64N(2), Right: rng.Int64N(2), Bottom: rng.Int64N(2), Top: rng.Int64N(2), Stock: 1 + rng.IntN(3)}
		s.Price = s.Length * s.Width * (8 + rng.Int64N(5)) / 100
		p.Sheets = append(p.Sheets, s)
	}
	p.Sheets[rng.IntN(2)].Stock = -1
	for left := 3 + rng.IntN(5); left > 0; {
		part := Part{3 + rng.Int64N(16), 3 + rng.Int64N(9), 1 + rng.IntN(min(left, 3)), Grain(rng.IntN(3))}
		p.Parts = append(p.Parts, part)
		left -= part.Count
	}
	if rng.IntN(4) == 0 {
		p.LongestRip, p.LongestCrosscut = 12+rng.Int64N(24), 8+rng.Int64N(20)
	}
	return p
}

// TestExact holds the engine against the exhaustive solver: cost, number of sheets, and
// a bound that is never above the truth.
func TestExact(t *testing.T) {
	problems := 250
	if testing.Short() {
		problems = 30
	}
	for half := range uint64(2) {
		t.Run(fmt.Sprint(half), func(t *testing.T) {
			t.Parallel()
			agree(t, rand.New(rand.NewPCG(7, half)), problems)
		})
	}
}

// agree checks that the engine and the exhaustive solver agree on so many problems.
func agree(t *testing.T, rng *rand.Rand, problems int) {
	dearer, met := 0, 0
	for i := 0; i < problems; {
		p := tinyProblem(rng)
		cost, sheets, fewest, ok := exact(&p)
		plan := verified(t, p, Options{Effort: Quick / 10})
		if len(plan.Misfits) > 0 {
			alone(t, p, plan.Misfits)
			continue
		}
		i++
		for _, effort := range []Effort{Quick, Normal} { // what is found at once need not be sought longer
			if ok && plan.Cost > cost {
				plan = verified(t, p, Options{Effort: effort})
			}
		}
		if ok != (plan.Status != Short) {
			t.Errorf("enough stock: %v, status %d: %+v", ok, plan.Status, p)
		}
		if !ok || plan.Status == Short {
			continue
		}
		if plan.Cost != cost || plan.Sheets != sheets {
			if dearer++; dearer <= 3 {
				t.Errorf("cost %d on %d sheets, least is %d on %d: %+v", plan.Cost, plan.Sheets, cost, sheets, p)
			}
		}
		if plan.Bound.Cost > cost || plan.Bound.Sheets > fewest {
			t.Errorf("bound %+v, least cost is %d, fewest sheets %d: %+v", plan.Bound, cost, fewest, p)
		}
		if plan.Bound.Cost == cost {
			met++
		}
	}
	if dearer > 0 {
		t.Errorf("%d of %d plans are not best", dearer, problems)
	}
	t.Logf("the bound met the least cost in %d of %d", met, problems)
}

// alone checks that misfits lie on no sheet alone, even if one could beside a part that
// spans the sheet.
func alone(t *testing.T, p Problem, misfits []Misfit) {
	for _, m := range misfits {
		part := p.Parts[m.Part]
		part.Count = 1
		q := p
		q.Parts = []Part{part}
		if _, _, _, ok := exact(&q); ok {
			t.Errorf("part %d is no misfit: %+v", m.Part, p)
		}
	}
}
