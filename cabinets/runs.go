package cabinets

import (
	"slices"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
)

// RunRule says how a drawer runs: on which slides, and where they are screwed to it.
type RunRule struct {
	Slides string    // the hardware
	On     [2]string // parts that they are screwed to, at the left and at the right, counters left out
	Up     Formula   // of the slides' middle line, above the lowest edge of the lowest of these parts; i counts drawers
	Guide  string    // the hardware that holds its top, "" for none
}

// Run is how a drawer runs on a pair of slides.
type Run struct {
	Item   *shop.Hardware
	Travel measure.Length // how far it comes out
	Line   measure.Length // how high the middle line of its slides lies in the cabinet
	Apart  measure.Length // from one slide to the other
	Load   float64        // kg that it is made to hold
	Guided bool           // its top is held

	slot slotName
}

// slotName names a slot of hardware in an expansion, by its path.
type slotName string

// runs reads how a drawer runs, nil where that is left out.
func (r *reader) runs(n source.Node) *RunRule {
	if n.IsZero() {
		return nil
	}
	m := n.Map("slides", "on", "up", "guide")
	rule := &RunRule{Slides: m.Need("slides").Text(), Up: r.number(m.Need("up"), "i"), Guide: m.Get("guide").Text()}
	var hardware []string
	for _, h := range r.d.Hardware {
		hardware = append(hardware, h.Name)
	}
	r.known(m.Get("slides"), "hardware", hardware)
	r.known(m.Get("guide"), "hardware", hardware)
	on := m.Need("on")
	items := on.Items()
	if len(items) != len(rule.On) {
		if !on.IsZero() {
			on.Fault("slides are screwed to two parts", "write the left and the right one: on: [left-side, right-side]")
		}
		return rule
	}
	for i, item := range items {
		rule.On[i] = item.Text()
		r.known(item, "part", r.d.partNames())
	}
	return rule
}

// run works out how the i-th drawer of a rule runs, nil where that is not said or its parts are not there.
func (in *instance) run(rule *RunRule, assembly string, i int) *Run {
	if rule == nil {
		return nil
	}
	at := slices.IndexFunc(in.d.Hardware, func(h HardwareRule) bool { return h.Name == rule.Slides })
	if at < 0 || in.slots[at].item == nil {
		return nil
	}
	in.values["i"] = float64(i)
	slides := &in.d.Hardware[at]
	run := &Run{Item: in.slots[at].item, Travel: in.slots[at].length, slot: slotName(in.name + slides.Name)}
	if slides.Load != nil {
		run.Load = in.number(slides.Load)
	}
	for k := range in.d.Hardware {
		if h := &in.d.Hardware[k]; h.Name == rule.Guide {
			run.Guided = in.times(h.Count) > 0
		}
	}
	var left, right *Box
	for k := in.first; k < in.last; k++ {
		p := &in.solid.Parts[k]
		if p.Assembly != assembly {
			continue
		}
		if in.means(&in.made[k], rule.On[0], true) && (left == nil || p.Box.Lo[Z] < left.Lo[Z]) {
			left = &p.Box
		}
		if in.means(&in.made[k], rule.On[1], true) && (right == nil || p.Box.Lo[Z] < right.Lo[Z]) {
			right = &p.Box
		}
	}
	if left == nil || right == nil {
		return nil
	}
	run.Line = left.Lo[Z] + in.length(&rule.Up)
	run.Apart = right.Hi[X] - left.Lo[X]
	return run
}

// heavier returns by slot how much of what moves on slides weighs, where these do not carry it together with
// what is in it; boxes are those known so far.
func (s *Solid) heavier(limits *shop.Limits, boxes map[slotName]float64) map[slotName]float64 {
	found := map[slotName]float64{}
	for _, m := range s.Moves {
		if m.Run == nil || m.Run.Load == 0 {
			continue
		}
		box, _ := s.moved(m.Assembly)
		if box > boxes[m.Run.slot]+grams && (m.Run.Load+box)*limits.OnTheRoad() > m.Run.Item.Load {
			found[m.Run.slot] = max(box, found[m.Run.slot])
		}
	}
	return found
}

// grams is what two boxes of one size may differ by: a slide of another length makes them a little
// shorter or longer.
const grams = 1e-6

// moved returns the mass of an assembly in kg, and its centre in mm.
func (s *Solid) moved(assembly string) (mass float64, centre [3]float64) {
	for i := range s.Parts {
		p := &s.Parts[i]
		if p.Assembly != assembly {
			continue
		}
		mass += p.Mass
		for a := range centre {
			centre[a] += float64(p.Mass * (p.Snapped.Lo[a] + p.Snapped.Hi[a]).MM() / 2)
		}
	}
	for a := range centre {
		if mass > 0 {
			centre[a] /= mass
		}
	}
	return mass, centre
}
