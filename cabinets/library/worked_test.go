package library_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// of is a role's fill: plywood of a nominal and a measured thickness.
func of(nominal, thickness measure.Length) shop.Fill {
	return shop.Fill{Material: &shop.Material{Nominal: nominal, Thickness: thickness, Density: 700, Grain: true, GoodFaces: 2}}
}

// TestDrawerBankWorked holds a drawer bank against the same one worked by hand.
//
// 600 wide, 550 deep, 850 high, three drawers, kick 60. The plywood measures 11.9 for
// carcass and boxes, 6.4 for backs and bottoms, the front panel 15.2; felt pressed is
// 1.5, the fence goes in steps of 0.5, slides come from 250 to 600 by 50 with a side
// space of 12.7.
//
// Depth. The carcass begins behind front and felt, at 15.2 + 1.5 = 16.7, so that a side
// is 550 - 16.7 = 533.3 deep, cut 533.5. Before the back there are then 533.5 - 6.4 = 527.1
// for bottom and top, down to 527. As designed, the back's near face is at 550 - 6.4 =
// 543.6; from the carcass' front to 5 mm before it there are 543.6 - 5 - 16.7 = 521.9 for
// a slide: 500, and so deep is a box.
//
// Width. Between the sides are 600 - 2 x 11.9 = 576.2, cut 576: bottom, top and kick. The
// back lies in rabbets of 5.95: 576 + 2 x 5.95 = 587.9, down to 587.5. A box may be
// 576 - 2 x 12.9 = 550.2 wide and 550.2 - 2 x 11.9 = 526.4 inside, down to 526: front and
// back. Its bottom lies in grooves of 5.95: 526 + 11.9 = 537.9, down to 537.5, by
// 500 - 11.9 = 488.1 deep, down to 488. A front is 600 - 3 = 597.
//
// Height. Kick, front and back: 850 - 60 = 790. On the bottom, at 60 + 11.9 = 71.9, stand
// boxes up to the top at 850 - 11.9 = 838.1: 766.2 for three, less 15 + 2 x 25 + 10 = 75,
// leave 230.4 each, down to 230. A front gets a third of 790, 263.3, less 3: 260.3, down
// to 260.
func TestDrawerBankWorked(t *testing.T) {
	s := &shop.Shop{
		Felt: shop.Felt{Pressed: 1500 * um, Width: 19 * mm, Narrow: 60 * mm},
		Saw:  shop.Saw{Step: mm / 2},
		Roles: map[string]shop.Fill{
			"carcass": of(12*mm, 11900*um), "drawer": of(12*mm, 11900*um), "front": of(15*mm, 15200*um),
			"back": of(6500*um, 6400*um), "bottom": of(6500*um, 6400*um),
		},
		Hardware: []*shop.Hardware{{ID: "latch", Kind: "latch"}, {ID: "slide", Kind: "slide", Side: 12700 * um, Load: 45}},
	}
	for l := 250 * mm; l <= 600*mm; l += 50 * mm {
		s.Hardware[1].Lengths = append(s.Hardware[1].Lengths, shop.SlideLength{Length: l})
	}
	solid, err := cabinets.Expand(s, catalogue(t).Lookup("drawer-bank"), cabinets.Choice{Sizes: map[string]measure.Length{
		"width": 600 * mm, "depth": 550 * mm, "height": 850 * mm, "drawers": 3, "kick": 60 * mm,
	}})
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]string{
		"left-side": "850 x 533.5", "right-side": "850 x 533.5", "bottom": "576 x 527", "top": "576 x 527",
		"kick": "576 x 60", "back": "790 x 587.5",
	}
	for _, i := range []string{"1", "2", "3"} {
		want["front-"+i] = "597 x 260"
		box := "drawer-" + i + "."
		want[box+"left-side"], want[box+"right-side"] = "500 x 230", "500 x 230"
		want[box+"front"], want[box+"back"] = "526 x 230", "526 x 230"
		want[box+"bottom"] = "537.5 x 488"
	}
	got := map[string]string{}
	for i := range solid.Parts {
		p := &solid.Parts[i]
		got[p.Name] = p.Length.Exact() + " x " + p.Width.Exact()
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("by hand (-) and worked out (+):\n%s", diff)
	}
	for _, h := range solid.Hardware {
		if h.Count != 3 || h.Item.Kind == "slide" && h.Length != 500*mm {
			t.Errorf("hardware %s: %d, %s mm long", h.Name, h.Count, h.Length.Exact())
		}
	}
	if len(solid.Hardware) != 2 {
		t.Errorf("%d kinds of hardware, want slides and latches", len(solid.Hardware))
	}
}
