package shop

import (
	"errors"
	"fmt"
	"maps"
	"strings"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
)

// Words for what an edge gets, besides the ids of bands.
const (
	Bare  = "bare"  // no band: sealed
	Round = "round" // rounded over, in place of bare or beside a band
)

// Fill is what a role is made of.
type Fill struct {
	Material *Material
	Edges    Treatment
	// Finish is what its faces get, EdgeFinish its open edges where no band covers them;
	// nil is nothing.
	Finish, EdgeFinish *Finish
	Joint              *Joint // nil is glue alone
}

// fillKeys are the keys of what fills a role.
var fillKeys = []string{"material", "edges", "deduct", "joint", "finish", "edge-finish"}

// Treatment is what an open edge gets: a band or a lipping, or, where Band is nil, it is
// left bare and sealed.
type Treatment struct {
	Band  *Band
	Round bool // rounded over
	// Deduct reports that the band's thickness comes off the cut size.
	Deduct bool
}

// String returns the words that a file has for it: "bare", "oak-2", "oak-2 round".
func (t Treatment) String() string {
	switch {
	case t.Band == nil && t.Round:
		return Round
	case t.Band == nil:
		return Bare
	case t.Round:
		return t.Band.ID + " " + Round
	}
	return t.Band.ID
}

// Off returns what comes off the cut size at the edge.
func (t Treatment) Off() measure.Length {
	if t.Band == nil || !t.Deduct {
		return 0
	}
	return t.Band.Thickness
}

// Treatment reads what String writes; fault and hint say what is wrong with it.
func (s *Shop) Treatment(text string) (t Treatment, fault, hint string) {
	said := false
	for _, word := range strings.Fields(text) {
		switch band := s.Band(word); {
		case word == Round && !t.Round:
			t.Round = true
		case band == nil && word != Bare && word != Round:
			return t, fmt.Sprintf("unknown edge band %q", word), source.Suggest(word, s.Treatments())
		case said || word == Round:
			return t, fmt.Sprintf("%q says two things of one edge", text), "an edge is bare or gets one band, and may be round besides"
		default:
			said = true
			if t.Band = band; band != nil {
				t.Deduct = band.Deduct
			}
		}
	}
	return t, "", ""
}

// Treatments lists the words that Treatment knows.
func (s *Shop) Treatments() []string {
	known := []string{Bare, Round}
	for _, b := range s.Bands {
		known = append(known, b.ID)
	}
	return known
}

// Refills change what fills roles; what is nil stays as it was.
type Refills map[string]struct {
	Material           *Material
	Edges              *Treatment
	Deduct             *bool
	Joint              **Joint
	Finish, EdgeFinish *Finish
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
			if to.Deduct != nil {
				fill.Edges.Deduct = *to.Deduct
			}
			if to.Finish != nil {
				fill.Finish = to.Finish.orNil()
			}
			if to.EdgeFinish != nil {
				fill.EdgeFinish = to.EdgeFinish.orNil()
			}
			if to.Joint != nil {
				fill.Joint = *to.Joint
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
		m := e.Value.Map(fillKeys...)
		refill := refills[e.Name]
		refill.Material = s.readMaterial(m.Get("material"))
		if n := m.Get("edges"); !n.IsZero() {
			edges := s.readTreatment(n)
			refill.Edges = &edges
		}
		if n := m.Get("deduct"); !n.IsZero() {
			deduct := readYes(n)
			refill.Deduct = &deduct
		}
		refill.Finish, refill.EdgeFinish = s.readFinish(m.Get("finish")), s.readFinish(m.Get("edge-finish"))
		if n := m.Get("joint"); !n.IsZero() {
			joint := s.readJoint(n)
			refill.Joint = &joint
		}
		refills[e.Name] = refill
	}
	return refills
}

// ParseRefill reads one thing about what fills a role, its material or its edges, as ReadRefills
// does.
func (s *Shop) ParseRefill(role, what, text string) (Refills, error) {
	var fault, hint string
	refills := Refills{}
	refill := refills[role]
	if what == "edges" {
		var edges Treatment
		edges, fault, hint = s.Treatment(text)
		refill.Edges = &edges
	} else if refill.Material = s.Material(text); refill.Material == nil {
		fault, hint = fmt.Sprintf("unknown material %q", text), s.nearestMaterial(text)
	}
	refills[role] = refill
	if fault != "" {
		return nil, errors.New(fault + ": " + hint)
	}
	return refills, nil
}

// nearestMaterial suggests a material for one that is unknown.
func (s *Shop) nearestMaterial(id string) string {
	known := make([]string, len(s.Materials))
	for i, m := range s.Materials {
		known[i] = m.ID
	}
	return source.Suggest(id, known)
}

func (s *Shop) readMaterial(n source.Node) *Material {
	id := n.Text()
	material := s.Material(id)
	if material == nil && n.IsText() && len(s.Materials) > 0 { // none is a fault of its own
		n.Fault(fmt.Sprintf("unknown material %q", id), s.nearestMaterial(id))
	}
	return material
}

func (s *Shop) readTreatment(n source.Node) Treatment {
	t, fault, hint := s.Treatment(n.Text())
	if fault != "" && n.IsText() {
		n.Fault(fault, hint)
	}
	return t
}
