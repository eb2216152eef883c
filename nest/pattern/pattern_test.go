package pattern

import (
	"bufio"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"
)

// instance is a line of a benchmark file.
type instance struct {
	name   string
	sheet  Size
	parts  []Size
	copies []int
}

// instances reads a file of the folder that SAWBOOK_BENCHMARKS names.
func instances(t testing.TB, file string) []instance {
	t.Helper()
	dir := os.Getenv("SAWBOOK_BENCHMARKS")
	if dir == "" {
		t.Skip("SAWBOOK_BENCHMARKS names no folder of instances")
	}
	f, err := os.Open(filepath.Join(dir, file))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	number := func(s string) int64 {
		n, err := strconv.ParseInt(s, 10, 64)
		if err != nil {
			t.Fatal(err)
		}
		return n
	}
	var out []instance
	for lines := bufio.NewScanner(f); lines.Scan(); {
		fields := strings.Split(lines.Text(), ";")
		in := instance{name: fields[0], sheet: Size{number(fields[1]), number(fields[2])}}
		for _, part := range fields[3:] {
			n := strings.Split(part, ",")
			in.parts = append(in.parts, Size{number(n[0]), number(n[1])})
			copies := 1
			if len(n) > 2 {
				copies = int(number(n[2]))
			}
			in.copies = append(in.copies, copies)
		}
		out = append(out, in)
	}
	return out
}

func (in *instance) ways(turn bool) []Way {
	var out []Way
	for i, p := range in.parts {
		out = append(out, Way{p, i, false})
		if turn && p.L != p.W {
			out = append(out, Way{Size{p.W, p.L}, i, true})
		}
	}
	return out
}

// exact returns a table over all raster points.
func exact(t testing.TB, ways []Way, sheets ...Size) *Table {
	t.Helper()
	xs, ys, ok := Axes(ways, sheets, 1<<13)
	if !ok {
		t.Fatal("too many points")
	}
	return NewTable(ways, sheets, xs, ys)
}

// first returns the best pattern of a table.
func first(t testing.TB, table *Table, j int, values []int64) Tree {
	t.Helper()
	patterns := table.Patterns(j, values, table.Best(j)-1, 1)
	if len(patterns) != 1 {
		t.Fatal("no pattern")
	}
	return patterns[0]
}

// check proves that t is cut from edge to edge and returns its value.
func check(t *testing.T, tree *Tree, sizes []Size, values []int64) int64 {
	t.Helper()
	if tree.L <= 0 || tree.W <= 0 {
		t.Errorf("a piece of %d by %d", tree.L, tree.W)
	}
	if tree.Cut == NoCut {
		if tree.Part < 0 {
			return 0
		}
		want := sizes[tree.Part]
		if tree.Turned {
			want = Size{want.W, want.L}
		}
		if tree.Size != want {
			t.Errorf("part %d is %v, want %v", tree.Part, tree.Size, want)
		}
		return values[tree.Part]
	}
	sum, l, w := int64(0), int64(0), int64(0)
	for i := range tree.Children {
		c := &tree.Children[i]
		if c.Cut == tree.Cut {
			t.Error("cuts in one direction are not joined")
		}
		if tree.Cut == Rip {
			w += c.W
			l = tree.L
			if c.L != tree.L {
				t.Errorf("a strip of %d in %d", c.L, tree.L)
			}
		} else {
			l += c.L
			w = tree.W
			if c.W != tree.W {
				t.Errorf("a strip of %d in %d", c.W, tree.W)
			}
		}
		sum += check(t, c, sizes, values)
	}
	if (Size{l, w}) != tree.Size || len(tree.Children) < 2 {
		t.Errorf("%d children fill %d by %d of %v", len(tree.Children), l, w, tree.Size)
	}
	return sum
}

// TestGcut: the greatest area that one sheet can yield, unlimited copies, no turning;
// values of Beasley's gcut instances (J. E. Beasley 1985, Algorithms for unconstrained
// two-dimensional guillotine cutting, JORS 36).
func TestGcut(t *testing.T) {
	want := []int64{56460, 60536, 61036, 61698, 246000, 238998, 242567, 246633, 971100, 982025, 980096, 979986, 8997780}
	for i, in := range instances(t, "gcut.txt") {
		if i >= 12 && testing.Short() {
			continue
		}
		var values []int64
		for _, p := range in.parts {
			values = append(values, p.L*p.W)
		}
		table := exact(t, in.ways(false), in.sheet)
		table.Fill(values)
		t.Logf("%s: %d by %d points, %d steps", in.name, len(table.xs), len(table.ys), table.Steps())
		tree := first(t, table, 0, values)
		if got := table.Best(0); got != want[i] || check(t, &tree, in.parts, values) != got || tree.Size != in.sheet {
			t.Errorf("%s: %d, want %d; %v", in.name, got, want[i], tree)
		}
	}
}

