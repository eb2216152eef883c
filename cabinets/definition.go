package cabinets

import (
	"strings"

	"sawbook/cabinets/formula"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
)

// Definition is a cabinet as its YAML file describes it, names and formulas checked.
type Definition struct {
	Name, About string
	Sizes       []Size
	Roles       []Named
	Let         []Let
	Parts       []PartRule
	Uses        []UseRule
	Hardware    []HardwareRule
	Clearances  []ClearanceRule
	Matched     []MatchRule
	Checks      []CheckRule
	Moves       []MoveRule
	// Outside are the declared outside sizes: the formulas width, depth and height unless
	// the definition says otherwise.
	Outside [3]Formula
	Inside  *InsideRule // nil is none

	name   source.Node
	faulty bool   // it was read with faults, and is not to be expanded
	steps  []step // the order in which lets and hardware are worked out
}

// step works out one let or one hardware slot; the other index is below 0.
type step struct{ let, hardware int }

// Formula is a compiled formula with its place, so that a fault met while it runs can
// be shown where it stands.
type Formula struct {
	*formula.Formula
	Node source.Node
	// constant is the value of a formula that uses no name.
	constant *float64
}

// Named is a name with what it is about.
type Named struct{ Name, About string }

// Size is a parameter of a cabinet.
type Size struct {
	Name, About          string
	Default, Least, Most measure.Length // plain numbers where Whole
	Whole                bool           // a count, not a length
	List                 string         // of the sizes NAME-1, NAME-2, ... that may be given as one list: NAME
}

// Let names a value; lets and hardware may stand in any order, cycles are faults.
type Let struct {
	Name  string
	Value Formula
}

// PartRule makes Count parts (counter i from 1).
type PartRule struct {
	Name, Role string
	// Assembly is a name of the definition's own, or "use.assembly" for one of a used
	// cabinet: where that use is counted, of the same counter.
	Assembly   string
	Count      *Formula    // nil is one part
	From, To   [3]*Formula // To is nil along the thin axis
	Thin, Long Axis
	Turns      bool        // grain: any
	Good       Direction   // of the good face, outward
	Exposed    []Direction // of faces that are seen without being the good one
	VoidFree   []Direction // of edges in which no void may show
	Grooves    []GrooveRule
	Cutouts    []CutoutRule
	Holes      []HoleRule
	Carries    *CarryRule // nil where nothing lies on it
	// SawnFrom is the part of whose cut-out this one is what was sawn out; "" for a part
	// that is cut from a sheet.
	SawnFrom string
	sawn     source.Node
	Edges    []EdgeRule
	Joints   []JointRule
}

// JointRule names the joint of a part or of a groove, instead of the one that its role or
// the shop gives; no word says nothing.
type JointRule struct {
	Toward Direction // of the edge that is joined; the zero value is all edges and both faces
	Word   string    // a joint of the shop, a kind of joint, or glue
	Node   source.Node
}

// InsideRule is the clear room of a cabinet's main compartment.
type InsideRule struct {
	Size  [3]Formula  // width, depth, height
	At    *[3]Formula // its least corner, where walls are lined
	Lined []Direction // of the walls, outward, that are lined with felt for what stands in it
}

// EdgeRule gives an edge another treatment than its role's.
type EdgeRule struct {
	Toward    Direction // outward; the zero value is all four edges
	Treatment string    // "bare" or a band's id
	Node      source.Node
}

// GrooveRule cuts a groove (dado, rabbet) into a part where another part enters it.
type GrooveRule struct {
	For   string // the part that enters
	Depth Formula
	Joint JointRule
}

// CutoutRule cuts Count rectangles through a part, in cabinet coordinates of its two long
// axes; the counter is j.
type CutoutRule struct {
	From, To [3]*Formula // nil along the thin axis
	Count    *Formula
	About    string
}

