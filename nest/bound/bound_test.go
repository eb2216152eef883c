package bound

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sawbook/nest/pattern"
)

const enough = 20_000_000_000

func least(t testing.TB, p Problem, o Options) *Result {
	t.Helper()
	r := Least(context.Background(), p, o)
	counts := make([]int, len(p.Parts))
	for i := range r.Columns {
		c := &r.Columns[i]
		clear(counts)
		s := p.Sheets[c.Sheet]
		if (c.Tree.Size != pattern.Size{L: s.L, W: s.W}) {
			t.Fatalf("column %d is %v of %v", i, c.Tree.Size, s)
		}
		checkTree(t, &p, s.Across, &c.Tree)
		c.Tree.Count(counts)
		for _, n := range c.Counts {
			if counts[n.Part] != n.Copies || n.Copies == 0 {
				t.Fatalf("column %d: part %d counted %d times, there are %d", i, n.Part, n.Copies, counts[n.Part])
			}
			counts[n.Part] = 0
		}
		for part, n := range counts {
			if n != 0 {
				t.Fatalf("column %d: part %d is not counted", i, part)
			}
		}
	}
	return r
}

// checkTree proves that a column can be cut from edge to edge, with the grain.
func checkTree(t testing.TB, p *Problem, across bool, n *pattern.Tree) {
	t.Helper()
	if n.Cut == pattern.NoCut {
		if n.Part < 0 {
			return
		}
		part := p.Parts[n.Part]
		want := pattern.Size{L: part.L, W: part.W}
		if n.Turned {
			want = pattern.Size{L: part.W, W: part.L}
		}
		if n.Size != want || !part.Turns && part.L != part.W && n.Turned != across {
			t.Fatalf("part %+v lies as %+v", part, n)
		}
		return
	}
	l, w := int64(0), int64(0)
	for i := range n.Children {
		c := &n.Children[i]
		checkTree(t, p, across, c)
		if n.Cut == pattern.Rip {
			w += c.W
			l = n.L
			if c.L != n.L {
				t.Fatalf("%v in %v", c.Size, n.Size)
			}
		} else {
			l += c.L
			w = n.W
			if c.W != n.W {
				t.Fatalf("%v in %v", c.Size, n.Size)
			}
		}
	}
	if (pattern.Size{L: l, W: w}) != n.Size {
		t.Fatalf("%d by %d in %v", l, w, n.Size)
	}
}

// strips makes a one-dimensional problem two-dimensional.
func strips(length int64, list ...int64) Problem {
	p := Problem{Sheets: []Sheet{{L: length, W: 7, Price: 5, Stock: -1}}}
	for i := 0; i < len(list); i += 2 {
		p.Parts = append(p.Parts, Part{L: list[i], W: 7, Count: int(list[i+1])})
	}
	return p
}

// TestStrips: one-dimensional problems from textbooks, as strips.
func TestStrips(t *testing.T) {
	for _, test := range []struct {
		name   string
		p      Problem
		least  float64
		sheets int
	}{
		// Winston, Operations Research.
		{"rods", strips(17, 3, 25, 5, 20, 9, 15), 55.0 / 3, 19},
		// A cutting-stock article's example.
		{"paper", strips(5600, 1380, 22, 1520, 25, 1560, 12, 1710, 14, 1820, 18, 1880, 18, 1930, 20, 2000, 10,
			2050, 12, 2100, 14, 2140, 16, 2150, 18, 2200, 20), 72.92, 73},
		// A textbook example; length from memory.
		{"rolls", strips(100, 45, 97, 36, 610, 31, 395, 14, 211), 452.25, 453},
		// A textbook exercise.
		{"boards", strips(25, 7, 5000, 9, 1200, 11, 300), 2166.67, 2167},
		// Chvatal, Linear Programming; data from memory.
		{"bars", strips(910, 255, 78, 225, 40, 200, 30, 150, 30), math.NaN(), 44},
	} {
		r := least(t, test.p, Options{Steps: enough, Columns: true})
		if r.Sheets != test.sheets || r.Cost != 5*int64(test.sheets) || !r.Converged {
			t.Errorf("%s: %d sheets, cost %d", test.name, r.Sheets, r.Cost)
		}
		if math.Abs(r.Least-test.least) > 0.005 {
			t.Errorf("%s: the linear program has %g, want %g", test.name, r.Least, test.least)
		}
	}
}

