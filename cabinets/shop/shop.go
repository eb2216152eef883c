// Package shop reads the shop file: what the shop buys, owns and charges.
package shop

import (
	"math"
	"slices"

	"sawbook/cabinets/measure"
)

// Money is an amount in minor units of the shop's currency.
type Money int64

// Shop is a shop file as read, every default filled in. Slices keep the file's order.
type Shop struct {
	Name     string
	Currency string       // ISO 4217, such as "EUR"
	Unit     measure.Unit // of bare numbers in the shop's files
	Style    measure.Style
	Saw      Saw
	Rates    Rates
	Limits   Limits
	Quote    *Quote // nil where the shop gives no terms
	// Materials are the sheet materials; Roles says what fills each role unless a layout
	// says otherwise.
	Materials []*Material
	Roles     map[string]Fill
	Bands     []*Band // and lippings
	Finishes  []*Finish
	Adhesives []*Adhesive
	Sealer    *Sealer // nil where sealing is not charged
	Felt      Felt
	Joints    []*Joint
	Hardware  []*Hardware
	Labels    *Labels // what they are printed on; nil where none are
}

// Material is a sheet material.
type Material struct {
	ID, Name string
	// Nominal is the thickness it is sold by, and that mass is reckoned with; Thickness
	// is measured, and boxes are made of it.
	Nominal, Thickness measure.Length
	Density            float64 // kg/m3, of the nominal thickness
	// Grain reports that its face grain shows, so that parts may not be turned.
	Grain bool
	// GoodFaces is how many of its faces may be seen: 0, 1 or 2.
	GoodFaces int
	Stiffness Stiffness // in bending; zero where it is not given
	Sheets    []Sheet
	Press     *Press // how it is laminated; nil where it is bought
	Saw       *Saw   // what cuts it where that is not the shop's saw, else nil
}

// Stiffness is a panel's modulus of elasticity in bending, along and across the face grain,
// in N/mm2.
type Stiffness struct{ Along, Across float64 }

// Stiff reports whether the stiffness of any material is given.
func (s *Shop) Stiff() bool {
	return slices.ContainsFunc(s.Materials, func(m *Material) bool { return m.Stiffness != Stiffness{} })
}

// SheetMass returns the mass in kg of an area in m2: nominal thickness x area x density.
func (m *Material) SheetMass(area float64) float64 {
	return m.Nominal.MM() / 1000 * area * m.Density
}

// Sheet is one size in which a material is to be had, or one offcut on hand.
type Sheet struct {
	Length, Width measure.Length
	GrainAcross   bool // the face grain runs across the sheet's length
	Price         Money
	Stock         int    // below 0: as many as are wanted
	Offcut        string // the label of an offcut, "" for a whole sheet
	// Trimmed reports that its edges are cut already (an offcut): no trim comes off.
	Trimmed bool
	// Layers are the whole sheets of core, face and back that it is pressed from; nil where
	// it is bought as it is.
	Layers *[3]Sheet
}

// M2 returns the whole area in m2.
func (s *Sheet) M2() float64 { return s.Length.MM() / 1000 * (s.Width.MM() / 1000) }

// Band is an edge band, bought by the roll, or a lipping of solid wood, bought by the length.
type Band struct {
	ID, Name         string
	Lipping          bool
	Thickness, Width measure.Length
	Roll             measure.Length // length of one roll; of one length of a lipping
	Price            Money          // of one roll or length
	Allowance        measure.Length // added to every banded edge
	Density          float64        // kg/m3
	// Deduct reports that its thickness comes off the cut size unless a role says otherwise.
	Deduct bool
}

// Sealer seals bare edges, bought by the tin.
type Sealer struct {
	Name   string
	Covers measure.Length // of edge that one tin seals
	Price  Money          // of one tin
}

// Felt is the felt tape of unglued joints.
type Felt struct {
	Name             string
	Width, Thickness measure.Length
	// Pressed is the gap that a felted joint keeps once it is pressed.
	Pressed measure.Length
	Roll    measure.Length
	Price   Money // of one roll
	// Narrow is the widest patch that one strip serves; a wider one gets strips round its
	// edge, and between them so many that no more than Spacing is left free. 0 is none.
	Narrow, Spacing measure.Length
}

// Hardware is an item bought ready made.
type Hardware struct {
	ID, Name, Kind string // Kind is a trade word in lower case: slide, latch, hinge, ...
	Unit           string // what one is: "pair", "each"
	Pack           int    // how many are sold together
	Price          Money  // of one pack; of a length, where there are lengths
	Mass           float64
	// How deep it is let into a part, and how much of that must stay behind it; 0 for what is
	// not let in.
	Depth, Rest measure.Length
	// Hole is what is drilled into a part for it, at Holes; no diameter is none. Where it comes in
	// lengths, each has holes of its own.
	Hole  Bore
	Holes []Spot
	// Slides: side space each side, load class in kg, and the lengths it comes in, short
	// to long. Empty for other hardware.
	Side    measure.Length
	Load    float64
	Lengths []SlideLength
}

