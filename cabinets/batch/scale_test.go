package batch

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"

	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
	"sawbook/nest"
)

const demo = "../../testdata/demo"

// mix is what batches of any size are made of: so many vehicles of each, over and over.
type mix []struct {
	vehicle  string // as a batch file writes it
	vehicles int
}

// spring is the mix of the demo's spring batch.
var spring = mix{{"layout: curlew", 3}, {"layout: curlew, options: [no-pantry]", 1}, {"layout: dunlin", 3}}

// varied adds the other options, and both layouts slimmer: more than twice the pieces.
var varied = slices.Concat(spring, mix{
	{"layout: curlew, options: [birch-fronts]", 1}, {"layout: dunlin, options: [lower-bench]", 1}, {"layout: dunlin, options: [second-bank]", 1},
	{"layout: curlew-slim", 3}, {"layout: curlew-slim, options: [no-pantry]", 1}, {"layout: dunlin-slim", 3},
})

// slim makes the cabinets of a layout smaller, but for the counter, which is as short as it may be.
var slim = strings.NewReplacer("width: 1200 mm, depth: 560", "width: 1200 mm, depth: 560", "width: 600", "width: 560", "width: 1200", "width: 1150", "width: 450", "width: 430", "width: 300", "width: 290",
	"23 1/2 in", "22 1/2 in", "depth: 550", "depth: 520", "depth: 500", "depth: 480", "depth: 400", "depth: 380", "depth: 300", "depth: 280")

