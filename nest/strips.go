package nest

import (
	"cmp"
	"slices"

	"sawbook/nest/pattern"
)

// strips finds valuable two-stage patterns for one stock: the sheet is cut into strips,
// a strip into parts, and each part is brought to size across its strip. Copies are not
// limited. The method is that of
//
//	P. C. Gilmore, R. E. Gomory (1965), Multistage cutting stock problems of two and more
//	dimensions, Operations Research 13.
//
// Parts are added to one knapsack along the strip from the thinnest to the thickest, so
// that it gives the best strip of every thickness on its way.
type strips struct {
	m     *model
	stock *stock
	first Direction // of the cuts that free strips
	ways  []stripWay
	long  []int64 // points along a strip, ascending from 0 to its length
	wide  []int64 // points across the strips
	best  []int64
	from  []int32
}

// fit is where a length begins to fit among points, and for each point from there on, what
// it leaves: the greatest point up to the difference.
type fit struct {
	at   int
	rest []int32
}

func newFit(points []int64, size int64) fit {
	at, _ := slices.BinarySearch(points, size)
	f, rest := fit{at, make([]int32, len(points)-at)}, 0
	for i, p := range points[at:] {
		for rest+1 < len(points) && points[rest+1] <= p-size {
			rest++
		}
		f.rest[i] = int32(rest)
	}
	return f
}

// stripWay is a part in a position, seen along its strip.
type stripWay struct {
	long, wide int64
	kind       int32
	turned     bool
	fit        fit // of long
}

// mostPoints limits the points of a knapsack.
const mostPoints = 4096

// newStrips returns a generator, or nil where the limits of the problem forbid strips in
// that direction.
func newStrips(m *model, s *stock, first Direction) *strips {
	if m.stages == 1 || m.problem.First != NoCut && m.problem.First != first ||
		along(s.l, s.w, first) > m.longest[first] {
		return nil
	}
	g := &strips{m: m, stock: s, first: first}
	var longs, wides []int64
	for i := range m.kinds {
		k := &m.kinds[i]
		from, to := k.ways(s)
		for way := from; way <= to; way++ {
			x, y := k.size(way == 1)
			w := stripWay{long: along(x, y, first), wide: along(x, y, first.other()), kind: int32(i), turned: way == 1}
			if x > s.l || y > s.w || w.wide > m.longest[first.other()] {
				continue
			}
			g.ways = append(g.ways, w)
			longs, wides = append(longs, w.long), append(wides, w.wide)
		}
	}
	if len(g.ways) == 0 {
		return nil
	}
	slices.SortFunc(g.ways, func(a, b stripWay) int {
		return cmp.Or(cmp.Compare(a.wide, b.wide), cmp.Compare(b.long, a.long), cmp.Compare(a.kind, b.kind))
	})
	g.long = points(longs, along(s.l, s.w, first))
	g.wide = points(wides, along(s.l, s.w, first.other()))
	fits := map[int64]fit{}
	for i := range g.ways {
		w := &g.ways[i]
		if _, met := fits[w.long]; !met {
			fits[w.long] = newFit(g.long, w.long)
		}
		w.fit = fits[w.long]
	}
	n := max(len(g.long), len(g.wide))
	g.best, g.from = make([]int64, n), make([]int32, n)
	return g
}

// points returns those of a knapsack of the given sizes: reduced raster points, or where
// these are too many, a grid, with what one or two parts leave of the capacity.
func points(sizes []int64, capacity int64) []int64 {
	all, ok := pattern.Raster(sizes, []int64{capacity}, mostPoints)
	if !ok {
		all = nil
		for i := range int64(mostPoints / 2) {
			all = append(all, i*(capacity/(mostPoints/2)))
		}
		sizes = slices.Clone(sizes)
		slices.Sort(sizes)
		sizes = slices.Compact(sizes)
		if len(sizes) > 100 {
			sizes = sizes[:100]
		}
		for _, a := range sizes {
			for _, b := range append(sizes, 0) {
				all = append(all, max(0, capacity-a-b))
			}
		}
	}
	all = append(all, 0, capacity)
	slices.Sort(all)
	return slices.Compact(all)
}

