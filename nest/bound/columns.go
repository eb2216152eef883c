package bound

import (
	"encoding/binary"
	"math"
	"slices"

	"sawbook/nest/lp"
	"sawbook/nest/pattern"
)

// generator solves the linear program over all patterns by column generation, after
//
//	P. C. Gilmore, R. E. Gomory (1965), Multistage cutting stock problems of two and more
//	dimensions, Operations Research 13.
//
// Any values, and so the duals of any program on the way, make a proof (A. A. Farley
// 1990, A note on bounding a class of linear programming problems, Operations Research
// 38). Duals swing from one program to the next, so patterns are priced at values between
// them and the best ones so far (A. Pessoa et al. 2018, Automation and combination of
// linear-programming based stabilization techniques in column generation, INFORMS Journal
// on Computing 30).
//
// Where there are many raster points, some of them serve until they yield no more
// patterns; only then the table over all is filled, which proves. Where it would be too
// large, one on a grid does.
type generator struct {
	*bounder
	counting bool    // sheets, not their costs
	costs    []int64 // of a sheet
	unit     int64   // greatest common divisor of costs
	scale    float64 // of costs in the program
	program  *lp.Program
	limited  []int // row of each sheet's stock, or -1
	columns  []Column
	known    map[string]bool
	until    int64 // steps that must be left at the end

	by       *pricer
	best     []float64 // by part: the values of the best proof, or what would be one
	least    float64   // that it proves, in units of the program's cost
	weight   float64   // of best in the values to price at
	values   []int64   // rounded values, by part
	perValue float64   // values per unit of duals
	most     []int64   // by sheet
}

// byColumns proves the cost, then, where prices differ, the number of sheets.
func (b *bounder) byColumns() {
	// The inverse of a basis is square: more parts than that are beyond it.
	const mostParts = 1000
	m := int64(len(b.parts))
	if m > mostParts || b.left < 2*m*m*m || b.left <= 0 {
		return // a first basis alone takes m pivots
	}
	g := &generator{bounder: b}
	g.values, g.most = make([]int64, len(b.parts)), make([]int64, len(b.sheets))
	g.best = make([]float64, len(b.parts))
	costs := make([]int64, len(b.sheets))
	for i, s := range b.sheets {
		costs[i] = s.Price
	}
	ones := slices.Repeat([]int64{1}, len(costs))
	if !b.counted {
		g.until = b.left / 2
		g.start(costs)
		g.generate()
	}
	if g.ctx.Err() != nil {
		return
	}
	g.until, g.counting = 0, true
	g.start(ones)
	g.generate()
}

// generate runs one program to its end.
func (g *generator) generate() {
	if g.reached() || g.ctx.Err() != nil {
		return
	}
	steps := g.left - g.until
	cells := steps / perCell / 6
	most := int(min(manyPoints, max(512, cells/16)))
	exactX, exactY := g.exactAxis(true, most), g.exactAxis(false, most)
	x, y, exact := g.axes(exactX, exactY, cells)
	full := g.table(x, y, exact)
	if exact && len(x.points)*len(y.points) <= 4*coarse*coarse {
		g.by = full
		g.deliver(g.run(all) == exhausted)
		return
	}
	type turn struct {
		by *pricer
		to extent
	}
	some := func(n int64) *pricer {
		n = min(n, int64(math.Sqrt(float64(cells))/3))
		return g.some(exactX, exactY, int(n))
	}
	turns := []turn{{some(coarse), near}}
	const finer = 3 * coarse
	if cells > finer*finer && (!exact || len(x.points)*len(y.points) > 4*finer*finer) {
		turns = append(turns, turn{some(finer), near})
	}
	// One look at the full table may do, long before the others yield nothing more.
	turns = append(turns, turn{full, once}, turn{turns[len(turns)-1].by, all})
	for _, turn := range turns {
		if g.by = turn.by; g.run(turn.to) == reached {
			g.deliver(false)
			return
		}
	}
	g.by = full
	if exact {
		g.deliver(g.run(all) == exhausted)
		return
	}
	// What fits on the grid only is no pattern to hand out.
	g.deliver(false)
	g.run(all)
}

// coarse is how many points of an axis serve at first.
const coarse = 160

