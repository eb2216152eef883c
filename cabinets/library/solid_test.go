package library_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
)

// every draws every built-in cabinet, all its joints glued.
func every(t *testing.T, check func(*rapid.T, *shopAndSolid)) {
	k := catalogue(t)
	for _, name := range k.Names() {
		d := k.Lookup(name)
		t.Run(name, rapid.MakeCheck(func(t *rapid.T) {
			s := drawShop(t)
			for _, j := range s.Joints {
				j.Glued = true
			}
			solid, err := cabinets.Expand(s, d, cabinets.Choice{Sizes: drawSizes(t, d)})
			if err != nil {
				t.Fatal(err)
			}
			check(t, &shopAndSolid{solid, s.Felt.Pressed})
		}))
	}
}

// shopAndSolid is a cabinet with the gap of its shop's pressed felt.
type shopAndSolid struct {
	*cabinets.Solid
	pressed measure.Length
}

// along returns the axis along which an edge of a part runs.
func along(p *cabinets.Part, edge cabinets.Direction) cabinets.Axis {
	return cabinets.X + cabinets.Y + cabinets.Z - p.Thin - edge.Axis()
}

// TestPerimeter: the edges of a part, as cut, add up to its perimeter, and what is open of
// each together with what its glued neighbours cover makes up the whole of it.
func TestPerimeter(t *testing.T) {
	every(t, func(t *rapid.T, s *shopAndSolid) {
		for i := range s.Parts {
			p := &s.Parts[i]
			var sum measure.Length
			for side := range p.Edges {
				e := &p.Edges[side]
				sum += e.Length
				axis := along(p, p.Toward(cabinets.Side(side)))
				// Both are of the designed edge; as cut an open one is a little longer or shorter.
				whole := p.Box.Size(axis)
				open := e.Open
				if open > rounding {
					open += whole - e.Length
				}
				if off := open + s.covered(i, p.Toward(cabinets.Side(side))) - whole; max(off, -off) > 2*rounding {
					t.Errorf("%s %s: %s mm are open, %s mm covered, of %s mm", p.Name, p.Toward(cabinets.Side(side)), open.Exact(), s.covered(i, p.Toward(cabinets.Side(side))).Exact(), whole.Exact())
				}
			}
			if sum != 2*(p.Length+p.Width) {
				t.Errorf("%s: the edges add up to %s mm, %s x %s mm has %s mm", p.Name, sum.Exact(), p.Length.Exact(), p.Width.Exact(), (2 * (p.Length + p.Width)).Exact())
			}
		}
	})
}

// covered returns how much of an edge glued neighbours cover over its whole thickness. It looks
// at each stretch of the edge between two ends of neighbours, and there at each layer of the
// thickness between two.
func (s *shopAndSolid) covered(i int, edge cabinets.Direction) (sum measure.Length) {
	p := &s.Parts[i]
	axis, thin := along(p, edge), p.Thin
	at := p.Box.Lo[edge.Axis()]
	if edge.High() {
		at = p.Box.Hi[edge.Axis()]
	}
	var near []cabinets.Box
	stops := [2][]measure.Length{{p.Box.Lo[axis], p.Box.Hi[axis]}, {p.Box.Lo[thin], p.Box.Hi[thin]}}
	for k := range s.Parts {
		q := &s.Parts[k]
		b := q.Box
		if k == i || q.Assembly != p.Assembly {
			continue
		}
		// It must be there just outside the edge.
		if edge.High() && (b.Lo[edge.Axis()] > at+rounding || b.Hi[edge.Axis()] <= at+rounding) ||
			!edge.High() && (b.Hi[edge.Axis()] < at-rounding || b.Lo[edge.Axis()] >= at-rounding) {
			continue
		}
		near = append(near, b)
		stops[0] = append(stops[0], b.Lo[axis], b.Hi[axis])
		stops[1] = append(stops[1], b.Lo[thin], b.Hi[thin])
	}
	slices.Sort(stops[0])
	slices.Sort(stops[1])
	within := func(lo, hi, middle measure.Length) bool { return lo <= middle && middle <= hi }
	for k := range stops[0][1:] {
		from, to := stops[0][k], stops[0][k+1]
		if to-from <= rounding || !within(p.Box.Lo[axis], p.Box.Hi[axis], (from+to)/2) {
			continue
		}
		all := true
		for l := range stops[1][1:] {
			low, high := stops[1][l], stops[1][l+1]
			if high-low <= rounding || !within(p.Box.Lo[thin], p.Box.Hi[thin], (low+high)/2) {
				continue
			}
			all = all && slices.ContainsFunc(near, func(b cabinets.Box) bool {
				return within(b.Lo[axis], b.Hi[axis], (from+to)/2) && within(b.Lo[thin], b.Hi[thin], (low+high)/2)
			})
		}
		if all {
			sum += to - from
		}
	}
	return sum
}

