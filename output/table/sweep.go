package table

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// Sweep lists the trials of a sweep.
func Sweep(s *batch.Sweep) *Table {
	type trial = batch.Trial
	var columns []column[*trial]
	for i := range s.Axes {
		columns = append(columns, axisColumn(s, i))
	}
	columns = append(columns, built(count("sheets", "Sheets", func(t *trial) int { return sheetCount(&t.Job.Estimate) })))
	for _, m := range sweepMaterials(s) {
		columns = append(columns,
			only(Plain, text(m.ID, m.ID, func(t *trial) string { return sheetsAndLeast(t, m) })),
			only(Files, built(count(m.ID+"_sheets", "", func(t *trial) int { return t.Sheets(m).Sheets }))),
			only(Files, built(count(m.ID+"_least", "", func(t *trial) int { return t.Sheets(m).Bound }))))
	}
	columns = append(columns,
		built(share("waste", "Waste", func(t *trial) float64 { return wasteOf(&t.Job.Estimate) })),
		built(number("mass_kg", "kg", 1, func(t *trial) float64 { return t.Job.Estimate.Mass })),
		built(money("cost", "Cost", func(t *trial) shop.Money { return t.Job.Estimate.Total })))
	if now := s.Now.Job; now != nil {
		columns = append(columns, built(money("cost_more", "More", func(t *trial) shop.Money { return t.Job.Estimate.Total - now.Estimate.Total })))
	}
	columns = append(columns, text("findings", "Findings", levels))
	trials := make([]*trial, len(s.Trials))
	for i := range s.Trials {
		trials[i] = &s.Trials[i]
	}
	return build(s.Batch.Shop, "sweep", sweepTitle(s), trials, columns...)
}

// axisColumn prints a trial's value of an axis; text marks today's.
func axisColumn(s *batch.Sweep, i int) column[*batch.Trial] {
	axis := &s.Axes[i]
	name := axis.Cabinet + "." + axis.Size
	if axis.Whole {
		return count(name, name, func(t *batch.Trial) int { return int(t.Values[i]) })
	}
	return length(name, name, func(t *batch.Trial) measure.Length { return t.Values[i] })
}

// built leaves a cell empty where the cabinet cannot be built.
func built(c column[*batch.Trial]) column[*batch.Trial] {
	value := c.value
	c.value = func(t *batch.Trial) any {
		if t.Job == nil {
			return nil
		}
		return value(t)
	}
	return c
}

// sweepMaterials are those that any trial takes sheets of, in the shop's order.
func sweepMaterials(s *batch.Sweep) (used []*shop.Material) {
	for _, m := range s.Batch.Shop.Materials {
		for i := range s.Trials {
			if s.Trials[i].Sheets(m).Sheets > 0 {
				used = append(used, m)
				break
			}
		}
	}
	return used
}

// sheetsAndLeast prints "7", or "8, least 7" where fewer have not been ruled out.
func sheetsAndLeast(t *batch.Trial, m *shop.Material) string {
	u := t.Sheets(m)
	switch {
	case t.Job == nil:
		return ""
	case u.Sheets > u.Bound:
		return fmt.Sprintf("%d, least %d", u.Sheets, u.Bound)
	}
	return fmt.Sprint(u.Sheets)
}

// levels counts findings: "1 error, 2 warnings".
func levels(t *batch.Trial) string {
	if t.Job == nil {
		return "cannot be built"
	}
	var all []string
	for _, level := range []cabinets.Level{cabinets.LevelError, cabinets.LevelWarning, cabinets.LevelNote} {
		n := 0
		for _, f := range t.Job.Findings {
			if f.Level == level {
				n++
			}
		}
		if n > 0 {
			all = append(all, plural(n, string(level)))
		}
	}
	return strings.Join(all, ", ")
}

// wasteOf is the share of all sheets that is neither part nor kept.
func wasteOf(e *batch.Estimate) float64 {
	waste, area := 0.0, 0.0
	for _, u := range e.Sheets {
		waste += float64(u.Waste() * u.Area)
		area += u.Area
	}
	if area == 0 {
		return 0
	}
	return waste / area
}

func sweepTitle(s *batch.Sweep) string {
	var now []string
	for i := range s.Axes {
		axis := &s.Axes[i]
		now = append(now, fmt.Sprintf("%s.%s is %s", axis.Cabinet, axis.Size, axis.Print(axis.Now, s.Batch.Shop.Style)))
	}
	title := fmt.Sprintf("%s, at %s effort: %s today", s.Batch.Name, s.Effort, strings.Join(now, ", "))
	if s.Now.Job == nil {
		return title + ", and cannot be built"
	}
	e := &s.Now.Job.Estimate
	return fmt.Sprintf("%s: %s, %s %s", title, plural(sheetCount(e), "sheet"), Amount(e.Total), s.Batch.Shop.Currency)
}

