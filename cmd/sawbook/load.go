package main

import (
	"sawbook/cabinets/batch"
	"sawbook/output/table"

	"github.com/spf13/cobra"
)

func newLoad(c *call) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "load WHAT",
		Short: "what each cabinet weighs, where, and what must hold it",
		Long: `load lists the mass of every cabinet with its hardware and contents, its centre, how it all falls
on the axles and on the left and right wheels, and the payload that is left, where the layout tells
of its vehicle. Where it names a rule for load restraint, the forces at each cabinet and each fixing
are listed too: they describe braking and cornering, not a crash.`,
		Example: `  sawbook load layouts/curlew.yaml
  sawbook load batches/spring.yaml --json`,
		Args: oneArgument("a batch, layout or cabinet", "sawbook load layouts/curlew.yaml"),
		RunE: func(_ *cobra.Command, args []string) error { return c.doLoad(args[0]) },
	}
	return c.withOptions(cmd)
}

func (c *call) doLoad(what string) error {
	_, b, err := c.load(what, c.options)
	if err != nil {
		return err
	}
	j := batch.List(b)
	if c.json {
		err = table.WriteLoadsJSON(c.out, j)
	} else {
		err = table.WriteLoads(c.out, j)
	}
	if err != nil {
		return err
	}
	return findings(j.Findings)
}
