package cabinets

import (
	"fmt"

	"sawbook/cabinets/measure"
)

// boxes returns the parts' boxes, as designed.
func (e *expansion) boxes() []Box {
	boxes := make([]Box, len(e.solid.Parts))
	for i := range boxes {
		boxes[i] = e.solid.Parts[i].Box
	}
	return boxes
}

// square moves planes that rounding has set apart onto one another.
func (e *expansion) square() {
	boxes := make([]*Box, 0, len(e.solid.Parts)+1)
	for i := range e.solid.Parts {
		boxes = append(boxes, &e.solid.Parts[i].Box)
	}
	square(append(boxes, &e.solid.Outside))
}

// meets finds the parts that overlap, touch or face one another. It refuses a cabinet of
// more than mostMeets, and reports false.
func (e *expansion) meets(boxes []Box, reach measure.Length) ([]meet, bool) {
	found := make([]meet, 0, 6*len(boxes))
	for m := range meeting(boxes, reach) {
		if len(found) == mostMeets {
			e.limit(mostMeets, "places where two parts meet")
			return nil, false
		}
		found = append(found, m)
	}
	return found, true
}

// glued reports whether two parts belong to one assembly.
func (e *expansion) glued(a, b int) bool {
	return e.solid.Parts[a].Assembly == e.solid.Parts[b].Assembly
}

// closes checks that the parts of a cabinet fill just the outside that it declares.
func (in *instance) closes(outside Box, parts []Part) {
	if len(parts) == 0 {
		if len(in.refusals) == 0 {
			in.find(LevelError, "", "the cabinet has no parts", "give it parts, or use another cabinet in it")
		}
		return
	}
	around := parts[0].Box
	for i := range parts {
		around = around.around(parts[i].Box)
	}
	for a := X; a <= Z; a++ {
		lo, hi := around.Lo[a]-in.at[a], around.Hi[a]-in.at[a]
		if declared := outside.Size(a); lo < -same || lo > same || hi-declared > same || declared-hi > same {
			in.find(LevelError, "", fmt.Sprintf("the parts run from %s to %s mm along %s, the outside from 0 to %s mm", lo.Exact(), hi.Exact(), a, declared.Exact()), "let the parts end where the outside does, or declare another outside")
		}
	}
}

// overlaps checks that no two parts are in the same place, except where one enters a
// groove of the other no deeper than it is declared.
func (e *expansion) overlaps(found []meet) {
	for _, m := range found {
		if m.overlap {
			e.overlap(m)
		}
	}
	e.unusedGrooves(found)
}

// groove finds the groove of part a that part b may enter. It returns -1 where there is
// none: grooves are for parts of the same cabinet.
func (e *expansion) groove(a, b int) int {
	ma, mb := &e.made[a], &e.made[b]
	if ma.in != mb.in {
		return -1
	}
	for i := range ma.rule.Grooves {
		if ma.rule.Grooves[i].For == mb.rule.Name {
			return i
		}
	}
	return -1
}

func (e *expansion) overlap(m meet) {
	a, b := m.a, m.b
	g := e.groove(a, b)
	if g < 0 {
		if back := e.groove(b, a); back >= 0 {
			a, b, g = b, a, back
		}
	}
	pa, pb := &e.solid.Parts[a], &e.solid.Parts[b]
	if g >= 0 {
		e.entry(pa, pb, m.shared, e.made[a].grooves[g])
		return
	}
	for _, pair := range [2][2]int{{a, b}, {b, a}} {
		for _, c := range e.made[pair[0]].cutouts {
			if c.box.holds(m.shared) {
				return // it passes through a cut-out
			}
		}
	}
	e.finding(LevelError, pa.Name, fmt.Sprintf("the part and %s are in the same place, %s mm deep", pb.Name, depth(m.shared).Exact()), "move or shorten one of them, or declare a groove for it")
}

// depth is how far two parts would have to move apart: the least extent of what they
// share.
func depth(shared Box) measure.Length {
	return min(shared.Size(X), shared.Size(Y), shared.Size(Z))
}

// entry checks how part b enters a groove of part a.
func (e *expansion) entry(a, b *Part, shared Box, declared measure.Length) {
	low, high := shared.Lo[a.Thin] <= a.Box.Lo[a.Thin]+same, shared.Hi[a.Thin] >= a.Box.Hi[a.Thin]-same
	switch entered := shared.Size(a.Thin); {
	case low && high:
		e.finding(LevelError, a.Name, b.Name+" goes right through the part where a groove is declared", "end it in the groove, or declare a cut-out")
	case !low && !high:
		e.finding(LevelError, a.Name, b.Name+" lies inside the part and enters from neither face", "a groove is entered from a face: move "+b.Name)
	case entered > declared+same:
		e.finding(LevelError, a.Name, fmt.Sprintf("%s enters %s mm deep, its groove is %s mm deep", b.Name, entered.Exact(), declared.Exact()), "declare a deeper groove, or move "+b.Name)
	case declared >= a.Material.Thickness:
		e.finding(LevelError, a.Name, fmt.Sprintf("the groove for %s is %s mm deep, the part %s mm thick", b.Name, declared.Exact(), a.Material.Thickness.Exact()), "declare a shallower groove")
	}
}

// unusedGrooves reports grooves that nothing enters: the formulas are not what they were
// meant to be.
func (e *expansion) unusedGrooves(found []meet) {
	type key struct {
		in   *instance
		rule *GrooveRule
	}
	used := map[key]bool{}
	for _, m := range found {
		if !m.overlap {
			continue
		}
		for _, pair := range [2][2]int{{m.a, m.b}, {m.b, m.a}} {
			if g := e.groove(pair[0], pair[1]); g >= 0 {
				used[key{e.made[pair[0]].in, &e.made[pair[0]].rule.Grooves[g]}] = true
			}
		}
	}
	for i := range e.made {
		m := &e.made[i]
		for g := range m.rule.Grooves {
			k := key{m.in, &m.rule.Grooves[g]}
			told := used[k]
			used[k] = true
			if !told && m.grooves[g] > 0 && e.present(m.in, m.rule.Grooves[g].For) {
				e.finding(LevelWarning, e.solid.Parts[i].Name, m.rule.Grooves[g].For+" does not reach the groove that is declared for it", "lengthen it into the groove, or drop the groove")
			}
		}
	}
}

// present reports whether a cabinet has a part of a name.
func (e *expansion) present(in *instance, name string) bool {
	for i := range e.made {
		if e.made[i].in == in && e.made[i].rule.Name == name {
			return true
		}
	}
	return false
}
