package cabinets

import (
	"cmp"
	"slices"
	"testing"

	gocmp "github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"sawbook/cabinets/measure"
)

// drawBoxes draws boxes on a coarse grid, so that many touch and overlap.
func drawBoxes(t *rapid.T, most int) []Box {
	boxes := make([]Box, rapid.IntRange(0, most).Draw(t, "boxes"))
	for i := range boxes {
		for a := range 3 {
			boxes[i].Lo[a] = measure.Length(rapid.IntRange(0, 6).Draw(t, "lo")) * mm
			boxes[i].Hi[a] = boxes[i].Lo[a] + measure.Length(rapid.IntRange(1, 3).Draw(t, "size"))*mm
		}
	}
	return boxes
}

// TestMeets compares the sweep with looking at every pair and every axis.
func TestMeets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		boxes := drawBoxes(t, 12)
		reach := measure.Length(rapid.IntRange(0, 3).Draw(t, "reach")) * mm
		type key struct{ a, b int }
		got := map[key]meet{}
		for _, m := range meets(boxes, reach) {
			got[key{m.a, m.b}] = m
		}
		count := 0
		for i, b := range boxes {
			for j, o := range boxes {
				if i == j {
					continue
				}
				var apart [3]measure.Length // of o above b; below 0 where they overlap
				inside, beyond, along := 0, 0, X
				for a := X; a <= Z; a++ {
					apart[a] = o.Lo[a] - b.Hi[a]
					switch {
					case o.Lo[a] < b.Hi[a] && b.Lo[a] < o.Hi[a]:
						inside++
					case apart[a] >= 0 && apart[a] <= reach:
						beyond++
						along = a
					}
				}
				m, found := got[key{i, j}]
				switch {
				case inside == 3:
					if other, back := got[key{j, i}]; !found && !back || found && !m.overlap || back && !other.overlap {
						t.Errorf("%v and %v overlap", b, o)
					}
					if found {
						count++
					}
				case inside == 2 && beyond == 1:
					count++
					if !found || m.overlap || m.axis != along || m.gap != apart[along] || m.touches() != (m.gap == 0) {
						t.Errorf("%v lies %s below %v along %s, found %v", b, apart[along].Exact(), o, along, m)
					}
					if found && (m.shared.Size(along) != m.gap || m.shared.Lo[along] != b.Hi[along]) {
						t.Errorf("the gap between %v and %v is %v", b, o, m.shared)
					}
				case found:
					t.Errorf("%v and %v do not meet: %v", b, o, m)
				}
			}
		}
		if count != len(got) {
			t.Errorf("%d pairs meet, found %d", count, len(got))
		}
	})
}

// TestSquare moves planes together that lie within a micrometre, and no others.
func TestSquare(t *testing.T) {
	a := Box{[3]measure.Length{0, 0, 0}, [3]measure.Length{12 * mm, mm, mm}}
	b := Box{[3]measure.Length{12*mm + 1, 999, 0}, [3]measure.Length{20 * mm, mm + 1000, mm - 2}}
	square([]*Box{&a, &b})
	if want := (Box{[3]measure.Length{12 * mm, 0, 0}, [3]measure.Length{20 * mm, mm + 1000, mm - 2}}); b != want {
		t.Errorf("got %v, want %v", b, want)
	}
	if want := (Box{[3]measure.Length{0, 0, 0}, [3]measure.Length{12 * mm, mm, mm - 2}}); a != want {
		t.Errorf("got %v, want %v", a, want)
	}
}

// TestPlace wants what was turned into a part's own frame to come back to its place.
func TestPlace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Part{Thin: Axis(rapid.IntRange(0, 2).Draw(t, "thin"))}
		p.Long = (p.Thin + Axis(rapid.IntRange(1, 2).Draw(t, "long"))) % 3
		for a := range 3 {
			p.Snapped.Lo[a] = measure.Length(rapid.IntRange(-9, 9).Draw(t, "at")) * mm
			p.Snapped.Hi[a] = p.Snapped.Lo[a] + measure.Length(rapid.IntRange(5, 9).Draw(t, "size"))*mm
			for end := range p.off[a] {
				p.off[a][end] = measure.Length(rapid.IntRange(0, 2).Draw(t, "band")) * mm
			}
		}
		cut := p.Cut()
		p.Length, p.Width = cut.Size(p.Long), cut.Size(p.across())
		at := cut
		at.Lo[rapid.IntRange(0, 2).Draw(t, "axis")] += mm
		if back := p.Place(p.own(relative(at, cut))); back != at {
			t.Errorf("%v came back as %v", at, back)
		}
	})
}

// TestFrame turns the four corners of a unit cube into the frame of a part, and looks at
// which way they come out. The list of axes along which v runs against the cabinet's is
// that of Part's comment.
func TestFrame(t *testing.T) {
	against := map[[2]Axis]bool{{X, Y}: true, {Y, Z}: true, {Z, X}: true}
	for thin := X; thin <= Z; thin++ {
		for long := X; long <= Z; long++ {
			if long == thin {
				continue
			}
			p := Part{Thin: thin, Long: long, Length: 100, Width: 50}
			if got := p.Toward(SideFar).High(); got == against[[2]Axis{long, thin}] {
				t.Errorf("long %s, thin %s: v runs toward high: %v", long, thin, got)
			}
			at := func(x, y, z measure.Length) [3]measure.Length {
				c := [3]measure.Length{x, y, z}
				return p.own(Box{c, c}).Lo
			}
			zero := at(0, 0, 0)
			var m [3][3]measure.Length
			for a, c := range [3][3]measure.Length{at(1, 0, 0), at(0, 1, 0), at(0, 0, 1)} {
				for i := range c {
					m[a][i] = c[i] - zero[i]
				}
			}
			if d := determinant(m); d != 1 {
				t.Errorf("long %s, thin %s: determinant %d, want 1 for a right-handed frame", long, thin, d)
			}
			for s := SideNear; s <= SideEnd; s++ {
				d := p.Toward(s)
				if p.side(d) != s {
					t.Errorf("long %s, thin %s: side %d looks %s, which is side %d", long, thin, s, d, p.side(d))
				}
				// A point far outside in that direction lies beyond that edge.
				var far [3]measure.Length
				far[d.Axis()] = -1000
				if d.High() {
					far[d.Axis()] = 1000
				}
				own := at(far[X], far[Y], far[Z])
				beyond := map[Side]bool{SideNear: own[1] < 0, SideFar: own[1] > p.Width, SideStart: own[0] < 0, SideEnd: own[0] > p.Length}
				if !beyond[s] {
					t.Errorf("long %s, thin %s: side %d looks %s, which comes out as %v", long, thin, s, d, own)
				}
			}
		}
	}
}

