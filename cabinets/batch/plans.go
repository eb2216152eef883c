package batch

import (
	"context"
	"fmt"
	"slices"
	"sync"

	"sawbook/nest"
)

// Plans remembers plans by all that they were asked for, so that of several jobs only
// what differs is planned. It may be used from several goroutines; the zero value is empty.
type Plans struct {
	mu    sync.Mutex
	known map[string]*remembered
	asked []string // keys of known, the oldest first
}

// mostPlans is how many plans are remembered: some hundred MB.
const mostPlans = 5_000

// remembered is a plan that is there or about to be.
type remembered struct {
	once sync.Once
	plan *nest.Plan
	err  error
	cut  bool // by the end of its context: what follows looks anew
}

// solve returns the plan of a problem; without a memory it is looked for each time.
func (p *Plans) solve(ctx context.Context, problem nest.Problem, o nest.Options) (*nest.Plan, error) {
	if p == nil {
		return nest.Solve(ctx, problem, o)
	}
	key := fmt.Sprintf("%d %d %+v", o.Effort, o.Seed, problem)
	for {
		r := p.entry(key)
		r.once.Do(func() {
			if r.plan, r.err = nest.Solve(ctx, problem, o); ctx.Err() != nil {
				r.cut = true
				p.forget(key)
			}
		})
		if !r.cut || ctx.Err() != nil {
			return r.plan, r.err
		}
	}
}

// entry returns what is remembered under a key, new where that is nothing.
func (p *Plans) entry(key string) *remembered {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.known == nil {
		p.known = map[string]*remembered{}
	}
	r := p.known[key]
	if r == nil {
		r = &remembered{}
		p.known[key] = r
		if p.asked = append(p.asked, key); len(p.asked) > mostPlans {
			delete(p.known, p.asked[0])
			p.asked = p.asked[1:]
		}
	}
	return r
}

// forget drops what is remembered under a key.
func (p *Plans) forget(key string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	delete(p.known, key)
	p.asked = slices.DeleteFunc(p.asked, func(k string) bool { return k == key })
}
