package book

import (
	"path/filepath"
	"strings"
	"testing"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
	"sawbook/output/diagram"
	"sawbook/output/draw"
)

// demo lists the parts of the demo's spring batch, without plans.
func demo(t *testing.T, style measure.Style) *batch.Job {
	t.Helper()
	faults := &source.Collector{}
	folder := filepath.Join("..", "..", "testdata", "demo")
	b := batch.OpenFolder(faults, folder).Load(filepath.Join(folder, "batches", "spring.yaml"), nil)
	if err := faults.Err(); err != nil {
		t.Fatal(err)
	}
	b.Shop.Style = style
	return batch.List(b)
}

// The pages of each cabinet of the demo hold what puts it together: the numbers of all its parts, each hardware
// item, each joint, its felt, its mass; no text lies over another or leaves the page.
func TestAssemblyPages(t *testing.T) {
	for _, style := range []measure.Style{{}, {Unit: measure.Inches}} {
		job := demo(t, style)
		list, err := drawCabinets(job)
		if err != nil || len(list) < 10 {
			t.Fatalf("%d cabinets, %v", len(list), err)
		}
		for i, k := range keyed(job) {
			a := &list[i]
			words := map[string]bool{}
			var all strings.Builder
			for _, d := range a.block().pages(diagram.PaperFor(style.Unit).Room())[1:] {
				var texts []draw.Text
				for _, s := range d.Shapes {
					v, is := s.(draw.Text)
					if !is {
						continue
					}
					for _, o := range texts {
						if overlap(v, o) {
							t.Errorf("%s: %q lies over %q", d.Title, v.Text, o.Text)
						}
					}
					if x1, y1, x2, y2 := v.Box(); x1 < -0.05 || y1 < -0.05 || x2 > d.Width+0.05 || y2 > d.Height+0.05 {
						t.Errorf("%s: %q leaves the page", d.Title, v.Text)
					}
					texts = append(texts, v)
					words[v.Text] = true
					all.WriteString(v.Text + " ")
				}
			}
			has := func(kind, word string) {
				if !words[word] && !strings.Contains(all.String(), word) {
					t.Errorf("%s: %s %q is missing", a.name, kind, word)
				}
			}
			for j := range k.Solid.Parts {
				has("part", k.Marks[j])
			}
			for _, h := range k.Solid.Hardware {
				has("hardware", h.Item.ID)
			}
			for _, j := range k.Solid.Joints {
				has("joint", j.How.ID)
			}
			if len(k.Solid.Contacts) > 0 {
				has("list", "Where felt lies")
			}
			has("mass", massWords(k.Keyed)[1][:6])
		}
	}
}

func overlap(a, b draw.Text) bool {
	const slack = 0.05
	ax1, ay1, ax2, ay2 := a.Box()
	bx1, by1, bx2, by2 := b.Box()
	return ax1+slack < bx2 && bx1+slack < ax2 && ay1+slack < by2 && by1+slack < ay2
}