// knapsack adds an item to the knapsack, in any number of copies. Values go on growing with
// the points, since what a point leaves does.
func (g *strips) knapsack(f fit, value int64, item int32) {
	best, from := g.best[f.at:][:len(f.rest)], g.from[f.at:][:len(f.rest)]
	for i, rest := range f.rest {
		if v := g.best[rest] + value; v > best[i] {
			best[i], from[i] = v, item
		}
	}
}

// weigh is knapsack for the values alone.
func (g *strips) weigh(f fit, value int64) {
	best := g.best[f.at:][:len(f.rest)]
	for i, rest := range f.rest {
		best[i] = max(best[i], g.best[rest]+value)
	}
}

// reset empties the knapsack.
func (g *strips) reset(n int) {
	clear(g.best[:n])
	for i := range n {
		g.from[i] = -1
	}
}

// trace lists the items of a filled knapsack.
func (g *strips) trace(points []int64, size func(int32) int64) []int32 {
	var items []int32
	for i := len(points) - 1; i > 0; {
		item := g.from[i]
		if item < 0 {
			i--
			continue
		}
		items = append(items, item)
		at, found := slices.BinarySearch(points, points[i]-size(item))
		if !found {
			at--
		}
		i = at
	}
	return items
}

func (g *strips) sheet() *stock { return g.stock }

func (g *strips) again() generator {
	a := *g
	a.best, a.from = make([]int64, len(g.best)), make([]int32, len(g.from))
	return &a
}

// generate returns the most valuable tree, given the value of each kind.
func (g *strips) generate(values []int64, least int64) ([]*tree, int64) {
	// The best strip of each thickness.
	type strip struct{ wide, value int64 }
	var all []strip
	g.reset(len(g.long))
	for i := range g.ways {
		w := &g.ways[i]
		if values[w.kind] > 0 {
			g.weigh(w.fit, values[w.kind])
		}
		if i+1 == len(g.ways) || g.ways[i+1].wide != w.wide {
			if v := g.best[len(g.long)-1]; v > 0 && (len(all) == 0 || v > all[len(all)-1].value) {
				all = append(all, strip{w.wide, v})
			}
		}
	}
	g.reset(len(g.wide))
	for i, s := range all {
		g.knapsack(newFit(g.wide, s.wide), s.value, int32(i))
	}
	steps := int64(len(g.ways)*len(g.long)/64 + 1)
	if g.best[len(g.wide)-1] <= least {
		return nil, steps
	}
	chosen := g.trace(g.wide, func(i int32) int64 { return all[i].wide })
	slices.Sort(chosen)
	t := g.m.newTree(g.stock)
	rest, ways := int32(0), 0
	g.reset(len(g.long))
	for _, c := range chosen {
		ways = g.fill(values, ways, all[c].wide)
		var piece int32
		piece, rest = t.divide(g.m, rest, g.first, all[c].wide)
		g.cut(t, piece)
	}
	t.reopen(g.m)
	if !t.beginsRight(g.m) {
		return nil, steps
	}
	return []*tree{t}, steps
}

// fill adds the ways from one on, up to a width, to the knapsack of a strip, and returns the
// first that is wider.
func (g *strips) fill(values []int64, from int, wide int64) int {
	for ; from < len(g.ways) && g.ways[from].wide <= wide; from++ {
		if w := &g.ways[from]; values[w.kind] > 0 {
			g.knapsack(w.fit, values[w.kind], int32(from))
		}
	}
	return from
}

// cut divides strip i of t as the knapsack says.
func (g *strips) cut(t *tree, i int32) {
	rest := i
	for _, item := range g.trace(g.long, func(i int32) int64 { return g.ways[i].long }) {
		w := g.ways[item]
		var piece int32
		piece, rest = t.divide(g.m, rest, g.first.other(), w.long)
		piece, _ = t.divide(g.m, piece, g.first, w.wide)
		n := &t.nodes[piece]
		n.kind, n.turned = w.kind, w.turned
		t.fill += g.m.kinds[w.kind].area
	}
}
