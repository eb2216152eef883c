package nest

import (
	"cmp"
	"context"
	"slices"
)

// Rules are what a shop wishes of plans besides few sheets.
type Rules struct {
	// Setting and Cut are what one position of fence or stop counts for, and one pass of
	// the blade, in minor units.
	Setting, Cut int64
	// Stack is how many sheets of a pattern are cut together; 0 and 1 are one.
	Stack int
	// Made are settings in use whatever the plans.
	Made []Setting
	// Effort is that which the plans took, of which tidying takes its share; 0 is Normal.
	Effort Effort
}

func (r Rules) priced() bool { return r.Setting > 0 || r.Cut > 0 }

// runs returns how often each cut of a pattern is made.
func (r Rules) runs(times int) int64 {
	stack := max(r.Stack, 1)
	return int64((times + stack - 1) / stack)
}

// Planned is a plan with its problem.
type Planned struct {
	Problem *Problem
	Plan    *Plan
}

// Measures are what plans are compared by. Less is better in all of them; they decide in
// their order.
type Measures [measures]int64

// The measures.
const (
	// Total is what sheets, settings and cuts come to, less the value of offcuts.
	Total = iota
	Sheets
	Patterns
	Settings // over all plans together
	Stages   // of every pattern, added up
	Cuts     // made: those of a stack count once
	// Offcuts is the area of offcuts worth keeping, below 0, in millionths of a sheet, and
	// Scatter falls as offcuts are joined.
	Offcuts
	Scatter
	measures
)

// Measure measures plans of materials of one thickness, which share their settings.
func Measure(work []Planned, r Rules) Measures { return newTidier(context.Background(), work, r).given }

// tidiedPerStep is how many pieces may be laid to tidy plans for every step that they took,
// up to mostTidied.
const (
	tidiedPerStep = 2
	mostTidied    = 200_000
)

// leastTidied is from how many pieces on it pays to look for fewer patterns.
const leastTidied = 20_000

// most bounds the pieces that are laid.
func (r Rules) most() int {
	if r.Effort == 0 {
		return mostTidied
	}
	return int(min(r.Effort, mostTidied/tidiedPerStep)) * tidiedPerStep
}

// Tidy returns plans on the same sheets, with the same parts, that are easier to cut. The
// materials are of one thickness, so that they share settings. Without prices of settings
// and cuts, no measure but Scatter gets worse. With prices Total does not, but others may.
// A context that ends leaves the best until then.
func Tidy(ctx context.Context, work []Planned, r Rules) []Planned {
	t := newTidier(ctx, work, r)
	t.climb(t.sheets)
	if r.most() >= leastTidied {
		for of := range work {
			t.fewer(of)
		}
	}
	// Which of several equal parts lies where may split a pattern.
	if tidied := t.plans(); t.admits(Measure(tidied, r)) {
		return tidied
	}
	return work
}

// tidier holds sheets in work, and what they come to.
type tidier struct {
	ctx    context.Context
	work   []Planned
	rules  Rules
	models []*model // of problems
	kinds  []map[Part]int32
	sheets []*tidySheet
	given  Measures
	total  Measures
	used   map[Setting]int       // in how many sheets
	times  map[patternID]int     // how often a pattern is used
	spent  int                   // pieces laid
	clock  int                   // counts changes
	tried  map[[2]*tidySheet]int // when an exchange was last tried
}

// tidySheet is a pattern in work.
type tidySheet struct {
	of, sheet, times int
	knot             *knot
	laid             laidOut
	since            int // when it was last changed, by tidier.clock
}

// patternID is equal for patterns that are cut alike into parts of equal sizes.
type patternID struct {
	of, sheet int
	key       uint64
}

// laidOut is a pattern as it is laid, and what it takes.
type laidOut struct {
	root     Piece
	key      uint64
	settings []Setting // each once
	cuts     int64
	stages   int64
	value    int64 // of offcuts worth keeping
	offcuts  int64
	scatter  int64
}

// Setting is one position of fence or stop: a direction and the extent that is freed.
type Setting struct {
	Cut  Direction
	Size int64
}

