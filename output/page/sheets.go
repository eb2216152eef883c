package page

import (
	"context"
	"runtime"
	"slices"

	"golang.org/x/sync/errgroup"

	"sawbook/cabinets/batch"
	"sawbook/output/diagram"
	"sawbook/output/draw"
)

// sheet is the sheet of one pattern.
type sheet struct {
	At   int    `json:"at"` // of all patterns
	Name string `json:"name"`
	SVG  string `json:"svg"`
}

// sheetWidth is how wide a sheet is drawn, in mm: about as wide as it is seen.
const sheetWidth = 150.0

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
			d := diagram.Glance(job, all[at].material, all[at].pattern, sheetWidth)
			show(&sheet{at, d.Title, draw.Element(d)})
			return nil
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
