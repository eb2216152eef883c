package bound

import (
	"fmt"
	"math"
	"slices"

	"sawbook/nest/pattern"
)

// source finds patterns on the sheets that it was made for.
type source interface {
	Fill(values []int64)
	Best(sheet int) int64
	Patterns(sheet int, values []int64, least int64, most int) []pattern.Tree
	Steps() int64
}

// pricer finds the most valuable patterns on all sheets, from one or several sources.
type pricer struct {
	sources []source
	of      [][]use // by sheet
	proves  bool    // no pattern is worth more than its best
	real    bool    // its patterns can be cut
	method  string
	void    []bool // by part: of no length on the grid, so that it must have no value
}

// use is a source that serves a sheet, as its sheet number at.
type use struct {
	source source
	at     int
}

func (p *pricer) fill(values []int64) (steps int64) {
	for _, s := range p.sources {
		before := s.Steps()
		s.Fill(values)
		steps += s.Steps() - before
	}
	return steps
}

func (p *pricer) best(sheet int) int64 {
	most := int64(0)
	for _, u := range p.of[sheet] {
		most = max(most, u.source.Best(u.at))
	}
	return most
}

func (p *pricer) patterns(sheet int, values []int64, least int64, most int) []pattern.Tree {
	var out []pattern.Tree
	for _, u := range p.of[sheet] {
		out = append(out, u.source.Patterns(u.at, values, least, most)...)
	}
	return out
}

// pricer returns one over the given ways and sheets, measured by the points of two axes.
func (b *bounder) pricer(ways []pattern.Way, sheets []pattern.Size, xs, ys []int64) *pricer {
	p := &pricer{of: make([][]use, len(sheets)), method: "column generation"}
	if b.stages != 2 && b.stages != 3 {
		t := pattern.NewTable(ways, sheets, xs, ys)
		p.sources = []source{t}
		for i := range sheets {
			p.of[i] = []use{{t, i}}
		}
		return p
	}
	p.method = fmt.Sprintf("column generation over patterns of %d stages", b.stages)
	for _, d := range [2]pattern.Direction{pattern.Rip, pattern.Crosscut} {
		var some []pattern.Size
		var which []int
		for i, size := range sheets {
			if first := b.firstOn(i); first == d || first == pattern.NoCut {
				some, which = append(some, size), append(which, i)
			}
		}
		if len(some) == 0 {
			continue
		}
		s := pattern.NewStrips(ways, some, d, b.stages, xs, ys)
		p.sources = append(p.sources, s)
		for at, i := range which {
			p.of[i] = append(p.of[i], use{s, at})
		}
	}
	return p
}

const (
	// manyPoints is how many normal points of an axis are worth listing.
	manyPoints = 1 << 14
	// mostPoints is how many raster points the shorter axis of a table may have: there is
	// memory for their square.
	mostPoints = 2500
	// mostCells bounds a table's memory to some fifty megabytes.
	mostCells = 6 << 20
	// perCell is about how many steps the filling of a cell takes.
	perCell = 40
)

// axis is one direction of a table: its points, and the lengths of ways and sheets along
// it in its own measure.
type axis struct {
	points       []int64
	ways, sheets []int64
	k            int64 // cells of a grid, 0 where lengths are exact
}

// axes chooses what a table may measure with for so many cells, given the exact axes, and
// reports whether it is exact. Where there are too many raster points, lengths are rounded onto a grid of k
// cells on the longest sheet by the superadditive
//
//	u(l) = ceil((k+1) l/longest) - 1,
//
// so that whatever can be cut fits on the grid too, though not the other way round.
func (b *bounder) axes(x, y axis, cells int64) (axis, axis, bool) {
	nx, ny := int64(len(x.points)), int64(len(y.points))
	if nx > 0 && ny > 0 && min(nx, ny) <= mostPoints && nx*ny <= min(cells, mostCells) {
		return x, y, true
	}
	side := int64(math.Sqrt(float64(cells)))
	switch {
	case nx > 0 && nx <= min(side, mostPoints):
		y = b.gridAxis(false, cells/nx)
	case ny > 0 && ny <= min(side, mostPoints):
		x = b.gridAxis(true, cells/ny)
	default:
		x, y = b.gridAxis(true, side), b.gridAxis(false, side)
	}
	return x, y, false
}

// along returns the lengths of all ways and sheets along x or y.
func (b *bounder) along(x bool) (a axis) {
	for _, w := range b.ways {
		a.ways = append(a.ways, side(x, w.L, w.W))
	}
	for _, s := range b.sheets {
		a.sheets = append(a.sheets, side(x, s.L, s.W))
	}
	return a
}

