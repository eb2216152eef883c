package batch

import (
	"slices"
	"testing"

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
