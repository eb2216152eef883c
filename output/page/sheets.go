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

// sheets returns two functions that draw the patterns of a job: those that are in view side by side, and then the
// others one by one, for by then the browser paints, and needs a core for that. Calls of show overlap.
func sheets(ctx context.Context, job *batch.Job, inView []int, show func(*sheet)) (first, then func() error) {
	all := patterns(job)
	var seen, others []int
	for at := range all {
		if slices.Contains(inView, at) {
			seen = append(seen, at)
		} else {
			others = append(others, at)
		}
	}
	one := func(at int) {
		d := diagram.Glance(job, all[at].material, all[at].pattern, sheetWidth)
		show(&sheet{at, d.Title, draw.Element(d)})
	}
	return func() error { return each(ctx, seen, runtime.GOMAXPROCS(0), one) }, func() error { return each(ctx, others, 1, one) }
}

// each does something with each of all, so many at once, until the context ends, whose error it returns then.
func each(ctx context.Context, all []int, atOnce int, do func(int)) error {
	var g errgroup.Group
	g.SetLimit(atOnce)
	for _, at := range all {
		g.Go(func() error {
			if err := ctx.Err(); err != nil {
				return err
			}
			do(at)
			return nil
		})
	}
	return g.Wait()
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
