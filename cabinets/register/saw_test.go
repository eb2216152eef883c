package register

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"

	"github.com/google/go-cmp/cmp"
)

// atTheSaw is a batch at the saw: three sheets of one pattern with two parts, and one of another.
func atTheSaw(t *testing.T, folder string) *CutPlan {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(folder, "shop.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	sheet := shop.Sheet{Length: 2500 * measure.Millimetre, Width: 1250 * measure.Millimetre, Price: 7400, Stock: 4}
	part := func(id string, count int) Nested {
		return Nested{ID: id, Panel: Panel{Name: "side", Material: "birch-12", Length: measure.Metre, Width: measure.Metre}, Count: count}
	}
	return &CutPlan{Cutting: "one-1234", Shop: string(text), Stock: map[string][]shop.Sheet{"birch-12": {sheet}},
		Needs: []Nested{part("A-001", 6), part("A-002", 1)},
		Patterns: []SawPattern{
			{Name: "A1", Material: "birch-12", Times: 3, Sheet: sheet, Cuts: []string{"c0", "c1", "c2"}, Parts: []string{"A-001", "A-001"}},
			{Name: "A2", Material: "birch-12", Times: 1, Sheet: sheet, Cuts: []string{"c0", "c1"}, Parts: []string{"A-002"}},
		}}
}

func tick(id string, ticked bool, items ...string) Tick {
	return Tick{ID: id, Cutting: "one-1234", Items: items, Ticked: ticked}
}

// A tick counts once, however often it arrives; one that comes again after it was taken back changes nothing.
func TestTicksCountOnce(t *testing.T) {
	folder, r := started(t)
	done(t)(r.Start(someone("cut"), atTheSaw(t, folder)))
	_, err := r.Start(someone("cut"), atTheSaw(t, folder))
	says(t, err, "one-1234 is on the saw already")
	for range 3 {
		if _, err := r.Tick(someone("cut"), tick("a", true, "0/A1/2/c0", "0/A1/2/c1")); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := r.Tick(someone("cut"), tick("b", false, "0/A1/2/c1")); err != nil {
		t.Fatal(err)
	}
	c, err := r.Tick(someone("cut"), tick("a", true, "0/A1/2/c0", "0/A1/2/c1"))
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(map[string]bool{"0/A1/2/c0": true}, c.Ticked); diff != "" {
		t.Error(diff)
	}
	if all, err := r.Entries(); err != nil || len(all) != 3 {
		t.Errorf("%d entries, %v: want the start and two ticks", len(all), err)
	}
}

// Two tablets, each with a register of its own open, tick at once: nothing is lost, and both see the same.
func TestTwoTablets(t *testing.T) {
	folder, r := started(t)
	done(t)(r.Start(someone("cut"), atTheSaw(t, folder)))
	var tablets sync.WaitGroup
	for n := range 2 {
		tablets.Go(func() {
			own, err := Open(folder)
			if err != nil {
				t.Error(err)
				return
			}
			defer own.Close()
			for sheet := range 3 {
				for cut := range 3 { // both tick the trim, each the cuts of its own parity
					if item := fmt.Sprintf("0/A1/%d/c%d", sheet+1, cut); cut == 0 || cut == n+1 {
						if _, err := own.Tick(someone("cut"), tick(fmt.Sprint(n, item), true, item)); err != nil {
							t.Error(err)
						}
					}
				}
			}
		})
	}
	tablets.Wait()
	c, err := r.Cutting("one-1234")
	if err != nil || len(c.Ticked) != 9 {
		t.Errorf("%d cuts are ticked, %v: want 9", len(c.Ticked), err)
	}
	if _, err := r.Verify(); err != nil {
		t.Error(err)
	}
}

// What is planned anew may not have been begun since.
func TestRecutOfWhatWasBegun(t *testing.T) {
	folder, r := started(t)
	done(t)(r.Start(someone("cut"), atTheSaw(t, folder)))
	base, err := r.Tick(someone("cut"), tick("a", true, "0/A1/1/c0", "0/A1/1/p1"))
	if err != nil {
		t.Fatal(err)
	}
	left, err := base.Left(Spoilt{ID: "r", Part: "A-001", Count: 1})
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([]int{5, 1}, []int{left.Pieces[0].Count, left.Pieces[1].Count}); diff != "" {
		t.Errorf("one sheet with two of A-001 is begun, one of them is spoiled: 6 - 2 + 1 are left. %s", diff)
	}
	if n := left.Stock["birch-12"][0].Stock; n != 3 {
		t.Errorf("%d sheets are left of 4, of which one is begun", n)
	}
	if diff := cmp.Diff([]string{"0/A1/1/p1"}, left.Plan.Spoiled); diff != "" {
		t.Error(diff)
	}
	left.Plan.Patterns = atTheSaw(t, folder).Patterns
	if _, err := r.Tick(someone("cut"), tick("b", true, "0/A1/3/c0")); err != nil {
		t.Fatal(err)
	}
	if _, err := r.Recut(someone("cut"), base, &left.Plan); !errors.Is(err, ErrMoved) {
		t.Errorf("%v: another sheet was begun", err)
	}
	if _, err := r.Tick(someone("cut"), tick("c", false, "0/A1/3/c0")); err != nil {
		t.Fatal(err)
	}
	for range 2 { // the second time, it is done already
		c, err := r.Recut(someone("cut"), base, &left.Plan)
		if err != nil || len(c.Plans) != 2 {
			t.Fatalf("%v: %d plans", err, len(c.Plans))
		}
	}
	_, err = r.Tick(someone("cut"), tick("d", true, "0/A1/3/c1"))
	says(t, err, "sheet A1, 3 of 3 was planned anew, or is bad")
}

// Ticks outlive the register: they are rebuilt from its export; and an altered one is found.
func TestTicksAreRebuilt(t *testing.T) {
	folder, r := started(t)
	done(t)(r.Start(someone("cut"), atTheSaw(t, folder)))
	want, err := r.Tick(someone("cut"), tick("a", true, "0/A2/1/c0"))
	if err != nil {
		t.Fatal(err)
	}
	export, again := t.TempDir(), t.TempDir()
	if err := r.Export(func(name string, write func(w io.Writer) error) error {
		f, err := os.Create(filepath.Join(export, name))
		return errors.Join(err, write(f), f.Close())
	}); err != nil {
		t.Fatal(err)
	}
	if _, err := Rebuild(again, export); err != nil {
		t.Fatal(err)
	}
	r2, err := Open(again)
	if err != nil {
		t.Fatal(err)
	}
	defer r2.Close()
	got, err := r2.Cutting("one-1234")
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if _, err := r2.db.Exec("UPDATE ticks SET ticked = 0"); err != nil {
		t.Fatal(err)
	}
	_, err = r2.Verify()
	says(t, err, "what is ticked of one-1234 is not what its entries say")
}
