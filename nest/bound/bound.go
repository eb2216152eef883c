// Package bound proves how few sheets, and how little cost, parts can be cut from with
// edge-to-edge cuts, whatever anyone does; and hands out the cutting patterns that it
// met on the way.
//
// A proof is a value of 0 or more for each part, and for each sheet a number that no
// pattern on it is worth more than. All parts together must then be paid by the sheets:
// the least sheets, or the least cost, that cover the sum of values is a bound. All of it
// is reckoned in integers. The values come from areas, from dual-feasible functions and
// from the dual of the linear program over all patterns.
//
// It knows no kerf and no trim: grow every part and every trimmed sheet by the kerf.
package bound

import (
	"context"
	"math"
	"slices"

	"sawbook/nest/pattern"
)

// Part is a demand for Count equal rectangles. L lies along the face grain; where Turns,
// either side may.
type Part struct {
	L, W  int64
	Count int
	Turns bool
}

// Sheet is one size of stock, L along x. Across says that its face grain lies along y.
type Sheet struct {
	L, W   int64
	Across bool
	Price  int64
	Stock  int // below 0 is no limit
}

// Problem asks for parts from sheets. All lengths and counts must be above 0 and below
// 2^50, and each part must lie on at least one of the sheets.
type Problem struct {
	Parts  []Part
	Sheets []Sheet
	// Stages and First limit the patterns: cuts in one direction are one stage, last cuts
	// to size not counted, and the first stage is in direction First (where a sheet may be
	// one strip without a cut) unless it is NoCut. Two and three stages are kept to exactly;
	// for other limits the bound is that of any number, and so are the columns.
	Stages int
	First  pattern.Direction
}

// Options limit the work. The zero value proves what needs no search.
type Options struct {
	// Steps is how many steps may be spent: one is about two nanoseconds.
	Steps int64
	// Sheets and Cost are those of the best plan known, 0 where none is: a bound that
	// reaches both needs no better proof.
	Sheets int
	Cost   int64
	// Columns says that columns are wanted even where the bound is reached without.
	Columns bool
	// Progress, where set, is called once for each set of values that is priced.
	Progress func(Progress)
	// Known, where set, spares calls for the same parts and sheets what one before has proven.
	Known *Known
}

// Known is what is proven of parts and sheets without a search; the zero value is nothing.
type Known struct {
	finest, steps int64 // see withoutSearch
	out           Result
}

// Progress says how far a column generation is.
type Progress struct {
	Steps   int64   // spent
	Columns int     // so far
	Least   float64 // of the linear program so far, in cost or, with equal prices, sheets
	Sheets  int     // proven
	Cost    int64
	Exact   bool // all raster points were priced, so that it was a proof
}

// Result is what was proven.
type Result struct {
	Sheets int
	Cost   int64
	// Short reports that the stock does not suffice; the rest is then as if it did.
	Short bool
	// SheetsBy and CostBy say by which method, in words.
	SheetsBy, CostBy string
	// Columns are the patterns of the linear program; those with a Value above 0 are its
	// optimum, if it was reached.
	Columns []Column
	// Converged reports that no pattern can improve the linear program any more, so that
	// Least is its optimum in cost (to within rounding).
	Converged bool
	Least     float64
	Steps     int64 // spent
}

// Column is a pattern for one sheet, in its own coordinates.
type Column struct {
	Sheet  int
	Tree   pattern.Tree
	Counts []Count // by part, ascending
	Value  float64 // how many sheets of it an optimum of the linear program takes
}

// Count is how many copies of a part a pattern holds.
type Count struct{ Part, Copies int }

// Least proves a bound. A cancelled context ends the work early; what was proven until
// then stands.
func Least(ctx context.Context, p Problem, o Options) *Result {
	b := newBounder(ctx, &p, o)
	b.withoutSearch()
	b.byColumns()
	b.out.Steps = o.Steps - b.left
	return &b.out
}

// bounder is one call of Least.
type bounder struct {
	ctx     context.Context
	o       Options
	parts   []Part
	sheets  []Sheet // with the face grain along x
	unit    int64   // greatest common divisor of all lengths
	across  []bool  // by sheet
	copies  float64 // of all parts together
	demand  []demand
	ways    []pattern.Way
	stages  int
	first   pattern.Direction
	left    int64 // steps
	out     Result
	counted bool // all prices are alike: the least cost is the least number of sheets
}

