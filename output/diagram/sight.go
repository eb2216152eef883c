package diagram

import (
	"fmt"
	"math"
	"strconv"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/output/diagram/scene"
	"sawbook/output/draw"
)

// sight is a solid seen from somewhere, in mm at full size.
type sight struct {
	scene  *scene.Scene
	extent box
	faces  []scene.Face // from a corner alone
	fills  [][3]string  // of the scene's bodies, by the axis along which a face looks
	lines  []scene.Line
	rounds []round
}

// round is the rim of a hole: a closed line, of which some pieces may be hidden.
type round struct {
	points []float64
	seen   []bool // whether the piece from each point to the next is
}

// bodyOf returns a part as cut, less its grooves and cut-outs.
func bodyOf(p *cabinets.Part) scene.Body {
	body := scene.Body{p.Snapped}
	for _, f := range p.Features {
		if f.Kind == cabinets.Groove || f.Kind == cabinets.Cutout {
			body = body.Less(p.Place(f.Box))
		}
	}
	return body
}

// newSight looks at a solid whose parts are moved; nil moves none.
func newSight(v scene.View, s *cabinets.Solid, moved [][3]measure.Length) *sight {
	bodies := make([]scene.Body, len(s.Parts))
	fills := fillsOf(s)
	l := &sight{}
	for i := range s.Parts {
		bodies[i] = bodyOf(&s.Parts[i])
		if moved != nil {
			bodies[i] = bodies[i].Moved(moved[i])
		}
		l.fills = append(l.fills, fills[s.Parts[i].Role])
	}
	sc := scene.New(v, bodies)
	l.scene = sc
	l.extent.x1, l.extent.y1, l.extent.x2, l.extent.y2 = sc.Extent()
	l.lines = sc.Lines()
	if v.FromCorner() {
		l.faces = sc.Faces()
	}
	for i := range s.Parts {
		var by [3]measure.Length
		if moved != nil {
			by = moved[i]
		}
		l.holes(&s.Parts[i], by)
	}
	return l
}

// corners is how many corners the rim of a hole has where it is drawn as a polygon.
const corners = 24

// holes adds the rims of a part's holes that open toward the viewer.
func (l *sight) holes(p *cabinets.Part, by [3]measure.Length) {
	sc := l.scene
	toward := sc.View.Toward(p.Thin)
	for _, f := range p.Features {
		b := p.Place(f.Box)
		if f.Kind != cabinets.Hole || toward == 0 || toward > 0 && b.Hi[p.Thin] < p.Snapped.Hi[p.Thin] || toward < 0 && b.Lo[p.Thin] > p.Snapped.Lo[p.Thin] {
			continue
		}
		first, second := (p.Thin+1)%3, (p.Thin+2)%3
		var at [3]measure.Length
		at[p.Thin] = b.Lo[p.Thin] + by[p.Thin]
		if toward > 0 {
			at[p.Thin] = b.Hi[p.Thin] + by[p.Thin]
		}
		rim := func(turn float64) [3]measure.Length {
			sin, cos := math.Sincos(2 * math.Pi * turn / corners)
			at[first] = by[first] + onRim(b, first, cos)
			at[second] = by[second] + onRim(b, second, sin)
			return at
		}
		var r round
		for i := range corners {
			x, y := sc.View.Paper(rim(float64(i)))
			r.points = append(r.points, x, y)
			r.seen = append(r.seen, !sc.Hidden(rim(float64(i)+0.5)))
		}
		l.rounds = append(l.rounds, r)
	}
}

// onRim returns how far along an axis a point of the rim of a hole lies, for the sine or
// cosine of its angle.
func onRim(b cabinets.Box, a cabinets.Axis, share float64) measure.Length {
	radius := float64(b.Size(a)) / 2
	return (b.Lo[a]+b.Hi[a])/2 + measure.Length(math.Round(float64(radius*share)))
}

// fillsOf returns a tint for each role of a solid, in its shades.
func fillsOf(s *cabinets.Solid) map[string][3]string {
	fills := map[string][3]string{}
	for i := range s.Parts {
		role := s.Parts[i].Role
		if _, known := fills[role]; known {
			continue
		}
		tint := palette[len(fills)%len(palette)]
		var f [3]string
		for axis, share := range shades {
			f[axis] = shade(tint, share)
		}
		fills[role] = f
	}
	return fills
}

