package page

import (
	"context"
	"runtime"
	"slices"

	"golang.org/x/sync/errgroup"

	"sawbook/cabinets/batch"
	"sawbook/output/diagram"
)

// sheet is how to cut one pattern: most often one diagram, more where that has no room for all.
type sheet struct {
	At       int     `json:"at"` // of all patterns
	Drawings []shown `json:"drawings"`
}

// shown is a drawing with its name.
type shown struct {
	Name string `json:"name"`
	SVG  string `json:"svg"`
}

// sheets draws every pattern of a job, first those that are in view, side by side. Calls of show
// overlap.
func sheets(ctx context.Context, job *batch.Job, inView []int, show func(*sheet)) error {
	all := patterns(job)
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	for _, at := range firstOf(len(all), inView) {
		g.Go(func() error {
			if err := ctx.Err(); err != nil {
				return err
			}
			drawings, err := all[at].drawn(job)
			if err == nil {
				show(&sheet{at, drawings})
			}
			return err
		})
	}
	return g.Wait()
}

// firstOf lists 0 to n-1, those that are named first.
func firstOf(n int, named []int) []int {
	all := make([]int, n)
	for i := range all {
		all[i] = i
	}
	slices.SortStableFunc(all, func(a, b int) int {
		return rank(named, a) - rank(named, b)
	})
	return all
}

func rank(named []int, i int) int {
	if slices.Contains(named, i) {
		return 0
	}
	return 1
}

// patternOf is a pattern with its material.
type patternOf struct {
	material *batch.Material
	pattern  *batch.Pattern
}

func patterns(job *batch.Job) (all []patternOf) {
	for i := range job.Materials {
		m := &job.Materials[i]
		for k := range m.Patterns {
			all = append(all, patternOf{m, &m.Patterns[k]})
		}
	}
	return all
}

func (p patternOf) drawn(job *batch.Job) (all []shown, err error) {
	width, height := diagram.PaperFor(job.Batch.Shop.Style.Unit).Room()
	for _, d := range diagram.Sheet(job, p.material, p.pattern, width, height) {
		text, err := svg(d)
		if err != nil {
			return nil, err
		}
		all = append(all, shown{d.Title, text})
	}
	return all, nil
}
