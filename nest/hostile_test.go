package nest

import (
	"context"
	"encoding/binary"
	"encoding/json"
	"errors"
	"math/rand/v2"
	"runtime"
	"strings"
	"sync/atomic"
	"testing"
	"time"
)

// hostile are problems that a shop would not ask, or only by mistake; say is part of the
// error where one is due.
var hostile = []struct {
	name    string
	problem func() Problem
	say     string // "?" where there may be an error
	status  Status
	sheets  int // of the plan, -1 where that is not known
	misfits int
}{
	{"part as large as the sheet", func() Problem {
		return Problem{Kerf: 3, Sheets: []Sheet{{Length: 100, Width: 60, Left: 2, Top: 1, Stock: -1}}, Parts: []Part{{98, 59, 4, Along}}}
	}, "", Proven, 4, 0},
	{"part as large as the sheet before it is trimmed", func() Problem {
		return Problem{Kerf: 3, Sheets: []Sheet{{Length: 100, Width: 60, Left: 2, Top: 1, Stock: -1}}, Parts: []Part{{100, 60, 4, Along}}}
	}, "", Proven, 0, 1},
	{"kerf larger than the parts", func() Problem {
		return Problem{Kerf: 30, Sheets: []Sheet{sheet(100, 60)}, Parts: []Part{{10, 5, 10, Any}}}
	}, "", Proven, 2, 0},
	{"kerf larger than the sheet", func() Problem {
		return Problem{Kerf: 300, Sheets: []Sheet{sheet(100, 60)}, Parts: []Part{{10, 5, 3, Any}}}
	}, "", Proven, 3, 0},
	{"no size", func() Problem {
		return Problem{Sheets: []Sheet{sheet(100, 60)}, Parts: []Part{{0, 5, 3, Any}}}
	}, "length is 0", 0, 0, 0},
	{"negative size", func() Problem {
		return Problem{Sheets: []Sheet{sheet(100, -60)}, Parts: []Part{{4, 5, 3, Any}}}
	}, "width is -60", 0, 0, 0},
	{"negative kerf", func() Problem {
		return Problem{Kerf: -1, Sheets: []Sheet{sheet(100, 60)}, Parts: []Part{{4, 5, 3, Any}}}
	}, "kerf is -1", 0, 0, 0},
	{"no part", func() Problem { return Problem{Sheets: []Sheet{sheet(100, 60)}} }, "", Proven, 0, 0},
	{"no sheet", func() Problem { return Problem{Parts: []Part{{4, 5, 3, Any}}} }, "there is none", 0, 0, 0},
	{"trims leave nothing", func() Problem {
		return Problem{Sheets: []Sheet{{Length: 100, Width: 60, Left: 50, Right: 50, Stock: -1}}, Parts: []Part{{4, 5, 3, Any}}}
	}, "leave nothing", 0, 0, 0},
	{"price 0", func() Problem {
		return Problem{Sheets: []Sheet{{Length: 100, Width: 60, Stock: -1}, {Length: 50, Width: 60, Price: 1, Stock: -1}}, Parts: []Part{{50, 30, 8, Any}}}
	}, "", Proven, 2, 0},
	{"stock 0", func() Problem {
		return Problem{Sheets: []Sheet{{Length: 100, Width: 60}}, Parts: []Part{{4, 5, 3, Any}}}
	}, "stock is 0", 0, 0, 0},
	{"stock 0 of the only sheet that is large enough", func() Problem {
		return Problem{Sheets: []Sheet{{Length: 100, Width: 60}, sheet(50, 60)}, Parts: []Part{{70, 5, 3, Any}, {50, 60, 1, Any}}}
	}, "", Short, 1, 0},
	{"ten million copies, and a sheet for a few", func() Problem {
		a, b := sheet(26, 16), sheet(21, 12)
		a.Stock, b.Price = 2, 35
		return Problem{Sheets: []Sheet{a, b}, Parts: []Part{{16, 13, 10_000_000, Along}, {10, 7, 3, Along}}}
	}, "", Short, -1, 0},
	{"grain excludes every sheet", func() Problem {
		s := sheet(60, 100)
		s.GrainAcross = true
		return Problem{Sheets: []Sheet{sheet(100, 60), s}, Parts: []Part{{60, 90, 3, Along}, {90, 60, 2, Across}}}
	}, "", Proven, 0, 2},
	{"a million copies", func() Problem {
		return Problem{Kerf: 3, Sheets: []Sheet{sheet(2500, 1250)}, Parts: []Part{{700, 300, 1_000_000, Any}}}
	}, "", Finished, -1, 0},
	{"a million copies of 40 kinds", func() Problem { return manyKinds(40, 25_000) }, "", Finished, -1, 0},
	{"a million copies on one sheet", func() Problem {
		return Problem{Sheets: []Sheet{sheet(1_000_000, 1_000)}, Parts: []Part{{700, 1, 1_000_000, Any}}}
	}, "?", Finished, -1, 0},
	{"as many copies as may be, all on one sheet", func() Problem {
		return Problem{Sheets: []Sheet{sheet(1<<50, 1<<50)}, Parts: []Part{{1, 1, mostCopies, Any}}}
	}, "?", Finished, -1, 0},
	{"more copies than may be", func() Problem {
		return Problem{Sheets: []Sheet{sheet(100, 60)}, Parts: []Part{{4, 5, mostCopies, Any}, {4, 5, mostCopies, Any}}}
	}, "copies in all", 0, 0, 0},
	{"5000 kinds", func() Problem { return manyKinds(5000, 1) }, "", Finished, -1, 0},
	{"5000 kinds, 4 of each", func() Problem { return manyKinds(5000, 4) }, "", Finished, -1, 0},
	{"areas overflow", func() Problem {
		const l = 1<<50 - 27
		return Problem{Kerf: 1<<20 + 7, Sheets: []Sheet{{Length: l, Width: l, Price: mostPrice, Stock: -1}},
			Parts: []Part{{l / 2, l / 3, 20, Any}, {l/3 - 1<<21, l / 3, 30, Along}, {l / 7, l - 5, 9, Across}}}
	}, "", Finished, -1, 0},
	{"sizes with no common measure", func() Problem {
		p := Problem{Kerf: 3_200_001, Sheets: []Sheet{{Length: 2_500_000_003, Width: 1_250_000_007, Price: 7400, Stock: -1}}}
		rng := rand.New(rand.NewPCG(3, 1))
		for range 60 {
			p.Parts = append(p.Parts, Part{1e8 + rng.Int64N(8e8), 1e8 + rng.Int64N(5e8), 1 + rng.IntN(20), Grain(rng.IntN(3))})
		}
		return p
	}, "", Finished, -1, 0},
}

