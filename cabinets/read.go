package cabinets

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"sawbook/cabinets/formula"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
)

// mostCount is the greatest count that a size may be.
const mostCount = 1000

// reserved are the names that formulas give a meaning of their own.
var reserved = []string{
	"i", "j", "thick", "felt", "step", "min", "max", "abs", "floor", "ceil", "round",
	"true", "false", "nil", "and", "or", "not", "in", "if", "else", "let",
	"contains", "matches", "startsWith", "endsWith",
}

// ReadDefinition reads and checks a definition: every name that a formula, a role, an
// assembly or a groove uses must be there. Faults are reported; the definition is then
// incomplete.
//
// find returns the cabinet that a node names, or reports a fault and returns nil.
func ReadDefinition(root source.Node, find func(source.Node) *Definition) *Definition {
	r := reader{
		d: &Definition{}, scope: formula.Scope{"felt": true, "step": true},
		values: names{}, roles: names{}, parts: names{}, used: map[string]bool{},
	}
	for _, word := range reserved {
		r.values[word] = ""
	}
	m := root.Map("cabinet", "about", "sizes", "roles", "outside", "inside", "let", "parts", "uses", "hardware", "clearances", "checks")
	r.d.name = m.Need("cabinet")
	r.d.Name, r.d.About = r.d.name.Text(), m.Get("about").Text()
	// All names come first, so that formulas may stand in any order.
	r.sizes(m.Get("sizes"))
	r.roleNames(m.Get("roles"))
	lets, slots := m.Get("let").Entries(), m.Get("hardware").Entries()
	for _, e := range lets {
		r.declare(r.values, "name", e)
		r.scope[fold(e.Name)] = true
	}
	for _, e := range slots {
		r.declare(r.values, "name", e)
		for _, of := range []string{".length", ".side", ".load"} {
			r.scope[fold(e.Name)+of] = true
		}
	}
	r.lets(lets)
	r.hardware(slots)
	r.order()
	r.outside(root, m.Get("outside"))
	r.inside(m.Get("inside"))
	parts, uses := m.Get("parts").Entries(), m.Get("uses").Entries()
	r.collisions(parts, uses)
	for _, e := range uses {
		r.use(e, find)
	}
	for _, e := range parts {
		r.part(e, parts)
	}
	for _, n := range m.Get("clearances").Items() {
		r.clearance(n)
	}
	for _, n := range m.Get("checks").Items() {
		r.check(n)
	}
	r.measured()
	return r.d
}

// names holds what is declared already: the folded name, and the name as written.
type names map[string]string

// fold returns a name as formulas write it.
func fold(name string) string { return strings.ReplaceAll(name, "-", "_") }

// reader reads one definition.
type reader struct {
	d     *Definition
	scope formula.Scope // what every formula may use
	// values are the names of sizes, lets and hardware; parts those of parts and uses.
	values, roles, parts names
	used                 map[string]bool // by some formula
}

// declare faults a name that is taken. Hyphens and underscores are one in formulas, so
// that names which differ only in them are one as well.
func (r *reader) declare(in names, what string, e source.Entry) {
	taken, found := in[fold(e.Name)]
	switch {
	case !found:
		in[fold(e.Name)] = e.Name
	case taken == "":
		e.Key.Fault(fmt.Sprintf("%s has a meaning of its own in formulas", e.Name), "choose another name")
	case taken == e.Name:
		e.Key.Fault(fmt.Sprintf("the %s %s is taken", what, e.Name), "names of sizes, let and hardware differ, and so do those of parts and uses")
	default:
		e.Key.Fault(fmt.Sprintf("%s and %s are one %s", taken, e.Name, what), "in formulas a hyphen is written as an underscore")
	}
}

// unknown faults a name that is not among the known.
func unknown(n source.Node, what, name string, known []string) {
	n.Fault(fmt.Sprintf("unknown %s %q", what, name), source.Suggest(name, known))
}

