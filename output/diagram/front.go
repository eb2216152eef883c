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
	frontStep = 7.0  // from one chapter to the next
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
	var figures []run
	for _, f := range table.Figures(job) {
		figures = append(figures, run{f.Number + " " + f.Words, dimensionSize, true})
	}
	y = setRows(&d, flow(figures, width, factGap), 0, y, 2, 2*factGap) + 8
	wide := min(width, frontWide)
	for _, e := range entries {
		page := strconv.Itoa(e.Page)
		title, number := run{e.Title, numberSize, false}, run{page, numberSize, false}
		d.Add(draw.Text{Y: y + numberSize, Size: title.size, Text: title.text}, draw.Text{X: wide, Y: y + numberSize, Size: number.size, Anchor: draw.End, Text: page},
			draw.Line{X1: title.width() + 2, Y1: y + numberSize, X2: wide - number.width() - 2, Y2: y + numberSize, Pen: draw.Pen{Width: draw.Narrow / 2}})
		y += frontStep + numberSize
	}
	return []draw.Drawing{d}
}

// vehiclesOf names the vehicles of a batch by interior.
func vehiclesOf(job *batch.Job) string {
	serials := map[string][]string{}
	var order []string
	for _, v := range job.Batch.Vehicles {
		if v.Serial == "" {
			continue
		}
		title := v.Interior.Title()
		if serials[title] == nil {
			order = append(order, title)
		}
		serials[title] = append(serials[title], v.Serial)
	}
	for i, title := range order {
		order[i] = title + ": " + strings.Join(serials[title], ", ")
	}
	return strings.Join(order, "; ")
}
