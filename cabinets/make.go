package cabinets

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
)

// made is what is known of a part besides what a Part holds.
type made struct {
	rule    *PartRule
	in      *instance
	grooves []measure.Length
	fill    *shop.Fill
	edges   []shop.Treatment // of rule.Edges
	joints  []*shop.Joint    // of rule.Joints
	housed  []*shop.Joint    // of rule.Grooves
	open    [3]sides         // how much of the edges stays open, as designed
	hidden  [3][2]bool       // whether an open edge is hidden in joints that are not glued
	cutouts []cutout
	holes   []hole
}

// cutout is a cut-out in the cabinet, through the part.
type cutout struct {
	box  Box
	cut  Box // as cut, in the cabinet
	rule *CutoutRule
}

// hole is a hole in the cabinet.
type hole struct {
	at              [3]measure.Length // 0 along the thin axis
	off             [3]measure.Length // from there, whatever the part is cut to
	diameter, depth measure.Length    // depth 0 is through
	rule            *HoleRule
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
	if p.SawnFrom != "" {
		part.SawnFrom = in.name + p.SawnFrom
	}
	part.Turns = p.Turns || !fill.Material.Grain
	switch {
	case p.Good == 0:
	case p.Good.High():
		part.Good = HighFace
	default:
		part.Good = LowFace
	}
	for _, d := range p.Exposed {
		part.Exposed[d.end()] = true
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
		made.housed = append(made.housed, in.joint(&p.Grooves[i].Joint))
	}
	for i := range p.Joints {
		made.joints = append(made.joints, in.joint(&p.Joints[i]))
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
	in.carry(p.Carries)
	if p.SawnFrom != "" { // as built: bands come on top of what was sawn out
		for a := X; a <= Z; a++ {
			if a != p.Thin {
				part.Box.Lo[a] -= made.treatment(toward(a, false)).Off()
				part.Box.Hi[a] += made.treatment(toward(a, true)).Off()
			}
		}
	}
	for _, c := range made.cutouts {
		part.openings = append(part.openings, c.box)
	}
	in.solid.Parts = append(in.solid.Parts, part)
	in.made = append(in.made, made)
}

// joint finds the joint that a definition asks for.
func (in *instance) joint(r *JointRule) *shop.Joint {
	if r.Word == "" {
		return nil
	}
	j, known := in.shop.Joint(r.Word)
	if !known && !in.refused[r] {
		in.refused[r] = true
		in.refusals = append(in.refusals, Refusal{fmt.Sprintf("unknown joint %q", r.Word), source.Suggest(r.Word, in.shop.JointWords()), r.Node, 0})
	}
	return j
}

// treatment finds the edge treatment that a definition asks for.
func (in *instance) treatment(r *EdgeRule) shop.Treatment {
	t, fault, hint := in.shop.Treatment(r.Treatment)
	if fault != "" && !in.refused[r] {
		in.refused[r] = true
		in.refusals = append(in.refusals, Refusal{fault, hint, r.Node, 0})
	}
	return t
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
		list = append(list, cutout{box: box, rule: c})
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
		if h.For == "" {
			list = append(list, made)
		} else {
			list = append(list, in.hardwareHoles(made)...)
		}
	})
	return list
}

// hardwareHoles returns the holes of a piece of hardware as it was chosen, none where the shop does not tell
// them, set off from a place.
func (in *instance) hardwareHoles(from hole) (list []hole) {
	at := slices.IndexFunc(in.d.Hardware, func(r HardwareRule) bool { return r.Name == from.rule.For })
	if at < 0 || in.slots[at].item == nil {
		return nil // refused when it was read, or reported as missing
	}
	item := in.slots[at].item
	from.diameter, from.depth = item.Hole.Diameter, item.Hole.Depth
	across := X
	if from.rule.At[X] == nil {
		across = Z
	}
	for _, spot := range item.Spots(in.slots[at].length) {
		from.off[Y], from.off[across] = spot.Behind, spot.Above
		list = append(list, from)
	}
	return list
}
