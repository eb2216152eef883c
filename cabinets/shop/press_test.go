package shop

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"sawbook/cabinets/measure"
)

// laminated is full with laminates by the thicknesses of NEMA LD 3 (HGS 1.2, VGS 0.7 and
// BKL 0.5 mm), as quoted in Architectural Woodwork Standards, 1st ed. 2009, section 4, on
// birch 18 mm that measures 17.7 at 685 kg/m3 (birch plywood data sheet). The density of
// laminate is from memory.
const laminated = `
adhesives:
  contact: {name: Contact adhesive, covers: 5, dry: 32.3, tin: 5, price: 60}
  pva: {faces: 1, line: 0.1 mm, covers: 6, tin: 10, price: 70}
`

var laminates = strings.Replace(full, "felt:\n", `  birch-18:
    nominal: 18 mm
    thickness: 17.7 mm
    density: 685
    sheets:
      - {size: 2440 x 1220 mm, price: 98, stock: 9}
      - {size: 2440 x 1220 mm, grain: width, price: 101, stock: 3}
      - {offcut: OC-1, size: 900 x 600 mm, price: 10}
  hgs: {nominal: 1.2 mm, density: 1400, grain: no, sheets: [{size: 120 x 48 in, price: 50}, {size: 60 x 144 in, price: 75, stock: 2}]}
  vgs: {nominal: 0.7 mm, density: 1400, grain: yes, cutter: {kerf: 2.4 mm, trim: {left: 1 mm, right: 2 mm, bottom: 3 mm, top: 4 mm}}, sheets: [{size: 2440 x 1200 mm, price: 40, stock: 4}]}
  bkl: {nominal: 0.5 mm, density: 1400, grain: no, sheets: [{size: 96 x 48 in, price: 20}]}
  grey: {good: 1, press: {core: birch-18, face: hgs, back: bkl, order: parts, adhesive: contact}}
  oak: {press: {core: birch-18, face: vgs, back: vgs, order: sheets, adhesive: pva}, sheets: [{offcut: OC-2, size: 700 x 500 mm, price: 9}]}
felt:
`, 1) + laminated

func TestPressedBuildUp(t *testing.T) {
	s, faults := read(laminates)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	for _, test := range []struct {
		id              string
		nominal, actual float64 // mm
		mass            float64 // kg/m2
		grain           bool
		good            int
	}{
		// 17.7 + 1.2 + 0.5; two joints, each coated on two faces, 32.3 g/m2 dry on a face
		// brushed or rolled (common practice, no source)
		{"grey", 19.7, 19.4, 0.018*685 + 0.0017*1400 + 4*0.0323, false, 1},
		// 17.7 + 2 x 0.7 + 2 x 0.1 of glue; like sheets on both faces (balanced construction)
		{"oak", 19.6, 19.3, 0.018*685 + 0.0014*1400, true, 2},
	} {
		m := s.Material(test.id)
		if m.Nominal.MM() != test.nominal || m.Thickness.MM() != test.actual || math.Abs(m.SheetMass(1)-test.mass) > 1e-9 || m.Grain != test.grain || m.GoodFaces != test.good {
			t.Errorf("%s: %s mm, measured %s, %.4f kg/m2, grain %t, %d good; want %+v", test.id, m.Nominal.Exact(), m.Thickness.Exact(), m.SheetMass(1), m.Grain, m.GoodFaces, test)
		}
	}
	grey, oak := s.Material("grey"), s.Material("oak")
	if p := grey.Press; p.Allowance != 25*mm || p.Overhang != 10*mm || p.Sheets || len(grey.Sheets) != 0 || p.Adhesive.Faces != 2 {
		t.Errorf("grey: %+v", p)
	}
	if saw := s.SawFor(s.Material("vgs")); fmt.Sprint(saw.Kerf, saw.Left, saw.Right, saw.Bottom, saw.Top, saw.KeepLong) != fmt.Sprint(2400*measure.Micrometre, mm, 2*mm, 3*mm, 4*mm, s.Saw.KeepLong) {
		t.Errorf("the cutter: %+v", saw)
	}
	if s.SawFor(grey) != s.Saw {
		t.Error("grey is not cut by the saw")
	}
	// The veneer is 20 mm narrower than the core, and less in stock.
	got := ""
	for _, sheet := range oak.Sheets {
		got += fmt.Sprintf("%s x %s across %t %d of %d%s\n", sheet.Length.Exact(), sheet.Width.Exact(), sheet.GrainAcross, sheet.Price, sheet.Stock, sheet.Offcut)
	}
	if want := "2440 x 1200 across false 17800 of 4\n2440 x 1200 across false 18100 of 3\n700 x 500 across false 900 of 1OC-2\n"; got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}

