package migrate

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"sawbook/cabinets/source"

	"github.com/google/go-cmp/cmp"
)

// oldShop returns a copy of a shop as the tool of its day read it.
func oldShop(t *testing.T) string {
	t.Helper()
	root := t.TempDir()
	if err := os.CopyFS(root, os.DirFS(filepath.Join("..", "..", "testdata", "old", "0"))); err != nil {
		t.Fatal(err)
	}
	return root
}

func text(t *testing.T, path string) string {
	t.Helper()
	all, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(all)
}

// Names are replaced where they stand; comments, order and all else stay.
func TestOldShop(t *testing.T) {
	root := oldShop(t)
	layout := filepath.Join(root, "layouts", "plover.yaml")
	want := text(t, layout)
	for _, c := range [][2]string{
		{"layout: Plover", "sawbook: 1\nlayout: Plover"},
		{"lowest: 280 mm, highest: 130 mm}  # pans", "fronts-1: 280 mm, fronts-4: 130 mm}  # pans"},
		{"highest: 150 mm   # cutlery", "fronts-3: 150 mm   # cutlery"}, // of the three drawers of a bank that does not say how many
		{", web: 60 mm}", "}"},
		{"{lowest: 300 mm, highest: 120 mm}", "{fronts-1: 300 mm, fronts-4: 120 mm}"},
		{"{lowest: 250 mm}", "{fronts-1: 250 mm}"},
	} {
		if strings.Count(want, c[0]) != 1 {
			t.Fatalf("the old layout has %q %d times", c[0], strings.Count(want, c[0]))
		}
		want = strings.Replace(want, c[0], c[1], 1)
	}
	c := &source.Collector{}
	files := Plan(c, root)
	if err := c.Err(); err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, f := range files {
		names = append(names, f.Name)
	}
	if diff := cmp.Diff([]string{"shop.yaml", "cabinets/stack.yaml", "layouts/plover.yaml", "batches/summer.yaml"}, names); diff != "" {
		t.Error(diff)
	}
	if text(t, layout) == want {
		t.Error("planning has written")
	}
	if err := Write(files); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, text(t, layout)); diff != "" {
		t.Error(diff)
	}
	if own := text(t, filepath.Join(root, "cabinets", "stack.yaml")); !strings.Contains(own, "drawers: 4, fronts-4: 150}") {
		t.Error(own)
	}
	if again := Plan(c, root); len(again) > 0 || c.Err() != nil {
		t.Errorf("the second time %d files change, %v", len(again), c.Err())
	}
}

// What cannot be changed, or is of a newer tool, is told with its place.
func TestRefused(t *testing.T) {
	for _, test := range []struct{ old, new, want string }{
		{"sizes: {lowest: 250 mm}", "sizes: &deep {lowest: 250 mm}", "options.more.add.bank-3.sizes.lowest is now fronts-1, and only an editor"},
		{"drawers: 4, lowest", "drawers: 2 + 2, lowest", "is now fronts-2 + 2, and only an editor"},
		{"layout: Plover", "sawbook: 2\nlayout: Plover", "this file has form 2, and this sawbook knows forms up to 1"},
		{"layout: Plover", "&all\nlayout: Plover", "sawbook: it is written in a way that only an editor can change"},
		{"layout: Plover", "layout: [Plover", "a list that is not closed"},
	} {
		root := oldShop(t)
		layout := filepath.Join(root, "layouts", "plover.yaml")
		changed := strings.Replace(text(t, layout), test.old, test.new, 1)
		if err := os.WriteFile(layout, []byte(changed), 0o600); err != nil {
			t.Fatal(err)
		}
		c := &source.Collector{}
		Plan(c, root)
		if err := c.Err(); err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s: %v", test.new, err)
		}
	}
}

// Where one file cannot be written, those before it get their text back.
func TestAllOrNone(t *testing.T) {
	root := oldShop(t)
	c := &source.Collector{}
	files := Plan(c, root)
	was := text(t, files[0].Path)
	if err := os.Remove(files[2].Path); err != nil {
		t.Fatal(err)
	}
	if err := Write(files); err == nil || !strings.HasPrefix(err.Error(), "no file was changed: ") {
		t.Errorf("a file that is gone: %v", err)
	}
	if now := text(t, files[0].Path); now != was {
		t.Errorf("the shop file is changed:\n%s", now)
	}
	if info, err := os.Stat(files[0].Path); err != nil || info.Mode().Perm()&0o077 == 0 {
		t.Errorf("who may read the shop file has changed: %v, %v", info.Mode(), err)
	}
	left, err := filepath.Glob(filepath.Join(root, "*"))
	if err != nil || len(left) != 4 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}
