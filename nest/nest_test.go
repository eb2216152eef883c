package nest

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"runtime"
	"testing"
)

// solve solves p and checks the plan.
func solve(t testing.TB, p Problem, o Options) *Plan {
	t.Helper()
	plan, err := Solve(context.Background(), p, o)
	if err != nil {
		t.Fatal(err)
	}
	check(t, p, plan)
	return plan
}

// sheet returns an unlimited sheet without trim.
func sheet(length, width int64) Sheet {
	return Sheet{Length: length, Width: width, Price: 1, Stock: -1}
}

// TestStrips cuts rods and rolls: sheets as wide as the parts. Their least numbers are
// known: Winston, Operations Research (rods); a common article example (paper); the
// others are textbook problems from memory, their optimum follows from the linear
// program rounded up.
func TestStrips(t *testing.T) {
	for _, c := range []struct {
		name  string
		stock int64
		parts [][2]int64 // length, copies
		least int
	}{
		{"rods", 17, [][2]int64{{3, 25}, {5, 20}, {9, 15}}, 19},
		{"paper", 5600, [][2]int64{{1380, 22}, {1520, 25}, {1560, 12}, {1710, 14}, {1820, 18},
			{1880, 18}, {1930, 20}, {2000, 10}, {2050, 12}, {2100, 14}, {2140, 16}, {2150, 18}, {2200, 20}}, 73},
		{"rolls", 100, [][2]int64{{45, 97}, {36, 610}, {31, 395}, {14, 211}}, 453},
		{"boards", 25, [][2]int64{{7, 5000}, {9, 1200}, {11, 300}}, 2167},
		{"bars", 182, [][2]int64{{51, 78}, {45, 40}, {40, 30}, {30, 30}}, 44},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := Problem{Sheets: []Sheet{sheet(c.stock, 10)}}
			for _, part := range c.parts {
				p.Parts = append(p.Parts, Part{Length: part[0], Width: 10, Count: int(part[1]), Grain: Along})
			}
			plan := solve(t, p, Options{})
			if plan.Sheets != c.least {
				t.Errorf("%d sheets, least is %d", plan.Sheets, c.least)
			}
		})
	}
}

// TestPinwheel needs two sheets, since no edge-to-edge cut can start a pinwheel; parts
// that may turn need one.
func TestPinwheel(t *testing.T) {
	for grain, want := range map[Grain]int{Along: 2, Any: 1} {
		p := Problem{Sheets: []Sheet{sheet(3, 3)}, Parts: []Part{
			{2, 1, 2, grain}, {1, 2, 2, grain}, {1, 1, 1, grain}}}
		if plan := solve(t, p, Options{}); plan.Sheets != want {
			t.Errorf("grain %d: %d sheets, want %d", grain, plan.Sheets, want)
		}
	}
}

// cutUp cuts sheets at random, edge to edge with kerf, into at least so many parts. The
// parts fit on that many sheets, and their area on no fewer.
func cutUp(rng *rand.Rand, s Sheet, sheets, parts int, grid, kerf int64, grained func() bool) Problem {
	pieces := make([][2]int64, sheets)
	for i := range pieces {
		pieces[i] = [2]int64{s.Length - s.Left - s.Right, s.Width - s.Bottom - s.Top}
	}
	for tries := 0; len(pieces) < parts && tries < 100*parts; tries++ {
		i := rng.IntN(len(pieces))
		d := rng.IntN(2)
		longest := pieces[i][d] - kerf
		if longest < 4*grid {
			continue
		}
		at := grid * (1 + rng.Int64N(longest/grid-1))
		if longest-at < grid {
			continue
		}
		rest := pieces[i]
		pieces[i][d], rest[d] = at, longest-at
		pieces = append(pieces, rest)
	}
	p := Problem{Sheets: []Sheet{s}, Kerf: kerf}
	for _, piece := range pieces {
		part := Part{Length: piece[0], Width: piece[1], Count: 1}
		if grained() {
			part.Grain = Along
		}
		p.Parts = append(p.Parts, part)
	}
	return p
}

