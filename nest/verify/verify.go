// Package verify reads a plan as it was written and replays its cuts. It imports
// nothing of the solver, so that an error there cannot hide here.
package verify

import "io"

// Demand is what a material's plan has to deliver.
type Demand struct {
	Part          string
	Length, Width int64 // nm
	Count         int
	Grain         string // "length", "width" or "any", against the sheet's face grain
}

// Limits are the rules that a material's plan must keep besides its demand.
type Limits struct {
	Kerf                        int64
	Stages                      int    // 0 is no limit
	First                       string // "", "rip" or "crosscut"
	LongestRip, LongestCrosscut int64
	// Stock is how many sheets there are by size and offcut label; absent is no limit.
	Sheets []Stock
}

// Stock is a sheet that may be used.
type Stock struct {
	Length, Width            int64
	GrainAcross              bool
	Left, Right, Bottom, Top int64
	Price                    int64 // minor units
	Offcut                   string
	Count                    int // below 0 is no limit
}

// Order is what was asked of one material; Plan holds the written plan against it.
type Order struct {
	Material string
	Demand   []Demand
	Limits   Limits
}

// Problem is one fault of a plan: where it is (material, pattern, step) and what is wrong.
type Problem struct {
	Material string
	Pattern  int
	Text     string
}

// Plan reads a plan in the format sawbook-plan-1 from r, replays every cut of every
// pattern, and returns all that is wrong with it, judged by itself and by orders (one a
// material; parts that could not be placed are left out of them by the caller). The
// error is that of reading.
func Plan(r io.Reader, orders []Order) ([]Problem, error) {
	panic("not written yet")
}
