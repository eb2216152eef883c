package cabinets

import (
	"fmt"
	"slices"

	"sawbook/cabinets/measure"
)

// sawn checks the parts that are sawn out of others.
func (r *reader) sawn() {
	for i := range r.d.Parts {
		p := &r.d.Parts[i]
		if p.SawnFrom == "" {
			continue
		}
		var known []string
		for k := range r.d.Parts {
			if of := &r.d.Parts[k]; k != i && of.Count == nil && of.SawnFrom == "" {
				known = append(known, of.Name)
			}
		}
		if !slices.Contains(known, p.SawnFrom) {
			unknown(p.sawn, "part that another may be sawn out of", p.SawnFrom, known)
			continue
		}
		of := &r.d.Parts[slices.IndexFunc(r.d.Parts, func(q PartRule) bool { return q.Name == p.SawnFrom })]
		switch {
		case p.Role != of.Role:
			p.sawn.Fault(fmt.Sprintf("%s has the role %s, %s the role %s", p.Name, p.Role, of.Name, of.Role), "what is sawn out of a part is of its material: give both the same role")
		case p.Thin != of.Thin || p.Long != of.Long || p.Turns != of.Turns:
			p.sawn.Fault(fmt.Sprintf("%s does not lie as %s does", p.Name, of.Name), "give both the same grain and the same thin axis, so that the grain runs through")
		case p.Assembly == of.Assembly:
			p.sawn.Fault(fmt.Sprintf("%s and %s are of one assembly", p.Name, of.Name), "what is sawn out is loose: give it an assembly of its own")
		}
	}
}

// sawn gives the parts that are sawn out of others the sizes that the opening, as cut,
// leaves them. What comes off all round, a blade's width or more, is as it is designed; bands
// are added and narrow the gap.
func (e *expansion) sawn() {
	for i := range e.solid.Parts {
		if p := &e.solid.Parts[i]; p.SawnFrom != "" {
			of := slices.IndexFunc(e.solid.Parts, func(q Part) bool { return q.Name == p.SawnFrom })
			if of >= 0 { // else nothing was left of it, which is found already
				e.sawnOut(p, &e.solid.Parts[of], e.made[of].cutouts)
			}
		}
	}
}

func (e *expansion) sawnOut(p, of *Part, cutouts []cutout) {
	first, second := p.Long, p.across()
	at := slices.IndexFunc(cutouts, func(c cutout) bool {
		return c.box.holds(p.Box) && of.Box.Lo[p.Thin] == p.Box.Lo[p.Thin]
	})
	if at < 0 {
		e.finding(LevelError, p.Name, fmt.Sprintf("the part lies in no cut-out of %s, out of which it is sawn", of.Name), "let both begin at the same height, and the part end a kerf before the cut-out does")
		return
	}
	p.Long, p.Turns = of.Long, of.Turns
	opening := cutouts[at].box
	least := measure.Length(measure.Most)
	for _, a := range []Axis{first, second} {
		from, to := p.Box.Lo[a]-opening.Lo[a], opening.Hi[a]-p.Box.Hi[a] // gaps as built
		if gap := min(from, to); gap < measure.Millimetre/2 && p.off[a].sum() > 0 {
			e.finding(LevelError, p.Name, fmt.Sprintf("once banded it has a gap of %s mm in the opening of %s", gap.Exact(), of.Name), "choose a thinner band, or cut more off round it")
		}
		least = min(least, from+p.off[a][0], to+p.off[a][1])
		corner := of.Cut().Lo[a]
		p.Snapped.Lo[a] = corner + of.asCut(a, opening.Lo[a]) + from
		p.Snapped.Hi[a] = corner + of.asCut(a, opening.Hi[a]) - to
	}
	if least < e.shop.Saw.Kerf-same {
		e.finding(LevelError, p.Name, fmt.Sprintf("%s mm lie between it and the opening of %s, the saw's kerf takes %s mm", least.Exact(), of.Name, e.shop.Saw.Kerf.Exact()), "take at least the kerf off all round: from + kerf, to - kerf")
	}
	p.Snapped.Lo[p.Thin], p.Snapped.Hi[p.Thin] = of.Snapped.Lo[p.Thin], of.Snapped.Hi[p.Thin]
	cut := p.Cut()
	p.Length, p.Width = cut.Size(p.Long), cut.Size(p.across())
}
