package cabinets

import (
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// Layout is one interior as read.
type Layout struct {
	Name, About string
	Inside      [3]measure.Length // length, width, height
	Cabinets    []Placement
	Options     []Option
	Roles       map[string]shop.Fill
}

// Placement is a cabinet standing in a layout.
type Placement struct {
	Name       string
	Definition *Definition
	At         [3]measure.Length // least corner of its outside once turned
	Turn       int               // quarter turns about z, anticlockwise seen from above: 0 to 3
	Beside     string            // stands after this one along x, a felt gap between
	Above      string            // stands on this one, a felt gap between
	Sizes      map[string]measure.Length
	Roles      map[string]shop.Fill
}

// Option changes a layout: what it adds, drops and changes.
type Option struct {
	Name, About string
	Add         []Placement
	Drop        []string
	Change      []Change
	Roles       map[string]shop.Fill
}

// Change gives a placed cabinet other sizes or roles.
type Change struct {
	Name  string
	Sizes map[string]measure.Length
	Roles map[string]shop.Fill
}

// Interior is a layout with its options chosen, every cabinet expanded and placed.
type Interior struct {
	Layout   *Layout
	Options  []string // chosen, in the layout's order
	Cabinets []Placed
	Contacts []Contact // between cabinets
	Findings []Finding // of all cabinets and between them
}

// Placed is an expanded cabinet where it stands.
type Placed struct {
	Name  string
	Solid *Solid
	At    [3]measure.Length
	Turn  int
	Box   Box // outside, in the layout
}

// Parts lists every part of the interior, with where it goes in the vehicle of a serial.
func (in *Interior) Parts(serial string) []Standing { panic("not written yet") }

// Felt returns the length of all felt, in cabinets and between them.
func (in *Interior) Felt() (total measure.Length) {
	for _, c := range in.Contacts {
		total += c.Felt
	}
	for _, p := range in.Cabinets {
		for _, c := range p.Solid.Contacts {
			total += c.Felt
		}
	}
	return total
}

// Mass returns the mass in kg of all parts and hardware.
func (in *Interior) Mass() float64 { panic("not written yet") }
