package table

import (
	"fmt"
	"strconv"
	"strings"

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
		for _, p := range m.AllPatterns() {
			for _, c := range trimCuts(p) {
				rows = append(rows, cutRow{m, p, whole(p), &c})
			}
			for n := range p.Cuts {
				rows = append(rows, cutRow{m, p, runOf(p, n).Of(), &p.Cuts[n]})
			}
		}
	}
	return build(job.Batch.Shop, "cuts", "Cuts", rows,
		text("material", "Material", func(r cutRow) string { return r.material.Of.ID }),
		text("pattern", "Pattern", func(r cutRow) string { return r.material.NameOf(r.pattern) }),
		count("times", "Times", func(r cutRow) int { return r.pattern.Times }),
		count("runs", "Runs", func(r cutRow) int { return r.pattern.Runs(r.material.Saw.Stack) }),
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

// whole says what a pattern cuts up.
func whole(p *batch.Pattern) string {
	if p.Blank != nil {
		return "blank"
	}
	return "sheet"
}

// takes says which piece the n-th cut of a pattern divides: the sheet or blank, the rest that is
// still on the saw, or a piece laid aside, called after the step that made it.
func takes(p *batch.Pattern, n int) (what string, step int) {
	from := p.Cuts[n].From
	if n > 0 && p.Cuts[n-1].Remains == from {
		return "rest", 0
	}
	for i := range p.Cuts[:n] {
		switch from {
		case p.Cuts[i].Frees:
			return "strip", p.Cuts[i].Step
		case p.Cuts[i].Remains:
			return "rest", p.Cuts[i].Step
		}
	}
	return whole(p), 0
}

// Run is a row of cuts that share one setting: made one after another, and freeing the
// same.
type Run struct {
	First, Last    int // steps
	Rip            bool
	Setting        measure.Length
	Frees, Remains string
	Each           batch.Area // what one cut frees
	Rest           batch.Area // after the last cut
	what           string     // of the pieces divided: "sheet", "blank", "strip" or "rest"
	steps          []int      // that made them, none for what lies on the saw
}

// Count returns how many cuts the run has.
func (r Run) Count() int { return r.Last - r.First + 1 }

// Steps prints the run's steps: "4", "4-7", or "trim".
func (r Run) Steps() string {
	switch r.First {
	case 0:
		return "trim"
	case r.Last:
		return strconv.Itoa(r.First)
	}
	return fmt.Sprintf("%d-%d", r.First, r.Last)
}

// Of says what the run divides: "sheet", "rest", "strip 4", "strips 4-6, 9".
func (r Run) Of() string {
	switch len(r.steps) {
	case 0:
		return r.what
	case 1:
		return fmt.Sprintf("%s %d", r.what, r.steps[0])
	}
	return r.what + "s " + Ranges(r.steps)
}

// OnSaw reports whether the run divides what lies on the saw already.
func (r Run) OnSaw() bool { return len(r.steps) == 0 }

// OfStep is Of in short: a strip is called by the cut that freed it.
func (r Run) OfStep() string {
	if r.what == "strip" {
		return "cut " + Ranges(r.steps)
	}
	return r.Of()
}

// Ranges prints rising numbers: "3, 5-7".
func Ranges(numbers []int) string {
	words := ""
	for i := 0; i < len(numbers); {
		k := i
		for k+1 < len(numbers) && numbers[k+1] == numbers[k]+1 {
			k++
		}
		if words != "" {
			words += ", "
		}
		words += strconv.Itoa(numbers[i])
		if k > i {
			words += "-" + strconv.Itoa(numbers[k])
		}
		i = k + 1
	}
	return words
}

// Freed says what the run frees, and how many.
func (r Run) Freed() string {
	if n := r.Count(); n > 1 {
		return fmt.Sprintf("%d of %s", n, r.Frees)
	}
	return r.Frees
}

// Runs gathers the cuts of a pattern into runs: cuts of one piece first, then of pieces
// that are alike.
func Runs(p *batch.Pattern) []Run {
	var single []Run
	for i := range p.Cuts {
		r := runOf(p, i)
		if n := len(single) - 1; n >= 0 && r.what == "rest" && r.steps == nil && single[n].sameSetting(r) {
			single[n].Last, single[n].Rest, single[n].Remains = r.Last, r.Rest, r.Remains
			continue
		}
		single = append(single, r)
	}
	var runs []Run
	for _, r := range single {
		if n := len(runs) - 1; n >= 0 && runs[n].alike(r) {
			runs[n].Last, runs[n].steps = r.Last, append(runs[n].steps, r.steps...)
			continue
		}
		runs = append(runs, r)
	}
	return runs
}

func runOf(p *batch.Pattern, i int) Run {
	c := &p.Cuts[i]
	r := Run{First: c.Step, Last: c.Step, Rip: c.Rip, Setting: c.Setting, Frees: WhatIs(p, c.Frees), Each: c.Frees, Remains: remains(p, c), Rest: c.Remains}
	what, step := takes(p, i)
	if r.what = what; step > 0 {
		r.steps = []int{step}
	}
	return r
}

// sameSetting reports whether s follows r at the same setting and frees the same.
func (r Run) sameSetting(s Run) bool {
	return r.Last+1 == s.First && r.Rip == s.Rip && r.Setting == s.Setting && r.Frees == s.Frees
}

// alike reports whether s does with another piece laid aside what r did with one.
func (r Run) alike(s Run) bool {
	return r.sameSetting(s) && r.Remains == s.Remains && r.what == s.what && len(r.steps) > 0 && len(s.steps) > 0
}

func remains(p *batch.Pattern, c *batch.Cut) string {
	if c.Remains.Length == 0 || c.Remains.Width == 0 {
		return "nothing"
	}
	if what := WhatIs(p, c.Remains); what != "strip" {
		return what
	}
	return "rest"
}

// CutRuns lists the runs of cuts of one pattern, the trim first.
func CutRuns(job *batch.Job, p *batch.Pattern) *Table {
	style := job.Batch.Shop.Style
	size := func(what string, a batch.Area) string { // of what has no name of its own
		if strings.HasSuffix(what, "strip") || what == "rest" {
			return what + " " + style.Format(a.Length) + " × " + style.Format(a.Width)
		}
		return what
	}
	var rows []Run
	if trimmed, wanted := trim(p); wanted {
		rows = append(rows, trimmed)
	}
	return build(job.Batch.Shop, "cuts", "Cuts", append(rows, Runs(p)...),
		text("step", "Cut", Run.Steps),
		text("of", "Of", Run.Of),
		text("cut", "", func(r Run) string {
			switch {
			case r.First == 0:
				return ""
			case r.Rip:
				return "rip"
			}
			return "crosscut"
		}),
		length("set", "Set", func(r Run) measure.Length { return r.Setting }),
		text("frees", "Frees", func(r Run) string { return size(r.Freed(), r.Each) }),
		text("remains", "Remains", func(r Run) string { return size(r.Remains, r.Rest) }))
}

// trim returns the trimming of all edges as a run without steps, and whether there is any.
func trim(p *batch.Pattern) (r Run, wanted bool) {
	cuts := trimCuts(p)
	if len(cuts) == 0 {
		return Run{}, false
	}
	return Run{what: whole(p), Frees: "trim", Remains: "rest", Rest: cuts[len(cuts)-1].Remains}, true
}
