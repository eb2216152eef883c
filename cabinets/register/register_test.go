package register

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
	"sawbook/nest"

	"github.com/google/go-cmp/cmp"
)

// newShop returns the folder of a small shop of the test's own: three vans that take one of four sheets, and leave an
// offcut of 2480 x 764 mm.
func newShop(t *testing.T) string {
	t.Helper()
	folder := t.TempDir()
	if err := os.CopyFS(folder, os.DirFS(filepath.Join("..", "..", "testdata", "refusals", "shop"))); err != nil {
		t.Fatal(err)
	}
	return folder
}

// plan works the shop's batch out with what is on hand after an entry.
func plan(t *testing.T, folder string, r *Register, after int64) *batch.Job {
	t.Helper()
	faults := &source.Collector{}
	f := batch.OpenFolder(faults, folder)
	b := f.Load(filepath.Join(folder, "batches", "one.yaml"), nil)
	if err := f.Err(); err != nil {
		t.Fatal(err)
	}
	memory, err := r.Plan(f.Shop, after)
	if err != nil {
		t.Fatal(err)
	}
	b.Memory = memory
	j, err := batch.Work(context.Background(), b, batch.Options{Effort: nest.Quick})
	if err != nil {
		t.Fatal(err)
	}
	return j
}

func started(t *testing.T) (folder string, r *Register) {
	t.Helper()
	folder = newShop(t)
	r, err := OpenOrCreate(folder)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { r.Close() })
	return folder, r
}

// someone changes the register at a time of the test's choice.
func someone(reason string) By {
	return By{User: "Ada", Reason: reason, Time: time.Date(2026, 11, 28, 9, 30, 0, 0, time.UTC)}
}

var (
	birch = Key{Kind: Sheet, Item: "birch-12", Length: 2500 * measure.Millimetre, Width: 1250 * measure.Millimetre}
	oak   = Key{Kind: Item, Item: "oak"}
)

func priced(k Key, price shop.Money) Lot { return Lot{Key: k, Price: &price} }

// done stops the test on an error, and returns the entry.
func done(t *testing.T) func(*Entry, error) *Entry {
	t.Helper()
	return func(e *Entry, err error) *Entry {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return e
	}
}

func left(t *testing.T, r *Register, k Key) Quantity {
	t.Helper()
	s, err := r.Stock()
	if err != nil {
		t.Fatal(err)
	}
	return s.Left(k)
}

// says wants an error that holds a text.
func says(t *testing.T, err error, want string) {
	t.Helper()
	if err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("error %v, want one that says %q", err, want)
	}
}

func TestReceivedAndCounted(t *testing.T) {
	_, r := started(t)
	ok := done(t)
	ok(r.Receive(someone("note 1"), priced(birch, 7000), 3*One))
	ok(r.Receive(someone("note 2"), priced(birch, 7400), 2*One))
	ok(r.Count(someone("one is spoiled"), Lot{Key: birch}, 4*One))
	s, err := r.Stock()
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Lots) != 2 || s.Lots[0].Left != 2*One || s.Lots[1].Left != 2*One {
		t.Errorf("what is missing goes from the oldest delivery: %+v", s.Lots)
	}
	ok(r.Count(someone("found one"), Lot{Key: birch}, 5*One))
	ok(r.Count(someone("first count"), priced(oak, 6200), 12_500))
	ok(r.Count(someone("yearly count"), Lot{Key: birch}, 5*One))
	entries, err := r.Entries()
	if err != nil {
		t.Fatal(err)
	}
	var about []string
	for _, e := range entries {
		about = append(about, e.About(measure.Style{}))
	}
	if diff := cmp.Diff([]string{"3 of birch-12 2500 x 1250 mm", "2 of birch-12 2500 x 1250 mm", "4 of birch-12 2500 x 1250 mm, 1 less",
		"5 of birch-12 2500 x 1250 mm, 1 more", "12.5 of oak, 12.5 more", "5 of birch-12 2500 x 1250 mm, as booked"}, about); diff != "" {
		t.Errorf("the history does not say what was counted:\n%s", diff)
	}
	if got := left(t, r, birch); got != 5*One {
		t.Errorf("%s sheets left, want 5", got)
	}
	if got := left(t, r, oak).String(); got != "12.5" {
		t.Errorf("%s m of band left, want 12.5", got)
	}
	before, err := r.StockAfter(1)
	if err != nil {
		t.Fatal(err)
	}
	if before.Left(birch) != 3*One || before.Knows(Item, "oak") {
		t.Errorf("after entry 1 there were 3 sheets and nothing else: %+v", before.Lots)
	}
}

