package measure

import (
	"fmt"
	"math"
	"math/big"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// lengths draws lengths of every magnitude up to most.
func lengths(most Length) *rapid.Generator[Length] {
	return rapid.Map(rapid.Int64Range(-int64(most), int64(most)), func(nm int64) Length { return Length(nm) })
}

// TestInch holds the definition: 1 in = 25.4 mm exactly, and so for 1/32 in, 23/32 in and
// 1-1/16 in (international yard and pound agreement, 1959).
func TestInch(t *testing.T) {
	for l, want := range map[Length]string{
		Inch: "25.4", Inch / 32: "0.79375", Inch * 23 / 32: "18.25625", Inch + Inch/16: "26.9875",
		Inch / 64: "0.396875", Inch / 1000: "0.0254", Foot: "304.8",
	} {
		if got := l.Exact(); got != want {
			t.Errorf("%d prints as %s mm, want %s", l, got, want)
		}
	}
	if Inch%64 != 0 || Inch%1000 != 0 || (Millimetre/100)*100 != Millimetre {
		t.Error("1/64 in, 0.001 in or 0.01 mm is not a whole number of nanometres")
	}
}

func TestExact(t *testing.T) {
	for l, want := range map[Length]string{
		0: "0", 18 * Millimetre: "18", 11_900_000: "11.9", 1: "0.000001", -1: "-0.000001", -1_500_000: "-1.5",
		Most: "1000000", math.MaxInt64: "9223372036854.775807", math.MinInt64: "-9223372036854.775808",
	} {
		if got := l.Exact(); got != want {
			t.Errorf("Exact(%d) = %s, want %s", l, got, want)
		}
	}
}

func TestFormat(t *testing.T) {
	mm, in16, in32, in64 := Style{}, Style{Inches, 16}, Style{Inches, 32}, Style{Inches, 64}
	for _, test := range []struct {
		style Style
		l     Length
		want  string
	}{
		{mm, 0, "0 mm"},
		{mm, 576_200_000, "576.2 mm"},
		{mm, 18 * Millimetre, "18 mm"},
		{mm, 18_040_000, "~18 mm"},
		{mm, 18_050_000, "~18.1 mm"},
		{mm, 18_949_999, "~18.9 mm"},
		{mm, 18_950_000, "~19 mm"},
		{mm, 49_999, "~0 mm"},
		{mm, -49_999, "~0 mm"},
		{mm, -50_000, "~-0.1 mm"},
		{mm, -3 * Millimetre, "-3 mm"},
		{mm, 18_256_250, "~18.3 mm"}, // 23/32 in
		{in16, 0, "0 in"},
		{in16, 23*Inch + Inch/2, "23 1/2 in"},
		{in16, Inch * 3 / 4, "3/4 in"},
		{in16, -Inch * 3 / 4, "-3/4 in"},
		{in16, -Inch - Inch/4, "-1 1/4 in"},
		{in16, Inch * 23 / 32, "~3/4 in"}, // a half goes up
		{in32, Inch * 23 / 32, "23/32 in"},
		{in32, Inch * 63 / 64, "~1 in"},
		{in64, Inch * 63 / 64, "63/64 in"},
		{in64, 24*Inch - 1, "~24 in"},
		{Style{Unit: Inches}, Inch / 64, "1/64 in"},
		{in64, 18 * Millimetre, "~45/64 in"}, // 18 mm is 45.35 sixty-fourths
		{in64, math.MaxInt64, "~363124883340 47/64 in"},
		{mm, math.MinInt64, "~-9223372036854.8 mm"},
	} {
		if got := test.style.WithUnit(test.l); got != test.want {
			t.Errorf("%+v of %d = %s, want %s", test.style, test.l, got, test.want)
		}
	}
}

// TestExactReadsBack holds that the exact print loses nothing.
func TestExactReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := lengths(Most).Draw(t, "l")
		for _, text := range []string{l.Exact(), l.Exact() + " mm", l.Exact() + "mm"} {
			bare := Millimetres
			if strings.HasSuffix(text, "mm") {
				bare = Inches
			}
			if got, err := Parse(text, bare); got != l || err != nil {
				t.Fatalf("%d reads back from %q as %d, %v", l, text, got, err)
			}
		}
	})
}

// TestFractionsReadBack holds that inches print and read without loss where they fit the
// denominator.
func TestFractionsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		style := Style{Inches, rapid.SampledFrom([]int64{16, 32, 64}).Draw(t, "denominator")}
		count := rapid.Int64Range(-600_000, 600_000).Draw(t, "count")
		l := Length(count) * (Inch / Length(style.Denominator))
		text := style.Format(l)
		for _, text := range []string{text + " in", text + `"`, text, strings.Replace(text, " ", "-", 1)} {
			if got, err := Parse(text, Inches); got != l || err != nil {
				t.Fatalf("%d reads back from %q as %d, %v", l, text, got, err)
			}
		}
	})
}

