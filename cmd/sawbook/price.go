package main

import (
	"sawbook/output/table"

	"github.com/spf13/cobra"
)

func newPrice(c *call) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "price WHAT",
		Short: "sheets, waste, tape, hardware, mass and cost",
		Long: `price works out what a batch, a layout or a cabinet takes: sheets and what is wasted of
them, edge band and felt in metres and rolls, hardware, mass, and the cost line by line and
in total. For a layout, each of its options is priced as well, one at a time.`,
		Example: `  sawbook price layouts/curlew.yaml
  sawbook price batches/spring.yaml --json
  sawbook price pantry`,
		Args: oneArgument("a batch, layout or cabinet", "sawbook price layouts/curlew.yaml"),
		RunE: func(cmd *cobra.Command, args []string) error { return c.doPrice(cmd, args[0]) },
	}
	return c.withOptions(cmd)
}

func (c *call) doPrice(cmd *cobra.Command, what string) error {
	f, b, err := c.load(what, c.options)
	if err != nil {
		return err
	}
	j, err := c.work(cmd.Context(), b)
	if err != nil {
		return err
	}
	search, err := c.search()
	if err != nil {
		return err
	}
	options, err := f.PriceOptions(cmd.Context(), what, c.options, search)
	if err != nil {
		return err
	}
	if c.json {
		err = table.WriteEstimateJSON(c.out, j, options)
	} else {
		err = table.WriteEstimate(c.out, j, options)
	}
	if err != nil {
		return err
	}
	return findings(j.Findings)
}
