// Package lp solves linear programs that grow by columns: it returns the dual values,
// from which the next column is priced, and goes on from its last basis.
//
// The method is the primal revised simplex with an explicit inverse of the basis
// (Chvatal, Linear Programming, chapters 7 and 8), in two phases. A pivot costs m*m for
// m rows; meant are some hundreds of rows. Floating-point products are rounded before
// they are added, so that every processor takes the same pivots.
package lp

import (
	"context"
	"math"
)

// Sense is the relation of a row to its right-hand side.
type Sense uint8

const (
	AtLeast Sense = iota
	AtMost
	Equal
)

// Row is a constraint.
type Row struct {
	Sense Sense
	Right float64
}

// Status says how a Solve ended.
type Status uint8

const (
	// Optimal: values and duals are those of an optimum.
	Optimal Status = iota
	// Infeasible: the columns so far cannot meet all rows. The duals prove it: those of
	// the least sum of violations.
	Infeasible
	// Unbounded: the objective falls without end.
	Unbounded
	// Stopped: the pivots are spent, or the context has ended.
	Stopped
)

// Program is to minimise cost over columns with values of 0 or more, subject to rows.
// Its methods must not be called concurrently.
type Program struct {
	m       int
	right   []float64 // made 0 or more
	flip    []float64 // -1 for rows that were multiplied by it
	columns []column  // m logicals, m artificials, then those added
	cells   []cell    // of all columns, one after another: pricing reads them all

	basis   []int     // column of each basic row
	inverse []float64 // of the basis, m by m, by rows
	values  []float64 // of the basic columns
	duals   []float64
	work    []float64
	filled  []cell // of the row of a pivot, those other than 0
	phase1  bool
	fresh   int // pivots since the inverse was computed anew
	pivots  int
}

// column is a column of the program; its cells are those up to end from the end of the one
// before.
type column struct {
	cost float64
	end  int32
	out  bool // not to enter: basic or barred
	bar  bool // never to enter
}

// cell is a coefficient other than 0, and where it stands.
type cell struct {
	at    int32
	value float64
}

// of returns the cells of column c.
func (p *Program) of(c int) []cell {
	from := int32(0)
	if c > 0 {
		from = p.columns[c-1].end
	}
	return p.cells[from:p.columns[c].end]
}

// Tolerances of a program whose coefficients are counts and whose costs are near 1.
const (
	reducedCost = 1e-9  // below it in magnitude, a column does not improve
	pivotSize   = 1e-8  // a smaller pivot would blow up rounding
	violation   = 1e-7  // a sum of artificial values below it is feasible
	zero        = 1e-11 // cleared in the inverse
	drift       = 1e-9  // more of it in an optimum asks for a fresh inverse
	renewal     = 100   // pivots until the inverse is computed anew
)

// New returns a program with the given rows and no columns.
func New(rows []Row) *Program {
	m := len(rows)
	p := &Program{
		m: m, right: make([]float64, m), flip: make([]float64, m),
		columns: make([]column, 2*m), cells: make([]cell, 2*m), basis: make([]int, m),
		inverse: make([]float64, m*m), values: make([]float64, m), duals: make([]float64, m), work: make([]float64, m),
		phase1: true,
	}
	for i, r := range rows {
		p.flip[i] = 1
		if r.Right < 0 {
			p.flip[i] = -1
		}
		p.right[i] = p.flip[i] * r.Right
		value, barred := p.flip[i], r.Sense == Equal
		if r.Sense == AtLeast {
			value = -value
		}
		p.cells[i], p.cells[m+i] = cell{int32(i), value}, cell{int32(i), 1}
		p.columns[i] = column{end: int32(i + 1), out: barred, bar: barred}
		p.columns[m+i] = column{end: int32(m + i + 1), out: true, bar: true}
		p.basis[i] = m + i
		if !barred && value > 0 {
			p.basis[i] = i
		}
		p.columns[p.basis[i]].out = true
		p.inverse[i*m+i] = 1
		p.values[i] = p.right[i]
	}
	return p
}

// Add adds a column and returns its index, counted from 0. The rows must be distinct.
func (p *Program) Add(cost float64, rows []int32, values []float64) int {
	for i, r := range rows {
		p.cells = append(p.cells, cell{r, values[i] * p.flip[r]})
	}
	p.columns = append(p.columns, column{cost: cost, end: int32(len(p.cells))})
	return len(p.columns) - 2*p.m - 1
}

