package batch

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/nest"
	"sawbook/nest/verify"
)

// A full sheet that is too heavy for the table saw is broken down with the track saw first:
// where its first-stage cuts would fall, as few of them as make pieces that can be lifted.
// A break-down cut takes its own kerf and the allowance on either side, which is trued off
// at the table saw. The solver knows nothing of it: every heavy sheet is made smaller by what
// its break-down cuts may take more than the table saw's blade, and what of that they do not
// take comes off with the trim.

// liftArea is the area, in square nanometres, of the heaviest piece that can be lifted.
func (m *Material) liftArea() float64 {
	return m.Saw.Track.Lift / m.Of.SheetMass(1) * float64(squareMetre)
}

// heavy reports whether a piece of the given extents is too heavy for the table saw. Its
// trim and allowances do not count.
func (m *Material) heavy(length, width measure.Length) bool {
	return m.Saw.Track != nil && float64(length)*float64(width) > m.liftArea()
}

// trim is what comes off each edge of a sheet at the most: the shop's trim, and at the right
// and the top what break-down cuts may take besides the blade.
func (m *Material) trim(s shop.Sheet) [4]measure.Length {
	trim := trimOf(m.Saw, s)
	length, width := s.Length-trim[0]-trim[1], s.Width-trim[2]-trim[3]
	if !m.heavy(length, width) {
		return trim
	}
	more := m.Saw.Track.Gap() - m.Saw.Kerf
	right := more * measure.Length(m.breakDownCuts(length, width))
	top := more * measure.Length(m.breakDownCuts(width, length))
	if m.Saw.First != "rip" || m.spans(s, nest.Rip, width-top) {
		trim[1] += right
	}
	if m.Saw.First != "crosscut" || m.spans(s, nest.Crosscut, length-right) {
		trim[3] += top
	}
	return trim
}

// spans reports whether a piece is as large as given across cuts in direction d: on a sheet
// of that extent no such cut comes first, whatever the shop asks for, and the sheet is broken
// down at right angles.
func (m *Material) spans(s shop.Sheet, d nest.Direction, size measure.Length) bool {
	return slices.ContainsFunc(m.Pieces, func(p *cabinets.Piece) bool {
		lengthwise := s.GrainAcross == p.Across // as it lies where it may not turn
		asLength, asWidth := p.Turns || lengthwise == (d == nest.Crosscut), p.Turns || lengthwise == (d == nest.Rip)
		return asLength && p.Length == size || asWidth && p.Width == size
	})
}

// breakDownCuts is how many parallel cuts at the most break a heavy sheet down, given its
// extents at right angles to them and along them. Pieces are put together first-fit, so any
// two together are too heavy: twice the sheet weighs more than all of them, each as heavy
// as can be lifted.
func (m *Material) breakDownCuts(size, along measure.Length) int {
	most := max(m.thickest(along), size/8)
	return max(1, int((2*size+most-1)/most)-2)
}

// thickest is the extent of a piece that is as long as given and as heavy as can be lifted.
func (m *Material) thickest(along measure.Length) measure.Length {
	return measure.Length(m.liftArea() / float64(along))
}

// limitToRail takes out of a problem the first cuts for which the track saw's rail is too
// short: those as long as a heavy sheet.
func (m *Material) limitToRail(p *nest.Problem) {
	for i, s := range m.Stock {
		sheet := p.Sheets[i]
		length, width := sheet.Length-sheet.Left-sheet.Right, sheet.Width-sheet.Bottom-sheet.Top
		trim := trimOf(m.Saw, s)
		if !m.heavy(s.Length-trim[0]-trim[1], s.Width-trim[2]-trim[3]) {
			continue
		}
		if s.Length > m.Saw.Track.Rail {
			p.LongestRip = shorter(p.LongestRip, length)
		}
		if s.Width > m.Saw.Track.Rail {
			p.LongestCrosscut = shorter(p.LongestCrosscut, width)
		}
	}
}

// shorter is a limit below a length, where 0 is no limit.
func shorter(limit, length int64) int64 {
	if limit == 0 {
		return length - 1
	}
	return min(limit, length-1)
}

// breakDown groups what the first cuts of a heavy sheet free, so that each group can be
// lifted, and moves the groups apart to the gap of a break-down cut. What the gaps take comes
// off the trim. It reports false where there is nothing to break down.
func (m *Material) breakDown(root *nest.Piece, trim *[4]measure.Length) bool {
	if len(root.Children) < 2 || !m.heavy(measure.Length(root.Length), measure.Length(root.Width)) {
		return false
	}
	a := axis(root.Cut)
	start, end := a.start(root), a.start(root)+a.size(root)
	at := start
	var groups []nest.Piece
	for i, members := range m.groups(root) {
		if i > 0 {
			at += int64(m.Saw.Track.Gap())
		}
		group := members[0]
		if len(members) > 1 {
			group = *root
			group.Children = members
		}
		from := at
		for k := range members {
			if k > 0 {
				at += int64(m.Saw.Kerf)
			}
			a.move(&members[k], at-a.start(&members[k]))
			at += a.size(&members[k])
		}
		if len(members) == 1 {
			group = members[0]
		}
		a.set(&group, from, at-from)
		groups = append(groups, group)
	}
	root.Children = groups
	a.set(root, start, at-start)
	trim[a.far()] -= measure.Length(at - end)
	return true
}

