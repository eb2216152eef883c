package measure

import (
	"testing"
)

func TestParse(t *testing.T) {
	for _, test := range []struct {
		text string
		bare Unit
		want Length
	}{
		{"18 mm", Inches, 18 * Millimetre},
		{"18mm", Inches, 18 * Millimetre},
		{"1.8 cm", Inches, 18 * Millimetre},
		{"0.5 m", Inches, 500 * Millimetre},
		{".5 m", Inches, 500 * Millimetre},
		{"0.000001 mm", Inches, Nanometre},
		{"0.0000010 mm", Inches, Nanometre},
		{"1000 m", Inches, Most},
		{"600", Millimetres, 600 * Millimetre},
		{"600.25", Millimetres, 600*Millimetre + 250*Micrometre},
		{"24", Inches, 24 * Inch},
		{"23 1/2", Inches, 23*Inch + Inch/2},
		{"23-1/2", Inches, 23*Inch + Inch/2},
		{"1/64", Inches, 396_875},
		{" 0 ", Millimetres, 0},

		// 1 in = 25.4 mm exactly: the international yard and pound agreement, 1959
		{"1 in", Millimetres, 25_400_000},
		{"23 1/2 in", Millimetres, 596_900_000},
		{`23-1/2"`, Millimetres, 596_900_000},
		{`23 1/2″`, Millimetres, 596_900_000},
		{"23½ in", Millimetres, 596_900_000},
		{"23 ½ in", Millimetres, 596_900_000},
		{"23-½ in", Millimetres, 596_900_000},
		{"23.5 in", Millimetres, 596_900_000},
		{"23.5 inches", Millimetres, 596_900_000},
		{"⅞ inch", Millimetres, 22_225_000},
		{"3/4 in", Millimetres, 19_050_000},
		{"9/8 in", Millimetres, 28_575_000},
		{"0.001 in", Millimetres, 25_400},
		{"1/32 in", Millimetres, 793_750},
		{"23/32 in", Millimetres, 18_256_250},
		{"1-1/16 in", Millimetres, 26_987_500},

		{"7 ft", Millimetres, 84 * Inch},
		{"7.5 ft", Millimetres, 90 * Inch},
		{"7 1/2 feet", Millimetres, 90 * Inch},
		{"1 foot", Millimetres, 12 * Inch},
		{"7 ft 6 in", Millimetres, 90 * Inch},
		{`7' 6"`, Millimetres, 90 * Inch},
		{`7'6"`, Millimetres, 90 * Inch},
		{`7'-6"`, Millimetres, 90 * Inch},
		{`7′ 6 1/2″`, Millimetres, 90*Inch + Inch/2},
		{`7' ½"`, Millimetres, 84*Inch + Inch/2},

		{"-3 mm", Millimetres, -3 * Millimetre},
		{"−3 mm", Millimetres, -3 * Millimetre},
		{"-1 1/2 in", Millimetres, -(Inch + Inch/2)},
		{`-7' 6"`, Millimetres, -90 * Inch},
	} {
		got, err := Parse(test.text, test.bare)
		if err != nil || got != test.want {
			t.Errorf("Parse(%q, %v) = %d, %v; want %d", test.text, test.bare, got, err, test.want)
		}
	}
}
