// Package cabinets turns definitions into parts. A cabinet is a solid: each part is a
// box placed in it, and what a list cannot know (edges, contacts, felt, mass) follows
// from the boxes.
//
// Axes of a cabinet: x left to right, y front to back, z up, from its left front bottom
// corner. Axes of a layout: x along the vehicle, y across it, z up.
package cabinets

import (
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// Solid is a cabinet with given sizes and roles, expanded.
type Solid struct {
	Definition *Definition
	Sizes      []Given // in the definition's order
	// Fills are what fills the definition's roles.
	Fills   map[string]*shop.Fill
	Outside Box // the declared outside
	// Inside is the clear room of the main compartment as cut, a step of the saw less than
	// is designed: width, depth, height. It is 0 where none is declared.
	Inside   [3]measure.Length
	Holds    *Held  // what the sizes were chosen for, nil where nothing
	Parts    []Part // in the definition's order, used cabinets where they stand
	Hardware []HardwareLine
	Joints   []Joint
	Contacts []Contact // within the cabinet
	Findings []Finding
	Moves    []Move // what opens or lifts out
}

// Move is an assembly that opens or lifts out: a drawer, a door, a lid or a panel.
type Move struct {
	Assembly, Is string
	Run          *Run // how a drawer runs, nil where that is not said
}

// Part returns the part with a name, nil where there is none.
func (s *Solid) Part(name string) *Part {
	for i := range s.Parts {
		if s.Parts[i].Name == name {
			return &s.Parts[i]
		}
	}
	return nil
}

// Given is a size with its value.
type Given struct {
	Name  string
	Value measure.Length // a whole number where Whole
	Whole bool
}

// Part is one flat piece, placed.
//
// Its own frame has u along its length, v across it and w through its thickness, from 0
// to length, width and thickness, and is always right-handed, so that mirrored parts
// differ in it. u and w run as the cabinet's axes do, from low to high. v does where
// (Long, third axis, Thin) are x, y, z in cyclic order, that is for (Long, Thin) = (x, z),
// (y, x) and (z, y); for (x, y), (y, z) and (z, x) it runs from high to low.
type Part struct {
	Name     string // path in the cabinet: "drawer-2.left-side"
	Role     string
	Assembly string // path: parts of one assembly that touch are glued
	Material *shop.Material
	Box      Box  // as designed, thickness as measured
	Thin     Axis // thickness runs along it
	Long     Axis // length runs along it: the grain, where there is one
	// Turns reports that the part may be turned on the sheet.
	Turns bool
	// SawnFrom is the part of whose cut-out this one is what was sawn out, so that it takes
	// no sheet; "" for a part that is cut from a sheet.
	SawnFrom string
	// Length and Width are the cut sizes, snapped to the shop's step.
	Length, Width measure.Length
	// Snapped is Box after snapping: the cut sizes with the bands that are added to them, and
	// the measured thickness, placed so that mates still meet. Cut is the same without bands.
	Snapped  Box
	Edges    [4]Edge // SideFront .. SideEnd in the part's frame
	Good     Face
	Exposed  [2]bool    // whether the low and the high face are seen without being the good one
	Glued    [2]float64 // mm2 of the low and the high face that neighbours are glued to
	Features []Feature
	Coats    []Coat  // at most one a finish
	openings []Box   // its cut-outs in the cabinet, as designed
	Mass     float64 // kg
	Match    Match

	off [3]sides // bands that are added to the cut size, by axis
}

// Side is one of the four edges of a part in its own frame.
type Side int

const (
	// SideNear and SideFar run along the length, at v = 0 and v = width.
	SideNear Side = iota
	SideFar
	// SideStart and SideEnd run across it, at u = 0 and u = length.
	SideStart
	SideEnd
)

// Edge is what an edge of a part gets.
type Edge struct {
	Length measure.Length // of the whole edge, as cut
	// Toward is where the edge looks in the cabinet; none for one of a piece whose parts differ
	// in it.
	Toward Direction
	// Open is how much of it no glued neighbour covers over its thickness.
	Open measure.Length
	// Treatment is what the edge gets; nil where all of it is covered. An edge open over
	// any interval is treated over its whole length.
	Treatment *shop.Treatment
	// Felted reports that felt goes onto this edge as well.
	Felted bool
	// VoidFree reports that no void between the veneers may show in it.
	VoidFree bool
}

// Face names the good face of a part in its own frame.
type Face int

const (
	NoFace   Face = iota // neither face is the good one
	LowFace              // at w = 0
	HighFace             // at w = thickness
)

// FeatureKind is a kind of machining.
type FeatureKind string

const (
	Groove FeatureKind = "groove"
	Cutout FeatureKind = "cut-out"
	Hole   FeatureKind = "hole"
	// EdgeHole is bored into an edge, the one that its box touches, half way between the faces
	// or nearly.
	EdgeHole FeatureKind = "edge hole"
)

// Feature is something machined into a part, as a box in the part's frame (u, v, w). The box
// of a hole is a square of its diameter, as deep as the hole.
type Feature struct {
	Kind  FeatureKind
	Box   Box
	About string // "for bottom", "finger slot"
}

// Bore returns the diameter and the depth of a hole in a face or an edge.
func (f *Feature) Bore() (diameter, depth measure.Length) {
	u, v, w := f.Box.Size(0), f.Box.Size(1), f.Box.Size(2)
	if f.Kind == EdgeHole {
		return w, u + v - w // one of them is the depth, the other the diameter
	}
	return u, w
}

// Joint is where the edge of one part is joined to the face of another.
type Joint struct {
	How *shop.Joint
	// Fixings go through one part into the edge of the other.
	Through, Into string
	Run           measure.Length // how long it is, as cut
	Fixings       int
}

// Contact is a patch where two assemblies touch: felt goes there.
type Contact struct {
	// On carries the felt, Against is pressed to it: part names, prefixed with the
	// cabinet's name where the contact is between two cabinets of a layout.
	On, Against string
	Face        Direction // the way the face that carries the felt looks
	Box         Box       // the patch and the gap between the faces
	Gap         measure.Length
	Strips      []Box // where felt lies: rectangles in the patch, as thick as the gap
}

// Fit is an item of hardware in a length in which it fits.
type Fit struct {
	Item   *shop.Hardware
	Length measure.Length // 0 where it comes in none
}

// HardwareLine is hardware that a cabinet needs.
type HardwareLine struct {
	Name   string // of the slot in the definition
	Item   *shop.Hardware
	Length measure.Length // of a slide, else 0
	Count  int            // units: pairs of slides, single latches
	Or     []Fit          // what else carries the load and fits
}
