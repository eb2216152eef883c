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

// mostList is how many sizes may go by one name: as many as pick can choose from.
const mostList = 19

// reserved are the names that formulas give a meaning of their own.
var reserved = []string{
	"i", "j", "thick", "band", "joint", "felt", "kerf", "step", "min", "max", "abs", "floor", "ceil", "round", "pick",
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
		d: &Definition{}, scope: formula.Scope{"felt": true, "kerf": true, "step": true},
		values: names{}, roles: names{}, parts: names{}, used: map[string]bool{},
	}
	for _, word := range reserved {
		r.values[word] = ""
	}
	m := root.File("cabinet", "about", "sizes", "roles", "outside", "inside", "let", "parts", "uses", "hardware", "moves", "clearances", "matched", "checks")
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
	r.sawn()
	own := make([]string, len(parts))
	for i := range parts {
		own[i] = parts[i].Name
	}
	for i := range r.d.Hardware {
		r.known(r.d.Hardware[i].in, "part", own)
	}
	for _, n := range m.Get("moves").Items() {
		r.moving(n)
	}
	for _, n := range m.Get("clearances").Items() {
		r.clearance(n)
	}
	r.matched(m.Get("matched"))
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
		m := e.Value.Map("default", "least", "most", "whole", "list", "about")
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
		if n := m.Get("list"); !n.IsZero() {
			s.List, s.Name = e.Name, ""
			for i := range n.Whole(2, mostList) {
				s.Name = fmt.Sprintf("%s-%d", e.Name, i+1)
				r.declare(r.values, "name", source.Entry{Name: s.Name, Key: e.Key, Value: e.Value})
				r.size(s)
			}
			continue
		}
		r.size(s)
	}
}

// size adds a size to the definition.
func (r *reader) size(s Size) {
	r.scope[fold(s.Name)] = true
	r.d.Sizes = append(r.d.Sizes, s)
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
		r.scope["band."+fold(e.Name)] = true
		r.scope["joint."+fold(e.Name)] = true
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
		m := e.Value.Map("kind", "in", "count", "fits", "load")
		r.d.Hardware = append(r.d.Hardware, HardwareRule{
			Name: e.Name, Kind: m.Need("kind").Text(), In: m.Get("in").Text(), in: m.Get("in"), Count: r.optional(m.Get("count")),
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
