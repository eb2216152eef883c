package main

import (
	"context"

	"sawbook/output/table"

	"github.com/spf13/cobra"
)

func newQuote(c *call) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "quote WHAT",
		Short: "hours by operation, overhead, margin and tax on top of the material",
		Long: `quote turns what price says of the material into a price, by the terms in the shop file (quote:):
minutes of each operation, an hour's rate, waste beyond the plan, overhead, margin, tax. Every rate
is printed. For a layout, each of its options is quoted as well, one at a time.`,
		Example: `  sawbook quote layouts/curlew.yaml
  sawbook quote batches/spring.yaml --json`,
		Args: oneArgument("a batch, layout or cabinet", "sawbook quote layouts/curlew.yaml"),
		RunE: func(cmd *cobra.Command, args []string) error { return c.doQuote(cmd.Context(), args[0]) },
	}
	return c.withOptions(cmd)
}

func (c *call) doQuote(ctx context.Context, what string) error {
	f, b, err := c.load(what, c.options)
	if err != nil {
		return err
	}
	j, err := c.work(ctx, b)
	if err != nil {
		return err
	}
	if _, _, err := j.Quotes(); err != nil {
		return err
	}
	search, err := c.search()
	if err != nil {
		return err
	}
	priced, err := f.PriceOptions(ctx, what, c.options, search)
	if err != nil {
		return err
	}
	options, err := table.QuoteOptions(j, priced)
	if err != nil {
		return err
	}
	if c.json {
		err = table.WriteQuotesJSON(c.out, j, options)
	} else {
		err = table.WriteQuotes(c.out, j, options)
	}
	if err != nil {
		return err
	}
	return findings(j.Findings)
}
