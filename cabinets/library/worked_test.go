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

// workshop returns a shop whose plywood measures 11.9 for carcasses and boxes, 6.4 for backs
// and bottoms, 17.7 for lids and 15.2 for fronts, these banded with 2 mm, and 17.7 for
// counters, banded with 0.5 mm that comes off the cut size. Felt pressed is 1.5, the fence goes
// in steps of 0.5, the kerf is 3.2, slides come from 250 to 600 by 50 with a side space
// of 12.7.
func workshop() *shop.Shop {
	front := of(15*mm, 15200*um)
	front.Edges.Band = &shop.Band{ID: "oak", Thickness: 2 * mm}
	top := of(18*mm, 17700*um)
	top.Edges = shop.Treatment{Band: &shop.Band{ID: "thin oak", Thickness: mm / 2}, Deduct: true}
	s := &shop.Shop{
		Felt: shop.Felt{Pressed: 1500 * um, Width: 19 * mm, Narrow: 60 * mm},
		Saw:  shop.Saw{Step: mm / 2, Kerf: 3200 * um},
		Roles: map[string]shop.Fill{
			"carcass": of(12*mm, 11900*um), "drawer": of(12*mm, 11900*um), "front": front, "lid": of(18*mm, 17700*um), "top": top,
			"back": of(6500*um, 6400*um), "bottom": of(6500*um, 6400*um),
		},
		Hardware: []*shop.Hardware{{Kind: "slide", Side: 12700 * um, Load: 45}},
	}
	for l := 250 * mm; l <= 600*mm; l += 50 * mm {
		s.Hardware[0].Lengths = append(s.Hardware[0].Lengths, shop.SlideLength{Length: l})
	}
	for _, kind := range []string{"latch", "hinge", "cup-hinge", "hinge-plate", "gas-strut", "dowel"} {
		s.Hardware = append(s.Hardware, &shop.Hardware{Kind: kind})
	}
	for _, h := range s.Hardware {
		switch h.ID = h.Kind; h.Kind {
		case "slide":
			h.Hole = bore
			for i := range h.Lengths {
				h.Lengths[i].Holes = []shop.Spot{{Behind: 37 * mm}, {Behind: 261 * mm}, {Behind: 453 * mm}}
			}
		case "hinge-plate":
			h.Hole, h.Holes = bore, []shop.Spot{{Behind: 37 * mm, Above: -16 * mm}, {Behind: 37 * mm, Above: 16 * mm}}
		}
	}
	return s
}

// worked is a cabinet worked by hand.
type worked struct {
	cabinet    string
	sizes      map[string]measure.Length
	parts      map[string]string // name to length x width; drawer-* stands for every number
	hardware   map[string]int    // by kind
	felt, band measure.Length
	holes      int
}

// TestWorked holds five cabinets, in that workshop, against the same worked by hand.
func TestWorked(t *testing.T) {
	k := catalogue(t)
	for _, w := range []worked{drawerBank, overheadLocker, benchBox, longBox, counterTop} {
		t.Run(w.cabinet, func(t *testing.T) {
			solid, err := cabinets.Expand(workshop(), k.Lookup(w.cabinet), cabinets.Choice{Sizes: w.sizes})
			if err != nil {
				t.Fatal(err)
			}
			got := worked{cabinet: w.cabinet, sizes: w.sizes, parts: map[string]string{}, hardware: map[string]int{}}
			for i := range solid.Parts {
				p := &solid.Parts[i]
				name := counter.ReplaceAllString(p.Name, "-*$1")
				size := p.Length.Exact() + " x " + p.Width.Exact()
				if other, met := got.parts[name]; met && other != size {
					t.Errorf("%s is %s, another %s", p.Name, size, other)
				}
				got.parts[name] = size
				for _, e := range p.Edges {
					if e.Treatment != nil && e.Treatment.Band != nil {
						got.band += e.Length
					}
				}
				for _, f := range p.Features {
					if f.Kind == cabinets.Hole {
						got.holes++
					}
				}
			}
			for _, h := range solid.Hardware {
				got.hardware[h.Item.Kind] += h.Count
				if h.Item.Kind == "slide" && h.Length != 500*mm {
					t.Errorf("the slides are %s mm long", h.Length.Exact())
				}
			}
			for _, c := range solid.Contacts {
				got.felt += c.Felt()
			}
			got.felt = got.felt.Snap(rounding)
			if diff := cmp.Diff(w, got, cmp.AllowUnexported(worked{})); diff != "" {
				t.Errorf("by hand (-) and worked out (+):\n%s", diff)
			}
			for _, f := range solid.Findings {
				t.Errorf("%s: %s: %s", f.Level, f.Where, f.Text)
			}
		})
	}
}

