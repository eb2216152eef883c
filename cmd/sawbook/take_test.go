package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A batch is booked out, then a sheet of it turns out bad: taking it again books what is cut beyond what was booked, under
// who took it and why, also in a register that is rebuilt, and undoing that brings the stock of before back. Of sheets that were never received the shop file
// kept count.
func TestTakeAgain(t *testing.T) {
	shop, err := filepath.Abs(filepath.Join(refusalFolder, "shop"))
	if err != nil {
		t.Fatal(err)
	}
	const sheet = "      - {size: 2500 x 1250 mm, grain: length, price: 74.00, stock: 4}\n"
	for _, c := range []struct {
		name, received, sheets   string
		takes, once, again, left string
	}{
		{"received", "stock receive birch-12 5", sheet,
			"2500 x 1250", "5", "3", "2500   1250  length            3     sheets"},
		{"in the shop file", "", sheet,
			"2500 x 1250", "4", "2", "2500   1250  length            2     sheets"},
		{"the recut takes another size", "", strings.Replace(sheet, "4}", "1}\n      - {size: 2440 x 1220 mm, grain: length, price: 99.00, stock: 3}", 1),
			"2440 x 1220", "1", "2", "2440   1220  length            2     sheets"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Chdir(t.TempDir())
			if err := os.CopyFS(".", os.DirFS(shop)); err != nil {
				t.Fatal(err)
			}
			write(t, "shop.yaml", strings.Replace(read(t, "shop.yaml"), sheet, c.sheets, 1))
			call := func(line string) string { return sawbook(t, exitDone, strings.Fields(named(t, line))...) }
			entry := 4
			if c.received != "" {
				call(c.received)
				entry++
			}
			call("cut batches/one.yaml")
			call("saw batches/one.yaml out/{cut}")
			call("stock take batches/one.yaml out/{cut}")
			before := call("stock list")
			answerTo(t, "POST /saw/recut id=abcdefgh&cutting={cut}&sheet=0/A1/1")

			got := call("stock take batches/one.yaml out/{cut} --user Ada --reason knots")
			want := named(t, fmt.Sprintf("entry %d: {cut} booked out before, now with 1 recut since\n  1 sheet of birch-12 %s mm\n", entry, c.takes))
			if !strings.HasPrefix(got, want) {
				t.Errorf("it says\n%s\nwant at first\n%s", got, want)
			}
			history := call("stock history")
			for _, part := range []string{"Ada", "knots", named(t, "{cut} up to recut 1")} {
				if !strings.Contains(history, part) {
					t.Errorf("the history does not say %q:\n%s", part, history)
				}
			}
			after := call("stock list")
			if !strings.Contains(after, c.left) {
				t.Errorf("the stock is\n%s\nwant %q", after, c.left)
			}
			call("stock export kept")
			if err := os.Remove("register.db"); err != nil {
				t.Fatal(err)
			}
			call("stock rebuild kept")
			if rebuilt := call("stock list"); rebuilt != after {
				t.Errorf("rebuilt from its export the stock is\n%s\nwant\n%s", rebuilt, after)
			}
			call(fmt.Sprint("stock undo ", entry, " --reason again"))
			if after := call("stock list"); after != before {
				t.Errorf("once that is undone the stock is\n%s\nwant\n%s", after, before)
			}
		})
	}
}
