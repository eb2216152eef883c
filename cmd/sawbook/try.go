package main

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/source"
	"sawbook/output/diagram"
	"sawbook/output/draw"
	"sawbook/output/folder"
	"sawbook/output/table"

	"github.com/spf13/cobra"
)

func newTry(c *call) *cobra.Command {
	var csv bool
	cmd := &cobra.Command{
		Use:   "try WHAT CABINET.SIZE=FROM..TO/STEP ...",
		Short: "a size swept through a range: sheets, cost, findings, and where the steps are",
		Long: `try works out a layout or a cabinet with a size at every value of a range: sheets by
material with the least that is proven, cost, waste, mass and findings. Around each change
it looks closer, to 1 mm or 1/16 in, and names the steps; one is called proven where the bounds on its
two sides show it, so that no plan does without it. Several sizes make a grid.

Without --effort, plans are looked for quickly; price --effort quick says the same of each
value. With --out, the list and a curve are written to a folder as well.`,
		Example: `  sawbook try layouts/curlew.yaml bank-1.width=500..700/10
  sawbook try pantry width=300..500/20 --csv
  sawbook try layouts/dunlin.yaml bank-1.width=500..700/50 bank-1.drawers=2..4 --effort normal`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) >= 2 {
				return nil
			}
			return usageError{errors.New("a layout or cabinet is needed, and a size to try\nhint: sawbook try layouts/curlew.yaml bank-1.width=500..700/10")}
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			if !cmd.Flags().Changed("effort") {
				c.effort = "quick"
			}
			return c.doTry(cmd, args[0], args[1:], csv)
		},
	}
	cmd.Flags().BoolVar(&csv, "csv", false, "print the list as CSV")
	return c.withOptions(cmd)
}

func (c *call) doTry(cmd *cobra.Command, what string, axes []string, csv bool) error {
	s, err := c.sweep(cmd.Context(), what, axes)
	if err != nil {
		return err
	}
	switch {
	case c.json:
		err = table.WriteSweepJSON(c.out, s)
	case csv:
		err = table.Sweep(s).WriteCSV(c.out)
	default:
		err = table.WriteSweep(c.out, s)
	}
	if err != nil || !cmd.Flags().Changed("out") {
		return err
	}
	path, err := c.writeSweep(s)
	if err != nil {
		return err
	}
	fmt.Fprintf(c.errs, "sawbook: written to %s\n", path)
	return nil
}

func (c *call) sweep(ctx context.Context, what string, axes []string) (*batch.Sweep, error) {
	f, err := c.open(what)
	if err != nil {
		return nil, err
	}
	o, err := c.search()
	if err != nil {
		return nil, err
	}
	var finish func()
	o.Progress, finish = progressOn(c.errs)
	defer finish()
	s, err := f.Try(ctx, what, c.options, axes, o)
	var faults source.Faults
	if err != nil && !errors.As(err, &faults) && ctx.Err() == nil {
		err = usageError{err}
	}
	return s, err
}

// writeSweep writes the list and the curve to a folder of their own.
func (c *call) writeSweep(s *batch.Sweep) (string, error) {
	files := []struct {
		name  string
		write func(io.Writer) error
	}{
		{"sweep.txt", func(w io.Writer) error { return table.WriteSweep(w, s) }},
		{"sweep.csv", func(w io.Writer) error { return table.Sweep(s).WriteCSV(w) }},
		{"sweep.json", func(w io.Writer) error { return table.WriteSweepJSON(w, s) }},
	}
	if len(s.Axes) == 1 {
		files = append(files, struct {
			name  string
			write func(io.Writer) error
		}{"curve.svg", func(w io.Writer) error { return draw.WriteSVG(w, diagram.Curve(s)) }})
	}
	digest := sha256.New()
	if err := table.WriteSweepJSON(digest, s); err != nil {
		return "", err
	}
	name := fmt.Sprintf("%s-try-%.8x", s.Batch.Name, digest.Sum(nil)[:4])
	path, _, err := folder.Write(c.folder, name, func(create folder.Create) error {
		for _, f := range files {
			if err := create(f.name, f.write); err != nil {
				return err
			}
		}
		return nil
	})
	return path, err
}
