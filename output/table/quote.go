package table

import (
	"fmt"
	"io"
	"slices"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/shop"
)

// opUnits is what an operation is counted in.
var opUnits = map[shop.Operation]string{
	shop.OpEdge: "m", shop.OpSeal: "m", shop.OpGroove: "m", shop.OpFelt: "m", shop.OpFinish: "m²",
}

// quoteRow is an operation, or a step from material to total.
type quoteRow struct {
	name string
	line *batch.QuoteLine
	cost shop.Money
}

// Quote lists a quote: every operation with its time, and every step to the total.
func Quote(s *shop.Shop, q *batch.Quote) *Table {
	var rows []quoteRow
	for i := range q.Lines {
		l := &q.Lines[i]
		rows = append(rows, quoteRow{string(l.Operation), l, l.Cost})
	}
	terms := s.Quote
	percent := func(name string, share float64) string { return fmt.Sprintf("%s, %s %%", name, decimal(100*share, 1)) }
	rows = append(rows, quoteRow{name: fmt.Sprintf("labour, %s h", decimal(q.Minutes/60, 2)), cost: q.Labour}, quoteRow{name: "material", cost: q.Material})
	for _, step := range []struct {
		name  string
		share float64
		cost  shop.Money
	}{{"waste beyond the plan", terms.Waste, q.Waste}, {"overhead", terms.Overhead, q.Overhead}, {"margin", terms.Margin, q.Margin}, {"net", 0, q.Net}, {"tax", terms.Tax, q.Tax}} {
		switch {
		case step.name == "net":
			rows = append(rows, quoteRow{name: step.name, cost: step.cost})
		case step.share > 0:
			rows = append(rows, quoteRow{name: percent(step.name, step.share), cost: step.cost})
		}
	}
	rows = append(rows, quoteRow{name: "total", cost: q.Total})
	if q.Vehicles > 1 {
		rows = append(rows, quoteRow{name: "each vehicle, on average", cost: q.Total / shop.Money(q.Vehicles)})
	}
	timed := func(r quoteRow) bool { return r.line != nil }
	title := fmt.Sprintf("%s; prices of %s, %s %s an hour", q.Title, terms.Date, Amount(terms.Hour), s.Currency)
	if q.Vehicles > 1 {
		title = fmt.Sprintf("%s, %s", plural(q.Vehicles, "vehicle"), title)
	}
	return build(s, "quote", title, rows,
		text("what", "What", func(r quoteRow) string { return r.name }),
		filled(number("quantity", "Quantity", 1, func(r quoteRow) float64 { return r.line.Quantity }), timed),
		text("unit", "Unit", func(r quoteRow) string {
			if r.line == nil {
				return ""
			}
			return opUnits[r.line.Operation]
		}),
		filled(number("minutes_each", "Minutes each", 1, func(r quoteRow) float64 { return r.line.Each }), timed),
		filled(number("hours", "Hours", 2, func(r quoteRow) float64 { return r.line.Minutes / 60 }), timed),
		money("cost", "Cost", func(r quoteRow) shop.Money { return r.cost }))
}

// OptionQuote is what a quote comes to with one option more, and without it; the bound says which
// options it is compared beside.
type OptionQuote struct {
	Option, Bound string
	Quote, Base   batch.Quote
}

// QuoteOptions returns the quotes of options that can be chosen.
func QuoteOptions(job *batch.Job, options []batch.Priced) (quotes []OptionQuote, err error) {
	for i := range options {
		p := &options[i]
		if p.Job == nil {
			continue
		}
		q := OptionQuote{Option: p.Option, Bound: boundBy(*p)}
		if _, q.Quote, err = p.Job.Quotes(); err == nil {
			_, q.Base, err = p.From(job).Quotes()
		}
		if err != nil {
			return nil, err
		}
		quotes = append(quotes, q)
	}
	return quotes, nil
}

// OptionQuotes lists what each option changes of a quote.
func OptionQuotes(s *shop.Shop, options []OptionQuote) *Table {
	columns := []column[OptionQuote]{
		text("option", "Option", func(o OptionQuote) string { return o.Option }),
		number("hours_more", "Hours more", 2, func(o OptionQuote) float64 { return (o.Quote.Minutes - o.Base.Minutes) / 60 }),
		money("material_more", "Material more", func(o OptionQuote) shop.Money { return o.Quote.Material - o.Base.Material }),
		money("net_more", "Net more", func(o OptionQuote) shop.Money { return o.Quote.Net - o.Base.Net }),
		money("total_more", "Total more", func(o OptionQuote) shop.Money { return o.Quote.Total - o.Base.Total }),
	}
	if slices.ContainsFunc(options, func(o OptionQuote) bool { return o.Bound != "" }) {
		columns = append(columns, text("bound_by", "Beside others", func(o OptionQuote) string { return o.Bound }))
	}
	return build(s, "options", "With one option more", options, columns...)
}

// WriteQuotes prints the quotes of a job's interiors and of the whole, where these are
// several, and what options change.
func WriteQuotes(w io.Writer, job *batch.Job, options []OptionQuote) error {
	each, whole, err := job.Quotes()
	if err != nil {
		return err
	}
	var tables []*Table
	for i := range each {
		tables = append(tables, Quote(job.Batch.Shop, &each[i]))
	}
	if len(each) != 1 {
		tables = append(tables, Quote(job.Batch.Shop, &whole))
	}
	if len(options) > 0 {
		tables = append(tables, OptionQuotes(job.Batch.Shop, options))
	}
	return writeTexts(w, tables)
}

// WriteQuotesJSON is the same as JSON.
func WriteQuotesJSON(w io.Writer, job *batch.Job, options []OptionQuote) error {
	each, whole, err := job.Quotes()
	if err != nil {
		return err
	}
	type quote struct {
		Title    string `json:"title"`
		Vehicles int    `json:"vehicles"`
		Lines    rows   `json:"lines"`
	}
	s := job.Batch.Shop
	quotes := []quote{}
	for i := range each {
		quotes = append(quotes, quote{each[i].Title, each[i].Vehicles, rowsOf(Quote(s, &each[i]))})
	}
	return writeJSON(w, struct {
		Batch    string  `json:"batch"`
		Date     string  `json:"prices_of"`
		Currency string  `json:"currency"`
		Quotes   []quote `json:"quotes"`
		Whole    quote   `json:"whole"`
		Options  rows    `json:"options"`
	}{job.Batch.Name, s.Quote.Date, s.Currency, quotes, quote{whole.Title, whole.Vehicles, rowsOf(Quote(s, &whole))}, rowsOf(OptionQuotes(s, options))})
}