// Columns returns how many columns were added.
func (p *Program) Columns() int { return len(p.columns) - 2*p.m }

// Pivots returns how many pivots all calls of Solve took together.
func (p *Program) Pivots() int { return p.pivots }

// Value returns the objective.
func (p *Program) Value() float64 {
	sum := 0.0
	for i, b := range p.basis {
		sum += float64(p.columns[b].cost * p.values[i])
	}
	return sum
}

// Values returns the value of each column that was added.
func (p *Program) Values() []float64 {
	out := make([]float64, p.Columns())
	for i, b := range p.basis {
		if b >= 2*p.m {
			out[b-2*p.m] = max(0, p.values[i])
		}
	}
	return out
}

// Dual returns the dual value of row i: what one more unit on its right costs.
func (p *Program) Dual(i int) float64 { return float64(p.flip[i] * p.duals[i]) }

// Solve goes on from the last basis for at most so many pivots, or until the context ends.
func (p *Program) Solve(ctx context.Context, most int) Status {
	const beat = 16 // pivots from one look at the context to the next
	degenerate := 0
	for left := most; ; left-- {
		if p.fresh >= renewal {
			p.renew()
		}
		if p.phase1 && p.artificial() <= violation {
			p.phase1 = false
		}
		p.price()
		enter := p.entering(degenerate > 2*p.m+20)
		if enter < 0 {
			if p.fresh > 0 && !p.sound() {
				p.renew()
				continue
			}
			if p.phase1 {
				if p.artificial() <= violation {
					p.phase1 = false
					continue
				}
				return Infeasible
			}
			return Optimal
		}
		if left <= 0 || left%beat == 0 && ctx.Err() != nil {
			return Stopped
		}
		leave := p.leaving(enter)
		if leave < 0 {
			if p.fresh > 0 {
				p.renew()
				continue
			}
			return Unbounded
		}
		if p.pivot(enter, leave) > 0 {
			degenerate = 0
		} else {
			degenerate++
		}
	}
}

// sound reports whether rounding has left values and duals true to the basis.
func (p *Program) sound() bool {
	for i := range p.work {
		p.work[i] = -p.right[i]
	}
	for i, b := range p.basis {
		d := p.cost(b)
		for _, c := range p.of(b) {
			d -= float64(p.duals[c.at] * c.value)
			p.work[c.at] += float64(c.value * p.values[i])
		}
		if math.Abs(d) > drift*max(1, math.Abs(p.cost(b))) {
			return false
		}
	}
	for i, d := range p.work {
		if math.Abs(d) > drift*max(1, p.right[i]) {
			return false
		}
	}
	return true
}

// artificial sums the values of basic artificial columns.
func (p *Program) artificial() float64 {
	sum := 0.0
	for i, b := range p.basis {
		if p.isArtificial(b) {
			sum += p.values[i]
		}
	}
	return sum
}

func (p *Program) isArtificial(c int) bool { return c >= p.m && c < 2*p.m }

func (p *Program) cost(c int) float64 {
	switch {
	case !p.phase1:
		return p.columns[c].cost
	case p.isArtificial(c):
		return 1
	}
	return 0
}

// price computes the duals, cost of basis times inverse.
func (p *Program) price() {
	clear(p.duals)
	for i, b := range p.basis {
		c := p.cost(b)
		if c == 0 {
			continue
		}
		row := p.inverse[i*p.m:][:len(p.duals)]
		for j := range p.duals {
			p.duals[j] += float64(c * row[j])
		}
	}
}

// entering returns the column of most negative reduced cost, or the first one where
// bland (which cannot cycle), or -1 at an optimum.
func (p *Program) entering(bland bool) int {
	found, least := -1, -reducedCost
	duals, cells, from := p.duals, p.cells, int32(0)
	for c := range p.columns {
		col := &p.columns[c]
		here := cells[from:col.end]
		from = col.end
		if col.out {
			continue
		}
		d := 0.0
		if !p.phase1 { // artificial columns, which cost then, never enter
			d = col.cost
		}
		for i := range here {
			d -= float64(duals[here[i].at] * here[i].value)
		}
		if d < least {
			found, least = c, d
			if bland {
				break
			}
		}
	}
	return found
}

