package table

import (
	"strings"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
)

// HeldBack lists what other releases of the batch take; it is empty where all is cut at once.
func HeldBack(job *batch.Job) *Table {
	return build(job.Batch.Shop, "held-back", "Held back", job.Batch.HeldBack(),
		text("release", "Release", func(h batch.Held) string { return h.Release }),
		text("cut", "Cut", func(h batch.Held) string {
			if h.Done {
				return "before"
			}
			return "later"
		}),
		text("part", "Part", func(h batch.Held) string { return h.Piece.ID }),
		text("name", "Name", func(h batch.Held) string { return h.Piece.Name }),
		text("material", "Material", func(h batch.Held) string { return h.Piece.Material.ID }),
		length("length", "Length", func(h batch.Held) measure.Length { return h.Piece.Length }),
		length("width", "Width", func(h batch.Held) measure.Length { return h.Piece.Width }),
		count("count", "Count", func(h batch.Held) int { return h.Piece.Count }),
		only(Files|Page, text("places", "Places", func(h batch.Held) string { return strings.Join(Places(h.Piece), "; ") })))
}

// heldWords says how many parts other releases take, a line for each.
func heldWords(job *batch.Job) (lines []string) {
	var names []string
	counts, done := map[string]int{}, map[string]bool{}
	for _, h := range job.Batch.HeldBack() {
		if counts[h.Release] == 0 {
			names = append(names, h.Release)
		}
		counts[h.Release] += h.Piece.Count
		done[h.Release] = h.Done
	}
	for _, name := range names {
		when := "held back for release "
		if done[name] {
			when = "cut before, in release "
		}
		lines = append(lines, when+name+": "+plural(counts[name], "part"))
	}
	return lines
}
