package table

import (
	"fmt"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/register"
	"sawbook/cabinets/shop"
)

// Buys is the buy list: what a job needs, what of it is on hand, what is to be bought, and what that comes to.
func Buys(job *batch.Job) *Table {
	list := register.Buys(job)
	t := toBuy(job, "buy", "To buy", list)
	var total shop.Money
	for i := range list {
		total += list[i].Cost()
	}
	sum := make([]any, len(t.Columns))
	sum[0], sum[len(sum)-1] = "total", total
	t.Rows = append(t.Rows, sum)
	return t
}

// Low lists what to order before a job can be cut.
func Low(job *batch.Job) *Table { return toBuy(job, "low", "To order", register.Low(job)) }

func toBuy(job *batch.Job, name, title string, list []register.Buy) *Table {
	type buy = register.Buy
	quantity := func(key, head string, value func(buy) register.Quantity) column[buy] {
		return column[buy]{Column{Key: key, Head: head, In: Always, Kind: Quantity, Decimals: 3}, func(b buy) any { return value(b).Amount() }}
	}
	bought := func(b buy) bool { return b.Packs > 0 }
	return build(job.Batch.Shop, name, title, list,
		text("item", "Item", func(b buy) string { return b.Title(job.Batch.Shop.Style) }),
		text("name", "Name", func(b buy) string { return b.Name }),
		quantity("need", "Need", func(b buy) register.Quantity { return b.Quantity }),
		filled(quantity("on_hand", "On hand", func(b buy) register.Quantity { return b.Left }), func(b buy) bool { return b.Booked }),
		text("unit", "Unit", func(b buy) string { return b.Unit }),
		count("buy", "Buy", func(b buy) int { return b.Packs }),
		text("pack", "Of", func(b buy) string { return packWords(&b.Need) }),
		filled(money("price", "Each", func(b buy) shop.Money { return b.Price }), bought),
		filled(money("cost", "Cost", func(b buy) shop.Money { return b.Cost() }), bought))
}

// packWords says what one of what is bought is: "sheet", "pair", "roll of 50 m", "pack of 200".
func packWords(n *register.Need) string {
	switch {
	case n.Pack == register.One && n.PackName == "pack":
		return n.Unit
	case n.Pack == register.One || n.Pack == 0:
		return n.PackName
	}
	if n.Unit == "each" {
		return fmt.Sprintf("%s of %s", n.PackName, n.Pack)
	}
	return fmt.Sprintf("%s of %s %s", n.PackName, n.Pack, n.Unit)
}

// LargerNote says what to make of the figures of Larger.
const LargerNote = "Without the smaller sheets: what a material would come to from its larger ones alone. It is planned quickly: a plan at full effort lies somewhere between at least and planned."

// Larger lists what the next larger sheets would change.
func Larger(job *batch.Job) *Table {
	type larger = batch.Larger
	return build(job.Batch.Shop, "larger", "Without the smaller sheets", job.Larger,
		text("material", "Material", func(l larger) string { return l.With.Material.ID }),
		text("smallest", "From", func(l larger) string { return job.Batch.Shop.Style.Size(l.Least.Length, l.Least.Width) }),
		count("sheets_now", "Sheets now", func(l larger) int { return l.Now.Sheets }),
		count("least_sheets", "at least", func(l larger) int { return l.With.Bound }),
		count("sheets", "planned", func(l larger) int { return l.With.Sheets }),
		money("cost_now", "Cost now", func(l larger) shop.Money { return l.Now.Cost }),
		money("least_cost", "at least", func(l larger) shop.Money { return l.With.Least }),
		money("cost", "planned", func(l larger) shop.Money { return l.With.Cost }),
		share("waste_now", "Waste now", func(l larger) float64 { return l.Now.Waste() }),
		share("waste", "planned", func(l larger) float64 { return l.With.Waste() }))
}
