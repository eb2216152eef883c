package shop

import (
	"fmt"
	"slices"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
)

// Kinds of joint. A part is let into another by a dado or a rabbet, and meets it with its edge
// by the others.
const (
	Butt      = "butt"
	Dado      = "dado"
	Rabbet    = "rabbet"
	Dowel     = "dowel"
	Connector = "connector"
)

// Glue is what stands for a joint of nothing but glue.
const Glue = "glue"

var jointKinds = []string{Butt, Dado, Rabbet, Dowel, Connector}

// Joint is a way to join the edge of one part to the face of another.
type Joint struct {
	ID, Kind string
	Glued    bool
	// Of a dado or a rabbet: how deep a part is let in, and how much wider than the part the
	// groove is.
	Depth, Allowance measure.Length
	// Fixing is what fixes the joint, nil where nothing does. The rest says where fixings sit.
	Fixing  *Hardware
	Spacing measure.Length // at most, from one to the next
	End     measure.Length // from the end of the joint to the first
	Edge    measure.Length // at least, from its middle to the faces and edges beside it
	Hole    Bore           // in the part that it goes through
	Pilot   Bore           // in the edge that it goes into
}

// Bore is a hole of a joint; no diameter is no hole. A depth of 0 is through.
type Bore struct{ Diameter, Depth measure.Length }

// LetsIn reports whether the joint lets a part into another.
func (j *Joint) LetsIn() bool { return j != nil && (j.Kind == Dado || j.Kind == Rabbet) }

// LetsInBy returns how deep a part is let in, 0 where it is not.
func (j *Joint) LetsInBy() measure.Length {
	if !j.LetsIn() {
		return 0
	}
	return j.Depth
}

// Joint returns the joint that a word names: by its id, or, where that is a kind, the first of
// that kind. It is nil for glue alone, and where the shop has none of the kind; known is
// false for a word that means nothing here.
func (s *Shop) Joint(word string) (j *Joint, known bool) {
	for _, j := range s.Joints {
		if j.ID == word {
			return j, true
		}
	}
	for _, j := range s.Joints {
		if j.Kind == word {
			return j, true
		}
	}
	return nil, word == Glue || slices.Contains(jointKinds, word)
}

// JointWords lists the words that Joint knows.
func (s *Shop) JointWords() []string {
	words := append([]string{Glue}, jointKinds...)
	for _, j := range s.Joints {
		if !slices.Contains(words, j.ID) {
			words = append(words, j.ID)
		}
	}
	return words
}

func (s *Shop) readJoint(n source.Node) *Joint {
	j, known := s.Joint(n.Text())
	if !known && n.IsText() {
		n.Fault(fmt.Sprintf("unknown joint %q", n.Text()), source.Suggest(n.Text(), s.JointWords()))
	}
	return j
}

func (r *reader) joint(e source.Entry) *Joint {
	m := e.Value.Map("kind", "glued", "depth", "allowance", "fixing", "spacing", "end", "edge", "hole", "pilot")
	j := &Joint{ID: e.Name, Glued: true, Kind: m.Need("kind").OneOf(jointKinds...)}
	if e.Name == Glue || slices.Contains(jointKinds, e.Name) && e.Name != j.Kind && j.Kind != "" {
		e.Key.Fault(e.Name+" has a meaning of its own as a joint", "choose another name")
	}
	if n := m.Get("glued"); !n.IsZero() {
		j.Glued = readYes(n)
	}
	if j.LetsIn() {
		j.Depth = m.Need("depth").LengthIn(r.unit, measure.Millimetre, 30*measure.Millimetre)
		j.Allowance = m.Get("allowance").LengthIn(r.unit, 0, measure.Millimetre)
	} else if j.Kind != "" {
		for _, key := range []string{"depth", "allowance"} {
			refuse(m.Get(key), fmt.Sprintf("a %s has no %s", j.Kind, key), "only a dado or a rabbet lets a part in")
		}
	}
	fixing := m.Get("fixing")
	if fixing.IsZero() {
		for _, key := range []string{"spacing", "end", "edge", "hole", "pilot"} {
			refuse(m.Get(key), "a joint without a fixing has no "+key, "name its fixing, or leave it out")
		}
		return j
	}
	j.Fixing = r.fixing(fixing)
	j.Spacing = m.Need("spacing").LengthIn(r.unit, 10*measure.Millimetre, measure.Metre)
	j.End = m.Need("end").LengthIn(r.unit, 5*measure.Millimetre, 500*measure.Millimetre)
	j.Edge = m.Get("edge").LengthIn(r.unit, 0, 100*measure.Millimetre)
	j.Hole, j.Pilot = r.bore(m.Get("hole")), r.bore(m.Get("pilot"))
	if n := m.Get("pilot"); !n.IsZero() && j.Pilot.Depth == 0 {
		n.Map("diameter", "depth").Need("depth")
	}
	return j
}

// fixing finds the hardware that a joint is fixed with.
func (r *reader) fixing(n source.Node) *Hardware {
	known := make([]string, len(r.shop.Hardware))
	for i, h := range r.shop.Hardware {
		if known[i] = h.ID; h.ID == n.Text() {
			if len(h.Lengths) > 0 {
				n.Fault(h.ID+" comes in lengths", "a fixing is a single item, such as a screw")
			}
			return h
		}
	}
	if n.IsText() {
		n.Fault(fmt.Sprintf("unknown hardware %q", n.Text()), source.Suggest(n.Text(), known))
	}
	return nil
}

func (r *reader) bore(n source.Node) (b Bore) {
	if n.IsZero() {
		return b
	}
	m := n.Map("diameter", "depth")
	b.Diameter = m.Need("diameter").LengthIn(r.unit, measure.Millimetre/2, 40*measure.Millimetre)
	b.Depth = m.Get("depth").LengthIn(r.unit, 0, 200*measure.Millimetre)
	return b
}
