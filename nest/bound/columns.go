package bound

import (
	"encoding/binary"
	"math"

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
// 38).
type generator struct {
	*bounder
	costs   []int64 // of a sheet
	scale   float64 // of costs in the program
	program *lp.Program
	limited []int // row of each sheet's stock, or -1
	columns []Column
	known   map[string]bool
	table   *pattern.Table
	values  []int64
	most    []int64
	method  string
	// valueScale is values per unit of duals.
	valueScale float64
}

func (b *bounder) byColumns() {
	if b.left <= 0 {
		return
	}
	xs, ys, ok := pattern.Axes(b.ways, b.sizes(), 1<<13)
	if !ok {
		return
	}
	g := &generator{bounder: b, known: map[string]bool{}}
	g.table = pattern.NewTable(b.ways, xs, ys)
	g.method = "column generation"
	g.values, g.most = make([]int64, len(b.parts)), make([]int64, len(b.sheets))
	g.start()
	g.run()
	g.deliver()
}

func (b *bounder) sizes() []pattern.Size {
	out := make([]pattern.Size, len(b.sheets))
	for i, s := range b.sheets {
		out[i] = pattern.Size{L: s.L, W: s.W}
	}
	return out
}

// start makes the program with a first column for each part and sheet: copies of it alone.
func (g *generator) start() {
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
	g.costs = make([]int64, len(g.sheets))
	for i, s := range g.sheets {
		g.costs[i] = s.Price
		if g.counted {
			g.costs[i] = 1
		}
		g.scale = max(g.scale, float64(g.costs[i]))
	}
	for s, sheet := range g.sheets {
		for _, w := range g.ways {
			if nx, ny := sheet.L/w.L, sheet.W/w.W; nx > 0 && ny > 0 {
				g.add(s, rows2(pattern.Size{L: sheet.L, W: sheet.W}, w, nx, ny, int64(g.parts[w.Part].Count)))
			}
		}
	}
}

// rows2 is a pattern of rows of one part, no more than so many copies (but for full rows).
func rows2(s pattern.Size, w pattern.Way, nx, ny, copies int64) pattern.Tree {
	nx = min(nx, copies)
	ny = min(ny, (copies+nx-1)/nx)
	part := pattern.Tree{Size: w.Size, Part: w.Part, Turned: w.Turned}
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
func (g *generator) add(sheet int, t pattern.Tree) bool {
	counts := make([]int, len(g.parts))
	t.Count(counts)
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
	g.columns = append(g.columns, Column{Sheet: sheet, Tree: t, Counts: list})
	return true
}

// run prices and adds columns until none improves.
func (g *generator) run() {
	for g.left > 0 && g.ctx.Err() == nil {
		pivots := g.program.Pivots()
		status := g.program.Solve(100_000)
		m := int64(len(g.parts))
		g.left -= int64(g.program.Pivots()-pivots) * m * m * 2
		if status == lp.Stopped || status == lp.Unbounded {
			return
		}
		if !g.price() {
			return
		}
		g.prove(g.values, g.most, g.method)
		if g.done(status) {
			return
		}
		if !g.extend(status) {
			g.out.Converged = true
			break
		}
	}
}

// deliver hands out the columns, in the sheets' own coordinates.
func (g *generator) deliver() {
	values := g.program.Values()
	for i, c := range g.columns {
		c.Value = values[i]
		if g.across[c.Sheet] {
			c.Tree = c.Tree.Transposed()
		}
		g.out.Columns = append(g.out.Columns, c)
	}
	g.out.Least = g.program.Value() * g.scale
}

// price rounds the duals to integers and finds the most that they make a pattern worth.
func (g *generator) price() bool {
	largest := 0.0
	for _, s := range g.sheets {
		largest = max(largest, float64(s.L)*float64(s.W))
	}
	dense, sum := 0.0, 0.0
	for i, p := range g.parts {
		v := max(0, g.program.Dual(i))
		dense = max(dense, v*largest/float64(p.L)/float64(p.W))
		sum += v * float64(p.Count)
	}
	if dense == 0 {
		return false
	}
	// A power of two, so that no pattern is worth more than 2^40 and all parts not more
	// than 2^60.
	scale := math.Exp2(math.Floor(min(40-math.Log2(dense), 60-math.Log2(sum))))
	for i := range g.values {
		g.values[i] = int64(math.Floor(max(0, g.program.Dual(i)) * scale))
	}
	before := g.table.Steps()
	g.table.Fill(g.values)
	g.left -= g.table.Steps() - before
	for i, s := range g.sizes() {
		g.most[i] = g.table.Best(s)
	}
	g.valueScale = scale
	return true
}

// done reports whether no more columns are needed.
func (g *generator) done(status lp.Status) bool {
	if g.o.Columns || status != lp.Optimal {
		return false
	}
	if g.reached() {
		return true
	}
	return g.counted && float64(g.out.Sheets) >= g.program.Value()-1e-6
}

// extend adds columns of negative reduced cost and reports whether there were any.
func (g *generator) extend(status lp.Status) bool {
	added := false
	for i, s := range g.sizes() {
		cost := float64(g.costs[i]) / g.scale
		if status == lp.Infeasible {
			cost = 0
		}
		if r := g.limited[i]; r >= 0 {
			cost -= g.program.Dual(r)
		}
		least := int64(math.Ceil((cost + 1e-7) * g.valueScale))
		for _, t := range g.table.Patterns(s, g.values, least, 5) {
			added = g.add(i, t) || added
		}
	}
	return added
}
