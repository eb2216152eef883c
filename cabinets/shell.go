package cabinets

import (
	"fmt"
	"math"
	"slices"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
)

// Shell is the inside of a vehicle as measured: its walls, and what stands in the way.
type Shell struct {
	Sections []Section // along the length; nil where the walls are as straight as Inside
	Boxes    []Obstacle
	Doorways []Doorway
	Aisle    Aisle
}

// Section is how wide the inside is at one place along the vehicle.
type Section struct {
	At    measure.Length
	Walls []Wall // upwards
}

// Wall is how far the walls stand off the vehicle's middle at a height.
type Wall struct{ Height, Half measure.Length }

// Obstacle is a wheel box, a seat, or whatever else a cabinet cannot stand in.
type Obstacle struct {
	Name string
	Box  Box
}

// Doorway is an opening that cabinets are carried in through.
type Doorway struct {
	Name          string
	Width, Height measure.Length
	// At is where along the vehicle its middle lies, where it is Placed.
	At     measure.Length
	Placed bool
}

// short returns by how much a box is too large for a doorway, whichever way it is carried.
func (d Doorway) short(b Box) measure.Length {
	size := [3]measure.Length{b.Size(X), b.Size(Y), b.Size(Z)}
	slices.Sort(size[:])
	least, most := min(d.Width, d.Height), max(d.Width, d.Height)
	return max(size[0]-least, size[1]-most, 0)
}

// Aisle is the way that is to stay free along the vehicle.
type Aisle struct{ Width, From, To measure.Length }

// aisleHeight is up to which height an aisle has to be free.
const aisleHeight = measure.Metre

// shell reads the inside as measured, nil where that is left out.
func (r *layoutReader) shell(n source.Node, inside [3]measure.Length) *Shell {
	if n.IsZero() {
		return nil
	}
	m := n.Map("sections", "boxes", "doorways", "aisle")
	s := &Shell{}
	for _, item := range m.Get("sections").Items() {
		s.section(r, item)
	}
	for _, e := range m.Get("boxes").Entries() {
		b := e.Value.Map("at", "size")
		lo := r.point(b.Need("at"), -farthest)
		if places := b.Get("at").Items(); len(places) == 3 && lo[Y] >= (inside[Y]-r.shift[Y])/2 {
			lo[Y] = r.moved(places[Y], lo[Y], r.shift[Y]) // it stands at the far wall
		}
		size := b.Need("size").Map(extents[:]...)
		o := Obstacle{Name: e.Name, Box: Box{Lo: lo, Hi: lo}}
		for a, key := range extents {
			o.Box.Hi[a] += r.length(size.Need(key), measure.Millimetre)
		}
		s.Boxes = append(s.Boxes, o)
	}
	for _, e := range m.Get("doorways").Entries() {
		m := e.Value.Map("width", "height", "at")
		d := Doorway{Name: e.Name, Width: r.length(m.Need("width"), 100*measure.Millimetre), Height: r.length(m.Need("height"), 100*measure.Millimetre)}
		if at := m.Get("at"); !at.IsZero() {
			d.At, d.Placed = r.length(at, -farthest), true
		}
		s.Doorways = append(s.Doorways, d)
	}
	if n := m.Get("aisle"); !n.IsZero() {
		a := n.Map("width", "from", "to")
		s.Aisle = Aisle{Width: r.length(a.Need("width"), 100*measure.Millimetre), From: r.length(a.Get("from"), -farthest), To: inside[X]}
		if n := a.Get("to"); !n.IsZero() {
			s.Aisle.To = r.length(n, -farthest)
		}
	}
	return s
}

