package cabinets

import (
	"math"
	"testing"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// TestSheetMass takes whole sheets as parts: nominal thickness, measured thickness, density
// and mass are those of a birch plywood data sheet, to 0.1 kg.
func TestSheetMass(t *testing.T) {
	d := read(t, `cabinet: sheet
sizes:
  long: {default: 1 m, least: 1 m, most: 4 m}
  wide: {default: 1 m, least: 1 m, most: 4 m}
outside: {x: long, y: wide, z: thick.carcass}
roles: {carcass: the sheet}
parts:
  sheet: {role: carcass, x: [0, long], y: [0, wide], z: 0, grain: x}
`)
	rows := []struct {
		nominal, measured, density float64
		small, large               float64 // kg, 1220 x 2440 and 3050 x 1525
	}{
		{4, 3.8, 660, 7.9, 12.3},
		{6.5, 6.4, 670, 13.0, 20.3},
		{9, 9.2, 710, 19.0, 29.7},
		{12, 12.0, 695, 24.8, 38.8},
		{15, 14.9, 690, 30.8, 48.1},
		{18, 17.7, 685, 36.7, 57.3},
		{21, 20.5, 680, 42.5, 66.4},
		{24, 23.4, 680, 48.6, 75.9},
		{30, 29.4, 672, 60.0, 93.8},
	}
	for _, row := range rows {
		nominal, _ := measure.FromMM(row.nominal)
		thick, _ := measure.FromMM(row.measured)
		m := &shop.Material{ID: "birch", Nominal: nominal, Thickness: thick, Density: row.density, Grain: true}
		s := &shop.Shop{Roles: map[string]shop.Fill{"carcass": {Material: m}}, Saw: shop.Saw{Step: mm / 2}}
		for _, sheet := range []struct {
			long, wide measure.Length
			kg         float64
		}{{2440 * mm, 1220 * mm, row.small}, {3050 * mm, 1525 * mm, row.large}} {
			solid := expand(t, s, d, map[string]measure.Length{"long": sheet.long, "wide": sheet.wide})
			kg, centre := solid.Mass()
			if math.Abs(kg-sheet.kg) > 0.1 {
				t.Errorf("%g mm, %s x %s: %.3f kg, the data sheet says %.1f", row.nominal, sheet.long.Exact(), sheet.wide.Exact(), kg, sheet.kg)
			}
			for a, want := range [3]float64{sheet.long.MM() / 2, sheet.wide.MM() / 2, row.measured / 2} {
				if math.Abs(centre[a]-want) > 1e-9 {
					t.Errorf("the centre is %v along %s, want %v", centre[a], Axis(a), want)
				}
			}
		}
	}
}

// TestMachinedMass works a part out by hand: 400 x 300 of 18 mm at 600 kg/m3 is 1.296 kg.
// A cut-out takes 100 x 50, a groove 6 mm deep 18 x 300 (a third of the thickness), a hole
// through it 20 mm of diameter, one 9 mm deep 10 mm.
func TestMachinedMass(t *testing.T) {
	solid := sound(t, bench(), `cabinet: board
sizes:
  width: {default: 400 mm, least: 100 mm, most: 900 mm}
  depth: {default: 300 mm, least: 100 mm, most: 900 mm}
  height: {default: 212 mm, least: 100 mm, most: 900 mm}
roles: {lid: both}
parts:
  base:
    role: lid
    x: [0, width]
    y: [0, depth]
    z: 0
    grain: x
    grooves: [{for: wall, depth: 6 mm}]
    cutouts: [{x: [20, 120], y: [20, 70]}]
    holes:
      - {x: 350, y: 100, diameter: 20}
      - {x: 350, y: 200, diameter: 10, depth: 9, from: -z}
  wall: {role: lid, x: 200, y: [0, depth], z: [12, height], grain: y}
hardware:
  latch: {kind: latch, count: 10}
`)
	gone := 100*50 + 18*300/3. + math.Pi/4*(20*20+10*10/2.)
	want := (400*300 - gone) * 18 * 600 / 1e9
	base := part(t, solid, "base")
	if math.Abs(base.Mass-want) > 1e-12 {
		t.Errorf("the base weighs %v kg, want %v", base.Mass, want)
	}
	// The wall stands at 200 to 218, 12 to 212; ten latches of 0.06 kg count at the middle.
	const wall, latches = 300 * 200 * 18 * 600 / 1e9, 0.6
	kg, centre := solid.Mass()
	if sum := want + wall + latches; math.Abs(kg-sum) > 1e-12 {
		t.Errorf("the mass is %v kg, want %v", kg, sum)
	}
	for a, moment := range [3]float64{
		want*200 + wall*209 + latches*200,
		want*150 + wall*150 + latches*150,
		want*9 + wall*112 + latches*106,
	} {
		if got := centre[a] * kg; math.Abs(got-moment) > 1e-9 {
			t.Errorf("the moment along %s is %v, want %v", Axis(a), got, moment)
		}
	}
}

// TestBandMass weighs a lid of 400 x 300, 18 mm thick, with its bands by hand, in kg: what is
// wider than the lid is thick is trimmed off and weighs nothing. Birch by its specific gravity
// in the USDA Wood Handbook, at 12 % moisture: 0.62 x 1.12 = 0.6944.
func TestBandMass(t *testing.T) {
	const birch = 0.62 * 1000 * 1.12 // kg/m3
	for _, c := range []struct {
		about  string
		band   *shop.Band
		deduct bool
		want   float64
	}{
		{"bare", nil, false, 0.400 * 0.300 * 0.018 * 600},
		{"a band that comes on top", &shop.Band{Thickness: 2 * mm, Width: 23 * mm, Density: 700}, false,
			0.400*0.300*0.018*600 + 2*(0.400+0.300)*0.002*0.018*700},
		{"one that is deducted", &shop.Band{Thickness: 2 * mm, Width: 23 * mm, Density: 700}, true,
			0.396*0.296*0.018*600 + 2*(0.396+0.296)*0.002*0.018*700},
		{"a lipping narrower than the lid is thick", &shop.Band{Lipping: true, Thickness: 8 * mm, Width: 10 * mm, Density: birch}, true,
			0.384*0.284*0.018*600 + 2*(0.384+0.284)*0.008*0.010*birch},
	} {
		s := bench()
		s.Roles["lid"] = shop.Fill{Material: s.Material("plain"), Edges: shop.Treatment{Band: c.band, Deduct: c.deduct}}
		d := read(t, `cabinet: lid
sizes:
  long: {default: 400 mm, least: 100 mm, most: 900 mm}
  wide: {default: 300 mm, least: 100 mm, most: 900 mm}
outside: {x: long, y: wide, z: thick.lid}
roles: {lid: the lid}
parts:
  lid: {role: lid, x: [0, long], y: [0, wide], z: 0, grain: x}
`)
		if kg, _ := expand(t, s, d, nil).Mass(); math.Abs(kg-c.want) > 1e-9 {
			t.Errorf("%s: %.6f kg, want %.6f", c.about, kg, c.want)
		}
	}
}
