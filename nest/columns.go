package nest

import (
	"context"
	"math"
	"slices"

	"sawbook/nest/lp"
	"sawbook/nest/pattern"
)

// columns are the patterns met so far, for the linear program of
//
//	P. C. Gilmore, R. E. Gomory (1961), A linear programming approach to the
//	cutting-stock problem, Operations Research 9:
//
// the cheapest number of sheets by pattern, in fractions, that cuts what is asked for.
// Its dual values say what a copy of each kind is worth; patterns that are worth more
// than their sheet costs are added until there are none.
type columns struct {
	ctx        context.Context
	m          *model
	all        []column
	seen       map[string]bool
	generators []generator
	steps      int64
	relaxed    int64 // see Moment.Relaxed
}

// column is a pattern and how many copies of each kind it cuts.
type column struct {
	tree   *tree
	stock  int
	kinds  []int32 // ascending
	copies []int
}

// generator finds valuable trees given the value of a copy of each kind.
type generator interface {
	// generate returns trees worth more than least, the best first, and the steps it took.
	generate(values []int64, least int64) ([]*tree, int64)
	// sheet is that of the trees.
	sheet() *stock
	// again returns one like it, for another lane.
	again() generator
}

// oneValue is the integer value that stands for the price of the dearest sheet.
const oneValue = 1 << 40

// mostRows limits the linear program: a pivot takes time with its square.
const mostRows = 400

// newColumns returns nil where linear programming does not help.
func newColumns(ctx context.Context, m *model) *columns {
	if len(m.kinds) > mostRows {
		return nil
	}
	c := &columns{ctx: ctx, m: m, seen: map[string]bool{}}
	free := m.stages == 0 && m.problem.First == NoCut && m.longest[Rip] == unlimited && m.longest[Crosscut] == unlimited
	for i := range m.stocks {
		s := &m.stocks[i]
		if free {
			if t := newTable(m, s); t != nil {
				c.generators = append(c.generators, t)
				continue
			}
		}
		for d := Rip; d <= Crosscut; d++ {
			if g := newStrips(m, s, d); g != nil {
				c.generators = append(c.generators, g)
			}
		}
	}
	if len(c.generators) == 0 {
		return nil
	}
	return c
}

// again returns columns of the same generators without patterns, for another lane.
func (c *columns) again() *columns {
	a := &columns{ctx: c.ctx, m: c.m, seen: map[string]bool{}}
	for _, g := range c.generators {
		a.generators = append(a.generators, g.again())
	}
	return a
}

// table generates patterns of any number of stages.
type table struct {
	m     *model
	stock *stock
	*pattern.Table
}

func newTable(m *model, s *stock) *table {
	var ways []pattern.Way
	for i := range m.kinds {
		k := &m.kinds[i]
		first, last := k.ways(s)
		for way := first; way <= last; way++ {
			x, y := k.size(way == 1)
			ways = append(ways, pattern.Way{Size: pattern.Size{L: x, W: y}, Part: i, Turned: way == 1})
		}
	}
	xs, ys, ok := pattern.Axes(ways, []pattern.Size{{L: s.l, W: s.w}}, mostPoints)
	if !ok || len(xs) > 2000 || len(ys) > 2000 || len(xs)*len(ys) > 500_000 {
		return nil
	}
	return &table{m, s, pattern.NewTable(ways, []pattern.Size{{L: s.l, W: s.w}}, xs, ys)}
}

func (g *table) generate(values []int64, least int64) ([]*tree, int64) {
	const most = 5
	before := g.Steps()
	g.Fill(values)
	var out []*tree
	for _, found := range g.Patterns(0, values, least, most) {
		t := g.m.newTree(g.stock)
		t.graft(g.m, 0, &found)
		t.reopen(g.m)
		out = append(out, t)
	}
	return out, (g.Steps() - before) / 64
}

func (g *table) sheet() *stock { return g.stock }