// section reads {at: ..., walls: [[height, half], ...]}. Sections rise along the vehicle,
// walls upwards.
func (s *Shell) section(r *layoutReader, n source.Node) {
	m := n.Map("at", "walls")
	at := m.Need("at")
	section := Section{At: r.length(at, -farthest)}
	if k := len(s.Sections); k > 0 && section.At <= s.Sections[k-1].At {
		at.Fault("sections must rise along the vehicle", "list them from the front to the back")
	}
	walls := m.Need("walls")
	for _, pair := range walls.Items() {
		items := pair.Items()
		if pair.IsList() && len(items) != 2 {
			pair.Fault(fmt.Sprintf("a wall is two lengths, not %d", len(items)), "write [height, half of the width there]")
			continue
		}
		if len(items) != 2 {
			continue
		}
		w := Wall{r.length(items[0], 0), r.moved(items[1], r.length(items[1], 0), r.shift[Y]/2)}
		if k := len(section.Walls); k > 0 && w.Height <= section.Walls[k-1].Height {
			items[0].Fault("heights must rise", "list a section's walls from the floor up")
		}
		section.Walls = append(section.Walls, w)
	}
	if walls.IsList() && len(walls.Items()) == 0 {
		walls.Fault("the section has no wall", "list at least one [height, half of the width there]")
	}
	if len(section.Walls) > 0 { // else that is a fault already
		s.Sections = append(s.Sections, section)
	}
}

// straight returns the value at x of what is a at from and b at to, straight between them.
func straight(x, from, to measure.Length, a, b float64) float64 {
	if to == from {
		return a
	}
	share := float64(x-from) / float64(to-from)
	return a + float64((b-a)*share)
}

// half returns how far the walls of a section stand off the middle at a height, in mm; above its
// highest wall and below its lowest it is as there.
func (s *Section) half(z measure.Length) float64 {
	w := s.Walls
	i := slices.IndexFunc(w, func(w Wall) bool { return w.Height >= z })
	switch {
	case i < 0:
		return w[len(w)-1].Half.MM()
	case i == 0:
		return w[0].Half.MM()
	}
	return straight(z, w[i-1].Height, w[i].Height, w[i-1].Half.MM(), w[i].Half.MM())
}

// Half returns how far the walls stand off the middle at a place and a height, in mm.
func (s *Shell) Half(x, z measure.Length) float64 {
	i := slices.IndexFunc(s.Sections, func(s Section) bool { return s.At >= x })
	switch {
	case i < 0:
		return s.Sections[len(s.Sections)-1].half(z)
	case i == 0:
		return s.Sections[0].half(z)
	}
	a, b := &s.Sections[i-1], &s.Sections[i]
	return straight(x, a.At, b.At, a.half(z), b.half(z))
}

// reach is by how much a box reaches through a wall, where most.
type reach struct {
	by   float64 // mm
	x, z measure.Length
}

// knots returns the ends of a box and where the walls may bend between them: along the vehicle
// and upwards.
func (s *Shell) knots(b Box) (xs, zs []measure.Length) {
	xs, zs = []measure.Length{b.Lo[X], b.Hi[X]}, []measure.Length{b.Lo[Z], b.Hi[Z]}
	for i := range s.Sections {
		if at := s.Sections[i].At; b.Lo[X] < at && at < b.Hi[X] {
			xs = append(xs, at)
		}
		for _, w := range s.Sections[i].Walls {
			if b.Lo[Z] < w.Height && w.Height < b.Hi[Z] {
				zs = append(zs, w.Height)
			}
		}
	}
	return xs, zs
}

// through returns by how much a box reaches through the walls most. Walls are straight between
// the places that are measured, so that only these and the box's own ends need a look.
func (s *Shell) through(b Box, middle measure.Length) (most reach) {
	xs, zs := s.knots(b)
	out := max((middle - b.Lo[Y]).MM(), (b.Hi[Y] - middle).MM())
	for _, x := range xs {
		for _, z := range zs {
			if by := out - s.Half(x, z); by > most.by {
				most = reach{by, x, z}
			}
		}
	}
	return most
}