// HoleRule drills Count round holes, in cabinet coordinates of the two long axes; the
// counter is j.
type HoleRule struct {
	At       [3]*Formula // nil along the thin axis
	Diameter Formula
	Depth    *Formula  // nil is through
	From     Direction // the face it is drilled from
	// By are edges that its place is measured from, where that is not the nearer one.
	By    []Direction
	Count *Formula
	About string
	// For is the hardware whose holes these are, at At and from there on as the shop says, "" for
	// none. Diameter and Depth are then the shop's.
	For  string
	slot source.Node
}

// UseRule places other cabinets inside this one.
type UseRule struct {
	Name    string
	Cabinet *Definition
	Count   *Formula
	At      [3]Formula
	Sizes   []Let             // inner size to formula
	Roles   map[string]string // inner role to outer role, every inner role
}

// HardwareRule asks for hardware of a kind: of the items of that kind that carry Load
// and come in a length that Fits, the one of least load class, in its longest length.
type HardwareRule struct {
	Name, Kind string
	In         string   // the part that it is let into, "" where that is not said
	Count      *Formula // nil is one
	Fits, Load *Formula
	in         source.Node
	measured   bool // formulas use its length, side or load
}

// ClearanceRule declares that two assemblies or parts never touch, and how far apart
// they stay. The names leave counters out: "drawer.body" is that of every drawer. What
// is the name of an assembly and of a part means the assembly.
type ClearanceRule struct {
	Between, And string
	Gap          Formula

	betweenPart, andPart bool // the names are those of parts
}

// MoveRule says that an assembly opens or lifts out, counters left out: "drawer.body" is that
// of every drawer.
type MoveRule struct {
	Assembly string
	Is       string   // drawer, door, lid or panel
	Latch    string   // the hardware that keeps it shut, "" for none
	When     *Formula // nil is always
	Runs     *RunRule // of a drawer; nil where that is not said
}

// CheckRule is a check of the definition's own.
type CheckRule struct {
	That    Formula
	Level   Level
	Say, Do string
}

// size returns the size with a name, nil where there is none.
func (d *Definition) size(name string) *Size {
	for i := range d.Sizes {
		if d.Sizes[i].Name == name {
			return &d.Sizes[i]
		}
	}
	return nil
}

// list returns the sizes that are given as one list of a name, none where there is no such.
func (d *Definition) list(name string) (list []*Size) {
	for i := range d.Sizes {
		if d.Sizes[i].List == name {
			list = append(list, &d.Sizes[i])
		}
	}
	return list
}

// use returns the use with a name, nil where there is none.
func (d *Definition) use(name string) *UseRule {
	for i := range d.Uses {
		if d.Uses[i].Name == name {
			return &d.Uses[i]
		}
	}
	return nil
}

// assemblies lists the assemblies of a cabinet, counters left out, each once.
func (d *Definition) assemblies() []string {
	var names []string
	seen := map[string]bool{}
	add := func(name string) {
		if !seen[name] {
			seen[name] = true
			names = append(names, name)
		}
	}
	for i := range d.Parts {
		add(d.Parts[i].Assembly)
	}
	for _, u := range d.Uses {
		if u.Cabinet != nil {
			for _, name := range u.Cabinet.assemblies() {
				add(u.Name + "." + name)
			}
		}
	}
	return names
}

// partNames lists the parts of a cabinet, counters left out.
func (d *Definition) partNames() []string {
	var names []string
	for i := range d.Parts {
		names = append(names, d.Parts[i].Name)
	}
	for _, u := range d.Uses {
		if u.Cabinet != nil {
			names = append(names, prefixed(u.Name+".", u.Cabinet.partNames())...)
		}
	}
	return names
}

// repeated reports whether there may be several of an assembly or part: it is counted
// itself, or a use that it belongs to is.
func (d *Definition) repeated(name string) bool {
	stem, rest, dotted := strings.Cut(name, ".")
	if !dotted {
		for i := range d.Parts {
			if d.Parts[i].Name == name && d.Parts[i].Count != nil {
				return true
			}
		}
		return false
	}
	u := d.use(stem)
	return u != nil && (u.Count != nil || u.Cabinet != nil && u.Cabinet.repeated(rest))
}

func prefixed(prefix string, list []string) []string {
	out := make([]string, len(list))
	for i, text := range list {
		out[i] = prefix + text
	}
	return out
}
