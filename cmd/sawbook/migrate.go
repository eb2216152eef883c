package main

import (
	"fmt"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/migrate"
	"sawbook/cabinets/source"

	"github.com/spf13/cobra"
)

func newMigrate(c *call) *cobra.Command {
	return &cobra.Command{
		Use:   "migrate FOLDER",
		Short: "bring the files of an older shop to the form of today",
		Long: `migrate gives what has another name now that name, in the shop file, cabinets, layouts and batches of a shop's folder, and notes
the form of each file under its key sawbook. Comments and order stay. Either all files are changed or none; keep a copy anyway.`,
		Example: `  sawbook migrate .`,
		Args:    oneArgument("the shop's folder", "sawbook migrate ."),
		RunE:    func(_ *cobra.Command, args []string) error { return c.doMigrate(args[0]) },
	}
}

func (c *call) doMigrate(what string) error {
	if err := isFolder(what); err != nil {
		return err
	}
	root, err := batch.FindFolder(what)
	if err != nil {
		return err
	}
	faults := &source.Collector{}
	files := migrate.Plan(faults, root)
	if err := faults.Err(); err != nil {
		return err
	}
	if err := migrate.Write(files); err != nil {
		return err
	}
	for _, f := range files {
		for _, change := range f.Changes {
			if err := c.tell("%s: %s\n", f.Name, change); err != nil {
				return err
			}
		}
	}
	_, err = fmt.Fprintf(c.out, "%d files changed; all have form %d\n", len(files), source.Form)
	return err
}