func (r *reader) sizes(n source.Node) {
	for _, e := range n.Entries() {
		r.declare(r.values, "name", e)
		r.scope[fold(e.Name)] = true
		m := e.Value.Map("default", "least", "most", "whole", "about")
		s := Size{Name: e.Name, About: m.Get("about").Text(), Whole: m.Get("whole").Truth()}
		read := sizeLength
		if s.Whole {
			read = func(n source.Node) measure.Length { return measure.Length(n.Whole(0, mostCount)) }
		}
		s.Default, s.Least, s.Most = read(m.Need("default")), read(m.Need("least")), read(m.Need("most"))
		switch { // a most of 0 has been refused already, or refuses every choice
		case s.Most == 0:
		case s.Least > s.Most:
			m.Get("least").Fault(fmt.Sprintf("least is %s, more than most, which is %s", s.print(s.Least), s.print(s.Most)), "swap them")
		case s.Default < s.Least || s.Default > s.Most:
			m.Get("default").Fault(fmt.Sprintf("the default %s lies outside %s to %s", s.print(s.Default), s.print(s.Least), s.print(s.Most)), "widen the range, or choose another default")
		}
		r.d.Sizes = append(r.d.Sizes, s)
	}
}

// sizeLength reads a length that tells its unit: a definition serves shops that work in mm
// and in inches.
func sizeLength(n source.Node) measure.Length {
	l := n.LengthIn(measure.Millimetres, 0, measure.Most)
	if text := strings.TrimSpace(n.Text()); l != 0 && !hasUnit(text) {
		n.Fault(fmt.Sprintf("%q has no unit", text), fmt.Sprintf("write %s mm or %s in: a cabinet is for shops of either unit", text, text))
	}
	return l
}

// hasUnit reports whether a text that is a length tells its unit.
func hasUnit(text string) bool {
	return strings.ContainsAny(text, `abcdefghijklmnopqrstuvwxyz"'″′`)
}

// print writes a value of the size with its unit.
func (s *Size) print(value measure.Length) string {
	if s.Whole {
		return strconv.FormatInt(int64(value), 10)
	}
	return value.Exact() + " mm"
}

func (r *reader) roleNames(n source.Node) {
	for _, e := range n.Entries() {
		r.declare(r.roles, "role", e)
		r.scope["thick."+fold(e.Name)] = true
		r.d.Roles = append(r.d.Roles, Named{e.Name, e.Value.Text()})
	}
}

func (r *reader) role(n source.Node) string {
	name := n.Text()
	known := make([]string, len(r.d.Roles))
	for i, role := range r.d.Roles {
		known[i] = role.Name
	}
	if n.IsText() && !slices.Contains(known, name) {
		unknown(n, "role", name, known)
	}
	return name
}

// number compiles a formula. A text that is a length with a unit stands for that length.
func (r *reader) number(n source.Node, more ...string) Formula {
	text := n.Text()
	if text == "" && !n.IsText() {
		return Formula{Node: n}
	}
	if l, err := measure.Parse(text, measure.Millimetres); err == nil && hasUnit(text) {
		text = l.Exact()
	}
	scope := r.scope
	if len(more) > 0 {
		scope = formula.Scope{}
		for name := range r.scope {
			scope[name] = true
		}
		for _, name := range more {
			scope[name] = true
		}
	}
	f, err := formula.Number(text, scope)
	return r.placed(n, f, err)
}

// placed ties a formula to its node, and reports what keeps it from being compiled.
func (r *reader) placed(n source.Node, f *formula.Formula, err error) Formula {
	if err != nil {
		var e *formula.Error
		if errors.As(err, &e) {
			n.FaultAt(e.Offset, e.Text, e.Hint)
		} else {
			n.Fault(err.Error(), "")
		}
		return Formula{Node: n}
	}
	made := Formula{Formula: f, Node: n}
	for _, name := range f.Uses() {
		r.used[name] = true
	}
	if len(f.Uses()) == 0 {
		if value, err := f.Number(nil); err == nil {
			made.constant = &value
		}
	}
	return made
}

