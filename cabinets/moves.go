package cabinets

import (
	"fmt"
	"slices"

	"sawbook/cabinets/formula"
	"sawbook/cabinets/source"
)

// moving reads one assembly that opens or lifts out.
func (r *reader) moving(n source.Node) {
	m := n.Map("assembly", "is", "latch", "when", "runs")
	rule := MoveRule{Assembly: m.Need("assembly").Text(), Is: m.Need("is").OneOf("drawer", "door", "lid", "panel")}
	r.known(m.Get("assembly"), "assembly", r.d.assemblies())
	if n := m.Get("latch"); !n.IsZero() {
		rule.Latch = n.Text()
		var latches []string
		for _, h := range r.d.Hardware {
			if h.Kind == "latch" {
				latches = append(latches, h.Name)
			}
		}
		r.known(n, "latch", latches)
	}
	if n := m.Get("when"); n.IsText() {
		f, err := formula.Truth(n.Text(), r.scope)
		when := r.placed(n, f, err)
		rule.When = &when
	}
	if n := m.Get("runs"); !n.IsZero() {
		if rule.Is != "drawer" {
			n.Fault("only a drawer runs on slides", "leave it out")
		}
		rule.Runs = r.runs(n)
	}
	r.d.Moves = append(r.d.Moves, rule)
}

// known faults a text that is not among those known.
func (r *reader) known(n source.Node, what string, known []string) {
	for _, name := range known {
		if name == n.Text() {
			return
		}
	}
	if n.IsText() {
		unknown(n, what, n.Text(), known)
	}
}

// latched finds drawers, doors, lids and panels that nothing keeps shut on the road.
func (in *instance) latched() {
	need, first := map[string]int{}, map[string]*MoveRule{}
	for i := range in.d.Moves {
		r := &in.d.Moves[i]
		assemblies := in.moving(r)
		n := len(assemblies)
		for i, name := range assemblies {
			in.solid.Moves = append(in.solid.Moves, Move{name, r.Is, in.run(r.Runs, name, i+1)})
		}
		switch {
		case n == 0:
		case r.Latch == "":
			in.find(LevelError, r.Assembly, fmt.Sprintf("the %s has no latch: on the road it opens", r.Is), "add hardware of the kind latch, and name it as its latch under moves")
		default:
			need[r.Latch] += n
			if first[r.Latch] == nil {
				first[r.Latch] = r
			}
		}
	}
	for i := range in.d.Hardware {
		h := &in.d.Hardware[i]
		// That the shop has no latch at all has been said.
		if have := in.times(h.Count); have < need[h.Name] && !in.slots[i].missing {
			in.find(LevelError, first[h.Name].Assembly, fmt.Sprintf("%d latches for %d that move, beginning with the %s: on the road the others open", have, need[h.Name], first[h.Name].Is), "count a latch for each")
		}
	}
}

// moving lists the assemblies that a rule means.
func (in *instance) moving(r *MoveRule) (names []string) {
	if r.When != nil && r.When.Formula != nil {
		if holds, err := r.When.Truth(in.values); err != nil || !holds {
			in.failed(r.When, err)
			return nil
		}
	}
	for i := in.first; i < in.last; i++ {
		name := in.solid.Parts[i].Assembly
		if in.means(&in.made[i], r.Assembly, false) && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names
}

// deepEnough refuses hardware that is let into a part too thin for it.
func (in *instance) deepEnough() {
	for i := range in.d.Hardware {
		r, item := &in.d.Hardware[i], in.slots[i].item
		if item == nil || item.Depth == 0 || in.times(r.Count) == 0 {
			continue
		}
		if r.In == "" {
			in.find(LevelWarning, r.Name, fmt.Sprintf("%s is let in %s mm deep, and no part is named that it goes into", item.Name, item.Depth.Exact()), "name the part: in: PART")
			continue
		}
		for k := in.first; k < in.last; k++ {
			m, p := &in.made[k], &in.solid.Parts[k]
			if t := p.Material.Thickness; m.in == in && m.rule.Name == r.In && t < item.Depth+item.Rest {
				in.expansion.finding(LevelError, p.Name, fmt.Sprintf("%s goes %s mm deep and wants %s mm behind it, the part is %s mm thick", item.Name, item.Depth.Exact(), item.Rest.Exact(), t.Exact()), "use a thicker material, or hardware that is screwed on")
			}
		}
	}
}
