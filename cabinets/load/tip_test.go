package load

import (
	"math"
	"testing"
)

// TestLean works two drawers out by hand, with statics alone. A pull-out of 80 kg has its centre 780 mm
// above slides that are 240 mm apart. Pushed by 0.8 g: 80 x 9.80665 x 0.8 x 0.78 = 489.55 Nm over one slide,
// 80 x 9.80665 x 0.12 = 94.14 Nm back: it tips from 0.12/0.78 = 0.154 g on. A flat drawer of 30 kg, its
// centre 60 mm above slides that are 500 mm apart: 14.12 Nm over, 73.55 back.
func TestLean(t *testing.T) {
	for _, c := range []struct {
		mass, push, above, apart, over, back float64
		tips                                 bool
	}{
		{80, 0.8, 780, 240, 489.55, 94.14, true},
		{80, 0.15, 780, 240, 91.79, 94.14, false},
		{80, 0.16, 780, 240, 97.91, 94.14, true},
		{30, 0.8, 60, 500, 14.12, 73.55, false},
		{30, 0.8, -60, 500, 14.12, 73.55, false}, // it hangs from its slides
	} {
		got := Lean(c.mass, c.push, c.above, c.apart)
		if math.Abs(got.Over-c.over) > 0.005 || math.Abs(got.Back-c.back) > 0.005 || got.Tips() != c.tips {
			t.Errorf("%+v: %+v, tips %v", c, got, got.Tips())
		}
	}
}

// TestTipForward, with statics alone: a carcass of 20 kg stands 250 mm behind its front foot; 60 kg of
// drawers hang 200 mm before it. 60 x 9.80665 x 0.2 = 117.68 Nm over, 20 x 9.80665 x 0.25 = 49.03 back;
// at 850 mm height (117.68 - 49.03)/0.85 = 80.76 N hold it.
func TestTipForward(t *testing.T) {
	var tip Tip
	tip.Add(20, 250)
	if tip.Tips() || tip.Pull(850) != 0 {
		t.Errorf("closed: %+v", tip)
	}
	tip.Add(60, -200)
	if math.Abs(tip.Over-117.68) > 0.005 || math.Abs(tip.Back-49.03) > 0.005 || math.Abs(tip.Pull(850)-80.76) > 0.005 || !tip.Tips() {
		t.Errorf("open: %+v, %v N", tip, tip.Pull(850))
	}
}
