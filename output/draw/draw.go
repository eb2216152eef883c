// Package draw holds drawings: lists of shapes in millimetres on paper, y downwards,
// and their writers. Line widths and types follow ISO 128, dimensions ISO 129.
package draw

// Drawing is a list of shapes on a sheet of paper, painted in order.
type Drawing struct {
	Width, Height float64 // mm
	Title, About  string  // for readers that do not see
	Shapes        []Shape
}

// Add paints shapes over those that are there.
func (d *Drawing) Add(shapes ...Shape) { d.Shapes = append(d.Shapes, shapes...) }

// Shape is a Line, Rect, Polygon, Circle, Modules, Text or Clip.
type Shape interface{ shape() }

// Pen is how a line is drawn.
type Pen struct {
	Width  float64 // mm; 0 draws no line
	Dashed bool
	Color  string // "#rrggbb"; "" is black
}

// Widths of lines in mm (ISO 128: wide to narrow 2:1).
const (
	Wide   = 0.5
	Narrow = 0.25
)

// dashes returns the lengths of a dash and a gap, nil for a line without: 12 and 3 widths
// (ISO 128).
func (p Pen) dashes() []float64 {
	if !p.Dashed {
		return nil
	}
	return []float64{12 * p.Width, 3 * p.Width}
}

// Line is a straight line.
type Line struct {
	X1, Y1, X2, Y2 float64
	Pen            Pen
}

// Rect is a rectangle; Fill "" is not filled. Hatch fills it with slanted narrow lines
// that far apart in mm; 0 is none.
type Rect struct {
	X, Y, Width, Height float64
	Pen                 Pen
	Fill                string
	Hatch               float64
}

// Polygon is a closed line through points x1, y1, x2, y2, ...
type Polygon struct {
	Points []float64
	Pen    Pen
	Fill   string
}

// Circle is a circle.
type Circle struct {
	X, Y, Radius float64
	Pen          Pen
	Fill         string
}

// Anchor says which end of a text its x is.
type Anchor int

const (
	Start Anchor = iota
	Middle
	End
)

// Text is one line of text; x, y is on its base line. Size is the least height of its
// capital letters in mm: what is meant by "5 mm lettering" on paper.
type Text struct {
	X, Y   float64
	Size   float64
	Anchor Anchor
	Turned bool // reads from bottom to top
	Bold   bool
	Text   string
	Color  string
}

// Clip is shapes of which no more is seen than lies in a rectangle.
type Clip struct {
	X, Y, Width, Height float64
	Shapes              []Shape
}

func (Line) shape()    {}
func (Rect) shape()    {}
func (Polygon) shape() {}
func (Circle) shape()  {}
func (Text) shape()    {}
func (Clip) shape()    {}

// Move returns shapes moved by dx, dy.
func Move(shapes []Shape, dx, dy float64) []Shape {
	moved := make([]Shape, len(shapes))
	for i, shape := range shapes {
		switch v := shape.(type) {
		case Line:
			v.X1, v.Y1, v.X2, v.Y2 = v.X1+dx, v.Y1+dy, v.X2+dx, v.Y2+dy
			shape = v
		case Rect:
			v.X, v.Y = v.X+dx, v.Y+dy
			shape = v
		case Polygon:
			points := make([]float64, len(v.Points))
			for k := 0; k+1 < len(points); k += 2 {
				points[k], points[k+1] = v.Points[k]+dx, v.Points[k+1]+dy
			}
			v.Points = points
			shape = v
		case Circle:
			v.X, v.Y = v.X+dx, v.Y+dy
			shape = v
		case Modules:
			v.X, v.Y = v.X+dx, v.Y+dy
			shape = v
		case Text:
			v.X, v.Y = v.X+dx, v.Y+dy
			shape = v
		case Clip:
			v.X, v.Y = v.X+dx, v.Y+dy
			v.Shapes = Move(v.Shapes, dx, dy)
			shape = v
		}
		moved[i] = shape
	}
	return moved
}