// leaving computes the entering column in terms of the basis, in p.work, and returns
// the row whose basic column falls to 0 first, the largest pivot among equals; -1 where
// none does.
func (p *Program) leaving(enter int) int {
	clear(p.work)
	for _, c := range p.of(enter) {
		at := int(c.at)
		for i := range p.work {
			p.work[i] += float64(p.inverse[at] * c.value)
			at += p.m
		}
	}
	row, least := -1, math.Inf(1)
	for i, d := range p.work {
		ratio := 0.0
		switch {
		case !p.phase1 && p.isArtificial(p.basis[i]) && math.Abs(d) > pivotSize:
			// An artificial left in the basis at 0 must not grow.
		case d > pivotSize:
			ratio = max(0, p.values[i]) / d
		default:
			continue
		}
		if row >= 0 && ratio > least-1e-12 {
			if ratio > least+1e-12 || math.Abs(d) < math.Abs(p.work[row]) ||
				math.Abs(d) == math.Abs(p.work[row]) && p.basis[i] > p.basis[row] {
				continue
			}
		}
		row, least = i, ratio
	}
	return row
}

// pivot exchanges the basic column of row leave for enter and returns by how much the
// entering column grows.
func (p *Program) pivot(enter, leave int) float64 {
	m := p.m
	step := max(0, p.values[leave]) / p.work[leave]
	if p.work[leave] < 0 {
		step = 0
	}
	prow := p.inverse[leave*m : (leave+1)*m]
	p.filled = scaled(prow, 1/p.work[leave], p.filled[:0])
	for i, d := range p.work {
		if i == leave || d == 0 {
			continue
		}
		row := p.inverse[i*m : (i+1)*m]
		for _, c := range p.filled {
			v := row[c.at] - float64(d*c.value)
			if math.Abs(v) < zero {
				v = 0
			}
			row[c.at] = v
		}
		p.values[i] -= float64(d * step)
	}
	p.values[leave] = step
	left := &p.columns[p.basis[leave]]
	left.out = left.bar
	p.basis[leave] = enter
	p.columns[enter].out = true
	p.fresh++
	p.pivots++
	return step
}

// scaled multiplies a row and adds its coefficients other than 0 to cells.
func scaled(row []float64, by float64, cells []cell) []cell {
	for j, v := range row {
		if v != 0 {
			row[j] = float64(v * by)
			cells = append(cells, cell{int32(j), row[j]})
		}
	}
	return cells
}

// subtract takes a multiple of cells off a row.
func subtract(row []float64, times float64, cells []cell) {
	for _, c := range cells {
		row[c.at] -= float64(times * c.value)
	}
}

// renew computes the inverse of the basis anew by Gauss-Jordan elimination, and with
// it the values.
func (p *Program) renew() {
	m := p.m
	a := make([]float64, m*m) // the basis
	var left []cell           // of it, in the row at hand
	for j, b := range p.basis {
		for _, c := range p.of(b) {
			a[int(c.at)*m+j] = c.value
		}
	}
	inv := make([]float64, m*m)
	for i := range m {
		inv[i*m+i] = 1
	}
	for c := range m {
		best := c
		for i := c + 1; i < m; i++ {
			if math.Abs(a[i*m+c]) > math.Abs(a[best*m+c]) {
				best = i
			}
		}
		if math.Abs(a[best*m+c]) < zero {
			p.fresh = 0
			return // rounding made the basis singular: the old inverse is the better one
		}
		if best != c {
			for j := range m {
				a[c*m+j], a[best*m+j] = a[best*m+j], a[c*m+j]
				inv[c*m+j], inv[best*m+j] = inv[best*m+j], inv[c*m+j]
			}
		}
		scale := 1 / a[c*m+c]
		left = scaled(a[c*m:(c+1)*m], scale, left[:0])
		p.filled = scaled(inv[c*m:(c+1)*m], scale, p.filled[:0])
		for i := range m {
			d := a[i*m+c]
			if i == c || d == 0 {
				continue
			}
			subtract(a[i*m:(i+1)*m], d, left)
			subtract(inv[i*m:(i+1)*m], d, p.filled)
		}
	}
	p.inverse, p.fresh = inv, 0
	for i := range m {
		sum := 0.0
		for j, v := range inv[i*m : (i+1)*m] {
			sum += float64(v * p.right[j])
		}
		p.values[i] = sum
	}
}
