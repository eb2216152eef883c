package page

import (
	"context"
	"errors"
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

// sheets draws every pattern of a job: those that are in view side by side, then the others one by one, for
// by then the browser paints, and needs a core for that. Calls of show overlap.
func sheets(ctx context.Context, job *batch.Job, inView []int, show func(*sheet)) error {
	all := patterns(job)
	var first, then []int
	for at := range all {
		if slices.Contains(inView, at) {
			first = append(first, at)
		} else {
			then = append(then, at)
		}
	}
	one := func(at int) {
		d := diagram.Glance(job, all[at].material, all[at].pattern, sheetWidth)
		show(&sheet{at, d.Title, draw.Element(d)})
	}
	return errors.Join(each(ctx, first, runtime.GOMAXPROCS(0), one), each(ctx, then, 1, one))
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
