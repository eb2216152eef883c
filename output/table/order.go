package table

import (
	"fmt"
	"strings"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
)

// Order lists in which order the cabinets of each interior can go in, and why; they come out the
// other way round.
func Order(job *batch.Job) *Table {
	type row struct {
		layout string
		number int
		cabinets.GoesIn
	}
	var rows []row
	interiors, _ := job.Batch.Interiors()
	for _, in := range interiors {
		order, _ := in.Order(job.Batch.Shop.Limits.Reach)
		for i, g := range order {
			rows = append(rows, row{in.Title(), i + 1, g})
		}
	}
	return build(job.Batch.Shop, "order", "Going in", rows,
		text("layout", "Layout", func(r row) string { return r.layout }),
		count("number", "No.", func(r row) int { return r.number }),
		text("cabinet", "Cabinet", func(r row) string { return r.Name }),
		text("after", "Goes in after", func(r row) string {
			var waits []string
			for _, w := range r.After {
				waits = append(waits, fmt.Sprintf("%s (%s)", w.Name, w.Why))
			}
			return strings.Join(waits, ", ")
		}),
		text("out_after", "Comes out after", func(r row) string { return strings.Join(r.Until, ", ") }),
		text("reached", "Fixings reached from", func(r row) string {
			var sides []string
			for _, d := range r.Fixings.From {
				sides = append(sides, d.Word())
			}
			if len(sides) == 0 && r.Fixings.Count > 0 {
				return "inside"
			}
			return strings.Join(sides, ", ")
		}))
}
