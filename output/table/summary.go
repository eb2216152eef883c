package table

import (
	"io"

	"sawbook/cabinets/batch"
)

// The command calls these, besides Parts(job) and Findings(list), which return a Table
// with WriteText, WriteCSV and WriteJSON.

// WriteSummary prints what a job came to, for a terminal: a line a material ("birch-12
// 8 sheets, at least 7 needed, 12.3 % waste, 592.00 EUR"), tape, hardware, mass, total,
// and the findings.
func WriteSummary(w io.Writer, j *batch.Job) error { panic("not written yet") }

// WriteSummaryJSON is the same as JSON, with the folder that the job was written to.
func WriteSummaryJSON(w io.Writer, j *batch.Job, folder string) error { panic("not written yet") }

// WriteEstimate prints the estimate line by line, use of sheets overall and per layout,
// and what each option changes: cost with the difference, sheets, mass.
func WriteEstimate(w io.Writer, j *batch.Job, options []batch.Priced) error {
	panic("not written yet")
}

// WriteEstimateJSON is the same as JSON.
func WriteEstimateJSON(w io.Writer, j *batch.Job, options []batch.Priced) error {
	panic("not written yet")
}
