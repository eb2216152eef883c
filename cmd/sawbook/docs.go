package main

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"time"

	"sawbook/output/folder"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"
)

func newDocs(c *call) *cobra.Command {
	return &cobra.Command{
		Use:   "docs FOLDER",
		Short: "manual pages, and what completes commands in a shell",
		Long: `docs writes a folder that is not there yet: man holds a manual page for each command, completion what bash, zsh, fish
and PowerShell complete commands and flags by. For the shell at hand alone, see sawbook completion.`,
		Example: `  sawbook docs manual`,
		Args:    oneArgument("the folder", "sawbook docs manual"),
		RunE:    func(cmd *cobra.Command, args []string) error { return c.doDocs(cmd.Root(), args[0]) },
	}
}

func (c *call) doDocs(root *cobra.Command, path string) error {
	path = filepath.Clean(path)
	written, fresh, err := folder.Write(filepath.Dir(path), filepath.Base(path), func(create folder.Create) error {
		if err := writeManual(root, create); err != nil {
			return err
		}
		return writeCompletion(root, create)
	})
	switch {
	case err != nil:
		return fmt.Errorf("nothing was written: %w", err)
	case !fresh:
		return fmt.Errorf("%s is there already, and nothing was written\nhint: name a folder that is not there yet", written)
	}
	return c.tell("written to %s\n", written)
}

// writeManual writes a page for each command, dated by the release: the same tool, the same bytes.
func writeManual(root *cobra.Command, create folder.Create) error {
	date, err := time.Parse(time.DateOnly, releaseDate)
	if err != nil {
		return err
	}
	for _, cmd := range append(allCommands(root), root) {
		name := "man/" + strings.ReplaceAll(cmd.CommandPath(), " ", "-") + ".1"
		header := &doc.GenManHeader{Section: "1", Date: &date, Source: "sawbook " + release, Manual: "sawbook"}
		cmd.DisableAutoGenTag = true
		if err := create(name, func(w io.Writer) error { return doc.GenMan(cmd, header, w) }); err != nil {
			return err
		}
	}
	return nil
}

// allCommands returns the commands below one, at all levels.
func allCommands(of *cobra.Command) []*cobra.Command {
	var all []*cobra.Command
	for _, cmd := range of.Commands() {
		if cmd.IsAvailableCommand() {
			all = append(append(all, cmd), allCommands(cmd)...)
		}
	}
	return all
}

func writeCompletion(root *cobra.Command, create folder.Create) error {
	for name, write := range map[string]func(io.Writer) error{
		"sawbook.bash": func(w io.Writer) error { return root.GenBashCompletionV2(w, true) },
		"_sawbook":     root.GenZshCompletion,
		"sawbook.fish": func(w io.Writer) error { return root.GenFishCompletion(w, true) },
		"sawbook.ps1":  root.GenPowerShellCompletionWithDesc,
	} {
		if err := create("completion/"+name, write); err != nil {
			return err
		}
	}
	return nil
}
