package cabinets

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sawbook/cabinets/source"
)

func TestCatalogue(t *testing.T) {
	named := func(name string) string { return strings.Replace(plank, "cabinet: plank", "cabinet: "+name, 1) }
	uses := func(name, other string) string {
		return named(name) + "uses: {other: {cabinet: " + other + ", at: {x: 0, y: 0, z: 0}}}\n"
	}
	folder := t.TempDir()
	for name, text := range map[string]string{
		"plank.yaml":      plank,
		"drawer-box.yaml": named("drawer-box"), // takes the place of the built-in one
		"renamed.yaml":    named("other"),
		"a.yaml":          uses("a", "b"),
		"b.yaml":          uses("b", "c"),
		"c.yaml":          uses("c", "a"),
		"empty.yaml":      "",
		"notes.txt":       "no cabinet",
	} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Mkdir(filepath.Join(folder, "folder.yaml"), 0o700); err != nil {
		t.Fatal(err)
	}

	var c source.Collector
	k := NewCatalogue(&c, folder)
	if names := k.Names(); !slices.IsSorted(names) || !slices.Contains(names, "pantry") || !slices.Contains(names, "plank") || slices.Contains(names, "notes") {
		t.Errorf("the names are %v", names)
	}
	if d := k.Lookup("drawer-box"); d == nil || len(d.Parts) != 1 {
		t.Errorf("the shop's own drawer-box is not the one that is found: %v", d)
	}
	first := k.Lookup("plank")
	if again := k.Lookup("plank"); again != first {
		t.Error("a cabinet is read twice")
	}
	if d := k.Lookup("plonk"); d != nil {
		t.Errorf("there is a plonk: %v", d)
	}
	if err := c.Err(); err != nil {
		t.Fatal(err)
	}

	at := source.Read(&c, "layout.yaml", strings.NewReader("plonk"))
	if d := k.Find(at); d != nil {
		t.Errorf("found %v", d)
	}
	for _, name := range []string{"renamed", "a", "empty", "folder"} {
		if d := k.Lookup(name); d == nil && name != "folder" {
			t.Errorf("%s is not there at all", name)
		}
	}
	want := []string{
		"9:25: the cabinet is used within itself: a > b > c > a; a cabinet cannot hold itself",
		"0:0: is empty; see the examples in the guide",
		"0:0: cannot be read: is a directory; check the path and its permissions",
		`1:1: unknown cabinet "plonk"; did you mean "plank"?`,
		`1:10: the cabinet is called "other", its file renamed.yaml; give both the same name`,
	}
	got := told(&c)
	slices.Sort(got)
	slices.Sort(want)
	if !slices.Equal(got, want) {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// TestCatalogueWithoutFolder finds the built-in cabinets alone.
func TestCatalogueWithoutFolder(t *testing.T) {
	var c source.Collector
	k := NewCatalogue(&c, filepath.Join(t.TempDir(), "none"))
	if d := k.Lookup("pantry"); d == nil || d.Name != "pantry" {
		t.Errorf("got %v", d)
	}
	if err := c.Err(); err != nil {
		t.Error(err)
	}
}
