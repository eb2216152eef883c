package batch

import (
	"cmp"
	"context"
	"reflect"
	"slices"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"

	"golang.org/x/sync/errgroup"
)

// Comparison is what one job has over another: parts, lines of the estimate, findings.
type Comparison struct {
	A, B  *Job
	Parts []PartChange
	Lines []LineChange
	// Gone and Added are findings that only A or only B has.
	Gone, Added []cabinets.Finding
}

// PartChange is a part that only one of two jobs has, or that differs between them.
type PartChange struct {
	Name  string // as the shop calls it
	Where string // the cabinet in which it is
	Count int
	// What it is in A and in B; nil where it is not there.
	A, B *cabinets.Piece
}

// LineChange is a line of the estimate in two jobs; a zero line where one has none.
type LineChange struct{ A, B Line }

// More is what B's line costs more than A's.
func (l *LineChange) More() shop.Money { return l.B.Cost - l.A.Cost }

// Differs reports whether the line takes or costs another amount.
func (l *LineChange) Differs() bool {
	return l.A.Need != l.B.Need || l.A.Buy != l.B.Buy || l.A.Cost != l.B.Cost
}

// Compare works out two batches side by side and compares them. Parts are matched by where
// they go: vehicle, cabinet and name. The two may come from different shops.
func Compare(ctx context.Context, a, b *Batch, o Options) (*Comparison, error) {
	progress := newTally(2, o.Progress)
	o.Plans = &Plans{}
	var jobs [2]*Job
	g, ctx := errgroup.WithContext(ctx)
	for i, of := range []*Batch{a, b} {
		g.Go(func() (err error) {
			search := o
			if tell := progress.of(i); tell != nil {
				search.Progress = func(done, of int64) { tell(done, of, 0) }
			}
			jobs[i], err = Work(ctx, of, search)
			return err
		})
	}
	if err := g.Wait(); err != nil {
		return nil, err
	}
	return CompareJobs(jobs[0], jobs[1]), nil
}

// CompareJobs compares two batches that are worked out, as Compare does.
func CompareJobs(a, b *Job) *Comparison {
	c := &Comparison{A: a, B: b}
	c.parts()
	c.lines()
	c.Gone, c.Added = onlyIn(a.Findings, b.Findings), onlyIn(b.Findings, a.Findings)
	return c
}

// spot is where a part goes: the interior's title is left out where each job has one
// interior alone.
type spot struct{ interior, cabinet, part string }

// going is a piece at a spot, in so many vehicles.
type going struct {
	piece *cabinets.Piece
	count int
}

// spots tells which piece goes where.
func spots(j *Job, titled bool) map[spot]going {
	all := map[spot]going{}
	for _, p := range j.Pieces {
		for _, at := range p.Goes {
			s := spot{cabinet: at.Cabinet, part: at.Part}
			if titled {
				s.interior = at.Interior.Title()
			}
			all[s] = going{p, at.Vehicles}
		}
	}
	return all
}

func (c *Comparison) parts() {
	titled := c.A.Batch.mixed() || c.B.Batch.mixed()
	inA, inB := spots(c.A, titled), spots(c.B, titled)
	type key struct {
		cabinet string
		a, b    *cabinets.Piece
	}
	counts := map[key]int{}
	for at, a := range inA {
		b := inB[at]
		both := min(a.count, b.count)
		if both > 0 && !alike(a.piece, b.piece) {
			counts[key{at.cabinet, a.piece, b.piece}] += both
		}
		counts[key{at.cabinet, a.piece, nil}] += a.count - both
	}
	for at, b := range inB {
		counts[key{at.cabinet, nil, b.piece}] += b.count - min(inA[at].count, b.count)
	}
	for k, n := range counts {
		if n > 0 {
			c.Parts = append(c.Parts, PartChange{Name: cmp.Or(k.b, k.a).Name, Where: k.cabinet, Count: n, A: k.a, B: k.b})
		}
	}
	slices.SortFunc(c.Parts, func(p, q PartChange) int {
		return cmp.Or(cmp.Compare(p.Where, q.Where), cmp.Compare(p.Name, q.Name), cmp.Compare(id(p.A), id(q.A)), cmp.Compare(id(p.B), id(q.B)))
	})
}

// mixed reports whether a batch has several interiors.
func (b *Batch) mixed() bool {
	all, _ := b.Interiors()
	return len(all) > 1
}

func id(p *cabinets.Piece) string {
	if p == nil {
		return ""
	}
	return p.ID
}

// alike reports whether two pieces, of different shops perhaps, are cut, edged and machined
// alike.
func alike(a, b *cabinets.Piece) bool {
	if a.Material.ID != b.Material.ID || a.Length != b.Length || a.Width != b.Width || a.Turns != b.Turns || a.Good != b.Good {
		return false
	}
	for side := range a.Edges {
		e, f := a.Edges[side].Treatment, b.Edges[side].Treatment
		if (e == nil) != (f == nil) || e != nil && e.String() != f.String() {
			return false
		}
	}
	return reflect.DeepEqual(a.Features, b.Features)
}

// Resized reports whether the part is there in both and differs in size.
func (p *PartChange) Resized() bool {
	return p.A != nil && p.B != nil && (p.A.Length != p.B.Length || p.A.Width != p.B.Width)
}

func (c *Comparison) lines() {
	type key struct{ group, item, pack string }
	of := func(l Line) key { return key{l.Group, l.Item, l.Pack} }
	index := map[key]int{}
	for _, l := range c.A.Estimate.Lines {
		index[of(l)] = len(c.Lines)
		c.Lines = append(c.Lines, LineChange{A: l})
	}
	for _, l := range c.B.Estimate.Lines {
		at, ok := index[of(l)]
		if !ok {
			at = len(c.Lines)
			c.Lines = append(c.Lines, LineChange{})
		}
		c.Lines[at].B = l
	}
}

// onlyIn lists the findings of a that b has not.
func onlyIn(a, b []cabinets.Finding) (only []cabinets.Finding) {
	for _, f := range a {
		if !slices.Contains(b, f) {
			only = append(only, f)
		}
	}
	return only
}

// Tape is how much edge band and felt a job takes.
func (e *Estimate) Tape() (band, felt measure.Length) {
	for i := range e.Layouts {
		u := &e.Layouts[i]
		band += u.Band * measure.Length(u.Vehicles)
		felt += u.Felt * measure.Length(u.Vehicles)
	}
	return band, felt
}