// start makes the program for the given costs of sheets, with the columns so far. The
// first ones are copies of one part alone, for each part and sheet.
func (g *generator) start(costs []int64) {
	rows := make([]lp.Row, len(g.parts))
	for i, p := range g.parts {
		rows[i] = lp.Row{Sense: lp.AtLeast, Right: float64(p.Count)}
	}
	g.limited = make([]int, len(g.sheets))
	for i, s := range g.sheets {
		g.limited[i] = -1
		if s.Stock >= 0 {
			g.limited[i] = len(rows)
			rows = append(rows, lp.Row{Sense: lp.AtMost, Right: float64(s.Stock)})
		}
	}
	g.program = lp.New(rows)
	g.costs, g.unit, g.scale = costs, 0, 1
	for _, c := range costs {
		g.unit = gcd(g.unit, c)
		g.scale = max(g.scale, float64(c))
	}
	g.unit = max(g.unit, 1)
	before := g.columns
	g.columns, g.known, g.by = nil, map[string]bool{}, nil
	for _, c := range before {
		counts := make([]int, len(g.parts))
		c.Tree.Count(counts)
		g.add(c.Sheet, c.Tree, counts)
	}
	for s, size := range g.sizes() {
		for _, w := range g.ways {
			if nx, ny := size.L/w.L, size.W/w.W; nx > 0 && ny > 0 {
				t := g.rows(s, w, nx, ny)
				counts := make([]int, len(g.parts))
				t.Count(counts)
				g.add(s, t, counts)
			}
		}
	}
	g.byAreas()
}

// rows is a pattern of rows of one part, no more than are asked for but to fill rows.
func (g *generator) rows(sheet int, w pattern.Way, nx, ny int64) pattern.Tree {
	s := g.sizes()[sheet]
	count := min(int64(g.parts[w.Part].Count), pattern.MostParts)
	nx = min(nx, count)
	ny = min(ny, (count+nx-1)/nx)
	part := pattern.Tree{Size: w.Size, Part: w.Part, Turned: w.Turned}
	if g.firstOn(sheet) == pattern.Crosscut {
		column := strip(pattern.Size{L: w.L, W: s.W}, pattern.Rip, part, ny)
		return strip(s, pattern.Crosscut, column, nx)
	}
	row := strip(pattern.Size{L: s.L, W: w.W}, pattern.Crosscut, part, nx)
	return strip(s, pattern.Rip, row, ny)
}

// strip cuts n copies of t off a piece.
func strip(s pattern.Size, d pattern.Direction, t pattern.Tree, n int64) pattern.Tree {
	rest := pattern.Size{L: s.L, W: s.W - n*t.W}
	if d == pattern.Crosscut {
		rest = pattern.Size{L: s.L - n*t.L, W: s.W}
	}
	if n == 1 && (rest.L == 0 || rest.W == 0) {
		return t
	}
	out := pattern.Tree{Size: s, Part: -1, Cut: d}
	for range n {
		out.Children = append(out.Children, t)
	}
	if rest.L > 0 && rest.W > 0 {
		out.Children = append(out.Children, pattern.Tree{Size: rest, Part: -1})
	}
	return out
}

// add adds a pattern to the program unless one with the same parts is there.
func (g *generator) add(sheet int, t pattern.Tree, counts []int) bool {
	key := binary.AppendUvarint(nil, uint64(sheet))
	var list []Count
	var rows []int32
	var copies []float64
	for i, n := range counts {
		if n == 0 {
			continue
		}
		key = binary.AppendUvarint(binary.AppendUvarint(key, uint64(i)), uint64(n))
		list = append(list, Count{i, n})
		rows, copies = append(rows, int32(i)), append(copies, float64(n))
	}
	if g.known[string(key)] {
		return false
	}
	g.known[string(key)] = true
	if r := g.limited[sheet]; r >= 0 {
		rows, copies = append(rows, int32(r)), append(copies, 1)
	}
	g.program.Add(float64(g.costs[sheet])/g.scale, rows, copies)
	if g.by == nil || g.by.real {
		g.columns = append(g.columns, Column{Sheet: sheet, Tree: t, Counts: list})
	}
	return true
}

