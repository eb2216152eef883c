package register

import (
	"fmt"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/shop"
)

// Buy is what a job needs of one thing, what is on hand of it, and what is to be bought.
type Buy struct {
	Need
	Booked bool // someone keeps book of it, so that Left is known
	Left   Quantity
	Packs  int // to be bought
}

// Cost is that of what is to be bought.
func (b *Buy) Cost() shop.Money { return b.Price * shop.Money(b.Packs) }

// Buys lists what a job needs, spare sheets included, in the order of Needs.
func Buys(j *batch.Job) []Buy {
	n := needs(Needs(j))
	for i := range j.Materials {
		m := &j.Materials[i]
		if size, count := m.Spare(j.Batch.Shop.Rates.Spare); count > 0 {
			n.whole(m.Of, m.Stock[size], count)
		}
	}
	return buys(j, n)
}

// Low lists what has to be ordered before a job can be cut. What nobody keeps book of counts as not there.
func Low(j *batch.Job) (list []Buy) {
	for _, b := range buys(j, Needs(j)) {
		if b.Packs > 0 {
			list = append(list, b)
		}
	}
	return list
}

func buys(j *batch.Job, needs []Need) (list []Buy) {
	for _, n := range needs {
		b := Buy{Need: n}
		b.Left, b.Booked = onHand(j.Batch, n.Key)
		if short := n.Quantity - b.Left; short > 0 && n.Pack > 0 {
			b.Packs = int((short + n.Pack - 1) / n.Pack)
			b.Price = max(b.Price, newPrice(j.Batch, n.Key))
		}
		list = append(list, b)
	}
	return list
}

// onHand returns what the register has of something; of a size that it never saw, the stock that the shop file gives.
func onHand(b *batch.Batch, k Key) (left Quantity, booked bool) {
	if b.Memory != nil {
		if left, booked := b.Memory.Left[k.text()]; booked {
			return Quantity(left), true
		}
	}
	for _, s := range sheetsOfKey(b, k) {
		if s.Stock >= 0 {
			left, booked = left+One*Quantity(s.Stock), true
		}
	}
	return left, booked
}

// newPrice is what a sheet costs that is not on hand; 0 is that of the need.
func newPrice(b *batch.Batch, k Key) (price shop.Money) {
	for _, s := range sheetsOfKey(b, k) {
		price = max(price, s.Price)
	}
	return price
}

func sheetsOfKey(b *batch.Batch, k Key) (list []shop.Sheet) {
	if k.Kind == Item {
		return nil
	}
	m := b.Shop.Material(k.Item)
	for _, s := range b.StockOf(m) {
		if sheetKey(m, s) == k {
			list = append(list, s)
		}
	}
	return list
}

// text names a key in a batch's memory.
func (k Key) text() string {
	return fmt.Sprintf("%s %s %d %d %t %s", k.Kind, k.Item, int64(k.Length), int64(k.Width), k.Across, k.Label)
}

// amounts tells what is left of each key that ever came in, in thousandths.
func (s *Stock) amounts() map[string]int64 {
	left := map[string]int64{}
	for _, h := range s.Lots {
		left[h.text()] += int64(h.Left)
	}
	return left
}
