package cabinets

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"sawbook/cabinets/load"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
)

// Vehicle is what a layout says of the vehicle that it stands in.
type Vehicle struct {
	// FrontAxle is where the front axle lies along the layout; the rear one lies a wheelbase
	// behind it.
	FrontAxle, Wheelbase measure.Length
	Track                measure.Length // between the wheels of an axle; 0 where it is not given
	Middle               measure.Length // of the vehicle, across the layout
	// Most is the mass that the vehicle may have in all, Empty what it has without the
	// interior, People and Other what travels in it besides: kg.
	Most, Empty, People, Other float64
	Rule                       *load.Rule // for load restraint, nil for none
}

// Left is what of the payload is left for the interior, in kg.
func (v *Vehicle) Left() float64 { return v.Most - v.Empty - v.People - v.Other }

// Content is something that is kept in a cabinet.
type Content struct {
	What  string
	Mass  float64           // kg
	Size  [3]measure.Length // width, depth, height; zeros where it is not given
	Reach string            // how to get at it
}

// heaviest is the greatest mass in kg that a layout may speak of.
const heaviest = 100_000

// vehicle reads what is known of the vehicle, nil where that is left out.
func (r *layoutReader) vehicle(n source.Node, inside [3]measure.Length) *Vehicle {
	if n.IsZero() {
		return nil
	}
	m := n.Map("front-axle", "wheelbase", "track", "middle", "most", "empty", "people", "other", "rule")
	v := &Vehicle{
		FrontAxle: r.length(m.Need("front-axle"), -farthest), Wheelbase: r.length(m.Need("wheelbase"), 500*measure.Millimetre),
		Middle: inside[Y] / 2,
		Most:   m.Need("most").Number(1, heaviest), Empty: m.Need("empty").Number(0, heaviest),
		People: m.Get("people").Number(0, heaviest), Other: m.Get("other").Number(0, heaviest),
	}
	if n := m.Get("track"); !n.IsZero() {
		v.Track = r.length(n, 500*measure.Millimetre)
	}
	if n := m.Get("middle"); !n.IsZero() {
		v.Middle = r.length(n, -farthest)
	}
	if n := m.Get("rule"); !n.IsZero() {
		v.Rule = load.RuleNamed(n.OneOf(load.Names()...))
	}
	return v
}

// contents reads what is kept in a cabinet.
func (r *layoutReader) contents(n source.Node) (all []Content) {
	for _, item := range n.Items() {
		m := item.Map("what", "mass", "size", "reach")
		c := Content{What: m.Need("what").Text(), Mass: m.Need("mass").Number(0, heaviest), Reach: m.Get("reach").Text()}
		if n := m.Get("size"); !n.IsZero() {
			size := n.Map(axisSizes[:]...)
			for a, key := range axisSizes {
				c.Size[a] = r.length(size.Need(key), measure.Millimetre)
			}
		}
		all = append(all, c)
	}
	return all
}

// Load is what a cabinet weighs in its layout, where, and what its holding-down has to bear.
type Load struct {
	Cabinet                   string
	Parts, Hardware, Contents float64    // kg
	Centre                    [3]float64 // mm, in the layout
	Fixings                   int        // below 0 where none are declared
	Forces                    load.Forces
}

// Mass is that of the whole, in kg.
func (l *Load) Mass() float64 { return l.Parts + l.Hardware + l.Contents }

// Loads lists what each cabinet weighs and asks of its fixings once all releases are built.
func (in *Interior) Loads() []Load {
	in = in.full()
	loads := make([]Load, len(in.Cabinets))
	for i := range in.Cabinets {
		loads[i] = in.loadOf(&in.Cabinets[i])
	}
	return loads
}

func (in *Interior) loadOf(p *Placed) Load {
	l := Load{Cabinet: p.Name, Fixings: p.Fixings.Count}
	own, centre := p.Solid.Mass()
	for i := range p.Solid.Hardware {
		l.Hardware += p.Solid.Hardware[i].Mass()
	}
	l.Parts = own - l.Hardware
	for _, c := range p.Contents {
		l.Contents += c.Mass
	}
	l.Centre = p.at(centre)
	// What is kept in it counts at the middle of its outside.
	if whole := l.Mass(); whole > 0 {
		for a := range l.Centre {
			middle := (p.Box.Lo[a] + p.Box.Hi[a]).MM() / 2
			l.Centre[a] = float64(float64(l.Centre[a]*own)+float64(middle*l.Contents)) / whole
		}
	}
	if v := in.Layout.Vehicle; v != nil && v.Rule != nil {
		box := p.Solid.Outside
		l.Forces = v.Rule.Of(l.Mass(), box.Size(Z) > min(box.Size(X), box.Size(Y)))
	}
	return l
}

// at returns where a point of the cabinet, in mm, stands in the layout.
func (p *Placed) at(point [3]float64) (in [3]float64) {
	var b Box
	for a := range point {
		b.Lo[a] = measure.Length(math.Round(point[a] * float64(measure.Millimetre)))
		b.Hi[a] = b.Lo[a]
	}
	b = p.Place(b)
	for a := range in {
		in[a] = b.Lo[a].MM()
	}
	return in
}