// TestCutterBesideTrack: what a cutter cuts is not broken down with the track saw, however
// heavy, and needs no rail.
func TestCutterBesideTrack(t *testing.T) {
	text := strings.Replace(laminates, "saw:\n", "saw:\n  track: {kerf: 2 mm, rail: 2600 mm, allowance: 3 mm, lift: 20}\n", 1)
	for _, test := range []struct{ size, want string }{
		{"2440 x 1200 mm", ""},
		{"9000 x 3000 mm", ""}, // 0.7 mm at 1400 kg/m3: 26.5 kg, 3000 along the first cut
	} {
		s, faults := read(strings.Replace(text, "2440 x 1200 mm, price: 40", test.size+", price: 40", 1))
		if got := strings.Join(faults, "|"); got != test.want || s.SawFor(s.Material("vgs")).Track != nil || s.Saw.Track == nil {
			t.Errorf("%s: faults %q", test.size, got)
		}
	}
}

// TestPressedSheets: plain laminate may be turned, grained may not; of sheets that cover as
// much, the cheaper one is taken.
func TestPressedSheets(t *testing.T) {
	core := &Material{Sheets: []Sheet{{Length: 2500 * mm, Width: 1250 * mm, Price: 80, Stock: -1}}}
	sheet := func(length, width measure.Length, price Money) Sheet {
		return Sheet{Length: length * mm, Width: width * mm, Price: price, Stock: -1}
	}
	for _, test := range []struct {
		name       string
		face, back *Material
		want       string
	}{
		{"turned", &Material{Sheets: []Sheet{sheet(1300, 2600, 30)}}, &Material{Sheets: []Sheet{sheet(2500, 1250, 5)}}, "2500 x 1250 115"},
		{"not turned", &Material{Grain: true, Sheets: []Sheet{sheet(1300, 2600, 30)}}, &Material{Sheets: []Sheet{sheet(2500, 1250, 5)}}, "1300 x 1250 115"},
		{"cheaper", &Material{Sheets: []Sheet{sheet(3050, 1300, 30), sheet(2600, 1300, 25)}}, &Material{Sheets: []Sheet{sheet(2440, 1220, 5)}}, "2440 x 1220 110"},
		{"larger", &Material{Sheets: []Sheet{sheet(2440, 1220, 20), sheet(2600, 1300, 25)}}, &Material{Sheets: []Sheet{sheet(2500, 1250, 5)}}, "2500 x 1250 110"},
	} {
		p := &Press{Core: core, Face: test.face, Back: test.back}
		built := p.sheets()[0]
		if got := fmt.Sprintf("%s x %s %d", built.Length.Exact(), built.Width.Exact(), built.Price); got != test.want {
			t.Errorf("%s: %s, want %s", test.name, got, test.want)
		}
	}
}

func TestPressRefuses(t *testing.T) {
	for _, test := range []struct{ old, new, want string }{
		{"core: birch-18, face: hgs", "core: oak, face: hgs", "oak is pressed itself; press it from materials that are bought"},
		{"face: hgs, back", "face: hgz, back", `unknown material "hgz"; did you mean "hgs"?`},
		{"adhesive: contact", "adhesive: contract", `unknown adhesive "contract"; did you mean "contact"?`},
		{"order: parts", "order: part", `"part" is not known here; did you mean "parts"?`},
		{"order: parts", "order: parts, allowance: 5 mm", "an allowance of 5 mm is less than two kerfs; allow 6 mm or more: opposite edges are each cut once more"},
		{"order: sheets", "order: sheets, overhang: 5 mm", "whole sheets are pressed as they come; leave it out: the saw's trim squares them"},
		{"grey: {good: 1,", "grey: {good: 1, density: 700,", "the density of a pressed material is that of its layers; leave it out"},
		{"adhesive: contact}}", "adhesive: contact}, sheets: [{size: 900 x 900 mm, price: 1}]}", "a material that is pressed part by part has no sheets; leave them out, or write order: sheets"},
		{"good: 1,", "good: 1, thickness: 30 mm,", "a thickness of 30 mm is more than a quarter off the nominal 19.7 mm; write what you measured, or correct the nominal thickness"},
		{"sheets: [{size: 2440 x 1200 mm, price: 40, stock: 4}]", "sheets: [{offcut: OC-9, size: 2440 x 1200 mm, price: 40}]", "there is no whole sheet to press; list a size of the core, of the face and of the back"},
		{"faces: 1", "faces: 3", "3 is more than 2; write 1 to 2"},
	} {
		if !strings.Contains(laminates, test.old) {
			t.Fatalf("nothing to change: %s", test.old)
		}
		_, faults := read(strings.Replace(laminates, test.old, test.new, 1))
		if got := strings.Join(faults, "|"); !strings.HasSuffix(got, test.want) || len(faults) != 1 {
			t.Errorf("%s: got %s", test.new, got)
		}
	}
}