// optional compiles a formula that may be missing.
func (r *reader) optional(n source.Node, more ...string) *Formula {
	if n.IsZero() {
		return nil
	}
	f := r.number(n, more...)
	return &f
}

func (r *reader) lets(entries []source.Entry) {
	for _, e := range entries {
		r.d.Let = append(r.d.Let, Let{e.Name, r.number(e.Value)})
	}
}

func (r *reader) hardware(entries []source.Entry) {
	for _, e := range entries {
		m := e.Value.Map("kind", "count", "fits", "load")
		r.d.Hardware = append(r.d.Hardware, HardwareRule{
			Name: e.Name, Kind: m.Need("kind").Text(), Count: r.optional(m.Get("count")),
			Fits: r.optional(m.Get("fits")), Load: r.optional(m.Get("load")),
		})
	}
}

// order sorts lets and hardware so that each comes after what it uses.
func (r *reader) order() {
	find := map[string]step{}
	for i, l := range r.d.Let {
		find[fold(l.Name)] = step{let: i, hardware: -1}
	}
	for i, h := range r.d.Hardware {
		find[fold(h.Name)] = step{let: -1, hardware: i}
	}
	done := map[step]bool{}
	var path []step
	var visit func(s step)
	visit = func(s step) {
		if done[s] {
			return
		}
		if at := slices.Index(path, s); at >= 0 {
			var chain []string
			for _, p := range append(path[at:], s) {
				chain = append(chain, r.stepName(p))
			}
			r.stepFormulas(s)[0].Node.Fault("these need one another: "+strings.Join(chain, " > "), "one of them must do without the others")
			return
		}
		path = append(path, s)
		for _, f := range r.stepFormulas(s) {
			if f.Formula == nil {
				continue
			}
			for _, name := range f.Uses() {
				stem, _, _ := strings.Cut(name, ".")
				if next, ok := find[stem]; ok {
					visit(next)
				}
			}
		}
		path = path[:len(path)-1]
		done[s] = true
		r.d.steps = append(r.d.steps, s)
	}
	for i := range r.d.Let {
		visit(step{let: i, hardware: -1})
	}
	for i := range r.d.Hardware {
		visit(step{let: -1, hardware: i})
	}
}

func (r *reader) stepName(s step) string {
	if s.let >= 0 {
		return r.d.Let[s.let].Name
	}
	return r.d.Hardware[s.hardware].Name
}

// stepFormulas lists the formulas that a step works out.
func (r *reader) stepFormulas(s step) (list []*Formula) {
	if s.let >= 0 {
		return []*Formula{&r.d.Let[s.let].Value}
	}
	for _, f := range []*Formula{r.d.Hardware[s.hardware].Fits, r.d.Hardware[s.hardware].Load} {
		if f != nil {
			list = append(list, f)
		}
	}
	return list
}

func (r *reader) outside(root, n source.Node) {
	m := n.Map("x", "y", "z")
	for a, usual := range []string{"width", "depth", "height"} {
		switch {
		case !n.IsZero():
			r.d.Outside[a] = r.number(m.Need(Axis(a).String()))
		case r.scope[usual]:
			f, err := formula.Number(usual, r.scope)
			r.d.Outside[a] = r.placed(root, f, err)
		default:
			root.Fault("the outside is not declared: there is no "+usual, "declare width, depth and height, or outside: {x: ..., y: ..., z: ...}")
		}
	}
}

