package nest

import (
	"cmp"
	"context"
	"encoding/csv"
	"flag"
	"fmt"
	"os"
	"runtime"
	"slices"
	"strconv"
	"testing"
	"time"

	"golang.org/x/exp/stats"
)

var update = flag.Bool("update", false, "with BenchmarkShared: write testdata/record.csv anew")

// result is what a run over a set comes to: sheets in total, the least proven by others
// and by us, by how many sheets the worst instance misses the former, milliseconds for
// each instance, and what two simple methods take.
type result struct {
	set                                           string
	sheets, least, bound, worst, shelves, bestFit int
	mean, median                                  float64
}

// recordFile keeps the best results; sets are named by file, turning and stages.
const recordFile = "testdata/record.csv"

var recordHeader = []string{"set", "sheets", "least", "bound", "worst", "shelves", "best_fit", "mean_ms", "median_ms"}

func (r *result) fields() []string {
	out := []string{r.set}
	for _, n := range []int{r.sheets, r.least, r.bound, r.worst, r.shelves, r.bestFit} {
		out = append(out, strconv.Itoa(n))
	}
	for _, ms := range []float64{r.mean, r.median} {
		out = append(out, strconv.FormatFloat(ms, 'f', 0, 64))
	}
	return out
}

func readRecord(t testing.TB) []result {
	t.Helper()
	file, err := os.Open(recordFile)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(rows[0], recordHeader) {
		t.Fatalf("%s has the columns %v, want %v", recordFile, rows[0], recordHeader)
	}
	var all []result
	for _, row := range rows[1:] {
		r := result{set: row[0]}
		for i, n := range []*int{&r.sheets, &r.least, &r.bound, &r.worst, &r.shelves, &r.bestFit} {
			*n = int(number(t, row[i+1]))
		}
		for i, ms := range []*float64{&r.mean, &r.median} {
			*ms = float64(number(t, row[i+7]))
		}
		all = append(all, r)
	}
	if !slices.EqualFunc(all, sets, func(r result, s sharedSet) bool { return r.set == s.name }) {
		t.Fatalf("%s has not the sets of this test, in their order", recordFile)
	}
	return all
}

// updateRecord puts results in the place of those of the same sets. It reads the record
// again, since another run may have written it meanwhile.
func updateRecord(t testing.TB, ran []result) {
	t.Helper()
	all := readRecord(t)
	for _, r := range ran {
		all[slices.IndexFunc(all, func(old result) bool { return old.set == r.set })] = r
	}
	file, err := os.Create(recordFile)
	if err != nil {
		t.Fatal(err)
	}
	rows := [][]string{recordHeader}
	for i := range all {
		rows = append(rows, all[i].fields())
	}
	if err := cmp.Or(csv.NewWriter(file).WriteAll(rows), file.Close()); err != nil {
		t.Fatal(err)
	}
}

// TestRecord: nothing in the record is better than can be, nor worse than simple methods.
func TestRecord(t *testing.T) {
	all := readRecord(t)
	for _, r := range all {
		if r.bound > r.sheets || r.least > r.sheets || r.shelves < r.sheets || r.bestFit != 0 && r.bestFit < r.sheets {
			t.Errorf("%+v", r)
		}
	}
}

// BenchmarkShared solves the shared sets on one core, prints a table of what they come
// to, and fails where one takes a sheet more than in the record, or proves a sheet less.
// With -args -update it writes the results of the sets that ran into the record.
func BenchmarkShared(b *testing.B) {
	folder := sharedFolder(b)
	record := readRecord(b)
	var ran []result
	for at, set := range sets {
		b.Run(set.name, func(b *testing.B) {
			all := instances(b, folder, set.file, set.grain)
			for i := range all {
				all[i].problem.Stages, all[i].problem.First = set.stages, set.first
			}
			var r result
			for b.Loop() {
				r = measured(b, set.column, all)
			}
			r.set = set.name
			b.ReportMetric(float64(r.sheets), "sheets")
			b.ReportMetric(float64(r.bound), "bound")
			b.ReportMetric(r.mean, "mean-ms")
			ran = append(ran, r)
			if old := &record[at]; !*update && (r.sheets > old.sheets || r.bound < old.bound) {
				b.Errorf("%d sheets, at least %d; in the record %d, at least %d", r.sheets, r.bound, old.sheets, old.bound)
			}
		})
	}
	printTable(ran)
	if *update {
		updateRecord(b, ran)
	}
}

// measured solves all instances of a set.
func measured(b *testing.B, column string, all []instance) result {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	var r result
	var times []float64
	for i := range all {
		in := &all[i]
		start := time.Now()
		plan, err := Solve(context.Background(), in.problem, Options{})
		times = append(times, float64(time.Since(start).Microseconds())/1000)
		if err != nil {
			b.Fatal(err)
		}
		replay(b, in.problem, plan)
		least := in.least[column]
		if plan.Sheets < least {
			b.Errorf("%s: %d sheets, which proves that the least is not %d", in.name, plan.Sheets, least)
		}
		r.sheets += plan.Sheets
		r.least += least
		r.bound += plan.Bound.Sheets
		r.worst = max(r.worst, plan.Sheets-least)
		r.shelves += shelves(&in.problem)
		if in.problem.Stages == 0 {
			r.bestFit += bestFit(&in.problem)
		}
	}
	r.mean, r.median = stats.Mean(times), stats.Median(times)
	return r
}