func (g *table) again() generator { return &table{g.m, g.stock, g.Table.Again()} }

// graft makes the free leaf at i what p says.
func (t *tree) graft(m *model, i int32, p *pattern.Tree) {
	if p.Part >= 0 {
		t.nodes[i].kind, t.nodes[i].turned = int32(p.Part), p.Turned
		t.fill += m.kinds[p.Part].area
		return
	}
	rest := i
	for c := range p.Children {
		child := &p.Children[c]
		if child.Part < 0 && child.Cut == pattern.NoCut {
			continue
		}
		var piece int32
		d := Direction(p.Cut)
		piece, rest = t.divide(m, rest, d, along(child.L, child.W, d.other()))
		t.graft(m, piece, child)
	}
}

// add adds the pattern of t, unless it is known, and returns its index or -1.
func (c *columns) add(t *tree) int {
	if t == nil || t.empty() {
		return -1
	}
	key := c.m.signature(t)
	if c.seen[key] {
		return -1
	}
	c.seen[key] = true
	col := column{tree: t, stock: c.m.index(t.stock)}
	parts := t.parts(nil)
	slices.Sort(parts)
	for i, k := range parts {
		if i == 0 || k != parts[i-1] {
			col.kinds, col.copies = append(col.kinds, k), append(col.copies, 0)
		}
		col.copies[len(col.copies)-1]++
	}
	c.all = append(c.all, col)
	return len(c.all) - 1
}

// cost is that of a sheet for the linear program: the dearest costs 1; that the number of
// sheets decides between equal costs is left to a small addition.
func (c *columns) cost(stock int) float64 {
	const each = 1e-5
	return (float64(c.m.stocks[stock].price)/c.m.dearest + each) / (1 + each)
}

// relaxed is a solution of the linear program.
type relaxed struct {
	times []float64 // by column
	value float64   // in sheets, see cost
	whole bool      // no pattern that the generators know betters it
}

// relax solves the linear program for a demand by kind and what is left of each stock,
// generating columns for at most so many rounds. It reports false where the columns
// cannot meet the demand.
func (c *columns) relax(demand, stock []int, rounds int, stop func() bool) (relaxed, bool) {
	var rows []lp.Row
	row := make([]int32, len(demand))
	for k, n := range demand {
		row[k] = -1
		if n > 0 {
			row[k] = int32(len(rows))
			rows = append(rows, lp.Row{Sense: lp.AtLeast, Right: float64(n)})
		}
	}
	stockRow := make([]int32, len(stock))
	for i, n := range stock {
		stockRow[i] = -1
		if n >= 0 {
			stockRow[i] = int32(len(rows))
			rows = append(rows, lp.Row{Sense: lp.AtMost, Right: float64(n)})
		}
	}
	program := lp.New(rows)
	var inProgram []int
	include := func(i int) {
		col := &c.all[i]
		var at []int32
		var values []float64
		for j, k := range col.kinds {
			if row[k] >= 0 {
				at, values = append(at, row[k]), append(values, float64(col.copies[j]))
			}
		}
		if len(at) == 0 {
			return
		}
		if r := stockRow[col.stock]; r >= 0 {
			at, values = append(at, r), append(values, 1)
		}
		inProgram = append(inProgram, i)
		program.Add(c.cost(col.stock), at, values)
	}
	for i := range c.all {
		include(i)
	}
	worth := make([]int64, len(demand))
	feasible, whole := false, false
	for ; ; rounds-- {
		before := program.Pivots()
		status := program.Solve(c.ctx, 20*(len(rows)+10))
		c.steps += int64(program.Pivots()-before) * int64(len(rows)*len(rows)/64+len(c.all)/16+1)
		feasible = status != lp.Infeasible
		if rounds == 0 || stop() {
			break
		}
		for k := range worth {
			worth[k] = 0
			if row[k] >= 0 {
				worth[k] = int64(max(0, program.Dual(int(row[k]))) * oneValue)
			}
		}
		added := false
		for _, g := range c.generators {
			i := c.m.index(g.sheet())
			cost := c.cost(i)
			if r := stockRow[i]; r >= 0 {
				cost -= program.Dual(int(r))
			}
			found, steps := g.generate(worth, int64((cost+1e-7)*oneValue))
			c.steps += steps
			for _, t := range found {
				if i := c.add(t); i >= 0 {
					include(i)
					added = true
				}
			}
		}
		if whole = !added; whole {
			break
		}
	}
	out := relaxed{times: make([]float64, len(c.all)), value: program.Value(), whole: whole}
	for i, x := range program.Values() {
		out.times[inProgram[i]] = x
	}
	return out, feasible
}

