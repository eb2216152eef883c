package cabinets

import (
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
	Checks      []CheckRule
	// Outside are the declared outside sizes: the formulas width, depth and height unless
	// the definition says otherwise.
	Outside [3]Formula
}

// Formula is a compiled formula with its place, so that a fault met while it runs can
// be shown where it stands.
type Formula struct {
	*formula.Formula
	Node source.Node
}

// Named is a name with what it is about.
type Named struct{ Name, About string }

// Size is a parameter of a cabinet.
type Size struct {
	Name, About          string
	Default, Least, Most measure.Length // plain numbers where Whole
	Whole                bool           // a count, not a length
}

// Let names a value; lets and hardware may stand in any order, cycles are faults.
type Let struct {
	Name  string
	Value Formula
}

// PartRule makes Count parts (counter i from 1).
type PartRule struct {
	Name, Role, Assembly string
	Count                *Formula    // nil is one part
	From, To             [3]*Formula // To is nil along the thin axis
	Thin, Long           Axis
	Turns                bool   // grain: any
	Good                 string // "", or an outward direction such as "-x"
	Grooves              []GrooveRule
	Cutouts              []CutoutRule
	Holes                []HoleRule
	Edges                map[string]string // outward direction to treatment; "" is all
}

// GrooveRule cuts a groove (dado, rabbet) into a part where another part enters it.
type GrooveRule struct {
	For   string // the part that enters
	Depth Formula
}

// CutoutRule cuts a rectangle through a part, in cabinet coordinates of its two long
// axes.
type CutoutRule struct {
	From, To [3]*Formula // nil along the thin axis
	About    string
}

// HoleRule drills Count round holes, in cabinet coordinates of the two long axes; the
// counter is j.
type HoleRule struct {
	At       [3]*Formula // nil along the thin axis
	Diameter Formula
	Depth    *Formula // nil is through
	From     string   // the face it is drilled from: "+x", ...
	Count    *Formula
	About    string
}

// UseRule places other cabinets inside this one.
type UseRule struct {
	Name    string
	Cabinet *Definition
	Count   *Formula
	At      [3]Formula
	Sizes   []Let             // inner size to formula
	Roles   map[string]string // inner role to outer role
}

// HardwareRule asks for hardware of a kind: of the items of that kind that carry Load
// and come in a length that Fits, the one of least load class, in its longest length.
type HardwareRule struct {
	Name, Kind string
	Count      Formula
	Fits, Load *Formula
}

// ClearanceRule declares that two assemblies never touch, and how far apart they stay.
type ClearanceRule struct {
	Between, And string
	Gap          Formula
}

// CheckRule is a check of the definition's own.
type CheckRule struct {
	That    Formula
	Level   Level
	Say, Do string
}
