package cabinets

import (
	"slices"
	"strings"
	"testing"

	"sawbook/cabinets/library"
	"sawbook/cabinets/source"
)

// FuzzDefinition reads whatever it is given and expands what can be read. It must not
// fail, and what it tells must be fit to print.
func FuzzDefinition(f *testing.F) {
	for _, text := range []string{plank, box, carcass} {
		f.Add(text)
	}
	files, err := library.Files.ReadDir(".")
	if err != nil {
		f.Fatal(err)
	}
	for _, file := range files {
		text, err := library.Files.ReadFile(file.Name())
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(text))
	}
	s := bench()
	boxes := []*Definition{read(f, box), read(f, strings.Replace(box, "cabinet: box", "cabinet: drawer-box", 1))}
	f.Fuzz(func(t *testing.T, text string) {
		d, faults := readFaults(text, boxes...)
		for _, fault := range faults {
			if strings.TrimSpace(fault) == "" || strings.Contains(fault, "%!") {
				t.Errorf("a fault reads %q", fault)
			}
		}
		solid, err := Expand(s, d, Choice{})
		if err != nil {
			return
		}
		Pieces(s, standing(solid))
		if len(faults) > 0 {
			return
		}
		if slices.ContainsFunc(solid.Findings, func(f Finding) bool { return f.Text == "" && len(d.Checks) == 0 }) {
			t.Errorf("an empty finding among %v", solid.Findings)
		}
		for i := range solid.Parts {
			if p := &solid.Parts[i]; p.Length <= 0 || p.Width <= 0 || p.Mass < 0 {
				t.Errorf("%s is %s x %s and weighs %g", p.Name, p.Length.Exact(), p.Width.Exact(), p.Mass)
			}
		}
	})
}

// wrenAlone is an interior for parts of solids that stand alone.
var wrenAlone = &Interior{Layout: &Layout{Name: "Wren"}}

// standing lists the parts of a solid that stands alone.
func standing(s *Solid) (parts []Standing) {
	for i := range s.Parts {
		parts = append(parts, Standing{&s.Parts[i], Place{wrenAlone, "", s.Parts[i].Name, 1}})
	}
	return parts
}

// BenchmarkExpand expands each built-in cabinet at its defaults.
func BenchmarkExpand(b *testing.B) {
	s := bench()
	k := libraryOnly(b)
	for _, name := range k.Names() {
		d := k.Lookup(name)
		for _, role := range d.Roles {
			if s.Roles[role.Name].Material == nil {
				s.Roles[role.Name] = s.Roles["carcass"]
			}
		}
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Expand(s, d, Choice{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkPieces gathers the parts of a hundred vehicles of two drawer banks each.
func BenchmarkPieces(b *testing.B) {
	s := bench()
	solid := expand(b, s, libraryOnly(b).Lookup("drawer-bank"), nil)
	var parts []Standing
	for range 200 {
		parts = append(parts, standing(solid)...)
	}
	b.ReportAllocs()
	for b.Loop() {
		if n := len(Pieces(s, parts)); n == 0 {
			b.Fatal("no pieces")
		}
	}
}

// libraryOnly returns the built-in cabinets.
func libraryOnly(t testing.TB) *Catalogue {
	var c source.Collector
	k := NewCatalogue(&c, t.TempDir())
	for _, name := range k.Names() {
		k.Lookup(name)
	}
	if err := c.Err(); err != nil {
		t.Fatal(err)
	}
	return k
}
