package cabinets

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"sawbook/cabinets/formula"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

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
	for i := range in.d.Matched {
		in.matches = append(in.matches, matching{in, &in.d.Matched[i]})
	}
	in.lining()
	in.checks()
	in.last = len(in.solid.Parts)
	in.latched()
	in.deepEnough()
	in.closes(outside, in.solid.Parts[in.first:])
}

// lining notes where the inside's walls are to be lined.
func (in *instance) lining() {
	rule := in.d.Inside
	if rule == nil || rule.At == nil {
		return
	}
	var box Box
	for a := range box.Lo {
		box.Lo[a] = in.at[a] + in.length(&rule.At[a])
		box.Hi[a] = box.Lo[a] + in.length(&rule.Size[a])
	}
	in.linings = append(in.linings, lining{in, box})
}

// names gives every name of the cabinet's formulas its value.
func (in *instance) names(sizes []Given) {
	in.values = make(formula.Values, 9+len(sizes)+len(in.d.Let)+3*len(in.d.Roles)+3*len(in.d.Hardware))
	in.values["felt"] = in.shop.Felt.Pressed.MM()
	in.values["kerf"] = in.shop.Saw.Kerf.MM()
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
		in.values["band."+fold(role.Name)] = in.fills[role.Name].Edges.Off().MM()
		in.values["joint."+fold(role.Name)] = in.fills[role.Name].Joint.LetsInBy().MM()
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

// find reports a finding about a part or slot of the instance, or about all of it.
func (in *instance) find(level Level, where, text, do string) {
	in.expansion.finding(level, strings.TrimSuffix(in.name+where, "."), text, do)
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