// The three vans of one batch come from one sheet; of the next, from the offcut that it left, which costs less.
func TestTakeOnceThenOffcutsFirst(t *testing.T) {
	folder, r := started(t)
	ok := done(t)
	ok(r.Receive(someone("note"), priced(birch, 7200), 4*One))
	ok(r.Receive(someone("note"), priced(oak, 6200), 50*One))
	first := plan(t, folder, r, 2)
	taken, err := r.Take(someone("cut"), first)
	if err != nil {
		t.Fatal(err)
	}
	if got := left(t, r, birch); got != 3*One {
		t.Errorf("%s sheets left, want 3", got)
	}
	if got, want := left(t, r, oak), 50*One-Of(first.Estimate.Lines[1].Need); got != want {
		t.Errorf("%s m of band left, want %s", got, want)
	}
	if len(taken.In) != 1 || taken.In[0].Label != "3-A1-1" || taken.In[0].Length != 2480*measure.Millimetre {
		t.Errorf("new offcuts %+v, want 3-A1-1, 2480 mm long", taken.In)
	}
	if len(taken.Unknown) != 1 || taken.Unknown[0].Item != "felt" {
		t.Errorf("not booked: %+v, want the felt alone", taken.Unknown)
	}
	_, err = r.Take(someone("cut again"), first)
	says(t, err, "one-"+first.Digest+" is booked out already, by entry 3")

	second := plan(t, folder, r, 3)
	if got := second.Materials[0].Patterns[0].Sheet.Offcut; got != "3-A1-1" {
		t.Errorf("the next batch is cut from %q, want the offcut", got)
	}
	if again := plan(t, folder, r, 2); again.Digest != first.Digest {
		t.Errorf("planned with the stock of then, the batch has the digest %s, want %s", again.Digest, first.Digest)
	}
	if _, err := r.Take(someone("cut"), second); err != nil {
		t.Fatal(err)
	}
	_, err = r.Undo(someone("wrong"), 3)
	says(t, err, "entry 3 cannot be undone: what came in by it has gone since")
	undone := ok(r.Undo(someone("not cut"), 0))
	if undone.Sequence != 4 || left(t, r, taken.In[0].Key) != One {
		t.Errorf("entry %d was undone, want 4, and the offcut back", undone.Sequence)
	}
	_, err = r.Undo(someone("again"), 4)
	says(t, err, "entry 4 is undone already, by entry 5")
	_, err = r.Undo(someone("no"), 5)
	says(t, err, "entry 5 is undone, and moves no stock")
	_, err = r.Undo(someone("no"), 99)
	says(t, err, "there is no such entry")
	if _, err := r.Take(someone("cut after all"), second); err != nil {
		t.Errorf("what was undone can be taken again: %v", err)
	}
}

func TestTakeAllOrNothing(t *testing.T) {
	folder, r := started(t)
	ok := done(t)
	ok(r.Receive(someone("note"), priced(birch, 7400), One))
	ok(r.Count(someone("count"), priced(oak, 6200), One))
	j := plan(t, folder, r, 2)
	_, err := r.Take(someone("cut"), j)
	says(t, err, "oak: the batch takes 14.328 m; on hand: 1 m")
	if left(t, r, birch) != One {
		t.Error("the sheet was booked although the band was short")
	}
	low := Low(j)
	if len(low) != 2 || low[0].Item != "oak" || low[0].Packs != 1 || low[1].Item != "felt" {
		t.Errorf("to order: %+v, want a roll of oak and a roll of felt", low)
	}
}

