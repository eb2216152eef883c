package source

import (
	"strings"
	"testing"
)

const edited = `# the long one
layout: Curlew
cabinets:
  # along the far wall
  bank-1:
    cabinet: drawer-bank
    sizes: {width: 600 mm, depth: 550 mm} # as the slides want it
    roles: {}
  locker:
    cabinet: shelf-unit
    sizes:
      width: "23 1/2 in"   # to the wheel box
      depth: 500 mm
    holds: &can {width: 250 mm}
  can: {cabinet: cubby, holds: *can}
`

// A value is changed where it stands, or put in; comments and order stay.
func TestSet(t *testing.T) {
	for _, c := range []struct{ path, value, old, new string }{
		{"cabinets.bank-1.sizes.width", "640 mm", "{width: 600 mm,", "{width: 640 mm,"},
		{"cabinets.bank-1.sizes.height", "900 mm", "sizes: {width: 600", "sizes: {height: 900 mm, width: 600"},
		{"cabinets.bank-1.roles.front.material", "birch-15", "roles: {}", "roles: {front: {material: birch-15}}"},
		{"cabinets.locker.sizes.width", "24 in", `width: "23 1/2 in"   #`, "width: 24 in   #"},
		{"cabinets.locker.sizes.shelves", "3", "      width: \"23", "      shelves: 3\n      width: \"23"},
		{"cabinets.can.sizes.width", "300 mm", "can: {cabinet", "can: {sizes: {width: 300 mm}, cabinet"},
		{"about", "a van", "layout: Curlew", "about: a van\nlayout: Curlew"},
	} {
		want := strings.Replace(edited, c.old, c.new, 1)
		if got, err := Set(edited, strings.Split(c.path, "."), c.value); err != nil || got != want {
			t.Errorf("%s: %v\n%s", c.path, err, got)
		}
	}
}

// What stands for several places, or what the text would say otherwise, is left alone.
func TestSetLeavesAlone(t *testing.T) {
	for path, value := range map[string]string{
		"cabinets.can.holds.width":     "260 mm", // an alias
		"cabinets.locker.holds.width":  "260 mm", // what the alias names
		"cabinets.bank-1.sizes":        "none",   // a mapping
		"cabinets.bank-1.sizes.height": "900 mm, depth: 1 mm",
		"layout.of":                    "x",
	} {
		if got, err := Set(edited, strings.Split(path, "."), value); err == nil {
			t.Errorf("%s is set:\n%s", path, got)
		}
	}
}

// A key gets another name, or goes with its value; what stands around it stays.
func TestRenameAndDelete(t *testing.T) {
	path := func(text string) []string { return strings.Split(text, ".") }
	for _, c := range []struct{ path, name, old, new string }{
		{"cabinets.bank-1.sizes.depth", "deep", "600 mm, depth: 550", "600 mm, deep: 550"},
		{"cabinets.bank-1.sizes.width", "", "{width: 600 mm, depth", "{depth"},
		{"cabinets.bank-1.sizes.depth", "", "600 mm, depth: 550 mm}", "600 mm}"},
		{"cabinets.locker.sizes.width", "wide", "width: \"23", "wide: \"23"},
		{"cabinets.locker.sizes.width", "", "      width: \"23 1/2 in\"   # to the wheel box\n", ""},
	} {
		got, err := Delete(edited, path(c.path))
		if c.name != "" {
			got, err = Rename(edited, path(c.path), c.name)
		}
		if want := strings.Replace(edited, c.old, c.new, 1); err != nil || got != want {
			t.Errorf("%s: %v\n%s", c.path, err, got)
		}
	}
	if got, err := Delete("sizes: {web: 60 mm}\n", path("sizes.web")); err != nil || got != "sizes: {}\n" {
		t.Errorf("the only key: %v\n%s", err, got)
	}
	for _, of := range []string{"cabinets.can.holds.width", "cabinets.locker.holds.width", "cabinets.none.at"} {
		if got, err := Rename(edited, path(of), "width: 3"); err == nil {
			t.Errorf("%s is renamed:\n%s", of, got)
		}
		if got, err := Delete(edited, path(of)); err == nil {
			t.Errorf("%s is deleted:\n%s", of, got)
		}
	}
	if got, err := Rename(edited, path("cabinets.locker.sizes.width"), "depth"); err == nil {
		t.Errorf("a key stands twice:\n%s", got)
	}
	if got, err := Delete("a:\n  b: 1\nc: 2\n", path("a.b")); err == nil {
		t.Errorf("nothing is left:\n%s", got)
	}
}
