package diagram

import (
	"math"
	"strings"
	"testing"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/output/draw"
	"sawbook/output/table"
)

// TestMachining draws the machining of every piece of every cabinet, built in or the demo's
// own, for each paper: no text overlaps anything or leaves the paper, and every feature is
// on the drawing and in its list.
func TestMachining(t *testing.T) {
	f := openDemo(t)
	drawn := 0
	for _, style := range []measure.Style{{}, {Unit: measure.Inches, Denominator: 32}} {
		f.Shop.Style = style
		width, height := PaperFor(style.Unit).Room()
		for _, name := range f.Catalogue.Names() {
			job := batch.List(f.Load(name, nil))
			for _, p := range table.Machined(job) {
				drawn++
				drawings := Machining(job, p, width, height)
				c := &checker{style: style}
				for _, d := range drawings {
					c.drawing(d, width, height)
				}
				c.features(drawings, p)
				for _, fault := range c.found {
					t.Errorf("%s in %v, %s: %s", name, style.Unit, p.Name, fault)
				}
				look(t, name+" "+p.ID+" "+style.Unit.String(), drawings)
			}
		}
	}
	if drawn < 40 {
		t.Errorf("only %d drawings", drawn)
	}
}

// features checks that each feature carries its mark on the first drawing, and that the list
// holds the mark with its places and its size.
func (c *checker) features(drawings []draw.Drawing, p *cabinets.Piece) {
	list := table.Machinings(p)
	marks := map[string]int{}
	whole := ""
	for _, d := range drawings {
		for _, s := range d.Shapes {
			if t, ok := s.(draw.Text); ok {
				whole += t.Text
				marks[t.Text]++
			}
		}
	}
	whole = squeeze(whole)
	for i := range list {
		m := &list[i]
		if marks[m.Mark] != 2 { // on the piece and in the list
			c.fault("mark %s stands %d times", m.Mark, marks[m.Mark])
		}
		row := m.Mark + m.What() + m.Face + c.style.Format(m.At[0]) + c.style.Format(m.At[1])
		if !strings.Contains(whole, squeeze(row)) {
			c.fault("%q is missing", row)
		}
		for axis, edge := range [2]measure.Length{p.Length, p.Width} {
			last := m.At[axis] + measure.Length(m.Count[axis]-1)*m.Pitch[axis]
			if text := c.style.Format(last); last != edge && marks[text] == 0 {
				c.fault("the last of %s, at %s, is not dimensioned", m.Mark, text)
			}
		}
	}
}

// TestTemplate wants the outline of every template at full size, and a bar of 50 mm or 2 in
// to hold a ruler to.
func TestTemplate(t *testing.T) {
	f := openDemo(t)
	for _, style := range []measure.Style{{}, {Unit: measure.Inches, Denominator: 32}} {
		f.Shop.Style = style
		job := batch.List(f.Load("galley-base", nil))
		bar, templates := 50.0, 0
		if style.Unit == measure.Inches {
			bar = 2 * measure.Inch.MM()
		}
		for _, p := range table.Machined(job) {
			if !WantsTemplate(p) {
				continue
			}
			templates++
			d := Template(job, p)
			c := &checker{style: style}
			c.drawing(d, d.Width, d.Height)
			for _, fault := range c.found {
				t.Errorf("%s: %s", p.Name, fault)
			}
			outline, long := false, false
			for _, s := range d.Shapes {
				switch s := s.(type) {
				case draw.Rect:
					outline = outline || s.Width == p.Length.MM() && s.Height == p.Width.MM()
				case draw.Line:
					long = long || math.Abs(s.X2-s.X1-bar) < 1e-9
				}
			}
			if !outline || !long {
				t.Errorf("%s in %v: outline %v, bar %v", p.Name, style.Unit, outline, long)
			}
			look(t, "template "+p.ID+" "+style.Unit.String(), []draw.Drawing{d})
		}
		if templates < 2 {
			t.Errorf("%d templates", templates)
		}
	}
}

// TestMachiningGoesOn draws a piece with more features than a page lists.
func TestMachiningGoesOn(t *testing.T) {
	f := openDemo(t)
	job := batch.List(f.Load("table-top", nil))
	p := job.Pieces[0]
	p.Features = nil
	for i := range measure.Length(60) {
		at := [3]measure.Length{(20 + 7*i) * mm, (30 + i*i%200) * mm}
		p.Features = append(p.Features, cabinets.Feature{Kind: cabinets.Hole, Box: cabinets.Box{Lo: at, Hi: [3]measure.Length{at[0] + 5*mm + i*mm/10, at[1] + 5*mm + i*mm/10, 5 * mm}}})
	}
	width, height := A4.Room()
	drawings := Machining(job, p, width, height)
	c := &checker{}
	for _, d := range drawings {
		c.drawing(d, width, height)
	}
	for _, fault := range c.found {
		t.Error(fault)
	}
	list := table.Machinings(p)
	texts := ""
	for _, d := range drawings {
		for _, s := range d.Shapes {
			if s, ok := s.(draw.Text); ok {
				texts += s.Text
			}
		}
	}
	for i := range list {
		if !strings.Contains(texts, squeeze(list[i].Mark+list[i].What()+list[i].Face)) && !strings.Contains(texts, list[i].Mark+list[i].What()) {
			t.Errorf("mark %s is not listed", list[i].Mark)
		}
	}
	if len(drawings) < 2 || len(list) != 60 {
		t.Errorf("%d drawings of %d features", len(drawings), len(list))
	}
	look(t, "goes on", drawings)
}
