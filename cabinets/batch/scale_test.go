package batch

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"sawbook/cabinets/source"
)

const demo = "../../testdata/demo"

// mix are the vehicles of the demo's spring batch, as a batch file writes them: seven in
// all, which batches of other sizes repeat.
var mix = []struct {
	vehicle  string
	vehicles int
}{{"layout: curlew", 3}, {"layout: curlew, options: [no-pantry]", 1}, {"layout: dunlin", 3}}

// season loads a batch of so many vehicles of the demo shop, in the mix of its spring
// batch, from a batch file.
func season(t testing.TB, vehicles int) *Batch {
	t.Helper()
	file := filepath.Join(t.TempDir(), "season.yaml")
	if err := os.WriteFile(file, []byte(seasonFile(vehicles)), 0o600); err != nil {
		t.Fatal(err)
	}
	var c source.Collector
	b := OpenFolder(&c, demo).Load(file, nil)
	if err := c.Err(); err != nil {
		t.Fatal(err)
	}
	if len(b.Vehicles) != vehicles {
		t.Fatalf("%d vehicles, want %d", len(b.Vehicles), vehicles)
	}
	return b
}

func seasonFile(vehicles int) string {
	serials := make([][]string, len(mix))
	for serial := 1; serial <= vehicles; {
		for i, m := range mix {
			for n := 0; n < m.vehicles && serial <= vehicles; n++ {
				serials[i] = append(serials[i], fmt.Sprint(serial))
				serial++
			}
		}
	}
	text := "batch: season\nvehicles:\n"
	for i, m := range mix {
		if len(serials[i]) > 0 {
			text += fmt.Sprintf("  - {%s, serials: [%s]}\n", m.vehicle, strings.Join(serials[i], ", "))
		}
	}
	return text
}

// TestVehiclesAreCounted: a thousand times as many vehicles are the same pieces, which go
// to the same places, a thousand times as often, and listing them takes no more memory.
func TestVehiclesAreCounted(t *testing.T) {
	few, many := season(t, 7), season(t, 7000)
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

func allocations(f func()) float64 { return testing.AllocsPerRun(3, f) }
