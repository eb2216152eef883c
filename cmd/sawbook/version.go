package main

import (
	_ "embed"
	"fmt"
	"runtime"
	"runtime/debug"
	"strings"

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

//go:embed release.txt
var releaseText string

// release and releaseDate are the last version of CHANGELOG.md and its day.
var release, releaseDate, _ = strings.Cut(strings.TrimSpace(releaseText), " ")

// versionLine tells the release, and the commit where the build recorded it.
func versionLine() string {
	commit := ""
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, s := range info.Settings {
			if s.Key == "vcs.revision" {
				commit = ", commit " + s.Value
			}
		}
	}
	return fmt.Sprintf("sawbook %s%s, %s %s/%s", release, commit, runtime.Version(), runtime.GOOS, runtime.GOARCH)
}
