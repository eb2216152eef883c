// Package book makes the printed pack of a job: one page to read and print, and the
// files beside it.
package book

import (
	"fmt"
	"io"

	"sawbook/cabinets/batch"
	"sawbook/output/diagram"
	"sawbook/output/draw"
	"sawbook/output/table"
)

// WriteFolder writes every file of a job's folder by calling write with each one's name,
// with forward slashes, and what writes its content. It returns the first error.
func WriteFolder(job *batch.Job, write func(name string, write func(io.Writer) error) error) error {
	sheets := drawSheets(job)
	w := folderWriter{write: write}
	w.file("index.html", func(w io.Writer) error { return writePage(w, job, sheets) })
	w.file("plan.json", func(w io.Writer) error {
		_, err := w.Write(job.Written)
		return err
	})
	for _, s := range sheets {
		for i, d := range s.drawings {
			w.file("diagrams/"+s.file(i), func(w io.Writer) error { return draw.WriteSVG(w, d) })
		}
	}
	for _, t := range table.All(job) {
		w.file(t.Name+".csv", t.WriteCSV)
		w.file(t.Name+".txt", t.WriteText)
		w.file(t.Name+".json", t.WriteJSON)
	}
	return w.err
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

// sheet is one pattern as drawn: its diagram and, where that had no room for it, the key.
type sheet struct {
	material *batch.Material
	pattern  *batch.Pattern
	runs     []table.Run
	drawings []draw.Drawing
	// apart says that the table of cuts stands on a page of its own.
	apart bool
}

// file names a drawing: "A-1.svg", "A-1-key.svg".
func (s *sheet) file(i int) string {
	name := fmt.Sprintf("%s-%d", s.material.Letter, s.pattern.Number)
	if s.material.Letter == "" {
		name = fmt.Sprint(s.pattern.Number)
	}
	if i > 0 {
		name += "-key"
	}
	return name + ".svg"
}

// Heights in mm of the page's table of cuts; style.css keeps to them.
const (
	cutColumns   = 3
	cutRow       = 4.6
	cutHead      = 12.0 // its heading, its heads and the caution below it
	leastDiagram = 110.0
)

// drawSheets draws every pattern, leaving room on the paper for its table of cuts.
func drawSheets(job *batch.Job) []*sheet {
	width, height := diagram.PaperFor(job.Batch.Shop.Style.Unit).Room()
	var sheets []*sheet
	for i := range job.Materials {
		m := &job.Materials[i]
		for k := range m.Patterns {
			p := &m.Patterns[k]
			s := &sheet{material: m, pattern: p, runs: table.Runs(p)}
			rows := (len(s.runs) + cutColumns) / cutColumns // the trim takes a row as well
			room := height - cutHead - float64(float64(rows)*cutRow)
			if room < leastDiagram {
				room, s.apart = height, true
			}
			s.drawings = diagram.Sheet(job, m, p, width, room)
			sheets = append(sheets, s)
		}
	}
	return sheets
}