// manyKinds returns parts of so many kinds, and so many copies of each.
func manyKinds(kinds, copies int) Problem {
	rng := rand.New(rand.NewPCG(uint64(kinds), uint64(copies)))
	p := Problem{Kerf: 3, Sheets: []Sheet{sheet(2500, 1250), sheet(2440, 1220)}}
	for range kinds {
		p.Parts = append(p.Parts, Part{100 + rng.Int64N(900), 50 + rng.Int64N(500), copies, Grain(rng.IntN(3))})
	}
	return p
}

const (
	longestTest = 60 * time.Second // one is enough on an idle machine: this is to find what hangs
	mostMemory  = 500 << 20
)

// hangFactor is how much more the race detector takes, of time and of memory.
var hangFactor = 1

// bounded fails where f takes unduly long, or much memory. It then cancels f's context,
// and gives f up where that does not help.
func bounded(t testing.TB, f func(context.Context)) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	done := make(chan bool)
	go func() {
		defer close(done)
		f(ctx)
	}()
	var stats runtime.MemStats
	runtime.ReadMemStats(&stats)
	before := stats.Sys // what was asked of the system: the most that was ever in use
	longest, most := longestTest*time.Duration(hangFactor), mostMemory*uint64(hangFactor)
	start := time.Now()
	watch := time.NewTicker(100 * time.Millisecond)
	defer watch.Stop()
	for {
		select {
		case <-done:
			return
		case <-watch.C:
		}
		runtime.ReadMemStats(&stats)
		took, memory := time.Since(start), stats.Sys-before
		if ctx.Err() == nil && (took > longest || memory > most) {
			t.Errorf("after %v there is no answer, and %d MB are in use", took, memory>>20)
			cancel()
		}
		if memory > 4*most {
			panic("cancelling it does not help: memory still grows")
		}
		if took > 2*longest {
			t.Fatal("cancelling it does not help")
		}
	}
}

