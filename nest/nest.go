// Package nest lays rectangular parts on rectangular sheets with edge-to-edge
// (guillotine) cuts. It is pure computation: it knows no cabinet, no file and no
// clock. All lengths are int64 in one unit of the caller's choice (sawbook uses
// nanometres); all costs are int64 in minor units of one currency.
//
// The same problem and options give the same plan on every machine and core count:
// effort is counted in steps, randomness is seeded, integers decide.
package nest

import "strconv"

// Grain says how a part must lie on a sheet.
type Grain uint8

const (
	// Any lets the part be turned.
	Any Grain = iota
	// Along keeps the part's length parallel to the sheet's face grain.
	Along
	// Across keeps the part's length at right angles to the sheet's face grain.
	Across
)

// Direction is that of a cut, seen on the sheet: x runs along the sheet's length.
type Direction uint8

const (
	// NoCut marks a piece that is not divided further.
	NoCut Direction = iota
	// Rip cuts run parallel to x; they divide a piece's width.
	Rip
	// Crosscut cuts run parallel to y; they divide a piece's length.
	Crosscut
)

// Part is a demand for Count equal rectangles.
type Part struct {
	Length, Width int64 // as cut, both above 0
	Count         int   // above 0
	Grain         Grain
}

// Sheet is one size of stock. All of its lengths are those of the untrimmed sheet.
type Sheet struct {
	Length, Width int64
	// GrainAcross reports that the face grain runs across the sheet's length, along y.
	GrainAcross bool
	// Left, Right, Bottom and Top are what comes off each factory edge, blade included.
	Left, Right, Bottom, Top int64
	Price                    int64 // of one sheet, 0 or more
	Stock                    int   // sheets on hand; below 0 is no limit
}

// Keep says which offcuts are worth keeping: at least Long by Short, whichever way
// round, and what the shop counts for one: ValueNum minor units for every ValueArea
// square units. A zero ValueArea gives them no value; a zero Long keeps none.
type Keep struct {
	Long, Short         int64
	ValueNum, ValueArea int64
}

// Problem is what one material asks for.
type Problem struct {
	Parts  []Part
	Sheets []Sheet
	Kerf   int64 // width of the blade's cut, 0 or more
	// Stages is the most stages a pattern may have, 0 for no limit. Cuts in one
	// direction are one stage, the first is 1. Neither trim cuts nor the last cut that
	// brings a part to size across its strip count.
	Stages int
	// First is the direction of the first cut; NoCut leaves it free. Only where a part
	// spans the trimmed sheet, so that no such cut can come before it, is the first stage
	// empty; it still counts against Stages. The verifier holds every plan to this.
	First Direction
	// LongestRip and LongestCrosscut limit how long a single cut may be, 0 for no limit.
	LongestRip, LongestCrosscut int64
	Keep                        Keep
}

// Piece is a node of a cut tree: a rectangle of a sheet, placed from the corner of the
// untrimmed sheet, and what becomes of it. The root is the trimmed sheet.
type Piece struct {
	X, Y, Length, Width int64
	// Part is the index of the part that this piece is, exactly to size, or -1.
	Part int
	// Turned reports that the part's length lies along y.
	Turned bool
	// Cut is the direction of the cuts that divide this piece; NoCut for a leaf, which
	// is a part, an offcut or waste.
	Cut Direction
	// Children are what those cuts free, from the corner outwards, each one kerf after
	// the one before. The last is the remainder, left out where nothing of it remains.
	Children []Piece
}

// Pattern is one way to cut one sheet, used Times times.
type Pattern struct {
	Sheet int // index into Problem.Sheets
	Times int
	Root  Piece
}

// Status says how a solve ended.
type Status uint8

const (
	// Proven means that the plan's cost equals the proven bound.
	Proven Status = iota
	// Finished means that the steps of the chosen effort are spent.
	Finished
	// Cancelled means that the context ended the run; the plan is the best until then.
	Cancelled
	// Short means that stock ran out: Unplaced lists what found no sheet.
	Short
)

// Bound is a proven least, whatever anyone does with edge-to-edge cuts.
type Bound struct {
	Sheets int    // least number of sheets
	Cost   int64  // least cost of sheets
	Method string // how it was proven: "area", ...
}

// Misfit is a part that lies on no sheet, even alone.
type Misfit struct {
	Part int
	// Sheet is the index of the sheet that it misses by least.
	Sheet int
	// Long and Wide are how much that sheet lacks along x and y, in the better allowed
	// position; 0 where that direction is long enough.
	Long, Wide int64
}

// Plan is a set of patterns that cut every part as often as asked, but for those in
// Misfits and Unplaced.
type Plan struct {
	Patterns []Pattern // dearest first, then by sheet, then by times
	Cost     int64     // of the sheets used
	Kept     int64     // the shop's value of the offcuts worth keeping
	Sheets   int
	Bound    Bound
	Status   Status
	Steps    int64 // spent
	Misfits  []Misfit
	Unplaced map[int]int // part index to copies without a sheet, where stock ran out
}

// Effort is how many steps a solve may spend.
type Effort int64

// Named efforts. Their steps are measured, see BenchmarkSolve.
const (
	Quick    Effort = 4_000
	Normal   Effort = 1_100_000
	Thorough Effort = 12_000_000
)

// String names an effort, or counts its steps.
func (e Effort) String() string {
	switch e {
	case Quick:
		return "quick"
	case Normal:
		return "normal"
	case Thorough:
		return "thorough"
	}
	return strconv.FormatInt(int64(e), 10) + "-step"
}

// Options steer a solve; the zero value is normal effort with seed 0.
type Options struct {
	Effort Effort
	Seed   uint64
	// Enough, where above 0, ends the run at a plan that costs no more.
	Enough int64
	// Progress, where set, is called from the calling goroutine with the steps done and
	// the best cost so far.
	Progress func(done, of int64, cost int64)
	// Explain, where set, is called from the calling goroutine whenever the best plan or
	// the bound gets better.
	Explain func(Moment)
}

// Moment is how far a solve has come.
type Moment struct {
	Step    int64
	What    string // got better: "plan", "bound" or "program"
	Sheets  int    // of the best plan
	Cost    int64
	Missing int // parts that the best plan has no place for yet
	Bound   Bound
	// Patterns is how many patterns the linear programs know by now.
	Patterns int
	// Relaxed is the least cost in fractions of sheets, by the linear program over the
	// patterns that the search knows how to make; 0 until it is solved. It proves nothing,
	// but says how far the plan is from what rounding could reach.
	Relaxed int64
}
