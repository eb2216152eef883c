package table

import (
	"fmt"
	"slices"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
)

// Visits lists the run by setting: where to set fence or stop, one stay after another, and what is cut
// there from which sheets.
func Visits(job *batch.Job) *Table {
	visits := batch.Visits(job)
	next := map[*batch.Cut]int{} // the visit that makes a cut
	for _, v := range visits {
		for _, c := range v.Cuts {
			next[c.Cut] = v.Number
		}
	}
	var rows []visitRow
	for _, v := range visits {
		for i := 0; i < len(v.Cuts); {
			first := i
			for i < len(v.Cuts) && v.Cuts[i].Pattern == v.Cuts[first].Pattern {
				i++
			}
			rows = append(rows, visitRow{v, v.Cuts[first:i], next})
		}
	}
	return build(job.Batch.Shop, "run", "Run by setting", rows,
		count("visit", "No.", func(r visitRow) int { return r.Number }),
		length("thickness", "Thick", func(r visitRow) measure.Length { return r.Thickness }),
		text("cut", "Cut", func(r visitRow) string {
			if r.Rip {
				return "rip"
			}
			return "crosscut"
		}),
		length("set", "Set", func(r visitRow) measure.Length { return r.Set }),
		text("of", "Of", func(r visitRow) string {
			name := r.cuts[0].Material.NameOf(r.cuts[0].Pattern)
			if n := r.cuts[0].Pattern.Times; n > 1 {
				name += fmt.Sprintf(" × %d", n)
			}
			return name
		}),
		text("steps", "Cuts", visitRow.steps),
		text("frees", "Frees", visitRow.frees),
		count("made", "Passes", func(r visitRow) int {
			return len(r.cuts) * r.cuts[0].Pattern.Runs(r.cuts[0].Material.Saw.Stack)
		}))
}

// visitRow is what a visit cuts of one pattern.
type visitRow struct {
	batch.Visit
	cuts []batch.SettingCut
	next map[*batch.Cut]int
}

func (r visitRow) steps() string {
	var steps []int
	for _, c := range r.cuts {
		steps = append(steps, c.Step)
	}
	slices.Sort(steps)
	return Ranges(steps)
}

// frees names what the cuts free: parts, offcuts, or strips and the visit that cuts them on.
func (r visitRow) frees() string {
	var words []string
	for _, c := range r.cuts {
		what := WhatIs(c.Pattern, c.Frees)
		if what == "strip" {
			what = fmt.Sprintf("strip for no. %d", r.cutOn(c))
		}
		words = append(words, what)
	}
	return counted(words)
}

// cutOn returns the first visit that cuts what a cut frees.
func (r visitRow) cutOn(c batch.SettingCut) (visit int) {
	for i := range c.Pattern.Cuts {
		d := &c.Pattern.Cuts[i]
		if d.From == c.Frees && (visit == 0 || r.next[d] < visit) {
			visit = r.next[d]
		}
	}
	return visit
}
