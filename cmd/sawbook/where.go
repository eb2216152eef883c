package main

import (
	"errors"
	"fmt"

	"sawbook/cabinets/batch"
	"sawbook/output/table"

	"github.com/spf13/cobra"
)

func newWhere(c *call) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "where WHAT [WORD ...]",
		Short: "what is kept in which cabinet, and how to get at it",
		Long: `where lists what the layouts say is kept in their cabinets: where the cabinet stands, what it weighs
and how it is reached. Words pick out what holds all of them.`,
		Example: `  sawbook where layouts/curlew.yaml
  sawbook where layouts/curlew.yaml water`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 0 {
				return nil
			}
			return usageError{errors.New("a batch or layout is needed\nhint: sawbook where layouts/curlew.yaml water")}
		},
		RunE: func(_ *cobra.Command, args []string) error { return c.doWhere(args[0], args[1:]) },
	}
	return c.withOptions(cmd)
}

func (c *call) doWhere(what string, words []string) error {
	_, b, err := c.load(what, c.options)
	if err != nil {
		return err
	}
	t := table.Where(batch.List(b), words...)
	switch {
	case c.json:
		return t.WriteJSON(c.out)
	case len(t.Rows) == 0:
		_, err = fmt.Fprintln(c.out, "nothing found")
		return err
	}
	return t.WriteText(c.out)
}
