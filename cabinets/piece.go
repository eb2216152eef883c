package cabinets

import (
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// Piece is a set of parts that are the same piece: equal in size, material, grain,
// edges, faces, grooves, holes, cut-outs and hand.
type Piece struct {
	ID            string // "D-014": the material's letter, and a number from large to small
	Name          string // what the shop calls it: the commonest part name
	Material      *shop.Material
	Role          string
	Length, Width measure.Length
	Turns         bool
	Across        bool // its length lies across the face grain: plain lists only
	Edges         [4]Edge
	Good          Face
	Features      []Feature
	Mass          float64 // kg, of one
	Places        []Place // where each goes; its length is the count
}

// Place is where one part of a piece goes.
type Place struct{ Vehicle, Layout, Cabinet, Part string }

// Standing is a part with the place where it goes.
type Standing struct {
	Part  *Part
	Place Place
}

// Letter returns the letter of a shop's i-th material: A to Z, then AA, AB, ...
func Letter(i int) string { panic("not written yet") }

// Pieces gathers the parts that are the same piece, by material in the shop's order,
// then large to small. The order of the parts given does not matter.
func Pieces(s *shop.Shop, parts []Standing) []*Piece { panic("not written yet") }