func TestHostile(t *testing.T) {
	for _, c := range hostile {
		t.Run(c.name, func(t *testing.T) {
			p := c.problem()
			var plan *Plan
			var err error
			bounded(t, func(ctx context.Context) { plan, err = Solve(ctx, p, Options{Effort: Quick}) })
			var faults *FaultError
			if errors.As(err, &faults) {
				if c.say == "" || c.say != "?" && !strings.Contains(err.Error(), c.say) {
					t.Errorf("error %v, want %q", err, c.say)
				}
				return
			}
			if err != nil || c.say != "" && c.say != "?" {
				t.Fatalf("error %v, want one that says %q", err, c.say)
			}
			stands(t, p, plan)
			if c.sheets >= 0 && (plan.Sheets != c.sheets || plan.Status != c.status || len(plan.Misfits) != c.misfits) {
				t.Errorf("%d sheets, status %d, misfits %v; want %d sheets, status %d, %d misfits",
					plan.Sheets, plan.Status, plan.Misfits, c.sheets, c.status, c.misfits)
			}
		})
	}
}

// stands checks a plan, and replays its cuts where the verifier takes such numbers.
func stands(t testing.TB, p Problem, plan *Plan) {
	t.Helper()
	check(t, p, plan)
	const most = 1_000_000_000_000_000 // of nm and of minor units
	largest := max(p.Kerf, p.LongestRip, p.LongestCrosscut, plan.Cost)
	for _, s := range p.Sheets {
		largest = max(largest, s.Length, s.Width)
	}
	for _, part := range p.Parts {
		largest = max(largest, part.Length, part.Width)
	}
	pieces := 0
	for i := range plan.Patterns {
		pieces += plan.Patterns[i].Root.count()
	}
	if largest <= most && pieces < 100_000 {
		replay(t, p, plan)
	}
}

// count returns how many pieces there are in p.
func (p *Piece) count() int {
	n := 1
	for i := range p.Children {
		n += p.Children[i].count()
	}
	return n
}

// TestOneStep: the least effort gives a plan, and so does one below that.
func TestOneStep(t *testing.T) {
	for _, effort := range []Effort{1, -1} {
		for _, p := range []Problem{manyKinds(30, 1), manyKinds(10, 50)} {
			stands(t, p, solve(t, p, Options{Effort: effort}))
		}
	}
}

// countdown is a context that ends when it was asked so many times whether it has.
type countdown struct {
	context.Context
	cancel func()
	left   atomic.Int64
}

func newCountdown(t testing.TB, calls int64) *countdown {
	ctx, cancel := context.WithCancel(context.Background())
	t.Cleanup(cancel)
	c := &countdown{Context: ctx, cancel: cancel}
	c.left.Store(calls)
	return c
}

func (c *countdown) Err() error {
	if c.left.Add(-1) < 0 {
		c.cancel()
	}
	return c.Context.Err()
}

// TestCancelledMidway: a run that is ended at any moment keeps a plan and says so.
func TestCancelledMidway(t *testing.T) {
	tight, _ := known(3, 0, turnings[0])
	for name, p := range map[string]Problem{"different parts": tight, "equal parts": manyKinds(12, 40)} {
		t.Run(name, func(t *testing.T) {
			cancelled := 0
			for calls := int64(0); calls < 200; calls = 3*calls + 1 {
				ctx := newCountdown(t, calls)
				plan, err := Solve(ctx, p, Options{Effort: Quick})
				if err != nil {
					t.Fatal(err)
				}
				stands(t, p, plan)
				if ctx.Context.Err() != nil && plan.Status != Cancelled && plan.Status != Proven {
					t.Errorf("cancelled at call %d: status %d", calls, plan.Status)
				}
				if plan.Status == Cancelled {
					cancelled++
				}
			}
			if cancelled < 2 {
				t.Error("not even two runs were cancelled: a harder problem is needed")
			}
		})
	}
}

// TestCancelledAtOnce: nothing keeps a run that is over before it begins for long.
func TestCancelledAtOnce(t *testing.T) {
	for name, p := range map[string]Problem{"kinds": manyKinds(5000, 1), "copies": manyKinds(100, 10_000)} {
		t.Run(name, func(t *testing.T) {
			var plan *Plan
			var err error
			bounded(t, func(ctx context.Context) {
				ctx, cancel := context.WithCancel(ctx)
				cancel()
				plan, err = Solve(ctx, p, Options{Effort: Thorough})
			})
			if err != nil {
				t.Fatal(err)
			}
			stands(t, p, plan)
			if plan.Status != Cancelled && plan.Status != Proven {
				t.Errorf("status %d", plan.Status)
			}
		})
	}
}