// demand is a part's first way, the next being the other where it turns.
type demand struct {
	way   int
	turns bool
	count int64
}

func newBounder(ctx context.Context, p *Problem, o Options) *bounder {
	b := &bounder{ctx: ctx, o: o, left: o.Steps, counted: true, stages: p.Stages, first: p.First}
	for _, s := range p.Sheets {
		b.across = append(b.across, s.Across)
		if s.Across {
			s.L, s.W = s.W, s.L
		}
		b.sheets = append(b.sheets, s)
		b.unit = gcd(gcd(b.unit, s.L), s.W)
		b.counted = b.counted && s.Price == p.Sheets[0].Price
	}
	for _, part := range p.Parts {
		b.unit = gcd(gcd(b.unit, part.L), part.W)
	}
	for i := range b.sheets {
		b.sheets[i].L /= b.unit
		b.sheets[i].W /= b.unit
	}
	for i, part := range p.Parts {
		part.L /= b.unit
		part.W /= b.unit
		b.copies += float64(part.Count)
		b.parts = append(b.parts, part)
		turns := part.Turns && part.L != part.W
		b.demand = append(b.demand, demand{len(b.ways), turns, int64(part.Count)})
		b.ways = append(b.ways, pattern.Way{Size: pattern.Size{L: part.L, W: part.W}, Part: i})
		if turns {
			b.ways = append(b.ways, pattern.Way{Size: pattern.Size{L: part.W, W: part.L}, Part: i, Turned: true})
		}
	}
	return b
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// firstOn returns the direction of the first stage on a sheet, its face grain along x.
func (b *bounder) firstOn(sheet int) pattern.Direction {
	if b.across[sheet] && b.first != pattern.NoCut {
		return pattern.Rip + pattern.Crosscut - b.first
	}
	return b.first
}

// prove adds a proof: the value of each part, and the most that a pattern on each sheet
// can be worth. The sum of values must stay below 2^62.
func (b *bounder) prove(values, most []int64, method string) {
	need := int64(0)
	for i, v := range values {
		need += v * int64(b.parts[i].Count)
	}
	lots := make([]lot, len(b.sheets))
	for i, s := range b.sheets {
		lots[i] = lot{worth: most[i], cost: 1, stock: int64(s.Stock)}
	}
	sheets, enough := cover(need, int64(b.out.Sheets), lots)
	if !enough {
		b.out.Short = true
		for i := range lots {
			lots[i].stock = -1
		}
		sheets, _ = cover(need, int64(b.out.Sheets), lots)
	}
	if int(sheets) > b.out.Sheets {
		b.out.Sheets, b.out.SheetsBy = int(sheets), method
	}
	for i, s := range b.sheets {
		lots[i].cost = s.Price
	}
	cost, _ := cover(need, b.out.Cost, lots)
	if cost > b.out.Cost || b.out.CostBy == "" {
		b.out.Cost, b.out.CostBy = cost, method
	}
}

// withoutSearch proves by area and by dual-feasible functions, unless that is known.
func (b *bounder) withoutSearch() {
	// finest is the largest k of these functions: fewer where there are many parts.
	finest := int64(40)
	for finest > 2 && finest*finest*int64(len(b.ways)) > max(b.left/8, 1<<17) {
		finest /= 2
	}
	known := b.o.Known
	if known == nil {
		known = &Known{}
	}
	if known.finest != finest {
		us := b.functions(finest, func(s Sheet) int64 { return s.L }, func(w pattern.Way) int64 { return w.L })
		vs := b.functions(finest, func(s Sheet) int64 { return s.W }, func(w pattern.Way) int64 { return w.W })
		b.byArea()
		b.byDualFeasible(us, vs)
		*known = Known{finest, int64(len(us) * len(vs) * len(b.ways)), b.out}
	}
	b.out = known.out
	b.left -= known.steps
}

// byArea proves by area, rounded down for parts and up for sheets.
func (b *bounder) byArea() {
	largest := 0.0
	for _, s := range b.sheets {
		largest = max(largest, float64(s.L)*float64(s.W))
	}
	total := 0.0
	for _, p := range b.parts {
		total += float64(float64(p.L) * float64(p.W) * float64(p.Count))
	}
	// One unit of value is an area of down: a power of two, small enough that rounding
	// does not show and large enough that the sum stays below 2^60.
	down := int64(1) << max(0, exponent(max(total, largest))-60)
	values, most := make([]int64, len(b.parts)), make([]int64, len(b.sheets))
	for i, p := range b.parts {
		values[i] = scaled(p.L, p.W, down, false)
	}
	for i, s := range b.sheets {
		most[i] = scaled(s.L, s.W, down, true)
	}
	b.prove(values, most, "area")
}

// byDualFeasible proves by products of the functions
//
//	u(l) = ceil((k+1) l/L) - 1
//
// of both axes, or a length itself. They are superadditive: lengths beside one another
// in L have no greater sum than u(L) = k. They go back to
//
//	S. Fekete, J. Schepers (2001), New classes of fast lower bounds for bin packing
//	problems, Mathematical Programming 91.
func (b *bounder) byDualFeasible(us, vs []function) {
	values, most := make([]int64, len(b.parts)), make([]int64, len(b.sheets))
	for i := range us {
		for k := range vs {
			u, v := &us[i], &vs[k]
			if u.k == 0 && v.k == 0 {
				continue // that is the area
			}
			for s := range most {
				most[s] = u.sheets[s] * v.sheets[s]
			}
			if sum := b.worth(u, v); sum < 1<<60 && b.mayImprove(sum, most) {
				b.values(u, v, values)
				b.prove(values, most, "dual-feasible functions")
			}
		}
	}
}

// function is a dual-feasible function of lengths along one axis: of all ways and sheets.
type function struct {
	k            int64 // 0 for the length itself
	ways, sheets []int64
	most         int64 // of ways
}

// functions lists those of up to four lengths of sheets along an axis, up to the finest, and
// the length itself.
func (b *bounder) functions(finest int64, sheet func(Sheet) int64, way func(pattern.Way) int64) (out []function) {
	add := func(k, length int64) {
		apply := func(l int64) int64 {
			if k == 0 {
				return l
			}
			return ((k+1)*l+length-1)/length - 1
		}
		f := function{k: k}
		for _, w := range b.ways {
			value := apply(way(w))
			f.ways, f.most = append(f.ways, value), max(f.most, value)
		}
		for _, s := range b.sheets {
			f.sheets = append(f.sheets, apply(sheet(s)))
		}
		out = append(out, f)
	}
	met := map[int64]bool{}
	for _, s := range b.sheets {
		if l := sheet(s); !met[l] && len(met) < 4 {
			met[l] = true
			for k := int64(1); k <= finest; k++ {
				add(k, l)
			}
		}
	}
	add(0, 0)
	return out
}

// values sets the value of each part to the product of two functions, the least of its ways.
func (b *bounder) values(u, v *function, values []int64) {
	for i := range values {
		values[i] = math.MaxInt64
	}
	for k := range b.ways {
		part := b.ways[k].Part
		values[part] = min(values[part], u.ways[k]*v.ways[k])
	}
}

// worth returns what all parts are worth together, by values.
func (b *bounder) worth(u, v *function) float64 {
	// Whole numbers add up faster; floating-point ones do so exactly up to 2^53.
	if float64(u.most)*float64(v.most)*b.copies < 1<<53 {
		return float64(b.sum(u.ways, v.ways))
	}
	values := make([]int64, len(b.parts))
	b.values(u, v, values)
	sum := 0.0
	for i, value := range values {
		sum += float64(float64(value) * float64(b.parts[i].Count))
	}
	return sum
}

// sum is worth in whole numbers.
func (b *bounder) sum(us, vs []int64) (whole int64) {
	vs = vs[:len(us)]
	for _, d := range b.demand {
		value := us[d.way] * vs[d.way]
		if d.turns {
			value = min(value, us[d.way+1]*vs[d.way+1])
		}
		whole += value * d.count
	}
	return whole
}

// mayImprove reports whether sheets that must be worth so much together may raise the
// bound: not where it buys as much in sheets of a single size.
func (b *bounder) mayImprove(need float64, most []int64) bool {
	bySheets, byCost := true, true
	for i, s := range b.sheets {
		if s.Stock >= 0 && len(b.sheets) > 1 {
			continue
		}
		buys := func(sheets float64) bool { return float64(sheets*float64(most[i])) >= need }
		bySheets = bySheets && !buys(float64(b.out.Sheets))
		byCost = byCost && !buys(math.Floor(float64(b.out.Cost)/float64(s.Price))) // endless where it is free
	}
	return bySheets || byCost
}

// exponent returns the least e with x < 2^e, for x above 0.
func exponent(x float64) int {
	_, e := math.Frexp(x)
	return e
}

// scaled returns l*w/down, rounded up or down.
func scaled(l, w, down int64, up bool) int64 {
	hi, lo := mul(l, w)
	if up {
		var carry uint64
		lo, carry = add(lo, uint64(down-1))
		hi += carry
	}
	return div(hi, lo, uint64(down))
}

// lot is a sheet to buy value with.
type lot struct{ worth, cost, stock int64 }

// cover returns the least cost of whole sheets that are together worth need, or at least
// a bound on it, and reports false where the stock is not worth as much. A cost that is not
// above what is known need not be the least.
func cover(need, known int64, lots []lot) (int64, bool) {
	lots = slices.DeleteFunc(slices.Clone(lots), func(l lot) bool { return l.worth <= 0 })
	slices.SortStableFunc(lots, func(a, b lot) int {
		// By cost per worth.
		hi1, lo1 := mul(a.cost, b.worth)
		hi2, lo2 := mul(b.cost, a.worth)
		switch {
		case hi1 < hi2 || hi1 == hi2 && lo1 < lo2:
			return -1
		case hi1 == hi2 && lo1 == lo2:
			return 0
		}
		return 1
	})
	unit := int64(0)
	for _, l := range lots {
		unit = gcd(unit, l.cost)
	}
	c := coverer{lots: lots, unit: max(unit, 1), known: known, nodes: 4000}
	relaxed, enough := c.relaxed(0, need)
	if !enough {
		return 0, false
	}
	c.best = math.MaxInt64
	if c.search(0, need, 0) {
		return c.best, true
	}
	return relaxed, true
}

// coverer is a branch and bound over whole sheets.
type coverer struct {
	lots  []lot
	unit  int64 // greatest common divisor of costs
	best  int64
	known int64
	nodes int
}

// relaxed buys need from lots[i:] in fractions and rounds up to what costs can sum to.
func (c *coverer) relaxed(i int, need int64) (int64, bool) {
	cost := int64(0)
	for _, l := range c.lots[i:] {
		if need <= 0 {
			break
		}
		n := (need + l.worth - 1) / l.worth
		if l.stock >= 0 && n > l.stock {
			cost += l.cost * l.stock
			need -= l.worth * l.stock
			continue
		}
		// The last lot in part: cost * need / worth.
		hi, lo := mul(l.cost, need)
		lo, carry := add(lo, uint64(l.worth-1))
		cost += div(hi+carry, lo, uint64(l.worth))
		need = 0
	}
	return (cost + c.unit - 1) / c.unit * c.unit, need <= 0
}

// search reports false where the nodes are spent.
func (c *coverer) search(i int, need, cost int64) bool {
	if need <= 0 {
		c.best = min(c.best, cost)
		return true
	}
	if c.nodes--; c.nodes < 0 {
		return false
	}
	rest, enough := c.relaxed(i, need)
	if !enough || rest+cost >= c.best {
		return true
	}
	l := c.lots[i]
	n := (need + l.worth - 1) / l.worth
	if l.stock >= 0 {
		n = min(n, l.stock)
	}
	for ; n >= 0; n-- {
		if !c.search(i+1, need-n*l.worth, cost+n*l.cost) {
			return false
		}
		// Fewer of the cheapest cannot cost less than this.
		if rest, enough := c.relaxedWith(i, need, n-1); !enough || rest+cost >= c.best || c.best <= c.known {
			break
		}
	}
	return true
}

// relaxedWith is relaxed with at most n of lot i.
func (c *coverer) relaxedWith(i int, need, n int64) (int64, bool) {
	if n < 0 {
		return 0, false
	}
	rest, enough := c.relaxed(i+1, need-n*c.lots[i].worth)
	return rest + n*c.lots[i].cost, enough
}
