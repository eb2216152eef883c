package draw

import (
	"slices"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Text is measured in the Go typeface, and set in whichever of these is there: in the
// next three digits and letters are as wide or a little narrower. Whatever else stands
// in is squeezed to the measured width by readers that can.
const family = "Go, Arial, Helvetica, 'Liberation Sans', sans-serif"

// capitals is the height of capital letters as a share of the em: that of the lowest
// of the family (Liberation Sans 1409/2048; Go 0.723, Arial 0.716), so that no text
// comes out lower than it was asked for.
const capitals = 0.688

// face is a measured typeface.
type face struct {
	font   *sfnt.Font
	mutex  sync.Mutex
	glyphs map[rune]glyph
}

// glyph is the extent of a letter as shares of the em: its advance, and how far it
// reaches above and below the base line; and whether the type lacks it.
type glyph struct {
	advance, above, below float64
	lacks                 bool
}

// strange is a letter that the type lacks: some other type will set it.
var strange = glyph{advance: 1, above: 0.95, below: 0.25, lacks: true}

var regular, bold = newFace(goregular.TTF), newFace(gobold.TTF)

func newFace(ttf []byte) func() *face {
	return sync.OnceValue(func() *face {
		f, err := sfnt.Parse(ttf)
		if err != nil {
			panic("the embedded type cannot be read: " + err.Error())
		}
		return &face{font: f, glyphs: map[rune]glyph{}}
	})
}

// faceOf returns the bold or the regular face.
func faceOf(isBold bool) *face {
	if isBold {
		return bold()
	}
	return regular()
}

// measure returns the extent of text set in one line.
func (f *face) measure(text string) glyph {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	var sum glyph
	for _, r := range text {
		g := f.known(r)
		sum.advance += g.advance
		sum.above, sum.below = max(sum.above, g.above), max(sum.below, g.below)
	}
	return sum
}

// has reports whether the type has a letter.
func (f *face) has(r rune) bool {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	return !f.known(r).lacks
}

// Lacks returns the letters of a text that the embedded type lacks, each once and in its order.
func Lacks(text string) string {
	var lacks []rune
	for _, r := range text {
		if !(regular().has(r) && bold().has(r)) && !slices.Contains(lacks, r) {
			lacks = append(lacks, r)
		}
	}
	return string(lacks)
}

// known returns a letter's extent, read once. The mutex must be held.
func (f *face) known(r rune) glyph {
	g, known := f.glyphs[r]
	if !known {
		g = f.glyph(r)
		f.glyphs[r] = g
	}
	return g
}

func (f *face) glyph(r rune) glyph {
	var buffer sfnt.Buffer
	index, err := f.font.GlyphIndex(&buffer, r)
	if err != nil || index == 0 {
		return strange
	}
	em := fixed.I(int(f.font.UnitsPerEm()))
	bounds, advance, err := f.font.GlyphBounds(&buffer, index, em, font.HintingNone)
	if err != nil {
		return strange
	}
	share := func(v fixed.Int26_6) float64 { return float64(v) / float64(em) }
	return glyph{advance: share(advance), above: share(-bounds.Min.Y), below: max(0, share(bounds.Max.Y))}
}

// TextWidth returns the width in mm of a text set at that height of capitals, measured
// in the embedded type.
func TextWidth(text string, size float64, isBold bool) float64 {
	return faceOf(isBold).measure(text).advance * size / capitals
}

// Box returns the corners of the rectangle that t covers.
func (t Text) Box() (x1, y1, x2, y2 float64) {
	m := faceOf(t.Bold).measure(t.Text)
	em := t.Size / capitals
	// The conversions keep products from being fused with what they are added to, which
	// would differ from machine to machine.
	width, above, below := float64(m.advance*em), float64(m.above*em), float64(m.below*em)
	before := 0.0
	switch t.Anchor {
	case Middle:
		before = width / 2
	case End:
		before = width
	}
	if t.Turned {
		return t.X - above, t.Y + before - width, t.X + below, t.Y + before
	}
	return t.X - before, t.Y - above, t.X - before + width, t.Y + below
}