// cutUp cuts sheets at random from edge to edge into parts: they can be cut from as many
// sheets as there were, and no fewer, since nothing is left over.
func cutUp(rng *rand.Rand, s Sheet, sheets, parts int, turns bool) Problem {
	p := Problem{Sheets: []Sheet{s}}
	pieces := make([]pattern.Size, sheets)
	for i := range pieces {
		pieces[i] = pattern.Size{L: s.L, W: s.W}
		if s.Across {
			pieces[i] = pattern.Size{L: s.W, W: s.L}
		}
	}
	for len(pieces) < parts {
		i := rng.IntN(len(pieces))
		a := pieces[i]
		b := a
		if rng.IntN(2) == 0 && a.L > 1 {
			a.L = 1 + rng.Int64N(a.L-1)
			b.L -= a.L
		} else if a.W > 1 {
			a.W = 1 + rng.Int64N(a.W-1)
			b.W -= a.W
		} else {
			continue
		}
		pieces[i] = a
		pieces = append(pieces, b)
	}
	for _, piece := range pieces {
		p.Parts = append(p.Parts, Part{L: piece.L, W: piece.W, Count: 1, Turns: turns})
	}
	return p
}

// TestCutUp: a bound must never exceed what is known to be possible, however many points
// the lengths make and however few the steps are.
func TestCutUp(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for i := range 16 {
		sheets := 1 + rng.IntN(6)
		s := Sheet{L: 2500, W: 1250, Price: 74, Stock: -1, Across: rng.IntN(2) == 0}
		if i%2 == 0 {
			s.L, s.W = 2_500_000_001, 1_250_000_003
		}
		p := cutUp(rng, s, sheets, sheets+rng.IntN(40), rng.IntN(2) == 0)
		shrunk := Problem{Sheets: p.Sheets}
		for _, part := range p.Parts {
			part.L, part.W = max(1, part.L*97/100), max(1, part.W*97/100)
			shrunk.Parts = append(shrunk.Parts, part)
		}
		steps := int64(math.Exp2(float64(10 + rng.IntN(15))))
		r := least(t, p, Options{Steps: steps})
		if r.Sheets != sheets || r.Cost != 74*int64(sheets) || r.Short {
			t.Errorf("%d sheets, cost %d, by %s, but %d were cut up", r.Sheets, r.Cost, r.SheetsBy, sheets)
		}
		if r := least(t, shrunk, Options{Steps: steps, Columns: true}); r.Sheets > sheets || r.Sheets < sheets-sheets/10-1 {
			t.Errorf("%d sheets by %s after %d steps, but %d were cut up and parts shrunk", r.Sheets, r.SheetsBy, r.Steps, sheets)
		}
	}
}

// TestGrid: on a grid too, a bound is one, and near the exact one.
func TestGrid(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	better := 0
	for range 12 {
		p := Problem{Sheets: []Sheet{{L: 2440, W: 1220, Price: 1, Stock: -1}}}
		for range 20 {
			p.Parts = append(p.Parts, Part{L: 200 + rng.Int64N(1100), W: 150 + rng.Int64N(700), Count: 1 + rng.IntN(30), Turns: rng.IntN(2) == 0})
		}
		exact := least(t, p, Options{Steps: enough})
		p.Sheets = []Sheet{{L: 2440 * 1009, W: 1220 * 1009, Price: 1, Stock: -1}}
		for i := range p.Parts {
			// A little less than the same in the finer unit, so that sums differ all over.
			p.Parts[i].L = p.Parts[i].L*1009 - rng.Int64N(300)
			p.Parts[i].W = p.Parts[i].W*1009 - rng.Int64N(300)
		}
		b := newBounder(context.Background(), &p, Options{Steps: 1_000_000_000})
		b.byArea()
		area := b.out.Sheets
		b.byColumns()
		r := &b.out
		if strings.Contains(r.SheetsBy, "grid") {
			better++
		}
		if r.Sheets > exact.Sheets || r.Sheets < exact.Sheets-1-exact.Sheets/50 || r.Converged {
			t.Errorf("%d sheets by %s, exactly %d by %s, by area %d", r.Sheets, r.SheetsBy, exact.Sheets, exact.SheetsBy, area)
		}
	}
	if better < 6 {
		t.Errorf("a grid proved more than the area only %d times", better)
	}
}