// TestSameOnOneCore: the number of cores changes nothing, nor does a second run.
func TestSameOnOneCore(t *testing.T) {
	fixed, _ := known(3, 0.04, turnings[1])
	several, _ := knownCost(1, 0.04, turnings[2])
	for name, p := range map[string]Problem{"different parts": fixed, "several sizes": several,
		"equal parts": manyKinds(12, 40), "many kinds": manyKinds(300, 1), "many copies": manyKinds(20, 500)} {
		t.Run(name, func(t *testing.T) {
			var want string
			for _, cores := range []int{1, 2, 2} {
				before := runtime.GOMAXPROCS(cores)
				got, err := json.Marshal(solve(t, p, Options{Effort: Quick, Seed: 5}))
				runtime.GOMAXPROCS(before)
				if err != nil {
					t.Fatal(err)
				}
				if want == "" {
					want = string(got)
				}
				if string(got) != want {
					t.Fatalf("on %d cores:\n%s\nwant:\n%s", cores, got, want)
				}
			}
		})
	}
}

// numbers reads or writes a problem as a list of numbers, so that fuzzing may change
// each of them.
type numbers struct {
	data    []byte
	writing bool
}

func (n *numbers) more() bool { return len(n.data) > 0 }

func (n *numbers) int64s(values ...*int64) {
	for _, v := range values {
		if n.writing {
			n.data = binary.AppendVarint(n.data, *v)
			continue
		}
		value, size := binary.Varint(n.data)
		*v = value
		n.data = n.data[min(max(size, 1), len(n.data)):]
	}
}

func number64[T ~int | ~int64 | ~uint8 | ~uint64](n *numbers, v *T) {
	wide := int64(*v)
	n.int64s(&wide)
	*v = T(wide)
}

func (n *numbers) problem(p *Problem, o *Options) {
	n.int64s(&p.Kerf, &p.LongestRip, &p.LongestCrosscut, &p.Keep.Long, &p.Keep.Short, &p.Keep.ValueNum, &p.Keep.ValueArea)
	number64(n, &p.Stages)
	number64(n, &p.First)
	number64(n, &o.Effort)
	number64(n, &o.Seed)
	sheets := len(p.Sheets)
	number64(n, &sheets)
	for i := 0; i < sheets && (n.writing || n.more()); i++ {
		if !n.writing {
			p.Sheets = append(p.Sheets, Sheet{})
		}
		s := &p.Sheets[i]
		n.int64s(&s.Length, &s.Width, &s.Left, &s.Right, &s.Bottom, &s.Top, &s.Price)
		number64(n, &s.Stock)
		across := map[bool]int64{true: 1}[s.GrainAcross]
		n.int64s(&across)
		s.GrainAcross = across&1 != 0
	}
	for i := 0; n.writing && i < len(p.Parts) || !n.writing && n.more(); i++ {
		if !n.writing {
			p.Parts = append(p.Parts, Part{})
		}
		part := &p.Parts[i]
		n.int64s(&part.Length, &part.Width)
		number64(n, &part.Count)
		number64(n, &part.Grain)
	}
}

// FuzzSolve: whatever is asked, there is a plan that stands, or an error that says what
// is wrong; soon, and with little memory.
func FuzzSolve(f *testing.F) {
	add := func(p Problem, o Options) {
		n := numbers{writing: true}
		n.problem(&p, &o)
		f.Add(n.data)
	}
	for _, c := range hostile {
		if p := c.problem(); len(p.Parts) < 100 {
			add(p, Options{Effort: 1})
		}
	}
	rng := rand.New(rand.NewPCG(9, 9))
	for range 30 {
		add(randomProblem(rng), Options{Effort: 200, Seed: rng.Uint64()})
		add(tinyProblem(rng), Options{Effort: 200})
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var p Problem
		var o Options
		n := numbers{data: data}
		n.problem(&p, &o)
		if o.Effort %= 500; o.Effort == 0 { // enough to reach all code, and 100 inputs a second
			o.Effort = 1
		}
		var plan *Plan
		var err error
		bounded(t, func(ctx context.Context) { plan, err = Solve(ctx, p, o) })
		var faults *FaultError
		switch {
		case err == nil:
			stands(t, p, plan)
		case !errors.As(err, &faults) || plan != nil || len(faults.Faults) == 0 || strings.TrimSpace(err.Error()) == "":
			t.Errorf("error %v with plan %v", err, plan)
		}
	})
}

// TestNumbers: what fuzzing reads is what was written.
func TestNumbers(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 9))
	for range 20 {
		p, o := randomProblem(rng), Options{Effort: 3, Seed: rng.Uint64()}
		w := numbers{writing: true}
		w.problem(&p, &o)
		var q Problem
		var r Options
		n := numbers{data: w.data}
		n.problem(&q, &r)
		want, _ := json.Marshal(p)
		got, _ := json.Marshal(q)
		if string(got) != string(want) || r.Effort != o.Effort || r.Seed != o.Seed {
			t.Fatalf("got %s\nwant %s", got, want)
		}
	}
}
