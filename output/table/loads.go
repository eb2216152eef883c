package table

import (
	"fmt"
	"io"
	"slices"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
)

// RestraintCaution stands beside every force on fixings.
const RestraintCaution = "Forces are those of a rule for load restraint: braking and cornering, not a crash. " +
	"They are information, no design of fixings: that is for local codes and licensed practice."

// loadRow is a cabinet of an interior, or the sum of them.
type loadRow struct {
	interior string
	cabinets.Load
}

// Loads lists what each cabinet of each interior weighs, where its centre of mass is, and
// what the rule for load restraint asks of its fixings.
func Loads(job *batch.Job) *Table {
	var rows []loadRow
	interiors, _ := job.Batch.Interiors()
	for _, in := range interiors {
		for _, l := range in.Loads() {
			rows = append(rows, loadRow{in.Title(), l})
		}
	}
	number1 := func(key, head string, value func(loadRow) float64) column[loadRow] {
		return number(key, head, 1, value)
	}
	force := func(key, head string, value func(loadRow) float64) column[loadRow] {
		return filled(number(key, head, 0, value), func(r loadRow) bool { return r.Forces.Forward > 0 })
	}
	each := func(r loadRow) float64 {
		return max(r.Forces.Forward, r.Forces.Side, r.Forces.Rear) / float64(max(r.Fixings, 1))
	}
	return build(job.Batch.Shop, "loads", "Loads", rows,
		text("layout", "Layout", func(r loadRow) string { return r.interior }),
		text("cabinet", "Cabinet", func(r loadRow) string { return r.Cabinet }),
		// what is left of the whole, so that a row adds up as printed
		number1("parts_kg", "Parts kg", func(r loadRow) float64 { return tidy(r.Mass(), 1) - tidy(r.Hardware, 1) - tidy(r.Contents, 1) }),
		number1("hardware_kg", "Hardware kg", func(r loadRow) float64 { return r.Hardware }),
		number1("contents_kg", "Contents kg", func(r loadRow) float64 { return r.Contents }),
		number1("mass_kg", "In all kg", func(r loadRow) float64 { return r.Mass() }),
		number("centre_x_mm", "Centre x mm", 0, func(r loadRow) float64 { return r.Centre[cabinets.X] }),
		number("centre_y_mm", "y mm", 0, func(r loadRow) float64 { return r.Centre[cabinets.Y] }),
		number("centre_z_mm", "z mm", 0, func(r loadRow) float64 { return r.Centre[cabinets.Z] }),
		force("forward_n", "Forward N", func(r loadRow) float64 { return r.Forces.Forward }),
		force("side_n", "Side N", func(r loadRow) float64 { return r.Forces.Side }),
		force("rear_n", "Rear N", func(r loadRow) float64 { return r.Forces.Rear }),
		filled(count("fixings", "Fixings", func(r loadRow) int { return r.Fixings }), func(r loadRow) bool { return r.Fixings > 0 }),
		filled(number("fixing_n", "N each at most", 0, each), func(r loadRow) bool { return r.Fixings > 0 && r.Forces.Forward > 0 }))
}

// filled leaves the cells of some rows empty.
func filled[R any](c column[R], is func(R) bool) column[R] {
	value := c.value
	c.value = func(r R) any {
		if !is(r) {
			return nil
		}
		return value(r)
	}
	return c
}

// Balances lists how the mass of each interior falls on the wheels of its vehicle. The two
// axles, and the two sides, add up as printed.
func Balances(job *batch.Job) *Table {
	type row struct {
		interior string
		rule     string
		cabinets.Balance
	}
	var rows []row
	interiors, _ := job.Batch.Interiors()
	for _, in := range interiors {
		if b := in.Balance(); b != nil {
			r := row{interior: in.Title(), Balance: *b}
			if rule := in.Layout.Vehicle.Rule; rule != nil {
				r.rule = rule.Name
			}
			rows = append(rows, r)
		}
	}
	sided := func(r row) bool { return r.Left != 0 || r.Right != 0 }
	return build(job.Batch.Shop, "balance", "On the wheels", rows,
		text("layout", "Layout", func(r row) string { return r.interior }),
		number("mass_kg", "Interior kg", 1, func(r row) float64 { return r.Mass }),
		number("front_kg", "Front axle kg", 1, func(r row) float64 { return r.Front }),
		number("rear_kg", "Rear axle kg", 1, func(r row) float64 { return tidy(r.Mass, 1) - tidy(r.Front, 1) }),
		filled(number("left_kg", "Left kg", 1, func(r row) float64 { return r.Left }), sided),
		filled(number("right_kg", "Right kg", 1, func(r row) float64 { return tidy(r.Mass, 1) - tidy(r.Left, 1) }), sided),
		number("spare_kg", "Payload left kg", 1, func(r row) float64 { return r.Spare }),
		text("rule", "Restraint", func(r row) string { return r.rule }))
}

