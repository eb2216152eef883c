package table

import (
	"strings"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
)

// Order lists in which order the cabinets of each interior can go in; they come out the other
// way round.
func Order(job *batch.Job) *Table {
	type row struct {
		layout string
		number int
		cabinets.GoesIn
	}
	var rows []row
	interiors, _ := job.Batch.Interiors()
	for _, in := range interiors {
		for i, g := range in.Order(job.Batch.Shop.Limits.Reach) {
			rows = append(rows, row{in.Title(), i + 1, g})
		}
	}
	return build(job.Batch.Shop, "order", "Going in", rows,
		text("layout", "Layout", func(r row) string { return r.layout }),
		count("number", "No.", func(r row) int { return r.number }),
		text("cabinet", "Cabinet", func(r row) string { return r.Name }),
		text("after", "After", func(r row) string { return strings.Join(r.After, ", ") }),
		text("reached", "Fixings reached from", func(r row) string {
			var sides []string
			for _, d := range r.Fixings.From {
				sides = append(sides, cabinets.SideWord(d))
			}
			if len(sides) == 0 && r.Fixings.Count > 0 {
				return "inside"
			}
			return strings.Join(sides, ", ")
		}))
}
