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

// cautions stand in every book.
var cautions = [][2]string{
	{"Saw.", "Guard and riving knife on, the knife within 8 mm of the blade. A push stick of at least 450 mm for the last 300 mm of a cut, and for work narrower than 6 in (152 mm) or shorter than 12 in (305 mm). Follow the saw's manual and the rules of the place you work in."},
	{"Dust.", "Wood dust causes cancer (IARC group 1). The limit for hardwood dust is 2 mg/m³ over 8 hours (Directive (EU) 2017/2398). Extract it where it is made."},
	{"Sizes.", "Every plan rests on the thickness, the kerf and the trim in the shop file. Measure them, and the first piece of every setting."},
	{"In the vehicle.", "Furniture and what it holds are thrown about when a vehicle brakes, turns or is hit. Nothing in these papers says how a cabinet behaves in a crash. How it is fixed, and all that touches seats, belts, gas and wiring, is for local codes and licensed practice."},
	{"Mass.", "Masses are worked out from nominal densities. Weigh the vehicle before and after."},
}

// reading explains what is drawn.
var reading = [][2]string{
	{"Order.", "Cut in the order of the numbers. The point of a number's tag shows the side on which the fence or the stop is."},
	{"Table.", "Set is from fence or stop to blade. Of says what to cut: the sheet, the rest that lies on the saw, or the strip that the cut of that number freed. A row for several cuts is one setting. The sign before the setting shows how the blade goes through the sheet as drawn: along it, a rip, or across it."},
	{"Offcuts.", "Blank pieces marked keep go back to stock with that label. Hatched pieces are waste. An arrow is the grain. ~ marks a length that had to be rounded to be printed. A letter stands for a part that has no room for its number: the key below the sheet explains it."},
	{"Track saw.", "A cut marked track is made on the whole sheet with the track saw, measured from the edge, allowance included. True: what then comes off each edge at the table saw."},
	{"Blanks.", "A blank is a piece cut oversize, because its parts are too small to hold at the saw, or are pressed. It has a page of its own with its second cuts: hold it by what the last cut leaves. A blank with a single part has none."},
	{"Pressing.", "Core, face and back bear the name of the blank, and lie on the sheets of their own materials. Press face and back so that they stand over the core all round. True two edges that meet, each by half the allowance, then cut to size from them, square."},
	{"Edges.", "Near and far edges run along the length of a part, which is that of the grain; start and end run across it. Lengths of band include their allowance. Felt goes where two parts touch unglued."},
	{"Machining.", "Each part from its upper face, the start edge at the left and the near edge below. All places are from these two edges, after the part was cut to size and before it is banded. Dashed is what the upper face hides: lay the part the other way up, and keep to the same two edges."},
	{"Templates.", "They are at full size: print them at 100 % and hold a ruler to the bar. Of a scribed edge, cut along the dashed line, hold the part to the wall, mark, and take off the rest: the solid line is the wall as measured. Parts that are the same piece are cut alike; each then gets the edge of its own template."},
	{"Cabinets.", "Each is drawn once for all places where it is made of the same pieces. The numbers are those of the parts; where several are the same piece, one carries the number. Fixings go through one part into the edge of the other."},
}

const (
	buyNote      = "What is on hand is not bought. On hand is what the register has, and where that keeps no book, the stock of sheets that the shop file gives; where nobody keeps book it is left empty."
	settingsNote = "Every position of fence and stop, wide to narrow, with all cuts made at it: the pattern, how many of it, and the numbers of its cuts. Materials of one thickness share their settings. Set it once and check the first piece."
	runNote      = "Set fence or stop once, and make all cuts that are listed for it, on every sheet of the pattern; then the next. Number each piece that is laid aside by pattern and cut. Trim and true as the sheet's own page says before its first cut. Check the first piece of every setting."
	partsNote    = "Length along the grain. Near and far edges run along the length, start and end across it."
	heldNote     = "What other releases of the batch take: these parts are not cut now. They keep their numbers."
	finishNote   = "Areas of one coat, of all parts counted: both faces, less what is glued to a neighbour or cut out, and open edges without a band. Mask glue faces before you coat. Litres are for all coats."
	kittingNote  = "What to put together for each cabinet, alike in all vehicles that are named. For one: pieces for one vehicle; m: their length together, allowances included."
	orderNote    = "One order in which the cabinets can go in; they come out the other way round."
)

// sections are what a job's pack holds, in the order in which the shop needs it.
func sections(job *batch.Job, all *drawings) []section {
	money := "All money in " + job.Batch.Shop.Currency + "."
	var run section
	if job.Batch.Shop.Saw.BySetting {
		run = newSection("Run by setting", listBlock(table.Visits(job), runNote))
	}
	sheets, blanks := all.cutSheets(job)
	return filled(
		newSection("Buy list", listBlock(table.Buys(job), buyNote+" "+money), waste(job)),
		run,
		newSection("Cut sheets", append(sheets, listBlock(table.Settings(job), settingsNote))...),
		newSection("Second cuts", append(blanks, listBlock(table.Blanks(job), ""))...),
		newSection("Parts", listBlock(table.Parts(job), partsNote), listBlock(table.HeldBack(job), heldNote)),
		newSection("Machining", append(all.machining(), listBlock(table.MachiningList(job), ""), listBlock(table.Scribed(job), ""))...),
		newSection("Edges and felt", listBlock(table.Edges(job), ""), listBlock(table.Felt(job), ""), listBlock(table.FeltMap(job), ""), listBlock(table.Finish(job), finishNote)),
		newSection("Kitting", listBlock(table.Kitting(job), kittingNote)),
		newSection("Cabinets", append(all.assemblies(), listBlock(table.Joints(job), ""), listBlock(table.Hardware(job), ""))...),
		newSection("Templates", all.templates()),
		newSection("Interior", append(all.views(), listBlock(table.Loads(job), table.RestraintCaution), listBlock(table.Balances(job), ""), listBlock(table.Order(job), orderNote))...),
		newSection("What is kept where", listBlock(table.Where(job), "")),
		newSection("Findings", listBlock(table.Findings(job.Findings), "")),
		newSection("Estimate", listBlock(table.Estimate(job), money)),
		newSection("How to read a page", &block{Paragraphs: reading}),
		newSection("Cautions", &block{Paragraphs: cautions}),
	)
}