// drawerBank is 600 wide, 550 deep and 850 high, with three drawers and a kick of 60.
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
//
// Felt. Each front closes onto both sides: 6 x 260 = 1560. The first also closes onto the
// bottom and the last onto the top, between the sides: 2 x 576.2 = 1152.4. Band: 3 x 2 x
// (597 + 260) = 5142. Each slide has three holes in the side that it is screwed to: 2 x 3 x 3.
var drawerBank = worked{
	cabinet: "drawer-bank",
	sizes:   map[string]measure.Length{"width": 600 * mm, "depth": 550 * mm, "height": 850 * mm, "drawers": 3, "kick": 60 * mm},
	parts: map[string]string{
		"left-side": "850 x 533.5", "right-side": "850 x 533.5", "bottom": "576 x 527", "top": "576 x 527",
		"kick": "576 x 60", "back": "790 x 587.5", "front-*": "597 x 260",
		"drawer-*.left-side": "500 x 230", "drawer-*.right-side": "500 x 230",
		"drawer-*.front": "526 x 230", "drawer-*.back": "526 x 230", "drawer-*.bottom": "537.5 x 488",
	},
	hardware: map[string]int{"slide": 3, "latch": 3},
	felt:     2712400 * um, band: 5142 * mm, holes: 18,
}

// overheadLocker is 1000 wide, 320 deep and 340 high, with two doors and 20 to scribe.
//
// Depth. A side is 320 - 16.7 = 303.3 deep, cut 303.5. Bottom, top and divider end before
// the back: 303.3 - 20 - 6.4 = 276.9, cut 277. Height. The divider stands between bottom
// and top: 340 - 2 x 11.9 = 316.2, cut 316. Then both are 316 + 23.8 = 339.8 apart outside,
// and sides and back 339.5 high. Width. Bottom and top are 1000 - 23.8 = 976.2, cut 976;
// the back 976 + 11.9 = 987.9, down to 987.5. Doors: 500 - 3 = 497 by 340 - 3 = 337.
//
// A door closes onto bottom and top from the side, at 11.9, to its edge at 500 - 1.5: 486.6
// each; onto the side over its height, 337; onto the divider between bottom and top, 316.2.
// Felt: 2 x (2 x 486.6 + 337 + 316.2) = 3252.8. Band: 2 x 2 x (497 + 337) = 3336. Each door
// has two hinges, their cups, two holes for the plate of each, and a latch with its hole:
// 2 x (2 + 4 + 1).
var overheadLocker = worked{
	cabinet: "overhead-locker",
	sizes:   map[string]measure.Length{"width": 1000 * mm, "depth": 320 * mm, "height": 340 * mm, "doors": 2, "scribe": 20 * mm},
	parts: map[string]string{
		"left-side": "339.5 x 303.5", "right-side": "339.5 x 303.5", "bottom": "976 x 277", "top": "976 x 277",
		"divider-*": "316 x 277", "back": "987.5 x 339.5", "door-*.panel": "337 x 497", // its grain runs up
	},
	hardware: map[string]int{"cup-hinge": 4, "hinge-plate": 4, "latch": 2, "gas-strut": 2},
	felt:     3252800 * um, band: 3336 * mm, holes: 14,
}

// benchBox is 900 wide, 500 deep and 420 high with a divider and a kick of 60.
//
// Height. The lid lies on felt at 420 - 17.7 - 1.5 = 400.8. Sides are cut 401, front and
// back 400.8 - 60 = 340.8, cut 341; the divider stands on the bottom at 71.9: 328.9, cut 329.
// Depth. Between front and back are 500 - 15.2 - 6.4 = 478.4, cut 478.5: bottom and divider.
// With the back they take 484.9, and sides are 484.5. Width. The kick is 900 - 23.8 = 876.2,
// cut 876, so that the front, over 876 + 23.8 = 899.8, is 899.5. The bottom lies in dadoes
// of 3.97: 876 + 7.93, down to 883.5; the back in rabbets of 5.95: 887.9, down to 887.5. The
// rail is 80 deep, the lid 500 - 80 - 2 = 418.
//
// The lid lies on the front, 900, and behind it, 418 - 15.2 = 402.8, on two sides and the
// divider. The rail lies on two sides, 80, on the divider before the back, 73.6, and on the
// back, 900 - 11.9 = 888.1. Felt: 900 + 3 x 402.8 + 2 x 80 + 73.6 + 888.1 = 3230.1. Band:
// the front's edges, none of which is glued to anything: 2 x (899.5 + 341) = 2481.
var benchBox = worked{
	cabinet: "bench-box",
	sizes:   map[string]measure.Length{"width": 900 * mm, "depth": 500 * mm, "height": 420 * mm, "dividers": 1, "kick": 60 * mm},
	parts: map[string]string{
		"left-side": "401 x 484.5", "right-side": "401 x 484.5", "bottom": "883.5 x 478.5", "kick": "876 x 60",
		"front": "899.5 x 341", "back": "887.5 x 341", "divider-*": "329 x 478.5", "lid": "900 x 418", "rail": "900 x 80",
	},
	hardware: map[string]int{"hinge": 3, "latch": 1},
	felt:     3230100 * um, band: 2481 * mm,
}

