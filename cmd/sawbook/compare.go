package main

import (
	"context"
	"errors"
	"strings"

	"sawbook/cabinets/batch"
	"sawbook/output/table"

	"github.com/spf13/cobra"
)

func newCompare(c *call) *cobra.Command {
	return &cobra.Command{
		Use:   "compare WHAT[+OPTION...] WHAT[+OPTION...]",
		Short: "what one layout, option, cabinet or batch has over another",
		Long: `compare works out two batches, layouts or cabinets and tells how they differ: parts added,
gone and resized, lines of the estimate, tape, mass, cost in all, and findings. Options of a
layout are written behind it with a +. The two may lie in different shops' folders, such as the
same files before and after a change.`,
		Example: `  sawbook compare layouts/curlew.yaml layouts/curlew.yaml+no-pantry
  sawbook compare layouts/curlew.yaml layouts/dunlin.yaml
  sawbook compare before/cabinets/step-stool.yaml cabinets/step-stool.yaml --json`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 2 {
				return nil
			}
			return usageError{errors.New("two things to compare are needed\nhint: sawbook compare layouts/curlew.yaml layouts/curlew.yaml+no-pantry")}
		},
		RunE: func(cmd *cobra.Command, args []string) error { return c.doCompare(cmd.Context(), args[0], args[1]) },
	}
}

func (c *call) doCompare(ctx context.Context, first, then string) error {
	a, errA := c.compared(first)
	b, errB := c.compared(then)
	if err := errors.Join(errA, errB); err != nil {
		return err
	}
	o, err := c.search()
	if err != nil {
		return err
	}
	var finish func()
	o.Progress, finish = progressOn(c.errs)
	defer finish()
	comparison, err := batch.Compare(ctx, a, b, o)
	if err != nil {
		return err
	}
	if c.json {
		return table.WriteComparisonJSON(c.out, comparison)
	}
	return table.WriteComparison(c.out, comparison)
}

// compared reads WHAT[+OPTION...].
func (c *call) compared(what string) (*batch.Batch, error) {
	parts := strings.Split(what, "+")
	_, b, err := c.load(parts[0], parts[1:])
	if err == nil && len(parts) > 1 {
		b.Name += " + " + strings.Join(parts[1:], " + ")
	}
	return b, err
}
