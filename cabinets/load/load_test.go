package load

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestSplit: examples of owners' and body builders' manuals.
func TestSplit(t *testing.T) {
	for _, c := range []struct{ behind, mass, wheelbase, front, rear, within float64 }{
		{450, 100, 325, -38.5, 138.5, 0.05},
		{250, 50, 325, 11.5, 38.5, 0.05},
		{156, 14_500, 214, 3_930, 10_570, 0.5}, // in and lb
	} {
		front, rear := Split(c.mass, c.behind, c.wheelbase)
		if math.Abs(front-c.front) > c.within || math.Abs(rear-c.rear) > c.within {
			t.Errorf("%+v: front %v, rear %v", c, front, rear)
		}
	}
}

// TestSplitsAddUp: both splits are the whole mass.
func TestSplitsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mass, at := rapid.Float64Range(0, 5000).Draw(t, "mass"), rapid.Float64Range(-3000, 9000).Draw(t, "at")
		base := rapid.Float64Range(1000, 6000).Draw(t, "base")
		front, rear := Split(mass, at, base)
		left, right := Sides(mass, at/10, base)
		if math.Abs(front+rear-mass) > 1e-6*max(mass, 1) || math.Abs(left+right-mass) > 1e-6*max(mass, 1) {
			t.Errorf("front %v + rear %v, left %v + right %v, want %v", front, rear, left, right, mass)
		}
	})
}

// TestRules: EN 12195-1 asks for 0.8 g forward, 0.5 g to the side and rear, 0.6 g to the side where
// it may tip; VDI 2700-16 for 0.9 and 0.7 up to 2.0 t, 0.8 and 0.6 up to 3.5 t, 0.5 to the rear.
func TestRules(t *testing.T) {
	weight := 100 * 9.80665
	for _, c := range []struct {
		rule string
		tips bool
		want Forces
	}{
		{"EN 12195-1", false, Forces{0.8 * weight, 0.5 * weight, 0.5 * weight}},
		{"EN 12195-1", true, Forces{0.8 * weight, 0.6 * weight, 0.5 * weight}},
		{"VDI 2700-16, to 2.0 t", true, Forces{0.9 * weight, 0.7 * weight, 0.5 * weight}},
		{"VDI 2700-16, 2.0 to 3.5 t", false, Forces{0.8 * weight, 0.6 * weight, 0.5 * weight}},
	} {
		got := RuleNamed(c.rule).Of(100, c.tips)
		if math.Abs(got.Forward-c.want.Forward) > 1e-9 || math.Abs(got.Side-c.want.Side) > 1e-9 || math.Abs(got.Rear-c.want.Rear) > 1e-9 {
			t.Errorf("%s, tips %v: %+v, want %+v", c.rule, c.tips, got, c.want)
		}
	}
}