// byAreas makes areas the first values to price at.
func (g *generator) byAreas() {
	largest := 0
	for i, s := range g.sheets {
		if float64(s.L)*float64(s.W) > float64(g.sheets[largest].L)*float64(g.sheets[largest].W) {
			largest = i
		}
	}
	s := g.sheets[largest]
	perArea := float64(g.costs[largest]) / g.scale / float64(s.L) / float64(s.W)
	for i, p := range g.parts {
		g.best[i] = float64(p.L) * float64(p.W) * perArea
	}
}

// extent says how far a run goes.
type extent uint8

const (
	once extent = iota // one pricing, at the best values so far
	near               // until the best values would prove the bound, if the table proved
	all                // until no pattern of the table improves the program
)

// outcome says how a run ended.
type outcome uint8

const (
	reached   outcome = iota // the bound or the work
	exhausted                // nothing improves
	ended                    // as far as it was to go
)

// run prices and adds columns.
func (g *generator) run(how extent) outcome {
	const weight = 0.7
	g.weight, g.least = weight, 0
	if how == once {
		g.weight = 1
	}
	status := g.solve()
	for g.left > g.until && g.ctx.Err() == nil && status != lp.Stopped && status != lp.Unbounded {
		if g.done(status) {
			return reached
		}
		if how == near && g.near(status) {
			return ended
		}
		g.price(status)
		if how == once && !g.by.real {
			return ended
		}
		if g.extend(status) {
			g.weight = weight
			status = g.solve()
		} else if g.weight == 0 {
			return exhausted
		} else {
			g.weight = max(0, g.weight-(1-weight))
			if g.weight < 0.05 {
				g.weight = 0
			}
		}
		if how == once {
			return ended
		}
	}
	return reached
}

// near reports whether the best values would prove all there is to prove, with some room.
func (g *generator) near(status lp.Status) bool {
	if status != lp.Optimal || g.o.Columns {
		return false
	}
	value, step := g.program.Value(), float64(g.goal()-g.unit)/g.scale
	return g.least > step+(value-step)/3
}

// goal is the most that the program may yet prove: its optimum, rounded up to what costs
// can sum to.
func (g *generator) goal() int64 {
	value := g.program.Value() * g.scale / float64(g.unit)
	return int64(math.Ceil(value-float64(1e-6*max(1, value/1000)))) * g.unit
}

func (g *generator) solve() lp.Status {
	pivots := g.program.Pivots()
	m := int64(len(g.parts) + len(g.sheets))
	status := g.program.Solve(g.ctx, int(min((g.left-g.until)/(2*m*m)+1, 1<<30)))
	g.left -= int64(g.program.Pivots()-pivots) * m * m * 2
	return status
}

// deliver hands out the columns, in the sheets' own coordinates. Those of the first
// program stand; nobody waits for those of a cancelled one.
func (g *generator) deliver(converged bool) {
	if g.out.Columns != nil || g.ctx.Err() != nil {
		return
	}
	g.out.Converged = converged
	g.out.Least = g.program.Value() * g.scale
	values := g.program.Values()
	for i, c := range g.columns {
		c.Value = values[i]
		c.Tree = g.own(&c.Tree, g.across[c.Sheet])
		g.out.Columns = append(g.out.Columns, c)
	}
}

// own returns t in the lengths of the problem, and transposed for a sheet whose grain
// lies across.
func (b *bounder) own(t *pattern.Tree, across bool) pattern.Tree {
	out := *t
	out.L *= b.unit
	out.W *= b.unit
	if across {
		out.L, out.W = out.W, out.L
		out.Turned = t.Part >= 0 && !t.Turned
		if t.Cut != pattern.NoCut {
			out.Cut = pattern.Rip + pattern.Crosscut - t.Cut
		}
	}
	out.Children = make([]pattern.Tree, len(t.Children))
	for i := range t.Children {
		out.Children[i] = b.own(&t.Children[i], across)
	}
	return out
}

