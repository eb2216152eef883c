package batch

import (
	"context"
	"testing"

	"sawbook/cabinets/shop"
)

// TestSpareSheets: twenty sheets of 2480 x 1230 within their trim, a part on each.
func TestSpareSheets(t *testing.T) {
	for _, test := range []struct {
		spare shop.Spare
		want  int
	}{{shop.Spare{}, 0}, {shop.Spare{Share: 0.05}, 1}, {shop.Spare{Share: 0.051}, 2}, {shop.Spare{Sheets: 3}, 3}} {
		s := listShop(-1)
		s.Rates.Spare = test.spare
		e := workList(t, context.Background(), s, "lid,2400,1200,20,length\n").Estimate
		got := 0
		for _, l := range e.Lines {
			if l.Group == GroupSpare {
				got += l.Buy
			}
		}
		if got != test.want || e.Total != shop.Money(20+test.want)*7400 {
			t.Errorf("%+v: %d spare sheets, %d in all", test.spare, got, e.Total)
		}
	}
}

// TestEstimateOfTheSaw: a sheet cut into four of 1200 x 600 has two strips of one width,
// each with two lengths: at least
// two rips and four crosscuts.
func TestEstimateOfTheSaw(t *testing.T) {
	s := listShop(-1)
	s.Rates.Setting, s.Rates.Cut = 50, 5
	j := workList(t, context.Background(), s, "shelf,1200,600,8,length\n")
	use := j.Estimate.Saw
	if use.Settings != 2 || use.Cuts < 12 {
		t.Errorf("use of the saw: %+v", use)
	}
	var saw shop.Money
	for _, l := range j.Estimate.Lines {
		if l.Group == GroupSaw {
			saw += l.Cost
		}
	}
	if want := shop.Money(use.Settings*50 + use.Cuts*5); saw != want || use.Cost != want || j.Estimate.Total != 14800+want {
		t.Errorf("the saw costs %d, %d, all %d; want %d", saw, use.Cost, j.Estimate.Total, want)
	}
}
