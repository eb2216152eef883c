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

// stripWay is a part in a position, seen along its strip.
type stripWay struct {
	long, wide int64
	kind       int32
	turned     bool
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
			w := stripWay{along(x, y, first), along(x, y, first.other()), int32(i), way == 1}
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

// knapsack adds an item to a knapsack over points, in any number of copies.
func (g *strips) knapsack(points []int64, size, value int64, item int32) {
	rest := 0
	for i, p := range points {
		if p < size {
			continue
		}
		for rest+1 < len(points) && points[rest+1] <= p-size {
			rest++
		}
		if v := g.best[rest] + value; v > g.best[i] {
			g.best[i], g.from[i] = v, item
		}
	}
}

// level makes the values of a knapsack grow with its points.
func (g *strips) level(n int) {
	for i := 1; i < n; i++ {
		if g.best[i] < g.best[i-1] {
			g.best[i], g.from[i] = g.best[i-1], -1
		}
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

// generate returns the most valuable tree, given the value of each kind.
func (g *strips) generate(values []int64, least int64) ([]*tree, int64) {
	// The best strip of each thickness.
	type strip struct{ wide, value int64 }
	var all []strip
	g.reset(len(g.long))
	for i, w := range g.ways {
		if values[w.kind] > 0 {
			g.knapsack(g.long, w.long, values[w.kind], int32(i))
			g.level(len(g.long))
		}
		if i+1 == len(g.ways) || g.ways[i+1].wide != w.wide {
			if v := g.best[len(g.long)-1]; v > 0 && (len(all) == 0 || v > all[len(all)-1].value) {
				all = append(all, strip{w.wide, v})
			}
		}
	}
	g.reset(len(g.wide))
	for i, s := range all {
		g.knapsack(g.wide, s.wide, s.value, int32(i))
		g.level(len(g.wide))
	}
	steps := int64(len(g.ways)*len(g.long)/64 + 1)
	if g.best[len(g.wide)-1] <= least {
		return nil, steps
	}
	chosen := g.trace(g.wide, func(i int32) int64 { return all[i].wide })
	slices.Sort(chosen)
	t := g.m.newTree(g.stock)
	rest := int32(0)
	for i, c := range chosen {
		if i == 0 || c != chosen[i-1] {
			g.fill(values, all[c].wide)
		}
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

// fill fills the knapsack of a strip.
func (g *strips) fill(values []int64, wide int64) {
	g.reset(len(g.long))
	for i, w := range g.ways {
		if w.wide > wide {
			break
		}
		if values[w.kind] > 0 {
			g.knapsack(g.long, w.long, values[w.kind], int32(i))
			g.level(len(g.long))
		}
	}
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
