package cabinets

import "math"

// weigh works out the mass of each part.
func (e *expansion) weigh() {
	for i := range e.solid.Parts {
		p := &e.solid.Parts[i]
		p.Mass = p.mass()
	}
}

// mass is that of the sheet, less what is machined away, and of its bands: of the mass under a groove, its
// share of the thickness. Where features cross, what they share is taken off twice.
//
// Here and below, products are rounded before they are added: fused, they would differ
// from machine to machine.
func (p *Part) mass() float64 {
	area := p.Length.MM() * p.Width.MM()
	for i := range p.Features {
		f := &p.Features[i]
		gone := f.Box.Size(X).MM() * f.Box.Size(Y).MM()
		if f.Kind == Hole || f.Kind == EdgeHole {
			gone *= math.Pi / 4
		}
		area -= float64(gone * (f.Box.Size(Z).MM() / p.Material.Thickness.MM()))
	}
	kg := p.Material.SheetMass(max(area, 0) / 1e6)
	for i := range p.Edges {
		kg += p.bandMass(&p.Edges[i])
	}
	return kg
}

// bandMass is the mass in kg of the band or lipping of an edge, as wide as the part is thick
// and as long as the edge as cut.
func (p *Part) bandMass(e *Edge) float64 {
	if e.Treatment == nil || e.Treatment.Band == nil {
		return 0
	}
	b := e.Treatment.Band
	wide := min(b.Width, p.Material.Thickness)
	return float64(b.Thickness.MM() * wide.MM() * e.Length.MM() / 1e9 * b.Density)
}

// Mass returns the mass in kg of parts and hardware, and its centre in mm. Hardware
// counts at the middle of the outside, a part at the middle of its box.
func (s *Solid) Mass() (kg float64, centre [3]float64) {
	add := func(mass float64, at Box) {
		kg += mass
		for a := range centre {
			centre[a] += float64(mass * (at.Lo[a] + at.Hi[a]).MM() / 2)
		}
	}
	for i := range s.Parts {
		add(s.Parts[i].Mass, s.Parts[i].Snapped)
	}
	for i := range s.Hardware {
		add(s.Hardware[i].Mass(), s.Outside)
	}
	if kg > 0 {
		for a := range centre {
			centre[a] /= kg
		}
	}
	return kg, centre
}
