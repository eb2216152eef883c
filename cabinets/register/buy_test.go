package register

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
	"sawbook/nest"

	"github.com/google/go-cmp/cmp"
)

// The small shop's batch takes one sheet, 14.328 m of band from rolls of 50 m and 3.312 m of felt from rolls of 10 m.
// A blank on hand is what nobody keeps book of.
func TestBuys(t *testing.T) {
	for _, c := range []struct {
		what    string
		stock   string // of the shop file
		receive []Lot
		count   Quantity // of each
		spare   int
		want    []string
	}{
		{"without a register, the shop file's stock of sheets", ", stock: 4", nil, 0, 0,
			[]string{"birch-12: 1 of 4, buy 0 for 0", "oak: 14.328 of ?, buy 1 for 6200", "felt: 3.312 of ?, buy 1 for 950"}},
		{"spare sheets are bought as well", ", stock: 4", nil, 0, 4,
			[]string{"birch-12: 5 of 4, buy 1 for 7400", "oak: 14.328 of ?, buy 1 for 6200", "felt: 3.312 of ?, buy 1 for 950"}},
		{"what the register has takes the stock's place", ", stock: 4", []Lot{priced(birch, 7000), priced(oak, 6200)}, One, 1,
			[]string{"birch-12: 2 of 1, buy 1 for 7000", "oak: 14.328 of 1, buy 1 for 6200", "felt: 3.312 of ?, buy 1 for 950"}},
		{"a new sheet costs what it costs now", "", []Lot{priced(birch, 7000)}, One, 1,
			[]string{"birch-12: 2 of 1, buy 1 for 7400", "oak: 14.328 of ?, buy 1 for 6200", "felt: 3.312 of ?, buy 1 for 950"}},
		{"a roll that was begun may do", ", stock: 4", []Lot{priced(oak, 6200)}, 15 * One, 0,
			[]string{"birch-12: 1 of 4, buy 0 for 0", "oak: 14.328 of 15, buy 0 for 0", "felt: 3.312 of ?, buy 1 for 950"}},
	} {
		folder := newShop(t)
		limit(t, filepath.Join(folder, "shop.yaml"), c.stock)
		var job *batch.Job
		if c.receive != nil {
			r, err := OpenOrCreate(folder)
			if err != nil {
				t.Fatal(err)
			}
			for _, l := range c.receive {
				if _, err := r.Receive(someone("note"), l, c.count); err != nil {
					t.Fatal(err)
				}
			}
			job = plan(t, folder, r, math.MaxInt64)
			r.Close()
		} else {
			job = unbooked(t, folder)
		}
		job.Batch.Shop.Rates.Spare = shop.Spare{Sheets: c.spare}
		var got []string
		for _, b := range Buys(job) {
			left := "?"
			if b.Booked {
				left = b.Left.String()
			}
			got = append(got, fmt.Sprintf("%s: %s of %s, buy %d for %d", b.Item, b.Quantity, left, b.Packs, b.Cost()))
		}
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%s: %s", c.what, diff)
		}
	}
}

// limit has a shop file say so of the stock of its sheets.
func limit(t *testing.T, file, stock string) {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, []byte(strings.Replace(string(text), ", stock: 4", stock, 1)), 0o666); err != nil {
		t.Fatal(err)
	}
}

// unbooked works the small shop's batch out without a register.
func unbooked(t *testing.T, folder string) *batch.Job {
	t.Helper()
	f := batch.OpenFolder(&source.Collector{}, folder)
	b := f.Load(filepath.Join(folder, "batches", "one.yaml"), nil)
	if err := f.Err(); err != nil {
		t.Fatal(err)
	}
	j, err := batch.Work(context.Background(), b, batch.Options{Effort: nest.Quick})
	if err != nil {
		t.Fatal(err)
	}
	return j
}
