package shop

import (
	"time"

	"sawbook/cabinets/source"
)

// Operation is something that takes time, by what it is counted in.
type Operation string

// The operations that a quote counts, in the order of the work.
const (
	OpSetting  Operation = "setting"  // of fence or stop
	OpCut      Operation = "cut"      // pass of the blade
	OpEdge     Operation = "edge"     // metre banded or lipped
	OpSeal     Operation = "seal"     // metre of bare edge sealed
	OpGroove   Operation = "groove"   // metre
	OpCutout   Operation = "cut-out"  // each
	OpHole     Operation = "hole"     // each
	OpFelt     Operation = "felt"     // metre
	OpFinish   Operation = "finish"   // square metre coated, each coat
	OpJoint    Operation = "joint"    // of two parts, fixed and glued
	OpDrawer   Operation = "drawer"   // pair of slides fitted
	OpAssembly Operation = "assembly" // glued up
	OpCabinet  Operation = "cabinet"  // put into the vehicle
)

// Operations lists all operations in the order of the work.
var Operations = []Operation{OpSetting, OpCut, OpEdge, OpSeal, OpGroove, OpCutout, OpHole, OpFelt, OpFinish, OpJoint, OpDrawer, OpAssembly, OpCabinet}

// Quote is what turns the cost of material into a price. Nothing in it is hidden: what the shop
// does not give counts nothing.
type Quote struct {
	Date    string                // of the prices, as 2026-11-01
	Hour    Money                 // an hour's work
	Minutes map[Operation]float64 // of one
	// Shares, 0 to 1: of material beyond what the plan takes; of material and labour; of these with
	// the overhead; of the net price.
	Waste, Overhead, Margin, Tax float64
}

// readQuote reads the terms of quotes, nil where there are none.
func readQuote(n source.Node) *Quote {
	if n.IsZero() {
		return nil
	}
	m := n.Map("date", "hour", "minutes", "waste", "overhead", "margin", "tax")
	q := &Quote{Date: m.Need("date").Text(), Hour: Money(m.Need("hour").Money()), Minutes: map[Operation]float64{}}
	if _, err := time.Parse(time.DateOnly, q.Date); err != nil && m.Get("date").IsText() {
		m.Get("date").Fault("this is no date", "write the day that the prices are of, such as 2026-11-01")
	}
	keys := make([]string, len(Operations))
	for i, op := range Operations {
		keys[i] = string(op)
	}
	minutes := m.Get("minutes").Map(keys...)
	for _, op := range Operations {
		if n := minutes.Get(string(op)); !n.IsZero() {
			q.Minutes[op] = n.Number(0, 10_000)
		}
	}
	q.Waste, q.Overhead = readShare(m.Get("waste")), readShare(m.Get("overhead"))
	q.Margin, q.Tax = readShare(m.Get("margin")), readShare(m.Get("tax"))
	return q
}
