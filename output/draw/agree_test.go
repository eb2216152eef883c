package draw_test

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
	"sawbook/output/diagram"
	"sawbook/output/draw"
	"sawbook/output/internal/sample"
	"sawbook/output/table"
)

const (
	dotsPerMM = 10
	// within is how far apart the same ink may lie in both: 0.3 mm.
	within = 3 // dots
)

// drawings returns one of every kind, by name.
func drawings(t *testing.T) map[string]draw.Drawing {
	t.Helper()
	faults := &source.Collector{}
	root := filepath.Join("..", "..", "testdata", "demo")
	f := batch.OpenFolder(faults, root)
	width, height := diagram.A4.Room()
	box := batch.List(f.Load("long-box", nil))
	layout := f.Load(filepath.Join(root, "layouts", "curlew.yaml"), nil)
	if err := faults.Err(); err != nil {
		t.Fatal(err)
	}
	k := diagram.Keyed{Title: "long-box", Solid: box.Batch.Vehicles[0].Interior.Cabinets[0].Solid}
	for i := range k.Solid.Parts {
		k.Marks = append(k.Marks, fmt.Sprint(i+1))
	}
	options := sample.Metric(7, 13)
	options.Names = append(options.Names, sample.LongNames...)
	cut := sample.Job(options)
	m := &cut.Materials[0]
	const mm = measure.Millimetre
	cut.Batch.Shop.Labels = &shop.Labels{Width: 70 * mm, Height: 37 * mm, Columns: 2, Rows: 2, PaperWidth: 150 * mm, PaperHeight: 80 * mm, PitchX: 75 * mm, PitchY: 40 * mm}
	labels, err := diagram.NewLabelSheets(cut, 1).Sheet(0)
	if err != nil {
		t.Fatal(err)
	}
	interior, style := layout.Vehicles[0].Interior, measure.Style{}
	return map[string]draw.Drawing{
		"plan":        diagram.Plan(interior, "pantry", style, width, height),
		"wall":        diagram.Elevations(interior, style, width, height)[0],
		"list":        diagram.List(table.Parts(box), "Length along the grain.", width, height)[0],
		"cut diagram": diagram.Sheet(cut, m, &m.Patterns[0], width, height)[0],
		"machining":   diagram.Machining(box, table.Machined(box)[0], width, height)[0],
		"labels":      labels,
		"cabinet":     diagram.Cabinet(k, width, height),
		"tile":        diagram.Tiles(diagram.Template(box, table.Machined(box)[0]), measure.Millimetres, width, height)[0],
	}
}

// TestWritersAgree wants the same ink at the same places, within 0.3 mm, from both writers,
// as librsvg and poppler put it on paper.
func TestWritersAgree(t *testing.T) {
	for _, tool := range []string{"rsvg-convert", "pdftoppm"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skipf("%s is not there (Debian: librsvg2-bin, poppler-utils)", tool)
		}
	}
	if testing.Short() {
		t.Skip("it looks at millions of dots")
	}
	dir := fonts(t)
	for name, d := range drawings(t) {
		t.Run(name, func(t *testing.T) {
			svg, pdf := rasterSVG(t, dir, d), rasterPDF(t, dir, d, 0)
			if n, where := astray(svg, pdf); n > 0 {
				t.Errorf("%d dots of the SVG are not in the PDF, such as that at %v mm", n, where)
			}
			if n, where := astray(pdf, svg); n > 0 {
				t.Errorf("%d dots of the PDF are not in the SVG, such as that at %v mm", n, where)
			}
			if n, _ := astray(svg, rasterPDF(t, dir, d, 0.6)); n == 0 {
				t.Error("a drawing that is 0.6 mm off passes as well")
			}
		})
	}
}