// price finds the most that patterns are worth at values between the duals and the best
// values so far, and what that proves.
func (g *generator) price(status lp.Status) {
	at := make([]float64, len(g.parts))
	weight := g.weight
	if status != lp.Optimal {
		weight = 0
	}
	for i := range at {
		at[i] = float64(weight*g.best[i]) + float64((1-weight)*max(0, g.program.Dual(i)))
	}
	for i := range g.by.void {
		if g.by.void[i] {
			at[i] = 0
		}
	}
	g.round(at)
	g.left -= g.by.fill(g.values)
	need := 0.0
	for i, p := range g.parts {
		need += float64(float64(g.values[i]) * float64(p.Count))
	}
	for i := range g.most {
		g.most[i] = g.by.best(i)
	}
	if g.by.proves {
		g.prove(g.values, g.most, g.by.method)
	}
	if g.o.Progress != nil {
		g.o.Progress(Progress{
			Steps: g.o.Steps - g.left, Columns: len(g.columns),
			Least: g.program.Value() * g.scale, Sheets: g.out.Sheets, Cost: g.out.Cost, Exact: g.by.proves && g.by.real,
		})
	}
	per, least := g.covered(need)
	if status == lp.Optimal && least > g.least {
		g.least = least
		for i, v := range g.values {
			g.best[i] = float64(float64(v) * per)
		}
	}
}

// covered returns what need costs in fractions of sheets, and what one unit of worth of
// the last sheet costs.
func (g *generator) covered(need float64) (per, cost float64) {
	used := make([]bool, len(g.sheets))
	for need > 0 {
		next := -1
		for i, most := range g.most {
			if used[i] || most == 0 || g.sheets[i].Stock == 0 {
				continue
			}
			if c := float64(g.costs[i]) / float64(most); next < 0 || c < per {
				next, per = i, c
			}
		}
		if next < 0 {
			break
		}
		used[next] = true
		n := need / float64(g.most[next])
		if stock := g.sheets[next].Stock; stock >= 0 {
			n = min(n, float64(stock))
		}
		need -= float64(n * float64(g.most[next]))
		cost += float64(n * float64(g.costs[next]))
		if n < float64(g.sheets[next].Stock) || g.sheets[next].Stock < 0 {
			break
		}
	}
	return per / g.scale, cost / g.scale
}

// round makes integers of the values to price at.
func (g *generator) round(at []float64) {
	largest := 0.0
	for _, s := range g.sheets {
		largest = max(largest, float64(s.L)*float64(s.W))
	}
	dense, sum := math.SmallestNonzeroFloat64, math.SmallestNonzeroFloat64
	for i, p := range g.parts {
		dense = max(dense, float64(at[i]*largest)/float64(p.L)/float64(p.W))
		sum += float64(at[i] * float64(p.Count))
	}
	// A power of two, so that no pattern is worth more than 2^40 and all parts not more
	// than 2^60.
	g.perValue = math.Ldexp(1, min(40-exponent(dense), 60-exponent(sum)))
	for i, v := range at {
		g.values[i] = int64(math.Floor(v * g.perValue))
	}
}

// proven returns the bound that the program is about.
func (g *generator) proven() int64 {
	if g.counting {
		return int64(g.out.Sheets)
	}
	return g.out.Cost
}

// reached reports whether the bound meets the plan that is known.
func (g *generator) reached() bool {
	plan := g.o.Cost
	if g.counting {
		plan = int64(g.o.Sheets)
	}
	return g.o.Sheets > 0 && !g.o.Columns && g.proven() >= plan
}

// done reports whether no more columns are needed.
func (g *generator) done(status lp.Status) bool {
	return g.reached() || status == lp.Optimal && !g.o.Columns && g.proven() >= g.goal()
}

// extend adds patterns of negative reduced cost and reports whether there were any.
func (g *generator) extend(status lp.Status) bool {
	added := false
	for i := range g.sheets {
		cost := float64(g.costs[i]) / g.scale
		if status == lp.Infeasible {
			cost = 0
		}
		if r := g.limited[i]; r >= 0 {
			cost -= g.program.Dual(r)
		}
		for _, t := range g.by.patterns(i, g.values, g.most[i]-g.most[i]/8, 8) {
			counts := make([]int, len(g.parts))
			t.Count(counts)
			worth := 0.0
			for p, n := range counts {
				worth += float64(float64(n) * g.program.Dual(p))
			}
			if worth > cost+1e-7 {
				added = g.add(i, t, counts) || added
			}
		}
	}
	return added
}
