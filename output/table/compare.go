package table

import (
	"encoding/json"
	"fmt"
	"io"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// Changed lists the parts that only one of two jobs has, or that differ.
func Changed(c *batch.Comparison) *Table {
	type change = batch.PartChange
	was := func(of func(*change) *cabinets.Piece, f func(*cabinets.Piece) measure.Length) func(change) measure.Length {
		return func(p change) measure.Length {
			if of(&p) == nil {
				return 0
			}
			return f(of(&p))
		}
	}
	a, b := func(p *change) *cabinets.Piece { return p.A }, func(p *change) *cabinets.Piece { return p.B }
	long, wide := func(p *cabinets.Piece) measure.Length { return p.Length }, func(p *cabinets.Piece) measure.Length { return p.Width }
	return build(c.B.Batch.Shop, "parts", "Parts that differ", c.Parts,
		text("cabinet", "Cabinet", func(p change) string { return p.Where }),
		text("part", "Part", func(p change) string { return p.Name }),
		count("count", "Count", func(p change) int { return p.Count }),
		text("change", "Change", changeWords),
		text("material_a", "Material", func(p change) string { return materialOf(p.A) }),
		length("length_a", "Length", was(a, long)), length("width_a", "Width", was(a, wide)),
		text("material_b", "then", func(p change) string { return materialOf(p.B) }),
		length("length_b", "Length", was(b, long)), length("width_b", "Width", was(b, wide)))
}

func materialOf(p *cabinets.Piece) string {
	if p == nil {
		return ""
	}
	return p.Material.ID
}

// changeWords says what became of a part.
func changeWords(p batch.PartChange) string {
	switch {
	case p.A == nil:
		return "added"
	case p.B == nil:
		return "gone"
	case p.Resized():
		return "resized"
	case p.A.Material.ID != p.B.Material.ID:
		return "other material"
	}
	return "other edges or machining"
}

// Differing lists the lines of the estimate that differ, and the total.
func Differing(c *batch.Comparison) *Table {
	type change = batch.LineChange
	lines := []change{}
	for _, l := range c.Lines {
		if l.Differs() {
			lines = append(lines, l)
		}
	}
	total := change{A: batch.Line{Group: "total", Cost: c.A.Estimate.Total}, B: batch.Line{Group: "total", Cost: c.B.Estimate.Total}}
	either := func(of func(batch.Line) string) func(change) string {
		return func(l change) string {
			if text := of(l.B); text != "" {
				return text
			}
			return of(l.A)
		}
	}
	blank := func(col column[change]) column[change] { // the total has no amounts
		value := col.value
		col.value = func(l change) any {
			if l.A.Unit+l.B.Unit == "" {
				return nil
			}
			return value(l)
		}
		return col
	}
	return build(c.B.Batch.Shop, "lines", "Lines that differ", append(lines, total),
		text("group", "Group", either(func(l batch.Line) string { return l.Group })),
		text("name", "Name", either(func(l batch.Line) string { return l.Name })),
		text("pack", "Pack", either(func(l batch.Line) string { return l.Pack })),
		text("unit", "Unit", either(func(l batch.Line) string { return l.Unit })),
		blank(number("need_a", "Need", 2, func(l change) float64 { return l.A.Need })),
		blank(number("need_b", "then", 2, func(l change) float64 { return l.B.Need })),
		blank(count("buy_a", "Buy", func(l change) int { return l.A.Buy })),
		blank(count("buy_b", "then", func(l change) int { return l.B.Buy })),
		money("cost_a", "Cost", func(l change) shop.Money { return l.A.Cost }),
		money("cost_b", "then", func(l change) shop.Money { return l.B.Cost }),
		money("more", "More", func(l change) shop.Money { return l.More() }))
}

// sum is one figure of two jobs.
type sum struct {
	key, name string
	decimals  int
	a, b      float64
}

// sums are the figures that two jobs come down to.
func sums(c *batch.Comparison) []sum {
	a, b := &c.A.Estimate, &c.B.Estimate
	bandA, feltA := a.Tape()
	bandB, feltB := b.Tape()
	return []sum{
		{"parts", "parts", 0, float64(partCount(c.A)), float64(partCount(c.B))},
		{"sheets", "sheets", 0, float64(sheetCount(a)), float64(sheetCount(b))},
		{"waste_percent", "waste, %", 1, 100 * wasteOf(a), 100 * wasteOf(b)},
		{"band_m", "edge band, m", 1, bandA.MM() / 1000, bandB.MM() / 1000},
		{"felt_m", "felt, m", 1, feltA.MM() / 1000, feltB.MM() / 1000},
		{"mass_kg", "mass, kg", 1, a.Mass, b.Mass},
		{"cost", "cost, " + c.B.Batch.Shop.Currency, 2, float64(a.Total) / 100, float64(b.Total) / 100},
		{"findings", "findings", 0, float64(len(c.A.Findings)), float64(len(c.B.Findings))},
	}
}

// more is the difference as it is printed: that of the two figures as they are printed.
func (s sum) more() float64 { return tidy(s.b, s.decimals) - tidy(s.a, s.decimals) }

// Sums lists the figures that two jobs come down to.
func Sums(c *batch.Comparison) *Table {
	figure := func(of func(sum) float64) func(sum) string {
		return func(s sum) string { return decimal(of(s), s.decimals) }
	}
	return build(c.B.Batch.Shop, "sums", fmt.Sprintf("%s, then %s", c.A.Batch.Name, c.B.Batch.Name), sums(c),
		text("figure", "Figure", func(s sum) string { return s.name }),
		text("a", "First", figure(func(s sum) float64 { return s.a })),
		text("b", "Then", figure(func(s sum) float64 { return s.b })),
		text("more", "More", figure(sum.more)))
}

// WriteComparison prints a comparison: sums, lines, parts, and the findings that only one
// of the two has.
func WriteComparison(w io.Writer, c *batch.Comparison) error {
	tables := []*Table{Sums(c), Differing(c)}
	if len(c.Parts) > 0 {
		tables = append(tables, Changed(c))
	}
	for _, f := range []struct {
		title string
		list  []cabinets.Finding
	}{{"Findings gone", c.Gone}, {"Findings added", c.Added}} {
		if len(f.list) > 0 {
			t := Findings(f.list)
			t.Title = f.title
			tables = append(tables, t)
		}
	}
	return writeTexts(w, tables)
}

// WriteComparisonJSON is the same as JSON.
func WriteComparisonJSON(w io.Writer, c *batch.Comparison) error {
	type figure struct {
		A    json.Number `json:"a"`
		B    json.Number `json:"b"`
		More json.Number `json:"more"`
	}
	figures := map[string]figure{} // keys are written sorted
	for _, s := range sums(c) {
		figures[s.key] = figure{json.Number(decimal(s.a, s.decimals)), json.Number(decimal(s.b, s.decimals)), json.Number(decimal(s.more(), s.decimals))}
	}
	return writeJSON(w, struct {
		A             string            `json:"a"`
		B             string            `json:"b"`
		Unit          string            `json:"unit"`
		Currency      string            `json:"currency"`
		Sums          map[string]figure `json:"sums"`
		Lines         rows              `json:"lines"`
		Parts         rows              `json:"parts"`
		FindingsGone  rows              `json:"findings_gone"`
		FindingsAdded rows              `json:"findings_added"`
	}{c.A.Batch.Name, c.B.Batch.Name, "mm", c.B.Batch.Shop.Currency, figures, rowsOf(Differing(c)), rowsOf(Changed(c)),
		rowsOf(Findings(c.Gone)), rowsOf(Findings(c.Added))})
}
