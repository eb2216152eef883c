package draw

import (
	"io"
	"strconv"
	"strings"
	"time"
	"unicode"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
)

// Page is a sheet of paper with a drawing on it, its upper left corner at X, Y; all in mm.
type Page struct {
	Width, Height, X, Y float64
	Chapter             string // to which it belongs; "" is none
	Drawing             Drawing
}

// WritePDF writes pages as PDF 1.x, each with a bookmark of its drawing's title under that of its
// chapter, the type embedded. The same pages give the same bytes.
func WritePDF(w io.Writer, title string, pages []Page) error {
	p := pdfWriter{Fpdf: fpdf.New("P", "mm", "A4", "")}
	p.SetTitle(title, true)
	p.SetCreationDate(noDate)
	p.SetModificationDate(noDate)
	p.SetCatalogSort(true)
	p.SetAutoPageBreak(false, 0)
	p.AddUTF8FontFromBytes(pdfFamily, "", goregular.TTF)
	p.AddUTF8FontFromBytes(pdfFamily, "B", gobold.TTF)
	chapter := ""
	for _, page := range pages {
		p.AddPageFormat("P", fpdf.SizeType{Wd: page.Width, Ht: page.Height})
		p.RawWriteStr("4 M\n") // how far corners may reach: what SVG takes where nothing is said
		p.mark(page, chapter)
		chapter = page.Chapter
		for _, shape := range Move(page.Drawing.Shapes, page.X, page.Y) {
			p.shape(shape)
		}
	}
	return p.Output(w)
}

const pdfFamily = "go"

// noDate stands where a PDF wants the time of day, which no file of ours holds.
var noDate = time.Unix(0, 0).UTC()

type pdfWriter struct{ *fpdf.Fpdf }

// mark sets the bookmarks of a page: that of its chapter where one begins, and its own.
func (p pdfWriter) mark(page Page, before string) {
	level := 0
	if page.Chapter != "" {
		if level = 1; page.Chapter != before {
			p.Bookmark(printable(page.Chapter, false), 0, 0)
		}
	}
	p.Bookmark(printable(page.Drawing.Title, false), level, 0)
}

func (p pdfWriter) shape(shape Shape) {
	switch v := shape.(type) {
	case Line:
		if p.pen(v.Pen) {
			p.Line(v.X1, v.Y1, v.X2, v.Y2)
		}
	case Rect:
		p.rect(v)
	case Polygon:
		var points []fpdf.PointType
		for i := 0; i+1 < len(v.Points); i += 2 {
			points = append(points, fpdf.PointType{X: v.Points[i], Y: v.Points[i+1]})
		}
		if style := p.style(v.Pen, v.Fill); style != "" {
			p.Polygon(points, style)
		}
	case Circle:
		if style := p.style(v.Pen, v.Fill); style != "" {
			p.Circle(v.X, v.Y, v.Radius, style)
		}
	case Modules:
		p.modules(v)
	case Text:
		p.text(v)
	case Clip:
		p.clip(v)
	default:
		panic(unknownShape(shape))
	}
}

func (p pdfWriter) clip(c Clip) {
	p.ClipRect(c.X, c.Y, c.Width, c.Height, false)
	for _, shape := range c.Shapes {
		p.shape(shape)
	}
	p.ClipEnd()
	p.SetFont(pdfFamily, "", 0.1) // what was set within is forgotten; a size that no text has, for fpdf does not set the same again
}

func (p pdfWriter) rect(r Rect) {
	if style := p.style(r.Pen, r.Fill); style != "" {
		p.Rect(r.X, r.Y, r.Width, r.Height, style)
	}
	if r.Hatch > 0 {
		p.pen(Pen{Width: hatchWidth})
		for _, l := range hatch(r, r.Hatch) {
			p.Line(l.X1, l.Y1, l.X2, l.Y2)
		}
	}
}

// style readies pen and fill, and returns how fpdf is to draw an outline; "" is not at all.
func (p pdfWriter) style(pen Pen, fill string) (style string) {
	if fill != "" {
		p.SetFillColor(rgb(fill))
		style = "F"
	}
	if p.pen(pen) {
		style += "D"
	}
	return style
}

// pen readies a pen, and reports whether it draws.
func (p pdfWriter) pen(pen Pen) bool {
	if pen.Width <= 0 {
		return false
	}
	p.SetLineWidth(pen.Width)
	p.SetDrawColor(rgb(pen.Color))
	p.SetDashPattern(pen.dashes(), 0)
	return true
}

func (p pdfWriter) text(t Text) {
	words := printable(t.Text, t.Bold)
	if words == "" {
		return
	}
	style := ""
	if t.Bold {
		style = "B"
	}
	const pointsPerMM = 72 / 25.4
	p.SetFont(pdfFamily, style, t.Size/capitals*pointsPerMM)
	p.SetTextColor(rgb(t.Color))
	x := t.X
	switch width := TextWidth(words, t.Size, t.Bold); t.Anchor {
	case Middle:
		x -= width / 2
	case End:
		x -= width
	}
	if t.Turned {
		p.TransformBegin()
		p.TransformRotate(90, t.X, t.Y)
		defer p.TransformEnd()
	}
	p.Text(x, t.Y, words)
}

// printable puts a question mark where the embedded type lacks a letter.
func printable(text string, isBold bool) string {
	face := faceOf(isBold)
	return strings.Map(func(r rune) rune {
		if face.has(r) && !unicode.IsControl(r) {
			return r
		}
		return '?'
	}, text)
}

// rgb reads "#rrggbb", "white", or black: "black" and "".
func rgb(color string) (r, g, b int) {
	if color == "white" {
		color = "#ffffff"
	}
	n, err := strconv.ParseUint(strings.TrimPrefix(color, "#"), 16, 24)
	if err != nil {
		return 0, 0, 0
	}
	return int(n >> 16), int(n >> 8 & 0xff), int(n & 0xff)
}
