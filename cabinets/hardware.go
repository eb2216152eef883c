package cabinets

import (
	"fmt"
	"strconv"
	"strings"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// slot is the hardware chosen for a rule.
type slot struct {
	missing bool           // the shop has nothing of the kind
	item    *shop.Hardware // nil where the shop has none of the kind
	length  measure.Length // 0 where it comes in no lengths
	or      []Fit          // what else carries the load and fits
}

// choose picks the hardware for a rule. Where nothing fits, that is a finding, and what
// comes nearest is chosen, so that the rest of the cabinet can be seen.
func (in *instance) choose(r *HardwareRule) slot {
	load, fits := 0.0, measure.Length(measure.Most)
	if r.Load != nil {
		load = in.number(r.Load)
	}
	wanted := kilograms(load) + " kg"
	if box := in.riding[slotName(in.name+r.Name)]; box > 0 {
		wanted = fmt.Sprintf("%s kg in a box of %s kg", kilograms(load), above(box))
		load += box
	}
	if times := in.shop.Limits.Moving; times > 0 {
		load *= times
		wanted = fmt.Sprintf("%s kg, %s times %s on the road (load classes are for furniture that stands, no rating for a vehicle)", strings.TrimSuffix(above(load), ".0"), kilograms(times), wanted)
	}
	if r.Fits != nil {
		fits = in.length(r.Fits)
	}
	var kind, carries []*shop.Hardware
	for _, h := range in.shop.Hardware {
		if h.Kind == r.Kind {
			kind = append(kind, h)
			if h.Load >= load {
				carries = append(carries, h)
			}
		}
	}
	if len(kind) == 0 {
		return slot{missing: true}
	}
	if len(carries) == 0 {
		strongest := kind[0]
		for _, h := range kind {
			if h.Load > strongest.Load {
				strongest = h
			}
		}
		in.find(LevelError, r.Name, fmt.Sprintf("no %s carries %s: the strongest carries %s kg", r.Kind, wanted, kilograms(strongest.Load)), "put less in it, or add a stronger one to the shop file")
		carries = []*shop.Hardware{strongest}
	}
	best := in.lightest(r, carries, fits)
	if best.item == nil {
		best = shortest(carries)
		if best.length == 0 {
			in.find(LevelError, r.Name, best.item.Name+" comes in no lengths, but must fit into one", "give it lengths in the shop file")
		} else {
			in.find(LevelError, r.Name, fmt.Sprintf("no %s that carries %s fits into %s mm: the shortest is %s mm", r.Kind, wanted, fits.Exact(), best.length.Exact()), "make room for it, or add a shorter one to the shop file")
		}
	}
	for _, h := range carries {
		if other := in.lightest(r, []*shop.Hardware{h}, fits); h != best.item && other.item != nil {
			best.or = append(best.or, Fit{other.item, other.length})
		}
	}
	if r.measured && len(best.item.Lengths) == 0 {
		in.find(LevelError, r.Name, fmt.Sprintf("%s comes in no lengths, but formulas ask for its measures", best.item.Name), "give it lengths in the shop file")
	}
	return best
}

// lacks reports, once for a kind, that the shop has no hardware of it. Where formulas ask for
// its measures, nothing else that is found is worth telling.
func (in *instance) lacks(r *HardwareRule) {
	kind := lackedKind(r.Kind)
	if !in.refused[kind] {
		in.refused[kind] = true
		in.find(LevelError, r.Name, fmt.Sprintf("the shop has no hardware of the kind %q", r.Kind), "add it to the shop file, with its kind")
		in.lacking = append(in.lacking, in.solid.Findings[len(in.solid.Findings)-1])
	}
	in.blind = in.blind || r.measured
}

// lackedKind is a kind of hardware that the shop does not have.
type lackedKind string

// lightest returns the item of least load class that fits, the shop's first among equals, in
// its longest length.
func (in *instance) lightest(r *HardwareRule, items []*shop.Hardware, fits measure.Length) (best slot) {
	for _, h := range items {
		if best.item != nil && h.Load >= best.item.Load {
			continue
		}
		if r.Fits == nil && len(h.Lengths) == 0 {
			best = slot{item: h}
		}
		for _, l := range h.Lengths { // short to long
			if l.Length <= fits {
				best = slot{item: h, length: l.Length}
			}
		}
	}
	return best
}

// shortest returns the item that comes in the shortest length.
func shortest(items []*shop.Hardware) slot {
	best := slot{item: items[0]}
	for _, h := range items {
		if len(h.Lengths) > 0 && (best.length == 0 || h.Lengths[0].Length < best.length) {
			best = slot{item: h, length: h.Lengths[0].Length}
		}
	}
	return best
}

func kilograms(kg float64) string { return strconv.FormatFloat(kg, 'f', -1, 64) }

// hardwareLines lists the hardware of the instance.
func (in *instance) hardwareLines() {
	for i := range in.d.Hardware {
		r := &in.d.Hardware[i]
		n := in.times(r.Count)
		if in.slots[i].missing && (n > 0 || r.measured) {
			in.lacks(r)
		}
		if n > 0 && in.slots[i].item != nil {
			in.solid.Hardware = append(in.solid.Hardware, HardwareLine{Name: in.name + r.Name, Item: in.slots[i].item, Length: in.slots[i].length, Count: n, Or: in.slots[i].or})
		}
	}
}

// Mass returns the mass in kg of all units of the line.
func (l *HardwareLine) Mass() float64 {
	each := l.Item.Mass
	for _, of := range l.Item.Lengths {
		if of.Length == l.Length {
			each = of.Mass
		}
	}
	return each * float64(l.Count)
}
