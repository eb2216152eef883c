package diagram

import (
	"math"
	"slices"
	"strings"

	"sawbook/output/draw"
	"sawbook/output/table"
)

const (
	listText    = 2.5 // mm, of cells
	listLine    = 3.9 // from one line of a cell to the next
	listCellGap = 2.6 // between the cells of a row
	listRowGap  = 0.9 // below a row's texts, and above the next
	listTitle   = 4.0
	leastColumn = 9.0 // of a column that is broken within words
	// Between columns of a narrow list.
	listColumnGap = 9.0
)

// List draws a table on as many pages of that width and height in mm as it takes: its title and a
// note on the first, its heads on each, a narrow one in several columns. Cells that are too wide for their column go over several lines.
// Without rows there is no page.
func List(t *table.Table, note string, width, height float64) []draw.Drawing {
	t = t.For(table.Page)
	if len(t.Rows) == 0 {
		return nil
	}
	l := newListing(t, width)
	var pages []draw.Drawing
	for rest := l.rows; len(rest) > 0; {
		d := draw.Drawing{Width: width, Height: height, Title: t.Title, About: t.Title}
		top := l.title(&d, note, len(pages) == 0)
		// A narrow list stands in columns.
		for x := 0.0; x+l.width <= width+0.01 && len(rest) > 0; x += l.width + listColumnGap {
			var column draw.Drawing
			y := l.heads.draw(&column, l, top)
			column.Add(draw.Line{X2: l.width, Y1: y - listRowGap/2, Y2: y - listRowGap/2, Pen: draw.Pen{Width: draw.Wide}})
			y += 0.5
			for n := 0; len(rest) > 0 && (n == 0 || y+rest[0].height() <= height); n++ {
				y = rest[0].draw(&column, l, y)
				rest = rest[1:]
			}
			d.Add(draw.Move(column.Shapes, x, 0)...)
		}
		pages = append(pages, d)
	}
	return pages
}

// listing is a table, measured.
type listing struct {
	name   string
	right  []bool
	at     []float64 // where columns begin
	widths []float64
	width  float64
	heads  listRow
	rows   []listRow
}

// listRow is a row: the lines of each cell.
type listRow struct {
	cells [][]run
	bold  bool
}

func newListing(t *table.Table, width float64) *listing {
	l := &listing{name: t.Title}
	cells := make([][]float64, len(t.Rows))
	for row := range cells {
		cells[row] = make([]float64, len(t.Columns))
	}
	natural, least := make([]float64, len(t.Columns)), make([]float64, len(t.Columns))
	for i, c := range t.Columns {
		l.right = append(l.right, c.Right())
		natural[i] = run{c.Head, listText, true}.width()
		least[i] = min(longestWord(c.Head, true), natural[i])
		for row := range t.Rows {
			text := t.Print(row, i)
			w := run{text, listText, false}.width()
			natural[i] = max(natural[i], w)
			cells[row][i] = w
			if c.Right() {
				least[i] = max(least[i], w)
			} else {
				least[i] = max(least[i], min(longestWord(text, false), 4*leastColumn))
			}
		}
	}
	l.widths = columnWidths(cells, natural, least, width-listCellGap*float64(len(t.Columns)-1))
	x := 0.0
	for _, w := range l.widths {
		l.at = append(l.at, x)
		x += w + listCellGap
	}
	l.width = x - listCellGap
	l.heads = l.row(func(i int) string { return t.Columns[i].Head }, true)
	for row := range t.Rows {
		l.rows = append(l.rows, l.row(func(i int) string { return t.Print(row, i) }, false))
	}
	return l
}

// longestWord returns the width of a text's longest word.
func longestWord(text string, bold bool) (longest float64) {
	for _, word := range strings.Fields(text) {
		longest = max(longest, run{word, listText, bold}.width())
	}
	return longest
}