// TestSmall: Christofides and Whitlock (1977), problem 1, with unlimited copies; data
// and value from memory.
func TestSmall(t *testing.T) {
	parts := []Size{{8, 4}, {3, 7}, {8, 2}, {3, 4}, {3, 3}, {3, 2}, {2, 1}}
	values := []int64{66, 35, 24, 17, 11, 8, 2}
	sheet := Size{15, 10}
	in := instance{parts: parts}
	table := exact(t, in.ways(false), sheet)
	table.Fill(values)
	tree := first(t, table, 0, values)
	if got := table.Best(0); got != 249 || check(t, &tree, parts, values) != 249 {
		t.Error(got, tree)
	}
}

// slow is the plain recursion over all integer sizes.
func slow(ways []Way, values []int64, l, w int64) [][]int64 {
	best := make([][]int64, l+1)
	for x := range best {
		best[x] = make([]int64, w+1)
		for y := range best[x] {
			v := int64(0)
			for _, p := range ways {
				if p.L <= int64(x) && p.W <= int64(y) {
					v = max(v, values[p.Part])
				}
			}
			for a := 1; a < x; a++ {
				v = max(v, best[a][y]+best[x-a][y])
			}
			for b := 1; b < y; b++ {
				v = max(v, best[x][b]+best[x][y-b])
			}
			best[x][y] = v
		}
	}
	return best
}

func TestAgainstSlow(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		var in instance
		var values []int64
		for range 1 + rng.IntN(7) {
			in.parts = append(in.parts, Size{1 + rng.Int64N(20), 1 + rng.Int64N(20)})
			values = append(values, rng.Int64N(30))
		}
		ways := in.ways(rng.IntN(2) == 0)
		sheets := []Size{{5 + rng.Int64N(36), 5 + rng.Int64N(36)}, {5 + rng.Int64N(36), 5 + rng.Int64N(36)}}
		best := slow(ways, values, max(sheets[0].L, sheets[1].L), max(sheets[0].W, sheets[1].W))
		table := exact(t, ways, sheets...)
		for range 2 { // a table may be filled again
			table.Fill(values)
		}
		for j, s := range sheets {
			tree := first(t, table, j, values)
			if got := table.Best(j); got != best[s.L][s.W] || check(t, &tree, in.parts, values) != got || tree.Size != s {
				t.Fatalf("%v %v on %v: %d, want %d; %v", ways, values, s, got, best[s.L][s.W], tree)
			}
			counts := make([]int, len(in.parts))
			tree.Count(counts)
			sum := int64(0)
			for i, n := range counts {
				sum += int64(n) * values[i]
			}
			last := table.Best(j) + 1
			for i, tree := range table.Patterns(j, values, table.Best(j)/2, 4) {
				v := check(t, &tree, in.parts, values)
				if v >= last || v <= table.Best(j)/2 || i == 0 && v != table.Best(j) {
					t.Fatalf("pattern %d of %d after %d, the best is %d", i, v, last, table.Best(j))
				}
				last = v
			}
			if sum != table.Best(j) {
				t.Fatal(counts, sum)
			}
		}
	}
}

// slowStrips is the best pattern of two or three stages, first cut a rip, over all
// integer sizes.
func slowStrips(ways []Way, values []int64, s Size, stages int) int64 {
	knapsack := func(size int64, lengths, worth []int64) int64 {
		best := make([]int64, size+1)
		for x := range best {
			for i, l := range lengths {
				if l <= int64(x) {
					best[x] = max(best[x], best[int64(x)-l]+worth[i])
				}
			}
			if x > 0 {
				best[x] = max(best[x], best[x-1])
			}
		}
		return best[size]
	}
	var thick, worth []int64
	for h := int64(1); h <= s.W; h++ {
		var lengths, v []int64
		for _, w := range ways {
			if stages == 2 && w.W <= h {
				lengths, v = append(lengths, w.L), append(v, values[w.Part])
			}
		}
		for l := int64(1); stages == 3 && l <= s.L; l++ {
			var thick, worth []int64
			for _, w := range ways {
				if w.L <= l {
					thick, worth = append(thick, w.W), append(worth, values[w.Part])
				}
			}
			lengths, v = append(lengths, l), append(v, knapsack(h, thick, worth))
		}
		thick, worth = append(thick, h), append(worth, knapsack(s.L, lengths, v))
	}
	return knapsack(s.W, thick, worth)
}

