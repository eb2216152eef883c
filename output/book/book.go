// Package book makes the printed pack of a job: one page to read and print, and the
// files beside it.
package book

import (
	"bytes"
	"encoding/json"
	"io"
	"strconv"
	"strings"

	"golang.org/x/sync/errgroup"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/output/diagram"
	"sawbook/output/draw"
	"sawbook/output/table"
)

// WriteFolder writes every file of a job's folder by calling write with each one's name,
// with forward slashes, and what writes its content. It returns the first error.
func WriteFolder(job *batch.Job, write func(name string, write func(io.Writer) error) error) error {
	all, err := drawAll(job)
	if err != nil {
		return err
	}
	pack := sections(job, all)
	var page, pdf bytes.Buffer
	var labels []labelFile
	var g errgroup.Group
	g.Go(func() error { return writePage(&page, job, pack) })
	g.Go(func() error { return writePDF(&pdf, job, pack) })
	g.Go(func() (err error) { labels, err = drawLabels(job); return err })
	if err := g.Wait(); err != nil {
		return err
	}
	w := folderWriter{write: write}
	w.text("index.html", page.String())
	w.text("book.pdf", pdf.String())
	if len(all.tiles) > mostTiles {
		w.file("templates.pdf", func(w io.Writer) error { return writeTemplates(w, job, all) })
	}
	w.file("plan.json", func(w io.Writer) error {
		_, err := w.Write(job.Written)
		return err
	})
	if memory := job.Batch.Memory; memory != nil {
		w.file("register.json", func(w io.Writer) error { return json.NewEncoder(w).Encode(memory) })
	}
	for _, s := range all.sheets {
		for i := range s.pages {
			w.text("diagrams/"+s.file(i), s.pages[i].svg)
		}
	}
	for _, m := range all.machined {
		for i := range m.pages {
			w.text("machining/"+fileName(m.piece.ID, i), m.pages[i].svg)
		}
		if m.template != nil {
			w.text("machining/"+m.templateFile(), m.template.svg)
		}
	}
	for _, s := range all.scribed {
		w.text(s.file(), s.svg)
	}
	for i := range all.cabinets {
		w.text("cabinets/"+all.cabinets[i].file, all.cabinets[i].page.svg)
	}
	for _, l := range labels {
		w.text(l.name, l.pdf)
	}
	for _, t := range table.All(job) {
		w.file(t.Name+".csv", t.WriteCSV)
		w.file(t.Name+".txt", t.WriteText)
		w.file(t.Name+".json", t.WriteJSON)
	}
	return w.err
}

// drawings are all that is drawn for a job.
type drawings struct {
	sheets    []*sheet
	machined  []*machining
	scribed   []scribed
	cabinets  []assembly
	interiors []view
	tiles     []drawn // of all templates; without SVG where they are not in the book
}

// drawAll draws everything, each kind beside the others.
func drawAll(job *batch.Job) (*drawings, error) {
	var all drawings
	var g errgroup.Group
	g.Go(func() (err error) { all.sheets, err = drawSheets(job); return err })
	g.Go(func() (err error) { all.machined, err = drawMachining(job); return err })
	g.Go(func() (err error) { all.scribed, err = drawScribed(job); return err })
	g.Go(func() (err error) { all.cabinets, err = drawCabinets(job); return err })
	g.Go(func() (err error) { all.interiors, err = drawInteriors(job.Batch); return err })
	if err := g.Wait(); err != nil {
		return nil, err
	}
	var err error
	all.tiles, err = tiles(job, &all)
	return &all, err
}

// folderWriter writes files until one fails.
type folderWriter struct {
	write func(string, func(io.Writer) error) error
	err   error
}

func (f *folderWriter) file(name string, write func(io.Writer) error) {
	if f.err == nil {
		f.err = f.write(name, write)
	}
}

func (f *folderWriter) text(name, content string) {
	f.file(name, func(w io.Writer) error {
		_, err := io.WriteString(w, content)
		return err
	})
}

// sheet is one pattern as drawn: on one page, or several where it does not fit.
type sheet struct {
	material *batch.Material
	pattern  *batch.Pattern
	pages    []drawn
}

// file names a page: "A-1.svg", "A-1-page-2.svg".
func (s *sheet) file(page int) string {
	name := strconv.Itoa(s.pattern.Number)
	switch {
	case s.pattern.Blank != nil:
		name = s.pattern.Blank.ID
	case s.material.Letter != "":
		name = s.material.Letter + "-" + name
	}
	return fileName(name, page)
}

// fileName names a page of a drawing: "A-014.svg", "A-014-page-2.svg".
func fileName(name string, page int) string {
	if page > 0 {
		name += "-page-" + strconv.Itoa(page+1)
	}
	return name + ".svg"
}

// drawSheets draws every pattern of a job for the paper of its unit.
func drawSheets(job *batch.Job) ([]*sheet, error) {
	width, height := diagram.PaperFor(job.Batch.Shop.Style.Unit).Room()
	var sheets []*sheet
	for i := range job.Materials {
		m := &job.Materials[i]
		for _, p := range m.AllPatterns() {
			if p.Layers != nil && len(p.Parts) == 1 {
				continue // the list of blanks says it all
			}
			s := &sheet{material: m, pattern: p}
			var err error
			if s.pages, err = written(diagram.Sheet(job, m, p, width, height)); err != nil {
				return nil, err
			}
			sheets = append(sheets, s)
		}
	}
	return sheets, nil
}

// drawn is a drawing, and the same as SVG.
type drawn struct {
	draw.Drawing
	svg string
}

// written writes drawings as SVG.
func written(drawings []draw.Drawing) (pages []drawn, err error) {
	for _, d := range drawings {
		var svg strings.Builder
		if err := draw.WriteSVG(&svg, d); err != nil {
			return nil, err
		}
		pages = append(pages, drawn{d, svg.String()})
	}
	return pages, nil
}

// machining is a piece with what is machined into it as drawn.
type machining struct {
	piece    *cabinets.Piece
	pages    []drawn
	template *drawn // at full size; nil is none
}

func (m *machining) templateFile() string { return fileName(m.piece.ID+"-template", 0) }

// drawMachining draws the machining of every piece that has some.
func drawMachining(job *batch.Job) (list []*machining, err error) {
	width, height := diagram.PaperFor(job.Batch.Shop.Style.Unit).Room()
	for _, p := range table.Machined(job) {
		m := &machining{piece: p}
		if m.pages, err = written(diagram.Machining(job, p, width, height)); err != nil {
			return nil, err
		}
		if diagram.WantsTemplate(p) {
			full, err := written([]draw.Drawing{diagram.Template(job, p)})
			if err != nil {
				return nil, err
			}
			m.template = &full[0]
		}
		list = append(list, m)
	}
	return list, nil
}

// scribed is the template of a scribed edge.
type scribed struct {
	name string
	drawn
}

func (s *scribed) file() string { return "scribe/" + fileName(s.name, 0) }

func drawScribed(job *batch.Job) (list []scribed, err error) {
	for _, t := range table.Templates(job) {
		full, err := written([]draw.Drawing{diagram.Scribe(job, t)})
		if err != nil {
			return nil, err
		}
		list = append(list, scribed{t.Name, full[0]})
	}
	return list, nil
}
