package cabinets

import (
	"fmt"
	"slices"

	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
)

// Option changes a layout: what it adds, drops, replaces and changes.
type Option struct {
	Name, About string
	// Needs and Excludes name other options: it is chosen with all of the former, and with none
	// of the latter.
	Needs, Excludes []OptionRule
	Add             []Placement
	Drop            []Drop
	Replace         []Placement // under the names of those that make room
	Change          []NamedChange
	Roles           shop.Refills

	key source.Node
}

// OptionRule names another option.
type OptionRule struct {
	Name string
	at   source.Node
}

// Drop is a cabinet that an option does without.
type Drop struct {
	Name string
	at   source.Node
}

// own returns the cabinets that the option brings.
func (o *Option) own() []Placement { return slices.Concat(o.Add, o.Replace) }

// options reads the options of a layout: first what they bring, then what they change, which may be
// a cabinet of an option that they need.
func (r *layoutReader) options(n source.Node, placed []Placement) []Option {
	entries := n.Entries()
	var names []string
	for _, e := range entries {
		names = append(names, e.Name)
	}
	maps := make([]source.Map, len(entries))
	all := make([]Option, len(entries))
	for i, e := range entries {
		m := e.Value.Map("about", "needs", "excludes", "add", "drop", "replace", "change", "roles")
		o := Option{Name: e.Name, About: m.Get("about").Text(), key: e.Key, Add: r.placements(m.Get("add"))}
		o.Needs = optionRules(m.Get("needs"), e.Name, names)
		o.Excludes = optionRules(m.Get("excludes"), e.Name, names)
		for _, n := range m.Get("drop").Items() {
			if n.IsText() && find(n, n.Text(), placed) != nil {
				o.Drop = append(o.Drop, Drop{n.Text(), n})
			}
		}
		for _, e := range m.Get("replace").Entries() {
			if old := find(e.Key, e.Name, placed); old != nil {
				o.Replace = append(o.Replace, r.placement(e, old))
			}
		}
		maps[i], all[i] = m, o
	}
	l := &Layout{Cabinets: placed, Options: all}
	for i := range all {
		o := &all[i]
		there := l.there(o)
		for _, e := range maps[i].Get("change").Entries() {
			if p := find(e.Key, e.Name, there); p != nil {
				change := r.change(e.Value.Map("sizes", "holds", "roles"), p.Definition)
				o.Change = append(o.Change, NamedChange{e.Name, change, e.Key})
			}
		}
		o.Roles = r.roles(maps[i].Get("roles"), append(definitionsOf(o.own()), definitionsOf(placed)...))
		l.faultNever(o)
	}
	return all
}

// optionRules reads names of options other than the one that names them.
func optionRules(n source.Node, own string, names []string) (rules []OptionRule) {
	for _, item := range n.Items() {
		name := item.Text()
		switch {
		case !item.IsText(): // a fault already
		case name == own:
			item.Fault(fmt.Sprintf("%s names itself", own), "name another option")
		case !slices.Contains(names, name):
			item.Fault(fmt.Sprintf("no option is called %q", name), source.Suggest(name, names))
		default:
			rules = append(rules, OptionRule{name, item})
		}
	}
	return rules
}

// find returns the cabinet of a name, nil with a fault where there is none.
func find(n source.Node, name string, placed []Placement) *Placement {
	known := make([]string, len(placed))
	for i := range placed {
		if placed[i].Name == name {
			return &placed[i]
		}
		known[i] = placed[i].Name
	}
	n.Fault(fmt.Sprintf("no cabinet is called %q", name), source.Suggest(name, known))
	return nil
}

// standAs takes over from another cabinet where it stands, how it is turned and what it stands
// against, as far as the placement does not say it.
func (p *Placement) standAs(old *Placement, m source.Map, place bool) {
	if place {
		p.At, p.Far, p.Beside, p.Above, p.on = old.At, old.Far, old.Beside, old.Above, old.on
		if m.Get("shift").IsZero() {
			p.Shift = old.Shift
		}
	}
	if m.Get("turn").IsZero() {
		p.Turn = old.Turn
	}
	if m.Get("against").IsZero() {
		p.Against = old.Against
	}
}

// there returns the cabinets that an option may change: those of the layout, but for what the options
// that it needs replace, and those that they bring.
func (l *Layout) there(o *Option) []Placement {
	there := slices.Clone(l.Cabinets)
	for _, needed := range l.with(o) {
		if needed == o {
			continue
		}
		for _, p := range needed.own() {
			there = slices.DeleteFunc(there, func(q Placement) bool { return q.Name == p.Name })
			there = append(there, p)
		}
	}
	return there
}

// with returns an option and all that it needs, in the layout's order.
func (l *Layout) with(o *Option) (all []*Option) {
	wanted := map[string]bool{o.Name: true}
	for grown := true; grown; {
		grown = false
		for i := range l.Options {
			if !wanted[l.Options[i].Name] {
				continue
			}
			for _, need := range l.Options[i].Needs {
				grown = grown || !wanted[need.Name]
				wanted[need.Name] = true
			}
		}
	}
	for i := range l.Options {
		if wanted[l.Options[i].Name] {
			all = append(all, &l.Options[i])
		}
	}
	return all
}

