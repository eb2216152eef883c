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
func firstOf(n int, named []int) (all []int) {
	var rest []int
	for i := range n {
		if slices.Contains(named, i) {
			all = append(all, i)
		} else {
			rest = append(rest, i)
		}
	}
	return append(all, rest...)
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
