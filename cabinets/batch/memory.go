package batch

import (
	"context"
	"slices"
	"sync"
)

// memory holds what was worked out by what it was asked for. It may be used from several
// goroutines; the zero value is empty.
type memory[T any] struct {
	mu    sync.Mutex
	known map[string]*remembered[T]
	asked []string // keys of known, the oldest first
}

// mostKnown is how much is remembered: of plans, some hundred MB.
const mostKnown = 5_000

// remembered is there or about to be.
type remembered[T any] struct {
	once sync.Once
	what T
	err  error
	cut  bool // by the end of its context: what follows looks anew
}

// get returns what is remembered under a key, or works it out.
func (m *memory[T]) get(ctx context.Context, key string, work func() (T, error)) (T, error) {
	for {
		r := m.entry(key)
		r.once.Do(func() {
			if r.what, r.err = work(); ctx.Err() != nil {
				r.cut = true
				m.forget(key)
			}
		})
		if !r.cut || ctx.Err() != nil {
			return r.what, r.err
		}
	}
}

// entry returns what is remembered under a key, new where that is nothing.
func (m *memory[T]) entry(key string) *remembered[T] {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.known == nil {
		m.known = map[string]*remembered[T]{}
	}
	r := m.known[key]
	if r == nil {
		r = &remembered[T]{}
		m.known[key] = r
		if m.asked = append(m.asked, key); len(m.asked) > mostKnown {
			delete(m.known, m.asked[0])
			m.asked = m.asked[1:]
		}
	}
	return r
}

// forget drops what is remembered under a key.
func (m *memory[T]) forget(key string) {
	m.mu.Lock()
	defer m.mu.Unlock()
	delete(m.known, key)
	m.asked = slices.DeleteFunc(m.asked, func(k string) bool { return k == key })
}
