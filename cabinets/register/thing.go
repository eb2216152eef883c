package register

import (
	"fmt"
	"strings"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
)

// Thing is something that the shop buys by the roll, tin or pack.
type Thing struct {
	Item, Name, Unit string
	Pack             Quantity // how much of Unit one pack holds
	PackName         string
	Price            shop.Money // of one pack
}

// Items that the shop file has no name for.
const (
	sealerItem = "sealer"
	feltItem   = "felt"
)

// Things lists all of a shop's things. Hardware that comes in lengths is one thing a length: "slide-45-300".
func Things(s *shop.Shop) (all []Thing) {
	metres := func(l measure.Length) Quantity { return Of(l.MM() / 1000) }
	for _, b := range s.Bands {
		pack := "roll"
		if b.Lipping {
			pack = "length"
		}
		all = append(all, Thing{b.ID, b.Name, "m", metres(b.Roll), pack, b.Price})
	}
	if s.Sealer != nil {
		all = append(all, Thing{sealerItem, s.Sealer.Name, "m", metres(s.Sealer.Covers), "tin", s.Sealer.Price})
	}
	for _, a := range s.Adhesives {
		all = append(all, tin(&a.Coating))
	}
	for _, f := range s.Finishes {
		all = append(all, tin(&f.Coating))
	}
	all = append(all, Thing{feltItem, s.Felt.Name, "m", metres(s.Felt.Roll), "roll", s.Felt.Price})
	for _, h := range s.Hardware {
		pack := One * Quantity(h.Pack)
		if len(h.Lengths) == 0 {
			all = append(all, Thing{h.ID, h.Name, h.Unit, pack, "pack", h.Price})
		}
		for _, l := range h.Lengths {
			all = append(all, Thing{ofLength(h.ID, l.Length), h.Name + ", " + s.Style.WithUnit(l.Length), h.Unit, pack, "pack", l.Price})
		}
	}
	return all
}

func tin(c *shop.Coating) Thing { return Thing{c.ID, c.Name, "l", Of(c.Tin), "tin", c.Price} }

// ofLength names hardware of one of its lengths, in mm.
func ofLength(id string, length measure.Length) string { return id + "-" + length.Exact() }

// itemOf returns the thing that a line of an estimate is about.
func itemOf(l batch.Line) string {
	if l.Length > 0 {
		return ofLength(l.Item, l.Length)
	}
	if l.Group == batch.GroupSheets || l.Group == batch.GroupSpare || l.Group == batch.GroupSaw {
		return ""
	}
	return l.Item
}

// Size is which of a material's sheets is meant; the zero value is the first whole one that the shop buys.
type Size struct {
	Length, Width measure.Length
	Across        bool
}

// Found is something that the shop buys or keeps, as found by its name.
type Found struct {
	Lot
	Unit     string
	Pack     Quantity // how much one sheet, roll or pack is
	PackName string
}

// Find returns what has a name: a material's sheets, a thing of the shop file, or an offcut in stock.
func (s *Stock) Find(in *shop.Shop, name string, size Size) (Found, error) {
	var known []string
	for _, m := range in.Materials {
		known = append(known, m.ID)
		if m.ID == name {
			return sheetsOf(m, size)
		}
	}
	for _, t := range Things(in) {
		known = append(known, t.Item)
		if t.Item == name {
			price := t.Price
			return Found{Lot{Key: Key{Kind: Item, Item: name}, Price: &price}, t.Unit, t.Pack, t.PackName}, nil
		}
	}
	if h := s.Offcut(name); h != nil {
		return Found{h.Lot, "offcut", One, "offcut"}, nil
	}
	hint := "see sawbook stock list, and the shop file: " + strings.Join(known, ", ")
	if near := source.Nearest(name, known); near != "" {
		hint = fmt.Sprintf("did you mean %q?", near)
	}
	return Found{}, fmt.Errorf("the shop buys no %q, and no offcut on hand has that label\nhint: %s", name, hint)
}

// sheetsOf returns a material's sheets of a size, at what the shop file says of their price.
func sheetsOf(m *shop.Material, size Size) (Found, error) {
	if m.Press != nil {
		return Found{}, fmt.Errorf("%s is pressed from other sheets\nhint: name those that it is pressed from", m.ID)
	}
	f := Found{Lot{Key: Key{Kind: Sheet, Item: m.ID, Length: size.Length, Width: size.Width, Across: size.Across}}, "sheets", One, "sheet"}
	for _, sheet := range m.Sheets {
		if sheet.Offcut != "" {
			continue
		}
		if f.Length == 0 {
			f.Key = sheetKey(m, sheet)
		}
		if sheetKey(m, sheet) == f.Key {
			price := sheet.Price
			f.Price = &price
			break
		}
	}
	if f.Length == 0 {
		return f, fmt.Errorf("the shop file has no whole sheet of %s\nhint: give --size, such as 2500x1250", m.ID)
	}
	return f, nil
}
