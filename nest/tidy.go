package nest

import (
	"cmp"
	"slices"
)

// Rules are what a shop wishes of a plan besides its cost of sheets.
type Rules struct {
	// Step is what the fence can be set in, 0 for anything. A strip whose width is no part's
	// is made wider up to the next step, where there is room.
	Step int64
	// Setting and Cut are what one position of fence or stop counts for, and one pass of
	// the blade, in minor units.
	Setting, Cut int64
	// Stack is how many sheets of a pattern are cut together; 0 and 1 are one.
	Stack int
}

// Handling is what the cutting of a plan takes.
type Handling struct {
	Patterns, Settings, Cuts int
	Stages                   int
}

// setting is one position of fence or stop: a direction and the extent that is freed.
type setting struct {
	cut  Direction
	size int64
}

// eachCut calls f for every cut that divides p and what it frees. It is the only place that
// tells how the children of a piece are cut: the last one that reaches to the edge is what
// the cut before it leaves.
func (p *Piece) eachCut(f func(setting)) {
	for i := range p.Children {
		child := &p.Children[i]
		s, edge := setting{p.Cut, child.Length}, child.X+child.Length == p.X+p.Length
		if p.Cut == Rip {
			s.size, edge = child.Width, child.Y+child.Width == p.Y+p.Width
		}
		if !edge {
			f(s)
		}
		child.eachCut(f)
	}
}

// Handling counts what it takes to cut a plan of p by the rules.
func (r Rules) Handling(plan *Plan) Handling {
	h := Handling{Patterns: len(plan.Patterns)}
	met := map[setting]bool{}
	for i := range plan.Patterns {
		n := &plan.Patterns[i]
		n.Root.eachCut(func(s setting) {
			met[s] = true
			h.Cuts += r.runs(n.Times)
		})
		h.Stages = max(h.Stages, stages(&n.Root, NoCut))
	}
	h.Settings = len(met)
	return h
}

func (r Rules) runs(times int) int {
	stack := max(r.Stack, 1)
	return (times + stack - 1) / stack
}

// Price is what handling counts for.
func (r Rules) Price(h Handling) int64 { return int64(h.Settings)*r.Setting + int64(h.Cuts)*r.Cut }

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

// Tidy returns a plan on the same sheets, with the same parts, that is easier to cut:
// remainders joined, children widest first, strips at the fence's steps, then of fewest
// patterns, settings and cuts, with the largest offcuts. By the measure of r, its prices of
// settings and cuts less the value of offcuts, it is no dearer than the plan given, and no
// dearer than Tidy returns without prices.
func Tidy(p *Problem, plan *Plan, r Rules) *Plan {
	free := r
	free.Setting, free.Cut = 0, 0
	t := newTidier(p, plan, free)
	t.settle()
	t.round()
	t.climb()
	if r.Setting > 0 || r.Cut > 0 {
		t.rules = r
		t.climb()
	}
	tidied := t.plan()
	if r.total(plan) < r.total(tidied) {
		return plan
	}
	return tidied
}

// total is a plan's measure besides its sheets.
func (r Rules) total(plan *Plan) int64 { return r.Price(r.Handling(plan)) - plan.Kept }

// tidier holds the patterns of a plan as knots.
type tidier struct {
	problem *Problem
	rules   Rules
	given   *Plan
	sheets  []*tidySheet
	used    map[setting]int // in how many patterns
}

// tidySheet is a pattern in work.
type tidySheet struct {
	sheet, times int
	knot         *knot
	laid         laidOut
}

// laidOut is a pattern as it is laid, and what it takes.
type laidOut struct {
	root     Piece
	settings map[setting]bool
	cuts     int
	kept     int64
	bulk     float64 // grows with the size of its offcuts, more than in proportion
}

func newTidier(p *Problem, plan *Plan, r Rules) *tidier {
	t := &tidier{problem: p, rules: r, given: plan, used: map[setting]int{}}
	for i := range plan.Patterns {
		n := &plan.Patterns[i]
		s := &tidySheet{sheet: n.Sheet, times: n.Times, knot: tie(&n.Root, p.Parts, p.Kerf), laid: t.weigh(n.Root)}
		t.sheets = append(t.sheets, s)
		t.enter(s, 1)
	}
	return t
}

// weigh measures a pattern.
func (t *tidier) weigh(root Piece) laidOut {
	l := laidOut{root: root, settings: map[setting]bool{}}
	root.eachCut(func(s setting) {
		l.settings[s] = true
		l.cuts++
	})
	l.kept = (&model{problem: t.problem}).keptValue(&root)
	l.bulk = bulkOf(&root, float64(root.Length)*float64(root.Width))
	return l
}

// bulkOf sums the squares of the areas of all offcuts, as shares of the sheet.
func bulkOf(p *Piece, sheet float64) (sum float64) {
	if p.Cut == NoCut {
		if p.Part >= 0 {
			return 0
		}
		share := float64(p.Length) * float64(p.Width) / sheet
		return float64(share * share)
	}
	for i := range p.Children {
		sum += bulkOf(&p.Children[i], sheet)
	}
	return sum
}

