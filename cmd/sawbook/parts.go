package main

import (
	"sawbook/cabinets/batch"
	"sawbook/output/table"

	"github.com/spf13/cobra"
)

func newParts(c *call) *cobra.Command {
	var csv bool
	cmd := &cobra.Command{
		Use:   "parts WHAT",
		Short: "the part list of a batch, a layout or a cabinet",
		Long: `parts lists every piece with its cut size, count, edges and where it goes, without
laying anything on sheets.`,
		Example: `  sawbook parts batches/spring.yaml
  sawbook parts layouts/curlew.yaml --option no-pantry --csv
  sawbook parts cabinets/step-stool.yaml --units in`,
		Args: oneArgument("a batch, layout or cabinet", "sawbook parts layouts/curlew.yaml"),
		RunE: func(_ *cobra.Command, args []string) error { return c.doParts(args[0], csv) },
	}
	cmd.Flags().BoolVar(&csv, "csv", false, "print CSV")
	return c.withOptions(cmd)
}

func (c *call) doParts(what string, csv bool) error {
	_, b, err := c.load(what, c.options)
	if err != nil {
		return err
	}
	j := batch.List(b)
	t := table.Parts(j)
	switch {
	case c.json:
		err = t.WriteJSON(c.out)
	case csv:
		err = t.WriteCSV(c.out)
	default:
		err = t.WriteText(c.out)
	}
	if err != nil {
		return err
	}
	return findings(j.Findings)
}
