package cabinets

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
)

// MatchRule names parts of a cabinet that are cut from one strip, in the order in which
// they stand, so that the figure of the veneer runs through all of them.
type MatchRule struct {
	Name  string
	Parts []string // counters left out; those of used cabinets too, "drawer.front"
}

// Match says where a part stands in a matched group; the zero value is in none.
type Match struct {
	Group string // path in the cabinet: "fronts", "drawer-2.fronts"
	Place int    // from 1: from left to right, front to back or bottom to top
	Of    int    // how many parts the group has
	// Along reports that the parts follow one another along their length, and not across it.
	Along bool
	// Falls reports that they do so from the end of their own frame to its start.
	Falls bool
	// kind is equal for groups whose parts are the same pieces in one order.
	kind string
}

// Same reports whether two places belong to groups of the same pieces in one order.
func (m Match) Same(n Match) bool { return m.Of > 0 && m.kind == n.kind }

// matching is a rule of an instance.
type matching struct {
	in   *instance
	rule *MatchRule
}

func (r *reader) matched(n source.Node) {
	known := r.d.partNames()
	taken := map[string]string{}
	for _, e := range n.Entries() {
		rule := MatchRule{Name: e.Name}
		for _, item := range e.Value.Items() {
			name := item.Text()
			switch by, twice := taken[name]; {
			case !item.IsText():
			case !slices.Contains(known, name):
				unknown(item, "part", name, known)
			case twice:
				item.Fault(fmt.Sprintf("%s is one of the matched %s already", name, by), "a part comes from one strip")
			default:
				taken[name] = e.Name
				rule.Parts = append(rule.Parts, name)
			}
		}
		if len(rule.Parts) == 1 && len(e.Value.Items()) == 1 && !r.d.repeated(rule.Parts[0]) {
			e.Value.Fault(fmt.Sprintf("there is only one %s", rule.Parts[0]), "a figure runs through two parts or more")
		}
		r.d.Matched = append(r.d.Matched, rule)
	}
}

// match finds the matched groups. Parts of a material that shows no grain have no figure to
// match, and neither has one part alone.
func (e *expansion) match() {
	for _, m := range e.matches {
		var members []*Part
		for i := m.in.first; i < m.in.last; i++ {
			if slices.ContainsFunc(m.rule.Parts, func(name string) bool { return m.in.means(&e.made[i], name, true) }) {
				members = append(members, &e.solid.Parts[i])
			}
		}
		if len(members) < 2 || !slices.ContainsFunc(members, func(p *Part) bool { return p.Material.Grain }) {
			continue
		}
		along, why := mismatch(members)
		if why != "" {
			m.in.find(LevelError, m.rule.Name, why+": the matched parts cannot come from one strip, and are cut one by one",
				"make them alike, or take the part out of the cabinet's matched parts")
			continue
		}
		mark(m.in.name+m.rule.Name, members, along)
	}
}

// mismatch says why parts cannot come from one strip, "" where they can. It sorts them as
// they follow one another, and reports whether they do so along their length.
func mismatch(parts []*Part) (along bool, why string) {
	first := parts[0]
	for _, p := range parts[1:] {
		switch {
		case p.Material != first.Material:
			return false, fmt.Sprintf("%s is of %s, %s of %s", p.Name, p.Material.ID, first.Name, first.Material.ID)
		case p.SawnFrom != "" || first.SawnFrom != "":
			return false, fmt.Sprintf("%s or %s is sawn out of another part", first.Name, p.Name)
		case p.Turns || first.Turns:
			return false, fmt.Sprintf("the grain of %s and %s may run either way", first.Name, p.Name)
		case p.Long != first.Long || p.Thin != first.Thin:
			return false, fmt.Sprintf("the grain of %s runs along %s and its thickness along %s, that of %s along %s and %s",
				p.Name, p.Long, p.Thin, first.Name, first.Long, first.Thin)
		case p.Good != first.Good:
			return false, fmt.Sprintf("the good face of %s looks to another side than that of %s", p.Name, first.Name)
		}
	}
	along, ok := inRow(parts)
	if !ok {
		return false, fmt.Sprintf("%s and the others do not stand in one row", first.Name)
	}
	for _, p := range parts[1:] {
		if a, b := p.breadth(along), parts[0].breadth(along); a != b {
			return false, fmt.Sprintf("%s is %s mm across the strip, %s is %s mm", p.Name, a.Exact(), parts[0].Name, b.Exact())
		}
	}
	return along, ""
}

// breadth is a part's extent across a strip in which parts follow one another along their
// length, or not.
func (p *Part) breadth(along bool) measure.Length {
	if along {
		return p.Width
	}
	return p.Length
}

// inRow sorts parts along the axis on which they lie one after another, above one another
// across the grain first. It reports whether that is along their length, and whether there
// is such an axis.
func inRow(parts []*Part) (along, ok bool) {
	p := parts[0]
	for _, a := range []Axis{p.across(), p.Long} {
		slices.SortStableFunc(parts, func(p, q *Part) int { return cmp.Compare(p.Box.Lo[a], q.Box.Lo[a]) })
		ok := true
		for i := range parts[1:] {
			ok = ok && parts[i].Box.Hi[a] <= parts[i+1].Box.Lo[a]+same
		}
		if ok {
			return a == p.Long, true
		}
	}
	return false, false
}

// mark notes in parts, sorted as they follow one another, what group they make.
func mark(name string, parts []*Part, along bool) {
	kinds := make([]string, len(parts))
	for i, p := range parts {
		p.Match = Match{Group: name, Place: i + 1, Of: len(parts), Along: along}
		// Turned over, a part's width runs the other way.
		p.Match.Falls = !along && p.against() != (p.Good == LowFace)
		kinds[i] = lie(p).key
	}
	for _, p := range parts {
		p.Match.kind = strings.Join(kinds, "|")
	}
}
