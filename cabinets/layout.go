package cabinets

import (
	"cmp"
	"fmt"
	"slices"

	"sawbook/cabinets/formula"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
)

// Layout is one interior as read.
type Layout struct {
	Name, About string
	// Inside is the room there is: length, width, height. Zero is as much as is wanted.
	Inside   [3]measure.Length
	Measures []string // names of further measures that formulas go by
	Measured string   // the serials of the vehicles whose own measures these are, "" where they are the layout's
	Cabinets []Placement
	Options  []Option
	Roles    shop.Refills
	Vehicle  *Vehicle // nil where nothing is told of it
	Shell    *Shell   // nil where only Inside is known

	tried []NamedChange // after those of all options
}

// Title names a layout, and the vehicles whose own measures it has: "Curlew as measured in 34".
func (l *Layout) Title() string {
	if l.Measured == "" {
		return l.Name
	}
	return l.Name + " as measured in " + l.Measured
}

// try returns the layout with some of its cabinets changed; the layout itself stays as it is.
func (l *Layout) try(changes ...NamedChange) *Layout {
	tried := *l
	tried.tried = append(slices.Clip(l.tried), changes...)
	return &tried
}

// mostStanding bounds the cabinets of a layout, and those that an option adds: each is looked at beside every other.
const mostStanding = 150

// Placement is a cabinet standing in a layout.
type Placement struct {
	Name       string
	Definition *Definition
	At         [3]measure.Length // least corner of its outside once turned
	Far        [3]bool           // along these axes it stands at the far end of the inside instead
	Turn       int               // quarter turns about z, anticlockwise seen from above: 0 to 3
	Beside     string            // stands after this one along x, a felt gap between
	Above      string            // stands on this one, a felt gap between
	Shift      [3]measure.Length // from the place that Beside or Above gives
	// Against are sides that stand against the vehicle: from At they stand off it by a gap
	// of felt, from Beside and Above as what is named there does.
	Against  []Direction
	Scribe   []Direction // sides that are shaped to the wall they stand against
	Changes  []Change    // the later ones win
	Contents []Content   // what is kept in it
	Fixings  Fixings     // that hold it to the vehicle

	key source.Node // its name
	on  source.Node // the name it stands beside or above
}

// onto returns the name that the cabinet stands beside or above, "" where it stands at a
// place of its own.
func (p *Placement) onto() string { return cmp.Or(p.Beside, p.Above) }

// Change gives a cabinet other sizes and roles than its definition and its layout do.
type Change struct {
	Sizes map[string]measure.Length // plain numbers where the size is whole
	Holds *Held                     // nil leaves that as it is
	Roles shop.Refills
}

// NamedChange changes a placed cabinet.
type NamedChange struct {
	Name string
	Change
	key source.Node
}

// farthest is how far from the corner of a layout a cabinet may stand: what is longer
// than any vehicle is a slip.
const farthest = 100 * measure.Metre

// ReadLayout reads a layout, or what it is in a vehicle with measures of its own; nil are those
// of the layout itself. Where there are faults, the layout is incomplete.
func ReadLayout(root source.Node, s *shop.Shop, catalogue *Catalogue, measured *Measured) *Layout {
	r := &layoutReader{shop: s, catalogue: catalogue, measured: measured}
	m := root.File("layout", "about", "inside", "measures", "shell", "vehicle", "roles", "cabinets", "options")
	l := &Layout{Name: m.Need("layout").Text(), About: m.Get("about").Text()}
	r.measures(l, m.Need("inside"), m.Get("measures"))
	l.Shell = r.shell(m.Get("shell"), l.Inside)
	if measured != nil {
		l.Measured = measured.Who
		if !measured.Shell.IsZero() {
			r.shift = [3]measure.Length{} // it says what there is
			l.Shell = r.shell(measured.Shell, l.Inside)
		}
	}
	r.walls = l.Shell
	l.Vehicle = r.vehicle(m.Get("vehicle"), l.Inside)
	l.Cabinets = r.placements(m.Need("cabinets"))
	if n := m.Get("cabinets"); n.IsMap() && len(n.Entries()) == 0 {
		n.Fault("no cabinet stands in this layout", "place at least one")
	}
	l.Options = r.options(m.Get("options"), l.Cabinets)
	definitions := definitionsOf(l.Cabinets)
	for _, o := range l.Options {
		definitions = append(definitions, definitionsOf(o.own())...)
	}
	l.Roles = r.roles(m.Get("roles"), definitions)
	// What an option breaks on its own is told before anybody chooses it.
	l.choose(nil)
	for i := range l.Options {
		l.choose(l.with(&l.Options[i]))
	}
	return l
}

