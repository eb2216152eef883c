package verify

import "testing"

// blanked is a plan made by hand: a blank of 213.2 x 103.2 holds two parts of 28.4 x 30,
// cut with a kerf of 3.2. One rip frees a strip and leaves 70 mm, two crosscuts free the
// parts and leave 150 mm.
const blanked = `{"format": "sawbook-plan-1", "currency": "EUR",
"materials": [{"material": "birch-12", "kerf": 3.2, "sheets": 1, "least_sheets": 1, "cost": 20.00, "least_cost": 20.00,
"demand": [{"part": "S", "length": 28.4, "width": 30, "count": 4, "grain": "length"}],
"patterns": [
 {"pattern": 1, "times": 1,
  "sheet": {"length": 500, "width": 110, "grain": "length", "trim": {"left": 0, "right": 0, "bottom": 0, "top": 0}, "price": 20.00, "offcut": ""},
  "parts": [
   {"part": "B1", "x": 0, "y": 0, "length": 213.2, "width": 103.2, "turned": false},
   {"part": "B1", "x": 216.4, "y": 0, "length": 213.2, "width": 103.2, "turned": false}],
  "cuts": [
   {"step": 1, "stage": 1, "x1": 0, "y1": 103.2, "x2": 500, "y2": 103.2},
   {"step": 2, "stage": 2, "x1": 213.2, "y1": 0, "x2": 213.2, "y2": 103.2},
   {"step": 3, "stage": 2, "x1": 429.6, "y1": 0, "x2": 429.6, "y2": 103.2}],
  "offcuts": []}],
"blanks": [
 {"pattern": 1, "blank": "B1", "times": 2,
  "sheet": {"length": 213.2, "width": 103.2, "grain": "length", "trim": {"left": 0, "right": 0, "bottom": 0, "top": 0}, "price": 0.00, "offcut": ""},
  "parts": [
   {"part": "S", "x": 0, "y": 0, "length": 28.4, "width": 30, "turned": false},
   {"part": "S", "x": 31.6, "y": 0, "length": 28.4, "width": 30, "turned": false}],
  "cuts": [
   {"step": 1, "stage": 1, "x1": 0, "y1": 30, "x2": 213.2, "y2": 30},
   {"step": 2, "stage": 2, "x1": 28.4, "y1": 0, "x2": 28.4, "y2": 30},
   {"step": 3, "stage": 2, "x1": 60, "y1": 0, "x2": 60, "y2": 30}],
  "offcuts": [{"x": 63.2, "y": 0, "length": 150, "width": 30}, {"x": 0, "y": 33.2, "length": 213.2, "width": 70}]}]}]}`

func blankedOrder() Order {
	return Order{
		Material: "birch-12",
		Demand:   []Demand{{"S", 28.4 * nm, 30 * nm, 4, "length"}},
		Limits: Limits{Kerf: 3.2 * nm, SmallestLong: 150 * nm, SmallestShort: 40 * nm,
			Sheets: []Stock{{500 * nm, 110 * nm, false, 0, 0, 0, 0, 2000, "", -1}}},
	}
}

