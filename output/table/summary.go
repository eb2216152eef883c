package table

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strings"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/shop"
)

// WriteSummary prints what a job came to, for a terminal: a line a material, tapes,
// hardware, mass and total, and the findings.
func WriteSummary(w io.Writer, job *batch.Job) error {
	out := bufio.NewWriter(w)
	for _, line := range summary(job) {
		fmt.Fprintln(out, line)
	}
	for i, f := range gravestFirst(job.Findings) {
		if i == 0 {
			fmt.Fprintln(out)
		}
		fmt.Fprintf(out, "%s: %s: %s\n", f.Level, f.Where, f.Text)
		if f.Do != "" {
			fmt.Fprintf(out, "hint: %s\n", f.Do)
		}
	}
	return out.Flush()
}

// boughtBy is what is bought of something that is measured in metres or litres.
var boughtBy = map[string]string{batch.GroupBand: "roll", batch.GroupLipping: "length", batch.GroupSealer: "tin", batch.GroupAdhesive: "tin", batch.GroupFinish: "tin", batch.GroupFelt: "roll"}

// summary tells what a job came to: a line a material, then tapes, hardware, and all.
func summary(job *batch.Job) []string {
	e, currency := &job.Estimate, job.Batch.Shop.Currency
	var lines []string
	for _, u := range e.Sheets {
		lines = append(lines, fmt.Sprintf("%s: %s, %s, %s %% waste, %s %s", u.Material.ID,
			plural(u.Sheets, "sheet"), proof(u), decimal(100*u.Waste(), 1), Amount(u.Cost), currency))
	}
	for i := range job.Materials {
		if m := &job.Materials[i]; m.Of.Press != nil && !m.Of.Press.Sheets {
			lines = append(lines, fmt.Sprintf("%s: %s pressed from %s, %s and %s", m.Of.ID, plural(m.BlankCount(), "blank"),
				m.Of.Press.Core.ID, m.Of.Press.Face.ID, m.Of.Press.Back.ID))
		}
	}
	var hardware shop.Money
	for _, l := range e.Lines {
		if pack := boughtBy[l.Group]; pack != "" {
			lines = append(lines, fmt.Sprintf("%s: %s %s, %s, %s %s", l.Name, decimal(l.Need, 1), l.Unit, plural(l.Buy, pack), Amount(l.Cost), currency))
		} else if l.Group == batch.GroupHardware {
			hardware += l.Cost
		}
	}
	if hardware != 0 {
		lines = append(lines, fmt.Sprintf("hardware: %s %s", Amount(hardware), currency))
	}
	mass := ""
	if e.Mass > 0 { // that of a plain list is not known
		mass = decimal(e.Mass, 1) + " kg, "
	}
	parts := plural(partCount(job), "part")
	if n := unplaced(job); n > 0 {
		parts += fmt.Sprintf(" (%d on no sheet)", n)
	}
	lines = append(lines, fmt.Sprintf("in all: %s, %s%s %s", parts, mass, Amount(e.Total), currency))
	return append(lines, heldWords(job)...)
}

// unplaced returns the number of parts that are on no sheet, every copy counted.
func unplaced(job *batch.Job) (n int) {
	for i := range job.Materials {
		n += job.Materials[i].Unplaced()
	}
	return n
}

// proof says how near to the least possible a material's sheets are, and by which method
// that is proven: by their number, or, where dear and cheap sheets are mixed, by cost.
func proof(u batch.SheetUse) string {
	if u.Sheets == u.Bound || len(u.Material.Sheets) == 1 || u.Least == 0 {
		return fmt.Sprintf("at least %d needed (%s)", u.Bound, u.Method)
	}
	if u.Cost == u.Least {
		return fmt.Sprintf("at the least possible cost (%s)", u.Method)
	}
	return fmt.Sprintf("cost within %s %% of the least possible (%s)", decimal(roundUp(100*float64(u.Cost-u.Least)/float64(u.Least)), 1), u.Method)
}

// roundUp rounds up to a tenth, so that what is said holds.
func roundUp(x float64) float64 { return math.Ceil(float64(10*x)) / 10 }

// Figure is a number and what it counts.
type Figure struct{ Number, Words string }

