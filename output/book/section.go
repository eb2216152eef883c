package book

import (
	"fmt"
	"io"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/output/diagram"
	"sawbook/output/draw"
	"sawbook/output/table"
)

// section is a chapter of the printed book.
type section struct {
	title string
	pages []draw.Drawing
}

// cautions stand in every book.
var cautions = [][2]string{
	{"Saw.", "Guard and riving knife on, the knife within 8 mm of the blade. A push stick of at least 450 mm for the last 300 mm of a cut, and for work narrower than 6 in (152 mm) or shorter than 12 in (305 mm). Follow the saw's manual and the rules of the place you work in."},
	{"Dust.", "Wood dust causes cancer (IARC group 1). The limit for hardwood dust is 2 mg/m³ over 8 hours (Directive (EU) 2017/2398). Extract it where it is made."},
	{"Sizes.", "Every plan rests on the thickness, the kerf and the trim in the shop file. Measure them, and the first piece of every setting."},
	{"In the vehicle.", "Furniture and what it holds are thrown about when a vehicle brakes, turns or is hit. Nothing in these papers says how a cabinet behaves in a crash. How it is fixed, and all that touches seats, belts, gas and wiring, is for local codes and licensed practice."},
	{"Mass.", "Masses are worked out from nominal densities. Weigh the vehicle before and after."},
}

// sections are the chapters of a job's book, those without pages left out.
func sections(job *batch.Job, all *drawings) []section {
	width, height := diagram.PaperFor(job.Batch.Shop.Style.Unit).Room()
	list := func(t *table.Table, note string) []draw.Drawing { return diagram.List(t, note, width, height) }
	var chapters []section
	add := func(title string, lists ...[]draw.Drawing) {
		s := section{title: title}
		for _, pages := range lists {
			s.pages = append(s.pages, pages...)
		}
		if len(s.pages) > 0 {
			chapters = append(chapters, s)
		}
	}
	money := "All money in " + job.Batch.Shop.Currency + "."
	add("Findings", list(table.Findings(job.Findings), ""))
	add("Buy and cost", list(table.Estimate(job), money), list(table.Sheets(job), ""), list(table.Layouts(job), ""))
	if job.Batch.Shop.Saw.BySetting {
		add("Run by setting", list(table.Visits(job), runNote))
	}
	add("Cut sheets", cutSheets(all, false), list(table.Settings(job), settingsNote))
	add("Second cuts", cutSheets(all, true), list(table.Blanks(job), ""))
	add("Parts", list(table.Parts(job), partsNote), list(table.HeldBack(job), ""))
	var machined []draw.Drawing
	for _, m := range all.machined {
		machined = append(machined, drawingsOf(m.pages)...)
	}
	add("Machining", machined, list(table.MachiningList(job), ""), list(table.Scribed(job), ""))
	if len(all.tiles) <= mostTiles {
		add("Templates", all.tiles)
	}
	add("Edges and felt", list(table.Edges(job), ""), list(table.Felt(job), ""), list(table.FeltMap(job), ""), list(table.Finish(job), ""))
	var assembled []draw.Drawing
	for i := range all.cabinets {
		assembled = append(assembled, all.cabinets[i].pages()...)
	}
	add("Cabinets", assembled, list(table.Joints(job), ""), list(table.Hardware(job), ""))
	add("Kitting", list(table.Kitting(job), ""))
	var views []draw.Drawing
	interiors, _ := job.Batch.Interiors()
	for _, in := range interiors {
		views = append(views, interiorViews(in, job.Batch.Shop.Style)...)
	}
	add("Interior", views, list(table.Where(job), ""), list(table.Loads(job), table.RestraintCaution), list(table.Balances(job), ""), list(table.Order(job), orderNote))
	add("Cautions", diagram.Prose("Cautions", cautions, width, height))
	return chapters
}

const (
	settingsNote = "Every position of fence and stop, wide to narrow, with all cuts made at it: the pattern, how many of it, and the numbers of its cuts. Materials of one thickness share their settings. Set it once and check the first piece."
	runNote      = "Set fence or stop once, and make all cuts that are listed for it, on every sheet of the pattern; then the next. Number each piece that is laid aside by pattern and cut. Trim and true as the sheet's own page says before its first cut. Check the first piece of every setting."
	partsNote    = "Length along the grain. Near and far edges run along the length, start and end across it."
	orderNote    = "One order in which the cabinets can go in; they come out the other way round."
)

