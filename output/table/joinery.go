package table

import (
	"regexp"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
)

// jointRow is the joints of a cabinet that differ in the counters of their parts alone, in the
// vehicles of one interior.
type jointRow struct {
	layout, cabinet  string
	joints, vehicles int
	cabinets.Joint   // one of them, its names without counters
}

// total counts the fixings in all vehicles.
func (r *jointRow) total() int { return r.Fixings * r.joints * r.vehicles }

var counter = regexp.MustCompile(`-\d+(\.|$)`)

// Joints lists how the parts of each cabinet are joined, and what fixes them.
func Joints(job *batch.Job) *Table {
	var rows []*jointRow
	interiors, vehicles := job.Batch.Interiors()
	for i, in := range interiors {
		for _, c := range in.Cabinets {
			known := map[cabinets.Joint]*jointRow{}
			for _, j := range c.Solid.Joints {
				j.Through, j.Into = counter.ReplaceAllString(j.Through, "$1"), counter.ReplaceAllString(j.Into, "$1")
				if known[j] == nil {
					known[j] = &jointRow{layout: in.Title(), cabinet: c.Name, vehicles: vehicles[i], Joint: j}
					rows = append(rows, known[j])
				}
				known[j].joints++
			}
		}
	}
	return build(job.Batch.Shop, "joints", "Joints by cabinet", rows,
		text("layout", "Layout", func(r *jointRow) string { return r.layout }),
		text("cabinet", "Cabinet", func(r *jointRow) string { return r.cabinet }),
		text("joint", "Joint", func(r *jointRow) string { return r.How.ID }),
		only(Files, text("kind", "Kind", func(r *jointRow) string { return r.How.Kind })),
		text("through", "Through", func(r *jointRow) string { return r.Through }),
		text("into", "Into", func(r *jointRow) string { return r.Into }),
		text("glued", "Glued", func(r *jointRow) string {
			if r.How.Glued {
				return "yes"
			}
			return "no"
		}),
		length("length", "Length", func(r *jointRow) measure.Length { return r.Run }),
		count("joints", "Joints", func(r *jointRow) int { return r.joints }),
		text("fixing", "Fixing", func(r *jointRow) string {
			if r.How.Fixing == nil {
				return ""
			}
			return r.How.Fixing.ID
		}),
		count("fixings", "Each", func(r *jointRow) int { return r.Fixings }),
		count("vehicles", "Vehicles", func(r *jointRow) int { return r.vehicles }),
		count("total", "In all", (*jointRow).total))
}