// SlideLength is one length of a slide.
type SlideLength struct {
	Length measure.Length
	Price  Money   // of one pack
	Mass   float64 // kg, of one unit
	Holes  []Spot
}

// Spot is where a hole of a piece of hardware lies: how far behind the front edge that it is
// set off from, and how far above its middle line.
type Spot struct{ Behind, Above measure.Length }

// Spots returns where the holes of the hardware in a length lie; a length of 0 is that of
// hardware that comes in none.
func (h *Hardware) Spots(length measure.Length) []Spot {
	for _, l := range h.Lengths {
		if l.Length == length {
			return l.Holes
		}
	}
	return h.Holes
}

// Saw is what the saw can do.
type Saw struct {
	Kerf                     measure.Length
	Left, Right, Bottom, Top measure.Length // trim off each factory edge, blade included
	Step                     measure.Length // the fence's step; cut sizes are multiples of it
	LeastLength, LeastWidth  measure.Length // the smallest part, long side and short: below, it comes from a blank
	LongestRip               measure.Length // 0 is no limit
	LongestCrosscut          measure.Length
	Stages                   int    // most stages of a pattern; 0 is no limit
	First                    string // direction of the first stage: "", "rip" or "crosscut"
	// KeepLong by KeepShort is the smallest offcut worth keeping.
	KeepLong, KeepShort measure.Length
	// BySetting reports that the shop works setting by setting through all sheets, not sheet by sheet.
	BySetting bool
	Stack     int // sheets of one pattern cut together; 0 and 1 are one
	// Track is the track saw that breaks down what is too heavy for the table saw, nil where
	// nothing is.
	Track *Track
}

// Track is the saw on a rail that breaks full sheets down.
type Track struct {
	Kerf, Rail measure.Length
	Allowance  measure.Length // left on both edges of its cut, and trued off at the table saw
	Lift       float64        // kg, the heaviest piece that comes onto the table saw
}

// Gap returns how far apart a cut leaves two pieces once their edges are trued.
func (t *Track) Gap() measure.Length { return t.Allowance + t.Kerf + t.Allowance }

// TooSmall reports that a part is below the saw's smallest, whichever way round.
func (s *Saw) TooSmall(length, width measure.Length) bool {
	return max(length, width) < s.LeastLength || min(length, width) < s.LeastWidth
}

// Rates are what the shop charges or counts.
type Rates struct {
	Offcut Money // what a square metre of offcut worth keeping counts for
	// Setting and Cut are what a plan counts for one position of fence or stop, and for one
	// pass of the blade. They weigh plans against one another.
	Setting, Cut Money
	Spare        Spare
}

// CountSaw reports whether settings or cuts count anything.
func (r Rates) CountSaw() bool { return r.Setting > 0 || r.Cut > 0 }

// Limits are what the shop thinks is enough, or too much.
type Limits struct {
	Lift float64 // kg that one lifts alone; 0 is not asked
	// Sag divides a span: how far it may sag. 0 is that of the published shelf test.
	Sag float64
	// Web is the least that should stay beside a cut-out, 0 is not asked.
	Web measure.Length
	// Scribe is what stays on a scribed edge when it is cut out, to be fitted to the wall itself.
	Scribe measure.Length
	// Reach is the room that a hand and a driver want before a fixing.
	Reach measure.Length
	// Moving is how many times what they carry slides must be made for in a moving vehicle: their
	// load classes are for furniture that stands. 0 is once.
	Moving float64
}

// OnTheRoad is how many times what they carry slides must be made for.
func (l *Limits) OnTheRoad() float64 {
	if l.Moving == 0 {
		return 1
	}
	return l.Moving
}

// Spare is what is bought of every material beyond what the plan takes, for a bad sheet or
// a spoiled part: a share of its sheets, or so many sheets.
type Spare struct {
	Share  float64 // 0 to 1
	Sheets int
}

// Of returns how many spare sheets go with so many.
func (s Spare) Of(sheets int) int {
	return s.Sheets + int(math.Ceil(s.Share*float64(sheets)-1e-9)) // 5 % of 20 is 1
}

// SawFor returns what cuts a material.
func (s *Shop) SawFor(m *Material) Saw {
	if m.Saw != nil {
		return *m.Saw
	}
	return s.Saw
}

// Material returns the material with an id, nil where there is none.
func (s *Shop) Material(id string) *Material {
	for _, m := range s.Materials {
		if m.ID == id {
			return m
		}
	}
	return nil
}

// Band returns the edge band with an id, nil where there is none.
func (s *Shop) Band(id string) *Band {
	for _, b := range s.Bands {
		if b.ID == id {
			return b
		}
	}
	return nil
}
