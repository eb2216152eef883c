package main

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// TestMigrateKilled kills migrate as it enters calls that write, flush or rename. Each file is as it was or as it will be,
// none is between or gone; each says its own form, so that the next run does the rest.
func TestMigrateKilled(t *testing.T) {
	needTracer(t)
	times := 40
	if testing.Short() {
		times /= 8
	}
	const args = "migrate ."
	ready := filepath.Join("..", "..", "testdata", "old", "0")
	whole := copyOf(t, ready)
	places := placesOf(t, whole, args)
	before, after := filesOf(t, ready), filesOf(t, whole)
	if cmp.Equal(before, after) {
		t.Fatal("migrate changes nothing")
	}
	random := rand.New(rand.NewPCG(3, 4))
	hits, between := 0, 0
	for try := 0; hits < times; try++ {
		if try > 10*times {
			t.Fatalf("of %d runs only %d were killed", try, hits)
		}
		i := interruption{args: args, place: places[random.IntN(len(places))]}
		work := copyOf(t, ready)
		if i.run(t, work, "signal=KILL").killed {
			hits++
		}
		left := filesOf(t, work)
		for name := range after {
			if left[name] != before[name] && left[name] != after[name] {
				t.Errorf("%s: %s is neither as before nor whole:\n%s", i, name, left[name])
			}
		}
		if !cmp.Equal(left, before) && !cmp.Equal(left, after) {
			between++
		}
		if code, errs := runOnce(t, work, args); code != exitDone {
			t.Errorf("%s: the next run ends with %d: %s", i, code, errs)
		}
		if again := filesOf(t, work); !cmp.Equal(again, after) {
			t.Errorf("%s: the next run leaves %s", i, cmp.Diff(after, again))
		}
		if err := os.RemoveAll(work); err != nil {
			t.Fatal(err)
		}
	}
	t.Logf("%d kills at %d places, %d of them between two files", hits, len(places), between)
}

// filesOf reads the YAML files of a shop, but for those that were being made when their process died.
func filesOf(t *testing.T, root string) map[string]string {
	t.Helper()
	files := map[string]string{}
	for name, text := range readFolder(t, root) {
		if strings.HasSuffix(name, ".yaml") && !strings.HasPrefix(filepath.Base(name), ".") {
			files[name] = string(text)
		}
	}
	return files
}
