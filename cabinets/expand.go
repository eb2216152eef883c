package cabinets

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"sawbook/cabinets/formula"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
)

const (
	mostParts = 10_000 // parts and used cabinets of one cabinet
	mostHoles = 10_000 // and cut-outs of one cabinet
	// mostMeets is how many pairs of parts may touch or overlap, far more than in
	// anything that can be built.
	mostMeets = 50_000
)

// Choice is what a layout chooses for a cabinet. Sizes that it leaves out keep their
// defaults or, where the cabinet is to hold something, are chosen by that; roles are then
// filled as the shop fills them.
type Choice struct {
	Sizes map[string]measure.Length // plain numbers for counts
	Roles map[string]shop.Fill
	Holds *Held // nil is nothing
}

// Expand works out a cabinet of the chosen sizes and roles. What is wrong with the result
// is among the solid's findings; the error, Refusals, says why there is none. The
// findings' places are paths in the cabinet, empty for the cabinet itself.
//
// It may be called from several goroutines at once.
func Expand(s *shop.Shop, d *Definition, choice Choice) (*Solid, error) {
	e := &expansion{shop: s, solid: &Solid{Definition: d}, refused: map[any]bool{}}
	sizes := e.sizes(d, choice.Sizes)
	top := &instance{expansion: e, d: d, fills: e.fills(d, choice.Roles)}
	if choice.Holds != nil && len(e.refusals) == 0 {
		choice.Sizes = e.fitted(d, choice)
		sizes = e.sizes(d, choice.Sizes)
	}
	if len(e.refusals) == 0 {
		e.solid.Sizes, e.solid.Holds = sizes, choice.Holds
		top.expand(sizes)
	}
	if choice.Holds != nil && len(e.refusals) == 0 {
		e.held(d, choice)
	}
	if len(e.refusals) == 0 {
		e.finish()
	}
	if len(e.refusals) > 0 {
		return nil, e.refusals
	}
	return e.solid, nil
}

// expansion is the work of one Expand.
type expansion struct {
	shop     *shop.Shop
	solid    *Solid
	made     []made // what is known of solid.Parts besides
	gaps     []gap
	count    int // parts and used cabinets
	holes    int
	refusals Refusals
	refused  map[any]bool // rules that have been refused already
}

// made is what is known of a part besides what a Part holds.
type made struct {
	rule    *PartRule
	in      *instance
	grooves []measure.Length
	fill    *shop.Fill
	edges   []shop.Treatment // of rule.Edges
	cutouts []cutout
	holes   []hole
}

// cutout is a cut-out in the cabinet, through the part.
type cutout struct {
	box  Box
	rule *CutoutRule
}

// hole is a hole in the cabinet.
type hole struct {
	at              [3]measure.Length // 0 along the thin axis
	diameter, depth measure.Length    // depth 0 is through
	rule            *HoleRule
}

// instance is a cabinet that is being expanded, the outermost or a used one.
type instance struct {
	*expansion
	d      *Definition
	at     [3]measure.Length
	name   string // path with a dot behind it: "drawer-2."
	path   string // counters left out: "drawer."
	fills  map[string]*shop.Fill
	values formula.Values
	slots  []slot
	// Of the expansion's parts, those from first up to last are the instance's own and those of the
	// cabinets in it.
	first, last int
}

// sizes returns the sizes of the outermost cabinet.
func (e *expansion) sizes(d *Definition, given map[string]measure.Length) []Given {
	known := make([]string, len(d.Sizes))
	sizes := make([]Given, len(d.Sizes))
	for i := range d.Sizes {
		s := &d.Sizes[i]
		known[i] = s.Name
		value, chosen := given[s.Name]
		if !chosen {
			value = s.Default
		}
		if fault, hint := s.fits(value); fault != "" {
			e.refusals = append(e.refusals, Refusal{Text: d.Name + ": " + fault, Hint: hint})
		}
		sizes[i] = Given{s.Name, value, s.Whole}
	}
	for _, name := range slices.Sorted(maps.Keys(given)) {
		if !slices.Contains(known, name) {
			e.refusals = append(e.refusals, Refusal{Text: fmt.Sprintf("%s: unknown size %q", d.Name, name), Hint: source.Suggest(name, known)})
		}
	}
	return sizes
}

