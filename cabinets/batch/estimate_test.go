package batch

import (
	"slices"
	"testing"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"

	"pgregory.net/rapid"
)

func TestWholeSharesRoundTheLargestRemaindersUp(t *testing.T) {
	got := wholeShares([]float64{10.5, 20.7, 68.8}, 100)
	if want := []shop.Money{10, 21, 69}; !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

func TestWholeSharesAddUpToTheTotal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		needs := rapid.SliceOfN(rapid.Float64Range(0, 1000), 1, 8).Draw(t, "needs")
		needs[0]++ // someone needs something
		total := shop.Money(rapid.Int64Range(0, 1_000_000).Draw(t, "total"))
		costs := make([]float64, len(needs))
		addShares(costs, needs, total)
		var sum shop.Money
		for i, s := range wholeShares(costs, total) {
			sum += s
			if diff := float64(s) - costs[i]; diff < -1 || diff > 1 {
				t.Fatalf("share %d is %d, far from %g", i, s, costs[i])
			}
		}
		if sum != total {
			t.Fatalf("the shares add up to %d, not %d", sum, total)
		}
	})
}

// TestLengths cuts strips from lengths of 2400 by hand.
func TestLengths(t *testing.T) {
	const mm = measure.Millimetre
	for _, test := range []struct {
		strips map[measure.Length]int
		want   int
	}{
		{nil, 0},
		{map[measure.Length]int{2400 * mm: 3}, 3},
		{map[measure.Length]int{1200 * mm: 3}, 2},
		{map[measure.Length]int{1600 * mm: 2, 800 * mm: 2}, 2}, // each rest of 800 is used up
		{map[measure.Length]int{1500 * mm: 2, 450 * mm: 5}, 3}, // two of 450 from each rest of 900, one from a new length
		{map[measure.Length]int{1000 * mm: 4, 400 * mm: 3}, 3}, // 2 x 1000 leave 400 twice, the third 400 needs a new one
		{map[measure.Length]int{2500 * mm: 2, 100 * mm: 1}, 5}, // a joined strip takes two
		{map[measure.Length]int{500 * mm: 9, 450 * mm: 1}, 3},  // 4, 4 and 1 of 500
		{map[measure.Length]int{500 * mm: 8, 390 * mm: 2}, 2},  // and 390 from either rest of 400
		{map[measure.Length]int{500 * mm: 7000, 390 * mm: 1750}, 1750},
	} {
		if got := lengths(2400*mm, test.strips); got != test.want {
			t.Errorf("%v: %d lengths, want %d", test.strips, got, test.want)
		}
	}
}