func newTidier(ctx context.Context, work []Planned, r Rules) *tidier {
	t := &tidier{ctx: ctx, work: work, rules: r, used: map[Setting]int{}, times: map[patternID]int{}, tried: map[[2]*tidySheet]int{}}
	for _, at := range r.Made {
		t.set(at)
	}
	for of, w := range work {
		t.models = append(t.models, &model{problem: w.Problem})
		t.kinds = append(t.kinds, kindsOf(w.Problem))
		for i := range w.Plan.Patterns {
			n := &w.Plan.Patterns[i]
			s := t.newSheet(of, n, n.Times)
			t.sheets = append(t.sheets, s)
			t.enter(s)
			t.given[Patterns]++
			t.given[Stages] += s.laid.stages
			t.given[Cuts] += r.runs(s.times) * s.laid.cuts
		}
	}
	// Patterns with parts of other names are listed apart, though they are cut alike.
	for i, total := range t.total {
		if i != Patterns && i != Stages && i != Cuts {
			t.given[i] = total
		}
	}
	t.given[Total] += (t.given[Cuts] - t.total[Cuts]) * r.Cut
	return t
}

// kindsOf numbers the parts of a problem by what makes them equal.
func kindsOf(p *Problem) map[Part]int32 {
	kinds := map[Part]int32{}
	for _, part := range p.Parts {
		part.Count = 0
		if _, known := kinds[part]; !known {
			kinds[part] = int32(len(kinds))
		}
	}
	return kinds
}

// kind returns the number of a part's kind.
func (t *tidier) kind(of, part int) int32 {
	k := t.work[of].Problem.Parts[part]
	k.Count = 0
	return t.kinds[of][k]
}

// admits reports whether measures are no worse than those given: all but the last, or
// Total alone where settings and cuts have prices.
func (t *tidier) admits(m Measures) bool {
	if t.rules.priced() {
		return m[Total] <= t.given[Total]
	}
	for i := range Scatter {
		if m[i] > t.given[i] {
			return false
		}
	}
	return true
}

// better reports whether the sheets are better than they were when they came to before.
func (t *tidier) better(before Measures) bool {
	return slices.Compare(t.total[:], before[:]) < 0 && t.admits(t.total)
}

func (s *tidySheet) id() patternID { return patternID{s.of, s.sheet, s.laid.key} }

// enter books a sheet.
func (t *tidier) enter(s *tidySheet) {
	for _, at := range s.laid.settings {
		t.set(at)
	}
	t.book(s, t.times[s.id()], s.times)
}

// newSheet returns a pattern of problem of as work to do.
func (t *tidier) newSheet(of int, n *Pattern, times int) *tidySheet {
	p := t.work[of].Problem
	s := &tidySheet{of: of, sheet: n.Sheet, times: times, knot: tie(&n.Root, p.Parts, p.Kerf)}
	s.laid = t.weigh(s, n.Root)
	return s
}

// set adds one use of a setting.
func (t *tidier) set(at Setting) {
	if t.used[at]++; t.used[at] == 1 {
		t.total[Settings]++
		t.total[Total] += t.rules.Setting
	}
}

// leave takes a sheet out again.
func (t *tidier) leave(s *tidySheet) {
	for _, at := range s.laid.settings {
		if t.used[at]--; t.used[at] == 0 {
			delete(t.used, at)
			t.total[Settings]--
			t.total[Total] -= t.rules.Setting
		}
	}
	t.book(s, t.times[s.id()], -s.times)
}

// book changes how often a pattern is used.
func (t *tidier) book(s *tidySheet, before, by int) {
	l, after := &s.laid, before+by
	if t.times[s.id()] = after; after == 0 {
		delete(t.times, s.id())
	}
	if distinct := int64(min(after, 1) - min(before, 1)); distinct != 0 {
		t.total[Patterns] += distinct
		t.total[Stages] += distinct * l.stages
	}
	cuts := (t.rules.runs(after) - t.rules.runs(before)) * l.cuts
	t.total[Cuts] += cuts
	t.total[Sheets] += int64(by)
	t.total[Total] += cuts*t.rules.Cut + int64(by)*(t.work[s.of].Problem.Sheets[s.sheet].Price-l.value)
	t.total[Offcuts] += int64(by) * l.offcuts
	t.total[Scatter] += int64(by) * l.scatter
}

// weigh measures a pattern.
func (t *tidier) weigh(s *tidySheet, root Piece) laidOut {
	l := laidOut{root: root, stages: int64(stages(&root, NoCut)), value: t.models[s.of].keptValue(&root)}
	root.eachCut(func(at Setting) {
		l.settings = append(l.settings, at)
		l.cuts++
	})
	slices.SortFunc(l.settings, Setting.compare)
	l.settings = slices.Compact(l.settings)
	w := weigher{tidier: t, sheet: s, laid: &l, area: float64(root.Length) * float64(root.Width)}
	w.piece(&root)
	return l
}

