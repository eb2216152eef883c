package batch

import (
	"fmt"
	"math"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// Quote is the price of an interior in all of its vehicles, or of a whole batch: every step from
// material to total.
type Quote struct {
	Title    string
	Vehicles int
	Lines    []QuoteLine
	Minutes  float64
	// Material is what the estimate comes to, spare sheets included, what settings and cuts count for in
	// choosing plans left out.
	Material, Waste, Labour, Overhead, Margin, Net, Tax, Total shop.Money
}

// QuoteLine is the time of one operation.
type QuoteLine struct {
	Operation shop.Operation
	Quantity  float64 // metres, square metres or pieces
	Each      float64 // minutes of one
	Minutes   float64
	Cost      shop.Money
}

// ErrNoQuote is a shop that gives no terms for quotes.
var ErrNoQuote = fmt.Errorf("the shop file gives no terms for quotes\nhint: add quote: {date: ..., hour: ..., minutes: {...}, overhead: ..., margin: ..., tax: ...}")

// Quotes returns the quote of each interior, and that of the whole, which is their sum to
// the cent. A plain part list has the whole alone.
func (j *Job) Quotes() (each []Quote, whole Quote, err error) {
	terms := j.Batch.Shop.Quote
	if terms == nil {
		return nil, whole, ErrNoQuote
	}
	interiors, vehicles := j.Batch.Interiors()
	saw := newSawShares(j)
	for i, in := range interiors {
		u := &j.Estimate.Layouts[i]
		q := Quote{Title: in.Title(), Vehicles: vehicles[i], Material: u.Cost - saw.cost[i]}
		q.count(quantities(in, u, saw.settings[i], saw.cuts[i]), terms)
		q.close(terms)
		each = append(each, q)
	}
	whole = Quote{Title: j.Batch.Name, Vehicles: len(j.Batch.Vehicles)}
	if len(each) == 0 {
		whole.Material = j.Estimate.Total - saw.whole
		whole.count(map[shop.Operation]float64{shop.OpSetting: float64(j.Estimate.Saw.Settings), shop.OpCut: float64(j.Estimate.Saw.Cuts)}, terms)
		whole.close(terms)
	}
	for i := range each {
		whole.add(&each[i])
	}
	return each, whole, nil
}

// sawShares are the settings and cuts of a job by interior, by the area of parts, and what
// the estimate counts for them.
type sawShares struct {
	settings, cuts []float64
	cost           []shop.Money
	whole          shop.Money
}

func newSawShares(j *Job) sawShares {
	s := sawShares{}
	for _, l := range j.Estimate.Lines {
		if l.Group == GroupSaw {
			s.whole += l.Cost
		}
	}
	n := len(j.Estimate.Layouts)
	parts, costs := 0.0, make([]float64, n)
	for i := range j.Estimate.Layouts {
		parts += j.Estimate.Layouts[i].Parts
	}
	for i := range j.Estimate.Layouts {
		share := 0.0
		if parts > 0 {
			share = j.Estimate.Layouts[i].Parts / parts
		}
		s.settings = append(s.settings, share*float64(j.Estimate.Saw.Settings))
		s.cuts = append(s.cuts, share*float64(j.Estimate.Saw.Cuts))
		costs[i] = share * float64(s.whole)
	}
	s.cost = wholeShares(costs, s.whole)
	return s
}

// quantities counts the operations of an interior in all of its vehicles.
func quantities(in *cabinets.Interior, u *LayoutUse, settings, cuts float64) map[shop.Operation]float64 {
	metres := func(l measure.Length) float64 { return l.MM() / 1000 }
	one := map[shop.Operation]float64{
		shop.OpEdge: metres(u.Band + u.Lipping), shop.OpSeal: metres(u.Sealed), shop.OpFelt: metres(u.Felt),
		shop.OpFinish: u.Finished, shop.OpCabinet: float64(len(in.Cabinets)),
	}
	for _, p := range in.Cabinets {
		assemblies := map[string]bool{}
		for i := range p.Solid.Parts {
			part := &p.Solid.Parts[i]
			assemblies[part.Assembly] = true
			for k := range part.Features {
				f := &part.Features[k]
				switch f.Kind {
				case cabinets.Groove:
					one[shop.OpGroove] += metres(max(f.Box.Size(cabinets.X), f.Box.Size(cabinets.Y)))
				case cabinets.Cutout:
					one[shop.OpCutout]++
				case cabinets.Hole, cabinets.EdgeHole:
					one[shop.OpHole]++
				}
			}
		}
		one[shop.OpJoint] += float64(len(p.Solid.Joints))
		one[shop.OpAssembly] += float64(len(assemblies))
		for _, h := range p.Solid.Hardware {
			if len(h.Item.Lengths) > 0 { // slides
				one[shop.OpDrawer] += float64(h.Count)
			}
		}
	}
	for op := range one {
		one[op] *= float64(u.Vehicles)
	}
	one[shop.OpSetting], one[shop.OpCut] = settings, cuts
	return one
}

// count adds a line for each operation that the shop gives time for.
func (q *Quote) count(of map[shop.Operation]float64, terms *shop.Quote) {
	for _, op := range shop.Operations {
		if each := terms.Minutes[op]; each > 0 && of[op] > 0 {
			l := QuoteLine{Operation: op, Quantity: of[op], Each: each, Minutes: float64(each * of[op])}
			l.Cost = cents(float64(float64(terms.Hour) * l.Minutes / 60))
			q.Lines = append(q.Lines, l)
			q.Minutes += l.Minutes
			q.Labour += l.Cost
		}
	}
}

// close works out what follows from material and labour, each step rounded to the cent.
func (q *Quote) close(terms *shop.Quote) {
	share := func(of shop.Money, share float64) shop.Money { return cents(float64(float64(of) * share)) }
	q.Waste = share(q.Material, terms.Waste)
	q.Overhead = share(q.Material+q.Waste+q.Labour, terms.Overhead)
	q.Margin = share(q.Material+q.Waste+q.Labour+q.Overhead, terms.Margin)
	q.Net = q.Material + q.Waste + q.Labour + q.Overhead + q.Margin
	q.Tax = share(q.Net, terms.Tax)
	q.Total = q.Net + q.Tax
}

// cents rounds half away from zero.
func cents(v float64) shop.Money { return shop.Money(math.Round(v)) }

// add adds another quote to a sum.
func (q *Quote) add(r *Quote) {
	for _, l := range r.Lines {
		i := 0
		for i < len(q.Lines) && q.Lines[i].Operation != l.Operation {
			i++
		}
		if i == len(q.Lines) {
			q.Lines = append(q.Lines, QuoteLine{Operation: l.Operation, Each: l.Each})
		}
		q.Lines[i].Quantity += l.Quantity
		q.Lines[i].Minutes += l.Minutes
		q.Lines[i].Cost += l.Cost
	}
	q.Minutes += r.Minutes
	q.Material, q.Waste, q.Labour = q.Material+r.Material, q.Waste+r.Waste, q.Labour+r.Labour
	q.Overhead, q.Margin, q.Net = q.Overhead+r.Overhead, q.Margin+r.Margin, q.Net+r.Net
	q.Tax, q.Total = q.Tax+r.Tax, q.Total+r.Total
}
