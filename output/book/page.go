package book

import (
	"embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"sync"
	"unicode/utf8"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"

	"sawbook/cabinets/batch"
	"sawbook/output/diagram"
	"sawbook/output/table"
)

//go:embed page.html style.css
var files embed.FS

var pageTemplate = template.Must(template.ParseFS(files, "page.html"))

// page is what the page's template shows.
type page struct {
	Job      *batch.Job
	Style    template.CSS
	Paper    diagram.Paper
	Figures  []table.Figure
	Sections []section
}

// list is a table as it is printed.
type list struct {
	Title  string
	Narrow bool // it stands in two columns on paper
	Heads  []head
	Rows   [][]cell
}

// narrowLists are those whose rows are short.
var narrowLists = map[string]bool{"edges": true, "felt": true, "finish": true, "hardware": true, "kitting": true}

type head struct{ Text, Class string }

type cell = head

func writePage(w io.Writer, job *batch.Job, sections []section) error {
	css, err := files.ReadFile("style.css")
	if err != nil {
		return err
	}
	return pageTemplate.Execute(w, page{
		Job: job, Style: template.CSS(faces() + string(css)), Paper: diagram.PaperFor(job.Batch.Shop.Style.Unit),
		Figures: table.Figures(job), Sections: sections,
	})
}

// faces are the style's type, held in the page itself: lists are as wide on every machine, so
// that a browser has no reason to print drawings smaller than to scale.
var faces = sync.OnceValue(func() string {
	face := func(weight string, ttf []byte) string {
		return fmt.Sprintf("@font-face { font-family: Go; font-weight: %s; src: url(data:font/ttf;base64,%s); }\n", weight, base64.StdEncoding.EncodeToString(ttf))
	}
	return face("normal", goregular.TTF) + face("bold", gobold.TTF)
})

// Columns of up to so many letters are kept on one line: always, and where there is room.
const (
	narrow = 9
	medium = 24
)

func listOf(t *table.Table) list {
	t = t.For(table.Page)
	l := list{Title: t.Title, Narrow: narrowLists[t.Name], Rows: make([][]cell, len(t.Rows))}
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
