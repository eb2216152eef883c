package cabinets

import (
	"fmt"
	"maps"
	"slices"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
)

const (
	mostParts = 3_000  // parts and used cabinets of one cabinet
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
	boxes := map[slotName]float64{}
	for {
		solid, err := expandWith(s, d, choice, boxes)
		if err != nil {
			return nil, err
		}
		more := solid.heavier(&s.Limits, boxes)
		if len(more) == 0 {
			return solid, nil
		}
		maps.Copy(boxes, more) // stronger slides, then
	}
}

// expandWith expands with slides that carry these boxes besides what is in them, by slot: kg.
func expandWith(s *shop.Shop, d *Definition, choice Choice, boxes map[slotName]float64) (*Solid, error) {
	e := &expansion{shop: s, solid: &Solid{Definition: d}, refused: map[any]bool{}, riding: boxes}
	sizes := e.sizes(d, choice.Sizes)
	top := &instance{expansion: e, d: d, fills: e.fills(d, choice.Roles)}
	if choice.Holds != nil && len(e.refusals) == 0 {
		choice.Sizes = e.fitted(d, choice)
		sizes = e.sizes(d, choice.Sizes)
	}
	if len(e.refusals) == 0 {
		e.solid.Sizes, e.solid.Holds, e.solid.Fills = sizes, choice.Holds, top.fills
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
	linings  []lining
	loads    []carried
	matches  []matching
	count    int // parts and used cabinets
	holes    int
	lacking  []Finding            // kinds of hardware that the shop does not have
	blind    bool                 // formulas ask for their measures
	riding   map[slotName]float64 // kg that slides carry besides what is in it, where that is known
	refusals Refusals
	refused  map[any]bool // rules that have been refused already
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

// limit refuses a cabinet that is beyond all reason, once for each limit.
func (e *expansion) limit(most int, what string) {
	if !e.refused[what] {
		e.refused[what] = true
		e.refusals = append(e.refusals, Refusal{Text: fmt.Sprintf("%s: there are more than %d %s", e.solid.Definition.Name, most, what), Hint: "count fewer"})
	}
}

// finding reports a finding about a part, by its path.
func (e *expansion) finding(level Level, where, text, do string) {
	e.solid.Findings = append(e.solid.Findings, Finding{level, where, text, do})
}

// finish works out what follows from the boxes.
func (e *expansion) finish() {
	e.square()
	found, ok := e.meets(e.boxes(), e.shop.Felt.Pressed)
	if !ok {
		return
	}
	e.overlaps(found)
	e.openings(found)
	e.snap(found)
	cut, ok := e.meets(e.snapped(), e.reach())
	if !ok {
		return
	}
	e.closesAsCut(found, cut)
	e.edges()
	e.faces()
	ends := e.ends()
	e.contacts(found, ends)
	e.clearances(ends, cut)
	e.features(cut)
	e.coat()
	e.joints(found) // their holes lie where parts are masked
	e.weigh()
	e.sags()
	e.webs()
	e.match()
	if e.blind {
		e.solid.Findings = e.lacking
	}
	e.solid.Findings = SortFindings(e.solid.Findings)
}
