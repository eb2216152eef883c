package table

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/output/internal/sample"
)

func printed(t *Table) [][]string {
	var rows [][]string
	for row := range t.Rows {
		var cells []string
		for i := range t.Columns {
			cells = append(cells, t.Print(row, i))
		}
		rows = append(rows, cells)
	}
	return rows
}

func TestCuts(t *testing.T) {
	want := [][]string{
		{"birch-12", "A1", "2", "2", "0", "0", "trim, crosscut", "sheet", "10", "1000", "600", "", "", "", "", "990", "600"},
		{"birch-12", "A1", "2", "2", "0", "0", "trim, crosscut", "sheet", "10", "990", "600", "", "", "", "", "980", "600"},
		{"birch-12", "A1", "2", "2", "0", "0", "trim, rip", "sheet", "10", "980", "600", "", "", "", "", "980", "590"},
		{"birch-12", "A1", "2", "2", "0", "0", "trim, rip", "sheet", "10", "980", "590", "", "", "", "", "980", "580"},
		{"birch-12", "A1", "2", "2", "1", "1", "rip", "sheet", "200", "980", "580", "strip", "980", "200", "strip", "980", "377"},
		{"birch-12", "A1", "2", "2", "2", "1", "rip", "rest", "200", "980", "377", "strip", "980", "200", "strip", "980", "174"},
		{"birch-12", "A1", "2", "2", "3", "1", "rip", "rest", "160", "980", "174", "strip", "980", "160", "waste", "980", "11"},
		{"birch-12", "A1", "2", "2", "4", "2", "crosscut", "strip 1", "500", "980", "200", "A-001", "500", "200", "waste", "477", "200"},
		{"birch-12", "A1", "2", "2", "5", "2", "crosscut", "strip 2", "500", "980", "200", "A-001", "500", "200", "waste", "477", "200"},
		{"birch-12", "A1", "2", "2", "6", "2", "crosscut", "strip 3", "470", "980", "160", "A-002", "470", "160", "waste", "507", "160"},
	}
	if diff := cmp.Diff(want, printed(Cuts(sample.Small(metric)))); diff != "" {
		t.Error(diff)
	}
}

// Cuts of one piece share a row, and so do the same cuts of pieces that are alike.
func TestCutRuns(t *testing.T) {
	job := sample.Small(metric)
	want := [][]string{
		{"trim", "sheet", "", "", "trim", "rest 980 × 580"},
		{"1-2", "sheet", "rip", "200", "2 of strip 980 × 200", "rest 980 × 174"},
		{"3", "rest", "rip", "160", "strip 980 × 160", "waste"},
		{"4-5", "strips 1-2", "crosscut", "500", "2 of A-001", "waste"},
		{"6", "strip 3", "crosscut", "470", "A-002", "waste"},
	}
	if diff := cmp.Diff(want, printed(CutRuns(job, &job.Materials[0].Patterns[0]))); diff != "" {
		t.Error(diff)
	}
}

// Every cut of a pattern is in one run, at that run's setting and way, and frees what
// the run says.
func TestRunsHoldEveryCut(t *testing.T) {
	for seed := range uint64(200) {
		o := sample.Metric(seed, 1+int(seed)%60)
		p := &sample.Job(o).Materials[0].Patterns[0]
		step := 0
		for _, r := range Runs(p) {
			if r.First != step+1 || r.Last < r.First {
				t.Fatalf("seed %d: steps %d-%d follow step %d", seed, r.First, r.Last, step)
			}
			for _, c := range p.Cuts[r.First-1 : r.Last] {
				if c.Setting != r.Setting || c.Rip != r.Rip || WhatIs(p, c.Frees) != r.Frees {
					t.Fatalf("seed %d: step %d is none of run %+v", seed, c.Step, r)
				}
			}
			step = r.Last
		}
		if step != len(p.Cuts) {
			t.Fatalf("seed %d: %d of %d cuts are in runs", seed, step, len(p.Cuts))
		}
	}
}

// Whoever follows the table finds the piece that each cut divides: on the saw, or laid
// aside by the step that is named.
func TestRunsNameThePieceDivided(t *testing.T) {
	for seed := range uint64(200) {
		p := &sample.Job(sample.Metric(seed, 1+int(seed)%60)).Materials[0].Patterns[0]
		trim := p.Trim
		onSaw := batch.Area{X: trim[0], Y: trim[2], Length: p.Sheet.Length - trim[0] - trim[1], Width: p.Sheet.Width - trim[2] - trim[3]}
		freed, rests := map[int]batch.Area{}, map[int]batch.Area{}
		for i := range p.Cuts {
			c := &p.Cuts[i]
			of := runOf(p, i).Of()
			var take batch.Area
			var step int
			switch n, _ := fmt.Sscanf(of, "strip %d", &step); {
			case n == 1:
				take = freed[step]
				delete(freed, step)
			case of == "sheet" && i == 0, of == "rest":
				take = onSaw
			default:
				if n, _ := fmt.Sscanf(of, "rest %d", &step); n == 1 {
					take = rests[step]
					delete(rests, step)
				}
			}
			if take != c.From {
				t.Fatalf("seed %d: step %d divides %v, the table says %s: %v", seed, c.Step, c.From, of, take)
			}
			freed[c.Step], rests[c.Step], onSaw = c.Frees, c.Remains, c.Remains
		}
	}
}

func TestRanges(t *testing.T) {
	for want, numbers := range map[string][]int{"": nil, "3": {3}, "3-4": {3, 4}, "1, 3, 5-7, 9": {1, 3, 5, 6, 7, 9}} {
		if got := Ranges(numbers); got != want {
			t.Errorf("Ranges(%v) = %q, want %q", numbers, got, want)
		}
	}
}

func TestUntrimmedSheetHasNoTrimRow(t *testing.T) {
	job := sample.Small(metric)
	job.Materials[0].Patterns[0].Trim = [4]measure.Length{}
	if rows := printed(CutRuns(job, &job.Materials[0].Patterns[0])); rows[0][0] != "1-2" {
		t.Errorf("the first row is %q", rows[0])
	}
}

// Strips that leave something else behind are no run, for the hand would lose a piece
// worth keeping.
func TestRunsKeepRemaindersApart(t *testing.T) {
	job := sample.Small(metric)
	p := &job.Materials[0].Patterns[0]
	p.Offcuts[2].Keep, p.Offcuts[2].Label = true, "A1-1" // of the second strip
	rows := printed(CutRuns(job, p))
	want := [][]string{
		{"4", "strip 1", "crosscut", "500", "A-001", "waste"},
		{"5", "strip 2", "crosscut", "500", "A-001", "keep A1-1"},
	}
	if diff := cmp.Diff(want, rows[3:5]); diff != "" {
		t.Error(diff)
	}
}