func (a Setting) compare(b Setting) int {
	return cmp.Or(cmp.Compare(a.Cut, b.Cut), cmp.Compare(a.Size, b.Size))
}

// weigher walks a pattern.
type weigher struct {
	*tidier
	sheet *tidySheet
	laid  *laidOut
	area  float64
}

func (w *weigher) piece(p *Piece) {
	w.spent++
	w.mix(uint64(p.Length), uint64(p.Width), uint64(p.Cut)<<32|uint64(len(p.Children)))
	switch {
	case p.Part >= 0:
		turned := uint64(0)
		if p.Turned {
			turned = 1
		}
		w.mix(uint64(w.kind(w.sheet.of, p.Part))<<1 | turned)
	case p.Cut == NoCut:
		// Joined offcuts have the larger squares.
		const sheet = 1_000_000
		share := int64(float64(p.Length) * float64(p.Width) / w.area * sheet)
		w.laid.scatter -= share * share / sheet
		if keep := &w.work[w.sheet.of].Problem.Keep; keep.Worth(p.Length, p.Width) {
			w.laid.offcuts -= share
		}
	}
	for i := range p.Children {
		w.piece(&p.Children[i])
	}
}

// mix adds numbers to the key.
func (w *weigher) mix(numbers ...uint64) {
	for _, n := range numbers {
		r := random(w.laid.key ^ n)
		w.laid.key = r.next()
	}
}

// eachCut calls f for every cut that divides p and what it frees. The last child that
// reaches to the edge is what the cut before it leaves.
func (p *Piece) eachCut(f func(Setting)) {
	for i := range p.Children {
		child := &p.Children[i]
		s, edge := Setting{p.Cut, child.Length}, child.X+child.Length == p.X+p.Length
		if p.Cut == Rip {
			s.Size, edge = child.Width, child.Y+child.Width == p.Y+p.Width
		}
		if !edge {
			f(s)
		}
		child.eachCut(f)
	}
}

// lay places a knot on the sheet of s; ok reports whether it fits and the rules admit it.
func (t *tidier) lay(s *tidySheet, k *knot) (l laidOut, ok bool) {
	p, size := t.work[s.of].Problem, t.room(s)
	t.spent++
	if k.need(0) > size[0] || k.need(1) > size[1] {
		return l, false
	}
	k.sort()
	of := &p.Sheets[s.sheet]
	root := k.lay([2]int64{of.Left, of.Bottom}, size, p.Kerf)
	if !p.allowed(&root) {
		return l, false
	}
	return t.weigh(s, root), true
}

// room returns the extents of a sheet within its trim, grown by the kerf.
func (t *tidier) room(s *tidySheet) [2]int64 {
	p := t.work[s.of].Problem
	of := &p.Sheets[s.sheet]
	return [2]int64{of.Length - of.Left - of.Right + p.Kerf, of.Width - of.Bottom - of.Top + p.Kerf}
}

// over reports whether tidying has to end.
func (t *tidier) over() bool { return t.spent > t.rules.most() || t.ctx.Err() != nil }

// mostPasses bounds how often all sheets are gone over.
const mostPasses = 5

// climb changes sheets while that makes the plans better.
func (t *tidier) climb(sheets []*tidySheet) {
	for _, s := range sheets {
		if !t.over() {
			t.try(s, s.knot)
		}
	}
	for changed, pass := true, 0; changed && pass < mostPasses; pass++ {
		changed = false
		for _, s := range sheets {
			changed = t.improve(s) || changed
		}
		for i, a := range sheets {
			for _, b := range sheets[:i] {
				if t.partners(a, b) && t.due(a, b) {
					changed = t.exchange(a, b) || changed
				}
			}
		}
	}
}

// improve tries every change of one sheet and keeps what is better.
func (t *tidier) improve(s *tidySheet) (changed bool) {
	for again := true; again; {
		again = false
		for _, k := range t.variants(s) {
			if t.over() {
				return changed
			}
			if t.try(s, k) {
				changed, again = true, true
				break
			}
		}
	}
	return changed
}

// try cuts a sheet by knot k where that is better, and reports whether it is.
func (t *tidier) try(s *tidySheet, k *knot) bool {
	l, ok := t.lay(s, k)
	if !ok || l.key == s.laid.key {
		return false
	}
	before, old := t.total, s.laid
	t.relay(s, l)
	if t.better(before) {
		t.settle(s, k)
		return true
	}
	t.relay(s, old)
	return false
}

// settle keeps what was tried.
func (t *tidier) settle(s *tidySheet, k *knot) {
	t.clock++
	s.knot, s.since = k, t.clock
}
