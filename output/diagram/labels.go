package diagram

import (
	"fmt"
	"slices"
	"strings"

	"rsc.io/qr"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/shop"
	"sawbook/output/draw"
	"sawbook/output/table"
)

// LabelSheets are the labels of a job, laid out on the shop's label paper.
type LabelSheets struct {
	job    *batch.Job
	paper  *shop.Labels
	labels []batch.Label
	blank  int // labels of the first sheet that are used up
	felt   map[cabinets.Place][]cabinets.Direction
	over   map[*cabinets.Part]bool // whether it lies turned over in its piece
	fits   map[string]fitted
}

// fitted is what fits a label: lettering of a scale, and so many notes.
type fitted struct {
	scale float64
	notes int
}

// NewLabelSheets lays out a job's labels, the first at place from of the first sheet, counted
// from 1 along its rows. The shop must say what labels are printed on.
func NewLabelSheets(job *batch.Job, from int) *LabelSheets {
	return &LabelSheets{
		job: job, paper: job.Batch.Shop.Labels, labels: batch.Labels(job), blank: from - 1,
		felt: table.FeltSides(job), over: map[*cabinets.Part]bool{}, fits: map[string]fitted{},
	}
}

// Count returns how many sheets of paper the labels take.
func (s *LabelSheets) Count() int {
	each := s.paper.Sheet()
	return (s.blank + len(s.labels) + each - 1) / each
}

// Sheet draws a sheet of labels, counted from 0.
func (s *LabelSheets) Sheet(n int) (draw.Drawing, error) {
	p := s.paper
	first, last := max(n*p.Sheet()-s.blank, 0), min((n+1)*p.Sheet()-s.blank, len(s.labels))
	d := draw.Drawing{Width: p.PaperWidth.MM(), Height: p.PaperHeight.MM(), Title: fmt.Sprintf("Labels %d to %d", first+1, last)}
	for i := first; i < last; i++ {
		shapes, err := s.label(&s.labels[i])
		if err != nil {
			return d, err
		}
		at := (i + s.blank) % p.Sheet()
		column, row := at%p.Columns, at/p.Columns
		x, y := p.Left.MM()+float64(float64(column)*p.PitchX.MM()), p.Top.MM()+float64(float64(row)*p.PitchY.MM())
		d.Add(draw.Move(shapes, x, y)...)
	}
	return d, nil
}

// Measures of a label, in mm.
const (
	labelMargin = 2.0 // as far as a printer may be off
	quiet       = 4   // modules that stay free round a code (ISO/IEC 18004)
	serialSize  = 5.0
	placeSize   = 2.4
	cutSize     = 3.0
	labelNote   = 2.0
	captionSize = 1.8
	sketchShare = 0.42 // of the width beside the code
)

// moduleSizes are the sides of a code's modules, from large to the least that a telephone
// reads and a printer with 8 dots to the mm prints (common practice, no source).
var moduleSizes = []float64{0.75, 0.625, 0.5, 0.375}

// labelScales are how large the lettering is, from large to small.
var labelScales = []float64{1.8, 1.6, 1.4, 1.2, 1, 0.9, 0.8}

// label draws one label, its upper left corner at 0, 0.
func (s *LabelSheets) label(l *batch.Label) ([]draw.Shape, error) {
	inside := box{0, 0, s.paper.Width.MM(), s.paper.Height.MM()}.inset(labelMargin)
	code, err := codeOf(l.ID, inside.height()*0.55)
	if err != nil {
		return nil, err
	}
	c := s.card(l)
	key := c.key()
	fit, known := s.fits[key]
	if !known {
		fit = c.fit(inside, code)
		s.fits[key] = fit
	}
	c.notes = c.notes[:fit.notes]
	shapes, _ := c.set(inside, code, fit.scale)
	return shapes, nil
}

// fit finds the largest lettering for which all of a label has room. Where even the least has
// none, what matters least is left out.
func (c card) fit(inside box, code draw.Modules) fitted {
	for ; ; c.notes = c.notes[:len(c.notes)-1] {
		for _, scale := range labelScales {
			if _, fits := c.set(inside, code, scale); fits || len(c.notes) == 0 && scale == labelScales[len(labelScales)-1] {
				return fitted{scale, len(c.notes)}
			}
		}
	}
}

// key tells cards apart that need not fit alike. All digits are of one width, so that labels
// which differ in them alone fit alike.
func (c *card) key() string {
	texts := slices.Concat([]string{c.number, c.size, c.serial, c.caption}, c.places, []string{""}, c.notes, []string{fmt.Sprint(c.sketch)})
	return strings.Map(func(r rune) rune {
		if '0' <= r && r <= '9' {
			return '0'
		}
		return r
	}, strings.Join(texts, "\n"))
}

