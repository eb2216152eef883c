package main

import (
	"fmt"

	"sawbook/output/table"

	"github.com/spf13/cobra"
)

func newCheck(c *call) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "check WHAT",
		Short: "findings only",
		Long: `check says what is wrong or doubtful with a batch, a layout or a cabinet: sizes that do
not close, neighbours that clash, parts that fit no sheet, stock that runs out.`,
		Example: `  sawbook check layouts/dunlin.yaml
  sawbook check drawer-bank`,
		Args: oneArgument("a batch, layout or cabinet", "sawbook check layouts/curlew.yaml"),
		RunE: func(cmd *cobra.Command, args []string) error { return c.doCheck(cmd, args[0]) },
	}
	return c.withOptions(cmd)
}

func (c *call) doCheck(cmd *cobra.Command, what string) error {
	if !cmd.Flags().Changed("effort") {
		c.effort = "quick" // whether parts fit does not hang on how good the plan is
	}
	_, b, err := c.load(what, c.options)
	if err != nil {
		return err
	}
	j, err := c.work(cmd.Context(), b)
	if err != nil {
		return err
	}
	if c.json {
		err = table.Findings(j.Findings).WriteJSON(c.out)
	} else if len(j.Findings) == 0 {
		_, err = fmt.Fprintln(c.out, "nothing found")
	} else {
		err = table.Findings(j.Findings).WriteText(c.out)
	}
	if err != nil {
		return err
	}
	return findings(j.Findings)
}
