package batch

import (
	"fmt"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/nest"
)

// patterns reads every cut tree of the plan as the shop will cut it.
func (m *Material) patterns() []Pattern {
	patterns := make([]Pattern, len(m.Plan.Patterns))
	for i, p := range m.Plan.Patterns {
		r := treeReader{material: m, pieces: m.Pieces, pattern: &patterns[i]}
		patterns[i] = Pattern{Number: i + 1, Times: p.Times, Sheet: m.Stock[p.Sheet], Trim: m.trim(m.Stock[p.Sheet])}
		root := p.Root
		if m.breakDown(&root, &patterns[i].Trim) {
			patterns[i].Allowance, r.track = m.Saw.Track.Allowance, true
		}
		r.read(&root, nest.NoCut, 0)
	}
	return patterns
}

// trimOf is what comes off each edge of a sheet: left, right, bottom, top.
func trimOf(saw shop.Saw, s shop.Sheet) [4]measure.Length {
	if s.Trimmed {
		return [4]measure.Length{}
	}
	return [4]measure.Length{saw.Left, saw.Right, saw.Bottom, saw.Top}
}

// treeReader walks one cut tree: all cuts of a piece come before those of what they
// free, so that a sheet is ripped into strips before the first strip is crosscut.
type treeReader struct {
	material *Material
	pieces   []*cabinets.Piece // that the tree's parts stand for
	pattern  *Pattern
	track    bool // the first piece is divided with the track saw
}

func (r *treeReader) read(n *nest.Piece, before nest.Direction, stage int) {
	if n.Cut == nest.NoCut {
		r.leaf(n)
		return
	}
	if n.Cut != before {
		stage++
	}
	r.cuts(n, stage, r.track && before == nest.NoCut)
	for i := range n.Children {
		r.read(&n.Children[i], n.Cut, stage)
	}
}

func (r *treeReader) leaf(n *nest.Piece) {
	area := areaOf(n)
	if n.Part < 0 {
		r.offcut(area)
		return
	}
	piece := r.pieces[n.Part]
	r.pattern.Parts = append(r.pattern.Parts, Laid{Piece: piece, X: area.X, Y: area.Y, Length: area.Length, Width: area.Width, Turned: n.Turned})
	r.pattern.Used += r.material.yield(piece)
}

func (r *treeReader) offcut(area Area) {
	saw := r.material.Saw
	long, short := max(area.Length, area.Width), min(area.Length, area.Width)
	o := Offcut{Area: area, Keep: r.pattern.Blank == nil && saw.KeepLong > 0 && long >= saw.KeepLong && short >= saw.KeepShort}
	if o.Keep {
		kept := 1
		for _, other := range r.pattern.Offcuts {
			if other.Keep {
				kept++
			}
		}
		o.Label = fmt.Sprintf("%s%d-%d", r.material.Letter, r.pattern.Number, kept)
	}
	r.pattern.Offcuts = append(r.pattern.Offcuts, o)
}

// cuts adds the cuts that divide a piece, from the corner outwards.
func (r *treeReader) cuts(n *nest.Piece, stage int, track bool) {
	rest := areaOf(n)
	kerf := r.material.Saw.Kerf
	if track {
		kerf = r.material.Saw.Track.Gap()
	}
	for i := range n.Children {
		child := areaOf(&n.Children[i])
		along, whole := child.Length, rest.Length
		if n.Cut == nest.Rip {
			along, whole = child.Width, rest.Width
		}
		if along == whole {
			break // the remainder: no cut frees it
		}
		cut := Cut{Step: len(r.pattern.Cuts) + 1, Stage: stage, Rip: n.Cut == nest.Rip, Track: track, Setting: along, From: rest, Frees: child}
		cut.X2, cut.Y2 = child.X+child.Length, child.Y+child.Width
		cut.X1, cut.Y1 = cut.X2, rest.Y
		if cut.Rip {
			cut.X1, cut.Y1 = rest.X, cut.Y2
		}
		if p := n.Children[i].Part; p >= 0 {
			cut.FreesPart = r.pieces[p]
		}
		rest = rest.after(cut, kerf)
		cut.Remains = rest
		r.pattern.Cuts = append(r.pattern.Cuts, cut)
	}
}

// after returns what a cut leaves beyond its kerf; nothing where the blade takes it all.
func (a Area) after(c Cut, kerf measure.Length) Area {
	if c.Rip {
		a.Y, a.Width = a.Y+c.Setting+kerf, a.Width-c.Setting-kerf
	} else {
		a.X, a.Length = a.X+c.Setting+kerf, a.Length-c.Setting-kerf
	}
	if a.Length <= 0 || a.Width <= 0 {
		return Area{}
	}
	return a
}

func areaOf(n *nest.Piece) Area {
	return Area{measure.Length(n.X), measure.Length(n.Y), measure.Length(n.Length), measure.Length(n.Width)}
}

// M2 returns the area in square metres.
func (a Area) M2() float64 { return a.Length.MM() / 1000 * (a.Width.MM() / 1000) }
