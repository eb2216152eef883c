package cabinets

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
)

// Interior is a layout with its options chosen, every cabinet expanded and placed.
type Interior struct {
	Layout   *Layout
	Options  []string // chosen, in the layout's order
	Cabinets []Placed
	Contacts []Contact // between cabinets
	Scribes  []Scribe  // edges shaped to the walls
	Findings []Finding // of all cabinets and between them

	whole *Interior // of which this is the share of a release, nil where it is all
	alike alike
}

// alike holds solids by what they are expanded from.
type alike map[string]*Solid

// Title names an interior with its options: "Curlew + no pantry".
func (in *Interior) Title() string {
	return strings.Join(append([]string{in.Layout.Title()}, in.Options...), " + ")
}

// MarshalText returns the title: JSON that tells where parts go names the interior.
func (in *Interior) MarshalText() ([]byte, error) { return []byte(in.Title()), nil }

// Placed is an expanded cabinet where it stands.
type Placed struct {
	Name  string
	Solid *Solid // shared by cabinets that are alike
	At    [3]measure.Length
	Turn  int
	Box   Box // outside, in the layout
	// Against are the sides that stand against the vehicle, as the cabinet names them.
	Against []Direction
	Scribe  []Direction // sides that are shaped to the wall

	Contents []Content
	Fixings  Fixings
}

// mostInside bounds the parts of an interior, fifty times what is usual.
const mostInside = 10_000

// Interior expands and places the cabinets of a layout with the options chosen. Faults go
// to c; those of the options go to at, which lists their names, or has none where they
// come from elsewhere.
func (l *Layout) Interior(c *source.Collector, s *shop.Shop, at source.Node, options []string) *Interior {
	return l.interior(c, s, at, options, alike{})
}

// Try returns the interior with some of its cabinets changed, whatever options say of them. What
// stays as it is is not expanded again.
func (in *Interior) Try(c *source.Collector, s *shop.Shop, changes ...NamedChange) *Interior {
	known := alike{}
	maps.Copy(known, in.alike)
	return in.Layout.try(changes...).interior(c, s, source.Node{}, in.Options, known)
}

// interior adds to known what it expands.
func (l *Layout) interior(c *source.Collector, s *shop.Shop, at source.Node, options []string, known alike) *Interior {
	in := &Interior{Layout: l, alike: known}
	chosen := l.options(c, at, options)
	roles := []shop.Refills{l.Roles}
	for _, o := range chosen {
		in.Options = append(in.Options, o.Name)
		roles = append(roles, o.Roles)
	}
	e := expander{c, s, shop.Refill(s.Roles, roles...), known, len(l.tried) > 0}
	placements := l.choose(chosen)
	parts := 0
	for i := range placements {
		p := &placements[i]
		if p.Definition == nil { // a fault already
			continue
		}
		if solid := e.expand(p); solid != nil {
			if parts += len(solid.Parts); parts > mostInside {
				e.refuse(p, Refusals{{Text: fmt.Sprintf("with %s, there are more than %d parts in %s", p.Name, mostInside, in.Title()), Hint: "an interior has a few hundred: make it several layouts"}})
				return in
			}
			in.Cabinets = append(in.Cabinets, Placed{Name: p.Name, Solid: solid, Turn: p.Turn, Against: p.Against, Scribe: p.Scribe, Contents: p.Contents, Fixings: p.Fixings})
		}
	}
	in.stand(placements, s.Felt.Pressed)
	in.weigh(s.Limits.Lift)
	in.tips()
	in.stow(s.Style)
	in.stands(s.Style)
	in.reached(s.Limits.Reach, s.Style)
	in.opens(s.Style)
	in.check(s)
	in.meet(&s.Felt)
	return in
}

// faultNeighbours faults cabinets that stand beside or above one that is not there, and
// circles of them.
func faultNeighbours(standing []Placement, dropped map[string]source.Node) {
	named, told := map[string]*Placement{}, map[string]bool{}
	var known []string
	for i := range standing {
		named[standing[i].Name] = &standing[i]
		known = append(known, standing[i].Name)
	}
	for i := range standing {
		p := &standing[i]
		onto := p.onto()
		if onto == "" {
			continue
		}
		if named[onto] == nil {
			if at, drop := dropped[onto]; drop {
				at.Fault(fmt.Sprintf("%s, which stays, stands against %s", p.Name, onto), fmt.Sprintf("drop %s too, and add it at another place", p.Name))
			} else {
				p.on.Fault(fmt.Sprintf("no cabinet is called %q", onto), source.Suggest(onto, known))
			}
			continue
		}
		circle := []*Placement{p}
		for q := named[onto]; q != nil && !slices.Contains(circle, q); q = named[q.onto()] {
			circle = append(circle, q)
		}
		if last := circle[len(circle)-1]; last.onto() == p.Name && !told[p.Name] {
			p.on.Fault(fmt.Sprintf("%s stands beside or above itself", p.Name), "give one cabinet of the circle a place under at")
			for _, q := range circle {
				told[q.Name] = true
			}
		}
	}
}

