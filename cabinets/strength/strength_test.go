package strength

import (
	"fmt"
	"math"
	"testing"
)

const (
	inch = 25.4        // mm, exactly
	psi  = 6894.757e-6 // N/mm2
	psf  = 47.88026e-6 // N/mm2
)

// TestSpansOfTheTable: shelf spans in inches at a sag of L/144, Architectural Woodwork Standards, 1st ed.
// 2009, section 4.4.14.10; they are printed in whole inches.
func TestSpansOfTheTable(t *testing.T) {
	for _, c := range []struct {
		e, thickness float64 // psi, in
		at40, at50   float64 // in, under 40 and 50 psf
	}{
		{950_000, 0.75, 40, 37}, {950_000, 1, 53, 49},
		{1_800_000, 0.75, 49, 46}, {1_800_000, 1, 66, 61},
		{1_820_000, 0.75, 49, 46}, {1_820_000, 1, 66, 61},
	} {
		for load, want := range map[float64]float64{40: c.at40, 50: c.at50} {
			got := longest(Board{Width: 300, Thickness: c.thickness * inch, E: c.e * psi}, load*psf, Table) / inch
			if math.Abs(got-want) >= 1 {
				t.Errorf("E %v psi, %v in, %v psf: %.2f in, want %v", c.e, c.thickness, load, got, want)
			}
		}
	}
}

// longest is the span at which a board under a load per mm2 sags as far as it may.
func longest(b Board, load float64, limit Limit) float64 {
	lo, hi := 0.0, 10_000.0
	for range 60 {
		b.Span = (lo + hi) / 2
		if b.Sag(load*b.Span*b.Width) > limit.Over(b.Span) {
			hi = b.Span
		} else {
			lo = b.Span
		}
	}
	return lo
}

// TestShelfInMillimetres: birch 18 mm, 17.6 mm thick, 300 mm deep, over 900 mm, E 10 048 N/mm2, under
// 718.2 Pa (15 psf, the shelf test of ANSI/KCMA A161.1); recomputed from the Wood Handbook's equation 8-2, kdef
// of EN 1995-1-1.
func TestShelfInMillimetres(t *testing.T) {
	b := Board{Span: 900, Width: 300, Thickness: 17.6, E: 10_048}
	load := 718.2e-6 * 900 * 300
	near(t, "inertia", b.Inertia(), 136_294, 0.5)
	near(t, "load per mm", load/900, 0.21546, 5e-6)
	near(t, "sag", b.Sag(load), 1.344, 5e-4)
	near(t, "sag in the long run", b.Sag(load)*(1+Creep), 2.419, 5e-4)
	near(t, "what it may", Shelf.Over(900), 4.6875, 1e-9)
	near(t, "what a long one may", Shelf.Over(2000), 6.35, 1e-9)
}

// TestBirch: the birch table of the Handbook of Finnish Plywood (from memory), recomputed by the layered
// model.
func TestBirch(t *testing.T) {
	for _, c := range []struct {
		plies                    int
		thickness, along, across float64
	}{
		{3, 3.6, 16471, 1029}, {5, 6.4, 12737, 4763}, {7, 9.2, 11395, 6105}, {9, 12.0, 10719, 6781}, {11, 14.8, 10316, 7184},
		{13, 17.6, 10048, 7452}, {15, 20.4, 9858, 7642}, {17, 23.2, 9717, 7783}, {19, 26.0, 9607, 7893}, {21, 28.8, 9519, 7981},
	} {
		p := Birch(c.plies)
		along, across := p.Moduli()
		name := fmt.Sprint(c.plies, " plies: ")
		near(t, name+"thickness", p.Thickness(), c.thickness, 1e-9)
		near(t, name+"along", along, c.along, 0.5)
		near(t, name+"across", across, c.across, 0.5)
		near(t, name+"sum", along+across, 17_500, 1e-6)
		if got := PliesOf(c.thickness, 1.4, 0.3); got != c.plies {
			t.Errorf("%v mm are %d plies, want %d", c.thickness, got, c.plies)
		}
	}
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if math.Abs(got-want) > within {
		t.Errorf("%s: %v, want %v within %v", what, got, want, within)
	}
}
