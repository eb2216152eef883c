package book

import (
	"bytes"
	"flag"
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"sawbook/cabinets/measure"
	paint "sawbook/output/draw"
	"sawbook/output/internal/sample"
)

var update = flag.Bool("update", false, "rewrite the stored pictures")

// A page of every kind looks as it did when somebody last looked at it. The stored pictures change in a
// commit of their own.
func TestPictures(t *testing.T) {
	if testing.Short() {
		t.Skip("it draws a book")
	}
	if _, err := exec.LookPath("pdftoppm"); err != nil {
		t.Skip("pdftoppm is not there (Debian: poppler-utils)")
	}
	pages, names := pagesOfEveryKind(t)
	for i, got := range rendered(t, pages) {
		t.Run(names[i], func(t *testing.T) {
			file := filepath.Join("..", "..", "testdata", "pictures", names[i]+".png")
			if *update {
				keep(t, file, got)
			}
			if at, differs := differ(stored(t, file), got); differs {
				t.Errorf("the page looks otherwise, such as at %v of %v: look at it, and where it is right, go test ./output/book -run TestPictures -args -update", at, got.Rect.Max)
			}
			// What is moved by a millimetre has to be seen.
			if _, differs := differ(got, shifted(got)); !differs {
				t.Error("a page that is 1 mm off passes as well")
			}
		})
	}
}

// pagesOfEveryKind are the first pages of all chapters of a job done by hand, which no plan changes, and of
// the demo those that show whole cabinets and interiors, blanks and templates.
func pagesOfEveryKind(t *testing.T) (pages []paint.Page, names []string) {
	add := func(name string, p paint.Page) {
		pages, names = append(pages, p), append(names, strings.ReplaceAll(strings.ToLower(name), " ", "-"))
	}
	small := sample.Small(measure.Style{})
	all, err := drawAll(small)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range pagesOf(small, "small", chaptersOf(small, sections(small, all))) {
		if len(names) == 0 || pages[len(pages)-1].Chapter != p.Chapter {
			add(p.Chapter, p)
		}
	}
	demo := sample.Demo(t, measure.Style{Unit: measure.Inches})
	demo.Digest = "demo" // plans may change it
	if all, err = drawAll(demo); err != nil {
		t.Fatal(err)
	}
	wanted, met := map[string]int{"Second cuts": 1, "Cabinets": 2, "Interior": 3, "Tiles": 1}, map[string]int{}
	for _, p := range pagesOf(demo, "demo", append(chaptersOf(demo, sections(demo, all)), chapter{"Tiles", drawingsOf(all.tiles)})) {
		if met[p.Chapter]++; met[p.Chapter] <= wanted[p.Chapter] {
			add(fmt.Sprintf("demo %s %d", p.Chapter, met[p.Chapter]), p)
		}
	}
	return pages, names
}

// pictureDots is how fine the stored pictures are, in dots per inch: large type can be read, and twenty of
// them take little room.
const pictureDots = 50

// rendered puts pages on paper, as poppler does.
func rendered(t *testing.T, pages []paint.Page) (pictures []*image.Gray) {
	t.Helper()
	var pdf bytes.Buffer
	if err := paint.WritePDF(&pdf, "", pages); err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	run := exec.Command("pdftoppm", "-r", strconv.Itoa(pictureDots), "-gray", "-png", "-", filepath.Join(dir, "page"))
	run.Stdin = &pdf
	if out, err := run.CombinedOutput(); err != nil {
		t.Fatal(err, string(out))
	}
	files, _ := filepath.Glob(filepath.Join(dir, "*.png"))
	if len(files) != len(pages) {
		t.Fatalf("%d pictures of %d pages", len(files), len(pages))
	}
	for _, f := range files {
		pictures = append(pictures, stored(t, f))
	}
	return pictures
}

func stored(t *testing.T, file string) *image.Gray {
	t.Helper()
	content, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	decoded, err := png.Decode(bytes.NewReader(content))
	if err != nil {
		t.Fatal(file, err)
	}
	picture := image.NewGray(decoded.Bounds())
	draw.Draw(picture, picture.Rect, decoded, decoded.Bounds().Min, draw.Src)
	return picture
}

func keep(t *testing.T, file string, picture *image.Gray) {
	t.Helper()
	var b bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&b, picture); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}

// How far two pictures may differ: the mean of nine dots side by side, by a fifth of black. Versions
// of the renderer shade the rims of letters otherwise, by less than that (common practice, no source).
const (
	pictureSlack = 51 // of 255
	pictureReach = 1  // dots to each side
)

// differ returns a place where two pictures differ.
func differ(a, b *image.Gray) (image.Point, bool) {
	if a.Rect != b.Rect {
		return image.Point{}, true
	}
	for y := pictureReach; y < a.Rect.Max.Y-pictureReach; y++ {
		for x := pictureReach; x < a.Rect.Max.X-pictureReach; x++ {
			sum := 0
			for dy := -pictureReach; dy <= pictureReach; dy++ {
				for dx := -pictureReach; dx <= pictureReach; dx++ {
					sum += int(a.GrayAt(x+dx, y+dy).Y) - int(b.GrayAt(x+dx, y+dy).Y)
				}
			}
			if max(sum, -sum) > pictureSlack*(2*pictureReach+1)*(2*pictureReach+1) {
				return image.Pt(x, y), true
			}
		}
	}
	return image.Point{}, false
}

// shifted is a picture moved by a millimetre to the right and down.
func shifted(a *image.Gray) *image.Gray {
	const dots = pictureDots / 25
	b := image.NewGray(a.Rect)
	draw.Draw(b, b.Rect, image.White, image.Point{}, draw.Src)
	draw.Draw(b, b.Rect.Add(image.Pt(dots, dots)), a, image.Point{}, draw.Src)
	return b
}
