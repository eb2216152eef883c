package main

import (
	"os"
	"path/filepath"

	"sawbook/cabinets/register"
	atsaw "sawbook/output/saw"

	"github.com/spf13/cobra"
)

func newSaw(c *call) *cobra.Command {
	cmd := c.withRelease(&cobra.Command{
		Use:   "saw BATCH [FOLDER]",
		Short: "put a batch that was cut on the page's saw view",
		Long: `saw puts the plan that was printed on the saw view of the page, where cuts and parts are ticked off, and parts that
are spoiled are planned anew. FOLDER is the folder that was printed; it is needed where stock has come or gone since it was
written. The plan and its shop file are kept in the register, so that the files may change while it is cut.`,
		Example: `  sawbook saw batches/spring.yaml
  sawbook saw batches/spring.yaml out/spring-0e09cbe8`,
		Args: arguments("the batch file, and the folder that was printed", "sawbook saw batches/spring.yaml", 1, 2),
		RunE: func(cmd *cobra.Command, args []string) error { return c.doSaw(cmd, args) },
	})
	c.registerFlags(cmd)
	return cmd
}

func (c *call) doSaw(cmd *cobra.Command, args []string) error {
	f, j, _, err := c.asCut(cmd, args)
	if err != nil {
		return err
	}
	text, err := os.ReadFile(filepath.Join(f.Root, "shop.yaml"))
	if err != nil {
		return err
	}
	o, err := c.search()
	if err != nil {
		return err
	}
	p, err := atsaw.Plan(j, string(text), o)
	if err != nil {
		return err
	}
	return within(f.Root, register.OpenOrCreate, func(r *register.Register) error {
		e, err := r.Start(c.by("cut"), p)
		if err != nil {
			return err
		}
		return c.tell("entry %d: %s is on the saw; sawbook page shows it under /saw.html\n", e.Sequence, p.Cutting)
	})
}
