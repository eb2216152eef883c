package batch

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"sawbook/nest"
)

// TestAlike: two layouts share a board of 450 mm; one has another of 498 mm, the other of 500. A board of 500 and one of 498 lie on one
// sheet of 1000 mm, at two stops; made one, at one stop.
func TestAlike(t *testing.T) {
	files := map[string]string{}
	for name, text := range boards {
		files[name] = text
	}
	files["layouts/two.yaml"] = strings.Replace(boards["layouts/two.yaml"], "right: {cabinet: board,", "right: {cabinet: board, sizes: {width: 498 mm},", 1)
	files["layouts/three.yaml"] = strings.NewReplacer("right: {cabinet: board,", "right: {cabinet: board, sizes: {width: 500 mm},", "layout: Two", "layout: Three").Replace(boards["layouts/two.yaml"])
	files["batches/both.yaml"] = "batch: both\nvehicles:\n  - {layout: two, serials: [1]}\n  - {layout: three, serials: [2]}\n"
	f := shopOf(t, files)
	b := f.Load(filepath.Join(f.Root, "batches/both.yaml"), nil)
	if err := f.Err(); err != nil {
		t.Fatal(err)
	}
	a, err := FindAlike(context.Background(), b, Options{Effort: nest.Quick})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, p := range a.Shared {
		got = append(got, fmt.Sprint("shared ", p.Length.MM(), " ", p.Count))
	}
	for _, n := range a.Near {
		got = append(got, fmt.Sprint("near ", n.A.Length.MM(), " ", n.B.Length.MM(), " ", n.Settings, " settings ", n.Sheets, " sheets"))
	}
	if want := "shared 450 2, near 500 498 1 settings 0 sheets"; strings.Join(got, ", ") != want {
		t.Errorf("got %s, want %s", strings.Join(got, ", "), want)
	}
	if a.More != 0 {
		t.Errorf("%d pairs were not tried", a.More)
	}
}
