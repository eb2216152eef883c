package batch

import "sawbook/cabinets/shop"

// ShareCost is what an estimate comes to where nothing is bought whole: sheets count by the area of parts, at
// what a square metre of parts costs in the base's plan (in its own, where the base has no such material), rolls and packs by what is taken of them. It is for quoting an option by its
// average share, where Total is for buying.
func (e *Estimate) ShareCost(base *Estimate) shop.Money {
	cost := 0.0
	for i := range e.Sheets {
		u := &e.Sheets[i]
		rate := u.partCost()
		for k := range base.Sheets {
			if of := &base.Sheets[k]; of.Material == u.Material {
				rate = of.partCost()
			}
		}
		cost += float64(rate * u.Parts)
	}
	for i := range e.Lines {
		l := &e.Lines[i]
		switch {
		case l.Group == GroupSheets:
		case l.Packs > 0:
			cost += float64(float64(l.Each) * l.Packs)
		default:
			cost += float64(l.Cost)
		}
	}
	return cents(cost)
}

// partCost is what a square metre of parts costs in sheets.
func (u *SheetUse) partCost() float64 {
	if u.Parts == 0 {
		return 0
	}
	return float64(u.Cost) / u.Parts
}
