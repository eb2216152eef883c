package main

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/library"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
	"sawbook/output/diagram"
	"sawbook/output/draw"
)

// TestCabinetPages holds doc/cabinets.md and its drawings against the built-in cabinets.
func TestCabinetPages(t *testing.T) {
	faults := &source.Collector{}
	folder := batch.OpenFolder(faults, demo)
	names, err := fs.Glob(library.Files, "*.yaml")
	if err != nil || len(names) < 10 {
		t.Fatalf("%d cabinets, %v", len(names), err)
	}
	doc := filepath.Join(root, "doc")
	page := &strings.Builder{}
	page.WriteString(cabinetsHead)
	want := map[string]string{}
	for _, file := range names {
		name := strings.TrimSuffix(file, ".yaml")
		job := batch.List(folder.Load(name, nil))
		if err := faults.Err(); err != nil {
			t.Fatal(err)
		}
		source, err := library.Files.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		writeCabinet(page, job, string(source))
		want[filepath.Join(doc, "cabinets", name+".svg")] = drawCabinet(t, job)
	}
	want[filepath.Join(doc, "cabinets.md")] = page.String()
	for path, text := range want {
		if *update {
			write(t, path, text)
		} else if read(t, path) != text {
			t.Errorf("%s is not current: run go test ./cmd/sawbook -args -update, and look at it", path)
		}
	}
	kept, err := os.ReadDir(filepath.Join(doc, "cabinets"))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range kept {
		if want[filepath.Join(doc, "cabinets", f.Name())] == "" {
			t.Errorf("doc/cabinets/%s draws no built-in cabinet", f.Name())
		}
	}
}

const cabinetsHead = `# The built-in cabinets

Every cabinet here is a text file in ` + "`cabinets/library`" + `; copy one into a shop's ` + "`cabinets`" + ` folder to make another of it. Sizes and
counts below are those that it comes with, in the materials of the demo shop. A drawing shows the outside with its main dimensions, the
cabinet assembled, and taken apart; its numbers are those of the list of parts. This page and its drawings are written by
` + "`go test ./cmd/sawbook -args -update`" + `.
`

// writeCabinet writes the section of one cabinet, alone in a job.
func writeCabinet(w *strings.Builder, job *batch.Job, source string) {
	solid := job.Batch.Vehicles[0].Interior.Cabinets[0].Solid
	d := solid.Definition
	fmt.Fprintf(w, "\n## %s\n\n%s. %s\n\n![%s](cabinets/%s.svg)\n", d.Name, d.About, opening(source), d.Name, d.Name)
	w.WriteString("\n| size | as it comes | least | most | what it is |\n|---|---|---|---|---|\n")
	for _, s := range d.Sizes {
		fmt.Fprintf(w, "| %s | %s | %s | %s | %s |\n", s.Name, sizeText(&s, s.Default), sizeText(&s, s.Least), sizeText(&s, s.Most), s.About)
	}
	w.WriteString("\n| role | what it is |\n|---|---|\n")
	for _, r := range d.Roles {
		fmt.Fprintf(w, "| %s | %s |\n", r.Name, r.About)
	}
	fmt.Fprintf(w, "\n%d parts:\n\n| number | count | part | role | length | width | material |\n|---|---|---|---|---|---|---|\n", len(solid.Parts))
	for i, p := range job.Pieces {
		fmt.Fprintf(w, "| %d | %d | %s | %s | %s | %s | %s |\n", i+1, p.Count, partNames(p), p.Role, p.Length.Exact(), p.Width.Exact(), p.Material.Name)
	}
	if len(solid.Hardware) == 0 {
		return
	}
	w.WriteString("\nHardware:")
	for i, h := range solid.Hardware {
		if i > 0 {
			w.WriteString(",")
		}
		fmt.Fprintf(w, " %d × %s", h.Count, h.Item.Name)
		if h.Length > 0 {
			fmt.Fprintf(w, " %s mm", h.Length.Exact())
		}
	}
	w.WriteString(".\n")
}

// opening returns the comment that a file opens with, as one paragraph.
func opening(source string) string {
	var words []string
	for line := range strings.Lines(source) {
		text, comment := strings.CutPrefix(line, "#")
		if !comment {
			break
		}
		words = append(words, strings.Fields(text)...)
	}
	return strings.Join(words, " ")
}

func sizeText(s *cabinets.Size, v measure.Length) string {
	if s.Whole {
		return strconv.FormatInt(int64(v), 10)
	}
	return v.Exact() + " mm"
}

// partNames lists the names of a piece's parts, each once, numbers of repeated ones left out.
func partNames(p *cabinets.Piece) string {
	var names []string
	seen := map[string]bool{}
	for _, place := range p.Goes {
		parts := strings.Split(place.Part, ".")
		for i, part := range parts {
			stem, number, _ := cutLast(part, "-")
			if _, err := strconv.Atoi(number); err == nil {
				parts[i] = stem
			}
		}
		if name := strings.Join(parts, "."); !seen[name] {
			seen[name] = true
			names = append(names, name)
		}
	}
	return strings.Join(names, ", ")
}

// cutLast is strings.Cut at the last separator.
func cutLast(s, separator string) (before, after string, found bool) {
	if i := strings.LastIndex(s, separator); i >= 0 {
		return s[:i], s[i+len(separator):], true
	}
	return s, "", false
}

// drawCabinet draws a cabinet alone in a job, its parts numbered as in the job's list.
func drawCabinet(t *testing.T, job *batch.Job) string {
	number := map[string]string{}
	for i, p := range job.Pieces {
		for _, place := range p.Goes {
			number[place.Part] = strconv.Itoa(i + 1)
		}
	}
	cabinet := job.Batch.Vehicles[0].Interior.Cabinets[0]
	k := diagram.Keyed{Title: cabinet.Name, Solid: cabinet.Solid, Style: job.Batch.Shop.Style}
	for i := range cabinet.Solid.Parts {
		k.Marks = append(k.Marks, number[cabinet.Solid.Parts[i].Name])
	}
	var svg strings.Builder
	width, height := diagram.A4.Room()
	if err := draw.WriteSVG(&svg, diagram.Cabinet(k, width, height)); err != nil {
		t.Fatal(err)
	}
	return svg.String()
}