func side(x bool, l, w int64) int64 {
	if x {
		return l
	}
	return w
}

// exactAxis has no points where there are too many.
func (b *bounder) exactAxis(x bool, most int) axis {
	a := b.along(x)
	a.points, _ = pattern.Raster(a.ways, a.sheets, most)
	return a
}

// gridAxis takes, of the grids with up to most cells, the one that keeps most of the
// parts' area.
func (b *bounder) gridAxis(x bool, most int64) axis {
	a := b.along(x)
	longest := slices.Max(a.sheets)
	most = min(max(most, 8), 1500)
	measure := func(k, l int64) int64 { return ((k+1)*l+longest-1)/longest - 1 }
	kept := -1.0
	for k := most; k > most/2; k-- {
		sum := 0.0
		for i, w := range b.ways {
			p := &b.parts[w.Part]
			area := float64(p.L) * float64(p.W) * float64(p.Count)
			sum += float64(area * (float64(measure(k, a.ways[i])) / float64(k) / float64(a.ways[i])))
		}
		if sum > kept {
			kept, a.k = sum, k
		}
	}
	for i, l := range a.ways {
		a.ways[i] = measure(a.k, l)
	}
	for i, l := range a.sheets {
		a.sheets[i] = measure(a.k, l)
	}
	a.points, _ = pattern.Raster(positive(a.ways), a.sheets, manyPoints)
	return a
}

func positive(lengths []int64) []int64 {
	return slices.DeleteFunc(slices.Clone(lengths), func(l int64) bool { return l == 0 })
}

// table makes a pricer from two axes.
func (b *bounder) table(x, y axis, exact bool) *pricer {
	var ways []pattern.Way
	void := make([]bool, len(b.parts))
	for i, w := range b.ways {
		w.Size = pattern.Size{L: x.ways[i], W: y.ways[i]}
		if w.L > 0 && w.W > 0 {
			ways = append(ways, w)
		} else {
			void[w.Part] = true
		}
	}
	var sheets []pattern.Size
	for i := range b.sheets {
		sheets = append(sheets, pattern.Size{L: x.sheets[i], W: y.sheets[i]})
	}
	p := b.pricer(ways, sheets, x.points, y.points)
	p.proves, p.real, p.void = true, exact, void
	if !exact {
		name := func(a axis) string {
			if a.k > 0 {
				return fmt.Sprintf("on a grid of %d", a.k)
			}
			return "exact"
		}
		p.method += fmt.Sprintf(", lengths %s, widths %s", name(x), name(y))
	}
	return p
}

// some makes a pricer over about n points of each of the exact axes, which proves nothing.
func (b *bounder) some(x, y axis, n int) *pricer {
	for _, a := range []*axis{&x, &y} {
		if len(a.points) == 0 {
			a.points = sums(a.ways, slices.Max(a.sheets), 8*n)
		}
		a.points = thin(a.points, a.ways, n)
	}
	p := b.pricer(b.ways, b.sizes(), x.points, y.points)
	p.real = true
	return p
}

// sums returns up to about most sums of lengths up to a sheet, those of fewest lengths
// first, and what they leave of it, ascending from 0.
func sums(lengths []int64, sheet int64, most int) []int64 {
	met := map[int64]bool{0: true}
	last := []int64{0}
	for len(last) > 0 && len(met) < most {
		var next []int64
		for _, a := range last {
			for _, l := range lengths {
				if s := a + l; s <= sheet && !met[s] && len(met) < most {
					met[s] = true
					next = append(next, s)
				}
			}
		}
		last = next
	}
	var out []int64
	for s := range met {
		out = append(out, s, sheet-s)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// thin chooses about n of the ascending points: those of the given lengths and of what
// they leave of the longest, and the rest evenly.
func thin(points, lengths []int64, n int) []int64 {
	longest := points[len(points)-1]
	keep := make([]bool, len(points))
	keep[0], keep[len(points)-1] = true, true
	kept := 2
	mark := func(l int64) {
		i, found := slices.BinarySearch(points, l)
		if !found && l > longest/2 {
			i--
		}
		if !keep[i] {
			keep[i] = true
			kept++
		}
	}
	for _, l := range lengths {
		if l <= longest {
			mark(l)
			mark(longest - l)
		}
	}
	for i := 0; kept < n && i < n; i++ {
		mark(points[i*len(points)/n])
	}
	var out []int64
	for i, k := range keep {
		if k {
			out = append(out, points[i])
		}
	}
	return out
}

func (b *bounder) sizes() []pattern.Size {
	out := make([]pattern.Size, len(b.sheets))
	for i, s := range b.sheets {
		out[i] = pattern.Size{L: s.L, W: s.W}
	}
	return out
}
