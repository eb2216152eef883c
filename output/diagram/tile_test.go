package diagram

import (
	"math"
	"slices"
	"strings"
	"testing"

	"sawbook/cabinets/measure"
	"sawbook/output/draw"
	"sawbook/output/internal/sample"
)

// laid is a tile as it comes from the printer.
type laid struct {
	name  string
	marks [][2]float64 // on its page, row by row
	shows box          // on its page
	all   []draw.Shape // what it shows
}

func readTile(t *testing.T, d draw.Drawing) laid {
	t.Helper()
	l := laid{name: d.Title[strings.LastIndex(d.Title, ", ")+2:]}
	for _, s := range d.Shapes {
		switch v := s.(type) {
		case draw.Clip:
			l.shows, l.all = extentOf(v), v.Shapes
		case draw.Polygon:
			b := extentOf(v)
			l.marks = append(l.marks, [2]float64{(b.x1 + b.x2) / 2, (b.y1 + b.y2) / 2})
		}
	}
	slices.SortFunc(l.marks, func(a, b [2]float64) int {
		return int(math.Copysign(1, (a[1]-b[1])*1000+a[0]-b[0]))
	})
	if len(l.marks) != 4 {
		t.Fatalf("%s has %d marks", l.name, len(l.marks))
	}
	return l
}

// ground is a drawing with a grid of circles.
func ground(width, height float64) draw.Drawing {
	d := draw.Drawing{Width: width, Height: height, Title: "Template of A-001"}
	d.Add(rectOf(box{0, 0, width, height}, draw.Wide), draw.Line{X1: 0, Y1: 0, X2: width, Y2: height, Pen: draw.Pen{Width: draw.Wide}})
	for x := 10.0; x < width; x += 40 {
		for y := 10.0; y < height; y += 40 {
			d.Add(draw.Circle{X: x, Y: y, Radius: 3, Fill: "black"})
		}
	}
	return d
}

// Tiles laid mark on mark, by what their labels say, show the whole drawing, every line of it in one
// place; and the bar is as long as it says.
func TestTiles(t *testing.T) {
	for _, paper := range []Paper{A4, Letter} {
		unit, bar := measure.Millimetres, 100.0
		if paper == Letter {
			unit, bar = measure.Inches, 101.6 // 4 in
		}
		width, height := paper.Room()
		for _, size := range [][2]float64{{100, 60}, {255.1, 155.1}, {300, 150}, {1852, 589}, {120, 2440}} {
			full := ground(size[0], size[1])
			offsets := map[string][2]float64{} // from the page of a tile to that of A1
			tiles := map[string]laid{}
			var shown []box
			for _, d := range Tiles(full, unit, width, height) {
				checkPage(t, &d)
				tile := readTile(t, d)
				if tiles[tile.name].name != "" {
					t.Errorf("two tiles %s", tile.name)
				}
				tiles[tile.name] = tile
				if !slices.ContainsFunc(d.Shapes, func(s draw.Shape) bool {
					l, is := s.(draw.Line)
					return is && l.Y1 == l.Y2 && math.Abs(l.X2-l.X1-bar) < 1e-9
				}) {
					t.Errorf("%s has no bar of %v mm", tile.name, bar)
				}
			}
			// From A1 to the right along each row, and down the first column.
			for row := 0; row < 26; row++ {
				for column := 1; ; column++ {
					tile, there := tiles[string(rune('A'+row))+itoa(column)]
					if !there {
						break
					}
					var by [2]float64
					if column > 1 { // its left marks on the right ones of that before
						before := tiles[string(rune('A'+row))+itoa(column-1)]
						by = put(t, offsets[before.name], tile, before, [2]int{0, 2}, [2]int{1, 3})
					} else if row > 0 {
						before := tiles[string(rune('A'+row-1))+"1"]
						by = put(t, offsets[before.name], tile, before, [2]int{0, 1}, [2]int{2, 3})
					}
					offsets[tile.name] = by
					shown = append(shown, moved(tile.shows, by))
				}
			}
			a1 := tiles["A1"]
			origin := [2]float64{a1.shows.x1, a1.shows.y1}
			// Each circle of the drawing is seen whole somewhere or in parts, where it belongs.
			for _, tile := range tiles {
				by, laid := offsets[tile.name]
				if !laid {
					continue // blank ones lie between
				}
				for _, s := range draw.Move(tile.all, by[0]-origin[0], by[1]-origin[1]) {
					if c, is := s.(draw.Circle); is && (off(c.X) > 1e-6 || off(c.Y) > 1e-6) {
						t.Fatalf("%v: %s shows a circle at %v, %v", size, tile.name, c.X, c.Y)
					}
				}
			}
			for x := 0.25; x < size[0]; x += 3 {
				for y := 0.25; y < size[1]; y += 3 {
					at := box{x, y, x + 0.1, y + 0.1}
					if !overlapsAny(moved(at, origin), shown) {
						t.Fatalf("%v: nothing shows %v, %v", size, x, y)
					}
				}
			}
		}
	}
}

// off is how far a coordinate lies from those of the circles.
func off(v float64) float64 { return math.Abs(math.Remainder(v-10, 40)) }

func itoa(n int) string { return strings.TrimPrefix(tileName(0, n-1), "A") }

func moved(b box, by [2]float64) box {
	return box{b.x1 + by[0], b.y1 + by[1], b.x2 + by[0], b.y2 + by[1]}
}

// put returns how to move a tile so that two of its marks lie on two of one that lies already.
func put(t *testing.T, before [2]float64, tile, on laid, marks, those [2]int) (by [2]float64) {
	t.Helper()
	for i := range marks {
		m, o := tile.marks[marks[i]], on.marks[those[i]]
		move := [2]float64{before[0] + o[0] - m[0], before[1] + o[1] - m[1]}
		if i > 0 && math.Hypot(move[0]-by[0], move[1]-by[1]) > 1e-9 {
			t.Errorf("the marks of %s do not lie on those of %s", tile.name, on.name)
		}
		by = move
	}
	return by
}

// Nothing of the templates of real pieces is lost: every shape is on some tile, and a tile on which nothing
// lies is left out.
func TestTilesOfTemplates(t *testing.T) {
	job := sample.Small(measure.Style{})
	width, height := A4.Room()
	full := Template(job, job.Pieces[0])
	pages := Tiles(full, measure.Millimetres, width, height)
	for _, s := range full.Shapes {
		text, is := s.(draw.Text)
		if !is {
			continue
		}
		if !slices.ContainsFunc(pages, func(d draw.Drawing) bool {
			return slices.ContainsFunc(readTile(t, d).all, func(s draw.Shape) bool {
				v, is := s.(draw.Text)
				return is && v.Text == text.Text
			})
		}) {
			t.Errorf("%q is on no tile", text.Text)
		}
	}
	hollow := draw.Drawing{Width: 1000, Height: 800, Title: "hollow"}
	hollow.Add(rectOf(box{0, 0, 1000, 800}, draw.Wide))
	all, g := len(Tiles(hollow, measure.Millimetres, width, height)), newTiling(hollow, width, height)
	if all == 0 || all >= g.rows*g.columns {
		t.Errorf("%d tiles of %d show an outline alone", all, g.rows*g.columns)
	}
	look(t, "tile", pages)
}