// layoutReader reads one layout; bare numbers are in the shop's unit.
type layoutReader struct {
	shop      *shop.Shop
	catalogue *Catalogue
	walls     *Shell // nil where nothing is measured
	measured  *Measured
	values    formula.Values
	scope     formula.Scope
	shift     [3]measure.Length // how much larger the inside is than the layout's
}

func (r *layoutReader) length(n source.Node, least measure.Length) measure.Length {
	if n.IsText() && isFormula(n.Text()) {
		l, _ := r.reckoned(n, least, farthest)
		return l
	}
	return n.LengthIn(r.shop.Unit, least, farthest)
}

// placements reads a mapping of names to placements.
func (r *layoutReader) placements(n source.Node) []Placement {
	var all []Placement
	entries := n.Entries()
	if count := len(entries); count > mostStanding {
		n.Fault(fmt.Sprintf("%d cabinets, more than %d", count, mostStanding), "an interior has a few dozen: make it several layouts")
		entries = entries[:mostStanding]
	}
	for _, e := range entries {
		all = append(all, r.placement(e, nil))
	}
	return all
}

// placement reads a cabinet and its place; one that replaces another stands as that does where it
// does not say otherwise.
func (r *layoutReader) placement(e source.Entry, replaces *Placement) Placement {
	m := e.Value.Map("cabinet", "at", "beside", "above", "shift", "turn", "against", "scribe", "sizes", "holds", "roles", "contents", "fixings")
	p := Placement{Name: e.Name, key: e.Key, Contents: r.contents(m.Get("contents")), Fixings: r.fixings(m.Get("fixings"))}
	if n := m.Need("cabinet"); n.IsText() {
		p.Definition = r.catalogue.Find(n)
	}
	at, beside, above, shift := m.Get("at"), m.Get("beside"), m.Get("above"), m.Get("shift")
	p.Beside, p.Above = beside.Text(), above.Text()
	given := 0
	for _, n := range []source.Node{at, beside, above} {
		if !n.IsZero() {
			given++
		}
	}
	switch {
	case given == 0 && replaces != nil:
	case given == 0 && e.Value.IsMap():
		e.Key.Fault(fmt.Sprintf("%s has no place", e.Name), "write at: [x, y, z], beside: NAME or above: NAME")
	case given > 1:
		e.Key.Fault(fmt.Sprintf("%s has %d places", e.Name, given), "keep one of at, beside and above")
	case !at.IsZero() && !shift.IsZero():
		shift.Fault("a shift goes with beside or above", "add it to the place under at")
	}
	switch {
	case !beside.IsZero():
		p.on = beside
	case !above.IsZero():
		p.on = above
	}
	if !at.IsZero() {
		p.At, p.Far = r.place(at)
	}
	p.Shift = r.point(shift, -farthest)
	turns := []string{"0", "90", "180", "270"}
	p.Turn = max(0, slices.Index(turns, m.Get("turn").OneOf(turns...)))
	p.Against = readSides(m.Get("against"))
	if replaces != nil {
		p.standAs(replaces, m, given == 0)
	}
	p.Scribe = r.scribe(m.Get("scribe"), &p)
	p.Changes = []Change{r.change(m, p.Definition)}
	return p
}

// point reads [x, y, z].
func (r *layoutReader) point(n source.Node, least measure.Length) (p [3]measure.Length) {
	coordinates(n, func(a Axis, item source.Node) { p[a] = r.length(item, least) })
	return p
}

