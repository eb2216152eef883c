package main

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"
)

//go:embed starter
var starter embed.FS

func newNew(c *call) *cobra.Command {
	return &cobra.Command{
		Use:   "new FOLDER",
		Short: "a starter shop: a shop file, a cabinet, a layout and a batch",
		Long: `new writes a small shop to a folder that is not there or is empty: shop.yaml with what a shop buys and
owns, a cabinet of its own, a layout with an option, and a batch. It can be cut at once; the sizes and
prices in it are examples.`,
		Example: `  sawbook new shop`,
		Args:    oneArgument("the folder", "sawbook new shop"),
		RunE:    func(_ *cobra.Command, args []string) error { return c.doNew(args[0]) },
	}
}

func (c *call) doNew(folder string) error {
	entries, err := os.ReadDir(folder)
	switch {
	case err == nil && len(entries) > 0:
		return fmt.Errorf("%s is not empty, and nothing was written\nhint: name a folder that is not there yet", folder)
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("%w\nhint: name a folder that is not there yet", err)
	}
	files, err := fs.Sub(starter, "starter")
	if err != nil {
		return err
	}
	if err := os.CopyFS(folder, files); err != nil {
		return fmt.Errorf("%w\nhint: the folder %s may be incomplete: delete it and try again", err, folder)
	}
	batch := filepath.Join(folder, "batches", "first.yaml")
	_, err = fmt.Fprintf(c.out, "written to %s; go on with: sawbook cut %s\n", folder, filepath.ToSlash(batch))
	return err
}
