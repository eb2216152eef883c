package diagram

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/output/draw"
	"sawbook/output/internal/sample"
)

const mm = measure.Millimetre

type namedCase struct {
	name    string
	options sample.Options
}

// cases are sheets to draw: few and many parts, both units, long names and numbers, parts
// of 40 mm and of 3 m, both directions of the first stage.
func cases() []namedCase {
	var all []namedCase
	add := func(name string, o sample.Options, change func(*sample.Options)) {
		if change != nil {
			change(&o)
		}
		all = append(all, namedCase{fmt.Sprintf("%s, %d parts, seed %d", name, o.Parts, o.Seed), o})
	}
	long := func(o *sample.Options) { o.Names = sample.LongNames }
	seed := uint64(0)
	for _, parts := range []int{1, 2, 3, 5, 8, 13, 20, 30, 45, 60} {
		for range 3 {
			seed++
			add("mm", sample.Metric(seed, parts), nil)
			add("in", sample.Imperial(seed, parts), nil)
			add("mm, long names", sample.Metric(seed, parts), long)
			add("in, long names", sample.Imperial(seed, parts), long)
			add("mm, crosscut first", sample.Metric(seed, parts), func(o *sample.Options) { o.Crosscut = true })
			add("in, crosscut first", sample.Imperial(seed, parts), func(o *sample.Options) { o.Crosscut = true })
			add("mm, long numbers", sample.Metric(seed, parts), func(o *sample.Options) { o.Numbers = "Türfüllung-groß-%d" })
			add("3 m sheet", sample.Metric(seed, parts), func(o *sample.Options) { o.Length, o.Width, o.Trim = 3050*mm, 1525*mm, 0 })
			add("square sheet", sample.Metric(seed, parts), func(o *sample.Options) { o.Length, o.Width = 1525*mm, 1525*mm })
			add("sheet on end", sample.Metric(seed, parts), func(o *sample.Options) { o.Length, o.Width = 1220*mm, 2440*mm })
			add("long title", sample.Metric(seed, parts), func(o *sample.Options) {
				o.Shop, o.Material = strings.Repeat("Ausbauwerkstatt am alten Hafen ", 4), strings.Repeat("Sperrholz", 40)
				o.Offcut, o.Plain, o.Times = "A12-3", true, 1234
			})
			add("grain across, cut six times", sample.Imperial(seed, parts), func(o *sample.Options) { o.Across, o.Times = true, 6 })
			add("all small", sample.Metric(seed, parts), func(o *sample.Options) { o.Length, o.Width, o.Least = 400*mm, 300*mm, 20*mm })
		}
	}
	return all
}

// Nothing on a drawing overlaps or is crossed out, nothing leaves the paper, nothing is
// missing, and no dimension is under 3.5 mm.
func TestSheet(t *testing.T) {
	for _, c := range cases() {
		name, o := c.name, c.options
		job := sample.Job(o)
		m := &job.Materials[0]
		p := &m.Patterns[0]
		width, height := PaperFor(o.Style.Unit).Room()
		drawings := Sheet(job, m, p, width, height)
		for _, fault := range faults(o.Style, p, drawings, width, height) {
			t.Errorf("%s: %s", name, fault)
			look(t, name, drawings)
		}
	}
}