// place reads [x, y, z], each of which may be far: at the far end of the inside.
func (r *layoutReader) place(n source.Node) (at [3]measure.Length, far [3]bool) {
	coordinates(n, func(a Axis, item source.Node) {
		if far[a] = item.IsText() && item.Text() == "far"; !far[a] {
			at[a] = r.length(item, 0)
		}
	})
	return at, far
}

// coordinates calls read for each of three coordinates.
func coordinates(n source.Node, read func(Axis, source.Node)) {
	items := n.Items()
	if n.IsList() && len(items) != 3 {
		n.Fault(fmt.Sprintf("a place has three coordinates, not %d", len(items)), "write [x, y, z]: along the vehicle, across it, up")
		return
	}
	for axis, item := range items {
		read(Axis(axis), item)
	}
}

// unread reports whether a definition cannot be told: its name was at fault, or its file holds nothing that can be read.
func (d *Definition) unread() bool { return d == nil || d.Name == "" }

// change reads the sizes and roles of a cabinet of a definition.
func (r *layoutReader) change(m source.Map, d *Definition) Change {
	c := Change{Sizes: map[string]measure.Length{}}
	if d.unread() {
		return c
	}
	c.Roles = r.roles(m.Get("roles"), []*Definition{d})
	c.Holds = r.holds(m.Get("holds"), d)
	for _, e := range m.Get("sizes").Entries() {
		if list := d.list(e.Name); len(list) > 0 {
			r.list(e, list, c.Sizes)
			continue
		}
		size := d.size(e.Name)
		if size == nil {
			var known []string
			for _, s := range d.Sizes {
				if s.List != "" && !slices.Contains(known, s.List) {
					known = append(known, s.List)
				}
				known = append(known, s.Name)
			}
			e.Key.Fault(fmt.Sprintf("%s has no size %q", d.Name, e.Name), source.Suggest(e.Name, known))
			continue
		}
		r.size(e.Value, size, c.Sizes)
	}
	return c
}

// size reads the value of a size.
func (r *layoutReader) size(n source.Node, size *Size, into map[string]measure.Length) {
	var value measure.Length
	written, ok := n.IsText() && isFormula(n.Text()), true
	switch {
	case written && size.Whole:
		value, ok = r.reckonedWhole(n, int64(size.Least), int64(size.Most))
	case written:
		value, ok = r.reckoned(n, size.Least, size.Most)
	case size.Whole:
		value = measure.Length(n.Whole(int64(size.Least), int64(size.Most)))
	default:
		value = n.LengthIn(r.shop.Unit, size.Least, size.Most)
	}
	if ok && value >= size.Least { // not at fault
		into[size.Name] = value
	}
}

// list reads the values of a list of sizes; those that it leaves out keep their defaults.
func (r *layoutReader) list(e source.Entry, sizes []*Size, into map[string]measure.Length) {
	items := e.Value.Items()
	if len(items) > len(sizes) {
		e.Value.Fault(fmt.Sprintf("%s has %d values, and may have %d", e.Name, len(items), len(sizes)), "leave some out")
		return
	}
	for i, size := range sizes {
		if i < len(items) {
			r.size(items[i], size, into)
		} else {
			into[size.Name] = size.Default
		}
	}
}

// roles reads what fills roles, each of which must be one of some definition's.
func (r *layoutReader) roles(n source.Node, definitions []*Definition) shop.Refills {
	var known []string
	for _, d := range definitions {
		if d.unread() {
			return r.shop.ReadRefills(n) // whose roles cannot be told
		}
		for _, role := range d.Roles {
			if !slices.Contains(known, role.Name) {
				known = append(known, role.Name)
			}
		}
	}
	for _, e := range n.Entries() {
		if !slices.Contains(known, e.Name) {
			e.Key.Fault(fmt.Sprintf("no cabinet here has a role %q", e.Name), source.Suggest(e.Name, known))
		}
	}
	return r.shop.ReadRefills(n)
}

func definitionsOf(placements []Placement) []*Definition {
	all := make([]*Definition, len(placements))
	for i, p := range placements {
		all[i] = p.Definition
	}
	return all
}