// Balance is how the mass of an interior falls on the vehicle's wheels.
type Balance struct {
	Mass        float64    // kg
	Centre      [3]float64 // mm, in the layout
	Front, Rear float64    // kg
	Left, Right float64    // kg; 0 where the track is not given
	Spare       float64    // kg of payload that are left; below 0 there is too much
}

// Balance sums up the loads of an interior; nil where its layout tells nothing of the vehicle.
func (in *Interior) Balance() *Balance {
	v := in.Layout.Vehicle
	if v == nil {
		return nil
	}
	b := &Balance{}
	for _, l := range in.Loads() { // of all releases
		mass := l.Mass()
		b.Mass += mass
		for a := range b.Centre {
			b.Centre[a] += float64(mass * l.Centre[a])
		}
		front, rear := load.Split(mass, l.Centre[X]-v.FrontAxle.MM(), v.Wheelbase.MM())
		b.Front, b.Rear = b.Front+front, b.Rear+rear
		if v.Track > 0 {
			left, right := load.Sides(mass, l.Centre[Y]-v.Middle.MM(), v.Track.MM())
			b.Left, b.Right = b.Left+left, b.Right+right
		}
	}
	for a := range b.Centre {
		if b.Mass > 0 {
			b.Centre[a] /= b.Mass
		}
	}
	b.Spare = v.Left() - b.Mass
	return b
}

// stow finds contents that do not fit the clear room of their cabinet, whichever of their sides
// faces the front, one by one or, by their volume, all together.
func (in *Interior) stow(style measure.Style) {
	for i := range in.Cabinets {
		p := &in.Cabinets[i]
		room := p.Solid.Inside
		sized := slices.DeleteFunc(slices.Clone(p.Contents), func(c Content) bool { return c.Size == ([3]measure.Length{}) })
		if room == ([3]measure.Length{}) {
			if len(sized) > 0 {
				in.find(LevelNote, p.Name, "whether "+sized[0].What+" fits is not checked: the cabinet declares no inside", "add inside: {width: ..., depth: ..., height: ...} to the cabinet")
			}
			continue
		}
		for _, c := range sized {
			short, axis := c.lacks(room)
			if turned := (Content{Size: [3]measure.Length{c.Size[Y], c.Size[X], c.Size[Z]}}); short > 0 {
				if s, a := turned.lacks(room); s < short {
					short, axis = s, a
				}
			}
			if short > 0 {
				in.find(LevelError, p.Name, fmt.Sprintf("%s does not fit: %s of inside %s are missing", c.What, style.WithUnit(short), axisSizes[axis]), "make the cabinet larger, or keep it elsewhere")
			}
		}
		in.stowTogether(p, sized)
	}
}

// stowTogether finds contents that take more room together than there is. That they take less does
// not mean that they fit beside one another.
func (in *Interior) stowTogether(p *Placed, sized []Content) {
	litres := func(size [3]measure.Length) float64 { return float64(size[X].MM()*size[Y].MM()) * size[Z].MM() / 1e6 }
	taken := 0.0
	for _, c := range sized {
		taken += litres(c.Size)
	}
	if room := litres(p.Solid.Inside); len(sized) > 1 && taken > room {
		takes, inside := Beyond(taken, room)
		in.find(LevelError, p.Name, fmt.Sprintf("what is kept in it takes %s l, and %s l are inside", takes, inside), "make the cabinet larger, or keep something elsewhere")
	}
}

// lacks returns by how much most a room is too small, and along which axis.
func (c *Content) lacks(room [3]measure.Length) (short measure.Length, axis Axis) {
	for a, size := range c.Size {
		if size-room[a] > short {
			short, axis = size-room[a], Axis(a)
		}
	}
	return short, axis
}

// weigh finds what is too heavy, and what nothing holds down.
func (in *Interior) weigh(liftMost float64) {
	for i := range in.Cabinets {
		in.lift(&in.Cabinets[i], liftMost)
	}
	b := in.Balance()
	if b == nil {
		return
	}
	if b.Spare < 0 {
		weighs, left := Beyond(b.Mass, b.Mass+b.Spare)
		over, _ := Beyond(-b.Spare, 0)
		in.find(LevelError, "payload", fmt.Sprintf("the interior weighs %s kg, and %s kg of payload are left for it: %s kg too much", weighs, left, over),
			"leave something out, or take a lighter material")
	}
	for i := range in.Cabinets {
		if p := &in.Cabinets[i]; p.Fixings.Count < 0 {
			in.find(LevelWarning, p.Name, "no fixings to the vehicle are declared", "say how many hold it: fixings: 4; what they must bear is for local codes and licensed practice")
		}
	}
}

// lift finds assemblies that are too heavy to lift.
func (in *Interior) lift(p *Placed, most float64) {
	if most == 0 {
		return
	}
	masses := map[string]float64{}
	var names []string
	for i := range p.Solid.Parts {
		part := &p.Solid.Parts[i]
		if _, met := masses[part.Assembly]; !met {
			names = append(names, part.Assembly)
		}
		masses[part.Assembly] += part.Mass
	}
	for _, name := range names {
		if mass := masses[name]; mass > most {
			weighs, limit := Beyond(mass, most)
			limit = strings.TrimSuffix(limit, ".0")
			in.find(LevelWarning, p.Name+": "+name, fmt.Sprintf("weighs %s kg without hardware, and the shop lifts up to %s kg", weighs, limit),
				"lift it with two, or divide it")
		}
	}
}