// TestFeetReadBack writes feet and inches by hand.
func TestFeetReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		feet := rapid.Int64Range(0, 3000).Draw(t, "feet")
		inches := rapid.Int64Range(0, 11).Draw(t, "inches")
		eighths := rapid.Int64Range(0, 7).Draw(t, "eighths")
		text := fmt.Sprintf(rapid.SampledFrom([]string{`%d' %d %d/8"`, `%d'-%d-%d/8"`, "%d ft %d %d/8 in"}).Draw(t, "form"), feet, inches, eighths)
		want := Length(feet)*Foot + Length(inches)*Inch + Length(eighths)*Inch/8
		if got, err := Parse(text, Millimetres); got != want || err != nil {
			t.Fatalf("%q = %d, %v, want %d", text, got, err, want)
		}
	})
}

// TestRounding holds Format against rational arithmetic: the print is the multiple of
// the step nearest to the length, and "~" marks exactly those that differ from it.
func TestRounding(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		style := rapid.SampledFrom([]Style{{}, {Inches, 16}, {Inches, 32}, {Inches, 64}}).Draw(t, "style")
		unit, parts := big.NewRat(int64(Millimetre), 1), int64(10)
		if style.Unit == Inches {
			unit, parts = big.NewRat(int64(Inch), 1), style.Denominator
		}
		l := lengths(math.MaxInt64).Draw(t, "l")
		text := style.Format(l)
		number, rounded := strings.CutPrefix(text, "~")
		value := new(big.Rat)
		for _, piece := range strings.Fields(strings.TrimPrefix(number, "-")) {
			r, ok := new(big.Rat).SetString(piece)
			if !ok {
				t.Fatalf("%q is no number", text)
			}
			value.Add(value, r)
		}
		if strings.HasPrefix(number, "-") {
			value.Neg(value)
		}
		if r := new(big.Rat).Mul(value, big.NewRat(parts, 1)); !r.IsInt() {
			t.Fatalf("%d: %q is finer than the style prints", l, text)
		}
		off := value.Mul(value, unit)
		off.Sub(off, big.NewRat(int64(l), 1))
		off.Abs(off)
		if rounded != (off.Sign() != 0) {
			t.Fatalf("%d: %q, which is %s nm off", l, text, off.RatString())
		}
		if half := new(big.Rat).Quo(unit, big.NewRat(2*parts, 1)); off.Cmp(half) > 0 {
			t.Fatalf("%d: %q, which is %s nm off", l, text, off.FloatString(1))
		}
	})
}

func TestFromMM(t *testing.T) {
	for _, test := range []struct {
		mm   float64
		want Length
		ok   bool
	}{
		{18, 18 * Millimetre, true},
		{0.1 + 0.2, 300_000, true},
		{0.0000005, 1, true},
		{-0.0000005, -1, true},
		{0.0000004, 0, true},
		{1e6, Most, true},
		{-1e6, -Most, true},
		{1e6 + 0.000001, 0, false},
		{-1e300, 0, false},
		{math.Inf(1), 0, false},
		{math.Inf(-1), 0, false},
		{math.NaN(), 0, false},
	} {
		if got, ok := FromMM(test.mm); got != test.want || ok != test.ok {
			t.Errorf("FromMM(%v) = %d, %v, want %d, %v", test.mm, got, ok, test.want, test.ok)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		l := lengths(Most).Draw(t, "l")
		if got, ok := FromMM(l.MM()); got != l || !ok {
			t.Fatalf("%d comes back as %d, %v", l, got, ok)
		}
	})
}

func TestSnap(t *testing.T) {
	for _, test := range []struct{ l, step, nearest, down Length }{
		{7, 0, 7, 7}, {7, -5, 7, 7}, {7, 5, 5, 5}, {8, 5, 10, 5}, {10, 5, 10, 10}, {6, 4, 4, 4}, {7, 4, 8, 4},
		{-7, 5, -5, -10}, {-8, 5, -10, -10}, {-6, 4, -8, -8}, {-10, 5, -10, -10}, {0, 5, 0, 0},
		{575_750_000, Millimetre / 2, 575_500_000, 575_500_000}, // a half goes down
	} {
		if got := test.l.Snap(test.step); got != test.nearest {
			t.Errorf("%d.Snap(%d) = %d, want %d", test.l, test.step, got, test.nearest)
		}
		if got := test.l.SnapDown(test.step); got != test.down {
			t.Errorf("%d.SnapDown(%d) = %d, want %d", test.l, test.step, got, test.down)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		l := lengths(Most).Draw(t, "l")
		step := rapid.Int64Range(1, int64(Foot)).Draw(t, "step")
		down, near := l.SnapDown(Length(step)), l.Snap(Length(step))
		if down%Length(step) != 0 || down > l || l-down >= Length(step) {
			t.Fatalf("%d.SnapDown(%d) = %d", l, step, down)
		}
		if off := 2 * (l - near); near%Length(step) != 0 || off > Length(step) || off <= -Length(step) {
			t.Fatalf("%d.Snap(%d) = %d", l, step, near)
		}
	})
}
