package cabinets

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
)

const mm = measure.Millimetre

// bench returns a shop with three materials, a band, slides and a latch.
func bench() *shop.Shop {
	birch := &shop.Material{ID: "birch", Nominal: 12 * mm, Thickness: 11_900_000, Density: 695, Grain: true, GoodFaces: 2}
	thin := &shop.Material{ID: "thin", Nominal: 6_500_000, Thickness: 6_400_000, Density: 670, Grain: true, GoodFaces: 1}
	plain := &shop.Material{ID: "plain", Nominal: 18 * mm, Thickness: 18 * mm, Density: 600}
	oak := &shop.Band{ID: "oak-2", Thickness: 2 * mm, Width: 23 * mm}
	lengths := func(list ...measure.Length) (out []shop.SlideLength) {
		for _, l := range list {
			out = append(out, shop.SlideLength{Length: l * mm, Mass: l.MM() * 1e6 / 500})
		}
		return out
	}
	return &shop.Shop{
		Materials: []*shop.Material{birch, thin, plain},
		Bands:     []*shop.Band{oak},
		Roles: map[string]shop.Fill{
			"carcass": {Material: birch}, "drawer": {Material: birch},
			"back": {Material: thin}, "bottom": {Material: thin},
			"front": {Material: plain, Edges: shop.Treatment{Band: oak}}, "lid": {Material: plain},
		},
		Felt: shop.Felt{Width: 19 * mm, Pressed: 1_500_000, Narrow: 60 * mm},
		Saw:  shop.Saw{Step: 500_000},
		Hardware: []*shop.Hardware{
			{ID: "slide-100", Name: "Heavy slide", Kind: "slide", Side: 19 * mm, Load: 100, Lengths: lengths(400, 500, 600)},
			{ID: "slide-45", Name: "Side-mount slide", Kind: "slide", Side: 12_700_000, Load: 45, Lengths: lengths(250, 300, 350, 400, 450, 500)},
			{ID: "slide-60", Name: "Stout slide", Kind: "slide", Side: 12_700_000, Load: 60, Lengths: lengths(250, 300, 350, 400, 450, 500)},
			{ID: "latch", Name: "Push latch", Kind: "latch", Mass: 0.06},
			{ID: "hinge", Name: "Hinge", Kind: "hinge", Mass: 0.1},
		},
	}
}

// read reads a definition; others are those it may use.
func read(t rapid.TB, text string, others ...*Definition) *Definition {
	t.Helper()
	d, faults := readFaults(text, others...)
	if len(faults) > 0 {
		t.Fatalf("%s\nin\n%s", strings.Join(faults, "\n"), text)
	}
	return d
}

// readFaults reads a definition and returns the faults as line:column: text; hint.
func readFaults(text string, others ...*Definition) (*Definition, []string) {
	var c source.Collector
	d := ReadDefinition(source.Read(&c, "test.yaml", strings.NewReader(text)), func(n source.Node) *Definition {
		at := slices.IndexFunc(others, func(d *Definition) bool { return d.Name == n.Text() })
		if at < 0 {
			n.Fault("no such cabinet", "")
			return nil
		}
		return others[at]
	})
	return d, told(&c)
}

// told writes the faults collected as line:column: text; hint.
func told(c *source.Collector) (list []string) {
	var faults source.Faults
	if errors.As(c.Err(), &faults) {
		for _, f := range faults {
			list = append(list, fmt.Sprintf("%d:%d: %s; %s", f.Line, f.Column, f.Text, f.Hint))
		}
	}
	return list
}

// expand expands a definition, which must be possible.
func expand(t rapid.TB, s *shop.Shop, d *Definition, sizes map[string]measure.Length) *Solid {
	t.Helper()
	solid, err := Expand(s, d, Choice{Sizes: sizes})
	if err != nil {
		t.Fatal(err)
	}
	return solid
}

// sound expands a definition that must have no findings.
func sound(t testing.TB, s *shop.Shop, text string) *Solid {
	t.Helper()
	solid := expand(t, s, read(t, text), nil)
	for _, f := range solid.Findings {
		t.Errorf("%s: %s: %s", f.Level, f.Where, f.Text)
	}
	return solid
}

// part returns the part of a name.
func part(t rapid.TB, s *Solid, name string) *Part {
	t.Helper()
	for i := range s.Parts {
		if s.Parts[i].Name == name {
			return &s.Parts[i]
		}
	}
	t.Fatalf("there is no part %s", name)
	return nil
}
