package diagram

import (
	"sawbook/output/draw"
	"sawbook/output/table"
)

const stackedGap = 6.0 // mm between lists

// Stacked draws lists one below the other, narrow ones side by side, on as many pages of that width and height in mm as
// they take. The title stands on each page, facts on the first. Without lists and facts there is no page.
func Stacked(title string, facts []string, lists []*table.Table, width, height float64) []draw.Drawing {
	s := &stacker{title: title, width: width, height: height}
	for _, f := range facts {
		s.need(dimensionSize + 2)
		s.y = setRows(s.page(), flow([]run{{f, dimensionSize, false}}, width, factGap), 0, s.y, titleGap, factGap)
	}
	s.bottom = s.y
	for _, t := range lists {
		if t = t.For(table.Page); len(t.Rows) > 0 {
			s.list(newListing(t, width))
		}
	}
	return s.pages
}

// stacker fills pages from above.
type stacker struct {
	title         string
	width, height float64
	pages         []draw.Drawing
	x, y, bottom  float64 // where a list may begin beside the last, and where those end
}

func (s *stacker) page() *draw.Drawing { return &s.pages[len(s.pages)-1] }

// need begins a page where less than that height is left from y down.
func (s *stacker) need(height float64) {
	if len(s.pages) > 0 && s.y+height <= s.height {
		return
	}
	title := s.title
	if len(s.pages) > 0 {
		title += ", continued"
	}
	s.pages = append(s.pages, draw.Drawing{Width: s.width, Height: s.height, Title: title, About: title})
	s.x, s.y = 0, setRows(s.page(), flow([]run{{title, numberSize, true}}, s.width, factGap), 0, 0, titleGap, factGap)+3.5
	s.bottom = s.y
}

// list puts a list beside those before it where it fits there, else below them.
func (s *stacker) list(l *listing) {
	whole := l.headHeight()
	for i := range l.rows {
		whole += l.rows[i].height()
	}
	if s.x > 0 && s.x+l.width <= s.width && s.y+whole <= s.height {
		end, _ := l.put(s.page(), s.x, s.y, s.height, l.name, l.rows)
		s.x, s.bottom = s.x+l.width+listColumnGap, max(s.bottom, end)
		return
	}
	s.x, s.y = 0, s.bottom+stackedGap
	name := l.name
	for rest := l.rows; len(rest) > 0; {
		s.need(l.headHeight() + rest[0].height())
		start := s.y
		s.bottom, rest = l.put(s.page(), 0, start, s.height, name, rest)
		if name = l.name + ", continued"; len(rest) > 0 {
			s.y = s.height
		} else {
			s.x = l.width + listColumnGap
		}
	}
}

// headHeight is what a list's title and heads take.
func (l *listing) headHeight() float64 { return dimensionSize + 2.5 + l.heads.height() + 0.5 }

// put draws a list with its title at x, y, as many of its rows as there are above the least height, one at least; it returns
// where they end, and the rest.
func (l *listing) put(d *draw.Drawing, x, y, height float64, name string, rows []listRow) (end float64, rest []listRow) {
	var list draw.Drawing
	list.Add(draw.Text{Y: y + dimensionSize, Size: dimensionSize, Bold: true, Text: name})
	y = l.heads.draw(&list, l, y+dimensionSize+2.5)
	list.Add(draw.Line{X2: l.width, Y1: y - listRowGap/2, Y2: y - listRowGap/2, Pen: draw.Pen{Width: draw.Wide}})
	y += 0.5
	for n := 0; len(rows) > 0 && (n == 0 || y+rows[0].height() <= height); n++ {
		y = rows[0].draw(&list, l, y)
		rows = rows[1:]
	}
	d.Add(draw.Move(list.Shapes, x, 0)...)
	return y, rows
}
