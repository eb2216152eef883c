package batch

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// Groups of estimate lines, in their order.
const (
	GroupSheets   = "sheets"
	GroupSpare    = "spare sheets"
	GroupSaw      = "saw"
	GroupBand     = "edge band"
	GroupLipping  = "lipping"
	GroupSealer   = "edge sealer"
	GroupAdhesive = "adhesive"
	GroupFinish   = "finish"
	GroupFelt     = "felt"
	GroupHardware = "hardware"
)

// estimator totals what a job takes. Sheets, rolls and packs are counted whole, since
// that is how they are bought; what each layout needs of a line decides its share of it.
type estimator struct {
	job       *Job
	interiors []*cabinets.Interior
	vehicles  []int // of each interior
	Estimate
	needs [][]float64 // of each line, by interior
}

func (j *Job) estimate() Estimate {
	e := &estimator{job: j}
	e.interiors, e.vehicles = j.Batch.Interiors()
	for i, in := range e.interiors {
		e.Layouts = append(e.Layouts, e.layout(in, e.vehicles[i]))
	}
	for i := range j.Materials {
		e.sheets(&j.Materials[i])
	}
	e.saw()
	e.bands()
	e.sealer()
	e.adhesives()
	e.finishes()
	e.felt()
	e.hardware()
	e.total()
	return e.Estimate
}

func (e *estimator) layout(in *cabinets.Interior, vehicles int) LayoutUse {
	u := LayoutUse{Layout: in.Title(), Vehicles: vehicles, Mass: in.Mass(), Felt: in.Felt()}
	for _, s := range in.Parts(1) {
		for _, edge := range s.Part.Edges {
			u.edge(edge)
		}
	}
	return u
}

// edge adds what one edge gets.
func (u *LayoutUse) edge(e cabinets.Edge) {
	t := e.Treatment
	switch {
	case t == nil:
		return
	case t.Band == nil:
		u.Sealed += e.Length
	case t.Band.Lipping:
		u.Lipping += e.Length + t.Band.Allowance
	default:
		u.Band += e.Length + t.Band.Allowance
	}
	if t.Round {
		u.Rounded += e.Length
	}
}

// add adds a line; needs are what each interior takes of it, over all of its vehicles.
func (e *estimator) add(l Line, needs []float64) {
	l.Cost = l.Each * shop.Money(l.Buy)
	e.Lines = append(e.Lines, l)
	e.needs = append(e.needs, needs)
}

// sheets adds a material's lines and use, one line a size. A pattern falls on the
// interiors by the area of their parts on it; a piece's parts count alike.
func (e *estimator) sheets(m *Material) {
	if m.byParts() {
		return // its layers are cut from others' sheets
	}
	e.Sheets = append(e.Sheets, m.use())
	used, needs := m.taken(), make([][]float64, len(m.Stock))
	for i := range needs {
		needs[i] = make([]float64, len(e.interiors))
	}
	for i := range m.Patterns {
		p := &m.Patterns[i]
		n, size := float64(p.Times), m.Plan.Patterns[i].Sheet
		for k, area := range e.areas(m, p) {
			share := n * area / p.Used
			needs[size][k] += share
			e.Layouts[k].Parts += n * area
			e.Layouts[k].Sheets += share * p.Whole()
			e.Layouts[k].Kept += share * p.Kept()
		}
	}
	for i, s := range m.Stock {
		if used[i] > 0 {
			e.add(Line{Group: GroupSheets, Item: m.Of.ID, Name: m.Of.Name, Need: float64(used[i]), Unit: "sheets", Buy: used[i], Pack: e.sheetName(s), Each: s.Price}, needs[i])
		}
	}
	if size, n := m.Spare(e.job.Batch.Shop.Rates.Spare); n > 0 {
		s := m.Stock[size]
		e.add(Line{Group: GroupSpare, Item: m.Of.ID, Name: m.Of.Name + ", spare", Need: float64(n), Unit: "sheets", Buy: n, Pack: e.sheetName(s), Each: s.Price}, needs[size])
	}
}

