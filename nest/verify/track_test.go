package verify

import "testing"

// tracked is a plan made by hand: of a sheet whose 2480 x 1230 within the trim are too heavy,
// the track saw frees 600, with 3 + 2.2 + 3 mm between, and 5 mm more than the trim come
// off the top. The table saw does the rest.
const tracked = `{"format": "sawbook-plan-1", "currency": "EUR",
"materials": [{"material": "birch-12", "kerf": 3.2, "sheets": 1, "least_sheets": 1, "cost": 74.00, "least_cost": 74.00,
"patterns": [
 {"pattern": 1, "times": 1,
  "sheet": {"length": 2500, "width": 1250, "grain": "length", "trim": {"left": 10, "right": 10, "bottom": 10, "top": 15}, "price": 74.00, "offcut": ""},
  "parts": [
   {"part": "A", "x": 10, "y": 10, "length": 2480, "width": 600, "turned": false},
   {"part": "B", "x": 10, "y": 618.2, "length": 2480, "width": 300, "turned": false},
   {"part": "B", "x": 10, "y": 921.4, "length": 2480, "width": 300, "turned": false}],
  "cuts": [
   {"step": 1, "stage": 1, "x1": 10, "y1": 610, "x2": 2490, "y2": 610, "tool": "track saw"},
   {"step": 2, "stage": 1, "x1": 10, "y1": 918.2, "x2": 2490, "y2": 918.2},
   {"step": 3, "stage": 1, "x1": 10, "y1": 1221.4, "x2": 2490, "y2": 1221.4}],
  "offcuts": []}]}]}`

func trackedOrder() Order {
	return Order{
		Material: "birch-12",
		Demand:   []Demand{{"A", 2480 * nm, 600 * nm, 1, "length"}, {"B", 2480 * nm, 300 * nm, 2, "length"}},
		Limits: Limits{Kerf: 3.2 * nm, LongestRip: 2480 * nm, Sheets: []Stock{{2500 * nm, 1250 * nm, false, 10 * nm, 10 * nm, 10 * nm, 10 * nm, 7400, "", -1}},
			Track: &Track{Gap: 8.2 * nm, Rail: 2500 * nm, Lift: 2480 * nm * 620 * nm}},
	}
}

func TestTrackSaw(t *testing.T) {
	const at = "birch-12, pattern 1: "
	const rip = "the rip from (10, 610) to (2490, 610)"
	const heavier = at + "step 2: the rip from (10, 918.2) to (2490, 918.2) divides 2480 x 621.8, which is too heavy for the table saw" // 5 mm less trim
	for _, test := range []struct {
		name  string
		edits []edit
		order func(*Limits)
		want  []string
	}{
		{"as it should be", nil, nil, nil},
		{"longer than the table saw's longest rip", nil, func(l *Limits) { l.LongestRip = 2480*nm - 1 },
			[]string{
				at + "step 2: the rip from (10, 918.2) to (2490, 918.2) is 2480 long, at most 2479.999999",
				at + "step 3: the rip from (10, 1221.4) to (2490, 1221.4) is 2480 long, at most 2479.999999"}},
		{"with the table saw", []edit{{`, "tool": "track saw"`, ``}}, nil,
			[]string{
				at + "step 1: " + rip + " divides 2480 x 1225, which is too heavy for the table saw",
				heavier,
				at + "part B, 2480 x 300 at (10, 618.2), is not cut out: no piece that is left begins there"}},
		{"another tool", []edit{{`track saw`, `axe`}}, nil,
			[]string{
				at + `step 1: the tool is "axe", not "track saw"`,
				heavier,
				at + "part B, 2480 x 300 at (10, 618.2), is not cut out: no piece that is left begins there"}},
		{"too narrow a gap", nil, func(l *Limits) { l.Track.Gap = 8.3 * nm },
			[]string{at + "part B, 2480 x 300 at (10, 618.2), is not cut out: no piece that is left begins there"}},
		{"a short rail", nil, func(l *Limits) { l.Track.Rail = 2499 * nm },
			[]string{at + "step 1: " + rip + " is 2500 long with the trim, the rail 2499"}},
		{"no track saw", []edit{{`"top": 15`, `"top": 10`}}, func(l *Limits) { l.Track = nil },
			[]string{
				at + "step 1: " + rip + " is made with the track saw, which is not ordered",
				at + "part B, 2480 x 300 at (10, 618.2), is not cut out: no piece that is left begins there"}},
		{"more trim without a track saw", []edit{{`, "tool": "track saw"`, ``}}, func(l *Limits) { l.Track = nil },
			[]string{
				at + "the trim of sheet 2500 x 1250 is 10 10 10 15, ordered 10 10 10 10 (left, right, bottom, top)",
				at + "part B, 2480 x 300 at (10, 618.2), is not cut out: no piece that is left begins there"}},
		{"less trim", []edit{{`"top": 15`, `"top": 9`}}, nil,
			[]string{at + "the trim of sheet 2500 x 1250 is 10 10 10 9, ordered 10 10 10 10 (left, right, bottom, top)", heavier}},
		{"more trim at the left", []edit{{`"left": 10`, `"left": 11`}}, nil,
			[]string{at + "the trim of sheet 2500 x 1250 is 11 10 10 15, ordered 10 10 10 10 (left, right, bottom, top)", heavier}},
		{"nothing beyond the allowance", []edit{{`"top": 15`, `"top": 21`}, {`"x1": 10, "y1": 1221.4, "x2": 2490, "y2": 1221.4`, `"x1": 10, "y1": 1221.4, "x2": 2490, "y2": 1221.4, "tool": "track saw"`}}, nil,
			[]string{at + "step 3: the rip from (10, 1221.4) to (2490, 1221.4) leaves nothing beyond its allowance"}},
		{"in the second stage", []edit{{`2490, "y2": 1221.4}`, `2490, "y2": 1221.4}, {"step": 4, "stage": 2, "x1": 1000, "y1": 10, "x2": 1000, "y2": 610, "tool": "track saw"}`}}, nil,
			[]string{
				at + "step 4: the crosscut from (1000, 10) to (1000, 610) is of stage 2, yet the track saw makes none but the first",
				at + "part A, 2480 x 600 at (10, 10), is not cut out: the piece that is left there is 990 x 600"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			order := trackedOrder()
			if test.order != nil {
				test.order(&order.Limits)
			}
			expect(t, tracked, test.edits, order, test.want)
		})
	}
}
