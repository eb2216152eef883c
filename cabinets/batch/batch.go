// Package batch ties cabinets to nest: it turns the vehicles to build next into pieces,
// plans and an estimate. It is the one place that knows both.
package batch

import (
	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/nest"
)

// Batch is the vehicles to build next, as read.
type Batch struct {
	Name, About string
	Shop        *shop.Shop
	Vehicles    []Vehicle
	// List holds the pieces of a plain part list, which has no vehicles.
	List []*cabinets.Piece
	// Releases are what is cut one after another, in their order; nil where all is cut at once.
	Releases []Release
	Memory   *Memory // nil where the shop keeps no register

	whole   *Batch // of which this is the share of a release, nil where it is all
	release int
	stock   map[*shop.Material][]shop.Sheet // what there is; nil is what the shop file says
}

// Memory is what a batch is planned with of the shop's register.
type Memory struct {
	Sequence int64              `json:"sequence"` // of the newest entry that counted
	Newest   string             `json:"newest"`   // the newest digest of the shop's builds, "" before the first
	Cut      []string           `json:"-"`        // names of the batches and releases that are booked out
	Findings []cabinets.Finding `json:"-"`        // of the stock
	Left     map[string]int64   `json:"-"`        // what there is of each thing, in thousandths, by its name in the register
}

// Vehicle is one vehicle of a batch.
type Vehicle struct {
	Serial   string
	Interior *cabinets.Interior // shared by vehicles of one layout and options
}

// Job is a batch worked out: what to cut, from which sheets, and what it costs.
type Job struct {
	Batch     *Batch
	Digest    string            // of all that went in, and of the plan: 8 hex digits
	Pieces    []*cabinets.Piece // by material, then large to small
	Materials []Material        // in the shop's order, those that are used
	Findings  []cabinets.Finding
	Estimate  Estimate
	Written   []byte // the plan as JSON, as verified
	// LabelsFrom is the first label that is free on a used sheet, from 1; 0 is a whole sheet.
	LabelsFrom int
	Larger     []Larger // what the next larger sheets would change, once PlanLarger was asked
	// Unpriced is what the plans would take if settings and cuts counted nothing.
	Unpriced SawUse
}

// Material is one material's share of a job.
type Material struct {
	Letter  string // of its part numbers: "D"
	Of      *shop.Material
	Saw     shop.Saw
	Stock   []shop.Sheet      // the problem's sheets, in its order
	Pieces  []*cabinets.Piece // the problem's parts, in its order: blanks stand for what they hold
	Problem nest.Problem
	Plan    *nest.Plan
	// twoStages is a plan that may come to less where settings and cuts count.
	twoStages *nest.Plan
	// Patterns are Plan.Patterns as the shop reads them.
	Patterns []Pattern
	// Blanks are the second cuts: patterns whose sheet is a blank, a piece that is cut
	// oversize from a sheet.
	Blanks []Pattern
	// layers are the pieces that parts of so much area, in m2, are pressed from.
	layers map[*cabinets.Piece]float64
	// alone are the parts of matched groups that are cut one by one, singled the findings that
	// say why.
	alone   []*cabinets.Piece
	singled []cabinets.Finding
}

// Pattern is one way to cut one sheet, or one blank, read off its cut tree.
type Pattern struct {
	Number int // from 1, within its material; blanks are counted apart
	Times  int
	Sheet  shop.Sheet
	Blank  *cabinets.Piece // what is cut, nil where it is a sheet
	// Layers are the pieces that a blank is pressed from: core, face and back. Nil where it
	// is cut from one sheet.
	Layers []*cabinets.Piece
	// Matched reports that the blank is the strip of a matched group, whose parts follow one
	// another in it.
	Matched bool
	// Trim is what comes off each edge of this sheet: left, right, bottom, top.
	Trim [4]measure.Length
	// Allowance is what the track saw leaves on each edge that it makes.
	Allowance measure.Length
	Parts     []Laid
	Cuts      []Cut // in the order they are made, once the trim is gone
	Offcuts   []Offcut
	Used      float64 // m2 of parts, of one sheet; of a blank, those that it holds
}

// Laid is a part on a sheet.
type Laid struct {
	Piece         *cabinets.Piece
	X, Y          measure.Length // least corner, from the corner of the untrimmed sheet
	Length, Width measure.Length // extents along x and y, after turning
	Turned        bool
}

// Cut is one edge-to-edge cut. Its line is the edge of its kerf nearer the corner.
type Cut struct {
	Step, Stage    int // from 1
	Rip            bool
	Track          bool // made with the track saw; what it frees and leaves is as once trued
	X1, Y1, X2, Y2 measure.Length
	// Setting is the distance from fence or stop to blade: the size of the piece freed.
	Setting measure.Length
	// From is the piece divided: its corner and extents, before the cut.
	From Area
	// Frees is the piece nearer the corner; Remains is the other, empty where the blade
	// takes all of it.
	Frees, Remains Area
	FreesPart      *cabinets.Piece // where the freed piece is a part to size
}

// Area is a rectangle of a sheet.
type Area struct{ X, Y, Length, Width measure.Length }

// Offcut is what is left of a sheet: worth keeping or waste.
type Offcut struct {
	Area
	Keep  bool
	Label string // of one that is kept: "A2-1", the material's letter, the pattern and a number
}

// Estimate is what a job takes and costs.
type Estimate struct {
	Lines   []Line // sheets, bands, sealer, adhesives, finishes, felt, hardware, in this order
	Total   shop.Money
	Sheets  []SheetUse
	Layouts []LayoutUse
	Mass    float64 // kg, of all vehicles: parts and hardware
	Saw     SawUse
}

// Line is one line of the estimate.
type Line struct {
	Group string // "sheets", "edge band", "lipping", "felt", "hardware", ...
	Item  string // id or size
	// Length is that of hardware which comes in several, else 0.
	Length measure.Length `json:"-"`
	Name   string
	Need   float64 // what the parts take, in Unit
	Unit   string  // "sheets", "m", "pair", ...
	Buy    int     // whole sheets, rolls or packs
	Packs  float64 // what Need comes to in rolls or packs, not rounded up; 0 is Buy
	Pack   string  // what one of Buy is: "2500 x 1250", "50 m", "10"
	Each   shop.Money
	Cost   shop.Money
}

// SheetUse is how well one material's sheets are used.
type SheetUse struct {
	Material    *shop.Material
	Sheets      int
	Bound       int     // proven least
	Method      string  // how it was proven
	Area        float64 // m2 of sheets used, whole
	Parts       float64 // m2 of parts
	Kept        float64 // m2 of offcuts worth keeping
	Cost, Least shop.Money
}

// Waste returns the share of the sheets' area that is neither part nor kept, 0 to 1.
func (u SheetUse) Waste() float64 {
	if u.Area == 0 {
		return 0
	}
	return (u.Area - u.Parts - u.Kept) / u.Area
}

// LayoutUse is a layout's share of a job: by area of parts, a sheet's waste falling on
// those whose parts lie on it.
type LayoutUse struct {
	Layout     string // with its options: "Curlew + long bench"
	Vehicles   int
	Parts      float64 // m2
	Sheets     float64 // share of sheets, in m2
	Kept       float64
	Cost       shop.Money     // share of all costs
	Mass       float64        // kg, of one vehicle
	Felt, Band measure.Length // of one vehicle
	// Edges of one vehicle: lipped, bare and sealed, rounded over.
	Lipping, Sealed, Rounded measure.Length
	// Finished is the area in m2 that is finished, of one vehicle: one coat.
	Finished float64
}
