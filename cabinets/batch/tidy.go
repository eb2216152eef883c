package batch

import (
	"cmp"
	"context"
	"slices"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/nest"
)

// tidy makes the plans easier to cut, those of materials of one thickness together, since
// they share settings. Where the shop counts something for settings and cuts, it then
// takes the plans that come to least with them.
func (j *Job) tidy(ctx context.Context, o Options) {
	countSaw := j.Batch.Shop.Rates.CountSaw()
	j.each(o, func(t thickness) {
		plans := t.work()
		if !o.Untidied || countSaw {
			plans = o.Plans.tidied(ctx, plans, t.rules(shop.Rates{}, o.Effort))
		}
		t.use(plans)
	})
	j.Unpriced = j.sawUse()
	if countSaw {
		j.each(o, func(t thickness) { t.pay(ctx, j.Batch, o) })
	}
}

// each calls f for the materials of every thickness, side by side.
func (j *Job) each(o Options, f func(thickness)) {
	g := o.group()
	for _, t := range j.thicknesses() {
		g.Go(func() error {
			f(t)
			return nil
		})
	}
	_ = g.Wait() // f returns none
}

// thickness is all materials of one measured thickness.
type thickness []*Material

// thicknesses lists the job's materials by thickness, as they first come.
func (j *Job) thicknesses() []thickness {
	index := map[measure.Length]int{}
	var all []thickness
	for i := range j.Materials {
		m := &j.Materials[i]
		at, met := index[m.Of.Thickness]
		if !met {
			at = len(all)
			index[m.Of.Thickness] = at
			all = append(all, nil)
		}
		all[at] = append(all[at], m)
	}
	return all
}

// rules are those of the shop at some rates, and at the effort of its plans. Blanks are cut whatever the plans.
func (t thickness) rules(rates shop.Rates, effort nest.Effort) nest.Rules {
	r := nest.Rules{Setting: int64(rates.Setting), Cut: int64(rates.Cut), Effort: effort}
	for _, m := range t {
		r.Stack = m.Saw.Stack
		for _, b := range m.Blanks {
			for _, c := range b.Cuts {
				at := nest.Setting{Cut: nest.Crosscut, Size: int64(c.Setting)}
				if c.Rip {
					at.Cut = nest.Rip
				}
				r.Made = append(r.Made, at)
			}
		}
	}
	return r
}

func (t thickness) work() []nest.Planned {
	out := make([]nest.Planned, len(t))
	for i, m := range t {
		out[i] = nest.Planned{Problem: &m.Problem, Plan: m.Plan}
	}
	return out
}

// use takes plans, one for each material.
func (t thickness) use(work []nest.Planned) {
	for i, m := range t {
		m.Plan = work[i].Plan
		m.Patterns = m.patterns()
		m.cutBlanks()
	}
}

// pay takes the plans that come to least by the prices. One material after another is
// also tried with its plan of two stages.
func (t thickness) pay(ctx context.Context, b *Batch, o Options) {
	rules := t.rules(b.Shop.Rates, o.Effort)
	best, least := t.work(), t.total(b)
	try := func(work []nest.Planned) {
		work = o.Plans.tidied(ctx, work, rules)
		t.use(work)
		if total := t.total(b); total < least {
			best, least = work, total
		}
	}
	try(best)
	for i, m := range t {
		if m.twoStages != nil {
			other := slices.Clone(best)
			other[i].Plan = m.twoStages
			try(other)
		}
	}
	t.use(best)
}

// total is what the sheets of the materials come to, less their offcuts, and with settings
// and cuts as they are listed.
func (t thickness) total(b *Batch) shop.Money {
	j := Job{Batch: b}
	for _, m := range t {
		j.Materials = append(j.Materials, *m)
	}
	use := j.sawUse()
	return use.Sheets + use.Cost
}

// shareOfSimple is the share of the effort that goes to plans of two stages.
const shareOfSimple = 8

// simplify plans the material in two stages, which takes fewer settings and may take more
// sheets; nil where that is no choice.
func (m *Material) simplify(ctx context.Context, known *Plans, search nest.Options) (*nest.Plan, error) {
	p := m.Problem
	if m.Plan.Status == nest.Short || p.Stages == 1 || p.Stages == 2 {
		return nil, nil
	}
	p.Stages = 2
	search.Effort = cmp.Or(search.Effort, nest.Normal) / shareOfSimple
	plan, err := known.solve(ctx, p, search)
	if err != nil || plan.Status == nest.Short || len(plan.Misfits) > len(m.Plan.Misfits) {
		return nil, err
	}
	simple := *plan
	simple.Bound = m.Plan.Bound // of plans of more stages, so of these
	if plan.Status == nest.Proven && (plan.Cost > simple.Bound.Cost || plan.Sheets > simple.Bound.Sheets) {
		simple.Status = nest.Finished
	}
	return &simple, nil
}