// fits says what is wrong with a value of the size, and what to do.
func (s *Size) fits(value measure.Length) (fault, hint string) {
	hint = fmt.Sprintf("choose %s to %s", s.print(s.Least), s.print(s.Most))
	slack := measure.Length(same) // of what a formula comes to
	if s.Whole {
		slack = 0
	}
	switch {
	case value < s.Least-slack:
		return fmt.Sprintf("%s %s is less than %s", s.Name, s.print(value), s.print(s.Least)), hint
	case value > s.Most+slack:
		return fmt.Sprintf("%s %s is more than %s", s.Name, s.print(value), s.print(s.Most)), hint
	}
	return "", ""
}

// fills returns what fills the roles of the outermost cabinet.
func (e *expansion) fills(d *Definition, given map[string]shop.Fill) map[string]*shop.Fill {
	fills := map[string]*shop.Fill{}
	for _, role := range d.Roles {
		fill, chosen := given[role.Name]
		if !chosen {
			fill = e.shop.Roles[role.Name]
		}
		if fill.Material == nil {
			e.refusals = append(e.refusals, Refusal{
				Text: fmt.Sprintf("%s: no material fills the role %q", d.Name, role.Name),
				Hint: "give it a material under roles: in the shop file or the layout",
			})
		}
		fills[role.Name] = &fill
	}
	return fills
}

// refuse refuses the definition, once at each node.
func (e *expansion) refuse(f *Formula, offset int, text, hint string) {
	if !e.refused[f] {
		e.refused[f] = true
		e.refusals = append(e.refusals, Refusal{text, hint, f.Node, offset})
	}
}

// number runs a formula.
func (in *instance) number(f *Formula) float64 {
	if f.constant != nil {
		return *f.constant
	}
	if f.Formula == nil { // refused when it was read
		return 0
	}
	value, err := f.Number(in.values)
	in.failed(f, err)
	return value
}

func (in *instance) failed(f *Formula, err error) {
	var fault *formula.Error
	if errors.As(err, &fault) {
		in.refuse(f, fault.Offset, fault.Text, fault.Hint)
	}
}

// length runs a formula that is a length.
func (in *instance) length(f *Formula) measure.Length {
	if f.Formula == nil {
		return 0
	}
	if f.constant != nil {
		if l, ok := measure.FromMM(*f.constant); ok {
			return l
		}
	}
	l, err := f.Length(in.values)
	in.failed(f, err)
	return l
}

// times runs a formula that is a count; nil is one.
func (in *instance) times(f *Formula) int {
	if f == nil {
		return 1
	}
	if f.Formula == nil {
		return 0
	}
	n, err := f.Whole(in.values)
	in.failed(f, err)
	if n < 0 || n > mostParts {
		in.refuse(f, 0, fmt.Sprintf("the count comes to %d", n), fmt.Sprintf("a count is 0 to %d", mostParts))
		return 0
	}
	return n
}

// room reports whether one more part or cabinet may be made.
func (in *instance) room() bool {
	if in.count++; in.count <= mostParts {
		return true
	}
	in.limit(mostParts, "parts")
	return false
}

// limit refuses a cabinet that is beyond all reason, once for each limit.
func (e *expansion) limit(most int, what string) {
	if !e.refused[what] {
		e.refused[what] = true
		e.refusals = append(e.refusals, Refusal{Text: fmt.Sprintf("%s: there are more than %d %s", e.solid.Definition.Name, most, what), Hint: "count fewer"})
	}
}

// find reports a finding about a part or slot of the instance, or about all of it.
func (in *instance) find(level Level, where, text, do string) {
	in.expansion.finding(level, strings.TrimSuffix(in.name+where, "."), text, do)
}

// finding reports a finding about a part, by its path.
func (e *expansion) finding(level Level, where, text, do string) {
	e.solid.Findings = append(e.solid.Findings, Finding{level, where, text, do})
}

// expand makes the instance's parts and those of the cabinets that it uses.
func (in *instance) expand(sizes []Given) {
	in.names(sizes)
	var outside Box
	for a := range in.d.Outside {
		outside.Lo[a] = in.at[a]
		outside.Hi[a] = in.at[a] + in.length(&in.d.Outside[a])
	}
	if in.name == "" {
		in.solid.Outside, in.solid.Inside = outside, in.clear()
	}
	in.first = len(in.solid.Parts)
	for i := range in.d.Parts {
		in.parts(&in.d.Parts[i])
	}
	for i := range in.d.Uses {
		in.uses(&in.d.Uses[i])
	}
	in.hardwareLines()
	for i := range in.d.Clearances {
		c := &in.d.Clearances[i]
		in.gaps = append(in.gaps, gap{in, c, in.length(&c.Gap)})
	}
	in.checks()
	in.last = len(in.solid.Parts)
	in.closes(outside, in.solid.Parts[in.first:])
}