// TestCutUp: sheets cut up at random come back as the same number of sheets or one more.
func TestCutUp(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	s := Sheet{Length: 25000, Width: 12500, Left: 100, Right: 50, Bottom: 100, Top: 70, Price: 7400, Stock: -1}
	for i := range 12 {
		sheets := 1 + i%6
		p := cutUp(rng, s, sheets, 12*sheets, 100, 32, func() bool { return rng.IntN(2) == 0 })
		plan := solve(t, p, Options{Effort: 10_000})
		if plan.Sheets < sheets || plan.Sheets > sheets+1 {
			t.Errorf("%d: %d sheets of %d", i, plan.Sheets, sheets)
		}
	}
}

// randomProblem returns a small problem with all that a problem may have.
func randomProblem(rng *rand.Rand) Problem {
	p := Problem{Kerf: rng.Int64N(4), Stages: rng.IntN(5), First: Direction(rng.IntN(3))}
	for range 1 + rng.IntN(3) {
		p.Sheets = append(p.Sheets, Sheet{
			Length: 20 + rng.Int64N(80), Width: 20 + rng.Int64N(60), GrainAcross: rng.IntN(2) == 0,
			Left: rng.Int64N(4), Right: rng.Int64N(4), Bottom: rng.Int64N(4), Top: rng.Int64N(4),
			Price: rng.Int64N(100), Stock: rng.IntN(12) - 3,
		})
	}
	p.Sheets[0].Stock = -1 + 4*rng.IntN(2)
	for range 1 + rng.IntN(8) {
		p.Parts = append(p.Parts, Part{1 + rng.Int64N(60), 1 + rng.Int64N(50), 1 + rng.IntN(9), Grain(rng.IntN(3))})
	}
	if rng.IntN(3) == 0 {
		p.LongestRip, p.LongestCrosscut = 10+rng.Int64N(90), 10+rng.Int64N(90)
	}
	if rng.IntN(2) == 0 {
		p.Keep = Keep{Long: 1 + rng.Int64N(40), Short: 1 + rng.Int64N(20), ValueNum: 1, ValueArea: 1 + rng.Int64N(200)}
	}
	return p
}

func TestRandom(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for range 300 {
		solve(t, randomProblem(rng), Options{Effort: 100})
	}
}

func TestSameBytes(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 20 {
		p := randomProblem(rng)
		var want []byte
		for procs := 1; procs <= 2; procs++ {
			before := runtime.GOMAXPROCS(procs)
			got, err := json.Marshal(solve(t, p, Options{Effort: 500, Seed: 7}))
			runtime.GOMAXPROCS(before)
			if err != nil {
				t.Fatal(err)
			}
			if want == nil {
				want = got
			}
			if string(got) != string(want) {
				t.Fatalf("plans differ:\n%s\n%s", want, got)
			}
		}
	}
}

func TestMisfit(t *testing.T) {
	p := Problem{Kerf: 3, Sheets: []Sheet{{Length: 2500, Width: 1250, Left: 10, Right: 10, Bottom: 10, Top: 10, Stock: -1}},
		Parts: []Part{{2500, 600, 2, Along}, {600, 1240, 1, Along}, {1230, 2480, 1, Any}, {1240, 700, 1, Across}}}
	plan := solve(t, p, Options{})
	want := []Misfit{{0, 0, 20, 0}, {1, 0, 0, 10}, {3, 0, 0, 10}}
	if fmt.Sprint(plan.Misfits) != fmt.Sprint(want) {
		t.Errorf("misfits %v, want %v", plan.Misfits, want)
	}
	if plan.Sheets != 1 {
		t.Errorf("%d sheets", plan.Sheets)
	}
}

func TestShort(t *testing.T) {
	s := sheet(100, 100)
	s.Stock = 2
	plan := solve(t, Problem{Sheets: []Sheet{s}, Parts: []Part{{60, 60, 3, Any}, {100, 20, 2, Along}}}, Options{})
	if plan.Status != Short || plan.Sheets != 2 || plan.Unplaced[0] != 1 || len(plan.Unplaced) != 1 {
		t.Errorf("%d sheets, unplaced %v, status %d", plan.Sheets, plan.Unplaced, plan.Status)
	}
}

func TestCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	rng := rand.New(rand.NewPCG(1, 1))
	p := cutUp(rng, sheet(2500, 1250), 5, 60, 10, 3, func() bool { return true })
	plan, err := Solve(ctx, p, Options{Effort: Thorough})
	if err != nil {
		t.Fatal(err)
	}
	check(t, p, plan)
	if plan.Bound.Sheets < plan.Sheets && plan.Status != Cancelled {
		t.Errorf("status %d", plan.Status)
	}
}

func TestFaults(t *testing.T) {
	_, err := Solve(context.Background(), Problem{
		Parts: []Part{{0, 5, 1, Any}, {5, -1, 0, Any}, {1 << 51, 1, 1, 9}},
		Sheets: []Sheet{{Length: 10, Width: 10, Left: 5, Right: 5, Bottom: 6, Top: 6, Price: -1},
			{Length: -3, Width: 1, Top: -1}},
		Kerf: -1, Stages: -1, First: 7, LongestRip: -1, LongestCrosscut: -2,
		Keep: Keep{Long: -1, Short: -1, ValueNum: -1},
	}, Options{})
	want := `Parts[0]: length is 0, must be above 0
Parts[1]: width is -1, must be above 0
Parts[1]: count is 0, must be above 0
Parts[2]: length is 2251799813685248, more than 1125899906842624
Parts[2]: grain 9 is none of Any, Along, Across
Sheets[0]: trims leave nothing of its length 10
Sheets[0]: trims leave nothing of its width 10
Sheets[0]: price is -1, must lie between 0 and 8589934592
Sheets[1]: length is -3, must be above 0
Sheets[1]: top trim is -1, must not be below 0
Sheets: stock is 0 everywhere
Kerf: kerf is -1, must not be below 0
Stages: limit is -1, must lie between 0 and 32767
First: direction 7 is none of NoCut, Rip, Crosscut
Longest: longest rip is -1, must not be below 0
Longest: longest crosscut is -2, must not be below 0
Keep: long side is -1, must not be below 0
Keep: short side is -1, must not be below 0
Keep: value -1 for every 0 must not be below 0`
	var faults *FaultError
	if !errors.As(err, &faults) || err.Error() != want {
		t.Errorf("got:\n%v\nwant:\n%s", err, want)
	}
}

func BenchmarkSolve(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 1))
	p := cutUp(rng, sheet(2500, 1250), 8, 100, 10, 3, func() bool { return rng.IntN(2) == 0 })
	for _, effort := range []Effort{Quick, Normal} {
		b.Run(fmt.Sprint(effort), func(b *testing.B) {
			sheets := 0
			for b.Loop() {
				sheets = solve(b, p, Options{Effort: effort}).Sheets
			}
			b.ReportMetric(float64(sheets), "sheets")
		})
	}
}

// TestRelaxed: what a linear program comes to lies between the area of the parts and the
// cost of whole sheets, and grows with the demand exactly, but for the rounding to whole
// units of currency.
func TestRelaxed(t *testing.T) {
	large, small := sheet(100, 60), sheet(60, 60)
	large.Price, small.Price = 100, 65
	relaxed := func(times int) int64 {
		p := Problem{Sheets: []Sheet{large, small}, Parts: []Part{{50, 30, 41 * times, Along}, {33, 20, 40 * times, Along}, {25, 15, 33 * times, Along}, {20, 60, 37 * times, Along}}}
		var last Moment
		plan := verified(t, p, Options{Effort: Quick, Explain: func(m Moment) { last = m }})
		area := int64(50*30*41+33*20*40+25*15*33+20*60*37) * int64(times) * large.Price / (100 * 60)
		if last.Relaxed < area || last.Relaxed > plan.Cost {
			t.Errorf("in fractions %d, by area %d, in whole sheets %d", last.Relaxed, area, plan.Cost)
		}
		return last.Relaxed
	}
	if one, many := relaxed(1), relaxed(3); many < 3*one-2 || many > 3*one+2 {
		t.Errorf("in fractions %d, for three times the demand %d", one, many)
	}
}
