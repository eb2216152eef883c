package cabinets

import (
	"fmt"

	"sawbook/cabinets/measure"
)

// gap is a declared clearance of an instance.
type gap struct {
	in   *instance
	rule *ClearanceRule
	gap  measure.Length
}

// end is one end of a clearance: the index of its gap, and which end.
type end struct {
	gap int
	and bool
}

// ends notes, by part, the clearances that the part is an end of.
func (e *expansion) ends() [][]end {
	ends := make([][]end, len(e.made))
	for g, gap := range e.gaps {
		for i := gap.in.first; i < gap.in.last; i++ {
			if gap.in.means(&e.made[i], gap.rule.Between, gap.rule.betweenPart) {
				ends[i] = append(ends[i], end{g, false})
			}
			if gap.in.means(&e.made[i], gap.rule.And, gap.rule.andPart) {
				ends[i] = append(ends[i], end{g, true})
			}
		}
	}
	return ends
}

// means reports whether a part is meant by a name of the instance, counters left out.
func (in *instance) means(m *made, name string, part bool) bool {
	if part {
		return m.in.path+m.rule.Name == in.path+name
	}
	return m.in.path+m.rule.Assembly == in.path+name
}

// apart returns the clearance declared between two parts, -1 where there is none.
func (e *expansion) apart(ends [][]end, a, b int) int {
	for _, x := range ends[a] {
		for _, y := range ends[b] {
			if x.gap == y.gap && x.and != y.and {
				return x.gap
			}
		}
	}
	return -1
}

// clearances checks that what is declared to stay apart still does as cut.
func (e *expansion) clearances(ends [][]end, cut []meet) {
	least := make([]*meet, len(e.gaps))
	for _, m := range cut {
		if m.overlap || e.glued(m.a, m.b) {
			continue
		}
		g := e.apart(ends, m.a, m.b)
		if g >= 0 && m.gap < e.gaps[g].gap-same && (least[g] == nil || m.gap < least[g].gap) {
			least[g] = &m
		}
	}
	for g, m := range least {
		if m != nil {
			a, b := e.solid.Parts[m.a].Name, e.solid.Parts[m.b].Name
			e.finding(LevelError, a, fmt.Sprintf("%s mm are left to %s, %s mm are declared", m.gap.Exact(), b, e.gaps[g].gap.Exact()), "change the sizes, or leave more room in the formulas: cut sizes are multiples of the saw's step")
		}
	}
}

// reach is the widest gap that is declared.
func (e *expansion) reach() (reach measure.Length) {
	for _, g := range e.gaps {
		reach = max(reach, g.gap)
	}
	return reach
}
