package draw

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

func sample() Drawing {
	d := Drawing{Width: 100, Height: 50, Title: `<A> & "B"`, About: "a sample"}
	d.Add(
		Line{1, 2, 3, 4.005, Pen{Width: Wide}},
		Line{1, 2, 3, 4, Pen{Width: Narrow, Dashed: true}},
		Rect{X: 10, Y: 10, Width: 20, Height: 10, Pen: Pen{Width: Wide}, Hatch: 3},
		Rect{X: 1, Y: 1, Width: 2, Height: 2, Fill: "white"},
		Polygon{Points: []float64{1, 1, 2, 2, 1, 2}, Fill: "black"},
		Circle{X: 5, Y: 5, Radius: 2, Pen: Pen{Width: Narrow}},
		Text{X: 40, Y: 20, Size: 5, Text: "<script>&\x00", Bold: true, Anchor: Middle},
		Text{X: 60, Y: 40, Size: 3.5, Text: "12 15/32", Turned: true, Anchor: End},
	)
	return d
}

func svgOf(t testing.TB, d Drawing) string {
	t.Helper()
	var b bytes.Buffer
	if err := WriteSVG(&b, d); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// wellFormed reads every token of an XML text.
func wellFormed(text string) error {
	decoder := xml.NewDecoder(strings.NewReader(text))
	for {
		if _, err := decoder.Token(); err == io.EOF {
			return nil
		} else if err != nil {
			return err
		}
	}
}

func TestWriteSVG(t *testing.T) {
	text := svgOf(t, sample())
	if err := wellFormed(text); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		`width="100.00mm" height="50.00mm"`,
		`viewBox="0 0 100 50"`,
		`<title>&lt;A&gt; &amp; &#34;B&#34;</title>`,
		`<desc>a sample</desc>`,
		`&lt;script&gt;&amp;` + "\uFFFD",
		`stroke-dasharray="3 0.75"`, // 12 and 3 widths of a narrow line
		`rotate(-90 60 40)`,
		`textLength="`,
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%s is missing in\n%s", want, text)
		}
	}
	if again := svgOf(t, sample()); again != text {
		t.Error("two runs differ")
	}
}

func TestInline(t *testing.T) {
	if text := Inline(svgOf(t, sample())); !strings.HasPrefix(text, "<svg") {
		t.Errorf("starts with %.20q", text)
	}
}

// An element draws what the file does, but takes its size and its type from its page.
func TestElement(t *testing.T) {
	element := Element(sample())
	if head, _, _ := strings.Cut(element, ">"); !strings.HasPrefix(head, "<svg") || strings.Contains(head, " width=") || !strings.Contains(head, "viewBox") {
		t.Errorf("starts with %q", head)
	}
	body := regexp.MustCompile(` textLength="[^"]*"`).ReplaceAllString(svgOf(t, sample()), "")
	if _, want, _ := strings.Cut(body, "<title>"); !strings.HasSuffix(element, want) {
		t.Errorf("%s\nis not\n%s", element, want)
	}
}

// full is a writer that takes so many bytes.
type full int

var errFull = errors.New("disk full")

func (f *full) Write(p []byte) (int, error) {
	if *f -= full(len(p)); *f < 0 {
		return 0, errFull
	}
	return len(p), nil
}

func TestWriteSVGReturnsTheWritersError(t *testing.T) {
	size := len(svgOf(t, sample()))
	for n := range size {
		f := full(n)
		if err := WriteSVG(&f, sample()); !errors.Is(err, errFull) {
			t.Fatalf("room for %d bytes of %d: error %v", n, size, err)
		}
	}
}

func TestAnyTextIsWellFormed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := Drawing{Width: 10, Height: 10, Title: rapid.String().Draw(t, "title")}
		d.Add(Text{Size: 3, Text: rapid.String().Draw(t, "text")})
		var b bytes.Buffer
		if err := WriteSVG(&b, d); err != nil {
			t.Fatal(err)
		}
		if err := wellFormed(b.String()); err != nil {
			t.Fatalf("%v\n%s", err, b.String())
		}
	})
}

func TestNumber(t *testing.T) {
	for v, want := range map[float64]string{0: "0", math.Copysign(0, -1): "0", -0.001: "0", 1.005: "1",
		12.5: "12.5", 12.346: "12.35", -3: "-3", 100: "100"} {
		if got := number(v); got != want {
			t.Errorf("number(%v) = %s, want %s", v, got, want)
		}
	}
}

// All digits of the Go typeface are 1139/2048 em wide, as in its table of widths.
func TestTextWidth(t *testing.T) {
	want := 10 * 1139.0 / 2048 * 3.5 / capitals
	if got := TextWidth("0123456789", 3.5, false); math.Abs(got-want) > 1e-3 {
		t.Errorf("width %v, want %v", got, want)
	}
	if TextWidth("D-014", 5, false) >= TextWidth("D-014 x", 5, false) {
		t.Error("a longer text is not wider")
	}
	if math.Abs(TextWidth("漢", 3, false)-3/capitals) > 1e-9 {
		t.Error("a letter that the type lacks does not take an em")
	}
}

