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
	leave    string // the track saw's allowance, printed
	*batch.Cut
}

// Cuts lists every cut of every pattern in its order, trims first.
func Cuts(job *batch.Job) *Table {
	var rows []cutRow
	for i := range job.Materials {
		m := &job.Materials[i]
		for _, p := range m.AllPatterns() {
			rows = append(rows, cutRows(m, p, job.Batch.Shop.Style)...)
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

// cutRows lists a pattern's cuts: first what comes off the edges of the sheet, or, where it
// is broken down, the track saw's cuts and then what comes off the edges of each piece.
func cutRows(m *batch.Material, p *batch.Pattern, style measure.Style) []cutRow {
	var rows []cutRow
	trued := trues(p)
	if len(trued) == 0 {
		sheet := batch.Area{Length: p.Sheet.Length, Width: p.Sheet.Width}
		rows = trimRows(m, p, whole(p), sheet, within(p))
	}
	for n := range p.Cuts {
		c := p.Made(p.Cuts[n])
		rows = append(rows, cutRow{m, p, runOf(p, n).Of(), style.WithUnit(p.Allowance), &c})
		if p.LastTrack(n) {
			for _, t := range trued {
				rows = append(rows, trimRows(m, p, t.Of(), p.Sawn(t.Rest), t.Rest)...)
			}
		}
	}
	return rows
}

// within returns what the trim leaves of a pattern's sheet.
func within(p *batch.Pattern) batch.Area {
	t, s := p.Trim, p.Sheet
	return batch.Area{X: t[0], Y: t[2], Length: s.Length - t[0] - t[1], Width: s.Width - t[2] - t[3]}
}

// trimRows lists what comes off the edges of a piece as cuts of stage and step 0.
func trimRows(m *batch.Material, p *batch.Pattern, of string, from, to batch.Area) []cutRow {
	var rows []cutRow
	for _, c := range trimCuts(from, to) {
		rows = append(rows, cutRow{material: m, pattern: p, of: of, Cut: &c})
	}
	return rows
}

// margins is what lies between a piece and one within it: left, right, bottom, top.
func margins(from, to batch.Area) [4]measure.Length {
	return [4]measure.Length{to.X - from.X, from.X + from.Length - to.X - to.Length, to.Y - from.Y, from.Y + from.Width - to.Y - to.Width}
}

// trimCuts returns what comes off the edges of a piece until another is left, as cuts of
// stage and step 0, each set to what comes off, blade included.
func trimCuts(from, to batch.Area) []batch.Cut {
	rest := from
	var cuts []batch.Cut
	for side, trim := range margins(from, to) {
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
	switch {
	case r.Track:
		return kind + ", track saw, leave " + r.leave
	case r.Stage == 0 && r.factory():
		return "trim, " + kind
	case r.Stage == 0:
		return "true, " + kind
	}
	return kind
}

// factory reports whether a trim comes off an edge of the sheet as it was bought.
func (r cutRow) factory() bool {
	for side, m := range margins(batch.Area{Length: r.pattern.Sheet.Length, Width: r.pattern.Sheet.Width}, r.From) {
		if m == 0 && margins(r.From, r.Remains)[side] > 0 {
			return true
		}
	}
	return false
}

// what says what a piece of the pattern is.
func (r cutRow) what(a batch.Area) string {
	if a.Length == 0 || a.Width == 0 {
		return ""
	}
	what := WhatIs(r.pattern, a)
	if r.Stage == 0 && what == "strip" {
		return ""
	}
	if r.Track {
		return sawn(r.pattern, a)
	}
	return what
}

// sawn names what the track saw makes: what carries no part is left as it is.
func sawn(p *batch.Pattern, made batch.Area) string {
	for _, a := range p.BrokenDown() {
		if p.Sawn(a) == made && (a == made || !carries(p, a)) {
			return WhatIs(p, a)
		}
	}
	return "strip"
}

// carries reports whether any part lies in an area of a pattern.
func carries(p *batch.Pattern, a batch.Area) bool {
	for _, l := range p.Parts {
		if l.X >= a.X && l.Y >= a.Y && l.X+l.Length <= a.X+a.Length && l.Y+l.Width <= a.Y+a.Width {
			return true
		}
	}
	return false
}

// trues lists how the pieces of a sheet that is broken down are trimmed and trued, as runs
// without steps, each with the piece that is left.
func trues(p *batch.Pattern) []Run {
	var runs []Run
	for i, a := range p.BrokenDown() {
		if !carries(p, a) {
			continue
		}
		r := Run{what: "strip", steps: []int{i + 1}, Remains: WhatIs(p, a), Rest: a, Off: margins(p.Sawn(a), a)}
		if i > 0 && p.Cuts[i-1].Remains == a {
			r.what, r.steps = "rest", []int{i}
		}
		runs = append(runs, r)
	}
	return runs
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
	switch {
	case p.Matched:
		return "matched strip"
	case p.Blank != nil:
		return "blank"
	}
	return "sheet"
}

// takes says which piece the n-th cut of a pattern divides: the sheet or blank, the rest that is
// still on the saw, or a piece laid aside, called after the step that made it.
func takes(p *batch.Pattern, n int) (what string, step int) {
	from := p.Cuts[n].From
	onSaw := n > 0 && p.Cuts[n].Track == p.Cuts[n-1].Track
	if onSaw && p.Cuts[n-1].Remains == from {
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
	Track          bool       // made with the track saw
	// Off is what comes off the edges of a piece that is trimmed and trued: left, right,
	// bottom, top. Nothing else happens in such a run.
	Off   [4]measure.Length
	what  string // of the pieces divided: "sheet", "blank", "strip" or "rest"
	steps []int  // that made them, none for what lies on the saw
}

// Count returns how many cuts the run has.
func (r Run) Count() int { return r.Last - r.First + 1 }

// Steps prints the run's steps: "4", "4-7", or "trim".
func (r Run) Steps() string {
	switch {
	case r.First == 0 && r.Off != [4]measure.Length{}:
		return "true"
	case r.First == 0:
		return "trim"
	case r.First == r.Last:
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
		if p.LastTrack(r.Last - 1) {
			runs = append(runs, trues(p)...)
		}
	}
	return runs
}

func runOf(p *batch.Pattern, i int) Run {
	c := p.Made(p.Cuts[i])
	r := Run{First: c.Step, Last: c.Step, Rip: c.Rip, Track: c.Track, Setting: c.Setting, Frees: WhatIs(p, c.Frees), Each: c.Frees, Remains: remains(p, &c), Rest: c.Remains}
	if c.Track {
		r.Frees = sawn(p, c.Frees)
	}
	what, step := takes(p, i)
	if r.what = what; step > 0 {
		r.steps = []int{step}
	}
	return r
}

// sameSetting reports whether s follows r at the same setting and frees the same.
func (r Run) sameSetting(s Run) bool {
	return r.Last+1 == s.First && !r.Track && !s.Track && r.Rip == s.Rip && r.Setting == s.Setting && r.Frees == s.Frees
}

// alike reports whether s does with another piece laid aside what r did with one.
func (r Run) alike(s Run) bool {
	return r.sameSetting(s) && r.Remains == s.Remains && r.what == s.what && len(r.steps) > 0 && len(s.steps) > 0
}

func remains(p *batch.Pattern, c *batch.Cut) string {
	if c.Remains.Length == 0 || c.Remains.Width == 0 {
		return "nothing"
	}
	what := WhatIs(p, c.Remains)
	if c.Track {
		what = sawn(p, c.Remains)
	}
	if what != "strip" {
		return what
	}
	return "rest"
}

// CutRuns lists the runs of cuts of one pattern, the trim first.
func CutRuns(job *batch.Job, p *batch.Pattern) *Table {
	style := job.Batch.Shop.Style
	freed := func(r Run) string {
		if r.Off != [4]measure.Length{} {
			return "off: " + OffWords(r.Off, style)
		}
		return r.Freed()
	}
	size := func(what string, a batch.Area) string { // of what has no name of its own
		if strings.HasSuffix(what, "strip") || what == "rest" {
			return what + " " + style.Format(a.Length) + " × " + style.Format(a.Width)
		}
		return what
	}
	return build(job.Batch.Shop, "cuts", "Cuts", AllRuns(p),
		text("step", "Cut", Run.Steps),
		text("of", "Of", Run.Of),
		text("cut", "", func(r Run) string {
			switch {
			case r.First == 0:
				return ""
			case r.Track && r.Rip:
				return "track saw, rip"
			case r.Track:
				return "track saw, crosscut"
			case r.Rip:
				return "rip"
			}
			return "crosscut"
		}),
		length("set", "Set", func(r Run) measure.Length { return r.Setting }),
		text("frees", "Frees", func(r Run) string { return size(freed(r), r.Each) }),
		text("remains", "Remains", func(r Run) string { return size(r.Remains, r.Rest) }))
}

// AllRuns lists the runs of cuts of a pattern, the trim first.
func AllRuns(p *batch.Pattern) []Run {
	if trimmed, wanted := trim(p); wanted {
		return append([]Run{trimmed}, Runs(p)...)
	}
	return Runs(p)
}

// OffWords says what comes off each edge.
func OffWords(off [4]measure.Length, style measure.Style) string {
	f := style.Format
	if off[0] == off[1] && off[1] == off[2] && off[2] == off[3] {
		return f(off[0]) + " all round"
	}
	return fmt.Sprintf("left %s, right %s, bottom %s, top %s", f(off[0]), f(off[1]), f(off[2]), f(off[3]))
}

// trim returns the trimming of all edges as a run without steps, and whether there is any.
func trim(p *batch.Pattern) (r Run, wanted bool) {
	if p.Trim == [4]measure.Length{} || len(p.BrokenDown()) > 0 {
		return Run{}, false
	}
	return Run{what: whole(p), Frees: "trim", Remains: "rest", Rest: within(p)}, true
}
