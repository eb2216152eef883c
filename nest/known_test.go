package nest

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"golang.org/x/exp/stats"
)

// turning says which parts of a problem that was cut up may be turned.
type turning struct {
	name    string
	grained func(*rand.Rand) bool
}

var turnings = []turning{
	{"fixed", func(*rand.Rand) bool { return true }},
	{"half", func(rng *rand.Rand) bool { return rng.IntN(2) == 0 }},
	{"turn", func(*rand.Rand) bool { return false }},
}

// birch is a plywood sheet, in tenths of a millimetre.
var birch = Sheet{Length: 25000, Width: 12500, Left: 100, Right: 100, Bottom: 100, Top: 100, Price: 7400, Stock: -1}

// known returns 20 to 80 parts that fit on a known number of sheets, 1 to 8: the sheets
// are cut up at random in steps of 10 mm with a kerf of 3.2 mm, and all parts shrunk
// until so much of their area is free.
func known(seed uint64, free float64, turns turning) (Problem, int) {
	rng := rand.New(rand.NewPCG(seed, 1))
	sheets, parts := 1+rng.IntN(8), 20+rng.IntN(61)
	p := cutUp(rng, birch, sheets, parts, 100, 32, func() bool { return turns.grained(rng) })
	shrink(p.Parts, free)
	return p, sheets
}

// shrink takes the share of their area from all parts.
func shrink(parts []Part, free float64) {
	side := math.Sqrt(1 - free)
	for i := range parts {
		parts[i].Length = int64(float64(parts[i].Length) * side)
		parts[i].Width = int64(float64(parts[i].Width) * side)
	}
}

// shares are in how many of ten cases a plan has to reach what is known, at 10 % free.
var shares = []struct {
	turning
	least int
}{{turnings[0], 6}, {turnings[2], 9}}

// TestKnown is a sample of BenchmarkKnown: no more than one sheet above the known number,
// and at it often enough.
func TestKnown(t *testing.T) {
	for _, c := range shares {
		t.Run(c.name, func(t *testing.T) {
			at := 0
			for seed := range uint64(10) {
				p, sheets := known(seed, 0.10, c.turning)
				plan := verified(t, p, Options{Effort: Quick})
				if plan.Sheets > sheets+1 || plan.Bound.Sheets > sheets {
					t.Errorf("seed %d: %d sheets, at least %d; %d are enough", seed, plan.Sheets, plan.Bound.Sheets, sheets)
				}
				if plan.Sheets <= sheets {
					at++
				}
			}
			if at < c.least {
				t.Errorf("%d of 10 at the known number, want %d", at, c.least)
			}
		})
	}
}

// BenchmarkKnown reports in how many of 100 cases the plan uses the known number of
// sheets, and by how many sheets the worst plan is above it.
func BenchmarkKnown(b *testing.B) {
	for _, free := range []int{10, 4, 0} {
		for _, turns := range turnings {
			b.Run(fmt.Sprintf("free=%d%%/%s", free, turns.name), func(b *testing.B) {
				for b.Loop() {
					const seeds = 100
					at, worst := 0, 0
					var times []float64
					for seed := range uint64(seeds) {
						p, sheets := known(seed, float64(free)/100, turns)
						start := time.Now()
						plan := verified(b, p, Options{})
						times = append(times, time.Since(start).Seconds()*1000)
						worst = max(worst, plan.Sheets-sheets)
						if plan.Sheets <= sheets {
							at++
						}
					}
					b.ReportMetric(float64(at)*100/seeds, "%known")
					b.ReportMetric(float64(worst), "worst")
					b.ReportMetric(stats.Median(times), "median-ms")
				}
			})
		}
	}
}

// several are sheets of three sizes, of which the smallest is cheap for its area and
// soon used up, as offcuts are.
var several = []Sheet{
	birch,
	{Length: 15300, Width: 15300, Left: 100, Right: 100, Bottom: 100, Top: 100, Price: 5900, Stock: -1},
	{Length: 12000, Width: 9000, Price: 1500},
}

