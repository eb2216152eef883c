package measure

import (
	"errors"
	"strings"
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

// TestRefused holds the exact text of what Parse refuses.
func TestRefused(t *testing.T) {
	for _, test := range []struct {
		text   string
		bare   Unit
		offset int
		want   string
	}{
		{"", Millimetres, 0, "a length is missing | write for example 18 mm or 23 1/2 in"},
		{"  ", Millimetres, 2, "a length is missing | write for example 18 mm or 23 1/2 in"},
		{"-", Millimetres, 1, "a number is missing | write for example 18 mm or 23 1/2 in"},
		{"--", Millimetres, 1, "a sign in the wrong place | one - may stand in front of the whole length"},
		{"--3 mm", Millimetres, 1, "a sign in the wrong place | one - may stand in front of the whole length"},
		{"3 - 4 mm", Millimetres, 2, "a sign in the wrong place | one - may stand in front of the whole length"},
		{"+3 mm", Millimetres, 0, "unexpected '+' | write for example 18 mm or 23 1/2 in"},
		{"~3 mm", Millimetres, 0, "a rounded length cannot be read back | write the exact length"},
		{"mm", Millimetres, 0, "a number is missing before mm | write for example 18 mm or 23 1/2 in"},
		{strings.Repeat("0", 61), Millimetres, 0, "a length of over 60 characters | write for example 18 mm or 23 1/2 in"},

		{"18 mmm", Millimetres, 3, "unknown unit mmm | the units are mm, cm, m, in and ft"},
		{"18 MM", Millimetres, 3, "unknown unit MM | the units are mm, cm, m, in and ft"},
		{"18 yd", Millimetres, 3, "unknown unit yd | the units are mm, cm, m, in and ft"},
		{"1e3", Millimetres, 1, "unknown unit e | the units are mm, cm, m, in and ft"},
		{"0x10", Millimetres, 1, "unknown unit x | the units are mm, cm, m, in and ft"},
		{"1,8 cm", Millimetres, 1, "a comma in a number | write a point before the decimals and nothing between thousands"},
		{"18. mm", Millimetres, 3, "digits are missing after the point | write for example 18.0 or 18"},
		{".", Millimetres, 1, "digits are missing after the point | write for example 18.0 or 18"},
		{"1.2.3", Millimetres, 3, "unexpected '.' | write for example 18 mm or 23 1/2 in"},
		{"18 mm\n", Millimetres, 5, `unexpected '\n' | write for example 18 mm or 23 1/2 in`},
		{"18 \xff", Millimetres, 3, "unexpected '\uFFFD' | write for example 18 mm or 23 1/2 in"},
		{"18 \u0130", Millimetres, 3, "unexpected 'İ' | write for example 18 mm or 23 1/2 in"},

		{"1 2", Millimetres, 2, "two numbers stand beside each other | write one number, or a whole number and a fraction: 23 1/2 in"},
		{"1-2 in", Millimetres, 2, "two numbers stand beside each other | write one number, or a whole number and a fraction: 23 1/2 in"},
		{"18 mm 3", Millimetres, 6, "more follows the length | write one length, for example 18 mm or 7 ft 6 in"},
		{"1 m 20 cm", Millimetres, 4, "more follows the length | write one length, for example 18 mm or 7 ft 6 in"},
		{"7.5 ft 6 in", Millimetres, 7, "more follows the length | write one length, for example 18 mm or 7 ft 6 in"},
		{"7 ft 6", Millimetres, 5, `what follows feet must be inches | write for example 7 ft 6 in or 7' 6"`},
		{"7 ft 6 mm", Millimetres, 5, `what follows feet must be inches | write for example 7 ft 6 in or 7' 6"`},
		{"7 ft 12 in", Millimetres, 5, "12 inches or more beside feet | add them to the feet"},
		{"7 ft -", Millimetres, 6, "a number is missing | write for example 18 mm or 23 1/2 in"},
		{"7 ft x", Millimetres, 5, "unknown unit x | the units are mm, cm, m, in and ft"},

		{"3/0 in", Millimetres, 2, "the denominator is 0 | write for example 3/4 in"},
		{"3/ in", Millimetres, 2, "the fraction has no denominator | write for example 3/4 in"},
		{"3/x in", Millimetres, 2, "the fraction has no denominator | write for example 3/4 in"},
		{"1 9/8 in", Millimetres, 2, "the fraction beside a whole number must be less than 1 | write for example 1 1/8 in or 9/8 in"},
		{"1 8/8 in", Millimetres, 2, "the fraction beside a whole number must be less than 1 | write for example 1 1/8 in or 9/8 in"},
		{"1/1001 in", Millimetres, 2, "the fraction is too fine | halve an inch up to six times: the finest fraction is 1/64"},
		{"3/4 mm", Inches, 0, "a fraction is read in inches or feet only | write decimals, or add in: 3/4 in"},
		{"½ m", Inches, 0, "a fraction is read in inches or feet only | write decimals, or add in: 3/4 in"},
		{"23 1/2", Millimetres, 0, "a fraction is read in inches or feet only | write decimals, or add in: 3/4 in"},

		{"0.0000001 mm", Millimetres, 0, "0.0000001 is not exact to the nanometre | write at most 6 decimals of a mm"},
		{"0.0000000001 m", Millimetres, 0, "0.0000000001 is not exact to the nanometre | write at most 6 decimals of a mm"},
		{"-0.0000001", Millimetres, 1, "0.0000001 is not exact to the nanometre | write at most 6 decimals of a mm"},
		{"0.000001 in", Millimetres, 0, "0.000001 is not exact to the nanometre | write at most 5 decimals of an inch"},
		{"1 1/128 in", Millimetres, 0, "1 1/128 is not exact to the nanometre | halve an inch up to six times: the finest fraction is 1/64"},
		{"1/3 in", Millimetres, 0, "1/3 is not exact to the nanometre | halve an inch up to six times: the finest fraction is 1/64"},

		{"1000.1 m", Millimetres, 0, "a length over 1 km | check the unit: the units are mm, cm, m, in and ft"},
		{"1001 m", Millimetres, 0, "a length over 1 km | check the unit: the units are mm, cm, m, in and ft"},
		{"1000001", Millimetres, 0, "a length over 1 km | check the unit: the units are mm, cm, m, in and ft"},
		{"-1000001", Millimetres, 1, "a length over 1 km | check the unit: the units are mm, cm, m, in and ft"},
		{"99999999999999999999999 in", Millimetres, 0, "a length over 1 km | check the unit: the units are mm, cm, m, in and ft"},
	} {
		got, err := Parse(test.text, test.bare)
		var at *SyntaxError
		if !errors.As(err, &at) {
			t.Errorf("Parse(%q) = %d, want %s", test.text, got, test.want)
			continue
		}
		if text := at.Text + " | " + at.Hint; text != test.want || at.Offset != test.offset {
			t.Errorf("Parse(%q): at %d %s\nwant at %d %s", test.text, at.Offset, text, test.offset, test.want)
		}
	}
}

// FuzzParse holds that whatever is read lies in range and reads back from its exact
// print, and that a fault lies inside the text.
func FuzzParse(f *testing.F) {
	for _, seed := range []string{"18 mm", "-1.8cm", `23-1/2"`, `7' 6 ½"`, "7 ft-6in", "600", ".5 m", "3/0 in", "1 2", "--", "1e9"} {
		f.Add(seed, true)
		f.Add(seed, false)
	}
	f.Fuzz(func(t *testing.T, text string, inches bool) {
		bare := Millimetres
		if inches {
			bare = Inches
		}
		l, err := Parse(text, bare)
		if err != nil {
			at := err.(*SyntaxError)
			if at.Offset < 0 || at.Offset > len(text) || at.Text == "" || at.Hint == "" {
				t.Fatalf("Parse(%q): %+v", text, at)
			}
			return
		}
		if l < -Most || l > Most {
			t.Fatalf("Parse(%q) = %d", text, l)
		}
		if back, err := Parse(l.Exact(), Millimetres); back != l || err != nil {
			t.Fatalf("Parse(%q) = %d, read back as %d, %v", text, l, back, err)
		}
	})
}
