package table

import (
	"regexp"
	"strings"

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

// hardwareRow is what a cabinet takes of an item, in the vehicles of one interior.
type hardwareRow struct {
	layout, cabinet string
	vehicles        int
	cabinets.HardwareLine
}

// Hardware lists what each cabinet takes, and what else would do.
func Hardware(job *batch.Job) *Table {
	var rows []hardwareRow
	interiors, vehicles := job.Batch.Interiors()
	for i, in := range interiors {
		for _, c := range in.Cabinets {
			for _, h := range c.Solid.Hardware {
				rows = append(rows, hardwareRow{in.Title(), c.Name, vehicles[i], h})
			}
		}
	}
	style := job.Batch.Shop.Style
	return build(job.Batch.Shop, "hardware", "Hardware by cabinet", rows,
		text("layout", "Layout", func(r hardwareRow) string { return r.layout }),
		text("cabinet", "Cabinet", func(r hardwareRow) string { return r.cabinet }),
		text("for", "For", func(r hardwareRow) string { return r.Name }),
		text("item", "Item", func(r hardwareRow) string { return r.Item.ID }),
		length("length", "Length", func(r hardwareRow) measure.Length { return r.Length }),
		count("each", "Each", func(r hardwareRow) int { return r.Count }),
		count("vehicles", "Vehicles", func(r hardwareRow) int { return r.vehicles }),
		count("total", "In all", func(r hardwareRow) int { return r.Count * r.vehicles }),
		text("or", "Or", func(r hardwareRow) string {
			var others []string
			for _, or := range r.Or {
				others = append(others, strings.TrimSpace(or.Item.ID+" "+lengthWords(style, or.Length)))
			}
			return strings.Join(others, ", ")
		}))
}

// lengthWords prints a length, "" where there is none.
func lengthWords(style measure.Style, l measure.Length) string {
	if l == 0 {
		return ""
	}
	return style.Format(l)
}
