package book

import (
	"embed"
	"html/template"
	"io"
	"slices"
	"strconv"
	"unicode/utf8"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
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
	Summary   []string
	Findings  list
	Sheets    list
	Layouts   list
	Estimate  list
	Tapes     list
	Hardware  list
	Parts     list
	Edges     list
	Felt      list
	Materials []pageMaterial
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
	Times    int
	Drawings []template.HTML
	Apart    bool
	Columns  [][]cutLine
}

// cutLine is a row of the table of cuts.
type cutLine struct {
	Steps, Kind, Of, Set, Frees, Remains string
	Ticks                                []struct{}
}

func writePage(w io.Writer, job *batch.Job, sheets []*sheet) error {
	css, err := files.ReadFile("style.css")
	if err != nil {
		return err
	}
	style := job.Batch.Shop.Style
	p := page{
		Job: job, Style: template.CSS(css), Paper: diagram.PaperFor(style.Unit), Unit: style.Unit.String(),
		Summary: table.Summary(job), Findings: listOf(table.Findings(job.Findings)),
		Sheets: listOf(table.Sheets(job)), Layouts: listOf(table.Layouts(job)), Estimate: listOf(table.Estimate(job)),
		Tapes:    linesOf(job, batch.GroupBand, batch.GroupFelt),
		Hardware: linesOf(job, batch.GroupHardware),
		Parts:    listOf(table.Parts(job)), Edges: listOf(table.Edges(job)), Felt: listOf(table.Felt(job)),
	}
	for _, s := range sheets {
		if n := len(p.Materials); n == 0 || p.Materials[n-1].Name != s.material.Of.Name {
			p.Materials = append(p.Materials, pageMaterial{Name: s.material.Of.Name})
		}
		m := &p.Materials[len(p.Materials)-1]
		m.Patterns = append(m.Patterns, s.page(style))
	}
	return pageTemplate.Execute(w, p)
}

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

// widest is how many letters a column may have and still be kept on one line.
const widest = 24

func listOf(t *table.Table) list {
	l := list{Title: t.Title, Rows: make([][]cell, len(t.Rows))}
	for i, c := range t.Columns {
		h := head{c.Head, "n"}
		for row := range t.Rows {
			if text := t.Print(row, i); utf8.RuneCountInString(text) > widest {
				h.Class = ""
			}
		}
		if c.Right() {
			h.Class = "r"
		}
		l.Heads = append(l.Heads, h)
		for row := range t.Rows {
			l.Rows[row] = append(l.Rows[row], cell{t.Print(row, i), h.Class})
		}
	}
	return l
}

func (s *sheet) page(style measure.Style) pagePattern {
	name := diagram.PatternName(s.material, s.pattern)
	p := pagePattern{Name: name, ID: "sheet-" + name, Times: s.pattern.Times, Apart: s.apart}
	for _, d := range s.drawings {
		p.Drawings = append(p.Drawings, template.HTML(draw.InlineSVG(d)))
	}
	lines := s.lines(style)
	perColumn := (len(lines) + cutColumns - 1) / cutColumns
	for i := 0; i < len(lines); i += perColumn {
		p.Columns = append(p.Columns, lines[i:min(i+perColumn, len(lines))])
	}
	return p
}

const mostTicks = 6

// lines returns the rows of the sheet's table of cuts: the trim, then each run of cuts
// that share a setting, with a box to tick for each sheet.
func (s *sheet) lines(style measure.Style) []cutLine {
	size := func(a batch.Area) string { return style.Format(a.Length) + " × " + style.Format(a.Width) }
	var ticks []struct{}
	if s.pattern.Times <= mostTicks {
		ticks = make([]struct{}, s.pattern.Times)
	}
	var lines []cutLine
	if t := s.pattern.Trim; t != [4]measure.Length{} {
		whole := s.pattern.Sheet
		rest := batch.Area{Length: whole.Length - t[0] - t[1], Width: whole.Width - t[2] - t[3]}
		lines = append(lines, cutLine{Steps: "trim", Of: "sheet", Frees: "all edges", Remains: size(rest), Ticks: ticks})
	}
	for _, r := range s.runs {
		l := cutLine{Steps: r.Steps(), Kind: "cross", Of: r.Of, Set: style.Format(r.Setting), Frees: r.Frees, Remains: r.Remains, Ticks: ticks}
		if r.Rip {
			l.Kind = "rip"
		}
		if r.Frees == "strip" {
			l.Frees = "strip " + size(r.Each)
		}
		if n := r.Count(); n > 1 {
			l.Frees += " × " + strconv.Itoa(n)
		}
		if r.Remains == "strip" {
			l.Remains = size(r.Rest)
		}
		lines = append(lines, l)
	}
	return lines
}