// use tells how well the plan uses the material's sheets.
func (m *Material) use() SheetUse {
	u := SheetUse{Material: m.Of, Sheets: m.Plan.Sheets, Bound: m.Plan.Bound.Sheets, Method: m.Plan.Bound.Method, Cost: shop.Money(m.Plan.Cost), Least: shop.Money(m.Plan.Bound.Cost)}
	for i := range m.Patterns {
		p := &m.Patterns[i]
		n := float64(p.Times)
		u.Area += n * p.Whole()
		u.Parts += n * p.Used
		u.Kept += n * p.Kept()
	}
	return u
}

// taken counts the sheets of each size that the plan takes.
func (m *Material) taken() []int {
	used := make([]int, len(m.Stock))
	for _, p := range m.Plan.Patterns {
		used[p.Sheet] += p.Times
	}
	return used
}

// Spare returns how many sheets are bought beyond what the plan takes, and which of Stock they are: the
// whole ones that the plan uses most.
func (m *Material) Spare(rate shop.Spare) (size, count int) {
	used, most, sheets := m.taken(), -1, 0
	for i, s := range m.Stock {
		if s.Offcut != "" || used[i] == 0 {
			continue
		}
		sheets += used[i]
		if most < 0 || used[i] > used[most] {
			most = i
		}
	}
	if sheets == 0 {
		return most, 0
	}
	return most, rate.Of(sheets)
}

// saw adds what settings and cuts come to, where the shop counts anything for them. They
// fall on the interiors by the area of their parts.
func (e *estimator) saw() {
	e.Saw = e.job.sawUse()
	needs := make([]float64, len(e.interiors))
	for i := range e.Layouts {
		needs[i] = e.Layouts[i].Parts
	}
	rates, free := e.job.Batch.Shop.Rates, e.job.Unpriced
	for _, l := range []Line{
		{Item: "settings", Name: fmt.Sprintf("Settings of fence and stop (%d if free)", free.Settings), Buy: e.Saw.Settings, Each: rates.Setting},
		{Item: "cuts", Name: fmt.Sprintf("Cuts (%d if free)", free.Cuts), Buy: e.Saw.Cuts, Each: rates.Cut},
	} {
		if l.Each > 0 {
			l.Group, l.Need, l.Unit = GroupSaw, float64(l.Buy), l.Item
			e.add(l, needs)
		}
	}
	// What is told without a price of its own: its cuts are among those above.
	for _, l := range []Line{
		{Item: "blanks", Name: "Blanks, cut up in a second cut", Buy: e.Saw.Blanks, Unit: "blanks"},
		{Item: "track saw", Name: "Sheets broken down with the track saw", Buy: e.Saw.BrokenDown, Unit: "sheets"},
	} {
		if l.Buy > 0 {
			l.Group, l.Need = GroupSaw, float64(l.Buy)
			e.add(l, needs)
		}
	}
}

func (e *estimator) sheetName(s shop.Sheet) string {
	size := e.job.Batch.Shop.Style.Size(s.Length, s.Width)
	if s.Offcut != "" {
		return "offcut " + s.Offcut + ", " + size
	}
	return size
}

// Whole returns the area in m2 of the untrimmed sheet.
func (p *Pattern) Whole() float64 { return p.Sheet.M2() }

// Kept returns the area in m2 of the offcuts worth keeping.
func (p *Pattern) Kept() (area float64) {
	for _, o := range p.Offcuts {
		if o.Keep {
			area += o.M2()
		}
	}
	return area
}

// areas returns the area in m2 of each interior's parts on a pattern.
func (e *estimator) areas(m *Material, p *Pattern) []float64 {
	areas := make([]float64, len(e.interiors))
	for _, l := range p.Parts {
		if b := m.blankOf(l.Piece); b != nil {
			for k, area := range e.areas(m, b) {
				areas[k] += area
			}
			continue
		}
		vehicles := 0
		for _, place := range l.Piece.Goes {
			vehicles += place.Vehicles
		}
		each := m.yield(l.Piece) / float64(vehicles)
		for _, place := range l.Piece.Goes {
			areas[slices.Index(e.interiors, place.Interior)] += float64(each * float64(place.Vehicles))
		}
	}
	return areas
}