// Of a size that the register never saw, the shop file alone keeps count: that is taken over with the first that goes out, and
// given back where this is undone.
func TestTakeOverFromTheShopFile(t *testing.T) {
	folder, r := started(t)
	ok := done(t)
	file := filepath.Join(folder, "shop.yaml")
	text := strings.Replace(string(readAll(t, file)), "    sheets:\n", "    sheets:\n      - {size: 2400 x 1250 mm, grain: length, price: 10.00, stock: 3}\n", 1)
	write(t, file, []byte(text))
	ok(r.Receive(someone("note"), priced(birch, 7400), One))
	small := Key{Kind: Sheet, Item: "birch-12", Length: 2400 * measure.Millimetre, Width: 1250 * measure.Millimetre}
	for range 2 {
		taken, err := r.Take(someone("cut"), plan(t, folder, r, math.MaxInt64))
		if err != nil {
			t.Fatal(err)
		}
		if got := left(t, r, small); got != 2*One {
			t.Errorf("%s of 3 are left once one is cut", got)
		}
		if _, err := r.Undo(someone("not cut"), taken.Sequence); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := r.Verify(); err != nil {
		t.Error(err)
	}
}

// What a shop's sheets are, once stock was put before them: each as label or count @ price.
func TestOffer(t *testing.T) {
	large, small := shop.Sheet{Length: 2500, Width: 1250, Price: 7400, Stock: -1}, shop.Sheet{Length: 1500, Width: 1500, Price: 5000, Stock: 12}
	known := shop.Sheet{Length: 700, Width: 300, Price: 100, Stock: 1, Offcut: "OC-1", Trimmed: true}
	sheets := func(s shop.Sheet) Key {
		return Key{Kind: Sheet, Item: "ply", Length: s.Length, Width: s.Width, Across: s.GrainAcross}
	}
	odd := Key{Kind: Sheet, Item: "ply", Length: 3000, Width: 1250}
	piece := Key{Kind: Offcut, Item: "ply", Length: measure.Metre, Width: measure.Metre / 2, Label: "OC-2"}
	for _, c := range []struct {
		what string
		lots []Held
		want string
	}{
		{"nothing in stock", nil, "-1 @ 7400, 12 @ 5000, OC-1 @ 100"},
		{"bought for less: told apart", []Held{{Lot: priced(sheets(large), 7000), Left: 3 * One}}, "3 @ 7000, -1 @ 7400, 12 @ 5000, OC-1 @ 100"},
		{"the mean of two deliveries", []Held{{Lot: priced(sheets(large), 7000), Left: 3 * One}, {Lot: priced(sheets(large), 7100), Left: One}}, "4 @ 7025, -1 @ 7400, 12 @ 5000, OC-1 @ 100"},
		{"bought for more: as a new one", []Held{{Lot: priced(sheets(large), 7500), Left: 3 * One}}, "-1 @ 7400, 12 @ 5000, OC-1 @ 100"},
		{"used up", []Held{{Lot: priced(sheets(large), 7000), Left: 0}}, "-1 @ 7400, 12 @ 5000, OC-1 @ 100"},
		{"the count takes the place of a limit", []Held{{Lot: priced(sheets(small), 5500), Left: 2 * One}}, "2 @ 5500, -1 @ 7400, OC-1 @ 100"},
		{"none is left of what is limited", []Held{{Lot: priced(sheets(small), 5500), Left: 0}}, "-1 @ 7400, OC-1 @ 100"},
		{"a size that the shop file lacks", []Held{{Lot: priced(odd, 9000), Left: One}}, "1 @ 9000, -1 @ 7400, 12 @ 5000, OC-1 @ 100"},
		{"an offcut counts by its area", []Held{{Lot: Lot{Key: piece}, Left: One}}, "OC-2 @ 300, -1 @ 7400, 12 @ 5000, OC-1 @ 100"},
		{"an offcut at a price", []Held{{Lot: priced(piece, 250), Left: One}}, "OC-2 @ 250, -1 @ 7400, 12 @ 5000, OC-1 @ 100"},
		{"an offcut of the shop file that was cut up", []Held{{Lot: Lot{Key: Key{Kind: Offcut, Item: "ply", Length: 700, Width: 300, Label: "OC-1"}}, Left: 0}}, "-1 @ 7400, 12 @ 5000"},
	} {
		to := &shop.Shop{Rates: shop.Rates{Offcut: 600}, Materials: []*shop.Material{{ID: "ply", Sheets: []shop.Sheet{large, small, known}}}}
		for i := range c.lots {
			c.lots[i].Number = int64(i + 1)
		}
		(&Stock{Lots: c.lots}).Offer(to)
		var got []string
		for _, s := range to.Materials[0].Sheets {
			name := s.Offcut
			if name == "" {
				name = fmt.Sprint(s.Stock)
			}
			got = append(got, fmt.Sprintf("%s @ %d", name, s.Price))
		}
		if got := strings.Join(got, ", "); got != c.want {
			t.Errorf("%s: %s, want %s", c.what, got, c.want)
		}
	}
}

func TestThicknessOfADelivery(t *testing.T) {
	folder, r := started(t)
	l := priced(birch, 7200)
	l.Thickness = 11_700 * measure.Micrometre
	done(t)(r.Receive(someone("note"), l, 2*One))
	j := plan(t, folder, r, 1)
	if len(j.Findings) != 1 || j.Findings[0].Text != "2 sheets on hand were measured 11.7 mm, and parts are made for 11.9 mm" {
		t.Errorf("findings %+v", j.Findings)
	}
}

func TestAClockThatJumpsBack(t *testing.T) {
	_, r := started(t)
	ok := done(t)
	later, earlier := someone("first"), someone("second")
	earlier.Time = earlier.Time.AddDate(-3, 0, 0)
	ok(r.Receive(later, priced(birch, 7400), One))
	ok(r.Count(earlier, Lot{Key: birch}, 0))
	entries, err := r.Entries()
	if err != nil {
		t.Fatal(err)
	}
	if entries[0].Reason != "first" || entries[1].Reason != "second" || entries[1].Time > entries[0].Time {
		t.Errorf("entries out of order: %+v", entries)
	}
	if _, err := r.Verify(); err != nil {
		t.Error(err)
	}
}

// Many goroutines, each with a register of its own, book at once; the first make it.
func TestManyAtOnce(t *testing.T) {
	folder := newShop(t)
	const many = 8
	var wg sync.WaitGroup
	errs := make([]error, many)
	for i := range many {
		wg.Go(func() {
			r, err := OpenOrCreate(folder)
			if err != nil {
				errs[i] = err
				return
			}
			_, err = r.Receive(someone("note"), priced(birch, 7400), One)
			errs[i] = errors.Join(err, r.Close())
		})
	}
	wg.Wait()
	if err := errors.Join(errs...); err != nil {
		t.Fatal(err)
	}
	r, err := Open(folder)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	if last, err := r.Verify(); err != nil || last.Sequence != many || left(t, r, birch) != many*One {
		t.Errorf("%d entries (%v), want %d", last.Sequence, err, many)
	}
}

// One batch taken by many at once is booked once.
func TestTakenByManyAtOnce(t *testing.T) {
	folder, r := started(t)
	done(t)(r.Receive(someone("note"), priced(birch, 7200), 4*One))
	j := plan(t, folder, r, 1)
	const many = 6
	var wg sync.WaitGroup
	errs := make([]error, many)
	for i := range many {
		wg.Go(func() {
			own, err := Open(folder)
			if err != nil {
				errs[i] = err
				return
			}
			_, err = own.Take(someone("cut"), j)
			errs[i] = errors.Join(err, own.Close())
		})
	}
	wg.Wait()
	booked := 0
	for _, err := range errs {
		if err == nil {
			booked++
		} else {
			says(t, err, "is booked out already, by entry 2")
		}
	}
	if booked != 1 || left(t, r, birch) != 3*One {
		t.Errorf("booked %d times, %s sheets left", booked, left(t, r, birch))
	}
}

// The file itself refuses what would book twice or below zero, whatever code asks for it.
func TestTheFileRefuses(t *testing.T) {
	_, r := started(t)
	done(t)(r.Receive(someone("note"), priced(birch, 7200), One))
	for _, c := range []struct {
		what, kind string
		body       booking
	}{
		{"more than there is", Counted, booking{Moves: []Move{{1, -2 * One}}}},
		{"a lot that is not there", Counted, booking{Moves: []Move{{7, One}}}},
		{"a label twice", Kept, booking{Lots: []Lot{{Number: 2, Key: Key{Label: "A"}}, {Number: 3, Key: Key{Label: "A"}}}}},
		{"an undoing of what is not there", Undone, booking{Undoes: 9}},
	} {
		_, err := r.book(someone("wrong"), c.kind, func(*sql.Tx, *Stock) (*booking, error) { return &c.body, nil })
		says(t, err, "constraint failed")
	}
	if last, err := r.Verify(); err != nil || last.Sequence != 1 {
		t.Errorf("%d entries, want 1: %v", last.Sequence, err)
	}
}

// What is written goes through a log of its own that is flushed with every change, and nothing may point at what is not there.
func TestHowTheFileIsKept(t *testing.T) {
	_, r := started(t)
	done(t)(r.Receive(someone("note"), priced(birch, 7200), One))
	for pragma, want := range map[string]string{"journal_mode": "wal", "synchronous": "2", "foreign_keys": "1", "user_version": fmt.Sprint(len(steps))} {
		var got string
		if err := r.db.QueryRow("PRAGMA " + pragma).Scan(&got); err != nil || got != want {
			t.Errorf("%s is %q (%v), want %q", pragma, got, err, want)
		}
	}
}

func TestAlteredEntriesAreFound(t *testing.T) {
	for alter, want := range map[string]string{
		"UPDATE entries SET user = 'Bob' WHERE seq = 1":                             "entry 1 is not as it was written",
		"UPDATE entries SET body = replace(body, '7400', '7300') WHERE seq = 1":     "entry 1 is not as it was written",
		"UPDATE entries SET time = '2020-01-01T00:00:00Z' WHERE seq = 2":            "entry 2 is not as it was written",
		"DELETE FROM moves WHERE seq = 2; DELETE FROM entries WHERE seq = 2":        "entry 3 is not as it was written",
		"UPDATE lots SET left = left + 1000":                                        "what is left of lot 1 is not what its entries say",
		"UPDATE moves SET quantity = 4000 WHERE seq = 2; UPDATE lots SET left=5000": "lot 1 is not what its entries say",
	} {
		_, r := started(t)
		for range 3 {
			done(t)(r.Receive(someone("note"), priced(birch, 7400), One))
		}
		if _, err := r.Verify(); err != nil {
			t.Fatal(err)
		}
		if _, err := r.db.Exec("PRAGMA foreign_keys = 0; " + alter); err != nil {
			t.Fatal(err)
		}
		_, err := r.Verify()
		says(t, err, want)
	}
}

// copied exports a register and rebuilds it in another shop.
func exported(t *testing.T, r *Register) string {
	t.Helper()
	to := t.TempDir()
	err := r.Export(func(name string, content func(io.Writer) error) error {
		var b bytes.Buffer
		path := filepath.Join(to, filepath.FromSlash(name))
		return errors.Join(content(&b), os.MkdirAll(filepath.Dir(path), 0o755), os.WriteFile(path, b.Bytes(), 0o644))
	})
	if err != nil {
		t.Fatal(err)
	}
	return to
}

func TestExportedAndRebuilt(t *testing.T) {
	folder, r := started(t)
	ok := done(t)
	ok(r.Receive(someone("note <1> & \u2028 more"), priced(birch, 7200), 4*One))
	ok(r.Keep(someone("found"), Lot{Key: Key{Kind: Offcut, Item: "birch-12", Length: measure.Metre, Width: measure.Metre, Label: "Ä <1>"}, Place: "rack"}))
	if _, err := r.Take(someone("cut"), plan(t, folder, r, 2)); err != nil {
		t.Fatal(err)
	}
	ok(r.Undo(someone("not cut"), 0))
	export := exported(t, r)

	_, err := Rebuild(folder, export)
	says(t, err, "file already exists")

	fresh := newShop(t)
	last, err := Rebuild(fresh, export)
	if err != nil || last.Sequence != 4 {
		t.Fatalf("rebuilt to entry %d: %v", last.Sequence, err)
	}
	again, err := Open(fresh)
	if err != nil {
		t.Fatal(err)
	}
	defer again.Close()
	for _, same := range []func(*Register) (any, error){
		func(r *Register) (any, error) { return r.Entries() },
		func(r *Register) (any, error) { return r.Stock() },
		func(r *Register) (any, error) { return r.StockAfter(3) },
		func(r *Register) (any, error) { return r.Verify() },
	} {
		want, err1 := same(r)
		got, err2 := same(again)
		if diff := cmp.Diff(want, got); diff != "" || err1 != nil || err2 != nil {
			t.Errorf("the register rebuilt differs: %v %v\n%s", err1, err2, diff)
		}
	}
	if !bytes.Equal(readAll(t, export, exportFile), readAll(t, exported(t, again), exportFile)) {
		t.Error("its own export differs")
	}
}

func readAll(t *testing.T, elements ...string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(elements...))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// A line of an export that was changed is named, and no register comes to be.
func TestRebuildRefuses(t *testing.T) {
	_, r := started(t)
	for range 2 {
		done(t)(r.Receive(someone("note"), priced(birch, 7400), One))
	}
	export := exported(t, r)
	good := string(readAll(t, export, exportFile))
	lines := strings.SplitAfter(good, "\n")
	for _, c := range []struct{ what, text, want string }{
		{"another user", strings.Replace(good, "Ada", "Bob", 1), "register.jsonl:2: damaged: entry 1 is not as it was written"},
		{"a line left out", lines[0] + lines[2], "register.jsonl:2: damaged: entry 2 is not as it was written, or one before it is missing"},
		{"half a line", good[:len(good)-40], "register.jsonl:3: unexpected end of JSON input"},
		{"another format", strings.Replace(good, exportFormat, "other", 1), "register.jsonl:1: the first line does not say sawbook-register-1"},
	} {
		if err := os.WriteFile(filepath.Join(export, exportFile), []byte(c.text), 0o644); err != nil {
			t.Fatal(err)
		}
		fresh := newShop(t)
		_, err := Rebuild(fresh, export)
		says(t, err, c.want)
		if left, err := filepath.Glob(filepath.Join(fresh, "*register*")); err != nil || len(left) > 0 {
			t.Errorf("%s: left behind: %v %v", c.what, left, err)
		}
	}
}

// A file that this sawbook does not understand is refused by a text that says what to do, and keeps every byte.
func TestFilesThatAreRefused(t *testing.T) {
	for _, c := range []struct {
		what, want string
		spoil      func(t *testing.T, path string)
	}{
		{"newer", "is a register of version 99, and this sawbook knows up to", func(t *testing.T, path string) { execute(t, path, "PRAGMA user_version = 99") }},
		{"another program's", "belongs to another program", func(t *testing.T, path string) { execute(t, path, "PRAGMA application_id = 7") }},
		{"no database", "is no register, or a damaged one", func(t *testing.T, path string) { write(t, path, bytes.Repeat([]byte("text "), 2000)) }},
		{"cut off", "is no register, or a damaged one", func(t *testing.T, path string) { b := readAll(t, path); write(t, path, b[:len(b)/2]) }},
		{"overwritten in the middle", "is no register, or a damaged one", func(t *testing.T, path string) {
			b := readAll(t, path)
			copy(b[4096:], bytes.Repeat([]byte{0xAA}, len(b)-4096))
			write(t, path, b)
		}},
	} {
		t.Run(c.what, func(t *testing.T) {
			folder := newShop(t)
			r, err := OpenOrCreate(folder)
			if err != nil {
				t.Fatal(err)
			}
			done(t)(r.Receive(someone("note"), priced(birch, 7400), One))
			if err := r.Close(); err != nil {
				t.Fatal(err)
			}
			path := filepath.Join(folder, FileName)
			c.spoil(t, path)
			before := readAll(t, path)
			if r, err = OpenOrCreate(folder); err == nil {
				_, err = r.Receive(someone("note"), priced(birch, 7400), One)
				r.Close()
			}
			says(t, err, c.want)
			says(t, err, "nothing was changed")
			if !bytes.Equal(before, readAll(t, path)) {
				t.Error("the file was changed")
			}
		})
	}
}

func write(t *testing.T, path string, b []byte) {
	t.Helper()
	if err := os.WriteFile(path, b, 0o644); err != nil {
		t.Fatal(err)
	}
}

func execute(t *testing.T, path, query string) {
	t.Helper()
	r, err := open(path)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := r.db.Exec(query); err != nil {
		t.Fatal(err)
	}
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
}
