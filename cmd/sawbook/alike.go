package main

import (
	"context"

	"sawbook/cabinets/batch"
	"sawbook/output/table"

	"github.com/spf13/cobra"
)

func newAlike(c *call) *cobra.Command {
	return &cobra.Command{
		Use:   "alike BATCH",
		Short: "which pieces layouts share, and which are nearly the same",
		Long: `alike lists the pieces that several layouts of a batch share, and those of one material that differ by less
than 5 mm in length and width. Of these it plans the batch again with one size for both, and tells how many
settings and sheets that saves.`,
		Example: `  sawbook alike batches/spring.yaml`,
		Args:    oneArgument("the batch file", "sawbook alike batches/spring.yaml"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if !cmd.Flags().Changed("effort") {
				c.effort = "quick"
			}
			return c.doAlike(cmd.Context(), args[0])
		},
	}
}

func (c *call) doAlike(ctx context.Context, what string) error {
	_, b, err := c.load(what, nil)
	if err != nil {
		return err
	}
	o, err := c.search()
	if err != nil {
		return err
	}
	a, err := batch.FindAlike(ctx, b, o)
	if err != nil {
		return err
	}
	if c.json {
		return table.WriteAlikeJSON(c.out, a)
	}
	return table.WriteAlike(c.out, a)
}
