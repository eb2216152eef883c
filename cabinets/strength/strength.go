// Package strength estimates how boards bend. It is a leaf of plain numbers: N, mm and
// N/mm2. What it says is for shelves, benches and beds at rest, no proof of strength and
// nothing about a vehicle in a crash.
package strength

import "math"

// Gravity is the standard acceleration in m/s2.
const Gravity = 9.80665

// Creep is by how much a board sags more in the long run, as a share of what it sags at
// once: kdef of plywood of EN 636-1 (dry), EN 1995-1-1 table 3.2.
const Creep = 0.80

// Board is a board on two supports.
type Board struct {
	Span      float64 // mm, between the supports
	Width     float64 // mm, across the span
	Thickness float64 // mm
	E         float64 // modulus of elasticity along the span, N/mm2
}

// Inertia is the second moment of area of its section, b t^3/12, in mm4.
func (b Board) Inertia() float64 { return b.Width * b.Thickness * b.Thickness * b.Thickness / 12 }

// Sag is how far its middle sags at once under a load of so many N, spread evenly:
// 5 W L^3/(384 E I), in mm. Of the Wood Handbook's equation 8-2 (USDA, chapter 8) this is the
// part of bending; that of shear is left out, as boards are thin.
func (b Board) Sag(load float64) float64 {
	return 5.0 / 384.0 * load * b.Span * b.Span * b.Span / (b.E * b.Inertia())
}

// Limit is how far a span may sag.
type Limit struct {
	Of   float64 // the span divided by this
	Most float64 // mm; 0 is no limit besides
	Name string  // where it is from
}

// Limits are those of published shelf tests and tables.
var (
	// Shelf is 1/16 in to the foot, and 1/4 in at most (ANSI/KCMA A161.1).
	Shelf = Limit{Of: 192, Most: 6.35, Name: "ANSI/KCMA A161.1"}
	// Table is that of the span tables of the Architectural Woodwork Standards, 2009, 4.4.14.10.
	Table = Limit{Of: 144, Name: "Architectural Woodwork Standards 2009"}
)

// Over is how far a span may sag, in mm.
func (l Limit) Over(span float64) float64 {
	most := span / l.Of
	if l.Most > 0 {
		most = min(most, l.Most)
	}
	return most
}

// Plywood is a panel of veneers of equal thickness, laid crosswise, the outer ones along
// the face grain, sanded on both faces.
type Plywood struct {
	Plies          int     // odd
	Veneer, Sanded float64 // mm: thickness of a veneer, and what is sanded off each face
	E              float64 // of a ply along its grain, N/mm2; across it counts as 0
}

// Birch is birch plywood of so many plies: 1.4 mm veneers, 0.3 mm sanded off each face, E 17 500
// N/mm2 (Handbook of Finnish Plywood, from memory).
func Birch(plies int) Plywood { return Plywood{Plies: plies, Veneer: 1.4, Sanded: 0.3, E: 17_500} }

// Thickness is that of the sanded panel, in mm.
func (p Plywood) Thickness() float64 { return float64(p.Plies)*p.Veneer - 2*p.Sanded }

// Moduli returns the panel's modulus of elasticity in bending along and across the face
// grain, sum(E_i I_i)/I, in N/mm2.
func (p Plywood) Moduli() (along, across float64) {
	half := p.Thickness() / 2
	whole := 2 * half * half * half / 3 // of a strip 1 mm wide
	parallel := 0.0
	for i := 0; i < p.Plies; i += 2 {
		lo := max(float64(float64(i)*p.Veneer)-p.Sanded-half, -half)
		hi := min(float64(float64(i+1)*p.Veneer)-p.Sanded-half, half)
		parallel += (hi*hi*hi - lo*lo*lo) / 3
	}
	share := parallel / whole
	return p.E * share, p.E * (1 - share)
}

// PliesOf returns how many plies come nearest to a thickness: an odd number, 3 or more.
func PliesOf(thickness, veneer, sanded float64) int {
	n := int(math.Round((thickness + 2*sanded) / veneer))
	if n%2 == 0 {
		// The nearer of the odd neighbours.
		if (float64(n)*veneer - 2*sanded) < thickness {
			n++
		} else {
			n--
		}
	}
	return max(n, 3)
}
