package library_test

import (
	"math"
	"slices"
	"testing"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"

	"pgregory.net/rapid"
)

// TestFinishedFaces holds the area of a part's faces that is finished against one that is
// counted field by field: the planes of all parts divide a face into fields, and a field is
// masked where a part of the same assembly lies just outside it.
func TestFinishedFaces(t *testing.T) {
	k := catalogue(t)
	for _, name := range k.Names() {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				s := drawShop(t)
				s.Joints = nil
				paint := &shop.Finish{Coats: 1}
				for role, fill := range s.Roles {
					fill.Finish, fill.Joint = paint, nil // glued
					s.Roles[role] = fill
				}
				d := k.Lookup(name)
				solid, err := cabinets.Expand(s, d, cabinets.Choice{Sizes: drawSizes(t, d)})
				if err != nil {
					t.Fatal(err)
				}
				for i := range solid.Parts {
					p := &solid.Parts[i]
					want := max(2*p.Length.MM()*p.Width.MM()-masked(solid, p)-cutThrough(p), 0)
					if got := p.Coats[0].Faces * 1e6; math.Abs(got-want) > 1 {
						t.Fatalf("%s: %.1f mm2 of faces, want %.1f", p.Name, got, want)
					}
				}
			})
		})
	}
}

// outside is how far outside a face a field is looked at: further than planes that are the
// same may lie apart, less than two steps of the sizes drawn.
const outside = 3 * rounding / 2

// masked returns the area in mm2 of both faces of a part that parts of its assembly cover.
func masked(s *cabinets.Solid, p *cabinets.Part) (area float64) {
	first, second := (p.Thin+1)%3, (p.Thin+2)%3
	us, vs := planes(s, p, first), planes(s, p, second)
	for _, out := range []measure.Length{p.Box.Lo[p.Thin] - outside, p.Box.Hi[p.Thin] + outside} {
		for i := range us[1:] {
			for k := range vs[1:] {
				var at [3]measure.Length
				at[p.Thin], at[first], at[second] = out, (us[i]+us[i+1])/2, (vs[k]+vs[k+1])/2
				if slices.ContainsFunc(s.Parts, func(q cabinets.Part) bool { return q.Assembly == p.Assembly && holds(q.Box, at) }) {
					area += (us[i+1] - us[i]).MM() * (vs[k+1] - vs[k]).MM()
				}
			}
		}
	}
	return area
}

// planes lists where parts begin and end along an axis, within a part.
func planes(s *cabinets.Solid, p *cabinets.Part, a cabinets.Axis) (list []measure.Length) {
	for i := range s.Parts {
		for _, at := range []measure.Length{s.Parts[i].Box.Lo[a], s.Parts[i].Box.Hi[a]} {
			if p.Box.Lo[a] <= at && at <= p.Box.Hi[a] {
				list = append(list, at)
			}
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

func holds(b cabinets.Box, at [3]measure.Length) bool {
	for a := range at {
		if at[a] <= b.Lo[a] || at[a] >= b.Hi[a] {
			return false
		}
	}
	return true
}

// cutThrough returns the area in mm2 that holes and cut-outs take of both faces.
func cutThrough(p *cabinets.Part) (area float64) {
	for _, f := range p.Features {
		each := f.Box.Size(cabinets.X).MM() * f.Box.Size(cabinets.Y).MM()
		if f.Kind == cabinets.Hole {
			each *= math.Pi / 4
		}
		if f.Kind != cabinets.Groove && f.Box.Size(cabinets.Z) >= p.Material.Thickness {
			area += 2 * each
		} else if f.Kind == cabinets.Hole {
			area += each
		}
	}
	return area
}