// Drawers lists what each drawer asks of its slides by the rule for load restraint, as full as it is made for.
func Drawers(job *batch.Job) *Table {
	type row struct {
		interior string
		cabinets.Drawer
	}
	var rows []row
	interiors, _ := job.Batch.Interiors()
	for _, in := range interiors {
		for _, d := range in.Drawers() {
			rows = append(rows, row{in.Title(), d})
		}
	}
	return build(job.Batch.Shop, "drawers", "Drawers pushed to the side, and full", rows,
		text("layout", "Layout", func(r row) string { return r.interior }),
		text("cabinet", "Cabinet", func(r row) string { return r.Cabinet }),
		text("drawer", "Drawer", func(r row) string { return r.Assembly }),
		number("holds_kg", "Holds kg", 1, func(r row) float64 { return r.Run.Load }),
		number("mass_kg", "In all kg", 1, func(r row) float64 { return r.Mass }),
		text("slides", "Slides", func(r row) string { return r.Run.Item.Name }),
		number("class_kg", "Static class kg", 0, func(r row) float64 { return r.Run.Item.Load }),
		number("above_mm", "Centre above slides mm", 0, func(r row) float64 { return r.Above }),
		number("apart_mm", "Between them mm", 0, func(r row) float64 { return r.Run.Apart.MM() }),
		number("push_g", "Push g", 2, func(r row) float64 { return r.Push }),
		text("rule", "Rule", func(r row) string { return r.Rule.Name }),
		number("over_nm", "Over Nm", 0, func(r row) float64 { return r.Over }),
		number("back_nm", "Back Nm", 0, func(r row) float64 { return r.Back }),
		filled(number("guide_n", "Guide N", 0, func(r row) float64 { return r.Guide }), func(r row) bool { return r.Run.Guided }))
}

// Opened lists how cabinets with drawers stand at rest, all of these drawn and as full as they are made for.
func Opened(job *batch.Job) *Table {
	type row struct {
		interior string
		cabinets.Open
	}
	var rows []row
	interiors, _ := job.Batch.Interiors()
	for _, in := range interiors {
		for _, o := range in.Opened() {
			rows = append(rows, row{in.Title(), o})
		}
	}
	return build(job.Batch.Shop, "open", "At rest with all drawers open, and full", rows,
		text("layout", "Layout", func(r row) string { return r.interior }),
		text("cabinet", "Cabinet", func(r row) string { return r.Cabinet }),
		count("drawers", "Drawers", func(r row) int { return r.Drawers }),
		number("out_kg", "Drawn kg", 1, func(r row) float64 { return r.Out }),
		number("over_nm", "Over its foot Nm", 0, func(r row) float64 { return r.Over }),
		number("back_nm", "Back Nm", 0, func(r row) float64 { return r.Back }),
		number("pull_n", "Pull at its top N", 0, func(r row) float64 { return r.Pull }))
}

// WriteLoads prints the loads and balances of a job, with the caution that belongs to them.
func WriteLoads(w io.Writer, job *batch.Job) error {
	tables := []*Table{Loads(job), Balances(job), Drawers(job), Opened(job), Order(job)}
	tables = slices.DeleteFunc(tables, func(t *Table) bool { return len(t.Rows) == 0 })
	if err := writeTexts(w, tables); err != nil {
		return err
	}
	_, err := fmt.Fprintf(w, "\n%s\n", RestraintCaution)
	return err
}

// WriteLoadsJSON is the same as JSON.
func WriteLoadsJSON(w io.Writer, job *batch.Job) error {
	return writeJSON(w, struct {
		Batch   string `json:"batch"`
		Caution string `json:"caution"`
		Loads   rows   `json:"loads"`
		Balance rows   `json:"balance"`
		Drawers rows   `json:"drawers"`
		Open    rows   `json:"open"`
	}{job.Batch.Name, RestraintCaution, rowsOf(Loads(job)), rowsOf(Balances(job)), rowsOf(Drawers(job)), rowsOf(Opened(job))})
}
