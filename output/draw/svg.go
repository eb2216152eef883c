package draw

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	svg "github.com/ajstarks/svgo/float"
)

// WriteSVG writes d as SVG 1.1 with its size in mm. It returns the writer's error.
func WriteSVG(w io.Writer, d Drawing) error {
	keep := &errorKeeper{w: w}
	s := svgWriter{svg.New(keep), true}
	s.Startunit(d.Width, d.Height, "mm", viewBox(d), `role="img"`)
	s.drawing(d)
	return keep.err
}

// Element returns d as an svg element for a page that gives it a size and has the type: texts do not
// say how wide they are, which would take a browser a third longer to lay out.
func Element(d Drawing) string {
	var b strings.Builder
	s := svgWriter{svg.New(&b), false}
	s.Startraw(viewBox(d), `role="img"`)
	s.drawing(d)
	return Inline(b.String())
}

func viewBox(d Drawing) string {
	return `viewBox="0 0 ` + number(d.Width) + " " + number(d.Height) + `"`
}

func (s svgWriter) drawing(d Drawing) {
	s.Title(d.Title)
	if d.About != "" {
		s.Desc(d.About)
	}
	s.Group(`font-family="`+family+`"`, `stroke="black"`, `stroke-width="`+number(Narrow)+`"`, `fill="none"`)
	for _, shape := range d.Shapes {
		s.shape(shape)
	}
	s.Gend()
	s.End()
}

// Inline returns the svg element of a file written by WriteSVG, to stand in a page.
func Inline(svg string) string { return svg[strings.Index(svg, "<svg"):] }

// errorKeeper keeps the first error of w, which svgo does not return.
type errorKeeper struct {
	w   io.Writer
	err error
}

func (k *errorKeeper) Write(p []byte) (int, error) {
	if k.err != nil {
		return 0, k.err
	}
	n, err := k.w.Write(p)
	k.err = err
	return n, err
}

type svgWriter struct {
	*svg.SVG
	widths bool // texts say how wide they are
}

func (s svgWriter) shape(shape Shape) {
	switch v := shape.(type) {
	case Line:
		s.Line(v.X1, v.Y1, v.X2, v.Y2, penStyle(v.Pen)...)
	case Rect:
		s.rect(v)
	case Polygon:
		s.polygon(v)
	case Circle:
		s.Circle(v.X, v.Y, v.Radius, append(penStyle(v.Pen), fillStyle(v.Fill)...)...)
	case Modules:
		s.modules(v)
	case Text:
		s.text(v)
	case Clip:
		s.clip(v)
	default:
		panic(unknownShape(shape))
	}
}

// clip draws shapes within an svg element of its own, which shows nothing beyond its edges.
func (s svgWriter) clip(c Clip) {
	x, y, width, height := number(c.X), number(c.Y), number(c.Width), number(c.Height)
	fmt.Fprintf(s.Writer, "<svg x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\" viewBox=\"%s %s %s %s\">\n", x, y, width, height, x, y, width, height)
	for _, shape := range c.Shapes {
		s.shape(shape)
	}
	s.End()
}

func unknownShape(shape Shape) string { return fmt.Sprintf("no shape: %T", shape) }

func (s svgWriter) rect(r Rect) {
	if r.Fill != "" || r.Pen.Width > 0 {
		s.Rect(r.X, r.Y, r.Width, r.Height, append(penStyle(r.Pen), fillStyle(r.Fill)...)...)
	}
	if r.Hatch <= 0 {
		return
	}
	var d strings.Builder
	for _, l := range hatch(r, r.Hatch) {
		fmt.Fprintf(&d, "M%s %sL%s %s", number(l.X1), number(l.Y1), number(l.X2), number(l.Y2))
	}
	if d.Len() > 0 {
		s.Path(d.String(), `stroke-width="`+number(hatchWidth)+`"`)
	}
}

func (s svgWriter) polygon(p Polygon) {
	var x, y []float64
	for i := 0; i+1 < len(p.Points); i += 2 {
		x, y = append(x, p.Points[i]), append(y, p.Points[i+1])
	}
	s.Polygon(x, y, append(penStyle(p.Pen), fillStyle(p.Fill)...)...)
}

func (s svgWriter) text(t Text) {
	if t.Text == "" {
		return
	}
	color := t.Color
	if color == "" {
		color = "black"
	}
	style := []string{
		`font-size="` + number(t.Size/capitals) + `"`,
	}
	if s.widths {
		// The width as measured, so that no other type can burst its box; letters keep
		// their shape, for lengthAdjust is "spacing" unless it is given.
		style = append(style, `textLength="`+number(TextWidth(t.Text, t.Size, t.Bold))+`"`)
	}
	style = append(style, `stroke="none"`, `fill="`+color+`"`)
	if t.Bold {
		style = append(style, `font-weight="bold"`)
	}
	switch t.Anchor {
	case Middle:
		style = append(style, `text-anchor="middle"`)
	case End:
		style = append(style, `text-anchor="end"`)
	}
	if t.Turned {
		style = append(style, `transform="rotate(-90 `+number(t.X)+` `+number(t.Y)+`)"`)
	}
	s.Text(t.X, t.Y, t.Text, style...)
}

func penStyle(p Pen) []string {
	if p.Width <= 0 {
		return []string{`stroke="none"`}
	}
	var style []string
	if p.Width != Narrow {
		style = append(style, `stroke-width="`+number(p.Width)+`"`)
	}
	if p.Color != "" {
		style = append(style, `stroke="`+p.Color+`"`)
	}
	if d := p.dashes(); d != nil {
		style = append(style, `stroke-dasharray="`+number(d[0])+` `+number(d[1])+`"`)
	}
	return style
}

func fillStyle(fill string) []string {
	if fill == "" {
		return nil
	}
	return []string{`fill="` + fill + `"`}
}

// number prints mm to 0.01, the shortest way.
func number(v float64) string {
	return strconv.FormatFloat(math.Round(v*100)/100+0, 'f', -1, 64) // + 0 makes a zero of -0
}