// names gives every name of the cabinet's formulas its value.
func (in *instance) names(sizes []Given) {
	in.values = make(formula.Values, 8+len(sizes)+len(in.d.Let)+len(in.d.Roles)+3*len(in.d.Hardware))
	in.values["felt"] = in.shop.Felt.Pressed.MM()
	in.values["step"] = in.shop.Saw.Step.MM()
	for _, s := range sizes {
		value := s.Value.MM()
		if s.Whole {
			value = float64(s.Value)
		}
		in.values[fold(s.Name)] = value
	}
	for _, role := range in.d.Roles {
		in.values["thick."+fold(role.Name)] = in.fills[role.Name].Material.Thickness.MM()
	}
	in.slots = make([]slot, len(in.d.Hardware))
	for _, s := range in.d.steps {
		if s.let >= 0 {
			let := &in.d.Let[s.let]
			in.values[fold(let.Name)] = in.number(&let.Value)
			continue
		}
		rule := &in.d.Hardware[s.hardware]
		slot := in.choose(rule)
		in.slots[s.hardware] = slot
		name := fold(rule.Name)
		in.values[name+".length"] = slot.length.MM()
		in.values[name+".side"], in.values[name+".load"] = 0, 0
		if slot.item != nil {
			in.values[name+".side"], in.values[name+".load"] = slot.item.Side.MM(), slot.item.Load
		}
	}
}

// parts makes the parts of a rule.
func (in *instance) parts(p *PartRule) {
	name := in.name + p.Name
	if p.Count == nil {
		if in.room() {
			in.part(p, name, in.name+p.Assembly)
		}
		return
	}
	stem, rest, dotted := strings.Cut(p.Assembly, ".")
	for i := range in.times(p.Count) {
		if !in.room() {
			return
		}
		in.values["i"] = float64(i + 1)
		counter := "-" + strconv.Itoa(i+1)
		assembly := p.Assembly
		if dotted && in.d.use(stem).Count != nil {
			assembly = stem + counter + "." + rest
		}
		in.part(p, name+counter, in.name+assembly)
	}
}

// part makes one part.
func (in *instance) part(p *PartRule, name, assembly string) {
	fill := in.fills[p.Role]
	if fill == nil {
		return // an unknown role was refused when it was read
	}
	part := Part{Name: name, Role: p.Role, Assembly: assembly, Material: fill.Material, Thin: p.Thin, Long: p.Long}
	part.Turns = p.Turns || !fill.Material.Grain
	switch {
	case p.Good == 0:
	case p.Good.High():
		part.Good = HighFace
	default:
		part.Good = LowFace
	}
	in.values["thick"] = fill.Material.Thickness.MM()
	for a := X; a <= Z; a++ {
		from := in.length(p.From[a])
		to := from + fill.Material.Thickness
		if a != p.Thin {
			to = in.length(p.To[a])
			if to-from <= same && len(in.refusals) == 0 {
				in.find(LevelError, strings.TrimPrefix(name, in.name), fmt.Sprintf("nothing is left of the part: along %s it runs from %s to %s mm", a, from.Exact(), to.Exact()), "change the sizes, or the formulas of the part")
				return
			}
		}
		part.Box.Lo[a], part.Box.Hi[a] = in.at[a]+from, in.at[a]+to
	}
	made := made{rule: p, in: in, fill: fill}
	for i := range p.Grooves {
		made.grooves = append(made.grooves, in.length(&p.Grooves[i].Depth))
	}
	for i := range p.Edges {
		made.edges = append(made.edges, in.treatment(&p.Edges[i]))
	}
	for i := range p.Cutouts {
		made.cutouts = append(made.cutouts, in.cutouts(&p.Cutouts[i], &part)...)
	}
	for i := range p.Holes {
		made.holes = append(made.holes, in.drill(&p.Holes[i])...)
	}
	in.solid.Parts = append(in.solid.Parts, part)
	in.made = append(in.made, made)
}

// treatment finds the edge treatment that a definition asks for.
func (in *instance) treatment(r *EdgeRule) shop.Treatment {
	band := in.shop.Band(r.Treatment)
	if band == nil && r.Treatment != shop.Bare && !in.refused[r] {
		in.refused[r] = true
		known := []string{shop.Bare}
		for _, b := range in.shop.Bands {
			known = append(known, b.ID)
		}
		in.refusals = append(in.refusals, Refusal{fmt.Sprintf("unknown edge band %q", r.Treatment), source.Suggest(r.Treatment, known), r.Node, 0})
	}
	return shop.Treatment{Band: band}
}