// TestHostile: whatever is asked, there is an end, and a bound that is one.
func TestHostile(t *testing.T) {
	sheet := Sheet{L: 100, W: 100, Price: 7, Stock: -1}
	many := Problem{Sheets: []Sheet{sheet}}
	for i := range 5000 {
		many.Parts = append(many.Parts, Part{L: 1 + int64(i)%100, W: 1 + int64(i)/100, Count: 1})
	}
	for _, test := range []struct {
		name   string
		p      Problem
		sheets int // 0 is: not known
		cost   int64
		short  bool
	}{
		{"parts like the sheet", Problem{Parts: []Part{{100, 100, 1_000_000_000, true}}, Sheets: []Sheet{sheet}}, 1_000_000_000, 7_000_000_000, false},
		{"tiny parts", Problem{Parts: []Part{{1, 1, 1, true}}, Sheets: []Sheet{sheet}}, 1, 7, false},
		{"huge lengths", Problem{Parts: []Part{{1<<49 - 1, 3, 10, false}, {5, 1<<48 + 1, 9, true}},
			Sheets: []Sheet{{1<<49 + 9, 1 << 49, false, 7, -1}}}, 1, 7, false},
		{"no price", Problem{Parts: []Part{{60, 60, 3, true}}, Sheets: []Sheet{{100, 100, false, 0, -1}}}, 3, 0, false},
		{"no stock of one", Problem{Parts: []Part{{60, 60, 3, true}}, Sheets: []Sheet{{100, 100, false, 1, 0}, {100, 100, true, 9, -1}}}, 3, 27, false},
		{"stock too small", Problem{Parts: []Part{{60, 60, 3, true}}, Sheets: []Sheet{{100, 100, false, 7, 2}}}, 3, 21, true},
		{"no stock", Problem{Parts: []Part{{60, 60, 3, true}}, Sheets: []Sheet{{100, 100, false, 7, 0}}}, 3, 21, true},
		{"free offcut first", Problem{Parts: []Part{{60, 60, 3, true}}, Sheets: []Sheet{{70, 70, false, 0, 2}, {100, 100, true, 9, -1}}}, 3, 9, false},
		{"fits nowhere", Problem{Parts: []Part{{101, 1, 3, false}}, Sheets: []Sheet{sheet}}, 0, 0, false},
		{"5000 kinds", many, 0, 0, false},
	} {
		for _, stages := range []int{0, 2, 3} {
			test.p.Stages = stages
			r := least(t, test.p, Options{Steps: 100_000_000})
			if test.sheets == 0 || r.Sheets == test.sheets && r.Cost == test.cost && r.Short == test.short {
				continue
			}
			t.Errorf("%s: %d sheets by %s, cost %d by %s, short %t; want %d, %d, %t", test.name,
				r.Sheets, r.SheetsBy, r.Cost, r.CostBy, r.Short, test.sheets, test.cost, test.short)
		}
	}
}

// TestStages: fewer stages never cost less, and one direction no less than either.
func TestStages(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	differ := 0
	for range 60 {
		p := random(rng)
		for i := range p.Sheets {
			p.Sheets[i].L, p.Sheets[i].W, p.Sheets[i].Stock = 2*p.Sheets[i].L, 2*p.Sheets[i].W, -1
		}
		linear := func(stages int, first pattern.Direction) float64 {
			p.Stages, p.First = stages, first
			r := least(t, p, Options{Steps: enough, Columns: true})
			if !r.Converged {
				t.Fatal("not converged")
			}
			return r.Least
		}
		free, three, two := linear(0, pattern.NoCut), linear(3, pattern.NoCut), linear(2, pattern.NoCut)
		rips, crosscuts := linear(2, pattern.Rip), linear(2, pattern.Crosscut)
		const close = 1e-6
		if three < free-close || two < three-close || rips < two-close || crosscuts < two-close {
			t.Errorf("any %g, three %g, two %g, rips first %g, crosscuts first %g: %+v", free, three, two, rips, crosscuts, p)
		}
		if two > free+close && rips > two+close {
			differ++
		}
	}
	if differ < 5 {
		t.Errorf("stages and direction made a difference %d times only", differ)
	}
}

func TestCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	p := strips(17, 3, 25, 5, 20, 9, 15)
	r := Least(ctx, p, Options{Steps: enough})
	// By area, (75 + 100 + 135) / 17 = 18.2.
	if r.Sheets != 19 || r.Converged || r.Steps > 1_000_000 {
		t.Error(r)
	}
}

func TestSame(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 5 {
		p := random(rng)
		a, b := least(t, p, Options{Steps: enough, Columns: true}), least(t, p, Options{Steps: enough, Columns: true})
		if !reflect.DeepEqual(a, b) {
			t.Error("two runs differ")
		}
	}
}

// TestKnownPlan: with a plan that meets the area's bound there is nothing to prove.
func TestKnownPlan(t *testing.T) {
	p := strips(17, 3, 25, 5, 20, 9, 15)
	if r := least(t, p, Options{Steps: enough, Sheets: 19, Cost: 95}); r.Columns != nil || r.Sheets != 19 {
		t.Error(r)
	}
	calls := 0
	r := least(t, p, Options{Steps: enough, Columns: true, Progress: func(p Progress) { calls++ }})
	if len(r.Columns) == 0 || calls == 0 {
		t.Error(r, calls)
	}
}

// TestMayImprove: what is said not to better a bound does not, when it is priced all the
// same; and something is said not to.
func TestMayImprove(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	idle := 0
	for range 20000 {
		b := bounder{parts: []Part{{Count: 1}}, out: Result{Sheets: 1 + rng.IntN(30), Cost: rng.Int64N(300), SheetsBy: "before", CostBy: "before"}}
		var most []int64
		for range 1 + rng.IntN(3) {
			b.sheets = append(b.sheets, Sheet{Price: rng.Int64N(20), Stock: rng.IntN(8) - 2})
			most = append(most, rng.Int64N(50))
		}
		need := rng.Int64N(1000)
		if b.mayImprove(float64(need), most) {
			continue
		}
		idle++
		before := b.out
		if b.prove([]int64{need}, most, "after"); before.Sheets != b.out.Sheets || before.Cost != b.out.Cost {
			t.Fatalf("sheets %+v worth %v, need %d: from %+v to %+v", b.sheets, most, need, before, b.out)
		}
	}
	if idle < 1000 {
		t.Errorf("only %d of 20000 cases", idle)
	}
}

func TestCover(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for range 500 {
		need := 1 + rng.Int64N(60)
		var lots []lot
		for range 1 + rng.IntN(3) {
			lots = append(lots, lot{rng.Int64N(12), rng.Int64N(9), rng.Int64N(7) - 1})
		}
		want := int64(math.MaxInt64)
		var try func(i int, left, cost int64)
		try = func(i int, left, cost int64) {
			if left <= 0 {
				want = min(want, cost)
				return
			}
			if i == len(lots) {
				return
			}
			for n := int64(0); n <= 60 && (lots[i].stock < 0 || n <= lots[i].stock); n++ {
				try(i+1, left-n*lots[i].worth, cost+n*lots[i].cost)
			}
		}
		try(0, need, 0)
		got, enough := cover(need, 0, lots)
		if enough != (want < math.MaxInt64) || enough && got != want {
			t.Fatalf("%d of %v: %d %t, want %d", need, lots, got, enough, want)
		}
		known := rng.Int64N(30)
		got, also := cover(need, known, lots)
		if also != enough || enough && (want > known && got != want || want <= known && got > known) {
			t.Fatalf("%d of %v, %d known: %d %t, want %d", need, lots, known, got, also, want)
		}
	}
}

