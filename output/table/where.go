package table

import (
	"strings"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
)

// Where lists what is kept where in the interiors of a job: what, in which cabinet, where that stands, how it is
// reached. Words pick out what holds all of them, in any case; none pick everything.
func Where(job *batch.Job, words ...string) *Table {
	type row struct {
		layout string
		at     *cabinets.Placed
		cabinets.Content
	}
	var rows []row
	interiors, _ := job.Batch.Interiors()
	for _, in := range interiors {
		for i := range in.Cabinets {
			p := &in.Cabinets[i]
			for _, c := range p.Contents {
				if holdsAll(c.What+" "+p.Name, words) {
					rows = append(rows, row{in.Title(), p, c})
				}
			}
		}
	}
	at := func(key, head string, a cabinets.Axis) column[row] {
		c := length(key, head, func(r row) measure.Length { return r.at.Box.Lo[a] })
		c.value = func(r row) any { return r.at.Box.Lo[a] }
		return c
	}
	return build(job.Batch.Shop, "contents", "What is kept where", rows,
		text("what", "What", func(r row) string { return r.What }),
		text("layout", "Layout", func(r row) string { return r.layout }),
		text("cabinet", "Cabinet", func(r row) string { return r.at.Name }),
		at("x", "From x", cabinets.X), at("y", "y", cabinets.Y), at("z", "z", cabinets.Z),
		number("mass_kg", "kg", 1, func(r row) float64 { return r.Mass }),
		text("reach", "How to get at it", func(r row) string { return r.Reach }))
}

// holdsAll reports whether a text holds all words, in any case.
func holdsAll(text string, words []string) bool {
	text = strings.ToLower(text)
	for _, w := range words {
		if !strings.Contains(text, strings.ToLower(w)) {
			return false
		}
	}
	return true
}
