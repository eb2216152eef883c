package table

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
)

// Shared lists the pieces that several layouts share.
func Shared(a *batch.Alike) *Table {
	type piece = *cabinets.Piece
	return build(a.Job.Batch.Shop, "shared", "Pieces that several layouts share", a.Shared,
		text("part", "Part", func(p piece) string { return p.ID }),
		text("name", "Name", func(p piece) string { return p.Name }),
		text("material", "Material", func(p piece) string { return p.Material.ID }),
		length("length", "Length", func(p piece) measure.Length { return p.Length }),
		length("width", "Width", func(p piece) measure.Length { return p.Width }),
		count("count", "Count", func(p piece) int { return p.Count }),
		text("places", "Places", func(p piece) string { return strings.Join(Places(p), "; ") }))
}

// NearlyAlike lists the pairs of pieces that are nearly the same, and what making them one saves.
func NearlyAlike(a *batch.Alike) *Table {
	type pair = batch.Near
	title := "Pieces that are nearly the same, and what one size for both, the larger, would save"
	if a.More > 0 {
		title += fmt.Sprintf(" (%d more pairs were not tried)", a.More)
	}
	return build(a.Job.Batch.Shop, "nearly-alike", title, a.Near,
		text("part", "Part", func(n pair) string { return n.A.ID }),
		text("name", "Name", func(n pair) string { return n.A.Name }),
		length("length", "Length", func(n pair) measure.Length { return n.A.Length }),
		length("width", "Width", func(n pair) measure.Length { return n.A.Width }),
		count("count", "Count", func(n pair) int { return n.A.Count }),
		text("other", "Other", func(n pair) string { return n.B.ID }),
		text("other_name", "Name", func(n pair) string { return n.B.Name }),
		length("other_length", "Length", func(n pair) measure.Length { return n.B.Length }),
		length("other_width", "Width", func(n pair) measure.Length { return n.B.Width }),
		count("other_count", "Count", func(n pair) int { return n.B.Count }),
		count("settings_fewer", "Settings fewer", func(n pair) int { return n.Settings }),
		count("sheets_fewer", "Sheets fewer", func(n pair) int { return n.Sheets }))
}

// WriteAlike prints what the layouts of a batch share, and what they nearly do.
func WriteAlike(w io.Writer, a *batch.Alike) error {
	tables := slices.DeleteFunc([]*Table{Shared(a), NearlyAlike(a)}, func(t *Table) bool { return len(t.Rows) == 0 })
	if len(tables) == 0 {
		_, err := fmt.Fprintln(w, "nothing found")
		return err
	}
	return writeTexts(w, tables)
}

// WriteAlikeJSON is the same as JSON.
func WriteAlikeJSON(w io.Writer, a *batch.Alike) error {
	return writeJSON(w, struct {
		Batch  string `json:"batch"`
		Shared rows   `json:"shared"`
		Near   rows   `json:"nearly_alike"`
		More   int    `json:"not_tried"`
	}{a.Job.Batch.Name, rowsOf(Shared(a)), rowsOf(NearlyAlike(a)), a.More})
}