// bands adds a line for each band and lipping; every edge takes its allowance besides its
// length. Lippings are bought in lengths, and each edge is cut from one.
func (e *estimator) bands() {
	for _, b := range e.job.Batch.Shop.Bands {
		l := Line{Group: GroupBand, Item: b.ID, Name: b.Name, Each: b.Price}
		need := func(in *cabinets.Interior) (need measure.Length) {
			for length, n := range bandOf(b, in) {
				need += length * measure.Length(n)
			}
			return need
		}
		if !b.Lipping {
			e.rolls(l, b.Roll, need)
			continue
		}
		l.Group, l.Pack = GroupLipping, fmt.Sprintf("%g m length", b.Roll.MM()/1000)
		strips := map[measure.Length]int{}
		for i, in := range e.interiors {
			for length, n := range bandOf(b, in) {
				strips[length] += n * e.vehicles[i]
			}
		}
		e.metres(l, need, func(measure.Length) int { return lengths(b.Roll, strips) })
	}
}

// bandOf returns how many strips of a band, by length, the edges of an interior take.
func bandOf(b *shop.Band, in *cabinets.Interior) map[measure.Length]int {
	strips := map[measure.Length]int{}
	for _, s := range in.Parts(1) {
		for _, edge := range s.Part.Edges {
			if edge.Treatment != nil && edge.Treatment.Band == b {
				strips[edge.Length+b.Allowance]++
			}
		}
	}
	return strips
}

// lengths returns how many lengths of a stock are bought for strips: the longest come first,
// each from the shortest rest that will do. A strip longer than the stock is joined.
func lengths(stock measure.Length, strips map[measure.Length]int) (bought int) {
	rests := map[measure.Length]int{} // by length
	sorted := slices.Sorted(maps.Keys(strips))
	for _, strip := range slices.Backward(sorted) {
		n := strips[strip]
		if strip > stock {
			bought += n * int((strip+stock-1)/stock)
			continue
		}
		for _, rest := range slices.Sorted(maps.Keys(rests)) {
			n -= cutStrips(rests, rest, rests[rest], strip, n)
		}
		fresh := (n + int(stock/strip) - 1) / int(stock/strip)
		bought += fresh
		rests[stock] += fresh
		cutStrips(rests, stock, fresh, strip, n)
	}
	return bought
}

// cutStrips cuts up to n strips from some of the rests of a length, and returns how many.
func cutStrips(rests map[measure.Length]int, rest measure.Length, some int, strip measure.Length, n int) (cut int) {
	for each := int(rest / strip); each > 0 && some > 0 && cut < n; {
		each = min(each, n-cut)
		times := min(some, (n-cut)/each)
		rests[rest] -= times
		rests[rest-strip*measure.Length(each)] += times
		some -= times
		cut += times * each
	}
	return cut
}

// sealer adds a line for what seals bare edges.
func (e *estimator) sealer() {
	s := e.job.Batch.Shop.Sealer
	if s == nil {
		return
	}
	l := Line{Group: GroupSealer, Item: "sealer", Name: s.Name, Each: s.Price, Pack: fmt.Sprintf("tin for %g m", s.Covers.MM()/1000)}
	e.metres(l, func(in *cabinets.Interior) measure.Length { return e.Layouts[slices.Index(e.interiors, in)].Sealed }, packs(s.Covers))
}

func (e *estimator) felt() {
	f := e.job.Batch.Shop.Felt
	e.rolls(Line{Group: GroupFelt, Item: "felt", Name: f.Name, Each: f.Price}, f.Roll, (*cabinets.Interior).Felt)
}

// rolls adds a line for something bought by the roll, where any interior needs it.
func (e *estimator) rolls(l Line, roll measure.Length, need func(*cabinets.Interior) measure.Length) {
	l.Pack = fmt.Sprintf("%g m roll", roll.MM()/1000)
	before := len(e.Lines)
	e.metres(l, need, packs(roll))
	for i := before; i < len(e.Lines); i++ {
		e.Lines[i].Packs = e.Lines[i].Need * 1000 / roll.MM()
	}
}