// price returns what fractions of sheets cost, by column.
func (c *columns) price(times []float64) int64 {
	cost := 0.0
	for i, x := range times {
		cost += float64(x * float64(c.m.stocks[c.all[i].stock].price))
	}
	return int64(math.Round(cost))
}

// dive rounds the linear program step by step: whole sheets of every pattern are fixed,
// or where there is none, one of the pattern with the greatest fraction, until at most so
// many sheets are left. It returns what is fixed and the demand that remains.
func (c *columns) dive(demand, stock []int, sheets float64, rng *random, stop func() bool) ([]cutting, []int) {
	demand, stock = slices.Clone(demand), slices.Clone(stock)
	var fixed []cutting
	for depth := 0; !stop(); depth++ {
		rounds := 30
		if depth == 0 {
			rounds = 1000
		}
		r, ok := c.relax(demand, stock, rounds, stop)
		if ok && depth == 0 && r.whole {
			c.relaxed = c.price(r.times)
		}
		if !ok || (r.value <= sheets) {
			break
		}
		best, chosen := 0.0, -1
		whole := false
		for i, x := range r.times {
			n := int(math.Floor(x + 1e-6))
			if n > 0 {
				whole = true
				fixed = append(fixed, c.fix(i, n, demand, stock)...)
				continue
			}
			if x *= 0.7 + 0.3*rng.unit(); x > best {
				best, chosen = x, i
			}
		}
		if whole {
			continue
		}
		if chosen < 0 {
			break
		}
		fixed = append(fixed, c.fix(chosen, 1, demand, stock)...)
	}
	return fixed, demand
}

// fix takes n sheets of column i out of demand and stock. A sheet that would cut more than
// asked for is left without the surplus.
func (c *columns) fix(i, n int, demand, stock []int) []cutting {
	col := &c.all[i]
	if stock[col.stock] >= 0 {
		n = min(n, stock[col.stock])
	}
	full := n
	for j, k := range col.kinds {
		full = min(full, demand[k]/col.copies[j])
	}
	var out []cutting
	if full > 0 {
		out = append(out, cutting{col.tree, full})
	}
	for j, k := range col.kinds {
		demand[k] -= full * col.copies[j]
	}
	used := full
	for used < n {
		t := c.m.newTree(col.tree.stock)
		t.copyFrom(col.tree)
		for j, k := range col.kinds {
			surplus := col.copies[j] - demand[k]
			for ; surplus > 0; surplus-- {
				t.takeOne(c.m, k)
			}
		}
		if t.empty() {
			break
		}
		times := n - used // until another kind of it is used up
		for j, k := range col.kinds {
			if copies := min(col.copies[j], demand[k]); copies > 0 {
				times = min(times, demand[k]/copies)
			}
		}
		for j, k := range col.kinds {
			demand[k] -= times * min(col.copies[j], demand[k])
		}
		out = append(out, cutting{t, times})
		used += times
	}
	if stock[col.stock] >= 0 {
		stock[col.stock] -= used
	}
	return out
}

// takeOne frees one part of kind k, if t has any.
func (t *tree) takeOne(m *model, k int32) {
	for i := range t.nodes {
		if t.nodes[i].kind == k {
			t.take(m, int32(i), nil)
			return
		}
	}
}