// groups shares the children of a heavy sheet out to groups that can be lifted, the largest
// first, each into the first group with room. What is left over comes last.
func (m *Material) groups(root *nest.Piece) [][]nest.Piece {
	a := axis(root.Cut)
	most := int64(m.thickest(measure.Length(a.along(root))))
	order := make([]int, len(root.Children))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, k int) int { return cmp.Compare(a.size(&root.Children[k]), a.size(&root.Children[i])) })
	type bin struct {
		size    int64
		members []int
	}
	var bins []bin
	for _, i := range order {
		size := a.size(&root.Children[i])
		at := slices.IndexFunc(bins, func(b bin) bool { return b.size+int64(m.Saw.Kerf)+size <= most })
		if at < 0 {
			bins = append(bins, bin{size, []int{i}})
			continue
		}
		bins[at].size += int64(m.Saw.Kerf) + size
		bins[at].members = append(bins[at].members, i)
	}
	if len(bins) == 1 { // all but what the last cut takes
		last := len(order) - 1
		bins = []bin{{members: order[:last]}, {members: order[last:]}}
	}
	for i := range bins {
		slices.Sort(bins[i].members)
	}
	remainder := func(b bin) int { // the last child, if any
		if b.members[len(b.members)-1] == len(order)-1 {
			return 1
		}
		return 0
	}
	slices.SortFunc(bins, func(b, c bin) int {
		return cmp.Or(remainder(b)-remainder(c), cmp.Compare(b.members[0], c.members[0]))
	})
	groups := make([][]nest.Piece, len(bins))
	for i, b := range bins {
		for _, k := range b.members {
			groups[i] = append(groups[i], root.Children[k])
		}
	}
	return groups
}

// axis is that at right angles to cuts of a direction.
type axis nest.Direction

func (a axis) rip() bool { return nest.Direction(a) == nest.Rip }

func (a axis) start(p *nest.Piece) int64 {
	if a.rip() {
		return p.Y
	}
	return p.X
}

func (a axis) size(p *nest.Piece) int64 {
	if a.rip() {
		return p.Width
	}
	return p.Length
}

// along is the extent along the cuts.
func (a axis) along(p *nest.Piece) int64 {
	if a.rip() {
		return p.Length
	}
	return p.Width
}

func (a axis) set(p *nest.Piece, start, size int64) {
	if a.rip() {
		p.Y, p.Width = start, size
	} else {
		p.X, p.Length = start, size
	}
}

// move moves a piece with all that is in it.
func (a axis) move(p *nest.Piece, by int64) {
	a.set(p, a.start(p)+by, a.size(p))
	p.Children = slices.Clone(p.Children)
	for i := range p.Children {
		a.move(&p.Children[i], by)
	}
}

// far is the edge at the end of the axis among those of a trim.
func (a axis) far() int {
	if a.rip() {
		return 3
	}
	return 1
}

// Sawn returns a piece of a broken-down sheet as the track saw leaves it: with the trim where
// it reaches the sheet's edge, and the allowance at every other one.
func (p *Pattern) Sawn(a Area) Area {
	left, right, bottom, top := p.Allowance, p.Allowance, p.Allowance, p.Allowance
	if a.X == p.Trim[0] {
		left = p.Trim[0]
	}
	if a.X+a.Length == p.Sheet.Length-p.Trim[1] {
		right = p.Trim[1]
	}
	if a.Y == p.Trim[2] {
		bottom = p.Trim[2]
	}
	if a.Y+a.Width == p.Sheet.Width-p.Trim[3] {
		top = p.Trim[3]
	}
	return Area{a.X - left, a.Y - bottom, a.Length + left + right, a.Width + bottom + top}
}

// Made returns a cut as it is made: one of the track saw with what is still to be trued.
func (p *Pattern) Made(c Cut) Cut {
	if !c.Track {
		return c
	}
	c.From, c.Frees, c.Remains = p.Sawn(c.From), p.Sawn(c.Frees), p.Sawn(c.Remains)
	c.Setting = c.Frees.Length
	if c.Rip {
		c.Setting = c.Frees.Width
	}
	return c
}

// LastTrack reports whether the n-th cut, from 0, is the last of the track saw.
func (p *Pattern) LastTrack(n int) bool {
	return p.Cuts[n].Track && (n+1 == len(p.Cuts) || !p.Cuts[n+1].Track)
}

// BrokenDown lists what the track saw makes of a pattern's sheet, none where it is not used.
func (p *Pattern) BrokenDown() []Area {
	var all []Area
	for i := range p.Cuts {
		if c := &p.Cuts[i]; c.Track {
			all = append(all, c.Frees)
			if p.LastTrack(i) {
				all = append(all, c.Remains)
			}
		}
	}
	return all
}

// trackLimits are what the verifier is told of the track saw.
func (m *Material) trackLimits() *verify.Track {
	t := m.Saw.Track
	if t == nil {
		return nil
	}
	return &verify.Track{Gap: int64(t.Gap()), Rail: int64(t.Rail), Lift: m.liftArea()}
}

// tooHeavy says which pieces come onto the table saw although they are too heavy.
func (m *Material) tooHeavy(style measure.Style) []cabinets.Finding {
	var out []cabinets.Finding
	for i := range m.Patterns {
		p := &m.Patterns[i]
		for k := range p.Cuts {
			c := &p.Cuts[k]
			if c.Track || !m.heavy(c.From.Length, c.From.Width) {
				continue
			}
			weighs, lifted := cabinets.Beyond(m.Of.SheetMass(c.From.M2()), m.Saw.Track.Lift)
			out = append(out, cabinets.Finding{Level: cabinets.LevelWarning, Where: m.Of.ID + ": " + m.NameOf(p),
				Text: fmt.Sprintf("a piece of %s weighs %s kg, more than the %s kg that are lifted onto the table saw", style.Size(c.From.Length, c.From.Width),
					weighs, strings.TrimSuffix(lifted, ".0")),
				Do: "lift it with two, or make its parts smaller"})
			break
		}
	}
	return out
}
