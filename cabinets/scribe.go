package cabinets

import (
	"fmt"
	"math"
	"slices"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
)

// Scribe is an edge of a part that is shaped to the curved wall it stands against.
type Scribe struct {
	Cabinet, Part string
	Side          Direction // of the cabinet, where the edge is
	// From is the side of the cabinet from which the edge lies to the right.
	From       Direction
	Tall, Deep measure.Length // the part as cut: up, and across the vehicle
	Profile    []Shaped       // upwards
}

// Shaped is what comes off a scribed edge at a height above the lower end of its part, to
// 0.1 mm. Below 0 it is how far the edge stays off the wall.
type Shaped struct{ Height, Off measure.Length }

// scribe reads the sides of a cabinet that are shaped to a wall.
func (r *layoutReader) scribe(n source.Node, p *Placement) (sides []Direction) {
	for _, side := range readSides(n) {
		look := (&Placed{Turn: p.Turn}).facing(side)
		switch {
		case slices.Contains(p.Against, side):
			n.Fault(fmt.Sprintf("the %s of %s stands against the vehicle on felt already", side.Word(), p.Name), "name it under scribe or under against")
		case look.Axis() != Y:
			n.Fault(fmt.Sprintf("the %s of %s faces no wall that is measured", side.Word(), p.Name), "walls are measured across the vehicle: name the side that faces one")
		case r.walls == nil || len(r.walls.Sections) == 0:
			n.Fault("there is no wall to scribe to", "measure the walls: sections under shell")
		default:
			sides = append(sides, side)
		}
	}
	return sides
}

// scribed returns the sides of the cabinet at which a part ends in an edge that is shaped to
// the wall: it is seen when one looks along the vehicle.
func (p *Placed) scribed(part *Part) (sides []Direction) {
	if p.turned(part.Thin) != X {
		return nil
	}
	for _, side := range p.Scribe {
		a, near := side.Axis(), part.Box.Lo[side.Axis()]-p.Solid.Outside.Lo[side.Axis()]
		if side.High() {
			near = p.Solid.Outside.Hi[a] - part.Box.Hi[a]
		}
		if near <= same {
			sides = append(sides, side)
		}
	}
	return sides
}

// shape returns the profile of a part's edge. Between the heights that it lists the edge is
// straight; of the two faces of the part it is the one that the wall is nearer to.
func (s *Shell) shape(p *Placed, part *Part, side Direction, middle measure.Length, unit measure.Unit) Scribe {
	b, look := p.Place(part.Cut()), p.facing(side)
	out := (middle - b.Lo[Y]).MM()
	if look.High() {
		out = (b.Hi[Y] - middle).MM()
	}
	shape := Scribe{Cabinet: p.Name, Part: part.Name, Side: side, Tall: b.Size(Z), Deep: b.Size(Y)}
	for _, d := range sideLooks {
		if p.facing(d) == toward(X, look.High()) {
			shape.From = d
		}
	}
	xs, zs := s.knots(b)
	for _, z := range marks(b, zs, unit) {
		half := math.Inf(1)
		for _, x := range xs {
			half = min(half, s.Half(x, z))
		}
		off, _ := measure.FromMM(math.Round((out-half)*10) / 10)
		shape.Profile = append(shape.Profile, Shaped{z - b.Lo[Z], off})
	}
	return shape
}

// marks lists heights at which a profile is told: where the wall may bend, and every 100 mm or
// 4 in above the lower end where that is not near.
func marks(b Box, bends []measure.Length, unit measure.Unit) []measure.Length {
	step, near := 100*measure.Millimetre, 20*measure.Millimetre
	if unit == measure.Inches {
		step = 4 * measure.Inch
	}
	all := slices.Clone(bends)
	for z := b.Lo[Z] + step; z < b.Hi[Z]; z += step {
		if !slices.ContainsFunc(bends, func(bend measure.Length) bool { return max(bend-z, z-bend) < near }) {
			all = append(all, z)
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// scribe notes the edges of a cabinet that are shaped to the walls, and returns where the rest
// of a part is: what the profile takes off is not in the way.
func (in *Interior) scribe(s *Shell, style measure.Style, p *Placed, part *Part) Box {
	rest := p.Place(part.Box)
	for _, side := range p.scribed(part) {
		shape := s.shape(p, part, side, in.Layout.middle(), style.Unit)
		in.Scribes = append(in.Scribes, shape)
		least := slices.MinFunc(shape.Profile, func(a, b Shaped) int { return int(max(min(a.Off-b.Off, 1), -1)) })
		if least.Off < 0 {
			in.find(LevelWarning, p.Name+": "+part.Name, fmt.Sprintf("is scribed, and stays %s off the wall %s above its lower end", style.WithUnit(-least.Off), style.WithUnit(least.Height)),
				"move it towards the wall, or let it reach out further")
		}
		if p.facing(side).High() {
			rest.Hi[Y] = rest.Lo[Y]
		} else {
			rest.Lo[Y] = rest.Hi[Y]
		}
	}
	return rest
}
