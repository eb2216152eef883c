package diagram

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

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
		if _, unmarked := readKey(drawings); unmarked > leastUnmarked(job, width, height) {
			t.Errorf("%s: %d parts carry no mark, %d at the largest scale", name, unmarked, leastUnmarked(job, width, height))
		}
	}
}

// A glance at a sheet shows every part by its number, size and name, and is never wider than it may be: 125 mm
// has no room for the outline of a sheet of 2500 mm at 1:20.
func TestGlance(t *testing.T) {
	for _, test := range cases() {
		job := sample.Job(test.options)
		p := &job.Materials[0].Patterns[0]
		for _, width := range []float64{150, 125} {
			d := Glance(job, &job.Materials[0], p, width)
			c := &checker{style: test.options.Style}
			c.drawing(d, width, math.Inf(1))
			c.named(p, textOf(d))
			if sheet := sheetOn(d, p); sheet.width() < 50 && sheet.height() < 50 {
				c.fault("the sheet is %.0f x %.0f mm", sheet.width(), sheet.height())
			}
			for _, fault := range c.found {
				t.Errorf("%s in %v mm: %s", test.name, width, fault)
				look(t, test.name, []draw.Drawing{d})
			}
		}
	}
}

// A sheet that is too long for any scale is drawn all the same.
func TestGlanceAtALongSheet(t *testing.T) {
	o := sample.Metric(1, 3)
	o.Length = 20_000 * mm
	job := sample.Job(o)
	if d := Glance(job, &job.Materials[0], &job.Materials[0].Patterns[0], 150); d.Height <= 0 || len(d.Shapes) == 0 {
		t.Errorf("nothing is drawn: %+v", d)
	}
}

// leastUnmarked returns how many parts carry no mark at the largest scale at which the
// sheet fits the room.
func leastUnmarked(job *batch.Job, width, height float64) int {
	c := newCommon(job, &job.Materials[0], &job.Materials[0].Patterns[0], width)
	for _, scale := range scalesFor(c.style.Unit) {
		f := newFigure(c, scale)
		if f.edge.width() <= width && f.page(f.sheetBlock, f.legend, moreBlock).Height <= height {
			return f.unmarked()
		}
	}
	return len(c.pattern.Parts)
}