// machined calls make for each hole or cut-out of a rule, with the counter j set.
func (in *instance) machined(count *Formula, make func()) {
	for j := range in.times(count) {
		if in.holes++; in.holes > mostHoles {
			in.limit(mostHoles, "holes and cut-outs")
			return
		}
		in.values["j"] = float64(j + 1)
		make()
	}
}

// cutouts returns the cut-outs of a rule: the boxes that they take out of the part, through
// its thickness.
func (in *instance) cutouts(c *CutoutRule, part *Part) (list []cutout) {
	in.machined(c.Count, func() {
		box := part.Box
		for a := range box.Lo {
			if c.From[a] != nil {
				box.Lo[a], box.Hi[a] = in.at[a]+in.length(c.From[a]), in.at[a]+in.length(c.To[a])
			}
		}
		list = append(list, cutout{box, c})
	})
	return list
}

// drill returns the holes of a rule.
func (in *instance) drill(h *HoleRule) (list []hole) {
	in.machined(h.Count, func() {
		made := hole{rule: h, diameter: in.length(&h.Diameter)}
		if h.Depth != nil {
			made.depth = in.length(h.Depth)
		}
		for a := range h.At {
			if h.At[a] != nil {
				made.at[a] = in.at[a] + in.length(h.At[a])
			}
		}
		list = append(list, made)
	})
	return list
}

// uses expands the cabinets of a rule.
func (in *instance) uses(u *UseRule) {
	if u.Cabinet == nil {
		return // refused when it was read
	}
	fills := make(map[string]*shop.Fill, len(u.Roles))
	for inner, outer := range u.Roles {
		fills[inner] = in.fills[outer]
		if fills[inner] == nil {
			return // likewise
		}
	}
	for i := range in.times(u.Count) {
		if !in.room() || len(in.refusals) > 0 {
			return
		}
		in.values["i"] = float64(i + 1)
		used := &instance{expansion: in.expansion, d: u.Cabinet, fills: fills, path: in.path + u.Name + ".", name: in.name + u.Name + "."}
		if u.Count != nil {
			used.name = in.name + u.Name + "-" + strconv.Itoa(i+1) + "."
		}
		for a := range u.At {
			used.at[a] = in.at[a] + in.length(&u.At[a])
		}
		sizes := in.given(u, used)
		if len(in.refusals) == 0 {
			used.expand(sizes)
		}
	}
}

// given works out the sizes of a used cabinet. One out of range is a finding: the outer
// cabinet's sizes are at fault, and all that follows is better seen than not.
func (in *instance) given(u *UseRule, used *instance) []Given {
	sizes := make([]Given, len(u.Cabinet.Sizes))
	for i := range u.Cabinet.Sizes {
		s := &u.Cabinet.Sizes[i]
		value := s.Default
		for k := range u.Sizes {
			if u.Sizes[k].Name != s.Name {
				continue
			}
			if f := &u.Sizes[k].Value; s.Whole {
				value = measure.Length(in.times(f))
			} else {
				value = in.length(f)
			}
		}
		if fault, hint := s.fits(value); fault != "" {
			used.find(LevelError, "", fault, hint)
		}
		sizes[i] = Given{s.Name, value, s.Whole}
	}
	return sizes
}

// checks runs the definition's own checks.
func (in *instance) checks() {
	for i := range in.d.Checks {
		c := &in.d.Checks[i]
		if c.That.Formula == nil {
			continue
		}
		holds, err := c.That.Truth(in.values)
		in.failed(&c.That, err)
		if err == nil && !holds {
			in.find(c.Level, "", c.Say, c.Do)
		}
	}
}

// finish works out what follows from the boxes.
func (e *expansion) finish() {
	e.square()
	found, ok := e.meets(e.boxes(), e.shop.Felt.Pressed)
	if !ok {
		return
	}
	e.overlaps(found)
	e.snap(found)
	cut, ok := e.meets(e.snapped(), e.reach())
	if !ok {
		return
	}
	e.closesAsCut(found, cut)
	e.edges(found)
	ends := e.ends()
	e.contacts(found, ends)
	e.clearances(ends, cut)
	e.features(cut)
	e.weigh()
	e.solid.Findings = SortFindings(e.solid.Findings)
}
