package verify

import (
	"slices"
	"strings"
	"testing"
)

// pressedPlan is made by hand: two panels of 200 x 100, each pressed from a core of 220 x
// 120 and a face on either side. The kerf is 3; two edges of a blank are trued by 10.
const pressedPlan = `{"format": "sawbook-plan-1", "currency": "EUR",
"materials": [
{"material": "panel", "kerf": 3, "sheets": 0, "least_sheets": 0, "cost": 0.00, "least_cost": 0.00,
 "patterns": [],
 "blanks": [
  {"pattern": 1, "blank": "B1", "times": 2,
   "layers": [{"material": "core", "part": "C"}, {"material": "face", "part": "F"}, {"material": "face", "part": "F"}],
   "sheet": {"length": 220, "width": 120, "grain": "length", "trim": {"left": 10, "right": 0, "bottom": 10, "top": 0}, "price": 0.00, "offcut": ""},
   "parts": [{"part": "P", "x": 10, "y": 10, "length": 200, "width": 100, "turned": false}],
   "cuts": [
    {"step": 1, "stage": 1, "x1": 210, "y1": 10, "x2": 210, "y2": 120},
    {"step": 2, "stage": 2, "x1": 10, "y1": 110, "x2": 210, "y2": 110}],
   "offcuts": []}]},
{"material": "core", "kerf": 3, "sheets": 2, "least_sheets": 2, "cost": 20.00, "least_cost": 20.00,
 "patterns": [
  {"pattern": 1, "times": 2,
   "sheet": {"length": 220, "width": 120, "grain": "length", "trim": {"left": 0, "right": 0, "bottom": 0, "top": 0}, "price": 10.00, "offcut": ""},
   "parts": [{"part": "C", "x": 0, "y": 0, "length": 220, "width": 120, "turned": false}], "cuts": [], "offcuts": []}]},
{"material": "face", "kerf": 2, "sheets": 4, "least_sheets": 4, "cost": 4.00, "least_cost": 4.00,
 "patterns": [
  {"pattern": 1, "times": 4,
   "sheet": {"length": 230, "width": 130, "grain": "length", "trim": {"left": 0, "right": 0, "bottom": 0, "top": 0}, "price": 1.00, "offcut": ""},
   "parts": [{"part": "F", "x": 0, "y": 0, "length": 230, "width": 130, "turned": false}], "cuts": [], "offcuts": []}]}]}`

func pressedOrders() []Order {
	return []Order{
		{Material: "panel", Demand: []Demand{{"P", 200 * nm, 100 * nm, 2, "length"}}, Limits: Limits{Kerf: 3 * nm}, Layers: []string{"core", "face", "face"}},
		{Material: "core", Demand: []Demand{{"C", 220 * nm, 120 * nm, 2, "length"}}, Limits: Limits{Kerf: 3 * nm, Sheets: []Stock{{220 * nm, 120 * nm, false, 0, 0, 0, 0, 1000, "", -1}}}},
		{Material: "face", Demand: []Demand{{"F", 230 * nm, 130 * nm, 4, "length"}}, Limits: Limits{Kerf: 2 * nm, Sheets: []Stock{{230 * nm, 130 * nm, false, 0, 0, 0, 0, 100, "", -1}}}},
	}
}

func TestPressed(t *testing.T) {
	const blank = "panel, blank B1: "
	for _, test := range []struct {
		name   string
		edits  []edit
		orders func([]Order)
		want   []string
	}{
		{"as it should be", nil, nil, nil},
		{"a layer short", []edit{{`, {"material": "face", "part": "F"}],`, `],`}}, nil, []string{blank + "it has 2 layers, ordered 3"}},
		{"another core", nil, func(o []Order) { o[0].Layers[0] = "oak" }, []string{blank + "layer 1 is of core, ordered oak"}},
		{"layers of what is not pressed", nil, func(o []Order) { o[0].Layers = nil },
			[]string{blank + "it has 3 layers, ordered 0", "panel: blank B1 is cut from sheets 0 times, cut up 2 times"}},
		{"a layer that nobody cuts", []edit{{`"part": "C"}, {`, `"part": "X"}, {`}}, nil, []string{blank + "part X of core, which it is pressed from, is not ordered"}},
		{"faces for one", []edit{{`"pattern": 1, "times": 4`, `"pattern": 1, "times": 3`}, {`"sheets": 4, "least_sheets": 4, "cost": 4.00, "least_cost": 4.00`, `"sheets": 3, "least_sheets": 3, "cost": 3.00, "least_cost": 3.00`}},
			func(o []Order) { o[2].Demand[0].Count = 3 }, []string{blank + "4 of part F of face are pressed, 3 are cut"}},
		{"a core as small as the part", []edit{
			{`"length": 220, "width": 120, "grain": "length", "trim": {"left": 0`, `"length": 200, "width": 120, "grain": "length", "trim": {"left": 0`},
			{`"part": "C", "x": 0, "y": 0, "length": 220`, `"part": "C", "x": 0, "y": 0, "length": 200`}},
			func(o []Order) { o[1].Demand[0].Length, o[1].Limits.Sheets[0].Length = 200*nm, 200*nm },
			[]string{blank + "part C of core is 200 x 120, smaller than the blank of 220 x 120"}},
		{"a face across", nil, func(o []Order) { o[2].Demand[0].Grain = "any" },
			[]string{blank + `part F of face has grain "any", the blank "length"`, blank + `part F of face has grain "any", the blank "length"`}},
		{"a panel that may be turned", nil, func(o []Order) { o[0].Demand[0].Grain, o[2].Demand[0].Grain = "any", "any" }, nil},
		{"second cut too early", []edit{{`"x1": 10, "y1": 110, "x2": 210, "y2": 110`, `"x1": 10, "y1": 109, "x2": 210, "y2": 109`}}, nil,
			[]string{blank + "part P, 200 x 100 at (10, 10), is not cut out: the piece that is left there is 200 x 99"}},
		{"cut from a sheet as well", []edit{{`"patterns": [],`, `"patterns": [
  {"pattern": 1, "times": 1,
   "sheet": {"length": 220, "width": 120, "grain": "length", "trim": {"left": 0, "right": 0, "bottom": 0, "top": 0}, "price": 0.00, "offcut": ""},
   "parts": [{"part": "B1", "x": 0, "y": 0, "length": 220, "width": 120, "turned": false}], "cuts": [], "offcuts": []}],`}, {`"sheets": 0,`, `"sheets": 1,`}},
			func(o []Order) { o[0].Limits.Sheets = []Stock{{220 * nm, 120 * nm, false, 0, 0, 0, 0, 0, "", -1}} }, []string{"panel: blank B1 is cut from sheets 1 times, yet it is pressed"}},
		{"pressed once", []edit{{`"blank": "B1", "times": 2`, `"blank": "B1", "times": 1`}}, nil, []string{"panel: part P is placed 1 times, ordered 2"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			text, orders := pressedPlan, pressedOrders()
			for _, e := range test.edits {
				if !strings.Contains(text, e[0]) {
					t.Fatalf("nothing to change: %s", e[0])
				}
				text = strings.Replace(text, e[0], e[1], 1)
			}
			if test.orders != nil {
				test.orders(orders)
			}
			problems, err := Plan(strings.NewReader(text), orders)
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, p := range problems {
				got = append(got, p.String())
			}
			if !slices.Equal(got, test.want) {
				t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(test.want, "\n"))
			}
		})
	}
}