// cutSheets are the drawings of sheets, or those of blanks.
func cutSheets(all *drawings, blanks bool) (pages []draw.Drawing) {
	for _, s := range all.sheets {
		if (s.pattern.Blank != nil) == blanks {
			pages = append(pages, drawingsOf(s.pages)...)
		}
	}
	return pages
}

func drawingsOf(pages []drawn) (list []draw.Drawing) {
	for _, d := range pages {
		list = append(list, d.Drawing)
	}
	return list
}

// writePDF writes the book: what it is and its contents, then every chapter. Each page has the
// batch, the digest, and which page it is of how many.
func writePDF(w io.Writer, job *batch.Job, all *drawings) error {
	return writeBook(w, job, job.Batch.Name+"-"+job.Digest, sections(job, all))
}

// interiorViews are an interior from above, and its walls.
func interiorViews(in *cabinets.Interior, style measure.Style) []draw.Drawing {
	width, height := diagram.PaperFor(style.Unit).Room()
	return append([]draw.Drawing{diagram.Plan(in, "", style, width, height)}, diagram.Elevations(in, style, width, height)...)
}

// writeTemplates writes the templates by themselves.
func writeTemplates(w io.Writer, job *batch.Job, all *drawings) error {
	return writeBook(w, job, job.Batch.Name+"-"+job.Digest+", templates", []section{{"Templates", all.tiles}})
}

// mostTiles is up to how many tiles of templates are in the book: more are a file of their own, of
// which the shop prints what it wants.
const mostTiles = 40

// tiles are all templates at full size, cut up for the printer.
func tiles(job *batch.Job, all *drawings) (list []draw.Drawing) {
	unit := job.Batch.Shop.Style.Unit
	width, height := diagram.PaperFor(unit).Room()
	for _, m := range all.machined {
		if m.template != nil {
			list = append(list, diagram.Tiles(m.template.Drawing, unit, width, height)...)
		}
	}
	for i := range all.scribed {
		list = append(list, diagram.Tiles(all.scribed[i].Drawing, unit, width, height)...)
	}
	return list
}

func writeBook(w io.Writer, job *batch.Job, name string, chapters []section) error {
	paper := diagram.PaperFor(job.Batch.Shop.Style.Unit)
	var pages []draw.Page
	add := func(chapter string, d draw.Drawing) {
		pages = append(pages, draw.Page{Width: paper.Width, Height: paper.Height, X: paper.Margin, Y: paper.Margin, Chapter: chapter, Drawing: d})
	}
	front := frontPages(job, name, chapters)
	for _, d := range front {
		add("Contents", d)
	}
	for _, c := range chapters {
		for _, d := range c.pages {
			add(c.title, d)
		}
	}
	for i := range pages {
		// In the margin, so that drawings keep all of their room.
		y := paper.Height - 2*paper.Margin + 5.2
		width, _ := paper.Room()
		d := &pages[i].Drawing
		d.Shapes = append(d.Shapes[:len(d.Shapes):len(d.Shapes)],
			draw.Text{Y: y, Size: footSize, Text: job.Batch.Shop.Name + " · " + name},
			draw.Text{X: width, Y: y, Size: footSize, Anchor: draw.End, Text: fmt.Sprintf("page %d of %d", i+1, len(pages))})
	}
	return draw.WritePDF(w, job.Batch.Shop.Name+", "+name, pages)
}

const footSize = 2.2

// frontPages say what the book is, and where its chapters begin. Their number does not depend on the
// numbers that stand on them.
func frontPages(job *batch.Job, name string, chapters []section) []draw.Drawing {
	width, height := diagram.PaperFor(job.Batch.Shop.Style.Unit).Room()
	front := func(first int) []draw.Drawing {
		var entries []diagram.Entry
		at := first
		for _, c := range chapters {
			entries = append(entries, diagram.Entry{Title: c.title, Page: at})
			at += len(c.pages)
		}
		return diagram.Front(job, name, entries, width, height)
	}
	return front(len(front(1)) + 1)
}
