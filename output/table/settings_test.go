package table

import (
	"strings"
	"testing"

	"sawbook/cabinets/measure"
	"sawbook/output/internal/sample"

	"github.com/google/go-cmp/cmp"
)

// TestSettings lists those of a sheet cut by hand: strips of 200, 200 and 160 mm, a
// side of 500 from each of the first two and a lid of 470 from the last; five sheets in
// stacks of two are three runs.
func TestSettings(t *testing.T) {
	job := sample.Small(measure.Style{})
	job.Materials[0].Patterns[0].Times = 5
	job.Materials[0].Saw.Stack = 2
	table := Settings(job)
	var got []string
	for _, row := range printed(table) {
		got = append(got, strings.Join(row, "|"))
	}
	want := []string{
		"11.9|rip|200|6|A1 × 5: 1-2", "11.9|rip|160|3|A1 × 5: 3",
		"11.9|crosscut|500|6|A1 × 5: 4-5", "11.9|crosscut|470|3|A1 × 5: 6",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if csv := written(t, table.WriteCSV); !strings.Contains(csv, "11.9,11.9 mm,rip,200,200 mm,6,A1 × 5: 1-2") {
		t.Errorf("CSV is\n%s", csv)
	}
	if text := written(t, table.WriteText); !strings.Contains(text, "crosscut") {
		t.Errorf("text is\n%s", text)
	}
	if json := written(t, table.WriteJSON); !strings.Contains(json, `"set": 200,`) {
		t.Errorf("JSON is\n%s", json)
	}
}