// longBox is 2100 long, 350 deep and 300 high, with three lids and two rows of holes.
//
// Height. The lids lie on felt at 300 - 17.7 - 1.5 = 280.8: sides and ends are cut 281.
// Depth. Ends are 350 - 23.8 = 326.2, cut 326; the bottom lies in grooves of 5.95: 337.9,
// down to 337.5, by 2100 - 11.9 = 2088.1, down to 2088. The rail is 60 deep, a lid
// 350 - 60 - 2 = 288 by 2100 / 3 - 3 = 697.
//
// Between the ends are 2076.2: less 50 at either end, 1976.2, hold 19 pitches of 100 and so
// 20 columns, 40 holes a side; each lid has one for a finger. Lids lie on the front,
// 3 x 697, the outer two on the ends, 288 - 11.9 = 276.1; the rail on the back, 2100, and on
// the ends from 290 to 338.1. Felt: 2091 + 2 x 276.1 + 2100 + 2 x 48.1 = 4839.4.
var longBox = worked{
	cabinet: "long-box",
	sizes: map[string]measure.Length{
		"width": 2100 * mm, "depth": 350 * mm, "height": 300 * mm, "lids": 3, "rows": 2, "pitch": 100 * mm, "dowels": 8,
	},
	parts: map[string]string{
		"front": "2100 x 281", "back": "2100 x 281", "left-end": "326 x 281", "right-end": "326 x 281",
		"bottom": "2088 x 337.5", "rail": "2100 x 60", "lid-*.panel": "697 x 288",
	},
	hardware: map[string]int{"hinge": 6, "latch": 3, "dowel": 8},
	felt:     4839400 * um, holes: 83,
}

// counterTop is 1500 long and 580 deep, with a sink of 360 x 320 that begins 100 from the
// left end and 40 from the front, and a lid in an opening of 300 x 320, 80 from the front.
//
// Board. The band comes off all round: 1499 x 579. The web before the sink, 40, is narrower
// than 60: a strip under it reaches 20 beyond the sink at either end, 400 x 40. Those behind
// it, 580 - 40 - 320 = 220, and beside it, 100, are not.
//
// Lid. The opening begins 70 behind the sink, at 530, and ends at 830. A kerf of 3.2 all
// round leaves 300 - 6.4 = 293.6 by 320 - 6.4 = 313.6, off the fence's step, as the saw does
// it. The ledges reach 40 under the board and 20 under the lid, and end 3 before the
// opening does: 314 x 60.
//
// Felt. A ledge meets the board over 40, and the lid over less than 20: one strip each,
// 4 x 314 = 1256. Band. Board 2 x (1499 + 579) = 4156, lid 2 x (293.6 + 313.6) = 1214.4.
var counterTop = worked{
	cabinet: "counter",
	sizes: map[string]measure.Length{
		"width": 1500 * mm, "depth": 580 * mm, "sink": 1, "sink-width": 360 * mm, "sink-depth": 320 * mm, "sink-left": 100 * mm,
		"sink-front": 40 * mm, "lid": 1, "lid-width": 300 * mm, "lid-depth": 320 * mm, "lid-front": 80 * mm, "web": 60 * mm,
	},
	parts: map[string]string{
		"top": "1499 x 579", "lid-*": "293.6 x 313.6", "sink-front-strip-*": "400 x 40",
		"left-ledge-*": "314 x 60", "right-ledge-*": "314 x 60",
	},
	hardware: map[string]int{"latch": 1},
	felt:     1256 * mm, band: 5370400 * um, holes: 1,
}
