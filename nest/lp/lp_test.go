package lp

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// dense is a program written out, as the tests and the outside solver take it.
type dense struct {
	rows []Row
	cost []float64
	a    [][]float64 // by column, then row
}

func (d *dense) program() *Program {
	p := New(d.rows)
	for j, c := range d.a {
		var rows []int32
		var values []float64
		for i, v := range c {
			if v != 0 {
				rows, values = append(rows, int32(i)), append(values, v)
			}
		}
		p.Add(d.cost[j], rows, values)
	}
	return p
}

// check proves an optimum by duality: primal and dual are feasible and meet.
func (d *dense) check(t *testing.T, p *Program) {
	t.Helper()
	const close = 1e-6
	x := p.Values()
	primal, dual := 0.0, 0.0
	for j, c := range d.cost {
		primal += c * x[j]
		reduced := c
		for i := range d.rows {
			reduced -= p.Dual(i) * d.a[j][i]
		}
		if reduced < -close {
			t.Errorf("column %d has reduced cost %g", j, reduced)
		}
	}
	for i, r := range d.rows {
		left := 0.0
		for j := range x {
			left += d.a[j][i] * x[j]
		}
		y := p.Dual(i)
		dual += y * r.Right
		if r.Sense != AtMost && left < r.Right-close || r.Sense != AtLeast && left > r.Right+close {
			t.Errorf("row %d: %g against %g", i, left, r.Right)
		}
		if r.Sense == AtLeast && y < -close || r.Sense == AtMost && y > close {
			t.Errorf("row %d: dual %g", i, y)
		}
	}
	if math.Abs(primal-dual) > close*max(1, math.Abs(primal)) || math.Abs(primal-p.Value()) > close*max(1, math.Abs(primal)) {
		t.Errorf("primal %g, dual %g, value %g", primal, dual, p.Value())
	}
}

func random(rng *rand.Rand, signs bool) *dense {
	d := &dense{}
	m, n := 1+rng.IntN(8), 1+rng.IntN(16)
	for range m {
		right := float64(rng.IntN(20))
		if signs {
			right -= 8
		}
		d.rows = append(d.rows, Row{Sense(rng.IntN(3)), right})
	}
	for range n {
		c := make([]float64, m)
		for i := range c {
			if rng.IntN(2) == 0 {
				c[i] = float64(rng.IntN(6))
				if signs {
					c[i] -= 2
				}
			}
		}
		d.a = append(d.a, c)
		d.cost = append(d.cost, float64(1+rng.IntN(9)))
		if signs {
			d.cost[len(d.cost)-1] -= 3
		}
	}
	return d
}

func TestDuality(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	met := map[Status]int{}
	for i := range 3000 {
		d := random(rng, i%2 == 0)
		p := d.program()
		status := p.Solve(t.Context(), 1000)
		met[status]++
		if status == Optimal {
			d.check(t, p)
		}
		if status == Infeasible {
			// Farkas: the duals price the right-hand side above 0 and no column above 0.
			right := 0.0
			for r, row := range d.rows {
				right += p.Dual(r) * row.Right
			}
			if right < 1e-7 {
				t.Errorf("%d: infeasible, but the duals prove %g", i, right)
			}
			for j := range d.a {
				sum := 0.0
				for r := range d.rows {
					sum += p.Dual(r) * d.a[j][r]
				}
				if sum > 1e-6 {
					t.Errorf("%d: infeasible, but column %d gains %g", i, j, sum)
				}
			}
		}
		if t.Failed() {
			t.Fatalf("program %d: %+v", i, *d)
		}
	}
	for _, s := range []Status{Optimal, Infeasible, Unbounded} {
		if met[s] < 100 {
			t.Errorf("status %d was met %d times only", s, met[s])
		}
	}
	if met[Stopped] > 0 {
		t.Errorf("%d programs did not end", met[Stopped])
	}
}

// TestGrowing adds columns one by one: the optimum must be that of all at once.
func TestGrowing(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for range 300 {
		d := random(rng, false)
		whole := d.program()
		want := whole.Solve(t.Context(), 1000)
		p := New(d.rows)
		got := p.Solve(t.Context(), 1000)
		for j, c := range d.a {
			rows := make([]int32, len(c))
			for i := range rows {
				rows[i] = int32(i)
			}
			if at := p.Add(d.cost[j], rows, c); at != j {
				t.Fatal(at, j)
			}
			got = p.Solve(t.Context(), 1000)
		}
		if got != want || got == Optimal && math.Abs(p.Value()-whole.Value()) > 1e-6 {
			t.Fatalf("%d %g, at once %d %g", got, p.Value(), want, whole.Value())
		}
	}
}

