package nest

import (
	"math/big"
	"slices"
)

// demand returns how many copies of each kind are asked for.
func (m *model) demand() []int {
	d := make([]int, len(m.kinds))
	for i, k := range m.kinds {
		d[i] = k.count
	}
	return d
}

// areaBound proves a least by area: on grown sheets without kerf, the sheets must have
// at least the area of the grown parts.
func (m *model) areaBound(demand []int) Bound {
	need := new(big.Int)
	for i, k := range m.kinds {
		need.Add(need, product(k.l, k.w, int64(demand[i])))
	}
	return Bound{Sheets: m.leastSheets(need), Cost: m.leastCost(need), Method: "area"}
}

func product(factors ...int64) *big.Int {
	p := big.NewInt(1)
	for _, f := range factors {
		p.Mul(p, big.NewInt(f))
	}
	return p
}

// leastSheets counts sheets, largest first, until they have the area.
func (m *model) leastSheets(need *big.Int) int {
	stocks := slices.Clone(m.stocks)
	slices.SortStableFunc(stocks, func(a, b stock) int {
		return product(b.l, b.w).Cmp(product(a.l, a.w))
	})
	left, sheets := new(big.Int).Set(need), 0
	for _, s := range stocks {
		area := product(s.l, s.w)
		n := ceilDiv(left, area)
		if s.count >= 0 && n > s.count {
			n = s.count
		}
		sheets += n
		left.Sub(left, area.Mul(area, big.NewInt(int64(n))))
		if left.Sign() <= 0 {
			break
		}
	}
	return sheets
}

// leastCost buys area where it is cheapest, in fractions of sheets, and rounds up.
func (m *model) leastCost(need *big.Int) int64 {
	stocks := slices.Clone(m.stocks)
	slices.SortStableFunc(stocks, func(a, b stock) int {
		return product(a.price, b.l, b.w).Cmp(product(b.price, a.l, a.w))
	})
	left, cost := new(big.Int).Set(need), int64(0)
	for _, s := range stocks {
		area := product(s.l, s.w)
		if s.count >= 0 {
			all := new(big.Int).Mul(area, big.NewInt(int64(s.count)))
			if all.Cmp(left) < 0 {
				left.Sub(left, all)
				cost += s.price * int64(s.count)
				continue
			}
		}
		if len(stocks) == 1 {
			return s.price * int64(ceilDiv(left, area))
		}
		rest := new(big.Int).Mul(left, big.NewInt(s.price))
		return cost + int64(ceilDiv(rest, area))
	}
	return cost
}

// ceilDiv returns a / b rounded up, for a ≥ 0 and b > 0.
func ceilDiv(a, b *big.Int) int {
	q, rest := new(big.Int).QuoRem(a, b, new(big.Int))
	if rest.Sign() > 0 {
		q.Add(q, big.NewInt(1))
	}
	return int(q.Int64())
}