// Figures are the numbers that a job comes down to: of pieces that nobody has planned, those that rest on no plan.
func Figures(job *batch.Job) []Figure {
	var figures []Figure
	planned := len(job.Materials) > 0 || len(job.Pieces) == 0
	if planned {
		figures = sheetFigures(&job.Estimate)
	}
	figures = append(figures, figure(partCount(job), "part"))
	if n := len(job.Batch.Vehicles); n > 0 {
		figures = append(figures, figure(n, "vehicle"))
	}
	if planned {
		figures = append(figures, Figure{decimal(job.Estimate.Mass, 1), "kg"}, Figure{Amount(job.Estimate.Total), job.Batch.Shop.Currency})
	} else if mass := vehicleMass(job.Batch); mass > 0 {
		figures = append(figures, Figure{decimal(mass, 1), "kg"})
	}
	for _, level := range []cabinets.Level{cabinets.LevelError, cabinets.LevelWarning} {
		n := 0
		for _, f := range job.Findings {
			if f.Level == level {
				n++
			}
		}
		if n > 0 {
			figures = append(figures, figure(n, string(level)))
		}
	}
	return figures
}

// sheetFigures are how many sheets there are, and how much of them is waste.
func sheetFigures(e *batch.Estimate) []Figure {
	bound, waste, area := 0, 0.0, 0.0
	for _, u := range e.Sheets {
		bound += u.Bound
		waste += float64(u.Waste() * u.Area)
		area += u.Area
	}
	figures := []Figure{{fmt.Sprint(sheetCount(e)), fmt.Sprintf("sheets, at least %d needed", bound)}}
	if area > 0 {
		figures = append(figures, Figure{decimal(100*waste/area, 1) + " %", "waste"})
	}
	return figures
}

// vehicleMass is that of all that is built into the vehicles, in kg.
func vehicleMass(b *batch.Batch) (mass float64) {
	for _, v := range b.Vehicles {
		if v.Interior != nil {
			mass += v.Interior.Mass()
		}
	}
	return mass
}

// figure is a number of things.
func figure(n int, word string) Figure {
	number, words, _ := strings.Cut(plural(n, word), " ")
	return Figure{number, words}
}

// partCount returns the number of parts, every copy counted.
func partCount(job *batch.Job) (n int) {
	for _, p := range job.Pieces {
		n += p.Count
	}
	return n
}

func plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}

// figures are the sums of a job as JSON.
type figures struct {
	Batch    string      `json:"batch"`
	Digest   string      `json:"digest"`
	Folder   string      `json:"folder,omitempty"`
	Parts    int         `json:"parts"`
	MassKG   json.Number `json:"mass_kg"`
	Currency string      `json:"currency"`
	Total    json.Number `json:"total"`
	Sheets   rows        `json:"sheets"`
	Findings rows        `json:"findings"`
}

func figuresOf(job *batch.Job) figures {
	return figures{
		Batch: job.Batch.Name, Digest: job.Digest, Parts: partCount(job), MassKG: json.Number(decimal(job.Estimate.Mass, 1)),
		Currency: job.Batch.Shop.Currency, Total: json.Number(Amount(job.Estimate.Total)),
		Sheets: rowsOf(Sheets(job)), Findings: rowsOf(Findings(job.Findings)),
	}
}

// WriteSummaryJSON is WriteSummary as JSON, with the folder that the job was written to.
func WriteSummaryJSON(w io.Writer, job *batch.Job, folder string) error {
	f := figuresOf(job)
	f.Folder = folder
	return writeJSON(w, f)
}

// estimateTables are what an estimate is printed as; options may be empty.
func estimateTables(job *batch.Job, options []batch.Priced) []*Table {
	tables := []*Table{Estimate(job), Sheets(job)}
	if len(job.Estimate.Layouts) > 0 {
		tables = append(tables, Layouts(job))
	}
	if len(options) > 0 {
		tables = append(tables, Options(job, options))
	}
	if len(job.Findings) > 0 {
		tables = append(tables, Findings(job.Findings))
	}
	return tables
}

// WriteEstimate prints the estimate line by line, the use of sheets overall and by
// layout, and what each option changes.
func WriteEstimate(w io.Writer, job *batch.Job, options []batch.Priced) error {
	return writeTexts(w, estimateTables(job, options))
}

// writeTexts writes tables as text, an empty line between them.
func writeTexts(w io.Writer, tables []*Table) error {
	for i, t := range tables {
		if i > 0 {
			if _, err := io.WriteString(w, "\n"); err != nil {
				return err
			}
		}
		if err := t.WriteText(w); err != nil {
			return err
		}
	}
	return nil
}

// WriteEstimateJSON is the same as JSON.
func WriteEstimateJSON(w io.Writer, job *batch.Job, options []batch.Priced) error {
	return writeJSON(w, struct {
		figures
		Estimate rows `json:"estimate"`
		Layouts  rows `json:"layouts"`
		Options  rows `json:"options"`
	}{figuresOf(job), rowsOf(Estimate(job)), rowsOf(Layouts(job)), rowsOf(Options(job, options))})
}
