package table

import (
	"slices"
	"strings"
	"testing"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/output/internal/sample"
)

// TestTemplates wants one template for edges that are alike in a layout, another where they
// differ, and the piece marked with both.
func TestTemplates(t *testing.T) {
	const mm = measure.Millimetre
	job := sample.Small(measure.Style{})
	job.Batch.Shop.Limits.Scribe = 10 * mm
	place := job.Pieces[0].Goes[0]
	edge := cabinets.Scribe{Cabinet: place.Cabinet, Part: place.Part, Side: cabinets.Back, From: cabinets.Right,
		Profile: []cabinets.Shaped{{Height: 0, Off: -2 * mm}, {Height: 100 * mm, Off: 14 * mm}}}
	other := edge
	other.Profile = []cabinets.Shaped{{Height: 0, Off: 3 * mm}}
	place.Interior.Scribes = []cabinets.Scribe{edge, edge, other}
	var got []string
	list := Scribed(job)
	for row := range list.Rows {
		var cells []string
		for column := range list.Columns {
			cells = append(cells, list.Print(row, column))
		}
		got = append(got, strings.Join(cells, " "))
	}
	want := []string{"Curlew-box-side A-001 back right 0 0 0 2", "Curlew-box-side A-001 back right 100 14 4 ", "Curlew-box-side-2 A-001 back right 0 3 0 "}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%q\nwant\n%q", got, want)
	}
	if of := scribedOf(job)(job.Pieces[0]); of != "by 2 templates, cut alike before" {
		t.Errorf("the piece is scribed %q", of)
	}
}
