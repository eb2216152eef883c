package nest

import (
	"maps"
	"slices"
)

// mostRepeats is from how many uses of one pattern fewer starts.
const mostRepeats = 8

// mostReplanned is up to how many parts are planned anew: of more, so little effort finds
// no plan of equal cost.
const mostReplanned = 100

// replanEffort is what one of those plans may take.
const replanEffort Effort = 300

// piecesPerStep is how many pieces are laid in the time of a step.
const piecesPerStep = 4

// fewer looks for plans of one problem with fewer patterns. It plans a share of all parts
// and uses one of those patterns as often as there are shares, most shares first; what is
// left is planned anew, at no more than it costs now.
func (t *tidier) fewer(of int) {
	rest := t.sheetsOf(of)
	copies := 0
	for _, s := range rest {
		s.laid.root.eachPart(func(*Piece) { copies += s.times })
	}
	if copies > mostReplanned {
		return
	}
	for shares := mostRepeats; shares > 1; shares-- {
		for again := true; again; {
			rest, again = t.repeat(of, rest, shares)
		}
	}
}

func (t *tidier) sheetsOf(of int) (sheets []*tidySheet) {
	for _, s := range t.sheets {
		if s.of == of {
			sheets = append(sheets, s)
		}
	}
	return sheets
}

// counts are copies of parts by kind.
type counts map[int32]int

// add counts the parts of a pattern so many times.
func (c counts) add(t *tidier, of int, root *Piece, times int) {
	root.eachPart(func(p *Piece) { c[t.kind(of, p.Part)] += times })
}

// share returns what each of so many shares has of all.
func (c counts) share(shares int) counts {
	out := counts{}
	for kind, n := range c {
		if n >= shares {
			out[kind] = n / shares
		}
	}
	return out
}

// repeat cuts the parts of old sheets by one pattern used for every share, and others. It
// returns the sheets of those others, or old ones where that is not better.
func (t *tidier) repeat(of int, old []*tidySheet, shares int) (rest []*tidySheet, better bool) {
	problem := t.work[of].Problem
	all, stock, cost := counts{}, make([]int, len(problem.Sheets)), int64(0)
	for _, s := range old {
		all.add(t, of, &s.laid.root, s.times)
		stock[s.sheet] += s.times
		cost += int64(s.times) * problem.Sheets[s.sheet].Price
	}
	each := make([]int, len(stock))
	for i, n := range stock {
		each[i] = n / shares
	}
	plan := t.replan(of, all.share(shares), each, Options{Effort: replanEffort})
	if plan == nil {
		return old, false
	}
	for i := range plan.Patterns {
		first := &plan.Patterns[i]
		times := shares * first.Times
		parts, stock := maps.Clone(all), slices.Clone(stock)
		parts.add(t, of, &first.Root, -times)
		stock[first.Sheet] -= times
		if rest, ok := t.beside(of, parts, stock, cost-int64(times)*problem.Sheets[first.Sheet].Price); ok {
			if t.replace(old, append(slices.Clone(rest), t.newSheet(of, first, times))) {
				return rest, true
			}
		}
	}
	return old, false
}

// beside plans what is left beside a pattern, at no more than a cost.
func (t *tidier) beside(of int, parts counts, stock []int, cost int64) (rest []*tidySheet, ok bool) {
	switch {
	case cost < 0 || t.over():
		return nil, false
	case len(parts.share(1)) == 0:
		return nil, true
	}
	plan := t.replan(of, parts, stock, Options{Effort: replanEffort, Enough: max(cost, 1)})
	if plan == nil || plan.Cost > cost || plan.Status == Short {
		return nil, false
	}
	for i := range plan.Patterns {
		rest = append(rest, t.newSheet(of, &plan.Patterns[i], plan.Patterns[i].Times))
	}
	return rest, true
}

// replan plans parts on so many of each sheet of the problem; nil where that fails.
func (t *tidier) replan(of int, parts counts, stock []int, o Options) *Plan {
	p := *t.work[of].Problem
	var names []int
	p.Parts = nil
	for i, part := range t.work[of].Problem.Parts {
		kind := t.kind(of, i)
		if part.Count = parts[kind]; part.Count > 0 {
			p.Parts = append(p.Parts, part)
			names = append(names, i)
			parts[kind] = 0
		}
	}
	p.Sheets = slices.Clone(p.Sheets)
	for i := range p.Sheets {
		if p.Sheets[i].Stock >= 0 {
			p.Sheets[i].Stock = stock[i]
		}
	}
	plan, err := Solve(t.ctx, p, o)
	if err != nil {
		return nil // such as no stock
	}
	t.spent += int(plan.Steps) * piecesPerStep
	for i := range plan.Patterns {
		plan.Patterns[i].Root.eachPart(func(q *Piece) { q.Part = names[q.Part] })
	}
	return plan
}

// replace puts fresh sheets in the place of old ones, makes them easy to cut, and reports
// whether that is better; else all is as it was.
func (t *tidier) replace(old, fresh []*tidySheet) bool {
	before, sheets := t.total, t.sheets
	kept := make([]tidySheet, len(sheets))
	for i, s := range sheets {
		kept[i] = *s
	}
	for _, s := range old {
		t.leave(s)
	}
	t.sheets = slices.DeleteFunc(slices.Clone(sheets), func(s *tidySheet) bool { return slices.Contains(old, s) })
	for _, s := range fresh {
		t.enter(s)
	}
	t.sheets = append(t.sheets, fresh...)
	t.climb(t.sheetsOf(fresh[0].of))
	if t.better(before) {
		return true
	}
	for _, s := range t.sheets {
		t.leave(s)
	}
	t.sheets = sheets
	for i, s := range sheets {
		*s = kept[i]
		t.enter(s)
	}
	return false
}
