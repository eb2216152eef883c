package batch

import (
	"testing"

	"sawbook/cabinets/shop"
)

// TestShareCost: by hand. 6 m2 of parts at 30.00 a square metre in the base, whose 4 m2 cost 120.00; a quarter of a
// roll of 40.00; half a pack of 9.00; another material at its own rate.
func TestShareCost(t *testing.T) {
	birch, oak := &shop.Material{ID: "birch"}, &shop.Material{ID: "oak"}
	base := Estimate{Sheets: []SheetUse{{Material: birch, Parts: 4, Cost: 12000}}, Lines: []Line{{Group: GroupSheets, Cost: 12000}}}
	with := Estimate{
		Sheets: []SheetUse{{Material: birch, Parts: 6, Cost: 24000}, {Material: oak, Parts: 2, Cost: 5000}},
		Lines: []Line{{Group: GroupSheets, Cost: 24000}, {Group: GroupSheets, Cost: 5000},
			{Group: GroupFelt, Each: 4000, Buy: 1, Packs: 0.25, Cost: 4000}, {Group: GroupHardware, Each: 900, Buy: 1, Packs: 0.5, Cost: 900}, {Group: GroupSpare, Cost: 100}},
	}
	if got := base.ShareCost(&base); got != 12000 {
		t.Errorf("the base comes to %d", got)
	}
	if got, want := with.ShareCost(&base), shop.Money(6*3000+5000+1000+450+100); got != want {
		t.Errorf("got %d, want %d", got, want)
	}
}