// What is known spares work and changes nothing.
func TestKnown(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	for range 200 {
		p := random(rng)
		known := &Known{}
		for _, o := range []Options{{}, {Steps: 100_000}, {Steps: enough}} {
			want := Least(t.Context(), p, o)
			o.Known = known
			if got := Least(t.Context(), p, o); !cmp.Equal(got, want) {
				t.Fatalf("%+v with %+v: %s", p, o, cmp.Diff(want, got))
			}
			if known.finest == 0 || known.out.CostBy == "" {
				t.Fatal("nothing is kept")
			}
		}
	}
}

// random returns a tiny problem with two sheets, grain and stock.
func random(rng *rand.Rand) Problem {
	var p Problem
	for range 1 + rng.IntN(2) {
		p.Sheets = append(p.Sheets, Sheet{L: 8 + rng.Int64N(6), W: 6 + rng.Int64N(6), Across: rng.IntN(3) == 0,
			Price: 3 + rng.Int64N(9), Stock: rng.IntN(9) - 1})
	}
	p.Sheets[0].Stock = -1
	for range 1 + rng.IntN(4) {
		p.Parts = append(p.Parts, Part{L: 3 + rng.Int64N(4), W: 3 + rng.Int64N(3), Count: 1 + rng.IntN(9), Turns: rng.IntN(2) == 0})
	}
	return p
}

// pack lists all that can be cut from every size up to a sheet's, as counts of parts; of
// those that differ only in fewer copies, the most.
func pack(p *Problem, s Sheet) [][]int {
	l, w := s.L, s.W
	if s.Across {
		l, w = w, l
	}
	type set map[string][]int
	table := make([][]set, l+1)
	for x := range table {
		table[x] = make([]set, w+1)
		for y := range table[x] {
			all := set{}
			add := func(c []int) { all[fmt.Sprint(c)] = c }
			add(make([]int, len(p.Parts)))
			for i, part := range p.Parts {
				if part.L <= int64(x) && part.W <= int64(y) || part.Turns && part.W <= int64(x) && part.L <= int64(y) {
					c := make([]int, len(p.Parts))
					c[i] = 1
					add(c)
				}
			}
			sum := func(a, b set) {
				for _, c := range a {
					for _, d := range b {
						e := make([]int, len(c))
						for i := range e {
							e[i] = c[i] + d[i]
						}
						add(e)
					}
				}
			}
			for a := 1; a <= x/2; a++ {
				sum(table[a][y], table[x-a][y])
			}
			for b := 1; b <= y/2; b++ {
				sum(table[x][b], table[x][y-b])
			}
			// Drop what another holds too.
			for k, c := range all {
				for j, d := range all {
					if j != k && covers(d, c) {
						delete(all, k)
						break
					}
				}
			}
			table[x][y] = all
		}
	}
	var out [][]int
	for _, c := range table[l][w] {
		out = append(out, c)
	}
	return out
}

func covers(a, b []int) bool {
	for i := range a {
		if a[i] < b[i] {
			return false
		}
	}
	return true
}

