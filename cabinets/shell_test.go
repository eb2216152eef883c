package cabinets

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbook/cabinets/measure"
)

// curved is a layout in a vehicle whose walls lean in above 900 mm, and more so at the rear: half the width is
//
//	at x     0: 880 mm up to 900 mm high, 640 mm at 1800 mm
//	at x  3000: 840 mm up to 900 mm high, 560 mm at 1800 mm
const curved = `layout: Wren
inside: {length: 3000 mm, width: 1760 mm, height: 1800 mm}
shell:
  sections:
    - {at: 0, walls: [[0, 880], [900, 880], [1800, 640]]}
    - {at: 3000, walls: [[0, 840], [900, 840], [1800, 560]]}
  boxes:
    wheel: {at: [2000, 0, 0], size: {length: 700, width: 220, height: 300}}
  doorways:
    side: {width: 1000, height: 1500}
  aisle: {width: 600 mm}
cabinets:
`

// TestSectionByHand: half way along and half way up the leaning part, half the width is
// ((880 + 640)/2 + (840 + 560)/2)/2 = 730 mm.
func TestSectionByHand(t *testing.T) {
	in, faults := wren(t, curved+"  a: {cabinet: crate, at: [0, 700, 0]}\n")
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	for _, c := range []struct{ x, z, want float64 }{
		{1500, 1350, 730}, {0, 0, 880}, {0, 450, 880}, {3000, 1800, 560}, {-500, 2000, 640}, {4000, 0, 840}, {750, 900, 870},
	} {
		if got := in.Layout.Shell.Half(measure.Length(c.x)*mm, measure.Length(c.z)*mm); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("at x %v, z %v: %v, want %v", c.x, c.z, got, c.want)
		}
	}
}

// TestShellFindings: a crate is 400 x 300 x 200 mm unless it says otherwise.
func TestShellFindings(t *testing.T) {
	for _, c := range []struct{ name, cabinets, want string }{
		{"all is well", "  a: {cabinet: crate, at: [0, 60, 0]}", ""},
		// Its back stands at y 1760, 880 off the middle; at x 400 the wall is 880 - 40 x 400/3000 = 874.67 off.
		{"the wall comes nearer", "  a: {cabinet: crate, at: [0, 1460, 0]}",
			"error Wren: a: right-side: reaches 5.4 mm through the wall at x 400 mm, z 0 mm"},
		// At 1400 mm and x 400: 880 - 5.333 less 500/900 of 240 + 5.333: 738.3 off the middle, the crate 880.
		{"the wall leans in", "  a: {cabinet: crate, at: [0, 1460, 1200]}",
			"error Wren: a: right-side: reaches 141.7 mm through the wall at x 400 mm, z 1400 mm"},
		{"a wheel box", "  a: {cabinet: crate, at: [1650, 150, 0]}", "error Wren: a, wheel: they overlap by 50 mm along the length"},
		{"over the wheel box", "  a: {cabinet: crate, at: [1650, 100, 300]}", ""},
		{"too large for the doorway", "  a: {cabinet: crate, at: [0, 300, 0], sizes: {width: 1600 mm, depth: 500 mm, height: 1550 mm}}",
			"error Wren: a: body: is 50 mm too large for the doorway side, the nearest to its size\nnote Wren: a: the crate is wide"},
		// sqrt(1700^2 + 700^2) = 1838.5, through a doorway on its side.
		{"cannot be tilted up", "  a: {cabinet: crate, at: [0, 240, 0], sizes: {width: 700 mm, depth: 750 mm, height: 1700 mm}}",
			"warning Wren: a: body: cannot be tilted up under the roof: its diagonal is 38.5 mm longer than the inside is high"},
		{"a narrow aisle", "  a: {cabinet: crate, at: [0, 60, 0], sizes: {depth: 500 mm}}\n  b: {cabinet: crate, at: [200, 1100, 0], sizes: {depth: 500 mm}}",
			"warning Wren: aisle: is 540 mm wide from x 200 mm on, and 600 mm are wanted"},
	} {
		t.Run(c.name, func(t *testing.T) {
			in, faults := wren(t, curved+c.cabinets+"\n")
			if len(faults) > 0 {
				t.Fatal(faults)
			}
			var got []string
			for _, f := range in.Findings {
				if !strings.Contains(f.Text, "beyond the inside") {
					got = append(got, string(f.Level)+" "+f.Where+": "+f.Text)
				}
			}
			if strings.Join(got, "\n") != c.want {
				t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), c.want)
			}
		})
	}
}

// TestMovingACabinetKeepsItsParts: wherever a cabinet stands, it is made of the same parts.
func TestMovingACabinetKeepsItsParts(t *testing.T) {
	want, _ := wren(t, curved+"  a: {cabinet: crate, at: [0, 60, 0]}\n")
	rapid.Check(t, func(rt *rapid.T) {
		at := rapid.SampledFrom([]string{"[0, 0, 0]", "[12.3, 1400, 100]", "[2500, 7, 1700]"}).Draw(rt, "at")
		turn := rapid.SampledFrom([]string{"0", "90", "180", "270"}).Draw(rt, "turn")
		in, faults := wren(t, curved+"  a: {cabinet: crate, at: "+at+", turn: "+turn+"}\n")
		if len(faults) > 0 {
			rt.Fatal(faults)
		}
		for i, p := range in.Cabinets[0].Solid.Parts {
			if w := want.Cabinets[0].Solid.Parts[i]; p.Name != w.Name || p.Box != w.Box || p.Length != w.Length || p.Width != w.Width {
				rt.Errorf("%s is %v, was %v", p.Name, p.Box, w.Box)
			}
		}
	})
}