// expander expands each kind of cabinet once.
type expander struct {
	faults *source.Collector
	shop   *shop.Shop
	fills  map[string]shop.Fill // of the layout with its options
	alike  alike
	tried  bool // what is refused stands in no file
}

// expand returns nil where the cabinet cannot be expanded.
func (e *expander) expand(p *Placement) *Solid {
	if p.Definition.faulty { // its own faults say it all
		return nil
	}
	choice := Choice{Sizes: map[string]measure.Length{}}
	var refills []shop.Refills
	for _, change := range p.Changes {
		maps.Copy(choice.Sizes, change.Sizes)
		if change.Holds != nil {
			choice.Holds = change.Holds
		}
		refills = append(refills, change.Roles)
	}
	choice.Roles = shop.Refill(e.fills, refills...)
	// Maps print sorted, materials and bands as their addresses.
	key := fmt.Sprintf("%p %v", p.Definition, choice)
	if solid, ok := e.alike[key]; ok {
		return solid
	}
	solid, err := Expand(e.shop, p.Definition, choice)
	if err != nil {
		e.refuse(p, err)
	}
	e.alike[key] = solid
	return solid
}

// refuse faults a cabinet where it is placed, or, in a trial, which stands in no file, by its name.
func (e *expander) refuse(p *Placement, err error) {
	refusals := (Refusals)(nil)
	switch errors.As(err, &refusals); {
	case e.tried:
		e.faults.Add(source.Fault{Text: p.Name + ": " + err.Error()})
	default:
		refusals.Report(e.faults, p.key)
	}
}

// stand places every cabinet, after the one it stands beside or above.
func (in *Interior) stand(placements []Placement, gap measure.Length) {
	placement, placed := map[string]*Placement{}, map[string]*Placed{}
	for i := range placements {
		placement[placements[i].Name] = &placements[i]
	}
	for i := range in.Cabinets {
		placed[in.Cabinets[i].Name] = &in.Cabinets[i]
	}
	var stand func(p *Placed)
	stand = func(p *Placed) {
		if p.Box != (Box{}) {
			return
		}
		rule := placement[p.Name]
		p.At = rule.At
		for a, far := range rule.Far {
			if far {
				p.At[a] = in.Layout.Inside[a] - p.Place(p.Solid.Outside).Size(Axis(a))
			}
		}
		if rule.onto() == "" {
			p.standOff(gap)
		}
		p.Box.Hi[Z] = 1 // circles end here
		if onto := placed[rule.onto()]; onto != nil {
			stand(onto)
			p.At = onto.Box.Lo
			if rule.Beside != "" {
				p.At[X] = onto.Box.Hi[X] + gap
			} else {
				p.At[Z] = onto.Box.Hi[Z] + gap
			}
			for axis := range p.At {
				p.At[axis] += rule.Shift[axis]
			}
		}
		p.Box = p.Place(p.Solid.Outside)
	}
	for i := range in.Cabinets {
		stand(&in.Cabinets[i])
	}
}

// standOff moves a cabinet off the vehicle by a gap of felt, at each side that stands
// against it.
func (p *Placed) standOff(gap measure.Length) {
	for _, side := range p.Against {
		if d := p.facing(side); d.High() {
			p.At[d.Axis()] -= gap
		} else {
			p.At[d.Axis()] += gap
		}
	}
}

// turned returns the axis of the layout along which one of the cabinet lies.
func (p *Placed) turned(a Axis) Axis {
	if p.Turn%2 == 1 && a != Z {
		return X + Y - a
	}
	return a
}

// facing returns the way in the layout that a side of the cabinet looks.
func (p *Placed) facing(d Direction) Direction {
	for range p.Turn {
		d = turnedOnce(d)
	}
	return d
}

// turnedOnce returns a direction after a quarter turn about z, anticlockwise from above.
func turnedOnce(d Direction) Direction {
	switch d.Axis() {
	case X:
		return toward(Y, d.High())
	case Y:
		return toward(X, !d.High())
	}
	return d
}

// Within returns where a box of the layout lies in the cabinet: Place takes it back.
func (p *Placed) Within(b Box) Box {
	back := Placed{Solid: &Solid{Outside: p.Box}, Turn: (4 - p.Turn) % 4, At: p.Solid.Outside.Lo}
	return back.Place(b)
}

// Place returns where a box of the cabinet stands in the layout.
func (p *Placed) Place(b Box) Box {
	outside := p.Solid.Outside
	for axis := range b.Lo {
		b.Lo[axis] -= outside.Lo[axis]
		b.Hi[axis] -= outside.Lo[axis]
	}
	for turn, along := 0, X; turn < p.Turn; turn, along = turn+1, X+Y-along {
		// A quarter turn takes (x, y) to (-y, x); adding the extent that lay along y brings
		// the corner back to 0.
		extent := outside.Size(X + Y - along)
		b.Lo[X], b.Lo[Y], b.Hi[X], b.Hi[Y] = extent-b.Hi[Y], b.Lo[X], extent-b.Lo[Y], b.Hi[X]
	}
	for axis := range b.Lo {
		b.Lo[axis] += p.At[axis]
		b.Hi[axis] += p.At[axis]
	}
	return b
}