// knownCost returns parts cut from several sizes of sheets, and the least cost: what they
// were cut from. It is the least since no other choice of sheets with the area of the
// grown parts is cheaper; choices of which that is not true are drawn again.
func knownCost(seed uint64, free float64, turns turning) (Problem, int64) {
	rng := rand.New(rand.NewPCG(seed, 2))
	for {
		p := Problem{Sheets: append([]Sheet(nil), several...), Kerf: 32}
		p.Sheets[2].Stock = 1 + rng.IntN(3)
		from := []int{rng.IntN(3), rng.IntN(4), p.Sheets[2].Stock}
		cost := int64(0)
		for i, n := range from {
			if n > 0 {
				p.Parts = append(p.Parts, cutUp(rng, p.Sheets[i], n, 10*n, 100, p.Kerf, func() bool { return turns.grained(rng) }).Parts...)
				cost += int64(n) * p.Sheets[i].Price
			}
		}
		shrink(p.Parts, free)
		if cheapest(&p) == cost {
			return p, cost
		}
	}
}

// cheapest returns the least cost of whole sheets with the area of the parts, each of
// both grown by the kerf.
func cheapest(p *Problem) int64 {
	need := int64(0)
	for _, part := range p.Parts {
		need += (part.Length + p.Kerf) * (part.Width + p.Kerf) * int64(part.Count)
	}
	var buy func(i int, need int64) int64
	buy = func(i int, need int64) int64 {
		if need <= 0 {
			return 0
		}
		if i == len(p.Sheets) {
			return math.MaxInt32
		}
		s := p.Sheets[i]
		area := (s.Length - s.Left - s.Right + p.Kerf) * (s.Width - s.Bottom - s.Top + p.Kerf)
		least := buy(i+1, need)
		for n := int64(1); (s.Stock < 0 || n <= int64(s.Stock)) && (n-1)*area < need; n++ {
			least = min(least, n*s.Price+buy(i+1, need-n*area))
		}
		return least
	}
	return buy(0, need)
}

// TestKnownCost is a sample of BenchmarkKnownCost: no more than a large sheet above the
// known cost, and at it often enough.
func TestKnownCost(t *testing.T) {
	for _, c := range shares {
		t.Run(c.name, func(t *testing.T) {
			at := 0
			for seed := range uint64(10) {
				p, cost := knownCost(seed, 0.10, c.turning)
				plan := verified(t, p, Options{Effort: Quick})
				if plan.Cost < cost || plan.Cost > cost+birch.Price || plan.Bound.Cost > cost {
					t.Errorf("seed %d: cost %d, at least %d; the least is %d", seed, plan.Cost, plan.Bound.Cost, cost)
				}
				if plan.Cost == cost {
					at++
				}
			}
			if at < c.least {
				t.Errorf("%d of 10 at the known cost, want %d", at, c.least)
			}
		})
	}
}

// BenchmarkKnownCost reports in how many of 100 cases the plan has the known least cost,
// and by how much all plans together are above it.
func BenchmarkKnownCost(b *testing.B) {
	for _, free := range []int{10, 4, 0} {
		for _, turns := range turnings {
			b.Run(fmt.Sprintf("free=%d%%/%s", free, turns.name), func(b *testing.B) {
				for b.Loop() {
					const seeds = 100
					at, sum, least := 0, int64(0), int64(0)
					for seed := range uint64(seeds) {
						p, cost := knownCost(seed, float64(free)/100, turns)
						plan := verified(b, p, Options{})
						if plan.Cost == cost {
							at++
						}
						sum, least = sum+plan.Cost, least+cost
					}
					b.ReportMetric(float64(at)*100/seeds, "%known")
					b.ReportMetric(100*float64(sum-least)/float64(least), "%above")
				}
			})
		}
	}
}
