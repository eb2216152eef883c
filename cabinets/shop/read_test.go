package shop

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
)

const mm = measure.Millimetre

// plain is a shop file that says no more than it must.
const plain = `shop: Small Shop
currency: GBP
saw:
  kerf: 3 mm
  trim: 10 mm
  keep: 500 x 100 mm
materials:
  birch:
    nominal: 12 mm
    density: 695
    sheets:
      - {size: 2500 x 1250 mm, price: 70}
felt:
  name: Felt tape
  width: 19 mm
  thickness: 2 mm
  pressed: 1.5 mm
  roll: 10 m
  price: 9.50
  narrow: 60 mm
`

// full goes on where plain ends.
const full = plain + `rates:
  offcut: 6
roles:
  carcass: {material: birch, edges: oak}
bands:
  oak:
    thickness: 2 mm
    width: 23 mm
    roll: 50 m
    price: 60
    allowance: 40 mm
hardware:
  slide:
    kind: slide
    side: 12.7 mm
    load: 45
    lengths:
      - {length: 450 mm, price: 15.60, mass: 1.3}
      - {length: 400 mm, price: 14.20}
  latch:
    kind: latch
    price: 4
`

func read(text string) (*Shop, []string) {
	var c source.Collector
	s := Read(&c, source.Read(&c, "shop.yaml", strings.NewReader(text)))
	var said []string
	if faults, ok := c.Err().(source.Faults); ok {
		for _, f := range faults {
			said = append(said, fmt.Sprintf("%d:%d: %s; %s", f.Line, f.Column, f.Text, f.Hint))
		}
	}
	return s, said
}

func TestReadDefaults(t *testing.T) {
	birch := &Material{
		ID: "birch", Name: "birch", Nominal: 12 * mm, Thickness: 12 * mm, Density: 695, Grain: true, GoodFaces: 2,
		Sheets: []Sheet{{Length: 2500 * mm, Width: 1250 * mm, Price: 7000, Stock: -1}},
	}
	want := &Shop{
		Name: "Small Shop", Currency: "GBP", Style: measure.Style{Denominator: 32},
		Saw: Saw{
			Kerf: 3 * mm, Left: 10 * mm, Right: 10 * mm, Bottom: 10 * mm, Top: 10 * mm, Step: mm / 2,
			KeepLong: 500 * mm, KeepShort: 100 * mm,
		},
		Limits:    Limits{Scribe: 10 * mm, Reach: 100 * mm},
		Materials: []*Material{birch},
		Felt:      Felt{Name: "Felt tape", Width: 19 * mm, Thickness: 2 * mm, Pressed: 1500 * measure.Micrometre, Roll: 10 * measure.Metre, Price: 950, Narrow: 60 * mm, Spacing: 300 * mm},
	}
	got, faults := read(plain)
	if diff := cmp.Diff(want, got, cmpopts.EquateEmpty()); diff != "" || len(faults) > 0 {
		t.Errorf("faults %q, difference:\n%s", faults, diff)
	}

	oak := &Band{ID: "oak", Name: "oak", Thickness: 2 * mm, Width: 23 * mm, Roll: 50 * measure.Metre, Price: 6000, Allowance: 40 * mm, Density: 700}
	if got := (Treatment{}).String() + ", " + (Treatment{Band: oak}).String(); got != "bare, oak" {
		t.Errorf("treatments print as %s", got)
	}
	want.Rates.Offcut = 600
	want.Bands = []*Band{oak}
	want.Roles = map[string]Fill{"carcass": {Material: birch, Edges: Treatment{Band: oak}}}
	want.Hardware = []*Hardware{
		{ID: "slide", Name: "slide", Kind: "slide", Unit: "each", Pack: 1, Side: 12700 * measure.Micrometre, Load: 45,
			Lengths: []SlideLength{{Length: 400 * mm, Price: 1420}, {Length: 450 * mm, Price: 1560, Mass: 1.3}}},
		{ID: "latch", Name: "latch", Kind: "latch", Unit: "each", Pack: 1, Price: 400},
	}
	got, faults = read(full)
	if diff := cmp.Diff(want, got, cmpopts.EquateEmpty()); diff != "" || len(faults) > 0 {
		t.Errorf("faults %q, difference:\n%s", faults, diff)
	}
}

