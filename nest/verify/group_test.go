package verify

import (
	"slices"
	"testing"
)

// matchedPlan is a plan made by hand: two strips of 400 x 203.2, each parted with a kerf of 3.2
// into F1, 400 x 120, and above it F2, 400 x 80. The grain runs along both.
const matchedPlan = `{"format": "sawbook-plan-1", "currency": "EUR",
"materials": [{"material": "birch-12", "kerf": 3.2, "sheets": 1, "least_sheets": 1, "cost": 20.00, "least_cost": 20.00,
"patterns": [
 {"pattern": 1, "times": 1,
  "sheet": {"length": 803.2, "width": 203.2, "grain": "length", "trim": {"left": 0, "right": 0, "bottom": 0, "top": 0}, "price": 20.00, "offcut": ""},
  "parts": [
   {"part": "M1", "x": 0, "y": 0, "length": 400, "width": 203.2, "turned": false},
   {"part": "M1", "x": 403.2, "y": 0, "length": 400, "width": 203.2, "turned": false}],
  "cuts": [{"step": 1, "stage": 1, "x1": 400, "y1": 0, "x2": 400, "y2": 203.2}],
  "offcuts": []}],
"blanks": [
 {"pattern": 1, "blank": "M1", "times": 2,
  "sheet": {"length": 400, "width": 203.2, "grain": "length", "trim": {"left": 0, "right": 0, "bottom": 0, "top": 0}, "price": 0.00, "offcut": ""},
  "parts": [
   {"part": "F1", "x": 0, "y": 0, "length": 400, "width": 120, "turned": false},
   {"part": "F2", "x": 0, "y": 123.2, "length": 400, "width": 80, "turned": false}],
  "cuts": [{"step": 1, "stage": 1, "x1": 0, "y1": 120, "x2": 400, "y2": 120}],
  "offcuts": []}],
"groups": [{"strip": "M1", "count": 2, "parts": ["F1", "F2"]}]}]}`

func matchedOrder() Order {
	return Order{
		Material: "birch-12",
		Demand:   []Demand{{"F1", 400 * nm, 120 * nm, 2, "length"}, {"F2", 400 * nm, 80 * nm, 2, "length"}},
		Groups:   []Group{{Parts: []string{"F1", "F2"}, Count: 2}},
		Limits:   Limits{Kerf: 3.2 * nm, Sheets: []Stock{{803.2 * nm, 203.2 * nm, false, 0, 0, 0, 0, 2000, "", -1}}},
	}
}

func TestGroups(t *testing.T) {
	const groups = `"groups": [{"strip": "M1", "count": 2, "parts": ["F1", "F2"]}]`
	for _, test := range []struct {
		name  string
		edits []edit
		order func(*Order)
		want  []string
	}{
		{"as it should be", nil, nil, nil},
		{"not stated", []edit{{groups, `"groups": []`}}, nil, []string{
			"the matched group of F1 F2 is there 0 times, ordered 2",
			"part F1 of a matched group lies outside its strip", "part F2 of a matched group lies outside its strip"}},
		{"stated once", []edit{{`"count": 2`, `"count": 1`}}, nil, []string{
			"group M1: 1 are stated, 2 strips are cut apart", "the matched group of F1 F2 is there 1 times, ordered 2"}},
		{"one more ordered", nil, func(o *Order) { o.Groups[0].Count = 3 }, []string{"the matched group of F1 F2 is there 2 times, ordered 3"}},
		{"another order", nil, func(o *Order) { slices.Reverse(o.Groups[0].Parts) }, []string{
			"group M1 of F1 F2 is not ordered", "the matched group of F2 F1 is there 0 times, ordered 2",
			"part F1 of a matched group lies outside its strip", "part F2 of a matched group lies outside its strip"}},
		{"stated in order, laid in another", []edit{
			{`"y": 0, "length": 400, "width": 120`, `"y": 83.2, "length": 400, "width": 120`},
			{`"y": 123.2, "length": 400, "width": 80`, `"y": 0, "length": 400, "width": 80`},
			{`"x1": 0, "y1": 120, "x2": 400, "y2": 120`, `"x1": 0, "y1": 80, "x2": 400, "y2": 80`}}, nil,
			[]string{"group M1: its strip yields F2 F1, ordered F1 F2"}},
		{"along the grain", nil, func(o *Order) { o.Groups[0].Along = true },
			[]string{"group M1: part F2 does not follow part F1 a kerf apart in one strip"}},
		{"further apart", []edit{
			{`"x": 0, "y": 123.2, "length": 400, "width": 80`, `"x": 0, "y": 126.6, "length": 400, "width": 76.6`},
			{`"x2": 400, "y2": 120}`, `"x2": 400, "y2": 120}, {"step": 2, "stage": 1, "x1": 0, "y1": 123.4, "x2": 400, "y2": 123.4}`}},
			func(o *Order) { o.Demand[1].Width = 76.6 * nm },
			[]string{"group M1: part F2 does not follow part F1 a kerf apart in one strip"}},
		{"not as long", []edit{
			{`"x": 0, "y": 123.2, "length": 400, "width": 80`, `"x": 0, "y": 123.2, "length": 300, "width": 80`},
			{`"x2": 400, "y2": 120}`, `"x2": 400, "y2": 120}, {"step": 2, "stage": 2, "x1": 300, "y1": 123.2, "x2": 300, "y2": 203.2}`}},
			func(o *Order) { o.Demand[1].Length = 300 * nm },
			[]string{"group M1: part F2 does not follow part F1 a kerf apart in one strip"}},
		{"turned against one another", []edit{{`"width": 80, "turned": false`, `"width": 80, "turned": true`}},
			func(o *Order) { o.Demand[1] = Demand{"F2", 80 * nm, 400 * nm, 2, "any"} },
			[]string{"group M1: parts F1 and F2 are turned against one another"}},
		{"a part from elsewhere", []edit{
			{`{"part": "M1", "x": 403.2, "y": 0, "length": 400, "width": 203.2, "turned": false}`,
				`{"part": "F1", "x": 403.2, "y": 0, "length": 400, "width": 120, "turned": false}, {"part": "F2", "x": 403.2, "y": 123.2, "length": 400, "width": 80, "turned": false}`},
			{`"x2": 400, "y2": 203.2}`, `"x2": 400, "y2": 203.2}, {"step": 2, "stage": 2, "x1": 403.2, "y1": 120, "x2": 803.2, "y2": 120}`},
			{`"times": 2`, `"times": 1`}, {`"count": 2`, `"count": 1`}}, nil, []string{
			"the matched group of F1 F2 is there 1 times, ordered 2",
			"part F1 of a matched group lies outside its strip", "part F2 of a matched group lies outside its strip"}},
		{"of no strip", []edit{{`"strip": "M1"`, `"strip": "M2"`}}, nil, []string{
			"group M2 has no strip",
			"part F1 of a matched group lies outside its strip", "part F2 of a matched group lies outside its strip"}},
		{"a count that is none", []edit{{`"count": 2`, `"count": 1.5`}}, nil, []string{
			"group M1: count is not a whole number: 1.5", "the matched group of F1 F2 is there 0 times, ordered 2"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			var want []string
			for _, w := range test.want {
				want = append(want, "birch-12: "+w)
			}
			order := matchedOrder()
			if test.order != nil {
				test.order(&order)
			}
			expect(t, matchedPlan, test.edits, order, want)
		})
	}
}