// TestMass: a part weighs its area times the nominal thickness times the density, less what is
// machined away, which is at most what its features take together and at least the largest of
// them, and what its bands weigh: thickness times length times what of their width lies on it.
func TestMass(t *testing.T) {
	every(t, func(t *rapid.T, s *shopAndSolid) {
		var parts, hardware float64
		for i := range s.Parts {
			p := &s.Parts[i]
			kg := p.Material.Nominal.MM() * p.Material.Density / 1e9 // of a mm2
			area, gone, largest := p.Length.MM()*p.Width.MM(), 0.0, 0.0
			for _, f := range p.Features {
				b := f.Box
				taken := b.Size(0).MM() * b.Size(1).MM() * b.Size(2).MM() / p.Material.Thickness.MM()
				if f.Kind == cabinets.Hole {
					taken *= math.Pi / 4
				}
				if min(b.Size(0), b.Size(1), b.Size(2)) <= 0 {
					t.Errorf("%s: the %s %s takes nothing: %v", p.Name, f.Kind, f.About, b)
				}
				gone += taken
				largest = max(largest, taken)
			}
			bands := 0.0
			for _, e := range p.Edges {
				if e.Treatment != nil && e.Treatment.Band != nil {
					b := e.Treatment.Band
					bands += b.Thickness.MM() * min(b.Width.MM(), p.Material.Thickness.MM()) * e.Length.MM() * b.Density / 1e9
				}
			}
			if least, most := (area-gone)*kg+bands, (area-largest)*kg+bands; p.Mass < least-1e-9 || p.Mass > most+1e-9 {
				t.Errorf("%s weighs %g kg, want %g to %g", p.Name, p.Mass, least, most)
			}
			parts += p.Mass
		}
		for i := range s.Hardware {
			hardware += s.Hardware[i].Mass()
		}
		if kg, _ := s.Solid.Mass(); math.Abs(kg-parts-hardware) > 1e-9 {
			t.Errorf("the cabinet weighs %g kg, its parts %g and its hardware %g", kg, parts, hardware)
		}
	})
}

// facing is what one part sees of another across no more than the gap of pressed felt.
type facing struct {
	from, to string
	look     cabinets.Direction
}

// TestFeltFromEitherSide looks out of every face of every part for what stands before it across
// no more than pressed felt takes. Seen from one side, a joint must be what it is seen from the
// other, and it has felt, on one of the two, unless both are glued or are declared to stay apart.
func TestFeltFromEitherSide(t *testing.T) {
	every(t, func(t *rapid.T, s *shopAndSolid) {
		felted := map[facing]bool{}
		for _, c := range s.Contacts {
			if s.Part(c.Against) == nil { // what stands in a lined inside
				continue
			}
			f := facing{c.On, c.Against, c.Face}
			back := facing{c.Against, c.On, -c.Face}
			if felted[back] {
				t.Errorf("%s and %s both carry the felt between them", c.On, c.Against)
			}
			felted[f] = true
		}
		seen := map[facing]bool{}
		for i := range s.Parts {
			for _, f := range s.look(i) {
				seen[f] = true
			}
		}
		for f := range seen {
			if !seen[facing{f.to, f.from, -f.look}] {
				t.Errorf("%s sees %s, which does not see it", f.from, f.to)
			}
			if !felted[f] && !felted[facing{f.to, f.from, -f.look}] && !s.opened(f) && !s.apart(f.from, f.to) {
				t.Errorf("%s and %s touch without felt", f.from, f.to)
			}
		}
		for f := range felted {
			if !seen[f] {
				t.Errorf("felt on %s against %s, which it does not see", f.from, f.to)
			}
		}
	})
}

// look finds what a part of another assembly sees it across a gap of felt.
func (s *shopAndSolid) look(i int) (found []facing) {
	p := &s.Parts[i]
	for k := range s.Parts {
		q := &s.Parts[k]
		if k == i || q.Assembly == p.Assembly {
			continue
		}
		e := common(p.Box, q.Box)
		for axis, extent := range e {
			others := min(e[(axis+1)%3], e[(axis+2)%3])
			if extent > rounding || -extent > s.pressed+rounding || others <= rounding {
				continue
			}
			for _, d := range []cabinets.Direction{cabinets.Left, cabinets.Right, cabinets.Front, cabinets.Back, cabinets.Bottom, cabinets.Top} {
				if d.Axis() == cabinets.Axis(axis) && d.High() == (p.Box.Lo[axis] < q.Box.Lo[axis]) {
					found = append(found, facing{p.Name, q.Name, d})
				}
			}
		}
	}
	return found
}

// opened reports whether one of two parts has a cut-out, which may leave nothing that touches.
func (s *shopAndSolid) opened(f facing) bool {
	return slices.ContainsFunc([]string{f.from, f.to}, func(name string) bool {
		return slices.ContainsFunc(s.Part(name).Features, func(f cabinets.Feature) bool { return f.Kind == cabinets.Cutout })
	})
}

// apart reports whether the definition declares a clearance between two parts, by the names of
// the parts or of their assemblies, counters left out.
func (s *shopAndSolid) apart(a, b string) bool {
	named := func(part, name string) bool {
		p := s.Part(part)
		plain := func(path string) string { return strings.TrimSuffix(counter.ReplaceAllString(path+".", "$1"), ".") }
		return plain(part) == name || plain(p.Assembly) == name
	}
	return slices.ContainsFunc(s.Definition.Clearances, func(c cabinets.ClearanceRule) bool {
		return named(a, c.Between) && named(b, c.And) || named(b, c.Between) && named(a, c.And)
	})
}