// stands finds what does not go with the vehicle's inside as measured.
func (in *Interior) stands(style measure.Style) {
	shell := in.Layout.Shell
	if shell == nil {
		return
	}
	for i := range in.Cabinets {
		p := &in.Cabinets[i]
		in.walls(shell, style, p)
		for _, o := range shell.Boxes {
			in.obstructed(style, p, o)
		}
		in.carried(shell, style, p)
	}
	in.aisle(shell, style)
}

// walls finds parts of a cabinet that reach through a wall, scribed as they are.
func (in *Interior) walls(s *Shell, style measure.Style, p *Placed) {
	if len(s.Sections) == 0 {
		return
	}
	var worst reach
	part := ""
	for i := range p.Solid.Parts {
		of := &p.Solid.Parts[i]
		if r := s.through(in.scribe(s, style, p, of), in.Layout.middle()); r.by > worst.by+1e-6 {
			worst, part = r, of.Name
		}
	}
	if n := len(in.Scribes); len(p.Scribe) > 0 && (n == 0 || in.Scribes[n-1].Cabinet != p.Name) {
		in.find(LevelWarning, p.Name, "is to be scribed, and none of its upright parts ends at that side", "choose a cabinet whose sides reach out behind its back")
	}
	if worst.by > same.MM() {
		in.find(LevelError, p.Name+": "+part, fmt.Sprintf("reaches %s through the wall at x %s, z %s", lengthOf(style, worst.by), style.WithUnit(worst.x), style.WithUnit(worst.z)),
			"move it towards the middle, make it less deep or lower, or scribe it")
	}
}

// lengthOf prints a length given in mm, rounded up to a tenth.
func lengthOf(style measure.Style, mm float64) string {
	l, _ := measure.FromMM(math.Ceil(float64(mm*10)-1e-6) / 10)
	return style.WithUnit(l)
}

// middle is where the vehicle's middle lies across the layout.
func (l *Layout) middle() measure.Length {
	if l.Vehicle != nil {
		return l.Vehicle.Middle
	}
	return l.Inside[Y] / 2
}

// obstructed finds by how much a cabinet stands in an obstacle.
func (in *Interior) obstructed(style measure.Style, p *Placed, o Obstacle) {
	least := measure.Length(math.MaxInt64)
	axis := X
	for i := range p.Solid.Parts {
		shared := p.Place(p.Solid.Parts[i].Box).common(o.Box)
		if shared.Size(X) <= same || shared.Size(Y) <= same || shared.Size(Z) <= same {
			continue
		}
		// How far the whole cabinet would have to move to be free of it.
		whole := p.Box.common(o.Box)
		for a := X; a <= Z; a++ {
			if size := whole.Size(a); size < least {
				least, axis = size, a
			}
		}
	}
	if least < math.MaxInt64 {
		in.find(LevelError, p.Name+", "+o.Name, fmt.Sprintf("they overlap by %s along the %s", style.WithUnit(least), extents[axis]), "move it, make it smaller, or leave its bottom open there")
	}
}

// carried finds assemblies that pass no doorway, or cannot be tilted up under the roof.
func (in *Interior) carried(s *Shell, style measure.Style, p *Placed) {
	if len(s.Doorways) == 0 {
		return
	}
	for _, a := range p.Solid.assemblies() {
		tight, by := Doorway{}, measure.Length(math.MaxInt64)
		upright := false
		for _, d := range s.Doorways {
			if short := d.short(a.box); short < by {
				tight, by = d, short
			}
			upright = upright || a.box.Size(Z) <= d.Height
		}
		if by > 0 {
			in.find(LevelError, p.Name+": "+a.name, fmt.Sprintf("is %s too large for the doorway %s, the nearest to its size", style.WithUnit(by), tight.Name), "build it inside, or divide it")
			continue
		}
		thin := min(a.box.Size(X), a.box.Size(Y)).MM()
		high := a.box.Size(Z).MM()
		diagonal := math.Sqrt(float64(high*high) + float64(thin*thin))
		if roof := in.Layout.Inside[Z].MM(); !upright && roof > 0 && diagonal > roof {
			in.find(LevelWarning, p.Name+": "+a.name, fmt.Sprintf("cannot be tilted up under the roof: its diagonal is %s longer than the inside is high", lengthOf(style, diagonal-roof)), "build it inside, or divide it")
		}
	}
}

