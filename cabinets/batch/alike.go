package batch

import (
	"cmp"
	"context"
	"slices"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
)

// near is how little two sizes of nearly the same piece differ.
const near = 5 * measure.Millimetre

// mostNear is how many pairs of nearly the same pieces are tried as one, those with the
// most copies first.
const mostNear = 12

// Alike says how much the interiors of a batch have in common.
type Alike struct {
	Job    *Job
	Shared []*cabinets.Piece // that go into several layouts
	Near   []Near
	More   int // pairs that were not tried
}

// Near is a pair of nearly the same pieces, and what making them one would save: both then
// have the larger length and the larger width.
type Near struct {
	A, B             *cabinets.Piece
	Settings, Sheets int // fewer of them, below 0 more
}

// FindAlike works a batch out and finds what its layouts share.
func FindAlike(ctx context.Context, b *Batch, o Options) (*Alike, error) {
	o.Plans = &Plans{}
	j, err := Work(ctx, b, o)
	if err != nil {
		return nil, err
	}
	a := &Alike{Job: j}
	for _, p := range j.Pieces {
		if layoutsOf(p) > 1 {
			a.Shared = append(a.Shared, p)
		}
	}
	pairs := nearPairs(j.Pieces)
	a.More = max(len(pairs)-mostNear, 0)
	for _, pair := range pairs[:len(pairs)-a.More] {
		n := Near{A: pair[0], B: pair[1]}
		if err := n.try(ctx, j, o); err != nil {
			return nil, err
		}
		a.Near = append(a.Near, n)
	}
	return a, nil
}

// layoutsOf counts the layouts that a piece goes into.
func layoutsOf(p *cabinets.Piece) int {
	layouts := map[*cabinets.Layout]bool{}
	for _, at := range p.Goes {
		layouts[at.Interior.Layout] = true
	}
	return len(layouts)
}

// nearPairs lists pieces of one material that differ by less than near in length and width, and in nothing
// that a saw sees.
func nearPairs(pieces []*cabinets.Piece) (pairs [][2]*cabinets.Piece) {
	for i, p := range pieces {
		for _, q := range pieces[i+1:] {
			if p.Material == q.Material && p.Turns == q.Turns && within(p.Length, q.Length) && within(p.Width, q.Width) && (p.Length != q.Length || p.Width != q.Width) {
				pairs = append(pairs, [2]*cabinets.Piece{p, q})
			}
		}
	}
	slices.SortStableFunc(pairs, func(a, b [2]*cabinets.Piece) int { return cmp.Compare(b[0].Count+b[1].Count, a[0].Count+a[1].Count) })
	return pairs
}

func within(a, b measure.Length) bool { return max(a-b, b-a) < near }

// try plans the job again with both pieces of the larger size.
func (n *Near) try(ctx context.Context, j *Job, o Options) error {
	as := *j
	as.Pieces = slices.Clone(j.Pieces)
	for i, p := range as.Pieces {
		if p == n.A || p == n.B {
			larger := *p
			larger.Length, larger.Width = max(n.A.Length, n.B.Length), max(n.A.Width, n.B.Width)
			as.Pieces[i] = &larger
		}
	}
	as.Materials = materials(j.Batch, as.Pieces)
	if err := as.plan(ctx, o); err != nil {
		return err
	}
	n.Settings = j.sawUse().Settings - as.sawUse().Settings
	n.Sheets = j.planned() - as.planned()
	return nil
}

// planned counts the sheets of all plans.
func (j *Job) planned() (sheets int) {
	for i := range j.Materials {
		sheets += j.Materials[i].Plan.Sheets
	}
	return sheets
}
