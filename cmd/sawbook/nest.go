package main

import (
	"os"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"

	"github.com/spf13/cobra"
)

// saw holds the flags of nest that a shop file gives elsewhere.
type saw struct {
	sheets            []string
	kerf, trim, first string
	stages            string
	keep, smallest    string
	explain           bool
	profile           string // a file, or ""
}

func newNest(c *call) *cobra.Command {
	var s saw
	cmd := &cobra.Command{
		Use:   "nest LIST.csv",
		Short: "a plain part list on sheets",
		Long: `nest lays the parts of a CSV file (part,length,width,count,grain) on sheets, without
cabinets. grain is length (the part's length lies along the sheet's), width (across it) or
any (it may be turned). Bare numbers are in mm, or in inches with --units in. LIST.csv may
be - for standard input. With --json the plan goes to standard output and no folder is
written.`,
		Example: `  sawbook nest list.csv --sheet 2500x1250@74 --kerf 3.2 --trim 10
  sawbook nest list.csv --sheet 2500x1250 --effort thorough --explain
  sawbook nest - --sheet 96x48 --sheet 60x60 --kerf 1/8 --units in --stages 2 --json < list.csv`,
		Args: oneArgument("the part list, or - for standard input", "sawbook nest list.csv --sheet 2500x1250"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return profiled(s.profile, func() error { return c.doNest(cmd, args[0], s) })
		},
	}
	flags := cmd.Flags()
	flags.BoolVar(&s.explain, "explain", false, "tell on standard error how plan and bound closed over the run")
	flags.StringVar(&s.profile, "cpuprofile", "", "write a profile of where the time went, for go tool pprof")
	flags.StringArrayVar(&s.sheets, "sheet", nil, "a sheet, length x width, and its price: 2500x1250@74 (repeatable)")
	flags.StringVar(&s.kerf, "kerf", "0", "width of the blade's cut")
	flags.StringVar(&s.trim, "trim", "0", "what comes off each factory edge, blade included")
	flags.StringVar(&s.stages, "stages", "any", "most stages of a pattern, or any")
	flags.StringVar(&s.first, "first", "either", "direction of the first stage: rip, crosscut or either")
	flags.StringVar(&s.keep, "keep", "", "smallest offcut worth keeping, length x width")
	flags.StringVar(&s.smallest, "smallest", "", "smallest part, length x width; smaller ones come from blanks")
	return cmd
}

func (c *call) doNest(cmd *cobra.Command, list string, flags saw) error {
	s, err := c.plainShop(flags)
	if err != nil {
		return err
	}
	b, err := c.readList(list, s)
	if err != nil {
		return err
	}
	if flags.explain {
		c.explain = explainTo(c.errs)
	}
	j, err := c.work(cmd.Context(), b)
	if err != nil {
		return err
	}
	if c.json && !cmd.Flags().Changed("out") {
		if _, err := c.out.Write(j.Written); err != nil {
			return err
		}
		return findings(j.Findings)
	}
	path, err := c.write(j)
	if err != nil {
		return err
	}
	return c.report(j, path)
}

func (c *call) readList(list string, s *shop.Shop) (*batch.Batch, error) {
	faults := &source.Collector{}
	in, name := c.in, "standard input"
	if list != "-" {
		f, err := os.Open(list)
		if err != nil {
			return nil, err
		}
		defer f.Close()
		in, name = f, list
	}
	b := batch.ReadList(faults, name, in, s)
	if list == "-" {
		b.Name = "list"
	}
	return b, faults.Err()
}

// plainShop is the shop that the flags of nest describe: one material on one saw.
func (c *call) plainShop(flags saw) (*shop.Shop, error) {
	style, err := c.style(measure.Style{Denominator: 32})
	if err != nil {
		return nil, err
	}
	p := flagParser{unit: style.Unit}
	out := &shop.Shop{Name: "plain list", Currency: "EUR", Unit: style.Unit, Style: style}
	out.Saw.Kerf = p.length("kerf", flags.kerf)
	trim := p.length("trim", flags.trim)
	out.Saw.Left, out.Saw.Right, out.Saw.Bottom, out.Saw.Top = trim, trim, trim, trim
	out.Saw.Stages, out.Saw.First = p.stages(flags.stages), p.first(flags.first)
	if flags.keep != "" {
		out.Saw.KeepLong, out.Saw.KeepShort = p.size("keep", flags.keep)
	}
	if flags.smallest != "" {
		a, b := p.size("smallest", flags.smallest)
		out.Saw.LeastLength, out.Saw.LeastWidth = max(a, b), min(a, b)
	}
	m := &shop.Material{ID: "sheet", Name: "Sheet", Grain: true, GoodFaces: 2}
	for _, text := range flags.sheets {
		sheet := p.sheet(text)
		if sheet.Length > 0 && sheet.Width > 0 && 2*trim >= min(sheet.Length, sheet.Width) {
			p.wrong("trim", flags.trim, "trims leave nothing of the sheet "+text, "give what comes off one edge")
		}
		m.Sheets = append(m.Sheets, sheet)
	}
	if len(flags.sheets) == 0 {
		p.wrong("sheet", "", "no sheet is given", "--sheet 2500x1250")
	}
	out.Materials = []*shop.Material{m}
	return out, p.err()
}