// set returns full with one line replaced by others; the name of a key is enough to find
// its first line.
func set(t *testing.T, line, by string) string {
	t.Helper()
	before, after, found := strings.Cut(full, line)
	if !found {
		t.Fatalf("no line begins with %q", line)
	}
	_, after, _ = strings.Cut(after, "\n")
	return before + by + "\n" + after
}

func TestReadInches(t *testing.T) {
	for fraction, denominator := range map[string]int64{"": 32, "fraction: 1/16": 16, "fraction: 1/32": 32, "fraction: 1/64": 64} {
		s, faults := read(set(t, "currency: ", "currency: USD\nunit: in\n"+fraction))
		if len(faults) > 0 {
			t.Error(faults)
		}
		if want := (measure.Style{Unit: measure.Inches, Denominator: denominator}); s.Style != want || s.Unit != measure.Inches {
			t.Errorf("%q: style %+v, want %+v", fraction, s.Style, want)
		}
		if want := measure.Inch / 32; s.Saw.Step != want {
			t.Errorf("step %d, want %d", s.Saw.Step, want)
		}
	}
}

func TestReadSaw(t *testing.T) {
	s, faults := read(set(t, "  trim: ", `  trim: {left: 5 mm, right: 6 mm, bottom: 7 mm, top: 8 mm}
  step: 0.25 mm
  smallest: 150 x 40 mm
  longest-rip: 3 m
  longest-crosscut: 1500
  stages: 3
  first: crosscut`))
	if len(faults) > 0 {
		t.Error(faults)
	}
	want := Saw{
		Kerf: 3 * mm, Left: 5 * mm, Right: 6 * mm, Bottom: 7 * mm, Top: 8 * mm, Step: mm / 4,
		LeastLength: 150 * mm, LeastWidth: 40 * mm, LongestRip: 3000 * mm, LongestCrosscut: 1500 * mm,
		Stages: 3, First: "crosscut", KeepLong: 500 * mm, KeepShort: 100 * mm,
	}
	if diff := cmp.Diff(want, s.Saw); diff != "" {
		t.Error(diff)
	}
	s, faults = read(set(t, "  keep: ", "  keep: 100 x 500 mm\n  stages: any\n  first: either"))
	if len(faults) > 0 || s.Saw.KeepLong != 500*mm || s.Saw.KeepShort != 100*mm || s.Saw.Stages != 0 || s.Saw.First != "" {
		t.Errorf("%+v, %q", s.Saw, faults)
	}
}

func TestReadOffcut(t *testing.T) {
	s, faults := read(set(t, "      - {size: 2500", `      - {size: 60 x 60 in, grain: width, price: 52.5, stock: 6}
      - {offcut: OC-1, size: 30 in x 12 mm, price: 0}
      - {offcut: OC-2, size: 640 x 300, price: 1}`))
	// An offcut may be smaller than a sheet must be, though not narrower than 50 mm.
	if want := []string{"13:30: a side of 12 mm is outside 50 to 10000 mm; check the unit and the digits"}; !cmp.Equal(faults, want) {
		t.Errorf("faults %q, want %q", faults, want)
	}
	want := []Sheet{
		{Length: 60 * measure.Inch, Width: 60 * measure.Inch, GrainAcross: true, Price: 5250, Stock: 6},
		{Offcut: "OC-1", Stock: 1, Trimmed: true},
		{Length: 640 * mm, Width: 300 * mm, Price: 100, Stock: 1, Offcut: "OC-2", Trimmed: true},
	}
	if diff := cmp.Diff(want, s.Materials[0].Sheets); diff != "" {
		t.Error(diff)
	}
}

