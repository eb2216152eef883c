package register

import (
	"database/sql"
	"encoding/json"
	"fmt"
	"math"
	"slices"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// Offer puts what is in stock before the sheets that a shop's materials are cut from, and returns what is to be said of it.
//
// An offcut counts what keeping it was worth, so that it is used where that is cheaper. A sheet counts what it cost, but no
// more than a new one does now. Where the shop file limits the stock of a size, the register's count takes the place of
// that limit; of an offcut that both know, the register is right.
func (s *Stock) Offer(to *shop.Shop) (findings []cabinets.Finding) {
	for _, m := range to.Materials {
		if m.Press != nil && !m.Press.Sheets {
			continue // it has no sheets
		}
		var sheets []shop.Sheet
		for _, h := range s.Lots {
			if h.Kind == Offcut && h.Item == m.ID && h.Left > 0 {
				sheets = append(sheets, h.sheet(to.Rates.Offcut))
			}
		}
		for _, k := range s.sizes(m.ID) {
			if sheet, offered := s.whole(k, m); offered {
				sheets = append(sheets, sheet)
			}
		}
		for _, sheet := range m.Sheets {
			counted := sheet.Offcut == "" && sheet.Stock >= 0 && s.knowsSize(sheetKey(m, sheet))
			if h := s.Offcut(sheet.Offcut); !counted && (h == nil || h.Undone) {
				sheets = append(sheets, sheet)
			}
		}
		m.Sheets = sheets
		findings = append(findings, s.thicknesses(m, to.Style)...)
	}
	return findings
}

// sheet returns an offcut as something to cut from.
func (l *Lot) sheet(rate shop.Money) shop.Sheet {
	o := shop.Sheet{Length: l.Length, Width: l.Width, GrainAcross: l.Across, Stock: 1, Offcut: l.Label, Trimmed: true}
	if l.Price != nil {
		o.Price = *l.Price
	} else {
		o.Price = shop.Money(math.Round(float64(rate) * (l.Length.MM() / 1000 * (l.Width.MM() / 1000))))
	}
	return o
}

// sizes lists the sizes in which a material's sheets ever came in.
func (s *Stock) sizes(material string) (keys []Key) {
	met := map[Key]bool{}
	for _, h := range s.Lots {
		if h.Kind == Sheet && h.Item == material && !met[h.Key] {
			met[h.Key] = true
			keys = append(keys, h.Key)
		}
	}
	return keys
}

// whole returns the sheets of a size as something to cut from, at the mean of what they cost. Those that cost no less than
// a new sheet are not told apart from it.
func (s *Stock) whole(k Key, m *shop.Material) (sheet shop.Sheet, offered bool) {
	left := s.Left(k)
	sheet = shop.Sheet{Length: k.Length, Width: k.Width, GrainAcross: k.Across, Stock: int(left / One), Price: math.MaxInt64}
	for _, known := range m.Sheets {
		if sheetKey(m, known) == k && known.Layers == nil {
			sheet.Price = known.Price
			offered = known.Stock < 0
		}
	}
	var sum float64
	for _, h := range s.Lots {
		if h.Key == k && h.Price != nil {
			sum += h.Left.Amount() * float64(*h.Price)
		} else if h.Key == k && sheet.Price < math.MaxInt64 {
			sum += h.Left.Amount() * float64(sheet.Price)
		}
	}
	mean := shop.Money(math.Round(sum / max(left.Amount(), 1)))
	if offered && mean >= sheet.Price {
		return sheet, false
	}
	sheet.Price = mean
	return sheet, sheet.Stock > 0
}

func sheetKey(m *shop.Material, s shop.Sheet) Key {
	k := Key{Kind: Sheet, Item: m.ID, Length: s.Length, Width: s.Width, Across: s.GrainAcross}
	if s.Offcut != "" {
		k.Kind, k.Label = Offcut, s.Offcut
	}
	return k
}

// knowsSize reports whether sheets of a size ever came in.
func (s *Stock) knowsSize(k Key) bool {
	return slices.ContainsFunc(s.Lots, func(h Held) bool { return h.Key == k && !h.Undone })
}

// thicknesses says where a delivery that is not used up was measured otherwise than the shop file says.
func (s *Stock) thicknesses(m *shop.Material, style measure.Style) (out []cabinets.Finding) {
	for _, h := range s.Lots {
		if h.Kind == Sheet && h.Item == m.ID && h.Left > 0 && h.Thickness > 0 && h.Thickness != m.Thickness {
			out = append(out, cabinets.Finding{Level: cabinets.LevelWarning, Where: m.ID,
				Text: fmt.Sprintf("%s sheets on hand were measured %s, and parts are made for %s", h.Left, style.WithUnit(h.Thickness), style.WithUnit(m.Thickness)),
				Do:   "set the thickness in the shop file to that of the sheets you cut, or keep them for another batch"})
		}
	}
	return out
}

// Need is what a job takes of one thing.
type Need struct {
	Key
	Name, Unit string
	Quantity   Quantity
	// How it is bought: what one pack holds, what a pack is and costs. No pack is what is not bought.
	Pack     Quantity
	PackName string
	Price    shop.Money
}

// Title names what is needed, with its size.
func (k *Key) Title(style measure.Style) string {
	switch k.Kind {
	case Sheet:
		return k.Item + " " + style.Size(k.Length, k.Width)
	case Offcut:
		return "offcut " + k.Label
	}
	return k.Item
}

// Needs lists what a job takes: sheets and offcuts by material, pressed ones by their layers, then everything else in the
// order of the estimate. Spare sheets are not taken.
func Needs(j *batch.Job) []Need { return needsOf(j, planned(j)) }

// needsOf is Needs of a job that is cut from those sheets.
func needsOf(j *batch.Job, from []sawn) []Need {
	var n needs
	for _, s := range from {
		if s.sheet.Offcut != ownOffcut {
			n.whole(s.material, s.sheet, s.times)
		}
	}
	things := map[string]Thing{}
	for _, t := range Things(j.Batch.Shop) {
		things[t.Item] = t
	}
	for _, l := range j.Estimate.Lines {
		t, bought := things[itemOf(l)]
		if !bought {
			continue // sheets, and what is no thing
		}
		quantity := Of(l.Need)
		if l.Group == batch.GroupLipping { // what is left of a length is too short for the next edge
			quantity = t.Pack * Quantity(l.Buy)
		}
		n.add(Need{Key: Key{Kind: Item, Item: t.Item}, Name: t.Name, Unit: t.Unit, Quantity: quantity, Pack: t.Pack, PackName: t.PackName, Price: t.Price})
	}
	return n
}

type needs []Need

// whole adds sheets, or those that they are pressed from.
func (n *needs) whole(m *shop.Material, s shop.Sheet, count int) {
	if s.Layers == nil {
		n.sheets(m, s, count)
		return
	}
	for layer, of := range m.Press.Layers() {
		n.sheets(of, s.Layers[layer], count)
	}
}

func (n *needs) sheets(m *shop.Material, s shop.Sheet, count int) {
	need := Need{Key: sheetKey(m, s), Name: m.Name, Unit: "sheets", Quantity: One * Quantity(count), Pack: One, PackName: "sheet", Price: s.Price}
	if need.Kind == Offcut {
		need.Unit, need.Pack, need.PackName = "offcut", 0, ""
	}
	n.add(need)
}

func (n *needs) add(need Need) {
	for i := range *n {
		if (*n)[i].Key == need.Key {
			(*n)[i].Quantity += need.Quantity
			(*n)[i].Price = max((*n)[i].Price, need.Price) // a new one, not one on hand
			return
		}
	}
	*n = append(*n, need)
}

// Plan puts the stock as it was after an entry before a shop's sheets, and returns what a batch is to know of it.
func (r *Register) Plan(to *shop.Shop, after int64) (memory *batch.Memory, err error) {
	memory = &batch.Memory{}
	err = r.read(func(tx *sql.Tx) error {
		s, err := stock(tx, after)
		if err != nil {
			return err
		}
		memory.Sequence, memory.Findings, memory.Left = s.Sequence, s.Offer(to), s.amounts()
		if memory.Newest, err = newestBuild(tx, after); err != nil {
			return err
		}
		cut, err := cuts(tx, after)
		for _, c := range cut {
			memory.Cut = append(memory.Cut, c.Batch)
		}
		return err
	})
	return memory, err
}

// cutBatch is a batch, or a release of one, that an entry has booked out.
type cutBatch struct {
	entry int64
	booking
}

// cuts lists what was booked out and not taken back, up to an entry.
func cuts(tx *sql.Tx, after int64) (all []cutBatch, err error) {
	err = entries(tx, 1, func(e *Entry) error {
		c := cutBatch{entry: e.Sequence}
		if e.Sequence > after || e.Kind != Cut && e.Kind != Undone {
			return nil
		}
		if err := json.Unmarshal(e.Body, &c.booking); err != nil {
			return err
		}
		all = slices.DeleteFunc(all, func(before cutBatch) bool { return before.entry == c.Undoes })
		if e.Kind == Cut {
			all = append(all, c)
		}
		return nil
	})
	return all, err
}
