package table

import (
	"sawbook/cabinets/measure"
	"sawbook/cabinets/register"
	"sawbook/cabinets/shop"
)

// Stock lists what the register has on hand.
func Stock(s *shop.Shop, lots []register.Held) *Table {
	units := map[string]string{}
	for _, t := range register.Things(s) {
		units[t.Item] = t.Unit
	}
	unit := func(h register.Held) string {
		switch h.Kind {
		case register.Sheet:
			return "sheets"
		case register.Offcut:
			return "offcut"
		}
		return units[h.Item]
	}
	return build(s, "stock", "In stock", lots,
		text("item", "Item", func(h register.Held) string { return h.Item }),
		text("label", "Offcut", func(h register.Held) string { return h.Label }),
		length("length", "Length", func(h register.Held) measure.Length { return h.Length }),
		length("width", "Width", func(h register.Held) measure.Length { return h.Width }),
		text("grain", "Grain", func(h register.Held) string { return lotGrain(h.Key) }),
		length("thickness", "Measured", func(h register.Held) measure.Length { return h.Thickness }),
		text("left", "Left", func(h register.Held) string { return h.Left.String() }),
		text("unit", "Unit", unit),
		column[register.Held]{Column{Key: "price", Head: "Each", In: Always, Kind: Money}, func(h register.Held) any {
			if h.Price == nil {
				return nil
			}
			return *h.Price
		}},
		text("place", "Place", func(h register.Held) string { return h.Place }))
}

// lotGrain says which way the face grain runs; what is no sheet has none.
func lotGrain(k register.Key) string {
	switch {
	case k.Kind == register.Item:
		return ""
	case k.Across:
		return "width"
	}
	return "length"
}

// History lists the entries of a register.
func History(s *shop.Shop, entries []register.Entry) *Table {
	return build(s, "history", "Entries", entries,
		count("entry", "No", func(e register.Entry) int { return int(e.Sequence) }),
		text("time", "Time", func(e register.Entry) string { return e.Time }),
		text("user", "User", func(e register.Entry) string { return e.User }),
		text("kind", "What", func(e register.Entry) string { return e.Kind }),
		text("about", "About", func(e register.Entry) string { return e.About(s.Style) }),
		text("reason", "Reason", func(e register.Entry) string { return e.Reason }),
		only(Files, text("digest", "Digest", func(e register.Entry) string { return e.Digest })))
}