func TestBlanks(t *testing.T) {
	const blank = "birch-12, blank B1: "
	for _, test := range []struct {
		name  string
		edits []edit
		order func(*Order)
		want  []string
	}{
		{"as it should be", nil, nil, nil},
		{"too few cut up", []edit{{`"blank": "B1", "times": 2`, `"blank": "B1", "times": 1`}}, nil,
			[]string{"birch-12: part S is placed 2 times, ordered 4", "birch-12: blank B1 is cut from sheets 2 times, cut up 1 times"}},
		{"none cut up", []edit{{`"blank": "B1", "times": 2`, `"blank": "B1", "times": 0`}}, nil,
			[]string{blank + "times is 0", "birch-12: part S is placed 0 times, ordered 4", "birch-12: blank B1 is cut from sheets 2 times, cut up 0 times"}},
		{"not as large as it is cut", []edit{{`"sheet": {"length": 213.2`, `"sheet": {"length": 214`}}, nil,
			[]string{
				"birch-12, pattern 1: part B1 at (0, 0) is 213.2 x 103.2, ordered 214 x 103.2",
				"birch-12, pattern 1: part B1 at (216.4, 0) is 213.2 x 103.2, ordered 214 x 103.2",
				blank + "step 1: the rip from (0, 30) to (213.2, 30) does not run from edge to edge of a piece: 214 x 103.2 at (0, 0) lies there"}},
		{"second cut at the wrong place", []edit{{`"x1": 60, "y1": 0, "x2": 60`, `"x1": 59, "y1": 0, "x2": 59`}}, nil,
			[]string{
				blank + "part S, 28.4 x 30 at (31.6, 0), is not cut out: the piece that is left there is 27.4 x 30",
				blank + "offcut 150 x 30 at (63.2, 0) is none: no piece that is left begins there"}},
		{"too little to hold by, along", nil, func(o *Order) { o.Limits.SmallestLong = 150.1 * nm },
			[]string{blank + "step 3 divides 181.6 x 30, and neither side is large enough to hold a part by that is below the smallest of 150.1 x 40"}},
		{"too little to hold by, across", nil, func(o *Order) { o.Limits.SmallestShort = 70.1 * nm },
			[]string{blank + "step 1 divides 213.2 x 103.2, and neither side is large enough to hold a part by that is below the smallest of 150 x 70.1"}},
		{"a small part on the sheet", []edit{
			{`{"part": "B1", "x": 0, "y": 0, "length": 213.2, "width": 103.2, "turned": false},`, `{"part": "S", "x": 0, "y": 0, "length": 28.4, "width": 30, "turned": false},`},
			{`"blank": "B1", "times": 2`, `"blank": "B1", "times": 1`}}, func(o *Order) { o.Demand[0].Count = 3 },
			[]string{
				"birch-12: demand: part S is stated 4 times, ordered 3",
				"birch-12, pattern 1: part S is 28.4 x 30, below the smallest part of 150 x 40, yet no blank holds it",
				"birch-12, pattern 1: part S, 28.4 x 30 at (0, 0), is not cut out: the piece that is left there is 213.2 x 103.2"}},
		{"a blank in a blank", []edit{{`{"part": "S", "x": 0, "y": 0, "length": 28.4, "width": 30, "turned": false}`, `{"part": "B1", "x": 0, "y": 0, "length": 28.4, "width": 30, "turned": false}`}}, nil,
			[]string{blank + "part B1 is not ordered", "birch-12: part S is placed 2 times, ordered 4"}},
		{"the name of a part", []edit{{`"B1", "x": 0`, `"S", "x": 0`}, {`"blank": "B1"`, `"blank": "S"`}}, nil,
			[]string{
				"birch-12, blank S: it has the name of a part that is ordered",
				"birch-12, pattern 1: part S is 28.4 x 30, below the smallest part of 150 x 40, yet no blank holds it",
				"birch-12, pattern 1: part S at (0, 0) is 213.2 x 103.2, ordered 28.4 x 30",
				"birch-12, pattern 1: part B1 is not ordered",
				"birch-12: part S is placed 1 times, ordered 4"}},
		{"no name", []edit{{`"blank": "B1"`, `"blank": ""`}}, nil,
			[]string{"birch-12: a blank has no name", "birch-12, pattern 1: part B1 is not ordered", "birch-12, pattern 1: part B1 is not ordered",
				"birch-12: part S is placed 0 times, ordered 4"}},
		{"grain across", []edit{{`"width": 103.2, "grain": "length"`, `"width": 103.2, "grain": "width"`}}, nil,
			[]string{
				"birch-12, pattern 1: part B1 at (0, 0) lies against the grain: its width must follow the face grain, along the sheet's length",
				"birch-12, pattern 1: part B1 at (216.4, 0) lies against the grain: its width must follow the face grain, along the sheet's length",
				blank + "part S at (0, 0) lies against the grain: its length must follow the face grain, along the sheet's width",
				blank + "part S at (31.6, 0) lies against the grain: its length must follow the face grain, along the sheet's width"}},
		{"trimmed to nothing", []edit{{`"sheet": {"length": 213.2, "width": 103.2, "grain": "length", "trim": {"left": 0`, `"sheet": {"length": 213.2, "width": 103.2, "grain": "length", "trim": {"left": 213.2`}}, nil,
			[]string{blank + "the trim leaves nothing of the blank", "birch-12: part S is placed 0 times, ordered 4"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			order := blankedOrder()
			if test.order != nil {
				test.order(&order)
			}
			expect(t, blanked, test.edits, order, test.want)
		})
	}
}
