package bound

import (
	"bufio"
	"context"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// instance is a line of a benchmark file.
type instance struct {
	name string
	Problem
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

func (in *instance) turned() Problem {
	p := Problem{Sheets: in.Sheets}
	for _, part := range in.Parts {
		part.Turns = true
		p.Parts = append(p.Parts, part)
	}
	return p
}

// TestBenchmarks compares with bounds that two other programs computed.
func TestBenchmarks(t *testing.T) {
	type least struct{ fixed, turn int }
	want := map[string]least{}
	f, err := os.Open(filepath.Join(os.Getenv("SAWBOOK_BENCHMARKS"), "bounds.csv"))
	if err != nil {
		t.Skip("SAWBOOK_BENCHMARKS names no folder of instances")
	}
	for lines := bufio.NewScanner(f); lines.Scan(); {
		fields := strings.Split(lines.Text(), ",")
		fixed, _ := strconv.Atoi(fields[2])
		turn, _ := strconv.Atoi(fields[3])
		want[fields[0]] = least{fixed, turn}
	}
	for _, file := range []string{"furniture.txt", "classes.txt"} {
		for _, turn := range []bool{false, true} {
			equal, below, above := 0, 0, 0
			start := time.Now()
			for _, in := range instances(t, file) {
				p, least := in.Problem, want[in.name].fixed
				if turn {
					p, least = in.turned(), want[in.name].turn
				}
				began := time.Now()
				r := Least(context.Background(), p, Options{Steps: 20_000_000_000})
				if d := time.Since(began); d > 300*time.Millisecond {
					t.Log(in.name, turn, len(p.Parts), d, len(r.Columns), r.SheetsBy)
				}
				switch {
				case r.Sheets == least:
					equal++
				case r.Sheets < least:
					below++
					t.Log(in.name, turn, r.Sheets, least, r.Least, r.Converged)
				default:
					above++
					t.Log(in.name, turn, r.Sheets, least, r.Least, r.SheetsBy)
				}
			}
			t.Log(file, turn, equal, below, above, time.Since(start))
		}
	}
}