// TestReadTrimmedAway refuses a sheet of which the trims leave nothing.
func TestReadTrimmedAway(t *testing.T) {
	text := set(t, "  trim: ", "  trim: {left: 200, right: 150, bottom: 0, top: 0}")
	_, faults := read(strings.Replace(text, "2500 x 1250 mm", "350 x 1250 mm", 1))
	want := []string{"12:16: a side of 350 mm is outside 351 to 10000 mm; check the unit and the digits"}
	if !cmp.Equal(faults, want) {
		t.Errorf("faults %q, want %q", faults, want)
	}
}

func TestReadRefuses(t *testing.T) {
	for _, test := range []struct{ line, by, want string }{
		{"shop: ", "shop: ", "1:6: a value is missing; write a single value"},
		{"shop: ", "shop: \" \"", "1:7: a name is missing; write a name of 1 to 60 characters"},
		{"shop: ", "shop: long long long long long long long long long long long long long ", "1:7: the name has 64 characters; write a name of 1 to 60 characters"},
		{"shop: ", "shop: [a, b]", "1:7: a list where a single value is needed; write one value behind the key"},
		{"shop: ", "", "2:1: the key \"shop\" is missing; add a line shop: ..."},
		{"currency: ", "currency: eur", "2:11: a currency is three capital letters; write the code of ISO 4217, for example EUR"},
		{"currency: ", "currency: EURO", "2:11: a currency is three capital letters; write the code of ISO 4217, for example EUR"},
		{"currency: ", "unit: mm", "1:1: the key \"currency\" is missing; add a line currency: ..."},
		{"currency: ", "currency: GBP\nunit: cm", "3:7: \"cm\" is not known here; known here: mm, in"},
		{"currency: ", "currency: GBP\nfraction: 1/8", "3:11: \"1/8\" is not known here; known here: 1/16, 1/32, 1/64"},
		{"currency: ", "currency: GBP\nsaws: {}", "3:1: unknown key \"saws\"; did you mean \"saw\"?"},
		{"saw:", "saw: 3\nsow:", "3:6: a single value where a mapping is needed; write lines of the form key: value\n4:1: unknown key \"sow\"; did you mean \"saw\"?"},
		{"  kerf: ", "", "5:3: the key \"kerf\" is missing; add a line kerf: ..."},
		{"  kerf: ", "  kerf: 21 mm", "4:9: 21 mm is more than 20 mm; write 0 mm to 20 mm"},
		{"  kerf: ", "  kerf: -1 mm", "4:9: -1 mm is less than 0 mm; write 0 mm to 20 mm"},
		{"  kerf: ", "  kerf: 3 furlongs", "4:11: unknown unit furlongs; the units are mm, cm, m, in and ft"},
		{"  trim: ", "", "4:3: the key \"trim\" is missing; add a line trim: ..."},
		{"  trim: ", "  trim: 201 mm", "5:9: 201 mm is more than 200 mm; write 0 mm to 200 mm"},
		{"  trim: ", "  trim: {left: 10, right: 10, bottom: 10}", "5:9: the key \"top\" is missing; add a line top: ..."},
		{"  trim: ", "  trim: {left: 10, right: 10, bottom: 10, top: 1 m}", "5:48: 1 m is more than 200 mm; write 0 mm to 200 mm"},
		{"  trim: ", "  trim: 10\n  step: 0", "6:9: 0 is less than 0.01 mm; write 0.01 mm to 10 mm"},
		{"  trim: ", "  trim: 10\n  step: 11 mm", "6:9: 11 mm is more than 10 mm; write 0.01 mm to 10 mm"},
		{"  trim: ", "  trim: 10\n  smallest: 60", "6:13: a size needs two sides; write for example 2500 x 1250 mm"},
		{"  trim: ", "  trim: 10\n  smallest: 60 x 1100 mm", "6:13: a side of 1100 mm is outside 0 to 1000 mm; check the unit and the digits"},
		{"  trim: ", "  trim: 10\n  longest-rip: 50 mm", "6:16: 50 mm is less than 100 mm; write 100 mm to 10000 mm"},
		{"  trim: ", "  trim: 10\n  longest-crosscut: 11 m", "6:21: 11 m is more than 10000 mm; write 100 mm to 10000 mm"},
		{"  trim: ", "  trim: 10\n  stages: 0", "6:11: 0 is less than 1; write 1 to 20"},
		{"  trim: ", "  trim: 10\n  stages: all", "6:11: \"all\" is no whole number; write for example 4, without decimals or a unit"},
		{"  trim: ", "  trim: 10\n  first: ripp", "6:10: \"ripp\" is not known here; did you mean \"rip\"?"},
		{"  keep: ", "", "4:3: the key \"keep\" is missing; add a line keep: ..."},
		{"  keep: ", "  keep: 5 x 100 mm", "6:9: a side of 5 mm is outside 10 to 5000 mm; check the unit and the digits"},
		{"  keep: ", "  keep: 500 by 100 mm", "6:9: a size needs two sides; write for example 2500 x 1250 mm"},
		{"  keep: ", "  keep: 500 x ten mm", "6:15: unknown unit ten; the units are mm, cm, m, in and ft"},
		{"  keep: ", "  keep: 5oo x 100 mm", "6:10: unknown unit oo; the units are mm, cm, m, in and ft"},
		{"  keep: ", "  keep: [500, 100]", "6:9: a list where a single value is needed; write one value behind the key"},
		{"  keep: ", "  keep: 500 x 100 x 20 mm", "6:19: unknown unit x; the units are mm, cm, m, in and ft"},
		{"rates:", "rates:\n  offcuts: 3", "22:3: unknown key \"offcuts\"; did you mean \"offcut\"?"},
		{"  offcut: ", "  offcut: -6", "22:11: \"-6\" is no amount of money; write for example 74 or 74.50, without a currency"},
		{"  offcut: ", "  offcut: 6.005", "22:11: \"6.005\" is no amount of money; write for example 74 or 74.50, without a currency"},
		{"materials:", "materials: {}\nfelts:", "7:12: the shop has no material; name at least one sheet material\n8:1: unknown key \"felts\"; did you mean \"felt\"?"},
		{"  birch:", "  12-birch:", "8:3: \"12-birch\" is no name; a name has letters, digits, - and _, and starts with a letter\n8:3: the shop has no material; name at least one sheet material"},
		{"    nominal: ", "", "10:5: the key \"nominal\" is missing; add a line nominal: ..."},
		{"    nominal: ", "    nominal: 12 m", "9:14: 12 m is more than 100 mm; write 0.5 mm to 100 mm"},
		{"    nominal: ", "    nominal: 12 mm\n    thickness: 8.9 mm", "10:16: a thickness of 8.9 mm is more than a quarter off the nominal 12 mm; write what you measured, or correct the nominal thickness"},
		{"    nominal: ", "    nominal: 12 mm\n    thickness: 15.1 mm", "10:16: a thickness of 15.1 mm is more than a quarter off the nominal 12 mm; write what you measured, or correct the nominal thickness"},
		{"    nominal: ", "    nominal: 12 mm\n    name: \"\"", "10:11: a name is missing; write a name of 1 to 60 characters"},
		{"    nominal: ", "    nominal: 12 mm\n    grain: perhaps", "10:12: \"perhaps\" is not known here; known here: yes, no, true, false"},
		{"    nominal: ", "    nominal: 12 mm\n    good: 3", "10:11: 3 is more than 2; write 0 to 2"},
		{"    density: ", "    density: 0.695", "10:14: 0.695 is less than 100; write 100 to 2000"},
		{"    density: ", "    density: 2001", "10:14: 2001 is more than 2000; write 100 to 2000"},
		{"    density: ", "    density: heavy", "10:14: \"heavy\" is no number; write for example 12 or 0.5, without a unit"},
		{"    sheets:", "    sheets: []\n    sheats:", "11:13: the material has no sheet; list at least one size with its price\n12:5: unknown key \"sheats\"; did you mean \"sheets\"?"},
		{"      - {size: 2500", "      - {price: 70}", "12:9: the key \"size\" is missing; add a line size: ..."},
		{"      - {size: 2500", "      - {size: 2500 x 1250 mm}", "12:9: the key \"price\" is missing; add a line price: ..."},
		{"      - {size: 2500", "      - {size: 2500 x 20 mm, price: 70}", "12:16: a side of 20 mm is outside 50 to 10000 mm; check the unit and the digits"},
		{"      - {size: 2500", "      - {size: 2500 x 12500 mm, price: 70}", "12:16: a side of 12500 mm is outside 50 to 10000 mm; check the unit and the digits"},
		{"      - {size: 2500", "      - {size: 2500 x 1250 mm, price: 70 EUR}", "12:39: \"70 EUR\" is no amount of money; write for example 74 or 74.50, without a currency"},
		{"      - {size: 2500", "      - {size: 2500 x 1250 mm, price: 70, grain: long}", "12:50: \"long\" is not known here; known here: length, width"},
		{"      - {size: 2500", "      - {size: 2500 x 1250 mm, price: 70, stock: -1}", "12:50: -1 is less than 0; write 0 to 1000000"},
		{"      - {size: 2500", "      - {size: 2500 x 1250 mm, price: 70}\n      - {size: 2.5 x 1.25 m, grain: length, price: 71}", "13:16: this size is listed twice; keep one price and one stock for a size"},
		{"      - {size: 2500", "      - {offcut: A, size: 900 x 500 mm, price: 5, stock: 2}", "12:58: an offcut is one piece; leave stock out, and list each offcut by its label"},
		{"      - {size: 2500", "      - {offcut: A, size: 900 x 500 mm, price: 5}\n      - {offcut: A, size: 800 x 500 mm, price: 5}", "13:18: offcut A is listed twice; give every offcut a label of its own"},
		{"felt:", "felt: none\nfelts:", "13:7: a single value where a mapping is needed; write lines of the form key: value\n14:1: unknown key \"felts\"; did you mean \"felt\"?"},
		{"  pressed: ", "  pressed: 2.5 mm", "17:12: pressed felt is thicker than the felt; write the gap that a pressed joint keeps, at most the felt's thickness"},
		{"  narrow: ", "", "14:3: the key \"narrow\" is missing; add a line narrow: ..."},
		{"roles:", "roles:\n  back: {edges: oak}", "24:9: the key \"material\" is missing; add a line material: ..."},
		{"  carcass: ", "  carcass: {material: brich}", "24:23: unknown material \"brich\"; did you mean \"birch\"?"},
		{"  carcass: ", "  carcass: {material: steel}", "24:23: unknown material \"steel\"; known here: birch"},
		{"  carcass: ", "  carcass: {material: birch, edges: ok}", "24:37: unknown edge band \"ok\"; did you mean \"oak\"?"},
		{"  oak:", "  bare:", "24:37: unknown edge band \"oak\"; known here: bare, round, bare\n26:3: bare is no name for a band; bare means an edge that gets no band; choose another name"},
		{"    thickness: ", "    name: \" \"", "27:5: the key \"thickness\" is missing; add a line thickness: ...\n27:11: a name is missing; write a name of 1 to 60 characters"},
		{"    allowance: ", "    allowance: 1 m", "31:16: 1 m is more than 500 mm; write 0 mm to 500 mm"},
		{"    roll: ", "    roll: 50 mm", "29:11: 50 mm is less than 1000 mm; write 1000 mm to 1000000 mm"},
		{"    kind: slide", "", "35:5: the key \"kind\" is missing; add a line kind: ..."},
		{"    side: ", "    price: 14", "34:5: the key \"side\" is missing; add a line side: ...\n35:12: hardware that comes in lengths has a price for each; write it beside each length"},
		{"    side: ", "    side: 12.7 mm\n    mass: 2", "36:11: hardware that comes in lengths has a mass for each; write it beside each length"},
		{"    load: ", "    load: 0", "36:11: 0 is less than 0.1; write 0.1 to 2000"},
		{"      - {length: 450", "      - {length: 400 mm, price: 3}", "39:18: this length is listed twice; keep one price for a length"},
		{"      - {length: 450", "      - {length: 20 mm, price: 3}", "38:18: 20 mm is less than 50 mm; write 50 mm to 5000 mm"},
		{"    kind: latch", "    kind: latch\n    load: 5", "42:11: only hardware that comes in lengths has a load; add lengths, or leave it out"},
		{"    kind: latch", "    kind: latch\n    lengths: []\n    load: 5\n    side: 3", "42:14: the list of lengths is empty; list at least one length with its price\n45:12: hardware that comes in lengths has a price for each; write it beside each length"},
		{"    kind: latch", "    kind: latch\n    name: \"\"", "42:11: a name is missing; write a name of 1 to 60 characters"},
		{"    kind: latch", "    kind: latch\n    unit: \"\"", "42:11: a name is missing; write a name of 1 to 60 characters"},
		{"    kind: latch", "    kind: latch\n    pack: 0", "42:11: 0 is less than 1; write 1 to 100000"},
		{"    kind: latch", "    kind: latch\n    mass: 2 kg", "42:11: \"2 kg\" is no number; write for example 12 or 0.5, without a unit"},
		{"    price: 4", "    unit: each", "41:5: the key \"price\" is missing; add a line price: ..."},
	} {
		_, faults := read(set(t, test.line, test.by))
		if got := strings.Join(faults, "\n"); got != test.want || got == "" {
			t.Errorf("{%q, %q, %q},", test.line, test.by, got)
		}
	}
}

