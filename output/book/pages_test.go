package book

import (
	"fmt"
	"slices"
	"testing"

	"sawbook/cabinets/measure"
	"sawbook/output/diagram"
	"sawbook/output/draw"
	"sawbook/output/internal/sample"
)

// Whatever stands on a page of the demo's book, on its templates or on its labels, no text lies over
// another or leaves the page: in millimetres on A4, and in inches on Letter.
func TestNoTextOverlaps(t *testing.T) {
	if testing.Short() {
		t.Skip("it draws two books")
	}
	for _, style := range []measure.Style{{}, {Unit: measure.Inches}} {
		t.Run(style.Unit.String(), func(t *testing.T) {
			job := sample.Demo(t, style)
			all, err := drawAll(job)
			if err != nil {
				t.Fatal(err)
			}
			chapters := append(chaptersOf(job, sections(job, all)), chapter{"all templates", drawingsOf(all.tiles)})
			texts := map[string]int{}
			for i, p := range pagesOf(job, "book", chapters) {
				texts[p.Chapter] += checkPage(t, i+1, &p)
			}
			for _, c := range chapters {
				if texts[c.title] == 0 {
					t.Errorf("no text on %s", c.title)
				}
			}
			labels := diagram.NewLabelSheets(job, 1)
			for n := range labels.Count() {
				d, err := labels.Sheet(n)
				if err != nil {
					t.Fatal(err)
				}
				if checkPage(t, n+1, &draw.Page{Width: d.Width, Height: d.Height, Chapter: "labels", Drawing: d}) == 0 {
					t.Error("no text on a sheet of labels")
				}
			}
		})
	}
}

// textSlack is how far two texts may reach into one another: their boxes are rounded up.
const textSlack = 0.05 // mm

// words is a text where it stands on its page.
type words struct {
	text           string
	x1, y1, x2, y2 float64
}

// checkPage faults the texts of a page that overlap or leave it, and returns how many there are.
func checkPage(t *testing.T, number int, p *draw.Page) int {
	t.Helper()
	var all []words
	for _, w := range wordsOf(p.Drawing.Shapes, words{x1: -p.X, y1: -p.Y, x2: p.Width - p.X, y2: p.Height - p.Y}) {
		where := fmt.Sprintf("page %d, %s: %q", number, p.Chapter, w.text)
		if w.x1 < -p.X || w.y1 < -p.Y || w.x2 > p.Width-p.X || w.y2 > p.Height-p.Y {
			t.Errorf("%s leaves the page", where)
		}
		for _, o := range all {
			if min(w.x2, o.x2)-max(w.x1, o.x1) > textSlack && min(w.y2, o.y2)-max(w.y1, o.y1) > textSlack {
				t.Errorf("%s lies over %q", where, o.text)
			}
		}
		all = append(all, w)
	}
	return len(all)
}

// wordsOf lists the texts of shapes that are seen in a window: of a drawing that is cut up for the printer, a
// page shows those in its own window.
func wordsOf(shapes []draw.Shape, window words) (all []words) {
	for _, shape := range shapes {
		switch s := shape.(type) {
		case draw.Text:
			w := words{text: s.Text}
			w.x1, w.y1, w.x2, w.y2 = s.Box()
			all = append(all, w)
		case draw.Clip:
			inner := words{x1: max(window.x1, s.X), y1: max(window.y1, s.Y), x2: min(window.x2, s.X+s.Width), y2: min(window.y2, s.Y+s.Height)}
			seen := slices.DeleteFunc(wordsOf(s.Shapes, inner), func(w words) bool {
				return w.x2 <= inner.x1 || w.x1 >= inner.x2 || w.y2 <= inner.y1 || w.y1 >= inner.y2
			})
			for _, w := range seen { // what is cut off is not on this page
				all = append(all, words{w.text, max(w.x1, inner.x1), max(w.y1, inner.y1), min(w.x2, inner.x2), min(w.y2, inner.y2)})
			}
		}
	}
	return all
}
