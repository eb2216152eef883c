package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
	"sawbook/nest"

	"github.com/spf13/cobra"
)

// Exit codes.
const (
	exitDone     = 0
	exitInput    = 1 // the input is at fault
	exitUsage    = 2 // the call is wrong
	exitFindings = 3 // there are findings of level error
)

// errFindings ends a run whose output is complete but holds findings of level error.
var errFindings = errors.New("findings of level error")

// usageError is a call that makes no sense.
type usageError struct{ error }

// run runs one command and returns its exit code.
func run(ctx context.Context, args []string, in io.Reader, out, errs io.Writer) int {
	root := newRoot(&call{in: in, out: out, errs: errs, now: time.Now})
	root.SetArgs(args)
	root.SetIn(in)
	root.SetOut(out)
	root.SetErr(errs)
	err := root.ExecuteContext(ctx)
	printError(errs, err)
	return exitCode(err)
}

func exitCode(err error) int {
	var usage usageError
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errFindings):
		return exitFindings
	case errors.As(err, &usage):
		return exitUsage
	}
	return exitInput
}

func printError(w io.Writer, err error) {
	var faults source.Faults
	switch {
	case err == nil || errors.Is(err, errFindings):
	case errors.As(err, &faults):
		for _, text := range faults.Texts() {
			fmt.Fprintf(w, "sawbook: %s\n", text)
		}
	default:
		for line := range strings.Lines(err.Error() + "\n") {
			if !strings.HasPrefix(line, "hint: ") {
				line = "sawbook: " + line
			}
			fmt.Fprint(w, line)
		}
	}
}

// call holds what every subcommand shares: streams and flags.
type call struct {
	in        io.Reader
	out, errs io.Writer

	units, effort string
	folder        string // --out
	json, binders bool
	seed          uint64
	explain       func(material string, m nest.Moment)
	options       []string
	register      registerFlags
	now           func() time.Time
	labelsFrom    int
}

func newRoot(c *call) *cobra.Command {
	root := &cobra.Command{
		Use:   "sawbook",
		Short: "from cabinet designs to cut sheets",
		Long: `sawbook takes a small shop from cabinet designs to cut sheets: parts, edges and felt,
plans on sheets with every cut in order, hardware, mass and cost.

WHAT is a batch, layout or cabinet file, or the name of a cabinet.

Exit codes: 0 done, 1 the input is at fault, 2 the call is wrong, 3 findings of level error.`,
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          noArguments,
		RunE:          func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	root.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error {
		text, _, _ := strings.Cut(err.Error(), ": strconv.") // what Go calls it helps nobody
		return usageError{fmt.Errorf("%s\nhint: %s --help", text, cmd.CommandPath())}
	})
	flags := root.PersistentFlags()
	flags.StringVar(&c.units, "units", "", "print lengths in mm or in (default: the shop's unit)")
	flags.StringVar(&c.effort, "effort", "normal", "how long to look for better plans: quick, normal or thorough")
	flags.StringVar(&c.folder, "out", "out", "folder that results are written to")
	flags.BoolVar(&c.json, "json", false, "print JSON")
	flags.Uint64Var(&c.seed, "seed", 0, "seed of the search; the same seed gives the same plan")
	for flag, words := range map[string][]string{"units": {"mm", "in"}, "effort": {"quick", "normal", "thorough"}} {
		if err := root.RegisterFlagCompletionFunc(flag, cobra.FixedCompletions(words, cobra.ShellCompDirectiveNoFileComp)); err != nil {
			panic(err) // there is no such flag
		}
	}
	root.AddCommand(newCut(c), newParts(c), newPrice(c), newQuote(c), newTry(c), newCompare(c), newLoad(c), newAlike(c), newWhere(c), newCheck(c), newNest(c), newStock(c), newBuild(c), newSaw(c), newPage(c), newNew(c), newMigrate(c), newDocs(c), newVersion(c))
	return root
}

// withOptions adds the flag that chooses a layout's options.
func (c *call) withOptions(cmd *cobra.Command) *cobra.Command {
	cmd.Flags().StringSliceVar(&c.options, "option", nil, "choose an option of the layout (repeatable)")
	return cmd
}

func noArguments(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	if cmd.Runnable() && !cmd.HasSubCommands() {
		return usageError{fmt.Errorf("%q is not wanted here\nhint: %s", args[0], cmd.CommandPath())}
	}
	var known []string
	for _, sub := range cmd.Commands() {
		known = append(known, sub.Name())
	}
	hint := cmd.CommandPath() + " --help lists the commands"
	if near := source.Nearest(args[0], known); near != "" {
		hint = "did you mean " + near + "?"
	}
	return usageError{fmt.Errorf("there is no command %q\nhint: %s", args[0], hint)}
}

// oneArgument wants the argument that a command is about.
func oneArgument(what, hint string) cobra.PositionalArgs {
	return func(_ *cobra.Command, args []string) error {
		if len(args) == 1 {
			return nil
		}
		return usageError{fmt.Errorf("%d arguments where one is needed: %s\nhint: %s", len(args), what, hint)}
	}
}

// style returns how lengths are printed: as --units says, else as the shop does.
func (c *call) style(shops measure.Style) (measure.Style, error) {
	switch c.units {
	case "":
	case "mm":
		shops.Unit = measure.Millimetres
	case "in":
		shops.Unit = measure.Inches
	default:
		return shops, usageError{fmt.Errorf("unit %q is none of mm and in\nhint: --units in", c.units)}
	}
	if shops.Denominator == 0 {
		shops.Denominator = 32
	}
	return shops, nil
}

// search returns how plans are looked for.
func (c *call) search() (batch.Options, error) {
	efforts := map[string]nest.Effort{"quick": nest.Quick, "normal": nest.Normal, "thorough": nest.Thorough}
	effort, ok := efforts[c.effort]
	if !ok {
		return batch.Options{}, usageError{fmt.Errorf("effort %q is none of quick, normal and thorough\nhint: --effort quick", c.effort)}
	}
	return batch.Options{Effort: effort, Seed: c.seed}, nil
}
