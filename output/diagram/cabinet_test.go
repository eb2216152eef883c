package diagram

import (
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	gocmp "github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
	"sawbook/output/draw"
)

var demoFolder = filepath.Join("..", "..", "testdata", "demo")

// openDemo opens the demo shop's folder.
func openDemo(t *testing.T) *batch.Folder {
	t.Helper()
	faults := &source.Collector{}
	f := batch.OpenFolder(faults, demoFolder)
	if err := faults.Err(); err != nil {
		t.Fatal(err)
	}
	return f
}

// TestCabinet draws every cabinet, built in or the demo's own, for each paper: all parts
// carry their mark, no text overlaps anything or leaves the paper.
func TestCabinet(t *testing.T) {
	f := openDemo(t)
	for _, name := range f.Catalogue.Names() {
		job := batch.List(f.Load(name, nil))
		numbers := map[string]string{}
		for _, p := range job.Pieces {
			for _, place := range p.Goes {
				numbers[place.Part] = p.ID
			}
		}
		solid := job.Batch.Vehicles[0].Interior.Cabinets[0].Solid
		for _, style := range []measure.Style{{}, {Unit: measure.Inches, Denominator: 32}} {
			width, height := PaperFor(style.Unit).Room()
			k := Keyed{Title: name, Solid: solid, Style: style}
			for i := range solid.Parts {
				k.Marks = append(k.Marks, numbers[solid.Parts[i].Name])
			}
			d := Cabinet(k, width, height)
			c := &checker{style: style}
			c.drawing(d, width, height)
			c.allMarked(d, k)
			for _, fault := range c.found {
				t.Errorf("%s in %v: %s", name, style.Unit, fault)
			}
		}
	}
}

// allMarked checks that each mark stands on the drawing once, with a dot for each.
func (c *checker) allMarked(d draw.Drawing, k Keyed) {
	texts, dots := map[string]int{}, 0
	for _, s := range d.Shapes {
		switch v := s.(type) {
		case draw.Text:
			texts[v.Text]++
			if slices.Contains(k.Marks, v.Text) && v.Size < dimensionSize {
				c.fault("mark %s is %v mm high", v.Text, v.Size)
			}
		case draw.Circle:
			if v.Fill == "black" {
				dots++
			}
		}
	}
	different := map[string]bool{}
	for _, m := range k.Marks {
		if different[m] = true; texts[m] != 1 {
			c.fault("mark %s stands %d times on the drawing", m, texts[m])
		}
	}
	if dots != len(different) {
		c.fault("%d dots for %d marks", dots, len(different))
	}
}

// TestDimensions holds every dimension of a cabinet's views against the length of its line
// at the printed scale.
func TestDimensions(t *testing.T) {
	f := openDemo(t)
	for _, name := range f.Catalogue.Names() {
		solid, err := cabinets.Expand(f.Shop, f.Catalogue.Lookup(name), cabinets.Choice{})
		if err != nil {
			t.Fatal(err)
		}
		views := newElevations(Keyed{Solid: solid})
		for a, v := range map[cabinets.Axis]*sight{cabinets.X: views.front, cabinets.Y: views.above, cabinets.Z: views.front} {
			vertical := a != cabinets.X
			stops := v.stops(vertical)
			whole := measure.Length(math.Round((stops[len(stops)-1] - stops[0]) * 1e6))
			lo, hi := solid.Parts[0].Snapped.Lo[a], solid.Parts[0].Snapped.Hi[a]
			for i := range solid.Parts {
				lo, hi = min(lo, solid.Parts[i].Snapped.Lo[a]), max(hi, solid.Parts[i].Snapped.Hi[a])
			}
			if whole != hi-lo {
				t.Errorf("%s: along %v the stops are %s apart, the parts %s", name, a, whole.Exact(), (hi - lo).Exact())
			}
			var lines []float64
			texts := 0
			for _, s := range dimensions(stops, v, frame{scale: 10}, vertical, measure.Style{}) {
				switch s := s.(type) {
				case draw.Line:
					if long := max(math.Abs(s.X2-s.X1), math.Abs(s.Y2-s.Y1)) * 10; s.X1 == s.X2 == vertical {
						lines = append(lines, long)
					}
				case draw.Text:
					texts++
					value, err := strconv.ParseFloat(strings.TrimPrefix(s.Text, "~"), 64)
					if err != nil || !slices.ContainsFunc(lines, func(l float64) bool { return math.Abs(l-value) < 0.0501 }) {
						t.Errorf("%s: dimension %q has no line of its length", name, s.Text)
					}
				}
			}
			if texts == 0 {
				t.Errorf("%s: no dimension along %v", name, a)
			}
		}
	}
}