// packs tells how many packs of a length hold a total.
func packs(each measure.Length) func(measure.Length) int {
	return func(total measure.Length) int { return int((total + each - 1) / each) }
}

// metres adds a line for something measured in metres, where any interior needs it; buy tells
// how much is bought of a total.
func (e *estimator) metres(l Line, need func(*cabinets.Interior) measure.Length, buy func(total measure.Length) int) {
	var total measure.Length
	needs := make([]float64, len(e.interiors))
	for i, in := range e.interiors {
		n := need(in) * measure.Length(e.vehicles[i])
		needs[i] = n.MM()
		total += n
	}
	if total > 0 {
		l.Need, l.Unit, l.Buy = total.MM()/1000, "m", buy(total)
		e.add(l, needs)
	}
}

// hardware adds a line for each item, slides by length, in the shop's order.
func (e *estimator) hardware() {
	for _, item := range e.job.Batch.Shop.Hardware {
		if len(item.Lengths) == 0 {
			e.item(item, 0, item.Price)
		}
		for _, l := range item.Lengths {
			e.item(item, l.Length, l.Price)
		}
	}
}

func (e *estimator) item(item *shop.Hardware, length measure.Length, price shop.Money) {
	total, needs := 0, make([]float64, len(e.interiors))
	for i, in := range e.interiors {
		n := e.vehicles[i] * hardwareCount(in, item, length)
		needs[i] = float64(n)
		total += n
	}
	if total == 0 {
		return
	}
	name := item.Name
	if length > 0 {
		name += ", " + e.job.Batch.Shop.Style.WithUnit(length)
	}
	e.add(Line{Group: GroupHardware, Item: item.ID, Length: length, Name: name, Need: float64(total), Unit: item.Unit,
		Buy: (total + item.Pack - 1) / item.Pack, Packs: float64(total) / float64(item.Pack), Pack: fmt.Sprintf("pack of %d", item.Pack), Each: price}, needs)
}

func hardwareCount(in *cabinets.Interior, item *shop.Hardware, length measure.Length) (n int) {
	for _, c := range in.Cabinets {
		for _, h := range c.Solid.Hardware {
			if h.Item == item && h.Length == length {
				n += h.Count
			}
		}
	}
	return n
}

// total adds up the lines, the masses, and each layout's share of the costs.
func (e *estimator) total() {
	costs := make([]float64, len(e.interiors))
	for i, l := range e.Lines {
		e.Total += l.Cost
		addShares(costs, e.needs[i], l.Cost)
	}
	if len(e.interiors) == 0 {
		for _, p := range e.job.Pieces {
			e.Mass += p.Mass * float64(p.Count)
		}
		return
	}
	for i, c := range wholeShares(costs, e.Total) {
		e.Layouts[i].Cost = c
		e.Mass += e.Layouts[i].Mass * float64(e.vehicles[i])
	}
}

// addShares adds a cost to each share by need.
func addShares(costs, needs []float64, cost shop.Money) {
	total := 0.0
	for _, n := range needs {
		total += n
	}
	if total == 0 {
		return
	}
	for i, n := range needs {
		costs[i] += float64(float64(cost) * (n / total))
	}
}

// wholeShares rounds shares to whole minor units that add up to the total: those with
// the largest remainders are rounded up.
func wholeShares(shares []float64, total shop.Money) []shop.Money {
	out, order := make([]shop.Money, len(shares)), make([]int, len(shares))
	left := total
	for i, s := range shares {
		out[i] = shop.Money(math.Floor(s))
		left -= out[i]
		order[i] = i
	}
	remainder := func(i int) float64 { return shares[i] - math.Floor(shares[i]) }
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(remainder(b), remainder(a)) })
	for k := 0; left > 0 && k < len(order); k++ {
		out[order[k]]++
		left--
	}
	return out
}
