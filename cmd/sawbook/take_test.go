package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A batch is booked out, then a sheet of it turns out bad: taking it again books what is cut beyond what was booked, under
// who took it and why, and undoing that brings the stock of before back.
func TestTakeAgain(t *testing.T) {
	shop, err := filepath.Abs(filepath.Join(refusalFolder, "shop"))
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	if err := os.CopyFS(".", os.DirFS(shop)); err != nil {
		t.Fatal(err)
	}
	call := func(line string) string { return sawbook(t, exitDone, strings.Fields(named(t, line))...) }
	call("stock receive birch-12 4")
	call("cut batches/one.yaml")
	call("saw batches/one.yaml out/{cut}")
	call("stock take batches/one.yaml out/{cut}")
	before := call("stock list")
	answerTo(t, "POST /saw/recut id=abcdefgh&cutting={cut}&sheet=0/A1/1")

	got := call("stock take batches/one.yaml out/{cut} --user Ada --reason knots")
	want := named(t, `entry 5: {cut} booked out before, now with 1 recut since
  1 sheet of birch-12 2500 x 1250 mm
`)
	if !strings.HasPrefix(got, want) {
		t.Errorf("it says\n%s\nwant at first\n%s", got, want)
	}
	if history := call("stock history"); !strings.Contains(history, "Ada") || !strings.Contains(history, named(t, "{cut} up to recut 1")) || !strings.Contains(history, "knots") {
		t.Errorf("the history is\n%s", history)
	}
	if after := call("stock list"); after == before {
		t.Errorf("the stock stays\n%s", after)
	}
	call("stock undo 5 --reason again")
	if after := call("stock list"); after != before {
		t.Errorf("once that is undone the stock is\n%s\nwant\n%s", after, before)
	}
}