// TestCycling: an example on which the largest-coefficient rule cycles for ever (Chvatal,
// Linear Programming, chapter 3; from memory). Its optimum is -1.
func TestCycling(t *testing.T) {
	d := &dense{
		rows: []Row{{AtMost, 0}, {AtMost, 0}, {AtMost, 1}},
		cost: []float64{-10, 57, 9, 24},
		a:    [][]float64{{0.5, 0.5, 1}, {-5.5, -1.5, 0}, {-2.5, -0.5, 0}, {9, 1, 0}},
	}
	p := d.program()
	if s := p.Solve(t.Context(), 1000); s != Optimal || math.Abs(p.Value()+1) > 1e-9 {
		t.Error(s, p.Value())
	}
	d.check(t, p)
}

func TestStopped(t *testing.T) {
	d := &dense{rows: []Row{{AtLeast, 3}}, cost: []float64{1}, a: [][]float64{{1}}}
	if s := d.program().Solve(t.Context(), 0); s != Stopped {
		t.Error(s)
	}
	ended, end := context.WithCancel(t.Context())
	end()
	if s := d.program().Solve(ended, 1<<10); s != Stopped {
		t.Errorf("after its context: %v", s)
	}
}

// TestOutside compares objective values with GLPK's glpsol, an independent solver.
func TestOutside(t *testing.T) {
	glpsol, err := exec.LookPath("glpsol")
	if err != nil {
		t.Skip("glpsol (Debian's glpk-utils) is not installed")
	}
	rng := rand.New(rand.NewPCG(5, 6))
	dir := t.TempDir()
	optima := 0
	for i := range 60 {
		d := random(rng, i%2 == 0)
		p := d.program()
		status := p.Solve(t.Context(), 1000)
		file, out := filepath.Join(dir, "a.lp"), filepath.Join(dir, "a.out")
		if err := os.WriteFile(file, []byte(d.cplex()), 0o666); err != nil {
			t.Fatal(err)
		}
		log, err := exec.Command(glpsol, "--nopresol", "--lp", file, "-w", out).CombinedOutput()
		if err != nil {
			t.Fatalf("%v: %s", err, log)
		}
		text, err := os.ReadFile(out)
		if err != nil {
			t.Fatal(err)
		}
		// The line "s bas ROWS COLUMNS PRIMAL DUAL OBJECTIVE" of the plain solution format.
		var primal, dual string
		var value float64
		for _, line := range strings.Split(string(text), "\n") {
			if f := strings.Fields(line); len(f) == 7 && f[0] == "s" {
				primal, dual = f[4], f[5]
				if value, err = strconv.ParseFloat(f[6], 64); err != nil {
					t.Fatal(err)
				}
			}
		}
		outside := primal == "f" && dual == "f"
		if outside != (status == Optimal) {
			t.Errorf("%d: status %d, outside primal %s dual %s", i, status, primal, dual)
		}
		if outside {
			optima++
			if math.Abs(value-p.Value()) > 1e-6*max(1, math.Abs(value)) {
				t.Errorf("%d: value %g, outside %g", i, p.Value(), value)
			}
		}
	}
	if optima < 20 {
		t.Errorf("only %d programs had an optimum", optima)
	}
}

// cplex writes d in the CPLEX LP format.
func (d *dense) cplex() string {
	var b strings.Builder
	b.WriteString("Minimize\n obj:")
	for j, c := range d.cost {
		fmt.Fprintf(&b, " %+g x%d", c, j)
	}
	b.WriteString("\nSubject To\n")
	for i, r := range d.rows {
		fmt.Fprintf(&b, " r%d:", i)
		for j := range d.a {
			fmt.Fprintf(&b, " %+g x%d", d.a[j][i], j)
		}
		fmt.Fprintf(&b, " %s %g\n", [...]string{">=", "<=", "="}[r.Sense], r.Right)
	}
	b.WriteString("End\n")
	return b.String()
}

func BenchmarkSolve(b *testing.B) {
	rng := rand.New(rand.NewPCG(7, 8))
	const m = 100
	rows := make([]Row, m)
	for i := range rows {
		rows[i].Right = float64(1 + rng.IntN(30))
	}
	for b.Loop() {
		p := New(rows)
		for range 6 * m {
			at := rng.Perm(m)[:5]
			r := make([]int32, 5)
			v := make([]float64, 5)
			for k := range r {
				r[k], v[k] = int32(at[k]), float64(1+rng.IntN(4))
			}
			p.Add(1, r, v)
		}
		p.Solve(b.Context(), 100_000)
	}
}
