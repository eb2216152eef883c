package nest

import "slices"

// stages returns the deepest stage of p, cuts that bring one part to size left out.
func stages(p *Piece, before Direction) int {
	if p.Cut == NoCut || p.bringsToSize() {
		return 0
	}
	deepest := 0
	for i := range p.Children {
		deepest = max(deepest, stages(&p.Children[i], p.Cut))
	}
	if p.Cut != before {
		deepest++
	}
	return deepest
}

// bringsToSize reports whether the cuts of p free one part and nothing else of use.
func (p *Piece) bringsToSize() bool {
	parts := 0
	for i := range p.Children {
		child := &p.Children[i]
		if child.Cut != NoCut {
			return false
		}
		if child.Part >= 0 {
			parts++
		}
	}
	return parts == 1
}

// allowed reports whether p's rules on stages, first and longest cuts admit a pattern.
func (p *Problem) allowed(root *Piece) bool {
	limit := p.Stages
	if p.First != NoCut && root.Cut != NoCut && root.Cut != p.First {
		if !root.spanned(root, p.First) {
			return false
		}
		if limit--; limit == 0 {
			return root.bringsToSize()
		}
	}
	if p.Stages > 0 && stages(root, NoCut) > limit {
		return false
	}
	return p.reaches(root)
}

// spanned reports whether a part of p is as large as root across cuts in direction d.
func (p *Piece) spanned(root *Piece, d Direction) bool {
	if p.Part >= 0 {
		return d == Rip && p.Width == root.Width || d == Crosscut && p.Length == root.Length
	}
	return slices.ContainsFunc(p.Children, func(c Piece) bool { return c.spanned(root, d) })
}

// reaches reports whether no cut of n is longer than the saw can make.
func (p *Problem) reaches(n *Piece) bool {
	if n.Cut == Rip && p.LongestRip > 0 && n.Length > p.LongestRip || n.Cut == Crosscut && p.LongestCrosscut > 0 && n.Width > p.LongestCrosscut {
		return false
	}
	for i := range n.Children {
		if !p.reaches(&n.Children[i]) {
			return false
		}
	}
	return true
}
