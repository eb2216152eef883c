package cabinets

import (
	"fmt"

	"sawbook/cabinets/measure"
)

// features works out what is machined into each part, in its own frame.
func (e *expansion) features(cut []meet) {
	for i := range e.solid.Parts {
		p, m := &e.solid.Parts[i], &e.made[i]
		for k := range m.cutouts {
			e.cutout(p, &m.cutouts[k])
		}
		for _, h := range m.holes {
			e.hole(p, h)
		}
	}
	for _, m := range cut {
		if !m.overlap {
			continue
		}
		for _, pair := range [2][2]int{{m.a, m.b}, {m.b, m.a}} {
			if g := e.groove(pair[0], pair[1]); g >= 0 {
				allowance := measure.Length(0)
				if j, joined := e.jointing(m); joined && j.how != nil {
					allowance = j.how.Allowance
				}
				e.cutGroove(pair[0], pair[1], m.shared, e.made[pair[0]].grooves[g], allowance)
				break
			}
		}
	}
}

// cutGroove cuts the groove that part b enters into part a, as long as what enters, wider by
// the allowance, and as deep as it is declared.
func (e *expansion) cutGroove(a, b int, shared Box, depth, allowance measure.Length) {
	p := &e.solid.Parts[a]
	if wide := e.solid.Parts[b].Thin; wide != p.Thin {
		shared.Lo[wide] -= allowance / 2
		shared.Hi[wide] += allowance - allowance/2
	}
	cut := p.Cut()
	box := relative(shared.common(cut), cut)
	for a := X; a <= Z; a++ {
		if a != p.Thin && box.Size(a) <= same {
			return // all of it lies in a lipping, which is no part of the panel
		}
	}
	thick := p.Snapped.Size(p.Thin)
	depth = min(depth, thick)
	if high := box.Hi[p.Thin] >= thick-same; high {
		box.Lo[p.Thin], box.Hi[p.Thin] = thick-depth, thick
	} else {
		box.Lo[p.Thin], box.Hi[p.Thin] = 0, depth
	}
	p.Features = append(p.Features, Feature{Groove, p.own(box), "for " + e.made[b].rule.Name})
}

// relative moves a box so that it is measured from the least corner of another.
func relative(b, from Box) Box {
	for a := range b.Lo {
		b.Lo[a] -= from.Lo[a]
		b.Hi[a] -= from.Lo[a]
	}
	return b
}

// asCut turns a coordinate in the design into one on the part as cut, from its least
// corner: its distance from the nearer end is kept, band included, so that mirrored parts stay
// mirrored.
func (p *Part) asCut(a Axis, at measure.Length) measure.Length {
	fromLo, fromHi := at-p.Box.Lo[a], p.Box.Hi[a]-at
	switch built := p.Snapped.Size(a); {
	case fromLo < fromHi:
		return fromLo - p.off[a][0]
	case fromLo > fromHi:
		return built - fromHi - p.off[a][0]
	default:
		return built/2 - p.off[a][0]
	}
}

// asCutBy does so from the edge named for the axis, or from the nearer end where none is.
func (p *Part) asCutBy(a Axis, at measure.Length, by []Direction) measure.Length {
	for _, d := range by {
		switch {
		case d.Axis() != a:
		case d.High():
			return p.Snapped.Size(a) - (p.Box.Hi[a] - at) - p.off[a][0]
		default:
			return at - p.Box.Lo[a] - p.off[a][0]
		}
	}
	return p.asCut(a, at)
}

func (e *expansion) cutout(p *Part, c *cutout) {
	box, about := c.box.common(p.Box), c.rule.About
	var cut Box
	for a := X; a <= Z; a++ {
		if box.Size(a) <= same {
			e.finding(LevelError, p.Name, "a cut-out takes nothing out of the part: "+about, "place it on the part, from its lesser to its greater end")
			return
		}
		// A notch begins at the edge, with or without a band.
		cut.Lo[a], cut.Hi[a] = max(p.asCut(a, box.Lo[a]), 0), min(p.asCut(a, box.Hi[a]), p.Cut().Size(a))
	}
	p.Features = append(p.Features, Feature{Cutout, p.own(cut), about})
	corner := p.Cut().Lo
	for a, at := range corner {
		c.cut.Lo[a], c.cut.Hi[a] = at+cut.Lo[a], at+cut.Hi[a]
	}
}

func (e *expansion) hole(p *Part, h hole) {
	thick := p.Snapped.Size(p.Thin)
	var cut Box
	for a := X; a <= Z; a++ {
		if a == p.Thin {
			continue
		}
		at := p.asCutBy(a, h.at[a], h.rule.By) + h.off[a]
		cut.Lo[a], cut.Hi[a] = at-h.diameter/2, at-h.diameter/2+h.diameter
		// A hole may run into a band that is added to the cut size: it is drilled afterwards.
		if size := p.Cut().Size(a); cut.Lo[a] < -p.off[a][0] || cut.Hi[a] > size+p.off[a][1] {
			e.finding(LevelError, p.Name, fmt.Sprintf("a hole breaks out of the edge: its middle lies %s mm from the end along %s", min(at, size-at).Exact(), a), "move it inwards")
			return
		}
	}
	switch {
	case h.diameter <= 0 || h.depth < 0:
		e.finding(LevelError, p.Name, "a hole has no size", "give it a diameter and a depth above 0")
		return
	case h.depth > thick+same:
		e.finding(LevelError, p.Name, fmt.Sprintf("a hole is %s mm deep, the part %s mm thick", h.depth.Exact(), thick.Exact()), "make it shallower, or leave its depth out where it goes through")
		return
	case h.depth == 0:
		cut.Lo[p.Thin], cut.Hi[p.Thin] = 0, thick
	case h.rule.From.High():
		cut.Lo[p.Thin], cut.Hi[p.Thin] = thick-h.depth, thick
	default:
		cut.Lo[p.Thin], cut.Hi[p.Thin] = 0, h.depth
	}
	p.Features = append(p.Features, Feature{Hole, p.own(cut), h.rule.About})
}
