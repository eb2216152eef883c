package cabinets

import (
	"math"

	"sawbook/cabinets/shop"
)

// Coat is what a finish covers of a part, in m2 of one coat.
type Coat struct {
	Finish       *shop.Finish
	Faces, Edges float64
}

// coat works out what of each part is finished: both faces but for what is cut out or
// glued to a neighbour, and the edges that stay open and get no band.
func (e *expansion) coat() {
	for i := range e.solid.Parts {
		p, m := &e.solid.Parts[i], &e.made[i]
		p.coat(m.fill.Finish, p.faceArea(), 0)
		p.coat(m.fill.EdgeFinish, 0, p.openArea())
	}
}

// coat adds to what a finish covers; nil is none.
func (p *Part) coat(f *shop.Finish, faces, edges float64) {
	if f == nil {
		return
	}
	if n := len(p.Coats); n == 0 || p.Coats[n-1].Finish != f {
		p.Coats = append(p.Coats, Coat{Finish: f})
	}
	last := &p.Coats[len(p.Coats)-1]
	last.Faces += faces
	last.Edges += edges
}

// faceArea returns the area in m2 of both faces, less what is glued to neighbours and what is
// cut out. What enters a groove masks it.
func (p *Part) faceArea() float64 {
	area := float64(2*p.Length.MM()*p.Width.MM()) - p.Glued[0] - p.Glued[1]
	for i := range p.Features {
		f := &p.Features[i]
		gone := f.Box.Size(X).MM() * f.Box.Size(Y).MM()
		switch {
		case f.Kind == Groove:
			continue
		case f.Kind == Hole:
			gone *= math.Pi / 4
		}
		if f.Box.Lo[Z] <= 0 {
			area -= gone
		}
		if f.Box.Hi[Z] >= p.Material.Thickness {
			area -= gone
		}
	}
	return max(area, 0) / 1e6
}

// openArea returns the area in m2 of the open edges without a band.
func (p *Part) openArea() (area float64) {
	for _, edge := range p.Edges {
		if edge.Treatment != nil && edge.Treatment.Band == nil {
			area += float64(edge.Open.MM() * p.Material.Thickness.MM())
		}
	}
	return area / 1e6
}