// StepWords says where the sheets of a material change, and how sure that is.
func StepWords(s *batch.Sweep, p *batch.Step) string {
	axis, style := &s.Axes[0], s.Batch.Shop.Style
	sure := "may be the search's: more effort may move it"
	if p.Proven {
		sure = "proven"
	}
	before, after := plural(p.Sheets[0], "sheet"), strconv.Itoa(p.Sheets[1])
	if p.Sheets[0] == p.Sheets[1] {
		price := func(i int) string { return fmt.Sprintf("for %s %s", Amount(p.Costs[i]), s.Batch.Shop.Currency) }
		before, after = before+" "+price(0), price(1)
	}
	return fmt.Sprintf("%s: to %s %s, from %s %s (%s)", p.Material.ID, axis.Print(p.Below, style), before, axis.Print(p.From, style), after, sure)
}

// pickWords says which values are worth a look.
func pickWords(s *batch.Sweep, p *batch.Pick) string {
	var values []string
	for i := range s.Axes {
		values = append(values, s.Axes[i].Print(p.Values[i], s.Batch.Shop.Style))
	}
	e := &p.Job.Estimate
	return fmt.Sprintf("%s %s: %s, %s %s", strings.Join(values, " by "), p.Why, plural(sheetCount(e), "sheet"), Amount(e.Total), s.Batch.Shop.Currency)
}

// heardWords says at which values a finding is there.
func heardWords(s *batch.Sweep, h *batch.Heard) string {
	axis, style := &s.Axes[0], s.Batch.Shop.Style
	at := "at " + axis.Print(h.From, style)
	if h.From != h.To {
		at = fmt.Sprintf("from %s to %s", axis.Print(h.From, style), axis.Print(h.To, style))
	}
	where := h.Where
	if where != "" {
		where += ": "
	}
	return fmt.Sprintf("%s %s: %s%s", h.Level, at, where, h.Text)
}

// WriteSweep prints a sweep: the trials, then the steps, the findings and what is worth a
// look.
func WriteSweep(w io.Writer, s *batch.Sweep) error {
	if err := Sweep(s).WriteText(w); err != nil {
		return err
	}
	out := bufio.NewWriter(w)
	section := func(title string, n int, line func(i int) string) {
		if n > 0 {
			fmt.Fprintf(out, "\n%s\n", title)
		}
		for i := range n {
			fmt.Fprintf(out, "  %s\n", line(i))
		}
	}
	picks := s.Picks()
	section("Steps", len(s.Steps), func(i int) string { return StepWords(s, &s.Steps[i]) })
	section("Findings", len(s.Heard), func(i int) string { return heardWords(s, &s.Heard[i]) })
	section("Worth a look", len(picks), func(i int) string { return pickWords(s, &picks[i]) })
	return out.Flush()
}

// SweepWords are the lines that WriteSweep prints below its list: steps, findings, and what is
// worth a look.
func SweepWords(s *batch.Sweep) (lines []string) {
	for i := range s.Steps {
		lines = append(lines, StepWords(s, &s.Steps[i]))
	}
	for i := range s.Heard {
		lines = append(lines, heardWords(s, &s.Heard[i]))
	}
	picks := s.Picks()
	for i := range picks {
		lines = append(lines, pickWords(s, &picks[i]))
	}
	return lines
}

// WriteSweepJSON is the same as JSON.
func WriteSweepJSON(w io.Writer, s *batch.Sweep) error {
	type step struct {
		Material string         `json:"material"`
		Below    any            `json:"below"`
		From     any            `json:"from"`
		Sheets   [2]int         `json:"sheets"`
		Costs    [2]json.Number `json:"costs"`
		Proven   bool           `json:"proven"`
	}
	type finding struct {
		Level string `json:"level"`
		Where string `json:"where"`
		Text  string `json:"text"`
		Do    string `json:"do"`
		From  any    `json:"from"`
		To    any    `json:"to"`
	}
	type pick struct {
		Values []any  `json:"values"`
		Why    string `json:"why"`
	}
	steps, findings, picks := []step{}, []finding{}, []pick{}
	value := func(axis int, v measure.Length) any {
		if s.Axes[axis].Whole {
			return int64(v)
		}
		return v.MM()
	}
	for _, p := range s.Steps {
		costs := [2]json.Number{json.Number(Amount(p.Costs[0])), json.Number(Amount(p.Costs[1]))}
		steps = append(steps, step{p.Material.ID, value(0, p.Below), value(0, p.From), p.Sheets, costs, p.Proven})
	}
	for _, h := range s.Heard {
		findings = append(findings, finding{string(h.Level), h.Where, h.Text, h.Do, value(0, h.From), value(0, h.To)})
	}
	for _, p := range s.Picks() {
		values := []any{}
		for i, v := range p.Values {
			values = append(values, value(i, v))
		}
		picks = append(picks, pick{values, p.Why})
	}
	return writeJSON(w, struct {
		Batch    string    `json:"batch"`
		Unit     string    `json:"unit"`
		Currency string    `json:"currency"`
		Trials   rows      `json:"trials"`
		Steps    []step    `json:"steps"`
		Findings []finding `json:"findings"`
		Picks    []pick    `json:"picks"`
	}{s.Batch.Name, "mm", s.Batch.Shop.Currency, rowsOf(Sweep(s)), steps, findings, picks})
}