// TestOutside lists all patterns of tiny problems and has GLPK's glpsol, an independent
// solver, find the optimum of the linear program and of whole sheets: the one must be
// ours, the other no less than our bound.
func TestOutside(t *testing.T) {
	glpsol, err := exec.LookPath("glpsol")
	if err != nil {
		t.Skip("glpsol (Debian's glpk-utils) is not installed")
	}
	rng := rand.New(rand.NewPCG(9, 10))
	dir := t.TempDir()
	tight := 0
	for i := range 40 {
		p := random(rng)
		r := least(t, p, Options{Steps: enough, Columns: true})
		counts := make([][][]int, len(p.Sheets))
		for s, sheet := range p.Sheets {
			counts[s] = pack(&p, sheet)
		}
		solve := func(cost func(Sheet) int64, whole bool) (float64, bool) {
			var text, names bytes.Buffer
			text.WriteString("Minimize\n obj:")
			for s := range counts {
				for c := range counts[s] {
					fmt.Fprintf(&text, " + %d x%d_%d\n", cost(p.Sheets[s]), s, c)
					fmt.Fprintf(&names, " x%d_%d\n", s, c)
				}
			}
			text.WriteString("Subject To\n")
			for part := range p.Parts {
				fmt.Fprintf(&text, " p%d:", part)
				for s := range counts {
					for c, n := range counts[s] {
						fmt.Fprintf(&text, " + %d x%d_%d\n", n[part], s, c)
					}
				}
				fmt.Fprintf(&text, " >= %d\n", p.Parts[part].Count)
			}
			for s, sheet := range p.Sheets {
				if sheet.Stock >= 0 {
					fmt.Fprintf(&text, " s%d:", s)
					for c := range counts[s] {
						fmt.Fprintf(&text, " + x%d_%d\n", s, c)
					}
					fmt.Fprintf(&text, " <= %d\n", sheet.Stock)
				}
			}
			if whole {
				fmt.Fprintf(&text, "General\n%s", names.Bytes())
			}
			text.WriteString("End\n")
			file, out := filepath.Join(dir, "a.lp"), filepath.Join(dir, "a.out")
			if err := os.WriteFile(file, text.Bytes(), 0o666); err != nil {
				t.Fatal(err)
			}
			if log, err := exec.Command(glpsol, "--lp", file, "--tmlim", "20", "-w", out).CombinedOutput(); err != nil {
				t.Fatalf("%v: %s", err, log)
			}
			result, err := os.ReadFile(out)
			if err != nil {
				t.Fatal(err)
			}
			for _, line := range strings.Split(string(result), "\n") {
				f := strings.Fields(line)
				if len(f) == 7 && f[0] == "s" && f[1] == "bas" || len(f) == 6 && f[0] == "s" && f[1] == "mip" {
					v, err := strconv.ParseFloat(f[len(f)-1], 64)
					status := f[4]
					return v, err == nil && (status == "f" || status == "o")
				}
			}
			return 0, false
		}
		price := func(s Sheet) int64 { return s.Price }
		linear, ok1 := solve(price, false)
		cost, ok2 := solve(price, true)
		sheets, ok3 := solve(func(Sheet) int64 { return 1 }, true)
		if !ok1 || !ok2 || !ok3 {
			continue // a part fits no sheet
		}
		want := linear
		if len(p.Sheets) == 1 || p.Sheets[0].Price == p.Sheets[1].Price {
			want /= float64(p.Sheets[0].Price)
		}
		if !r.Converged || math.Abs(r.Least-want) > 1e-5 {
			t.Errorf("%d: the linear program has %g, outside %g; %+v", i, r.Least, want, p)
		}
		if float64(r.Cost) > cost+1e-6 || float64(r.Sheets) > sheets+1e-6 || float64(r.Cost) < linear-1e-6 {
			t.Errorf("%d: at least %d sheets and cost %d, outside %g and %g; %+v", i, r.Sheets, r.Cost, sheets, cost, p)
		}
		if float64(r.Cost) == cost && float64(r.Sheets) == sheets {
			tight++
		}
	}
	if tight < 20 {
		t.Errorf("only %d bounds were the optimum", tight)
	}
}

// FuzzLeast: parts cut from one sheet never need two.
func FuzzLeast(f *testing.F) {
	f.Add(uint64(1), uint16(100), uint16(50), uint8(9), uint32(1000))
	f.Fuzz(func(t *testing.T, seed uint64, l, w uint16, parts uint8, steps uint32) {
		rng := rand.New(rand.NewPCG(seed, 1))
		p := cutUp(rng, Sheet{L: int64(l) + 1, W: int64(w) + 1, Price: 3, Stock: 1, Across: seed%2 == 0}, 1, int(min(int64(parts), (int64(l)+1)*(int64(w)+1))), seed%3 == 0)
		r := least(t, p, Options{Steps: int64(steps)})
		if r.Sheets != 1 || r.Cost != 3 || r.Short {
			t.Errorf("%d sheets by %s", r.Sheets, r.SheetsBy)
		}
	})
}