// printTable prints results as a table in Markdown.
func printTable(all []result) {
	fmt.Print("\n| set | sheets | proven least | own bound | worst | mean ms | median ms | shelves | best fit |\n|---|---|---|---|---|---|---|---|---|\n")
	for _, r := range all {
		bestFit := strconv.Itoa(r.bestFit)
		if r.bestFit == 0 {
			bestFit = ""
		}
		fmt.Printf("| %s | %d | %d | %d | +%d | %.0f | %.0f | %d | %s |\n",
			r.set, r.sheets, r.least, r.bound, r.worst, r.mean, r.median, r.shelves, bestFit)
	}
	fmt.Println()
}

// laying is a part to lay by a simple method, which knows one size of sheets, no kerf and
// no trim.
type laying struct{ l, w int64 }

// singly returns the parts one by one, those that may turn with the long side along the
// sheet if that fits.
func singly(p *Problem) []laying {
	var all []laying
	s := p.Sheets[0]
	for _, part := range p.Parts {
		n := laying{part.Length, part.Width}
		if turned := (laying{n.w, n.l}); part.Grain == Any && (n.l < n.w || n.l > s.Length || n.w > s.Width) && turned.l <= s.Length && turned.w <= s.Width {
			n = turned
		}
		for range part.Count {
			all = append(all, n)
		}
	}
	return all
}

// shelves returns how many sheets the shelf method takes: first-fit decreasing height
// (Coffman, Garey, Johnson, Tarjan 1980, for strips), with sheets filled by first fit too.
func shelves(p *Problem) int {
	type shelf struct {
		sheet        int
		height, free int64
	}
	var all []shelf
	var free []int64 // width of each sheet without a shelf
	s := p.Sheets[0]
	parts := singly(p)
	slices.SortStableFunc(parts, func(a, b laying) int { return cmp.Compare(b.w, a.w) })
	for _, n := range parts {
		at := slices.IndexFunc(all, func(h shelf) bool { return h.height >= n.w && h.free >= n.l })
		if at < 0 {
			on := slices.IndexFunc(free, func(f int64) bool { return f >= n.w })
			if on < 0 {
				on = len(free)
				free = append(free, s.Width)
			}
			free[on] -= n.w
			at = len(all)
			all = append(all, shelf{on, n.w, s.Length})
		}
		all[at].free -= n.l
	}
	return len(free)
}

// bestFit returns how many sheets a greedy method takes: the largest part first, on the
// free rectangle that it leaves the least area of, which is then split so that the larger
// rest stays whole.
func bestFit(p *Problem) int {
	s := p.Sheets[0]
	sheets := 0
	var free []laying
	parts := singly(p)
	slices.SortStableFunc(parts, func(a, b laying) int { return cmp.Compare(b.l*b.w, a.l*a.w) })
	mayTurn := p.Parts[0].Grain == Any // as all parts of a shared set
	for _, n := range parts {
		best, turned := -1, false
		for i, f := range free {
			if best >= 0 && f.l*f.w >= free[best].l*free[best].w {
				continue
			}
			straight := f.l >= n.l && f.w >= n.w
			if straight || mayTurn && f.l >= n.w && f.w >= n.l {
				best, turned = i, !straight
			}
		}
		if best < 0 {
			best, sheets = len(free), sheets+1
			free = append(free, laying{s.Length, s.Width})
		}
		if turned {
			n.l, n.w = n.w, n.l
		}
		f := free[best]
		right, top := laying{f.l - n.l, f.w}, laying{n.l, f.w - n.w}
		if f.l-n.l < f.w-n.w {
			right.w, top.l = n.w, f.l
		}
		free[best] = right
		free = append(free, top)
	}
	return sheets
}

// TestSimpleMethods has cases done by hand.
func TestSimpleMethods(t *testing.T) {
	for _, c := range []struct {
		parts            []Part
		shelves, bestFit int
	}{
		{[]Part{{50, 30, 8, Along}}, 2, 2},
		{[]Part{{30, 50, 8, Along}}, 3, 3},                                         // 3 to a sheet, 10 of 60 wasted above each
		{[]Part{{30, 50, 8, Any}}, 2, 2},                                           // turned
		{[]Part{{60, 40, 1, Along}, {40, 60, 1, Along}, {60, 20, 1, Along}}, 2, 1}, // a shelf of 60 has no room beside
		{[]Part{{100, 60, 2, Along}, {1, 1, 1, Any}}, 3, 3},
	} {
		p := Problem{Sheets: []Sheet{sheet(100, 60)}, Parts: c.parts}
		if got := shelves(&p); got != c.shelves {
			t.Errorf("%v: shelves on %d sheets, want %d", c.parts, got, c.shelves)
		}
		if got := bestFit(&p); got != c.bestFit {
			t.Errorf("%v: best fit on %d sheets, want %d", c.parts, got, c.bestFit)
		}
	}
}