// codeOf returns a text as a QR code with modules as large as a height allows, or the least.
func codeOf(text string, height float64) (draw.Modules, error) {
	code, err := qr.Encode(text, qr.M)
	if err != nil {
		return draw.Modules{}, fmt.Errorf("the code of label %s: %w", text, err)
	}
	m := draw.Modules{Rows: make([][]bool, code.Size)}
	for y := range m.Rows {
		for x := range code.Size {
			m.Rows[y] = append(m.Rows[y], code.Black(x, y))
		}
	}
	for _, m.Module = range moduleSizes {
		if withQuiet(m) <= height {
			break
		}
	}
	return m, nil
}

// withQuiet returns the side of a code with the zone round it that stays free.
func withQuiet(m draw.Modules) float64 { return m.Side() + float64(2*quiet*m.Module) }

// set lays a label out at a scale of its lettering, and reports whether all of it has room.
// The code stands at the lower right, over it the vehicle; at the left stand number, size and
// place, under them the sketch and the notes.
func (c *card) set(inside box, code draw.Modules, scale float64) (shapes []draw.Shape, fits bool) {
	side := withQuiet(code)
	corner := box{inside.x2 - side, inside.y2 - side, inside.x2, inside.y2}
	// The zone may reach half into the margin, which stays free as well.
	corner.x1, corner.y1, corner.x2, corner.y2 = corner.x1+labelMargin/2, corner.y1+labelMargin/2, corner.x2+labelMargin/2, corner.y2+labelMargin/2
	code.X, code.Y = corner.x1+quiet*code.Module, corner.y1+quiet*code.Module
	d := draw.Drawing{Shapes: []draw.Shape{code}}
	c.setSerial(&d, box{corner.x1 + 1, inside.y1, inside.x2, corner.y1}, scale)
	left := box{inside.x1, inside.y1, corner.x1, inside.y2}
	left.y1, fits = c.setHead(&d, left, scale)
	return d.Shapes, c.setBody(&d, left, scale) && fits
}

// setSerial sets the vehicle, and what it is over it, as large as there is room.
func (c *card) setSerial(d *draw.Drawing, room box, scale float64) {
	caption := run{c.caption, captionSize, false}
	_, above, below := rowExtent([]run{caption})
	y := room.y1
	if room.height() >= above+below+cutSize {
		d.Add(draw.Text{X: room.x2, Y: y + above, Size: caption.size, Anchor: draw.End, Text: caption.text})
		y += above + below + 0.3
	}
	serial := run{c.serial, serialSize * scale, true}
	for ; serial.size > captionSize; serial.size -= 0.2 {
		_, above, below = rowExtent([]run{serial})
		if serial.width() <= room.width() && above+below <= room.y2-y {
			break
		}
	}
	serial = shorten(serial, room.width())
	d.Add(draw.Text{X: room.x2, Y: y + above, Size: serial.size, Bold: true, Anchor: draw.End, Text: serial.text})
}

// setHead sets number and size, beside one another where there is room, and the place under
// them. It returns where it ends, and whether the size is not broken.
func (c *card) setHead(d *draw.Drawing, room box, scale float64) (end float64, fits bool) {
	number := run{c.number, max(numberSize, numberSize*scale), true}
	for number.size > cutSize && number.width() > room.width() {
		number.size -= 0.1
	}
	size := run{c.size, cutSize * scale, true}
	rows := flow([]run{shorten(number, room.width()), size}, room.width(), runGap)
	rows = append(rows, c.placeRows(room.width(), scale)...)
	return setRows(d, rows, room.x1, room.y1, rowGap, runGap), size.width() <= room.width()
}

// placeRows says where the part goes: at length on one row or, where the lettering is large, on
// two; else shorter.
func (c *card) placeRows(width, scale float64) [][]run {
	for i, text := range c.places {
		r := run{text, placeSize * scale, false}
		switch rows := flow([]run{r}, width, 0); {
		case len(rows) == 1 || len(rows) == 2 && scale > 1:
			return rows
		case i == len(c.places)-1:
			return [][]run{{shorten(r, width)}}
		}
	}
	return nil
}

// setBody sets the sketch, and the notes beside it.
func (c *card) setBody(d *draw.Drawing, room box, scale float64) (fits bool) {
	room.y1 += rowGap
	sketched, end, drawn := c.sketch.draw(box{room.x1, room.y1, room.x1 + room.width()*sketchShare, room.y2}, labelNote*scale)
	if !drawn {
		return false
	}
	at := end + 1.5
	var runs []run
	for _, n := range c.notes {
		r := run{n, labelNote * scale, false}
		if scale > 1 && r.width() > room.x2-at { // better smaller than broken
			return false
		}
		runs = append(runs, r)
	}
	rows := flow(runs, room.x2-at, 2)
	if rowsHeight(rows, rowGap) > room.height() {
		return false
	}
	d.Add(sketched...)
	setRows(d, rows, at, room.y1, rowGap, 2)
	return true
}

// shorten cuts a text off that is too wide.
func shorten(r run, width float64) run {
	letters := []rune(r.text)
	for n := len(letters) - 1; n > 0 && r.width() > width; n-- {
		r.text = string(letters[:n]) + "…"
	}
	return r
}