// collisions faults names of parts and uses that are taken, or that a counted name
// may come to.
func (r *reader) collisions(parts, uses []source.Entry) {
	counted := map[string]bool{}
	for _, e := range append(slices.Clone(parts), uses...) {
		r.declare(r.parts, "name", e)
		counted[e.Name] = e.Value.IsMap() && slices.ContainsFunc(e.Value.Entries(), func(e source.Entry) bool { return e.Name == "count" })
	}
	for _, e := range append(slices.Clone(parts), uses...) {
		if at := strings.LastIndexByte(e.Name, '-'); at > 0 && counted[e.Name[:at]] && digits(e.Name[at+1:]) {
			e.Key.Fault(fmt.Sprintf("%s is also the name of one of %s", e.Name, e.Name[:at]), "parts that are counted get -1, -2, ... after their name: choose another name")
		}
	}
}

// digits reports whether a text is a number in decimal digits.
func digits(text string) bool {
	return text != "" && strings.Trim(text, "0123456789") == ""
}

func (r *reader) use(e source.Entry, find func(source.Node) *Definition) {
	m := e.Value.Map("cabinet", "count", "at", "sizes", "roles")
	u := UseRule{Name: e.Name, Count: r.optional(m.Get("count")), Roles: map[string]string{}}
	if n := m.Need("cabinet"); n.IsText() {
		u.Cabinet = find(n)
	}
	var names []string
	if u.Count != nil {
		names = []string{"i"}
	}
	at := m.Need("at").Map("x", "y", "z")
	for a := X; a <= Z; a++ {
		u.At[a] = r.number(at.Need(a.String()), names...)
	}
	for _, s := range m.Get("sizes").Entries() {
		if u.Cabinet != nil && u.Cabinet.size(s.Name) == nil {
			known := make([]string, len(u.Cabinet.Sizes))
			for i, size := range u.Cabinet.Sizes {
				known[i] = size.Name
			}
			unknown(s.Key, "size", s.Name, known)
			continue
		}
		u.Sizes = append(u.Sizes, Let{s.Name, r.number(s.Value, names...)})
	}
	r.useRoles(&u, e.Key, m.Get("roles"))
	r.d.Uses = append(r.d.Uses, u)
}

// useRoles maps every role of a used cabinet to one of this cabinet.
func (r *reader) useRoles(u *UseRule, at, n source.Node) {
	var inner []string
	if u.Cabinet != nil {
		for _, role := range u.Cabinet.Roles {
			inner = append(inner, role.Name)
		}
	}
	for _, e := range n.Entries() {
		if u.Cabinet != nil && !slices.Contains(inner, e.Name) {
			unknown(e.Key, "role", e.Name, inner)
		}
		u.Roles[e.Name] = r.role(e.Value)
	}
	for _, name := range inner {
		if u.Roles[name] != "" {
			continue
		}
		if r.roles[fold(name)] != name {
			at.Fault(fmt.Sprintf("nothing fills the role %s of %s", name, u.Cabinet.Name), "give it one of this cabinet's roles under roles:, or declare a role "+name)
		}
		u.Roles[name] = name
	}
}

func (r *reader) part(e source.Entry, all []source.Entry) {
	m := e.Value.Map("role", "assembly", "count", "x", "y", "z", "grain", "good", "edges", "grooves", "cutouts", "holes")
	p := PartRule{Name: e.Name, Role: r.role(m.Need("role")), Assembly: "body", Count: r.optional(m.Get("count"))}
	names := []string{"thick"}
	if p.Count != nil {
		names = append(names, "i")
	}
	if !r.box(&p, e, m, names) {
		return
	}
	if n := m.Get("assembly"); n.IsText() {
		p.Assembly = n.Text()
		r.assembly(&p, n)
	}
	grain := []string{"any"}
	for a := X; a <= Z; a++ {
		if a != p.Thin {
			grain = append(grain, a.String())
		}
	}
	n := m.Need("grain")
	text := n.OneOf(grain...)
	p.Turns = text == "any"
	p.Long = (p.Thin + 1) % 3
	if len(text) == 1 {
		p.Long = Axis(strings.Index("xyz", text))
	}
	if n := m.Get("good"); !n.IsZero() {
		p.Good = direction(n.OneOf(toward(p.Thin, false).String(), toward(p.Thin, true).String()))
	}
	r.edges(&p, m.Get("edges"))
	for _, n := range m.Get("grooves").Items() {
		r.groove(&p, n, names, all)
	}
	for _, n := range m.Get("cutouts").Items() {
		r.cutout(&p, n, names)
	}
	for _, n := range m.Get("holes").Items() {
		r.hole(&p, n, names)
	}
	r.d.Parts = append(r.d.Parts, p)
}