// The same holds for every sheet of the demo batch, in both units and on both papers.
func TestDemoSheets(t *testing.T) {
	for _, style := range []measure.Style{{}, {Unit: measure.Inches, Denominator: 32}} {
		job := sample.Demo(t, style)
		sheets := 0
		for i := range job.Materials {
			m := &job.Materials[i]
			for k := range m.Patterns {
				p := &m.Patterns[k]
				sheets++
				for _, paper := range []Paper{A4, Letter} {
					width, height := paper.Room()
					drawings := Sheet(job, m, p, width, height)
					for _, fault := range faults(style, p, drawings, width, height) {
						name := fmt.Sprintf("%s in %v on %s", m.NameOf(p), style.Unit, paper.Name)
						t.Errorf("%s: %s", name, fault)
						look(t, name, drawings)
					}
				}
			}
		}
		if sheets < len(job.Materials) || len(job.Materials) < 4 {
			t.Errorf("only %d patterns of %d materials", sheets, len(job.Materials))
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
				c.fault("%q at %v is crossed by %+v", t.Text, b, v)
			}
		case draw.Polygon:
			if b.overlaps(e) && !(t.Color == "white" && e.holds(b)) {
				c.fault("%q touches a tag or an arrow", t.Text)
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

// complete checks that every part and every kept offcut is named, and every cut by its step.
func (c *checker) complete(p *batch.Pattern, drawings []draw.Drawing) {
	whole := ""
	tags := map[string]int{}
	for _, d := range drawings {
		whole += textOf(d)
		for _, s := range d.Shapes {
			if t, ok := s.(draw.Text); ok && t.Color == "white" {
				tags[t.Text]++
			}
		}
	}
	c.named(p, whole)
	inTable := stepsInTable(whole)
	for _, cut := range p.Cuts {
		name := fmt.Sprint(cut.Step)
		if tags[name]+inTable[cut.Step] != 1 {
			c.fault("step %d stands %d times on the drawing, %d in the note", cut.Step, tags[name], inTable[cut.Step])
		}
	}
}

// textOf returns all texts of a drawing, in lines.
func textOf(d draw.Drawing) (whole string) {
	for _, s := range d.Shapes {
		if t, ok := s.(draw.Text); ok {
			whole += t.Text + "\n"
		}
	}
	return whole
}

// named checks that every part can be told by its number, its size and its name, and every kept offcut
// by its label.
func (c *checker) named(p *batch.Pattern, whole string) {
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
}

// marked checks that every part carries its own number, or the letter that the key gives
// for it, or a dot from which a line leads; or is counted as unmarked.
func (c *checker) marked(p *batch.Pattern, drawings []draw.Drawing) {
	sheet := sheetOn(drawings[0], p)
	if width, height := PaperFor(c.style.Unit).Room(); sheet.width() < width/2 && sheet.height() < height/2 {
		c.fault("the sheet is %.0f x %.0f mm on paper", sheet.width(), sheet.height())
	}
	scale := printedScale(drawings[0])
	if math.Abs(sheet.width()*scale-p.Sheet.Length.MM()) > 0.01 {
		c.fault("the sheet is %.3f mm long at 1:%v", sheet.width(), scale)
	}
	c.cutLines(p, drawings[0], sheet, scale)
	c.tagsAtFence(p, drawings[0], sheet, scale)
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

var scaleField = regexp.MustCompile(`scale 1:([\d.]+)`)

// printedScale reads the scale off the title.
func printedScale(d draw.Drawing) float64 {
	title := ""
	for _, s := range d.Shapes {
		if t, ok := s.(draw.Text); ok {
			title += t.Text + " "
		}
	}
	scale := 0.0
	if found := scaleField.FindStringSubmatch(title); found != nil {
		fmt.Sscan(found[1], &scale)
	}
	return scale
}

// cutLines checks that every cut is a wide line in the middle of its kerf, from end to
// end of the piece it divides.
func (c *checker) cutLines(p *batch.Pattern, d draw.Drawing, sheet box, scale float64) {
	var lines [][4]float64
	for _, s := range d.Shapes {
		if l, ok := s.(draw.Line); ok && l.Pen.Width == draw.Wide {
			lines = append(lines, [4]float64{l.X1 - sheet.x1, sheet.y2 - l.Y1, l.X2 - sheet.x1, sheet.y2 - l.Y2})
		}
	}
	at := func(l measure.Length) float64 { return l.MM() / scale }
	for _, cut := range p.Cuts {
		f := cut.From
		var want [4]float64
		if cut.Rip {
			y := at(f.Y + cut.Setting + (f.Width-cut.Frees.Width-cut.Remains.Width)/2)
			want = [4]float64{at(f.X), y, at(f.X + f.Length), y}
		} else {
			x := at(f.X + cut.Setting + (f.Length-cut.Frees.Length-cut.Remains.Length)/2)
			want = [4]float64{x, at(f.Y), x, at(f.Y + f.Width)}
		}
		if !slices.ContainsFunc(lines, func(l [4]float64) bool {
			return slices.EqualFunc(l[:], want[:], func(a, b float64) bool { return math.Abs(a-b) < 1e-6 })
		}) {
			c.fault("step %d is no line %v", cut.Step, want)
		}
	}
}

// tagsAtFence checks that every tag stands on its cut's line, on the side of the piece
// freed, which lies against the fence or the stop, and points that way.
func (c *checker) tagsAtFence(p *batch.Pattern, d draw.Drawing, sheet box, scale float64) {
	for _, cut := range p.Cuts {
		for i, s := range d.Shapes {
			text, ok := s.(draw.Text)
			if !ok || text.Color != "white" || text.Text != fmt.Sprint(cut.Step) {
				continue
			}
			tag := extentOf(d.Shapes[i-1]) // drawn under its text
			kerf := (cut.From.Width - cut.Frees.Width - cut.Remains.Width).MM() / scale
			off := sheet.y2 - cut.Y1.MM()/scale - tag.y1
			points := tag.y2 - boxOf(text).y2
			if !cut.Rip {
				kerf = (cut.From.Length - cut.Frees.Length - cut.Remains.Length).MM() / scale
				off = tag.x2 - sheet.x1 - cut.X1.MM()/scale
				points = boxOf(text).x1 - tag.x1
			}
			if off < -0.01 || off > kerf+0.01 || points < text.Size*tagPoint {
				c.fault("the tag of step %d is %.2f mm off its line and points %.2f mm away", cut.Step, off, points)
			}
			freed := box{sheet.x1 + cut.Frees.X.MM()/scale, 0, sheet.x1 + (cut.Frees.X+cut.Frees.Length).MM()/scale, 0}
			freed.y1, freed.y2 = sheet.y2-(cut.Frees.Y+cut.Frees.Width).MM()/scale, sheet.y2-cut.Frees.Y.MM()/scale
			if !freed.inset(-0.02).holds(tag) && sheet.overlaps(tag) {
				c.fault("the tag of step %d stands on another piece", cut.Step)
			}
		}
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

// What a hand-made sheet says, in the order it is drawn.
func TestSheetTexts(t *testing.T) {
	job := sample.Small(measure.Style{})
	width, height := A4.Room()
	drawings := Sheet(job, &job.Materials[0], &job.Materials[0].Patterns[0], width, height)
	if len(drawings) != 1 {
		t.Fatalf("%d drawings", len(drawings))
	}
	var texts []string
	for _, s := range drawings[0].Shapes {
		if text, ok := s.(draw.Text); ok {
			texts = append(texts, text.Text)
		}
	}
	want := []string{
		"A1", "pattern 1 of 1", "Birch plywood 12 mm", "1000 × 600 mm", "face grain along the length", "good face up", "Saltmarsh Fit-Out",
		"batch spring-0badcafe", "kerf 3", "trim 10 all round", "yield 45.8 %", "cut 2 times",
		"200", "200", "160", // the strips along the edge
		"1", "2", "3", "4", "5", "6", // tags
		"A-001", "side", "500 × 200", "A-001", "side", "500 × 200", "A-002", "lid", "470 × 160",
		"waste", "cut; its point shows the fence or the stop", "grain", "scale 1:5", "50 mm on paper",
		"Guard and riving knife on.", "Push stick near the blade.", "Eyes, ears and lungs protected, dust extracted.", "Saw off before you reach near it.", "The manual and local rules come first.",
		"cut", "of", "set", "frees", "remains",
		"1-2", "sheet", "200", "2 of strip", "rest",
		"3", "rest", "160", "strip", "waste",
		"cut", "of", "set", "frees", "remains",
		"4-5", "cut 1-2", "500", "2 of A-001", "waste",
		"6", "cut 3", "470", "A-002", "waste",
	}
	if diff := cmp.Diff(want, texts); diff != "" {
		t.Error(diff)
	}
}

func TestScales(t *testing.T) {
	for _, test := range []struct {
		unit  measure.Unit
		scale float64
		want  string
	}{
		{measure.Millimetres, 10, "1:10"}, {measure.Millimetres, 12.5, "1:12.5"},
		{measure.Inches, 12, "1:12 (1 in to the foot)"}, {measure.Inches, 16, "1:16 (3/4 in to the foot)"}, {measure.Inches, 2, "1:2"},
	} {
		if got := scaleName(test.unit, test.scale); got != test.want {
			t.Errorf("scaleName(%v, %v) = %s, want %s", test.unit, test.scale, got, test.want)
		}
	}
	for scale, name := range inchNames { // a name is a length that stands for a foot
		l, err := measure.Parse(name, measure.Inches)
		if err != nil || float64(measure.Foot)/float64(l) != scale {
			t.Errorf("%s to the foot is 1:%v, not 1:%v (%v)", name, float64(measure.Foot)/float64(l), scale, err)
		}
	}
}

// A4 is that of ISO 216; a letter is 8 1/2 x 11 in.
func TestPapers(t *testing.T) {
	if A4.Width != 297 || A4.Height != 210 || Letter.Width != 11*25.4 || Letter.Height != 8.5*25.4 {
		t.Errorf("%+v, %+v", A4, Letter)
	}
}

func TestLetters(t *testing.T) {
	for n, want := range map[int]string{0: "a", 25: "z", 26: "aa", 27: "ab", 51: "az", 52: "ba", 701: "zz", 702: "aaa"} {
		if got := letters(n); got != want {
			t.Errorf("letters(%d) = %s, want %s", n, got, want)
		}
	}
}

// Texts flow within the width, none of a word is lost, and rows break only where they must.
func TestFlow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		width := rapid.Float64Range(8, 100).Draw(t, "width")
		var runs []run
		for _, text := range rapid.SliceOfN(rapid.StringMatching(`[a-zäж ]{1,40}`), 1, 6).Draw(t, "texts") {
			runs = append(runs, run{text, 3.5, false})
		}
		before, after := "", ""
		for _, r := range runs {
			before += r.text
		}
		for _, row := range flow(runs, width, 2) {
			sum := -2.0
			for _, r := range row {
				sum += r.width() + 2
				after += r.text
			}
			if sum > width+1e-9 {
				t.Fatalf("a row is %v mm wide of %v", sum, width)
			}
		}
		if squeeze(before) != squeeze(after) {
			t.Fatalf("%q became %q", before, after)
		}
	})
}

// The free boxes leave every obstacle out and stay within, and nothing of the free space
// is lost.
func TestClear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		side := rapid.IntRange(0, 20)
		draw := func(name string) box {
			x, y := side.Draw(t, name+" x"), side.Draw(t, name+" y")
			return box{float64(x), float64(y), float64(x + 1 + side.Draw(t, name+" w")), float64(y + 1 + side.Draw(t, name+" h"))}
		}
		whole := draw("whole")
		var obstacles []box
		for range rapid.IntRange(0, 4).Draw(t, "obstacles") {
			obstacles = append(obstacles, draw("obstacle"))
		}
		free := whole.clear(obstacles)
		for _, f := range free {
			if !whole.holds(f) || overlapsAny(f, obstacles) {
				t.Fatalf("%v is not free in %v beside %v", f, whole, obstacles)
			}
		}
		for x := whole.x1; x < whole.x2; x++ {
			for y := whole.y1; y < whole.y2; y++ {
				cell := box{x, y, x + 1, y + 1}
				held := false
				for _, f := range free {
					held = held || f.holds(cell)
				}
				if held == overlapsAny(cell, obstacles) {
					t.Fatalf("cell %v: held %v", cell, held)
				}
			}
		}
	})
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