func TestStripsAgainstSlow(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for range 100 {
		var in instance
		var values []int64
		for range 1 + rng.IntN(7) {
			in.parts = append(in.parts, Size{1 + rng.Int64N(20), 1 + rng.Int64N(20)})
			values = append(values, rng.Int64N(30))
		}
		ways := in.ways(rng.IntN(2) == 0)
		sheets := []Size{{5 + rng.Int64N(36), 5 + rng.Int64N(36)}, {5 + rng.Int64N(36), 5 + rng.Int64N(36)}}
		xs, ys, ok := Axes(ways, sheets, 100)
		if !ok {
			t.Fatal("too many points")
		}
		for k := range 4 {
			first, limit := Direction(1+k%2), 2+k/2
			s := NewStrips(ways, sheets, first, limit, xs, ys)
			s.Fill(values)
			for j, sheet := range sheets {
				want := slowStrips(ways, values, sheet, limit)
				if first == Crosscut {
					var turned []Way
					for _, w := range ways {
						turned = append(turned, Way{Size{w.W, w.L}, w.Part, w.Turned})
					}
					want = slowStrips(turned, values, Size{sheet.W, sheet.L}, limit)
				}
				if s.Best(j) != want {
					t.Fatalf("%v %v on %v, %d stages from %d: %d, want %d", ways, values, sheet, limit, first, s.Best(j), want)
				}
				last := want + 1
				patterns := s.Patterns(j, values, want/2, 4)
				for i, tree := range patterns {
					v := check(t, &tree, in.parts, values)
					if v >= last || v <= want/2 || i == 0 && v != want || stages(&tree, first, 1) > limit {
						t.Fatalf("pattern %d of %d after %d, the best is %d: %v", i, v, last, want, tree)
					}
					last = v
				}
				if len(patterns) == 0 && want > 0 {
					t.Fatal("no pattern")
				}
			}
		}
	}
}

// stages counts those of a tree, without last cuts to size, if its first stage is in the
// given direction.
func stages(t *Tree, first Direction, now int) int {
	if t.Cut == NoCut {
		return 0
	}
	parts := 0
	var counts [10]int
	t.Count(counts[:])
	for _, n := range counts {
		parts += n
	}
	if parts == 1 && t.Children[0].Part >= 0 {
		return 0
	}
	if t.Cut != first {
		now++
		first = t.Cut
	}
	most := now
	for i := range t.Children {
		most = max(most, stages(&t.Children[i], first, now))
	}
	return most
}

// TestStripsFilledAgain fills one table with values that change in part, and wants of it what a
// new one says.
func TestStripsFilledAgain(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 200 {
		var in instance
		for range 2 + rng.IntN(9) {
			in.parts = append(in.parts, Size{1 + rng.Int64N(20), 1 + rng.Int64N(20)})
		}
		ways, sheets := in.ways(rng.IntN(2) == 0), []Size{{5 + rng.Int64N(36), 5 + rng.Int64N(36)}}
		xs, ys, _ := Axes(ways, sheets, 100)
		again := NewStrips(ways, sheets, Rip, 2+rng.IntN(2), xs, ys)
		again.inRuns(1 + rng.IntN(3))
		values := make([]int64, len(in.parts))
		for range 5 {
			values[rng.IntN(len(values))] = rng.Int64N(30)
			values[rng.IntN(len(values))] = rng.Int64N(30)
			before := again.Steps()
			again.Fill(values)
			once := NewStrips(ways, sheets, Rip, 2, xs, ys)
			once.stacked = again.stacked
			once.Fill(values)
			if again.Best(0) != once.Best(0) || again.Steps()-before != once.Steps() {
				t.Fatalf("filled again: %d in %d steps, want %d in %d", again.Best(0), again.Steps()-before, once.Best(0), once.Steps())
			}
			if got, want := again.Patterns(0, values, 0, 8), once.Patterns(0, values, 0, 8); !reflect.DeepEqual(got, want) {
				t.Fatalf("filled again:\n%v\nwant\n%v", got, want)
			}
		}
	}
}

func TestRaster(t *testing.T) {
	if _, ok := Raster([]int64{1}, []int64{100}, 50); ok {
		t.Error("a hundred points are no more than fifty")
	}
	// By hand: sums of 4 and 7 up to 16 are 0 4 7 8 11 12 14 15 16; 16-0=16, 16-4=12,
	// 16-7=9 to 8, 16-8=8, 16-11=5 to 4, 16-12=4, 16-14=2 to 0, 16-15 to 0, 0.
	// Then from 16 again: 0, 4, 8, 12, 16.
	got, ok := Raster([]int64{7, 4}, []int64{16}, 50)
	want := []int64{0, 4, 8, 12, 16}
	if !ok || len(got) != len(want) {
		t.Fatal(got, ok)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Fatal(got)
		}
	}
}

func BenchmarkFill(b *testing.B) {
	for _, file := range []string{"furniture.txt", "gcut.txt"} {
		for _, in := range instances(b, file) {
			for _, turn := range []bool{false, true} {
				table := exact(b, in.ways(turn), in.sheet)
				var values []int64
				for _, p := range in.parts {
					values = append(values, p.L*p.W)
				}
				name := in.name
				if turn {
					name += "-turn"
				}
				b.Run(name, func(b *testing.B) {
					for b.Loop() {
						table.Fill(values)
					}
					b.ReportMetric(float64(len(table.xs)), "xs")
					b.ReportMetric(float64(len(table.ys)), "ys")
					b.ReportMetric(float64(table.Steps())/float64(b.N), "steps/op")
				})
			}
		}
	}
}