func TestTextBox(t *testing.T) {
	const size = 5.0
	width := TextWidth("H", size, false)
	for _, test := range []struct {
		text           Text
		x1, y2, x2, y1 float64 // y1 is not compared where it is NaN
	}{
		{Text{X: 10, Y: 20, Size: size, Text: "H"}, 10, 20, 10 + width, math.NaN()},
		{Text{X: 10, Y: 20, Size: size, Text: "H", Anchor: End}, 10 - width, 20, 10, math.NaN()},
		{Text{X: 10, Y: 20, Size: size, Text: "H", Anchor: Middle}, 10 - width/2, 20, 10 + width/2, math.NaN()},
		{Text{X: 10, Y: 20, Size: size, Text: "H", Turned: true}, math.NaN(), 20, 10, 20 - width},
		{Text{X: 10, Y: 20, Size: size, Text: "H", Turned: true, Anchor: End}, math.NaN(), 20 + width, 10, 20},
	} {
		x1, y1, x2, y2 := test.text.Box()
		for _, pair := range [][2]float64{{x1, test.x1}, {y1, test.y1}, {x2, test.x2}, {y2, test.y2}} {
			if !math.IsNaN(pair[1]) && math.Abs(pair[0]-pair[1]) > 1e-9 {
				t.Errorf("%+v: box %v %v %v %v", test.text, x1, y1, x2, y2)
				break
			}
		}
		if high := max(x2-x1, y2-y1); high < size {
			t.Errorf("%+v: lower than its capitals", test.text)
		}
	}
	_, _, _, flat := Text{Size: size, Text: "H"}.Box()
	_, _, _, deep := Text{Size: size, Text: "g"}.Box()
	if flat > 0.01 || deep < 0.2*size {
		t.Errorf("below the base line: H %v, g %v", flat, deep)
	}
}

// Every line of a hatch lies inside its rectangle, and neighbours are spacing apart.
func TestHatch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		side := rapid.Float64Range(0.1, 200)
		r := Rect{X: side.Draw(t, "x"), Y: side.Draw(t, "y"), Width: side.Draw(t, "width"), Height: side.Draw(t, "height")}
		spacing := rapid.Float64Range(0.5, 10).Draw(t, "spacing")
		lines := hatch(r, spacing)
		for i, l := range lines {
			for _, p := range [][2]float64{{l.X1, l.Y1}, {l.X2, l.Y2}} {
				if p[0] < r.X-1e-9 || p[0] > r.X+r.Width+1e-9 || p[1] < r.Y-1e-9 || p[1] > r.Y+r.Height+1e-9 {
					t.Fatalf("%v leaves %v", l, r)
				}
			}
			if i > 0 {
				apart := (l.X1 + l.Y1 - lines[i-1].X1 - lines[i-1].Y1) / math.Sqrt2
				if math.Abs(apart-spacing) > 1e-6 {
					t.Fatalf("lines are %v apart, want %v", apart, spacing)
				}
			}
		}
		// the diagonal across the lines is as long as (width + height) / sqrt 2
		if want := (r.Width+r.Height)/math.Sqrt2/spacing - 2.2; float64(len(lines)) < math.Floor(want) {
			t.Fatalf("%d lines, want %v or more", len(lines), want)
		}
	})
}

// Wide lines are twice as wide as narrow ones (ISO 128).
func TestLineWidths(t *testing.T) {
	if Wide != 2*Narrow || Narrow < 0.25 {
		t.Errorf("lines of %v and %v mm", Wide, Narrow)
	}
}

func TestMove(t *testing.T) {
	shapes := sample().Shapes
	moved := Move(shapes, 10, -5)
	want := []Shape{
		Line{11, -3, 13, -0.995, Pen{Width: Wide}},
		Line{11, -3, 13, -1, Pen{Width: Narrow, Dashed: true}},
		Rect{X: 20, Y: 5, Width: 20, Height: 10, Pen: Pen{Width: Wide}, Hatch: 3},
		Rect{X: 11, Y: -4, Width: 2, Height: 2, Fill: "white"},
		Polygon{Points: []float64{11, -4, 12, -3, 11, -3}, Fill: "black"},
		Circle{X: 15, Y: 0, Radius: 2, Pen: Pen{Width: Narrow}},
		Text{X: 50, Y: 15, Size: 5, Text: "<script>&\x00", Bold: true, Anchor: Middle},
		Text{X: 70, Y: 35, Size: 3.5, Text: "12 15/32", Turned: true, Anchor: End},
	}
	if diff := cmp.Diff(want, moved, cmpopts.EquateApprox(0, 1e-9)); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff(sample().Shapes, shapes); diff != "" {
		t.Errorf("the shapes given were changed: %s", diff)
	}
}