// columnWidths shares a width out to columns, given how wide each cell of a row is when it is not
// broken: what is left beyond the least goes, bit by bit, to the column that makes the list
// lowest. No column is narrower than its least, unless that is too much in all; and none is
// broken where there is room for all.
func columnWidths(cells [][]float64, natural, least []float64, width float64) []float64 {
	left := func(widths []float64) float64 {
		rest := width
		for _, w := range widths {
			rest -= w
		}
		return rest
	}
	if left(natural) >= 0 {
		return natural
	}
	widths := slices.Clone(least)
	rest := left(widths)
	if rest < 0 {
		for i := range widths {
			widths[i] = min(widths[i], leastColumn)
		}
		return widths
	}
	for {
		best, by, gain := -1, 0.0, 0.0
		for i := range widths {
			for _, more := range []float64{2, 6, 18, 54} {
				if more = min(more, natural[i]-widths[i]); more <= 0 || more > rest {
					continue
				}
				before := linesOf(cells, widths)
				widths[i] += more
				if g := (before - linesOf(cells, widths)) / more; g > gain {
					best, by, gain = i, more, g
				}
				widths[i] -= more
			}
		}
		if best < 0 {
			return widths
		}
		widths[best] += by
		rest -= by
	}
}

// linesOf returns about how many lines rows take in columns of these widths. The lines of a cell that is
// not its row's highest count a little too: where two cells are as high, neither makes the row lower by itself.
func linesOf(cells [][]float64, widths []float64) (lines float64) {
	const other = 0.01
	for _, row := range cells {
		most := 1.0
		for i, w := range row {
			if w > widths[i] {
				n := math.Ceil(float64(w*brokenShare) / widths[i])
				most = max(most, n)
				lines += float64(other * n)
			}
		}
		lines += most
	}
	return lines
}

// brokenShare is how much longer a text is about when it is broken at words.
const brokenShare = 1.1

func (l *listing) row(text func(i int) string, bold bool) listRow {
	r := listRow{bold: bold}
	for i, w := range l.widths {
		r.cells = append(r.cells, broken(run{strings.Join(strings.Fields(text(i)), " "), listText, bold}, w+0.01))
	}
	return r
}

func (r *listRow) height() float64 {
	lines := 1
	for _, c := range r.cells {
		lines = max(lines, len(c))
	}
	return float64(float64(lines)*listLine) + listRowGap
}

// title draws what stands over the columns of a page, and returns where these begin.
func (l *listing) title(d *draw.Drawing, note string, first bool) float64 {
	title := l.name
	if !first {
		title += ", continued"
	}
	y := setRows(d, flow([]run{{title, listTitle, true}}, d.Width, factGap), 0, 0, titleGap, factGap) + 1.5
	if first && note != "" {
		y = setRows(d, flow([]run{{note, noteSize, false}}, d.Width, factGap), 0, y, titleGap, factGap) + 1.5
	}
	return y
}

// draw draws a row from y down, a narrow line below it, and returns where it ends.
func (r *listRow) draw(d *draw.Drawing, l *listing, y float64) float64 {
	for i, lines := range r.cells {
		for k, line := range lines {
			t := draw.Text{X: l.at[i], Y: y + float64(float64(k)*listLine) + listText + 0.6, Size: listText, Bold: r.bold, Text: line.text}
			if l.right[i] {
				t.X, t.Anchor = l.at[i]+l.widths[i], draw.End
			}
			d.Add(t)
		}
	}
	y += r.height()
	if !r.bold {
		d.Add(draw.Line{X2: l.width, Y1: y - listRowGap/2, Y2: y - listRowGap/2, Pen: draw.Pen{Width: draw.Narrow / 2}})
	}
	return y
}

// Prose draws paragraphs under a title, each with a word in bold before it, on one page or several.
func Prose(title string, paragraphs [][2]string, width, height float64) (pages []draw.Drawing) {
	var d *draw.Drawing
	y := 0.0
	for _, p := range paragraphs {
		rows := flow([]run{{p[0], dimensionSize, true}, {p[1], dimensionSize, false}}, min(width, 200), runGap)
		if h := rowsHeight(rows, 1.4); d == nil || y+h > height {
			pages = append(pages, draw.Drawing{Width: width, Height: height, Title: title, About: title})
			d = &pages[len(pages)-1]
			y = setRows(d, [][]run{{{title, listTitle, true}}}, 0, 0, titleGap, factGap) + 3
		}
		y = setRows(d, rows, 0, y, 1.4, runGap) + 3.5
	}
	return pages
}