// Needs returns the names of the options that an option is chosen with, in the layout's order.
func (l *Layout) Needs(option string) (names []string) {
	for i := range l.Options {
		if l.Options[i].Name != option {
			continue
		}
		for _, o := range l.with(&l.Options[i]) {
			if o.Name != option {
				names = append(names, o.Name)
			}
		}
	}
	return names
}

// Excluded returns two of the options named, of which the first excludes the second; "" where all
// go together.
func (l *Layout) Excluded(names []string) (by, other string) {
	for i := range l.Options {
		for _, rule := range l.Options[i].Excludes {
			if slices.Contains(names, l.Options[i].Name) && slices.Contains(names, rule.Name) {
				return l.Options[i].Name, rule.Name
			}
		}
	}
	return "", ""
}

// faultNever faults an option that cannot be chosen at all.
func (l *Layout) faultNever(o *Option) {
	if by, other := l.Excluded(append(l.Needs(o.Name), o.Name)); by != "" {
		o.key.Fault(fmt.Sprintf("%s can never be chosen: with what it needs come %s and %s, which exclude one another", o.Name, by, other), "change what it needs, or what they exclude")
	}
}

// options returns the options named, in the layout's order. It faults those that are unknown, that
// lack what they need, or that exclude one another.
func (l *Layout) options(c *source.Collector, at source.Node, names []string) []*Option {
	if l.Name == "" { // it could not be read, and that is told
		return nil
	}
	var known []string
	for _, o := range l.Options {
		known = append(known, o.Name)
	}
	// A batch lists its options one by one; what else chooses them is told where the rule stands.
	tell := func(name string, rule source.Node, text, hint string) {
		i := slices.Index(names, name)
		switch {
		case at.IsList() && i >= 0 && i < len(at.Items()):
			at.Items()[i].Fault(text, hint)
		case !rule.IsZero():
			rule.Fault(text, hint)
		case !at.IsZero():
			at.Fault(text, hint)
		default:
			c.Add(source.Fault{File: l.Name, Text: text, Hint: hint})
		}
	}
	for _, name := range names {
		if !slices.Contains(known, name) {
			tell(name, source.Node{}, fmt.Sprintf("%s has no option %q", l.Name, name), source.Suggest(name, known))
		}
	}
	var chosen []*Option
	for i := range l.Options {
		o := &l.Options[i]
		if !slices.Contains(names, o.Name) {
			continue
		}
		chosen = append(chosen, o)
		for _, need := range o.Needs {
			if !slices.Contains(names, need.Name) {
				tell(o.Name, need.at, fmt.Sprintf("%s needs %s, which is not chosen", o.Name, need.Name), fmt.Sprintf("choose %s too, or leave %s out", need.Name, o.Name))
			}
		}
		for _, other := range o.Excludes {
			if slices.Contains(names, other.Name) {
				tell(o.Name, other.at, fmt.Sprintf("%s excludes %s, and both are chosen", o.Name, other.Name), "leave one of them out")
			}
		}
	}
	return chosen
}

// choose returns the cabinets that stand with the options chosen, changed as these say.
// It faults what does not go together.
func (l *Layout) choose(options []*Option) []Placement {
	dropped := map[string]source.Node{}
	for _, o := range options {
		for _, d := range o.Drop {
			dropped[d.Name] = d.at
		}
	}
	standing := slices.DeleteFunc(slices.Clone(l.Cabinets), func(p Placement) bool {
		_, drop := dropped[p.Name]
		return drop
	})
	at := func(name string) int {
		return slices.IndexFunc(standing, func(p Placement) bool { return p.Name == name })
	}
	brought := map[string]*Option{}
	for _, o := range options {
		for _, p := range o.Replace {
			i := at(p.Name)
			switch {
			case i < 0:
				p.key.Fault(fmt.Sprintf("%s is replaced and dropped", p.Name), "choose other options, or let one of them leave it alone")
			case brought[p.Name] != nil:
				p.key.Fault(fmt.Sprintf("%s is replaced by %s already", p.Name, brought[p.Name].Name), "choose one of the two options")
			default:
				standing[i], brought[p.Name] = p, o
			}
		}
	}
	for _, o := range options {
		for _, p := range o.Add {
			if at(p.Name) >= 0 {
				p.key.Fault(fmt.Sprintf("%s is there already", p.Name), "choose another name, or drop the other one")
				continue
			}
			standing = append(standing, p)
			brought[p.Name] = o
		}
	}
	for _, o := range options {
		for _, change := range o.Change {
			i := at(change.Name)
			_, drop := dropped[change.Name]
			by := brought[change.Name]
			switch {
			case by != nil && slices.Contains(l.with(o), by) && by != o: // as it brings it
			case drop:
				change.key.Fault(fmt.Sprintf("%s is changed and dropped", change.Name), "choose other options, or let this one do without the change")
				continue
			case by != nil:
				change.key.Fault(fmt.Sprintf("%s is changed, and replaced by %s", change.Name, by.Name), "choose other options, or let this one do without the change")
				continue
			}
			if i >= 0 {
				standing[i].Changes = append(slices.Clip(standing[i].Changes), change.Change)
			}
		}
	}
	for i := range standing {
		p := &standing[i]
		for _, t := range l.tried {
			if t.Name == p.Name {
				p.Changes = append(slices.Clip(p.Changes), t.Change)
			}
		}
	}
	faultNeighbours(standing, dropped)
	return standing
}