// waste tells it by material and by layout, and what larger sheets would change of it.
func waste(job *batch.Job) *block {
	b := &block{lists: []*table.Table{table.Sheets(job), table.Layouts(job), table.Larger(job)}}
	if len(job.Larger) > 0 {
		b.Facts = []string{table.LargerNote}
	}
	return b
}

// cutSheets are the drawings of sheets, and those of blanks.
func (all *drawings) cutSheets(job *batch.Job) (sheets, blanks []*block) {
	for _, s := range all.sheets {
		b := &block{id: "sheet", Name: s.material.NameOf(s.pattern), About: s.material.Of.Name, drawings: s.pages, cuts: table.CutRuns(job, s.pattern)}
		if s.pattern.Blank == nil {
			sheets = append(sheets, b)
		} else {
			blanks = append(blanks, b)
		}
	}
	return sheets, blanks
}

func (all *drawings) machining() (blocks []*block) {
	for _, m := range all.machined {
		b := &block{id: "machining", Name: m.piece.ID, About: m.piece.Name, drawings: m.pages}
		if m.template != nil {
			b.Template = "machining/" + m.templateFile()
		}
		blocks = append(blocks, b)
	}
	return blocks
}

func (all *drawings) assemblies() (blocks []*block) {
	for i := range all.cabinets {
		blocks = append(blocks, all.cabinets[i].block())
	}
	return blocks
}

func (all *drawings) views() (blocks []*block) {
	for i := range all.interiors {
		blocks = append(blocks, all.interiors[i].block())
	}
	return blocks
}

// mostTiles is up to how many tiles of templates are in the book: more are a file of their own, of
// which the shop prints what it wants.
const mostTiles = 40

// templates are the tiles, or where they are.
func (all *drawings) templates() *block {
	if n := len(all.tiles); n > mostTiles {
		return &block{Paragraphs: [][2]string{{"templates.pdf", fmt.Sprintf("The templates take %d pages, and are a file of their own. Print those that are wanted, at 100 %%.", n)}}}
	}
	return &block{drawings: all.tiles}
}

// chapter is a section as printed.
type chapter struct {
	title string
	pages []draw.Drawing
}

func chaptersOf(job *batch.Job, sections []section) (chapters []chapter) {
	width, height := diagram.PaperFor(job.Batch.Shop.Style.Unit).Room()
	for _, s := range sections {
		chapters = append(chapters, chapter{s.Title, s.pages(width, height)})
	}
	return chapters
}

// writePDF writes the book: what it is and its contents, then every chapter. Each page has the
// batch, the digest, and which page it is of how many.
func writePDF(w io.Writer, job *batch.Job, sections []section) error {
	return writeBook(w, job, job.Batch.Name+"-"+job.Digest, chaptersOf(job, sections))
}

// writeTemplates writes the templates by themselves.
func writeTemplates(w io.Writer, job *batch.Job, all *drawings) error {
	return writeBook(w, job, job.Batch.Name+"-"+job.Digest+", templates", []chapter{{"Templates", drawingsOf(all.tiles)}})
}

func drawingsOf(pages []drawn) (list []draw.Drawing) {
	for _, d := range pages {
		list = append(list, d.Drawing)
	}
	return list
}

// tiles are all templates at full size, cut up for the printer.
func tiles(job *batch.Job, all *drawings) (cut []drawn, err error) {
	var list []draw.Drawing
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
	if len(list) <= mostTiles {
		return written(list)
	}
	for _, d := range list {
		cut = append(cut, drawn{Drawing: d})
	}
	return cut, nil
}

func writeBook(w io.Writer, job *batch.Job, name string, chapters []chapter) error {
	return draw.WritePDF(w, job.Batch.Shop.Name+", "+name, pagesOf(job, name, chapters))
}

// pagesOf are all pages of a book, each with its foot.
func pagesOf(job *batch.Job, name string, chapters []chapter) []draw.Page {
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
	return pages
}

const footSize = 2.2

// frontPages say what the book is, and where its chapters begin. Their number does not depend on the
// numbers that stand on them.
func frontPages(job *batch.Job, name string, chapters []chapter) []draw.Drawing {
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

// view is an interior from above, and its walls.
type view struct {
	name  string
	pages []drawn
}

func (v *view) block() *block { return &block{id: "interior", Name: v.name, drawings: v.pages} }

// drawInteriors draws every interior of a batch.
func drawInteriors(b *batch.Batch) (views []view, err error) {
	interiors, _ := b.Interiors()
	for _, in := range interiors {
		pages, err := written(interiorViews(in, b.Shop.Style))
		if err != nil {
			return nil, err
		}
		views = append(views, view{in.Title(), pages})
	}
	return views, nil
}

func interiorViews(in *cabinets.Interior, style measure.Style) []draw.Drawing {
	width, height := diagram.PaperFor(style.Unit).Room()
	return append([]draw.Drawing{diagram.Plan(in, "", style, width, height)}, diagram.Elevations(in, style, width, height)...)
}
