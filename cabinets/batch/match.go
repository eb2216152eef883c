package batch

import (
	"cmp"
	"fmt"
	"slices"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/nest"
	"sawbook/nest/verify"
)

// The parts of a matched group come from one strip. The strip is a blank: it is nested as a
// piece, and cut apart by parallel cuts in the order of its parts, a kerf between them. Those
// cuts are second cuts, so they are no stage of the sheet that the strip comes from.

// strip is a matched group, as often as it is cut.
type strip struct {
	parts []*cabinets.Piece // as they lie, from the corner outwards
	along bool              // they follow one another along the face grain
}

// matched replaces the parts of matched groups by strips that hold them.
func (m *Material) matched(style measure.Style) {
	problem := m.problem(0)
	var pieces []*cabinets.Piece
	met := map[*cabinets.Piece]bool{}
	for _, p := range m.Pieces {
		if met[p] {
			continue
		}
		if p.Match.Of == 0 {
			pieces = append(pieces, p)
			continue
		}
		s := stripOf(p, m.Pieces)
		for _, q := range s.parts {
			met[q] = true
		}
		tree := s.tree(m.Saw)
		if why := m.unfit(s, &tree, &problem, style); why != "" {
			m.single(s, fmt.Sprintf("the strip for its %d parts (%s) %s", len(s.parts), style.Size(measure.Length(tree.Length), measure.Length(tree.Width)), why))
			pieces = append(pieces, s.parts...)
			continue
		}
		m.addStrip(s, tree)
		pieces = append(pieces, m.Blanks[len(m.Blanks)-1].Blank)
	}
	m.Pieces = pieces
}

// matchPressed finds the matched groups among parts that are pressed: a group is there where its
// parts come from one blank, in order.
func (m *Material) matchPressed() {
	for _, p := range m.Pieces {
		if p.Match.Place != 1 {
			continue
		}
		s, left := stripOf(p, m.Pieces), p.Count
		var strips []*Pattern
		for i := range m.Blanks {
			b := &m.Blanks[i]
			if slices.EqualFunc(b.Parts, s.parts, func(l Laid, q *cabinets.Piece) bool { return l.Piece == q }) {
				strips, left = append(strips, b), left-b.Times
			}
		}
		if left > 0 {
			m.single(s, fmt.Sprintf("its %d parts are not pressed as one blank in their order", len(s.parts)))
			continue
		}
		for _, b := range strips {
			b.Matched = true
		}
	}
}

// stripOf gathers the parts of a piece's group.
func stripOf(p *cabinets.Piece, pieces []*cabinets.Piece) strip {
	s := strip{along: p.Match.Along}
	for _, q := range pieces {
		if q.Match.Same(p.Match) {
			s.parts = append(s.parts, q)
		}
	}
	slices.SortFunc(s.parts, func(a, b *cabinets.Piece) int {
		if p.Match.Falls {
			a, b = b, a
		}
		return cmp.Compare(a.Match.Place, b.Match.Place)
	})
	return s
}

// tree is the strip's cut tree. Its length is one that the fence can be set to: where that is
// more than the parts and the kerfs between them take, the last part is cut off as well.
func (s strip) tree(saw shop.Saw) nest.Piece {
	first := s.parts[0]
	root := nest.Piece{Length: int64(first.Length), Width: int64(first.Width), Part: -1, Cut: nest.Rip}
	size, at := &root.Width, int64(0)
	if s.along {
		root.Cut, size = nest.Crosscut, &root.Length
	}
	for i, p := range s.parts {
		child := nest.Piece{Y: at, Length: int64(p.Length), Width: int64(p.Width), Part: i}
		extent := child.Width
		if s.along {
			child.X, child.Y, extent = at, 0, child.Length
		}
		root.Children = append(root.Children, child)
		at += extent + int64(saw.Kerf)
	}
	at -= int64(saw.Kerf)
	step := max(1, int64(saw.Step))
	*size = (at + step - 1) / step * step
	if rest := *size - at - int64(saw.Kerf); rest > 0 {
		waste := nest.Piece{Y: *size - rest, Length: root.Length, Width: rest, Part: -1}
		if s.along {
			waste = nest.Piece{X: *size - rest, Length: rest, Width: root.Width, Part: -1}
		}
		root.Children = append(root.Children, waste)
	}
	return root
}

// single has a strip's parts cut one by one: there is a finding for every place where the group
// stands.
func (m *Material) single(s strip, why string) {
	m.alone = append(m.alone, s.parts...)
	for _, place := range s.parts[0].Goes {
		m.singled = append(m.singled, cabinets.Finding{Level: cabinets.LevelError,
			Where: fmt.Sprintf("%s: %s: %s", place.Interior.Title(), place.Cabinet, s.parts[0].Match.Group),
			Text:  why + ": they are cut one by one, and no figure runs through them",
			Do:    "make the parts smaller, allow a larger sheet, or take them out of the cabinet's matched parts"})
	}
}

// unfit says why a strip cannot be cut, "" where it can.
func (m *Material) unfit(s strip, tree *nest.Piece, problem *nest.Problem, style measure.Style) string {
	for _, p := range s.parts {
		if m.Saw.TooSmall(p.Length, p.Width) {
			return fmt.Sprintf("would hold %s, below the saw's smallest part of %s", p.ID, style.Size(m.Saw.LeastLength, m.Saw.LeastWidth))
		}
	}
	limit, cut := m.Saw.LongestRip, tree.Length
	if s.along {
		limit, cut = m.Saw.LongestCrosscut, tree.Width
	}
	if limit > 0 && cut > int64(limit) {
		return fmt.Sprintf("takes cuts of %s to part it, the saw's longest is %s", style.WithUnit(measure.Length(cut)), style.WithUnit(limit))
	}
	part := nest.Part{Length: tree.Length, Width: tree.Width, Count: 1, Grain: grainOf(s.parts[0])}
	if lacks, misses := problem.Misfit(part); misses {
		return "fits no sheet: " + m.lacks(lacks, style)
	}
	return ""
}

// addStrip adds the pattern of a strip, used as often as its group is ordered.
func (m *Material) addStrip(s strip, tree nest.Piece) {
	m.addBlank(tree, s.parts, cabinets.Piece{
		ID: m.blankID("M"), Name: fmt.Sprintf("strip of %d matched", len(s.parts)),
		Count: s.parts[0].Count,
	})
	m.Blanks[len(m.Blanks)-1].Matched = true
}

// IsStrip reports whether a piece is the strip of a matched group.
func (m *Material) IsStrip(p *cabinets.Piece) bool {
	b := m.blankOf(p)
	return b != nil && b.Matched
}

// ids lists the numbers of the parts that a pattern yields.
func (p *Pattern) ids() []string {
	ids := make([]string, len(p.Parts))
	for i, l := range p.Parts {
		ids[i] = l.Piece.ID
	}
	return ids
}

// matchedGroups lists the matched groups that the plan delivers.
func (m *Material) matchedGroups() []verify.Group {
	var all []verify.Group
	var pieces []*cabinets.Piece
	demand := m.demand()
	for _, d := range demand {
		if d.piece.Match.Of > 0 && !slices.Contains(m.alone, d.piece) {
			pieces = append(pieces, d.piece)
		}
	}
	for _, d := range demand {
		if d.piece.Match.Place != 1 || !slices.Contains(pieces, d.piece) {
			continue
		}
		s := stripOf(d.piece, pieces)
		g := verify.Group{Along: s.along, Count: d.count}
		for _, p := range s.parts {
			g.Parts = append(g.Parts, p.ID)
		}
		all = append(all, g)
	}
	return all
}