// look writes the drawings of a failed case to the folder that the variable LOOK names.
func look(t *testing.T, name string, drawings []draw.Drawing) {
	dir := os.Getenv("LOOK")
	if dir == "" {
		return
	}
	for i, d := range drawings {
		var b bytes.Buffer
		if err := draw.WriteSVG(&b, d); err != nil {
			t.Fatal(err)
		}
		file := fmt.Sprintf("%s-%d.svg", strings.ReplaceAll(name, " ", "-"), i)
		if err := os.WriteFile(filepath.Join(dir, file), b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// faults returns all that is wrong with the drawings of a pattern.
func faults(style measure.Style, p *batch.Pattern, drawings []draw.Drawing, width, height float64) []string {
	c := &checker{style: style}
	for _, d := range drawings {
		c.drawing(d, width, height)
	}
	c.complete(p, drawings)
	c.marked(p, drawings)
	return c.found
}

type checker struct {
	style measure.Style
	found []string
}

func (c *checker) fault(format string, values ...any) {
	c.found = append(c.found, fmt.Sprintf(format, values...))
}

// slack in mm is given for rounding alone.
const slack = 0.02

func (c *checker) drawing(d draw.Drawing, width, height float64) {
	if d.Width > width+slack || d.Height > height+slack {
		c.fault("%.1f x %.1f mm leaves %.1f x %.1f", d.Width, d.Height, width, height)
	}
	paper := box{-slack, -slack, d.Width + slack, d.Height + slack}
	extents := make([]box, len(d.Shapes))
	for i, s := range d.Shapes {
		if extents[i] = extentOf(s); !paper.holds(extents[i]) {
			c.fault("%#v leaves the drawing", s)
		}
	}
	for i, s := range d.Shapes {
		if t, ok := s.(draw.Text); ok {
			c.text(t, extents[i].inset(slack), d.Shapes[:i], extents)
			c.text(t, extents[i].inset(slack), d.Shapes[i+1:], extents[i+1:])
		}
	}
}

var dimension = regexp.MustCompile(`^~?\d+([./ ]\d+)*$|\d ×|× ~?\d`)

// text checks one text in its box against other shapes and their extents.
func (c *checker) text(t draw.Text, b box, shapes []draw.Shape, extents []box) {
	if !t.Bold && dimension.MatchString(t.Text) && t.Size < 3.5 {
		c.fault("dimension %q is %v mm high", t.Text, t.Size)
	}
	for i, s := range shapes {
		e := extents[i]
		if !b.overlaps(e.inset(-draw.Wide)) {
			continue
		}
		switch v := s.(type) {
		case draw.Text:
			if b.overlaps(e) {
				c.fault("%q overlaps %q", t.Text, v.Text)
			}
		case draw.Line:
			if crosses(v, b) {
				c.fault("%q is crossed by %+v", t.Text, v)
			}
		case draw.Polygon:
			if b.overlaps(e) && !(t.Color == "white" && e.holds(b)) {
				c.fault("%q touches a tag", t.Text)
			}
		case draw.Rect:
			if v.Hatch > 0 && b.overlaps(e) && t.Color != "white" {
				c.fault("%q stands on hatching", t.Text)
			} else if b.overlaps(e) && !e.holds(b) {
				c.fault("%q crosses an outline", t.Text)
			}
		case draw.Circle:
			if b.overlaps(e) {
				c.fault("%q touches a dot", t.Text)
			}
		}
	}
}

// crosses reports whether a line with its pen touches a box: the line is cut off at the
// box's sides (Liang and Barsky's method).
func crosses(l draw.Line, b box) bool {
	b = b.inset(-l.Pen.Width / 2)
	from, to := 0.0, 1.0
	for _, side := range [][2]float64{
		{l.X1 - l.X2, l.X1 - b.x1}, {l.X2 - l.X1, b.x2 - l.X1},
		{l.Y1 - l.Y2, l.Y1 - b.y1}, {l.Y2 - l.Y1, b.y2 - l.Y1},
	} {
		switch direction, distance := side[0], side[1]; {
		case direction == 0 && distance <= 0:
			return false
		case direction < 0:
			from = max(from, distance/direction)
		case direction > 0:
			to = min(to, distance/direction)
		}
	}
	return from < to
}

// complete checks that every part can be told by its number, its size and its name, every
// kept offcut by its label, and every cut by its step.
func (c *checker) complete(p *batch.Pattern, drawings []draw.Drawing) {
	whole := ""
	tags := map[string]int{}
	for _, d := range drawings {
		for _, s := range d.Shapes {
			if t, ok := s.(draw.Text); ok {
				whole += t.Text + "\n"
				if t.Color == "white" {
					tags[t.Text]++
				}
			}
		}
	}
	dense := squeeze(whole)
	need := func(what string) {
		if !strings.Contains(dense, squeeze(what)) {
			c.fault("%q is missing", what)
		}
	}
	for _, l := range p.Parts {
		need(l.Piece.ID)
		need(l.Piece.Name)
		need(c.style.Format(l.Piece.Length) + " × " + c.style.Format(l.Piece.Width))
	}
	for _, o := range p.Offcuts {
		if o.Keep {
			need("keep " + o.Label)
			need(c.style.Format(o.Length) + " × " + c.style.Format(o.Width))
		}
	}
	inTable := stepsInTable(whole)
	for _, cut := range p.Cuts {
		name := fmt.Sprint(cut.Step)
		if tags[name]+inTable[cut.Step] != 1 {
			c.fault("step %d stands %d times on the drawing, %d in the note", cut.Step, tags[name], inTable[cut.Step])
		}
	}
}

// marked checks that every part carries its own number, or the letter that the key gives
// for it, or a dot from which a line leads; or is counted as unmarked.
func (c *checker) marked(p *batch.Pattern, drawings []draw.Drawing) {
	sheet := sheetOn(drawings[0], p)
	if width, height := PaperFor(c.style.Unit).Room(); sheet.width() < width/2 && sheet.height() < height/2 {
		c.fault("the sheet is %.0f x %.0f mm on paper", sheet.width(), sheet.height())
	}
	scale := p.Sheet.Length.MM() / sheet.width()
	letters, counted := readKey(drawings)
	unmarked := 0
	for _, l := range p.Parts {
		x, y := sheet.x1+l.X.MM()/scale, sheet.y2-l.Y.MM()/scale
		part := box{x, y - l.Width.MM()/scale, x + l.Length.MM()/scale, y}
		marks, texts := 0, ""
		for _, s := range drawings[0].Shapes {
			if !part.holds(extentOf(s)) {
				continue
			}
			switch v := s.(type) {
			case draw.Text:
				if v.Color == "" {
					texts += v.Text
				}
				if letters[v.Text] == l.Piece.ID {
					marks++
				}
			case draw.Circle:
				marks++
			}
		}
		if strings.HasPrefix(squeeze(texts), squeeze(l.Piece.ID)) {
			marks++
		}
		if marks == 0 {
			unmarked++
		}
		if marks > 1 {
			c.fault("%s carries %d marks", l.Piece.ID, marks)
		}
	}
	if unmarked != counted {
		c.fault("%d parts carry no mark, the key counts %d", unmarked, counted)
	}
}

// sheetOn finds the outline of the untrimmed sheet: the largest with the sheet's shape.
func sheetOn(d draw.Drawing, p *batch.Pattern) box {
	var sheet box
	shape := p.Sheet.Length.MM() / p.Sheet.Width.MM()
	for _, s := range d.Shapes {
		r, ok := s.(draw.Rect)
		if b := extentOf(s); ok && r.Pen.Width == draw.Wide && b.width() > sheet.width() && math.Abs(b.width()/b.height()/shape-1) < 1e-6 {
			sheet = b
		}
	}
	return sheet
}

// readKey returns the numbers of the key's letters, and how many parts it calls unmarked.
func readKey(drawings []draw.Drawing) (letters map[string]string, unmarked int) {
	letters = map[string]string{}
	letter := ""
	for _, d := range drawings {
		for _, s := range d.Shapes {
			t, ok := s.(draw.Text)
			if !ok {
				continue
			}
			if letter != "" {
				letters[letter] = t.Text
			}
			letter, _ = strings.CutSuffix(t.Text, " =")
			if letter == t.Text {
				letter = ""
			}
			n := 0
			fmt.Sscanf(t.Text, "(%d unmarked)", &n)
			unmarked += n
		}
	}
	return letters, unmarked
}

// squeeze takes out spaces and line ends, since texts may be broken into rows.
func squeeze(s string) string { return strings.NewReplacer(" ", "", "\n", "").Replace(s) }

var note = regexp.MustCompile(`cuts that have no number here: ([\d, -]+)`)

// stepsInTable reads the note of steps that have no tag.
func stepsInTable(whole string) map[int]int {
	steps := map[int]int{}
	for _, note := range note.FindAllStringSubmatch(strings.ReplaceAll(whole, "\n", " "), -1) {
		list := note[1]
		for _, item := range strings.Split(strings.TrimSpace(list), ", ") {
			var first, last int
			if n, _ := fmt.Sscanf(item, "%d-%d", &first, &last); n == 1 {
				last = first
			}
			for s := first; s <= last; s++ {
				steps[s]++
			}
		}
	}
	return steps
}

func BenchmarkDiagram(b *testing.B) {
	for _, parts := range []int{8, 20, 60} {
		job := sample.Job(sample.Metric(7, parts))
		m := &job.Materials[0]
		width, height := A4.Room()
		b.Run(fmt.Sprintf("%d-parts", len(m.Patterns[0].Parts)), func(b *testing.B) {
			var out bytes.Buffer
			for b.Loop() {
				out.Reset()
				for _, d := range Sheet(job, m, &m.Patterns[0], width, height) {
					if err := draw.WriteSVG(&out, d); err != nil {
						b.Fatal(err)
					}
				}
			}
			b.ReportMetric(float64(out.Len()), "bytes")
		})
	}
}
