package batch

import (
	"context"
	"fmt"
	"sync"

	"sawbook/nest"
)

// Plans remembers plans by all that they were asked for, so that of several jobs only
// what differs is planned. It may be used from several goroutines; the zero value is empty.
type Plans struct {
	mu    sync.Mutex
	known map[string]*remembered
}

// remembered is a plan that is there or about to be.
type remembered struct {
	once sync.Once
	plan *nest.Plan
	err  error
}

// solve returns the plan of a problem; without a memory it is looked for each time.
func (p *Plans) solve(ctx context.Context, problem nest.Problem, o nest.Options) (*nest.Plan, error) {
	if p == nil {
		return nest.Solve(ctx, problem, o)
	}
	key := fmt.Sprintf("%d %d %+v", o.Effort, o.Seed, problem)
	p.mu.Lock()
	if p.known == nil {
		p.known = map[string]*remembered{}
	}
	r := p.known[key]
	if r == nil {
		r = &remembered{}
		p.known[key] = r
	}
	p.mu.Unlock()
	r.once.Do(func() { r.plan, r.err = nest.Solve(ctx, problem, o) })
	return r.plan, r.err
}