// FuzzRead wants any text to be read without a panic, and a shop without a fault to have
// what every other package relies on.
func FuzzRead(f *testing.F) {
	f.Add(plain)
	f.Add(full)
	f.Fuzz(func(t *testing.T, text string) {
		s, faults := read(text)
		if len(faults) > 0 {
			return
		}
		if s.Saw.Step <= 0 || s.Felt.Pressed <= 0 || len(s.Materials) == 0 {
			t.Errorf("no step, felt or material: %+v", s)
		}
		for _, m := range s.Materials {
			if m.Nominal <= 0 || m.Thickness <= 0 || m.Density <= 0 || len(m.Sheets) == 0 {
				t.Errorf("material %+v", m)
			}
			for _, sheet := range m.Sheets {
				if !sheet.Trimmed && (sheet.Length <= s.Saw.Left+s.Saw.Right || sheet.Width <= s.Saw.Bottom+s.Saw.Top) {
					t.Errorf("trims leave nothing of %+v", sheet)
				}
			}
		}
		for role, fill := range s.Roles {
			if fill.Material == nil {
				t.Errorf("nothing fills the role %s", role)
			}
		}
	})
}

// TestSheetMass compares with a birch plywood data sheet, which gives the mass of two
// sizes to 0.1 kg.
func TestSheetMass(t *testing.T) {
	for _, row := range []struct {
		nominal      measure.Length
		density      float64
		small, large float64 // kg of 1220x2440 and of 3050x1525
	}{
		{4 * mm, 660, 7.9, 12.3},
		{6*mm + mm/2, 670, 13.0, 20.3},
		{9 * mm, 710, 19.0, 29.7},
		{12 * mm, 695, 24.8, 38.8},
		{15 * mm, 690, 30.8, 48.1},
		{18 * mm, 685, 36.7, 57.3},
		{21 * mm, 680, 42.5, 66.4},
		{24 * mm, 680, 48.6, 75.9},
		{30 * mm, 672, 60.0, 93.8},
	} {
		// The measured thickness must not matter.
		m := Material{Nominal: row.nominal, Thickness: row.nominal * 9 / 10, Density: row.density}
		for _, size := range []struct{ length, width, want float64 }{{2.44, 1.22, row.small}, {3.05, 1.525, row.large}} {
			got := m.SheetMass(size.length * size.width)
			if d := got - size.want; d > 0.1 || d < -0.1 {
				t.Errorf("%s mm, %g x %g m: %.2f kg, the data sheet says %.1f", row.nominal.Exact(), size.length, size.width, got, size.want)
			}
		}
	}
}