// file writes a batch of so many vehicles into a copy of the demo shop that has the slim
// layouts too, and returns the batch's name.
func (m mix) file(t testing.TB, vehicles int) string {
	t.Helper()
	root := t.TempDir()
	if err := os.CopyFS(root, os.DirFS(demo)); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"curlew", "dunlin"} {
		path := filepath.Join(root, "layouts", name)
		text, err := os.ReadFile(path + ".yaml")
		if err == nil {
			err = os.WriteFile(path+"-slim.yaml", []byte(slim.Replace(string(text))), 0o600)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	path := filepath.Join(root, "batches", "season.yaml")
	if err := os.WriteFile(path, []byte(m.text(vehicles)), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func (m mix) text(vehicles int) string {
	serials := make([][]string, len(m))
	for serial := 1; serial <= vehicles; {
		for i := range m {
			for n := 0; n < m[i].vehicles && serial <= vehicles; n++ {
				serials[i] = append(serials[i], fmt.Sprint(serial))
				serial++
			}
		}
	}
	text := "batch: season\nvehicles:\n"
	for i := range m {
		if len(serials[i]) > 0 {
			text += fmt.Sprintf("  - {%s, serials: [%s]}\n", m[i].vehicle, strings.Join(serials[i], ", "))
		}
	}
	return text
}

func load(t testing.TB, file string) *Batch {
	t.Helper()
	var c source.Collector
	b := OpenFolder(&c, filepath.Dir(filepath.Dir(file))).Load(file, nil)
	if err := c.Err(); err != nil {
		t.Fatal(err)
	}
	return b
}

// TestVehiclesAreCounted: a thousand times as many vehicles are the same pieces, which go
// to the same places, a thousand times as often, and listing them takes no more memory.
func TestVehiclesAreCounted(t *testing.T) {
	few, many := load(t, varied.file(t, 17)), load(t, varied.file(t, 17000))
	a, b := List(few), List(many)
	if len(a.Pieces) != len(b.Pieces) {
		t.Fatalf("%d kinds of pieces, then %d", len(a.Pieces), len(b.Pieces))
	}
	for i, p := range a.Pieces {
		q := b.Pieces[i]
		if p.ID != q.ID || 1000*p.Count != q.Count || len(p.Goes) != len(q.Goes) {
			t.Errorf("%s: %d parts in %d places, then %s: %d in %d", p.ID, p.Count, len(p.Goes), q.ID, q.Count, len(q.Goes))
		}
	}
	before, after := allocations(func() { List(few) }), allocations(func() { List(many) })
	if after > 1.01*before {
		t.Errorf("%.0f allocations, then %.0f", before, after)
	}
}

func allocations(f func()) float64 { return testing.AllocsPerRun(1, f) }

// TestWorkIsCounted: ten times as many vehicles take no more than a fifth as much
// memory again, all told: what grows is the variety of patterns.
func TestWorkIsCounted(t *testing.T) {
	work := func(vehicles int) float64 {
		b := load(t, spring.file(t, vehicles))
		return allocations(func() {
			if _, err := Work(context.Background(), b, Options{Effort: 1}); err != nil {
				t.Fatal(err)
			}
		})
	}
	if few, many := work(700), work(7000); many > 1.2*few {
		t.Errorf("%.0f allocations, then %.0f", few, many)
	}
}

// TestLargeBatchOnAnyCores: a thousand vehicles give the same plan, byte for byte, on one
// core and on two. The effort is one at which another seed gives another plan.
func TestLargeBatchOnAnyCores(t *testing.T) {
	b := load(t, spring.file(t, 1000))
	plan := func(cores int) string {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
		j, err := Work(context.Background(), b, Options{Effort: 25 * nest.Quick})
		if err != nil {
			t.Fatal(err)
		}
		return string(j.Written)
	}
	if plan(1) != plan(2) {
		t.Error("the plans differ")
	}
}

// scale is one line of BenchmarkScale's table.
type scale struct {
	vehicles int
	*Job
	fractions      map[string]int64 // by material, see nest.Moment
	seconds, bytes float64
}

// BenchmarkScale does all that a shop waits for when it cuts a batch, but writing the
// folder: it reads the files, expands, gathers pieces, plans, reads the plan back, replays
// it, and estimates. It prints a table with the exponents of growth, of time and of memory
// allocated. Beside normal effort stands a single step, which leaves little but the work
// round the search. It fails where the plan for a thousand vehicles costs too much.
func BenchmarkScale(b *testing.B) {
	for _, c := range []struct {
		name string
		mix
		effort nest.Effort
	}{{"spring", spring, nest.Normal}, {"varied", varied, nest.Normal}, {"step", varied, 1}} {
		var all []scale
		for _, vehicles := range []int{1, 10, 100, 1000} {
			b.Run(fmt.Sprintf("%s/vehicles=%d", c.name, vehicles), func(b *testing.B) {
				s := scale{vehicles: vehicles}
				file := c.file(b, vehicles)
				before := allocated()
				for b.Loop() {
					s.work(b, file, c.effort)
				}
				s.seconds, s.bytes = b.Elapsed().Seconds()/float64(b.N), float64(allocated()-before)/float64(b.N)
				b.ReportMetric(s.bytes, "B/op")
				if vehicles == 1000 && c.effort == nest.Normal {
					s.cheap(b)
				}
				all = append(all, s)
			})
		}
		if len(all) > 1 {
			printScales(all)
		}
	}
}

func allocated() uint64 {
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.TotalAlloc
}

func (s *scale) work(b *testing.B, file string, effort nest.Effort) {
	s.fractions = map[string]int64{}
	var mu sync.Mutex
	var err error
	s.Job, err = Work(context.Background(), load(b, file), Options{Effort: effort, Explain: func(material string, m nest.Moment) {
		mu.Lock()
		defer mu.Unlock()
		s.fractions[material] = m.Relaxed
	}})
	if err != nil {
		b.Fatal(err)
	}
}

// cheap holds each material's cost to within 3 % of the proven least, and to within 0.5 %
// and a sheet of what its linear program comes to in fractions of sheets.
func (s *scale) cheap(b *testing.B) {
	for i := range s.Materials {
		m := &s.Materials[i]
		cost, least, fractions := float64(m.Plan.Cost), float64(m.Plan.Bound.Cost), float64(s.fractions[m.Of.ID])
		dearest := slices.MaxFunc(m.Stock, func(a, b shop.Sheet) int { return cmp.Compare(a.Price, b.Price) }).Price
		if cost > 1.03*least || fractions > 0 && cost > 1.005*fractions+float64(dearest) || fractions == 0 && cost > least {
			b.Errorf("%s costs %.0f, at least %.0f, in fractions %.0f", m.Of.ID, cost, least, fractions)
		}
	}
}

// printScales prints a table in Markdown, then the exponents: the slopes of straight lines
// through the points, both axes logarithmic.
func printScales(all []scale) {
	fmt.Print("\n| vehicles | parts | pieces | sheets | above bound | above fractions | s | MB allocated |\n|---|---|---|---|---|---|---|---|\n")
	var vehicles, seconds, bytes []float64
	for _, s := range all {
		parts := 0
		for _, p := range s.Pieces {
			parts += p.Count
		}
		sheets, cost, least, fractions := 0, 0.0, 0.0, 0.0
		for i := range s.Materials {
			m := &s.Materials[i]
			sheets += m.Plan.Sheets
			cost += float64(m.Plan.Cost)
			least += float64(m.Plan.Bound.Cost)
			fractions += float64(cmp.Or(s.fractions[m.Of.ID], m.Plan.Cost))
		}
		fmt.Printf("| %d | %d | %d | %d | %.2f %% | %.2f %% | %.3f | %.1f |\n", s.vehicles, parts, len(s.Pieces), sheets,
			100*(cost/least-1), 100*(cost/fractions-1), s.seconds, s.bytes/1e6)
		vehicles, seconds, bytes = append(vehicles, float64(s.vehicles)), append(seconds, s.seconds), append(bytes, s.bytes)
	}
	fmt.Printf("\ntime grows with the power %.2f of the vehicles, memory with %.2f\n\n", exponent(vehicles, seconds), exponent(vehicles, bytes))
}

// exponent returns the slope of log y over log x, by least squares.
func exponent(x, y []float64) float64 {
	var sx, sy, sxx, sxy float64
	for i := range x {
		a, b := math.Log(x[i]), math.Log(y[i])
		sx, sy, sxx, sxy = sx+a, sy+b, sxx+a*a, sxy+a*b
	}
	n := float64(len(x))
	return (n*sxy - sx*sy) / (n*sxx - sx*sx)
}

func TestExponent(t *testing.T) {
	x := []float64{1, 10, 100, 1000}
	for want, y := range map[float64][]float64{0: {7, 7, 7, 7}, 1: {3, 30, 300, 3000}, 2: {5, 500, 5e4, 5e6}, 0.3: {1, 1, 1, 10}} {
		if got := exponent(x, y); math.Abs(got-want) > 1e-9 {
			t.Errorf("exponent %g of %v, want %g", got, y, want)
		}
	}
}
