package library_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"sawbook/cabinets"
	"sawbook/cabinets/shop"
)

// TestBandedByHand holds an overhead locker whose bands come off the cut size, 0.5 of the
// carcass and 2 of the doors, against the same worked by hand: 1000 wide, 320 deep, 340 high,
// two doors, 20 to scribe. Band 0.5 to 3 mm thick: common practice, no source.
//
// Sides. All four edges are open. Depth 320 - 15.2 - 1.5 = 303.3, less 2 x 0.5 = 302.3, cut
// 302.5. Height. The divider is held between bottom and top, its ends are covered:
// 340 - 23.8 = 316.2, cut 316. Bottom and top are then 316 + 23.8 = 339.8 apart outside; of
// that a side with its bands may take 339.8 - 1 = 338.8, down to 338.5, with them 339.5.
// Bottom, top and divider have a band in front alone, the back covers the other edge:
// 303.3 - 20 - 6.4 = 276.9, less 0.5 = 276.4, cut 276.5, with it 277. Between the sides 976.2,
// cut 976. The back has no band: 987.5 x 339.5 as it fits. Doors are 500 - 3 = 497 by
// 340 - 3 = 337 with their bands, 493 by 333 without.
//
// Cups lie 5 from the upper edge of a door, band included, and so 3 from that of its panel:
// from 333 - 3 - 35 = 295 up to 330. The latch's hole of 25 has its middle 45 above the lower
// edge: from 45 - 12.5 - 2 = 30.5 up to 55.5.
func TestBandedByHand(t *testing.T) {
	s := workshop()
	for role, thickness := range map[string]*shop.Band{"carcass": {ID: "thin", Thickness: mm / 2}, "front": {ID: "oak", Thickness: 2 * mm}} {
		fill := s.Roles[role]
		fill.Edges = shop.Treatment{Band: thickness, Deduct: true}
		s.Roles[role] = fill
	}
	solid, err := cabinets.Expand(s, catalogue(t).Lookup("overhead-locker"), cabinets.Choice{Sizes: overheadLocker.sizes})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range solid.Findings {
		t.Errorf("%s: %s", f.Where, f.Text)
	}
	type sizes struct{ cut, built string }
	want := map[string]sizes{
		"left-side": {"338.5 x 302.5", "339.5 x 303.5"}, "right-side": {"338.5 x 302.5", "339.5 x 303.5"},
		"bottom": {"976 x 276.5", "976 x 277"}, "top": {"976 x 276.5", "976 x 277"}, "divider-*": {"316 x 276.5", "316 x 277"},
		"back": {"987.5 x 339.5", "987.5 x 339.5"}, "door-*.panel": {"333 x 493", "337 x 497"},
	}
	got := map[string]sizes{}
	for i := range solid.Parts {
		p := &solid.Parts[i]
		across := cabinets.X + cabinets.Y + cabinets.Z - p.Thin - p.Long
		got[counter.ReplaceAllString(p.Name, "-*$1")] = sizes{
			p.Length.Exact() + " x " + p.Width.Exact(),
			p.Snapped.Size(p.Long).Exact() + " x " + p.Snapped.Size(across).Exact(),
		}
	}
	if diff := cmp.Diff(want, got, cmp.AllowUnexported(sizes{})); diff != "" {
		t.Errorf("by hand (-) and worked out (+):\n%s", diff)
	}
	for about, want := range map[string]string{"hinge cup": "295 to 330", "latch": "30.5 to 55.5"} {
		for _, b := range machined(solid, "door-1.panel", about) {
			if got := b.Lo[0].Exact() + " to " + b.Hi[0].Exact(); got != want {
				t.Errorf("%s from %s, want %s", about, got, want)
			}
		}
	}
}
