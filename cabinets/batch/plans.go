package batch

import (
	"context"
	"fmt"
	"strings"

	"sawbook/nest"
)

// Plans remembers plans by all that they were asked for, so that of several jobs only
// what differs is planned and tidied. It may be used from several goroutines; the zero value is
// empty, and nil remembers nothing.
type Plans struct {
	found memory[*nest.Plan]
	tidy  memory[[]nest.Planned]
}

// solve returns the plan of a problem.
func (p *Plans) solve(ctx context.Context, problem nest.Problem, o nest.Options) (*nest.Plan, error) {
	if p == nil {
		return nest.Solve(ctx, problem, o)
	}
	key := fmt.Sprintf("%d %d %+v", o.Effort, o.Seed, problem)
	return p.found.get(ctx, key, func() (*nest.Plan, error) { return nest.Solve(ctx, problem, o) })
}

// tidied returns plans that are easier to cut. A plan that is the same one as before is known
// by its address: what is remembered keeps it from being another's.
func (p *Plans) tidied(ctx context.Context, work []nest.Planned, r nest.Rules) []nest.Planned {
	if p == nil {
		return nest.Tidy(ctx, work, r)
	}
	var key strings.Builder
	fmt.Fprintf(&key, "%+v", r)
	for _, w := range work {
		fmt.Fprintf(&key, " %p %+v", w.Plan, *w.Problem)
	}
	both, _ := p.tidy.get(ctx, key.String(), func() ([]nest.Planned, error) {
		return append(nest.Tidy(ctx, work, r), work...), nil
	})
	return both[:len(work)]
}
