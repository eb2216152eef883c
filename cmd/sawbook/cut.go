package main

import (
	"errors"
	"fmt"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/shop"
	"sawbook/output/table"

	"github.com/spf13/cobra"
)

func newCut(c *call) *cobra.Command {
	var release string
	cmd := &cobra.Command{
		Use:   "cut BATCH",
		Short: "work out a batch and write the folder the shop prints",
		Long: `cut turns a batch into pieces, plans and an estimate, and writes them to a folder
OUT/<batch>-<digest>: index.html to read and print, a diagram for every pattern, lists as
CSV and text, and the plan as JSON. Where the shop keeps a register, plans use what it has on hand, and
the register stays as it is. The same input gives the same folder, byte for byte.

With --release it does so for one of the batch's releases: from what those before it leave of limited
stock, and from their offcuts. What other releases take is listed as held back.`,
		Example: `  sawbook cut batches/spring.yaml
  sawbook cut batches/spring.yaml --effort thorough --out print
  sawbook cut batches/spring.yaml --release fronts`,
		Args: oneArgument("the batch file", "sawbook cut batches/spring.yaml"),
		RunE: func(cmd *cobra.Command, args []string) error { return c.doCut(cmd, args[0], release) },
	}
	cmd.Flags().BoolVar(&c.binders, "binders", false, "write a book for each vehicle as well, to vehicles/SERIAL.pdf")
	cmd.Flags().StringVar(&release, "release", "", "cut one release of the batch")
	cmd.Flags().IntVar(&c.labelsFrom, "labels-from", 1, "the first label that is free on a used sheet")
	return cmd
}

func (c *call) doCut(cmd *cobra.Command, what, release string) error {
	f, b, err := c.load(what, nil)
	if err != nil {
		return err
	}
	if err := onHand(f, b, newestEntry); err != nil {
		return err
	}
	if err := c.checkLabels(b.Shop.Labels); err != nil {
		return err
	}
	if release != "" {
		if err := b.HasRelease(release); err != nil {
			return usageError{err}
		}
	}
	j, err := c.workRelease(cmd.Context(), b, release)
	if err != nil {
		return err
	}
	if err := j.PlanLarger(cmd.Context()); err != nil {
		return err
	}
	j.LabelsFrom = c.labelsFrom
	path, err := c.write(j)
	if err != nil {
		return err
	}
	return c.report(j, path)
}

// checkLabels refuses to start with a label that a sheet has not.
func (c *call) checkLabels(l *shop.Labels) error {
	switch {
	case c.labelsFrom == 1:
	case l == nil:
		return usageError{errors.New("the shop file does not say what labels are printed on\nhint: write labels: {size: 62 x 29 mm}, or leave out --labels-from")}
	case c.labelsFrom < 1 || c.labelsFrom > l.Sheet():
		return usageError{fmt.Errorf("a sheet has no label %d\nhint: count from 1 to %d, along the rows", c.labelsFrom, l.Sheet())}
	}
	return nil
}

// report prints what a job came to and where its folder is.
func (c *call) report(j *batch.Job, path string) error {
	if c.json {
		if err := table.WriteSummaryJSON(c.out, j, path); err != nil {
			return err
		}
		return findings(j.Findings)
	}
	if err := table.WriteSummary(c.out, j); err != nil {
		return err
	}
	fmt.Fprintf(c.out, "\nwritten to %s\n", path)
	return findings(j.Findings)
}
