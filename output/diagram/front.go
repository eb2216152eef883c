package diagram

import (
	"strconv"
	"strings"

	"sawbook/cabinets/batch"
	"sawbook/output/draw"
	"sawbook/output/table"
)

// Entry is a chapter in a book's contents.
type Entry struct {
	Title string
	Page  int
}

const (
	frontName = 11.0 // mm, the batch's name
	frontStep = 12.0 // from one chapter to the next, less where there are many
	frontWide = 150.0
)

// Front draws the first page of a book: the shop, the batch, its vehicles, what it comes to, and
// the contents.
func Front(job *batch.Job, name string, entries []Entry, width, height float64) []draw.Drawing {
	d := draw.Drawing{Width: width, Height: height, Title: "Contents", About: "what the book is about, and its contents"}
	y := setRows(&d, flow([]run{{job.Batch.Shop.Name, numberSize, true}}, width, factGap), 0, 2, titleGap, factGap) + 3
	y = setRows(&d, flow([]run{{name, frontName, true}}, width, factGap), 0, y, titleGap, factGap) + 3
	if job.Batch.About != "" {
		y = setRows(&d, flow([]run{{job.Batch.About, numberSize, false}}, width, factGap), 0, y, titleGap, factGap) + 3
	}
	if text := vehiclesOf(job); text != "" {
		y = setRows(&d, flow([]run{{text, dimensionSize, false}}, width, factGap), 0, y, titleGap, factGap) + 3
	}
	if m := job.Batch.Memory; m != nil && m.Newest != "" {
		y = setRows(&d, flow([]run{{"Builds before this one end with " + m.Newest, noteSize, false}}, width, factGap), 0, y, titleGap, factGap) + 3
	}
	var figures []run
	for _, f := range table.Figures(job) {
		figures = append(figures, run{f.Number + " " + f.Words, dimensionSize, true})
	}
	y = setRows(&d, flow(figures, width, 2*factGap), 0, y, 2, 2*factGap) + 8
	wide := min(width, frontWide)
	step := min(frontStep, (height-y)/float64(max(1, len(entries))))
	for _, e := range entries {
		page := strconv.Itoa(e.Page)
		title, number := run{e.Title, numberSize, false}, run{page, numberSize, false}
		d.Add(draw.Text{Y: y + numberSize, Size: title.size, Text: title.text}, draw.Text{X: wide, Y: y + numberSize, Size: number.size, Anchor: draw.End, Text: page},
			draw.Line{X1: title.width() + 2, Y1: y + numberSize, X2: wide - number.width() - 2, Y2: y + numberSize, Pen: draw.Pen{Width: draw.Narrow / 2}})
		y += step
	}
	return []draw.Drawing{d}
}

// vehiclesOf names the vehicles of a batch by interior.
func vehiclesOf(job *batch.Job) string {
	var words []string
	interiors, _ := job.Batch.Interiors()
	for _, in := range interiors {
		if serials := table.Serials(job.Batch, in); serials != "" {
			words = append(words, in.Title()+": "+serials)
		}
	}
	return strings.Join(words, "; ")
}