// fonts writes the embedded type, and a configuration by which librsvg finds no other.
func fonts(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	config := fmt.Sprintf(`<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "fonts.dtd"><fontconfig><dir>%s</dir><cachedir>%s</cachedir></fontconfig>`, dir, dir)
	for name, content := range map[string][]byte{"Go-Regular.ttf": goregular.TTF, "Go-Bold.ttf": gobold.TTF, "fonts.conf": []byte(config)} {
		if err := os.WriteFile(filepath.Join(dir, name), content, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// rasterSVG draws by way of WriteSVG.
func rasterSVG(t *testing.T, dir string, d draw.Drawing) *image.Gray {
	t.Helper()
	var b bytes.Buffer
	if err := draw.WriteSVG(&b, d); err != nil {
		t.Fatal(err)
	}
	return raster(t, dir, b.Bytes(), "rsvg-convert", "-d", "254", "-p", "254", "-b", "white", "-o", "out.png", "in")
}

// rasterPDF draws by way of WritePDF, moved to the right by so many mm.
func rasterPDF(t *testing.T, dir string, d draw.Drawing, moved float64) *image.Gray {
	t.Helper()
	var b bytes.Buffer
	if err := draw.WritePDF(&b, "", []draw.Page{{Width: d.Width, Height: d.Height, X: moved, Drawing: d}}); err != nil {
		t.Fatal(err)
	}
	return raster(t, dir, b.Bytes(), "pdftoppm", "-r", "254", "-png", "-singlefile", "in", "out")
}

// raster runs a tool that turns the file "in" into "out.png".
func raster(t *testing.T, dir string, content []byte, tool string, args ...string) *image.Gray {
	t.Helper()
	if err := os.WriteFile(filepath.Join(dir, "in"), content, 0o600); err != nil {
		t.Fatal(err)
	}
	run := exec.Command(tool, args...)
	run.Dir = dir
	run.Env = append(os.Environ(), "FONTCONFIG_FILE="+filepath.Join(dir, "fonts.conf"))
	if out, err := run.CombinedOutput(); err != nil {
		t.Fatalf("%s: %v %s", tool, err, out)
	}
	f, err := os.Open(filepath.Join(dir, "out.png"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	picture, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	gray := image.NewGray(picture.Bounds())
	for y := range gray.Rect.Dy() {
		for x := range gray.Rect.Dx() {
			gray.SetGray(x, y, color.GrayModel.Convert(picture.At(x, y)).(color.Gray))
		}
	}
	return gray
}

// astray counts the dark dots of a that have none near them in b, and tells where one is.
func astray(a, b *image.Gray) (n int, where [2]float64) {
	const dark, grey = 90, 190
	for y := range a.Rect.Dy() {
		for x := range a.Rect.Dx() {
			if a.GrayAt(x, y).Y < dark && !anyDarker(b, x, y, grey) {
				n++
				where = [2]float64{float64(x) / dotsPerMM, float64(y) / dotsPerMM}
			}
		}
	}
	return n, where
}

// anyDarker reports whether some dot near a place is darker than a grey.
func anyDarker(p *image.Gray, x, y int, grey uint8) bool {
	for dy := -within; dy <= within; dy++ {
		for dx := -within; dx <= within; dx++ {
			at := image.Pt(x+dx, y+dy)
			if dx*dx+dy*dy <= within*within && at.In(p.Rect) && p.GrayAt(at.X, at.Y).Y < grey {
				return true
			}
		}
	}
	return false
}

// TestPaperScale wants the bar of 100 mm on a tile to be 100 mm on paper, to 0.3 mm: it is counted in
// dots along its row.
func TestPaperScale(t *testing.T) {
	if _, err := exec.LookPath("pdftoppm"); err != nil {
		t.Skip("pdftoppm is not there (Debian: poppler-utils)")
	}
	width, height := diagram.A4.Room()
	tile := diagram.Tiles(draw.Drawing{Width: 50, Height: 50, Title: "a template", Shapes: []draw.Shape{draw.Line{X2: 50, Y2: 50, Pen: draw.Pen{Width: draw.Wide}}}}, measure.Millimetres, width, height)[0]
	picture := rasterPDF(t, fonts(t), tile, 0)
	longest := 0
	for y := range 13 * dotsPerMM { // the head
		run := 0
		for x := range picture.Rect.Dx() {
			if run++; picture.GrayAt(x, y).Y > 127 {
				run = 0
			}
			longest = max(longest, run)
		}
	}
	if bar := float64(longest) / dotsPerMM; bar < 99.7 || bar > 100.3+draw.Narrow {
		t.Errorf("the bar of 100 mm is %.1f mm long", bar)
	}
}