// assemblyBox is the outside of an assembly.
type assemblyBox struct {
	name string
	box  Box
}

// assemblies lists a solid's assemblies with their outsides, in the order of their first parts.
func (s *Solid) assemblies() (all []assemblyBox) {
	for i := range s.Parts {
		p := &s.Parts[i]
		k := slices.IndexFunc(all, func(a assemblyBox) bool { return a.name == p.Assembly })
		if k < 0 {
			all = append(all, assemblyBox{p.Assembly, p.Box})
			continue
		}
		for a := range p.Box.Lo {
			all[k].box.Lo[a] = min(all[k].box.Lo[a], p.Box.Lo[a])
			all[k].box.Hi[a] = max(all[k].box.Hi[a], p.Box.Hi[a])
		}
	}
	return all
}

// aisle finds where the way along the vehicle is narrower than wanted.
func (in *Interior) aisle(s *Shell, style measure.Style) {
	if s.Aisle.Width == 0 {
		return
	}
	var solid []Box
	for i := range in.Cabinets {
		for k := range in.Cabinets[i].Solid.Parts {
			solid = append(solid, in.Cabinets[i].Place(in.Cabinets[i].Solid.Parts[k].Box))
		}
	}
	for _, o := range s.Boxes {
		solid = append(solid, o.Box)
	}
	if least, at := in.narrowest(s, solid, s.Aisle.From, s.Aisle.To); least < s.Aisle.Width {
		in.find(LevelWarning, "aisle", fmt.Sprintf("is %s wide from x %s on, and %s are wanted", style.WithUnit(max(least, 0)), style.WithUnit(at), style.WithUnit(s.Aisle.Width)), "move what stands there apart, or make it less deep")
	}
}

// narrowest returns how wide the way between what stands is at least, from one place along the vehicle to another,
// and where that begins.
func (in *Interior) narrowest(s *Shell, solid []Box, from, to measure.Length) (least, at measure.Length) {
	ends := []measure.Length{from, to}
	solid = slices.DeleteFunc(slices.Clone(solid), func(b Box) bool {
		return b.Lo[Z] >= aisleHeight || b.Hi[X] <= from || b.Lo[X] >= to
	})
	for _, b := range solid {
		ends = append(ends, max(b.Lo[X], from), min(b.Hi[X], to))
	}
	slices.Sort(ends)
	ends = slices.Compact(ends)
	least = math.MaxInt64
	for i := 1; i < len(ends); i++ {
		if free := in.free(s, solid, ends[i-1], ends[i]); free < least {
			least, at = free, ends[i-1]
		}
	}
	return least, at
}

// free returns the widest way between what stands from one place along the vehicle to another.
func (in *Interior) free(s *Shell, solid []Box, from, to measure.Length) (widest measure.Length) {
	lo, hi := measure.Length(0), in.Layout.Inside[Y]
	if len(s.Sections) > 0 {
		half, _ := measure.FromMM(min(s.Half(from, 0), s.Half(to, 0), s.Half(from, aisleHeight), s.Half(to, aisleHeight)))
		lo, hi = in.Layout.middle()-half, in.Layout.middle()+half
	}
	var taken [][2]measure.Length
	for _, b := range solid {
		if b.Lo[X] < to && b.Hi[X] > from {
			taken = append(taken, [2]measure.Length{b.Lo[Y], b.Hi[Y]})
		}
	}
	slices.SortFunc(taken, func(a, b [2]measure.Length) int { return int(max(min(a[0]-b[0], 1), -1)) })
	at := lo
	for _, t := range taken {
		widest = max(widest, min(t[0], hi)-at)
		at = max(at, t[1])
	}
	return max(widest, hi-at)
}
