package batch

import (
	"context"
	"fmt"

	"sawbook/cabinets/shop"
	"sawbook/nest"
)

// Larger is what a material would come to without the sheets that are smaller than Least, the next larger
// of its sizes after the smallest that its plan takes.
type Larger struct {
	Least     shop.Sheet
	Now, With SheetUse
}

// largerEffort is little, so that a batch does not wait for it: the plan may take a sheet in ten more than
// one at normal effort, which the bound beside it tells.
const largerEffort = 3 * nest.Quick

// PlanLarger plans, quickly, every material whose plan takes sheets of a smaller size than the largest that there
// is. Offcuts stay. A material whose larger sheets do not suffice has no answer.
func (j *Job) PlanLarger(ctx context.Context) error {
	j.Larger = nil
	for i := range j.Materials {
		m := &j.Materials[i]
		least, there := m.nextLarger()
		if !there {
			continue
		}
		with := *m
		with.Problem.Sheets, with.Stock = nil, nil
		for k, s := range m.Stock {
			if s.Offcut != "" || s.M2() >= least.M2() {
				with.Stock, with.Problem.Sheets = append(with.Stock, s), append(with.Problem.Sheets, m.Problem.Sheets[k])
			}
		}
		var err error
		if with.Plan, err = nest.Solve(ctx, with.Problem, nest.Options{Effort: largerEffort}); err != nil {
			return fmt.Errorf("%s without its smaller sheets: %w", m.Of.ID, err)
		}
		if with.Unplaced() > m.Unplaced() {
			continue
		}
		with.Patterns = with.patterns()
		j.Larger = append(j.Larger, Larger{Least: least, Now: m.use(), With: with.use()})
	}
	return nil
}

// nextLarger returns the least of a material's sizes that is larger than the smallest one that its plan takes.
func (m *Material) nextLarger() (next shop.Sheet, there bool) {
	smallest := 0.0
	for i, n := range m.taken() {
		if s := m.Stock[i]; n > 0 && s.Offcut == "" && (smallest == 0 || s.M2() < smallest) {
			smallest = s.M2()
		}
	}
	for _, s := range m.Stock {
		if s.Offcut == "" && smallest > 0 && s.M2() > smallest && (!there || s.M2() < next.M2()) {
			next, there = s, true
		}
	}
	return next, there
}