// box reads the part's extents. It reports whether they are there and just one axis is
// thin.
func (r *reader) box(p *PartRule, e source.Entry, m source.Map, names []string) bool {
	var thin []Axis
	for a := X; a <= Z; a++ {
		n := m.Need(a.String())
		if n.IsZero() {
			return false
		}
		if !n.IsList() {
			thin = append(thin, a)
			p.From[a] = r.optional(n, names...)
			continue
		}
		if p.From[a], p.To[a] = r.extent(n, names); p.From[a] == nil {
			return false
		}
	}
	if len(thin) != 1 {
		e.Key.Fault(fmt.Sprintf("%s is thin along %d axes, not one", e.Name, len(thin)), "write the axis of the thickness as one formula, the other two as [from, to]")
		return false
	}
	p.Thin = thin[0]
	return true
}

// extent reads [from, to].
func (r *reader) extent(n source.Node, names []string) (from, to *Formula) {
	items := n.Items()
	if len(items) != 2 {
		n.Fault(fmt.Sprintf("an extent has two ends, not %d", len(items)), "write [from, to]")
		return nil, nil
	}
	return r.optional(items[0], names...), r.optional(items[1], names...)
}

// assembly checks the name of another cabinet's assembly.
func (r *reader) assembly(p *PartRule, n source.Node) {
	stem, inner, dotted := strings.Cut(p.Assembly, ".")
	if !dotted {
		return
	}
	u := r.d.use(stem)
	if u == nil {
		known := make([]string, len(r.d.Uses))
		for i, use := range r.d.Uses {
			known[i] = use.Name
		}
		unknown(n, "use", stem, known)
		return
	}
	if u.Cabinet == nil {
		return
	}
	known := u.Cabinet.assemblies()
	if !slices.Contains(known, inner) {
		unknown(n, "assembly", p.Assembly, prefixed(stem+".", known))
		return
	}
	if u.Count != nil && p.Count == nil {
		n.Fault(fmt.Sprintf("%s is counted, this part is not", stem), "count the part too: its counter then says which one it belongs to")
	}
	for d := u.Cabinet; ; {
		next, rest, dotted := strings.Cut(inner, ".")
		if !dotted {
			return
		}
		within := d.use(next)
		if within.Count != nil {
			n.Fault(fmt.Sprintf("%s is counted within %s", next, d.Name), "a part can be glued only to what is there once in each "+stem)
			return
		}
		d, inner = within.Cabinet, rest
	}
}

func (r *reader) edges(p *PartRule, n source.Node) {
	if n.IsZero() {
		return
	}
	if !n.IsMap() {
		p.Edges = []EdgeRule{{Treatment: n.Text(), Node: n}}
		return
	}
	sides := directions(p.Thin)
	m := n.Map(sides...)
	for _, side := range sides {
		if n := m.Get(side); !n.IsZero() {
			p.Edges = append(p.Edges, EdgeRule{direction(side), n.Text(), n})
		}
	}
}

func (r *reader) groove(p *PartRule, n source.Node, names []string, all []source.Entry) {
	m := n.Map("for", "depth")
	g := GrooveRule{For: m.Need("for").Text(), Depth: r.number(m.Need("depth"), names...)}
	var others []string
	for _, e := range all {
		if e.Name != p.Name {
			others = append(others, e.Name)
		}
	}
	if n := m.Get("for"); n.IsText() && !slices.Contains(others, g.For) {
		unknown(n, "part", g.For, others)
	}
	p.Grooves = append(p.Grooves, g)
}

