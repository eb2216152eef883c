package shop

import (
	"fmt"
	"maps"

	"sawbook/cabinets/source"
)

// Bare is what stands for the treatment of an edge that gets no band.
const Bare = "bare"

// Fill is what a role is made of.
type Fill struct {
	Material *Material
	Edges    Treatment
}

// Treatment is what an open edge gets: a band, or, where Band is nil, it is left bare
// and sealed.
type Treatment struct{ Band *Band }

// String returns the band's id, or "bare".
func (t Treatment) String() string {
	if t.Band == nil {
		return Bare
	}
	return t.Band.ID
}

// Refills change what fills roles; what is nil stays as it was.
type Refills map[string]struct {
	Material *Material
	Edges    *Treatment
}

// Refill returns the fills with the changes made one after another.
func Refill(fills map[string]Fill, changes ...Refills) map[string]Fill {
	filled := maps.Clone(fills)
	if filled == nil {
		filled = map[string]Fill{}
	}
	for _, change := range changes {
		for role, to := range change {
			fill := filled[role]
			if to.Material != nil {
				fill.Material = to.Material
			}
			if to.Edges != nil {
				fill.Edges = *to.Edges
			}
			filled[role] = fill
		}
	}
	return filled
}

// ReadRefills reads a mapping from roles to what fills them.
func (s *Shop) ReadRefills(n source.Node) Refills {
	refills := Refills{}
	for _, e := range n.Entries() {
		m := e.Value.Map("material", "edges")
		refill := refills[e.Name]
		refill.Material = s.readMaterial(m.Get("material"))
		if n := m.Get("edges"); !n.IsZero() {
			edges := s.readTreatment(n)
			refill.Edges = &edges
		}
		refills[e.Name] = refill
	}
	return refills
}

func (s *Shop) readMaterial(n source.Node) *Material {
	id := n.Text()
	material := s.Material(id)
	if material == nil && n.IsText() && len(s.Materials) > 0 { // none is a fault of its own
		known := make([]string, len(s.Materials))
		for i, m := range s.Materials {
			known[i] = m.ID
		}
		n.Fault(fmt.Sprintf("unknown material %q", id), source.Suggest(id, known))
	}
	return material
}

func (s *Shop) readTreatment(n source.Node) Treatment {
	id := n.Text()
	band := s.Band(id)
	if band == nil && n.IsText() && id != Bare {
		known := []string{Bare}
		for _, b := range s.Bands {
			known = append(known, b.ID)
		}
		n.Fault(fmt.Sprintf("unknown edge band %q", id), source.Suggest(id, known))
	}
	return Treatment{Band: band}
}
