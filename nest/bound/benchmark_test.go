package bound

import (
	"bufio"
	"context"
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"sawbook/nest/pattern"
)

// instance is a line of a benchmark file.
type instance struct {
	name string
	Problem
}

// folder is that of benchmark instances, which are not part of the project.
func folder(t testing.TB) string {
	t.Helper()
	dir := os.Getenv("SAWBOOK_BENCHMARKS")
	if dir == "" {
		t.Skip("SAWBOOK_BENCHMARKS names no folder of instances")
	}
	return dir
}

func instances(t testing.TB, file string) []instance {
	t.Helper()
	f, err := os.Open(filepath.Join(folder(t), file))
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
		in := instance{name: fields[0], Problem: Problem{Sheets: []Sheet{{L: number(fields[1]), W: number(fields[2]), Price: 1, Stock: -1}}}}
		for _, part := range fields[3:] {
			n := strings.Split(part, ",")
			p := Part{L: number(n[0]), W: number(n[1]), Count: 1}
			if len(n) > 2 {
				p.Count = int(number(n[2]))
			}
			in.Parts = append(in.Parts, p)
		}
		out = append(out, in)
	}
	return out
}

// proven reads the table of bounds that two other programs computed.
func proven(t testing.TB) map[string][]string {
	t.Helper()
	f, err := os.Open(filepath.Join(folder(t), "bounds.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	out := map[string][]string{}
	for _, row := range rows {
		out[row[0]] = row
	}
	return out
}

// TestBenchmarks compares with bounds that two other programs computed. Another bound
// may be better only where that is proven as well, so none is expected to be.
func TestBenchmarks(t *testing.T) {
	if testing.Short() {
		t.Skip("takes most of a minute")
	}
	known := proven(t)
	for _, test := range []struct {
		file   string
		turn   bool
		stages int
		column int // of the table
	}{
		{"furniture.txt", false, 0, 2}, {"furniture.txt", true, 0, 3}, {"furniture.txt", false, 2, 4}, {"furniture.txt", true, 2, 5},
		{"classes.txt", false, 0, 2}, {"classes.txt", true, 0, 3},
	} {
		equal, total, sum := 0, 0, 0
		var longest, all time.Duration
		slowest := ""
		for _, in := range instances(t, test.file) {
			want, err := strconv.Atoi(known[in.name][test.column])
			if err != nil {
				t.Fatal(in.name, err)
			}
			p := in.Problem
			p.Stages = test.stages
			if test.stages > 0 {
				p.First = pattern.Rip
			}
			for i := range p.Parts {
				p.Parts[i].Turns = test.turn
			}
			start := time.Now()
			r := Least(context.Background(), p, Options{Steps: enough})
			d := time.Since(start)
			all += d
			if d > longest {
				longest, slowest = d, in.name
			}
			total++
			sum += r.Sheets
			if r.Sheets == want {
				equal++
			} else {
				t.Logf("%s: %d by %s, known %d", in.name, r.Sheets, r.SheetsBy, want)
			}
			if r.Sheets > want {
				t.Errorf("%s: more than is known", in.name)
			}
		}
		t.Logf("%s, may turn %t, stages %d: %d, equal in %d of %d, mean %v, longest %v (%s)",
			test.file, test.turn, test.stages, sum, equal, total, all/time.Duration(total), longest, slowest)
		if equal*100 < 95*total {
			t.Errorf("%s: equal in %d of %d only", test.file, equal, total)
		}
	}
}
