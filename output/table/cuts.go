package table

import (
	"fmt"
	"strconv"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
)

// cutRow is a cut with all that it belongs to.
type cutRow struct {
	material *batch.Material
	pattern  *batch.Pattern
	of       string // what is cut
	*batch.Cut
}

// Cuts lists every cut of every pattern in its order, trims first.
func Cuts(job *batch.Job) *Table {
	var rows []cutRow
	for i := range job.Materials {
		m := &job.Materials[i]
		for k := range m.Patterns {
			p := &m.Patterns[k]
			for _, c := range trimCuts(p) {
				rows = append(rows, cutRow{m, p, "sheet", &c})
			}
			for n := range p.Cuts {
				rows = append(rows, cutRow{m, p, takes(p, n), &p.Cuts[n]})
			}
		}
	}
	return build(job.Batch.Shop, "cuts", "Cuts", rows,
		text("material", "Material", func(r cutRow) string { return r.material.Of.ID }),
		text("pattern", "Pattern", func(r cutRow) string { return r.material.Letter + strconv.Itoa(r.pattern.Number) }),
		count("times", "Times", func(r cutRow) int { return r.pattern.Times }),
		count("step", "Step", func(r cutRow) int { return r.Step }),
		count("stage", "Stage", func(r cutRow) int { return r.Stage }),
		text("cut", "Cut", cutRow.kind),
		text("of", "Of", func(r cutRow) string { return r.of }),
		length("set", "Set", func(r cutRow) measure.Length { return r.Setting }),
		length("from_length", "From length", func(r cutRow) measure.Length { return r.From.Length }),
		length("from_width", "From width", func(r cutRow) measure.Length { return r.From.Width }),
		text("frees", "Frees", func(r cutRow) string { return r.what(r.Frees) }),
		length("frees_length", "Length", func(r cutRow) measure.Length { return r.Frees.Length }),
		length("frees_width", "Width", func(r cutRow) measure.Length { return r.Frees.Width }),
		text("remains", "Remains", func(r cutRow) string { return r.what(r.Remains) }),
		length("remains_length", "Length", func(r cutRow) measure.Length { return r.Remains.Length }),
		length("remains_width", "Width", func(r cutRow) measure.Length { return r.Remains.Width }))
}

// trimCuts returns what comes off the factory edges as cuts of stage and step 0, each
// set to the trim, blade included.
func trimCuts(p *batch.Pattern) []batch.Cut {
	rest := batch.Area{Length: p.Sheet.Length, Width: p.Sheet.Width}
	var cuts []batch.Cut
	for side, trim := range p.Trim {
		if trim == 0 {
			continue
		}
		c := batch.Cut{Rip: side >= 2, Setting: trim, From: rest}
		switch side {
		case 0:
			rest.X, rest.Length = rest.X+trim, rest.Length-trim
		case 1:
			rest.Length -= trim
		case 2:
			rest.Y, rest.Width = rest.Y+trim, rest.Width-trim
		case 3:
			rest.Width -= trim
		}
		c.Remains = rest
		cuts = append(cuts, c)
	}
	return cuts
}

func (r cutRow) kind() string {
	kind := "crosscut"
	if r.Rip {
		kind = "rip"
	}
	if r.Stage == 0 {
		return "trim, " + kind
	}
	return kind
}

// what says what a piece of the pattern is.
func (r cutRow) what(a batch.Area) string {
	if r.Stage == 0 || a.Length == 0 || a.Width == 0 {
		return ""
	}
	return WhatIs(r.pattern, a)
}

// WhatIs names an area of a pattern's sheet: a part by its number, an offcut by its
// label, "waste", or "strip" for what is cut further.
func WhatIs(p *batch.Pattern, a batch.Area) string {
	for _, l := range p.Parts {
		if a == (batch.Area{X: l.X, Y: l.Y, Length: l.Length, Width: l.Width}) {
			return l.Piece.ID
		}
	}
	for _, o := range p.Offcuts {
		switch {
		case o.Area != a:
		case o.Keep:
			return "keep " + o.Label
		default:
			return "waste"
		}
	}
	return "strip"
}

// takes says which piece the n-th cut of a pattern divides: the sheet, the rest that is
// still on the saw, or a piece laid aside, called after the step that made it.
func takes(p *batch.Pattern, n int) string {
	from := p.Cuts[n].From
	if n > 0 && p.Cuts[n-1].Remains == from {
		return "rest"
	}
	for i := range p.Cuts[:n] {
		switch from {
		case p.Cuts[i].Frees:
			return fmt.Sprintf("strip %d", p.Cuts[i].Step)
		case p.Cuts[i].Remains:
			return fmt.Sprintf("rest of %d", p.Cuts[i].Step)
		}
	}
	return "sheet"
}

// Run is a row of cuts that share one setting: made one after another from what remains
// of the same piece, and freeing the same.
type Run struct {
	First, Last    int // steps
	Rip            bool
	Setting        measure.Length
	Of             string // the piece that the first cut divides
	Frees, Remains string
	Each           batch.Area // what one cut frees
	Rest           batch.Area // after the last cut
}

// Count returns how many cuts the run has.
func (r Run) Count() int { return r.Last - r.First + 1 }

// Steps prints the run's steps: "4" or "4-7".
func (r Run) Steps() string {
	if r.First == r.Last {
		return strconv.Itoa(r.First)
	}
	return fmt.Sprintf("%d-%d", r.First, r.Last)
}

// Runs gathers the cuts of a pattern into runs.
func Runs(p *batch.Pattern) []Run {
	var runs []Run
	for i := range p.Cuts {
		c := &p.Cuts[i]
		frees := WhatIs(p, c.Frees)
		if n := len(runs) - 1; n >= 0 && runs[n].goesOn(c, frees) {
			runs[n].Last, runs[n].Rest, runs[n].Remains = c.Step, c.Remains, remains(p, c)
			continue
		}
		runs = append(runs, Run{
			First: c.Step, Last: c.Step, Rip: c.Rip, Setting: c.Setting, Of: takes(p, i),
			Frees: frees, Each: c.Frees, Remains: remains(p, c), Rest: c.Remains,
		})
	}
	return runs
}

// goesOn reports whether c continues the run.
func (r Run) goesOn(c *batch.Cut, frees string) bool {
	return c.From == r.Rest && c.Rip == r.Rip && c.Setting == r.Setting && frees == r.Frees && c.Step == r.Last+1
}

func remains(p *batch.Pattern, c *batch.Cut) string {
	if c.Remains.Length == 0 || c.Remains.Width == 0 {
		return "nothing"
	}
	return WhatIs(p, c.Remains)
}
