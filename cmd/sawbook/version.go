package main

import (
	"fmt"
	"runtime"
	"runtime/debug"

	"github.com/spf13/cobra"
)

func newVersion(c *call) *cobra.Command {
	return &cobra.Command{
		Use:     "version",
		Short:   "which sawbook this is",
		Long:    `version prints the version of the tool, the commit it was built from where that is known, and what it was built with.`,
		Example: `  sawbook version`,
		Args:    noArguments,
		RunE: func(*cobra.Command, []string) error {
			_, err := fmt.Fprintln(c.out, versionLine())
			return err
		},
	}
}

// versionLine tells the version as the build recorded it.
func versionLine() string {
	version, commit := "unreleased", ""
	if info, ok := debug.ReadBuildInfo(); ok {
		if v := info.Main.Version; v != "" && v != "(devel)" {
			version = v
		}
		for _, s := range info.Settings {
			if s.Key == "vcs.revision" {
				commit = ", commit " + s.Value
			}
		}
	}
	return fmt.Sprintf("sawbook %s%s, %s %s/%s", version, commit, runtime.Version(), runtime.GOOS, runtime.GOARCH)
}
