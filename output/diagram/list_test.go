package diagram

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbook/cabinets/measure"
	"sawbook/output/draw"
	"sawbook/output/internal/sample"
	"sawbook/output/table"
)

// Whatever a list holds, no text lies over another or leaves the page, every cell is there, and each page
// has the heads.
func TestList(t *testing.T) {
	word := rapid.SampledFrom([]string{"side", "left-side", "groove ~12 × 493, ~4 deep for top", "Ελάτη", "Берёза", "1", "23 1/2", strings.Repeat("wide", 12), ""})
	rapid.Check(t, func(r *rapid.T) {
		tab := &table.Table{Title: "A list"}
		columns := rapid.IntRange(1, 12).Draw(r, "columns")
		for range columns {
			kind := rapid.SampledFrom([]table.Kind{table.Text, table.Text, table.Count}).Draw(r, "kind")
			tab.Columns = append(tab.Columns, table.Column{Head: word.Draw(r, "head"), Kind: kind, In: table.Always})
		}
		cells := 0
		for range rapid.IntRange(0, 60).Draw(r, "rows") {
			row := make([]any, columns)
			for i, c := range tab.Columns {
				if c.Kind == table.Count {
					row[i] = rapid.IntRange(0, 100_000).Draw(r, "count")
				} else {
					row[i] = word.Draw(r, "text")
				}
				cells++
			}
			tab.Rows = append(tab.Rows, row)
		}
		pages := List(tab, "a note", 281, 194)
		if (len(pages) > 0) != (len(tab.Rows) > 0) {
			r.Fatalf("%d pages for %d rows", len(pages), len(tab.Rows))
		}
		letters := 0
		for i := range pages {
			checkPage(r, &pages[i])
			letters += lettersOn(&pages[i], listText, false)
		}
		want := 0
		for row := range tab.Rows {
			for i := range tab.Columns {
				want += len(strings.Join(strings.Fields(tab.Print(row, i)), ""))
			}
		}
		if letters -= len("anote") * min(1, len(pages)); letters != want {
			r.Errorf("%d letters of cells, want %d", letters, want)
		}
	})
}

// checkPage faults texts that overlap or leave the page.
func checkPage(t interface{ Errorf(string, ...any) }, d *draw.Drawing) {
	var texts []box
	for _, s := range d.Shapes {
		if v, is := s.(draw.Text); is {
			b := boxOf(v).inset(0.05)
			if b.x1 < -0.05 || b.y1 < -0.05 || b.x2 > d.Width+0.05 || b.y2 > d.Height+0.05 {
				t.Errorf("%q leaves the page", v.Text)
			}
			if overlapsAny(b, texts) {
				t.Errorf("%q lies over another text", v.Text)
			}
			texts = append(texts, b)
		}
	}
}

// lettersOn counts the letters of texts of a size.
func lettersOn(d *draw.Drawing, size float64, bold bool) (n int) {
	for _, s := range d.Shapes {
		if v, is := s.(draw.Text); is && v.Size == size && v.Bold == bold {
			n += len(strings.ReplaceAll(v.Text, " ", ""))
		}
	}
	return n
}

// Prose and the front page keep to their paper.
func TestFrontAndProse(t *testing.T) {
	job := sample.Small(measure.Style{})
	entries := []Entry{{"Cut sheets", 2}, {"Parts", 120}}
	for _, paper := range []Paper{A4, Letter} {
		width, height := paper.Room()
		pages := Front(job, "a-batch-with-a-rather-long-name-that-goes-on-0123abcd", entries, width, height)
		pages = append(pages, Prose("Cautions", slices.Repeat([][2]string{{"Saw.", strings.Repeat("Follow its manual. ", 30)}, {"Dust.", strings.Repeat("Extract it. ", 40)}}, 5), width, height)...)
		if len(pages) < 2 {
			t.Fatalf("%d pages", len(pages))
		}
		for i := range pages {
			checkPage(t, &pages[i])
		}
	}
}