// palette is that of Okabe and Ito (2008), told apart by readers with any colour vision.
var palette = []string{"#e69f00", "#56b4e9", "#009e73", "#f0e442", "#cc79a7", "#d55e00", "#0072b2"}

// shades are how much of its tint a face shows that looks along x, y or z, so that faces
// are told apart in black and white as well.
var shades = [3]float64{0.5, 0.28, 0.12}

// shade mixes a tint with white.
func shade(tint string, share float64) string {
	rgb, _ := strconv.ParseUint(tint[1:], 16, 24) // those of the palette are well formed
	shaded := "#"
	for _, shift := range [3]int{16, 8, 0} {
		ink := 255 - float64(rgb>>shift&0xff)
		shaded += fmt.Sprintf("%02x", int(math.Round(255-float64(ink*share))))
	}
	return shaded
}

// frame places a sight on paper: its extent's corner at x, y, at a scale.
type frame struct{ x, y, scale float64 }

func (l *sight) place(f frame, x, y float64) (px, py float64) {
	return f.x + (x-l.extent.x1)/f.scale, f.y + (y-l.extent.y1)/f.scale
}

// shapes draws the sight: faces and lines that are seen, hidden lines where dashed is set.
func (l *sight) shapes(f frame, pen draw.Pen, painted, dashed bool) (shapes []draw.Shape) {
	if painted {
		for _, face := range l.faces {
			fill := l.fills[face.Body][face.Axis]
			// The line covers the seam to the next face of the same colour.
			shapes = append(shapes, draw.Polygon{Points: l.placed(f, face.Points), Fill: fill, Pen: draw.Pen{Width: 0.1, Color: fill}})
		}
	}
	if dashed {
		for _, line := range l.lines {
			if line.Hidden && !l.crowded(line, f.scale) {
				shapes = append(shapes, l.line(f, line, draw.Pen{Width: draw.Narrow, Dashed: true}))
			}
		}
	}
	for _, line := range l.lines {
		if !line.Hidden {
			shapes = append(shapes, l.line(f, line, pen))
		}
	}
	for _, r := range l.rounds {
		shapes = append(shapes, r.shapes(l.placed(f, r.points))...)
	}
	return shapes
}

// crowded reports whether a line runs so near beside one that is seen that the two would
// be one on paper.
func (l *sight) crowded(line scene.Line, scale float64) bool {
	const least = 1.0 // mm on paper
	across := func(o scene.Line) float64 {
		if line.X1 == line.X2 {
			return math.Abs(o.X1 - line.X1)
		}
		return math.Abs(o.Y1 - line.Y1)
	}
	x, y := (line.X1+line.X2)/2, (line.Y1+line.Y2)/2
	for _, o := range l.lines {
		alongside := line.X1 == line.X2 && o.X1 == o.X2 && min(o.Y1, o.Y2) <= y && y <= max(o.Y1, o.Y2) ||
			line.Y1 == line.Y2 && o.Y1 == o.Y2 && min(o.X1, o.X2) <= x && x <= max(o.X1, o.X2)
		if !o.Hidden && alongside && across(o) < least*scale {
			return true
		}
	}
	return false
}

func (l *sight) line(f frame, line scene.Line, pen draw.Pen) draw.Line {
	x1, y1 := l.place(f, line.X1, line.Y1)
	x2, y2 := l.place(f, line.X2, line.Y2)
	return draw.Line{X1: x1, Y1: y1, X2: x2, Y2: y2, Pen: pen}
}

func (l *sight) placed(f frame, points []float64) []float64 {
	placed := make([]float64, len(points))
	for i := 0; i < len(points); i += 2 {
		placed[i], placed[i+1] = l.place(f, points[i], points[i+1])
	}
	return placed
}

// shapes draws the pieces of a rim that are seen.
func (r *round) shapes(points []float64) (shapes []draw.Shape) {
	pen := draw.Pen{Width: draw.Narrow}
	whole := true
	for i, seen := range r.seen {
		if whole = whole && seen; seen {
			k := (2*i + 2) % len(points)
			shapes = append(shapes, draw.Line{X1: points[2*i], Y1: points[2*i+1], X2: points[k], Y2: points[k+1], Pen: pen})
		}
	}
	if whole {
		return []draw.Shape{draw.Polygon{Points: points, Pen: pen}}
	}
	return shapes
}