// TestExplode wants parts taken apart to lie clear of one another: any two that touched,
// or one of which stood in a groove of the other, are apart.
func TestExplode(t *testing.T) {
	f := openDemo(t)
	for _, name := range f.Catalogue.Names() {
		d := f.Catalogue.Lookup(name)
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				sizes := map[string]measure.Length{}
				for _, s := range d.Sizes {
					sizes[s.Name] = rapid.SampledFrom([]measure.Length{s.Default, s.Least, s.Most}).Draw(t, s.Name)
				}
				solid, err := cabinets.Expand(f.Shop, d, cabinets.Choice{Sizes: sizes})
				if err != nil {
					t.Fatal(err)
				}
				moved := explode(solid, spreads[0])
				for i := range solid.Parts {
					for k := range i {
						if bodiesMeet(solid, moved, i, k) {
							t.Errorf("%s and %s lie in one another", solid.Parts[i].Name, solid.Parts[k].Name)
						}
					}
				}
			})
		})
	}
}

// bodiesMeet reports whether two parts share a volume once they are moved.
func bodiesMeet(s *cabinets.Solid, moved [][3]measure.Length, i, k int) bool {
	for _, a := range bodyOf(&s.Parts[i]).Moved(moved[i]) {
		for _, b := range bodyOf(&s.Parts[k]).Moved(moved[k]) {
			inside := true
			for axis := range a.Lo {
				inside = inside && a.Lo[axis] < b.Hi[axis] && b.Lo[axis] < a.Hi[axis]
			}
			if inside {
				return true
			}
		}
	}
	return false
}

// TestDrawnOff wants drawers drawn to the front, lids and panels lifted, doors taken off to
// the front, and all else to stay.
func TestDrawnOff(t *testing.T) {
	f := openDemo(t)
	up, front := way{cabinets.Z, 1}, way{cabinets.Y, -1}
	for name, want := range map[string]map[string]way{
		"drawer-bank":     {"drawer": front},
		"pantry":          {"pull-out": front},
		"bench-box":       {"lid": up, "rail": up},
		"bed-deck":        {"panel": up, "extension": front},
		"overhead-locker": {"door": front},
		"cubby":           {},
	} {
		solid, err := cabinets.Expand(f.Shop, f.Catalogue.Lookup(name), cabinets.Choice{})
		if err != nil {
			t.Fatal(err)
		}
		rounds, _ := drawnOff(solid)
		got := map[string]way{}
		for _, round := range rounds {
			for w, parts := range round {
				for _, i := range parts {
					assembly, _, _ := strings.Cut(solid.Parts[i].Assembly, ".")
					if number := strings.LastIndexByte(assembly, '-'); number > 0 && assembly[number+1] <= '9' {
						assembly = assembly[:number]
					}
					got[assembly] = w
				}
			}
		}
		if diff := gocmp.Diff(want, got, gocmp.AllowUnexported(way{})); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
	}
}

// TestLeadMarks wants marks clear of one another and within their box, however near their
// dots lie, and their lines not to cross on either side.
func TestLeadMarks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		within := box{0, 0, 200, 100}
		marks := make([]mark, rapid.IntRange(1, 24).Draw(t, "marks"))
		for i := range marks {
			marks[i] = mark{text: "A-" + strconv.Itoa(i), x: rapid.Float64Range(40, 160).Draw(t, "x"), y: rapid.Float64Range(0, 100).Draw(t, "y")}
		}
		var texts []box
		sides := map[bool][]draw.Line{}
		for _, s := range leadMarks(marks, within) {
			switch s := s.(type) {
			case draw.Text:
				b := boxOf(s)
				if !within.inset(-slack).holds(b) || overlapsAny(b, texts) {
					t.Errorf("%q stands on another or leaves the box", s.Text)
				}
				texts = append(texts, b)
			case draw.Line:
				sides[s.X1 < 100] = append(sides[s.X1 < 100], s)
			}
		}
		if len(texts) != len(marks) {
			t.Errorf("%d texts, want %d", len(texts), len(marks))
		}
		for _, lines := range sides {
			for i, a := range lines {
				for _, b := range lines[:i] {
					if linesCross(a, b) {
						t.Errorf("%v crosses %v", a, b)
					}
				}
			}
		}
	})
}

// linesCross reports whether each of two lines has its ends on both sides of the other.
func linesCross(a, b draw.Line) bool {
	side := func(l draw.Line, x, y float64) float64 { return (l.X2-l.X1)*(y-l.Y1) - (l.Y2-l.Y1)*(x-l.X1) }
	return side(a, b.X1, b.Y1)*side(a, b.X2, b.Y2) < -1e-3 && side(b, a.X1, a.Y1)*side(b, a.X2, a.Y2) < -1e-3
}