func determinant(m [3][3]measure.Length) measure.Length {
	return m[0][0]*(m[1][1]*m[2][2]-m[1][2]*m[2][1]) -
		m[0][1]*(m[1][0]*m[2][2]-m[1][2]*m[2][0]) +
		m[0][2]*(m[1][0]*m[2][1]-m[1][1]*m[2][0])
}

// glue makes one assembly of boxes 1 to 3 mm in every direction, each thin along some
// axis, with nothing declared.
func glue(t *rapid.T, most int) *expansion {
	e := &expansion{shop: bench(), solid: &Solid{}}
	e.shop.Saw.Step = 0
	fill := e.shop.Roles["carcass"]
	for _, b := range drawBoxes(t, most) {
		thin := Axis(rapid.IntRange(0, 2).Draw(t, "thin"))
		e.solid.Parts = append(e.solid.Parts, Part{Box: b, Material: fill.Material, Thin: thin, Long: (thin + 1) % 3,
			Assembly: rapid.SampledFrom([]string{"one", "one", "one", "other"}).Draw(t, "assembly")})
		e.made = append(e.made, made{rule: &PartRule{}, fill: &fill})
	}
	return e
}

// TestEdges compares open edges with looking at every cubic millimetre outside an edge: an
// edge is covered where its whole thickness lies against, or in, a glued neighbour.
func TestEdges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := glue(t, 10)
		found := meets(e.boxes(), 0)
		e.openings(found)
		e.snap(found)
		e.edges()
		for i := range e.solid.Parts {
			p := &e.solid.Parts[i]
			for s := SideNear; s <= SideEnd; s++ {
				d := p.Toward(s)
				along := X + Y + Z - p.Thin - d.Axis()
				covered := measure.Length(0)
				for u := p.Box.Lo[along]; u < p.Box.Hi[along]; u += mm {
					all := true
					for w := p.Box.Lo[p.Thin]; w < p.Box.Hi[p.Thin]; w += mm {
						var cell [3]measure.Length
						cell[along], cell[p.Thin], cell[d.Axis()] = u, w, p.Box.Lo[d.Axis()]-mm
						if d.High() {
							cell[d.Axis()] = p.Box.Hi[d.Axis()]
						}
						all = all && e.filled(i, cell)
					}
					if all {
						covered += mm
					}
				}
				edge := p.Edges[s]
				if edge.Length != p.Box.Size(along) {
					t.Errorf("edge %d of part %d is %s long, want %s", s, i, edge.Length.Exact(), p.Box.Size(along).Exact())
				}
				if edge.Open+covered != edge.Length {
					t.Errorf("edge %d of part %d is open over %s of %s, %s are covered", s, i, edge.Open.Exact(), edge.Length.Exact(), covered.Exact())
				}
				if (edge.Treatment != nil) != (edge.Open > 0) {
					t.Errorf("edge %d of part %d is open over %s and gets %v", s, i, edge.Open.Exact(), edge.Treatment)
				}
			}
		}
	})
}

// filled reports whether a cubic millimetre belongs to a neighbour that part i is glued to.
func (e *expansion) filled(i int, cell [3]measure.Length) bool {
	for j := range e.solid.Parts {
		if q := &e.solid.Parts[j]; j != i && e.glued(i, j) && q.Box.holds(Box{cell, [3]measure.Length{cell[X] + mm, cell[Y] + mm, cell[Z] + mm}}) {
			return true
		}
	}
	return false
}

// TestContactsFromEitherSide finds the same felt whichever part comes first.
func TestContactsFromEitherSide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := glue(t, 10)
		for i := range e.solid.Parts {
			e.solid.Parts[i].Name = string(rune('a' + i))
		}
		contacts := func() []Contact {
			e.solid.Contacts = nil
			e.contacts(meets(e.boxes(), e.shop.Felt.Pressed), make([][]end, len(e.made)))
			list := slices.Clone(e.solid.Contacts)
			slices.SortFunc(list, func(a, b Contact) int {
				return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.Against, b.Against))
			})
			return list
		}
		forward := contacts()
		slices.Reverse(e.solid.Parts)
		slices.Reverse(e.made)
		if diff := gocmp.Diff(forward, contacts()); diff != "" {
			t.Error(diff)
		}
		for _, c := range forward {
			a := e.solid.Parts[slices.IndexFunc(e.solid.Parts, func(p Part) bool { return p.Name == c.On })]
			b := e.solid.Parts[slices.IndexFunc(e.solid.Parts, func(p Part) bool { return p.Name == c.Against })]
			if a.Assembly == b.Assembly {
				t.Errorf("felt between %s and %s, which are glued", c.On, c.Against)
			}
		}
	})
}
