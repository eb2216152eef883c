package cabinets

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
)

// TestDrawerBankByHand holds the built-in drawer bank, at its defaults, against one worked
// out by hand. Common practice, no source: 12.7 mm (1/2 in) side space, 5 mm behind a
// slide, 15 mm below a stack of drawers, 25 between, 10 above, 3 mm between fronts.
//
// 600 wide, 500 deep, 850 high, three drawers, kick 60. Carcass and boxes 11.9 thick, back and
// bottoms 6.4, fronts 18; pressed felt 1.5; the fence moves in steps of 0.5.
//
//	front to back   carcass from 18 + 1.5 = 19.5, so sides 500 - 19.5 = 480.5
//	                back from 500 - 6.4 = 493.6; top and bottom 493.6 - 19.5 = 474.1, cut 474
//	                slide: 493.6 - 19.5 - 5 = 469.1 of room, so 450 long, and the boxes too
//	left to right   inside 600 - 2 x 11.9 = 576.2, cut 576
//	                boxes 576 - 2 x 12.9 = 550.2 at most; inside 550.2 - 23.8 = 526.4,
//	                so 526, and 549.8 outside, which leaves (576 - 549.8) / 2 = 13.1 a side
//	                back in rabbets 5.95 deep: 576 + 11.9 = 587.9, cut 587.5
//	upwards         between 71.9 and 838.1: 766.2; 766.2 / 3 - 25 = 230.4, so boxes 230
//	                at 71.9 + 15 = 86.9, then every (766.2 - 15 - 10 - 230) / 2 = 255.6,
//	                which leaves 25.6 between and 838.1 - 598.1 - 230 = 10 above
//	fronts          600 - 3 = 597 wide, (850 - 60) / 3 - 3 = 260.33 high, so 260
//	bottoms         in grooves 5.95 deep: 526 + 11.9 = 537.9, cut 537.5; 450 - 11.9 = 438.1,
//	                cut 438
//	felt            each front on both sides, 260; the lowest on the bottom, the highest on
//	                the top, 576.2: 6 x 260 + 2 x 576.2 = 2712.4
//	band            four edges of each front: 3 x 2 x (597 + 260) = 5142
func TestDrawerBankByHand(t *testing.T) {
	var c source.Collector
	d := NewCatalogue(&c, t.TempDir()).Lookup("drawer-bank")
	if err := c.Err(); err != nil {
		t.Fatal(err)
	}
	solid := expand(t, bench(), d, nil)
	for _, f := range solid.Findings {
		t.Errorf("%s: %s: %s", f.Level, f.Where, f.Text)
	}

	const side, front, bottom = "450 x 230", "526 x 230", "537.5 x 438"
	want := map[string]string{
		"left-side": "850 x 480.5", "right-side": "850 x 480.5",
		"bottom": "576 x 474", "top": "576 x 474", "kick": "576 x 60", "back": "790 x 587.5",
		"front-1": "597 x 260", "front-2": "597 x 260", "front-3": "597 x 260",
	}
	for i := 1; i <= 3; i++ {
		in := fmt.Sprintf("drawer-%d.", i)
		want[in+"left-side"], want[in+"right-side"] = side, side
		want[in+"front"], want[in+"back"], want[in+"bottom"] = front, front, bottom
	}
	got := map[string]string{}
	for _, p := range solid.Parts {
		got[p.Name] = p.Length.Exact() + " x " + p.Width.Exact()
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("cut sizes (-want +got):\n%s", diff)
	}

	for name, z := range map[string]string{"drawer-1.left-side": "86.9", "drawer-2.left-side": "342.5", "drawer-3.left-side": "598.1"} {
		if got := part(t, solid, name).Box.Lo[Z].Exact(); got != z {
			t.Errorf("%s stands at %s, want %s", name, got, z)
		}
	}
	left := part(t, solid, "drawer-1.left-side").Snapped.Lo[X] - part(t, solid, "left-side").Snapped.Hi[X]
	right := part(t, solid, "right-side").Snapped.Lo[X] - part(t, solid, "drawer-1.right-side").Snapped.Hi[X]
	if got := left.Exact() + " and " + right.Exact(); got != "13.1 and 13.1" {
		t.Errorf("the side space is %s", got)
	}

	var felt, band measure.Length
	for _, c := range solid.Contacts {
		felt += c.Felt()
	}
	for _, p := range solid.Parts {
		for _, e := range p.Edges {
			if e.Treatment != nil && e.Treatment.Band != nil {
				band += e.Length
			}
		}
	}
	if got := felt.Exact() + " and " + band.Exact(); got != "2712.4 and 5142" {
		t.Errorf("felt and band are %s", got)
	}

	hardware := ""
	for _, l := range solid.Hardware {
		hardware += fmt.Sprintf("%d %s %s %s, ", l.Count, l.Item.ID, l.Length.Exact(), l.Name)
	}
	if hardware != "3 slide-45 450 slide, 3 latch 0 latch, " {
		t.Errorf("the hardware is %s", hardware)
	}
}