// onFace reads the two long axes of what is machined into a part; read gets each.
func (r *reader) onFace(p *PartRule, m source.Map, read func(a Axis, n source.Node)) {
	for a := X; a <= Z; a++ {
		switch n := m.Get(a.String()); {
		case a != p.Thin:
			read(a, m.Need(a.String()))
		case !n.IsZero():
			n.Fault(fmt.Sprintf("%s is the axis of the thickness", a), "give the place on the face, along the other two axes")
		}
	}
}

func (r *reader) cutout(p *PartRule, n source.Node, names []string) {
	m := n.Map("x", "y", "z", "count", "about")
	c := CutoutRule{About: m.Get("about").Text(), Count: r.optional(m.Get("count"), names...)}
	if c.Count != nil {
		names = append(slices.Clone(names), "j")
	}
	r.onFace(p, m, func(a Axis, n source.Node) {
		if !n.IsZero() {
			c.From[a], c.To[a] = r.extent(n, names)
		}
	})
	p.Cutouts = append(p.Cutouts, c)
}

func (r *reader) hole(p *PartRule, n source.Node, names []string) {
	m := n.Map("x", "y", "z", "diameter", "depth", "from", "count", "about")
	h := HoleRule{About: m.Get("about").Text(), Count: r.optional(m.Get("count"), names...)}
	if h.Count != nil {
		names = append(slices.Clone(names), "j")
	}
	r.onFace(p, m, func(a Axis, n source.Node) { h.At[a] = r.optional(n, names...) })
	h.Diameter = r.number(m.Need("diameter"), names...)
	h.Depth = r.optional(m.Get("depth"), names...)
	from := m.Get("from")
	if h.Depth != nil {
		from = m.Need("from")
	}
	if !from.IsZero() {
		h.From = direction(from.OneOf(toward(p.Thin, false).String(), toward(p.Thin, true).String()))
	}
	p.Holes = append(p.Holes, h)
}

func (r *reader) clearance(n source.Node) {
	m := n.Map("between", "and", "gap")
	c := ClearanceRule{Gap: r.number(m.Need("gap"))}
	assemblies := r.d.assemblies()
	known := append(slices.Clone(assemblies), r.d.partNames()...)
	name := func(key string) (name string, part bool) {
		n := m.Need(key)
		if name = n.Text(); n.IsText() && !slices.Contains(known, name) {
			unknown(n, "assembly or part", name, known)
		}
		return name, !slices.Contains(assemblies, name)
	}
	c.Between, c.betweenPart = name("between")
	c.And, c.andPart = name("and")
	if c.Between == c.And && c.And != "" && !r.d.repeated(c.And) {
		m.Get("and").Fault(fmt.Sprintf("there is only one %s", c.And), "a clearance lies between two")
	}
	r.d.Clearances = append(r.d.Clearances, c)
}

func (r *reader) check(n source.Node) {
	m := n.Map("that", "say", "do", "level")
	check := CheckRule{Say: m.Need("say").Text(), Do: m.Get("do").Text(), Level: LevelWarning}
	if n := m.Get("level"); !n.IsZero() {
		check.Level = Level(n.OneOf(string(LevelError), string(LevelWarning), string(LevelNote)))
	}
	if that := m.Need("that"); that.IsText() {
		f, err := formula.Truth(that.Text(), r.scope)
		check.That = r.placed(that, f, err)
	}
	r.d.Checks = append(r.d.Checks, check)
}

// measured marks the hardware whose length, side or load some formula uses.
func (r *reader) measured() {
	for i := range r.d.Hardware {
		name := fold(r.d.Hardware[i].Name)
		r.d.Hardware[i].measured = r.used[name+".length"] || r.used[name+".side"] || r.used[name+".load"]
	}
}
