package book

import (
	"embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"slices"
	"sync"
	"unicode/utf8"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"

	"sawbook/cabinets/batch"
	"sawbook/output/diagram"
	"sawbook/output/draw"
	"sawbook/output/table"
)

//go:embed page.html style.css
var files embed.FS

var pageTemplate = template.Must(template.ParseFS(files, "page.html"))

// page is what the page's template shows.
type page struct {
	Job       *batch.Job
	Style     template.CSS
	Paper     diagram.Paper
	Unit      string
	Figures   []table.Figure
	Findings  list
	Sheets    list
	Layouts   list
	Estimate  list
	Tapes     list
	Hardware  list
	Parts     list
	Edges     list
	Joints    list
	Fittings  list // hardware by cabinet
	Kitting   list
	Felt      list
	Finish    list
	Coatings  list
	Settings  list
	Run       list // by setting, where the shop works so
	Blanks    list
	Loads     []list
	Restraint string // the caution that stands beside the loads
	Materials []pageMaterial
	Machining []pageMachining
	Scribed   list
	Held      list // what other releases take
	Templates []pageScribed
	Cabinets  []pageCabinet
	Cautions  [][2]string
	// SettingsNote stands over the settings.
	SettingsNote string
	RunNote      string
}

// list is a table as it is printed.
type list struct {
	Title string
	Heads []head
	Rows  [][]cell
}

type head struct{ Text, Class string }

type cell = head

type pageMaterial struct {
	Name     string
	Patterns []pagePattern
}

type pagePattern struct {
	Name, ID string
	Pages    []template.HTML
	Cuts     list
}

// pageCabinet is a cabinet for who puts it together.
type pageCabinet struct {
	Name, ID string
	Drawing  template.HTML
}

// pageScribed is the template of a scribed edge.
type pageScribed struct{ Name, File string }

// pageMachining is the machining of a piece; Template is the file of its template, "" where
// it has none.
type pageMachining struct {
	Name, ID, Template string
	Pages              []template.HTML
}

func writePage(w io.Writer, job *batch.Job, all *drawings) error {
	css, err := files.ReadFile("style.css")
	if err != nil {
		return err
	}
	style := job.Batch.Shop.Style
	p := page{
		Job: job, Style: template.CSS(faces() + string(css)), Paper: diagram.PaperFor(style.Unit), Unit: style.Unit.String(),
		Figures: table.Figures(job), Findings: listOf(table.Findings(job.Findings)),
		Sheets: listOf(table.Sheets(job)), Layouts: listOf(table.Layouts(job)), Estimate: listOf(table.Estimate(job)),
		Tapes:    linesOf(job, batch.GroupBand, batch.GroupLipping, batch.GroupSealer, batch.GroupFelt),
		Hardware: linesOf(job, batch.GroupHardware),
		Parts:    listOf(table.Parts(job)), Edges: listOf(table.Edges(job)), Joints: listOf(table.Joints(job)), Fittings: listOf(table.Hardware(job)), Felt: listOf(table.Felt(job)),
		Kitting: listOf(table.Kitting(job)),
		Scribed: listOf(table.Scribed(job)), Held: listOf(table.HeldBack(job)),
		Settings: listOf(table.Settings(job)), Blanks: listOf(table.Blanks(job)),
		Finish: listOf(table.Finish(job)), Coatings: linesOf(job, batch.GroupAdhesive, batch.GroupFinish),
		Restraint: table.RestraintCaution, Cautions: cautions, SettingsNote: settingsNote,
	}
	if job.Batch.Shop.Saw.BySetting {
		p.Run, p.RunNote = listOf(table.Visits(job)), runNote
	}
	for _, t := range []*table.Table{table.Loads(job), table.Balances(job), table.Order(job)} {
		if len(t.Rows) > 0 {
			p.Loads = append(p.Loads, listOf(t))
		}
	}
	for _, s := range all.sheets {
		if n := len(p.Materials); n == 0 || p.Materials[n-1].Name != s.material.Of.Name {
			p.Materials = append(p.Materials, pageMaterial{Name: s.material.Of.Name})
		}
		m := &p.Materials[len(p.Materials)-1]
		m.Patterns = append(m.Patterns, s.page(job))
	}
	for _, m := range all.machined {
		drawn := pageMachining{Name: m.piece.ID + " " + m.piece.Name, ID: "machining-" + m.piece.ID, Pages: inlined(m.pages)}
		if m.template != nil {
			drawn.Template = "machining/" + m.templateFile()
		}
		p.Machining = append(p.Machining, drawn)
	}
	for i := range all.scribed {
		p.Templates = append(p.Templates, pageScribed{all.scribed[i].name, all.scribed[i].file()})
	}
	for _, a := range all.cabinets {
		p.Cabinets = append(p.Cabinets, pageCabinet{a.name, "cabinet-" + a.name, inlined([]drawn{a.page})[0]})
	}
	return pageTemplate.Execute(w, p)
}

// faces are the style's type, held in the page itself: lists are as wide on every machine, so
// that a browser has no reason to print drawings smaller than to scale.
var faces = sync.OnceValue(func() string {
	face := func(weight string, ttf []byte) string {
		return fmt.Sprintf("@font-face { font-family: Go; font-weight: %s; src: url(data:font/ttf;base64,%s); }\n", weight, base64.StdEncoding.EncodeToString(ttf))
	}
	return face("normal", goregular.TTF) + face("bold", gobold.TTF)
})

// linesOf lists the estimate's lines of some groups.
func linesOf(job *batch.Job, groups ...string) list {
	var lines []batch.Line
	for _, l := range job.Estimate.Lines {
		if slices.Contains(groups, l.Group) {
			lines = append(lines, l)
		}
	}
	return listOf(table.Lines(job, "", "", lines))
}

// Columns of up to so many letters are kept on one line: always, and where there is room.
const (
	narrow = 9
	medium = 24
)

func listOf(t *table.Table) list {
	t = t.For(table.Page)
	l := list{Title: t.Title, Rows: make([][]cell, len(t.Rows))}
	for i, c := range t.Columns {
		widest := 0
		for row := range t.Rows {
			widest = max(widest, utf8.RuneCountInString(t.Print(row, i)))
		}
		h := head{Text: c.Head}
		switch {
		case c.Right():
			h.Class = "r"
		case widest <= narrow:
			h.Class = "k"
		case widest <= medium:
			h.Class = "n"
		}
		l.Heads = append(l.Heads, h)
		for row := range t.Rows {
			l.Rows[row] = append(l.Rows[row], cell{t.Print(row, i), h.Class})
		}
	}
	return l
}

func (s *sheet) page(job *batch.Job) pagePattern {
	name := s.material.NameOf(s.pattern)
	return pagePattern{Name: name, ID: "sheet-" + name, Cuts: listOf(table.CutRuns(job, s.pattern)), Pages: inlined(s.pages)}
}

// inlined returns drawings to stand in the page.
func inlined(pages []drawn) (list []template.HTML) {
	for i := range pages {
		list = append(list, template.HTML(draw.Inline(pages[i].svg))) // what is not ours in it is escaped
	}
	return list
}