// enter books a sheet's settings, or takes them out again.
func (t *tidier) enter(s *tidySheet, by int) {
	for at := range s.laid.settings {
		if t.used[at] += by; t.used[at] == 0 {
			delete(t.used, at)
		}
	}
}

// lay places a knot on the sheet of s; ok reports whether it fits and the rules admit it.
func (t *tidier) lay(s *tidySheet, k *knot) (l laidOut, ok bool) {
	size := t.room(s)
	if k.need(0) > size[0] || k.need(1) > size[1] {
		return l, false
	}
	k.sort()
	of := &t.problem.Sheets[s.sheet]
	root := k.lay([2]int64{of.Left, of.Bottom}, size, t.problem.Kerf)
	if !t.problem.allowed(&root) {
		return l, false
	}
	return t.weigh(root), true
}

// room returns the extents of a sheet within its trim, grown by the kerf.
func (t *tidier) room(s *tidySheet) [2]int64 {
	of := &t.problem.Sheets[s.sheet]
	return [2]int64{of.Length - of.Left - of.Right + t.problem.Kerf, of.Width - of.Bottom - of.Top + t.problem.Kerf}
}

// score is what a change of one sheet comes to, least first.
type score struct {
	money          int64
	settings, cuts int
	bulk           float64
}

func (a score) better(b score) bool {
	return cmp.Or(cmp.Compare(a.money, b.money), cmp.Compare(a.settings, b.settings), cmp.Compare(a.cuts, b.cuts), cmp.Compare(b.bulk, a.bulk)) < 0
}

// score weighs l in place of s, whose settings are not booked.
func (t *tidier) score(s *tidySheet, l *laidOut) score {
	fresh := 0
	for at := range l.settings {
		if t.used[at] == 0 {
			fresh++
		}
	}
	cuts := t.rules.runs(s.times) * l.cuts
	return score{int64(fresh)*t.rules.Setting + int64(cuts)*t.rules.Cut - int64(s.times)*l.kept, fresh, cuts, l.bulk}
}

// settle lays every sheet in order, where its offcuts are worth no less then.
func (t *tidier) settle() {
	for _, s := range t.sheets {
		if l, ok := t.lay(s, s.knot); ok && l.kept >= s.laid.kept {
			t.enter(s, -1)
			s.laid = l
			t.enter(s, 1)
		}
	}
}

// round makes strips as wide as the fence can be set to.
func (t *tidier) round() {
	if t.rules.Step == 0 {
		return
	}
	sizes := t.partSizes()
	for _, s := range t.sheets {
		k := s.knot.clone()
		if !t.roundIn(k, t.room(s), sizes) {
			continue
		}
		if l, ok := t.lay(s, k); ok && l.kept >= s.laid.kept {
			t.enter(s, -1)
			s.knot, s.laid = k, l
			t.enter(s, 1)
		}
	}
}

// partSizes are the grown lengths and widths of all parts.
func (t *tidier) partSizes() map[int64]bool {
	sizes := map[int64]bool{}
	for _, part := range t.problem.Parts {
		sizes[part.Length+t.problem.Kerf], sizes[part.Width+t.problem.Kerf] = true, true
	}
	return sizes
}

// roundIn rounds the children of k, which has the given extents, and all within them. It
// reports whether anything changed.
func (t *tidier) roundIn(k *knot, size [2]int64, sizes map[int64]bool) (changed bool) {
	if k.cut == NoCut {
		return false
	}
	a, step := axis(k.cut), t.rules.Step
	rest := size[a] - k.need(a)
	for _, kid := range k.kids {
		size[a] = kid.extent(a)
		changed = t.roundIn(kid, size, sizes) || changed
		now := kid.extent(a)
		rest -= now - size[a]
		if kid.cut == NoCut || sizes[now] {
			continue
		}
		if more := (step - (now-t.problem.Kerf)%step) % step; more > 0 && more <= rest {
			kid.room = now + more
			rest -= more
			changed = true
		}
	}
	return changed
}

// mostPasses bounds how often all sheets are gone over.
const mostPasses = 3

// climb changes one sheet at a time while that makes the plan better.
func (t *tidier) climb() {
	for range mostPasses {
		changed := false
		for _, s := range t.sheets {
			changed = t.improve(s) || changed
		}
		if !changed {
			return
		}
	}
}

// improve tries every change of one sheet and keeps what is better.
func (t *tidier) improve(s *tidySheet) (changed bool) {
	t.enter(s, -1)
	best := t.score(s, &s.laid)
	for again := true; again; {
		again = false
		for _, k := range t.variants(s) {
			l, ok := t.lay(s, k)
			if !ok || t.rules.Setting == 0 && t.rules.Cut == 0 && l.kept < s.laid.kept {
				continue
			}
			if next := t.score(s, &l); next.better(best) {
				s.knot, s.laid, best = k, l, next
				changed, again = true, true
				break
			}
		}
	}
	t.enter(s, 1)
	return changed
}
