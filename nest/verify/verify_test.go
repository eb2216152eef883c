package verify

import (
	"fmt"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// good is a plan made by hand: two strips with a part brought to size across its strip,
// a turned part, and an offcut as a second sheet whose grain runs across it.
const good = `{"format": "sawbook-plan-1", "currency": "EUR", "seed": 7,
"materials": [{"material": "birch-12", "kerf": 3.2, "sheets": 3, "least_sheets": 2, "cost": 148.00, "least_cost": 74.00,
"stages": 2, "status": "finished", "bound": "area",
"demand": [
 {"part": "A", "length": 720, "width": 480, "count": 4, "grain": "length"},
 {"part": "B", "length": 500, "width": 320, "count": 2, "grain": "any"},
 {"part": "C", "length": 1000, "width": 450, "count": 2, "grain": "length"},
 {"part": "D", "length": 400, "width": 300, "count": 2, "grain": "length"}],
"patterns": [
 {"pattern": 1, "times": 2,
  "sheet": {"length": 2500, "width": 1250, "grain": "length", "trim": {"left": 10, "right": 10, "bottom": 10, "top": 10}, "price": 74.00, "offcut": ""},
  "parts": [
   {"part": "A", "x": 10, "y": 10, "length": 720, "width": 480, "turned": false},
   {"part": "A", "x": 733.2, "y": 10, "length": 720, "width": 480, "turned": false},
   {"part": "B", "x": 10, "y": 493.2, "length": 320, "width": 500, "turned": true},
   {"part": "C", "x": 333.2, "y": 493.2, "length": 1000, "width": 450, "turned": false}],
  "cuts": [
   {"step": 0, "stage": 0, "x1": 0, "y1": 6.8, "x2": 2500, "y2": 6.8},
   {"step": 0, "stage": 0, "x1": 2490, "y1": 10, "x2": 2490, "y2": 1250},
   {"step": 1, "stage": 1, "x1": 10, "y1": 490, "x2": 2490, "y2": 490, "frees": "strip"},
   {"step": 2, "stage": 2, "x1": 730, "y1": 10, "x2": 730, "y2": 490, "frees": "A"},
   {"step": 3, "stage": 2, "x1": 1453.2, "y1": 10, "x2": 1453.2, "y2": 490},
   {"step": 4, "stage": 1, "x1": 10, "y1": 993.2, "x2": 2490, "y2": 993.2},
   {"step": 5, "stage": 2, "x1": 330, "y1": 493.2, "x2": 330, "y2": 993.2},
   {"step": 6, "stage": 2, "x1": 1333.2, "y1": 493.2, "x2": 1333.2, "y2": 993.2},
   {"step": 7, "stage": 3, "x1": 333.2, "y1": 943.2, "x2": 1333.2, "y2": 943.2}],
  "offcuts": [
   {"x": 1456.4, "y": 10, "length": 1033.6, "width": 480, "keep": true},
   {"x": 10, "y": 996.4, "length": 2480, "width": 243.6, "keep": true}]},
 {"pattern": 2, "times": 1,
  "sheet": {"length": 800, "width": 600, "grain": "width", "trim": {"left": 0, "right": 0, "bottom": 0, "top": 0}, "price": 0, "offcut": "K-7"},
  "parts": [
   {"part": "D", "x": 0, "y": 0, "length": 300, "width": 400, "turned": true},
   {"part": "D", "x": 303.2, "y": 0, "length": 300, "width": 400, "turned": true}],
  "cuts": [
   {"step": 1, "stage": 1, "x1": 300, "y1": 0, "x2": 300, "y2": 600},
   {"step": 2, "stage": 2, "x1": 0, "y1": 400, "x2": 300, "y2": 400},
   {"step": 3, "stage": 1, "x1": 603.2, "y1": 0, "x2": 603.2, "y2": 600},
   {"step": 4, "stage": 2, "x1": 303.2, "y1": 400, "x2": 603.2, "y2": 400}],
  "offcuts": []}]}]}`

const nm = 1_000_000 // of a millimetre

func goodOrder() Order {
	return Order{
		Material: "birch-12",
		Demand: []Demand{
			{"A", 720 * nm, 480 * nm, 4, "length"},
			{"B", 500 * nm, 320 * nm, 2, "any"},
			{"C", 1000 * nm, 450 * nm, 2, "length"},
			{"D", 400 * nm, 300 * nm, 1, "length"},
			{"D", 400 * nm, 300 * nm, 1, "length"}, // two lines of one part add up
		},
		Limits: Limits{Kerf: 3.2 * nm, Stages: 2, LongestRip: 2480 * nm, LongestCrosscut: 600 * nm, Sheets: []Stock{
			{2500 * nm, 1250 * nm, false, 10 * nm, 10 * nm, 10 * nm, 10 * nm, 7400, "", -1},
			{800 * nm, 600 * nm, true, 0, 0, 0, 0, 0, "K-7", 1},
		}},
	}
}

func TestGoodPlan(t *testing.T) {
	problems, err := Plan(strings.NewReader(good), []Order{goodOrder()})
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range problems {
		t.Error(p)
	}
}

// edit is one change of the good plan: the first text becomes the second.
type edit [2]string

func TestFaults(t *testing.T) {
	at := func(pattern int, texts ...string) []string {
		var out []string
		for _, text := range texts {
			place := "birch-12: "
			if pattern > 0 {
				place = "birch-12, pattern " + strconv.Itoa(pattern) + ": "
			}
			out = append(out, place+text)
		}
		return out
	}
	for _, test := range []struct {
		name  string
		edits []edit
		order func(*Order)
		want  []string
	}{
		{"unknown format", []edit{{"sawbook-plan-1", "sawbook-plan-2"}}, nil,
			[]string{`format is "sawbook-plan-2", not "sawbook-plan-1"`}},
		{"material not ordered", nil, func(o *Order) { o.Material = "oak-18" },
			[]string{"birch-12: is in the plan but not ordered", "oak-18: is ordered but not in the plan"}},
		{"kerf", []edit{{`"kerf": 3.2`, `"kerf": 3`}}, nil, at(0, "kerf is 3, ordered 3.2")},
		{"kerf missing", []edit{{`"kerf": 3.2, `, ``}}, nil, at(0, "kerf is missing")},
		{"stages stated", []edit{{`"stages": 2`, `"stages": 3`}}, nil, at(0, "stages is 3, ordered 2")},

		{"sheet size not in stock", []edit{{`"length": 2500`, `"length": 2440`}}, nil,
			at(1, "sheet 2440 x 1250 is not in stock")},
		{"offcut not in stock", []edit{{`K-7`, `K-8`}}, nil, at(2, "sheet 800 x 600 (offcut K-8) is not in stock")},
		{"sheet used too often", nil, func(o *Order) { o.Limits.Sheets[0].Count = 1 },
			at(0, "sheet 2500 x 1250: 2 used, 1 in stock")},
		{"offcut used twice", []edit{{`"pattern": 2, "times": 1`, `"pattern": 2, "times": 2`}, {`"sheets": 3`, `"sheets": 4`}},
			func(o *Order) { o.Demand[4].Count = 3 },
			at(0, "demand: part D is stated 2 times, ordered 4", "sheet 800 x 600 (offcut K-7): 2 used, 1 in stock")},
		{"trim", []edit{{`"bottom": 10`, `"bottom": 8`}}, nil,
			at(1, "the trim of sheet 2500 x 1250 is 10 10 8 10, ordered 10 10 10 10 (left, right, bottom, top)")},
		{"face grain", []edit{{`"grain": "width", "trim"`, `"grain": "length", "trim"`}}, nil,
			at(2, "the face grain of sheet 800 x 600 (offcut K-7) lies along its length, ordered width")},
		{"unknown face grain", []edit{{`"grain": "width", "trim"`, `"grain": "both", "trim"`}}, nil,
			at(2, `sheet: grain is "both", not "length" or "width"`)},
		{"price", []edit{{`"price": 74.00`, `"price": 73.99`}}, nil,
			at(1, "sheet 2500 x 1250 costs 73.99, ordered 74.00")},
		{"trim leaves nothing", []edit{{`"bottom": 0`, `"bottom": 600`}}, func(o *Order) { o.Limits.Sheets[1].Bottom = 600 * nm },
			at(2, "the trim leaves nothing of the sheet")},

		{"cut stops short of an edge", []edit{{`"x1": 10, "y1": 490, "x2": 2490`, `"x1": 10, "y1": 490, "x2": 2480`}}, nil,
			at(1, "step 1: the rip from (10, 490) to (2480, 490) does not run from edge to edge of a piece: 2480 x 1230 at (10, 10) lies there")},
		{"cut over two pieces", []edit{{`"x1": 730, "y1": 10, "x2": 730, "y2": 490`, `"x1": 730, "y1": 10, "x2": 730, "y2": 1240`}}, nil,
			at(1, "step 2: the crosscut from (730, 10) to (730, 1240) does not run from edge to edge of a piece: 2480 x 746.8 at (10, 493.2) lies there")},
		{"cut outside", []edit{{`"x1": 10, "y1": 490, "x2": 2490`, `"x1": 0, "y1": 490, "x2": 2490`}}, nil,
			at(1, "step 1: the rip from (0, 490) to (2490, 490) leaves the trimmed sheet, 2480 x 1230 at (10, 10)")},
		{"cut along an edge", []edit{{`"x1": 300, "y1": 0, "x2": 300`, `"x1": 0, "y1": 0, "x2": 0`}}, nil,
			at(2, "step 1: the crosscut from (0, 0) to (0, 600) does not run from edge to edge of a piece: 800 x 600 at (0, 0) lies there")},
		{"cut in a kerf", []edit{{`"x1": 1453.2, "y1": 10, "x2": 1453.2`, `"x1": 732, "y1": 10, "x2": 732`}}, nil,
			at(1, "step 3: the crosscut from (732, 10) to (732, 490) divides no piece: only a kerf or an edge lies there")},
		{"slanting cut", []edit{{`"x2": 2490, "y2": 490`, `"x2": 2490, "y2": 491`}}, nil,
			at(1, "step 1: the cut from (10, 490) to (2490, 491) runs neither along nor across the sheet")},
		{"cut without length", []edit{{`"x1": 300, "y1": 0, "x2": 300, "y2": 600`, `"x1": 300, "y1": 0, "x2": 300, "y2": 0`}}, nil,
			at(2, "step 1: the cut from (300, 0) to (300, 0) runs neither along nor across the sheet")},
		{"cut before its piece exists", []edit{
			{`{"step": 1, "stage": 1, "x1": 300, "y1": 0, "x2": 300, "y2": 600}`, `{"step": 1, "stage": 1, "x1": 0, "y1": 400, "x2": 300, "y2": 400}`},
			{`{"step": 2, "stage": 2, "x1": 0, "y1": 400, "x2": 300, "y2": 400}`, `{"step": 2, "stage": 1, "x1": 300, "y1": 0, "x2": 300, "y2": 600}`}}, nil,
			at(2, "step 1: the rip from (0, 400) to (300, 400) does not run from edge to edge of a piece: 800 x 600 at (0, 0) lies there")},
		{"steps out of order", []edit{{`"step": 2, "stage": 2, "x1": 0`, `"step": 3, "stage": 2, "x1": 0`}}, nil,
			at(2, "step 3 is listed where step 2 is due")},
		{"stage", []edit{{`"step": 2, "stage": 2, "x1": 0`, `"step": 2, "stage": 1, "x1": 0`}}, nil,
			at(2, "step 2: the stage of the rip from (0, 400) to (300, 400) is 2, stated 1")},
		{"trim cut at a wrong place", []edit{{`"y1": 6.8, "x2": 2500, "y2": 6.8`, `"y1": 10, "x2": 2500, "y2": 10`}}, nil,
			at(1, "trim: the rip from (0, 10) to (2500, 10) takes off none of the ordered trims")},
		{"trim cut over what is gone", []edit{{`"x1": 2490, "y1": 10, "x2": 2490, "y2": 1250`, `"x1": 2490, "y1": 0, "x2": 2490, "y2": 1250`}}, nil,
			at(1, "trim: the crosscut from (2490, 0) to (2490, 1250) takes off none of the ordered trims")},
		{"stage 0 in the middle", []edit{{`"step": 2, "stage": 2, "x1": 0`, `"step": 2, "stage": 0, "x1": 0`}}, nil,
			at(2, "step 2: the rip from (0, 400) to (300, 400) has stage 0, but the trim is gone before step 1")},
		{"trim cut with a step", []edit{{`"step": 0, "stage": 0, "x1": 0`, `"step": 1, "stage": 0, "x1": 0`}}, nil,
			at(1, "step 1: the rip from (0, 6.8) to (2500, 6.8) has stage 0, but the trim is gone before step 1")},
		{"longest rip", nil, func(o *Order) { o.Limits.LongestRip = 2479.9 * nm },
			at(1, "step 1: the rip from (10, 490) to (2490, 490) is 2480 long, at most 2479.9",
				"step 4: the rip from (10, 993.2) to (2490, 993.2) is 2480 long, at most 2479.9")},
		{"longest crosscut", nil, func(o *Order) { o.Limits.LongestCrosscut = 599 * nm },
			at(2, "step 1: the crosscut from (300, 0) to (300, 600) is 600 long, at most 599",
				"step 3: the crosscut from (603.2, 0) to (603.2, 600) is 600 long, at most 599")},
		{"limit on stages", []edit{{`"stages": 2, `, ``}}, func(o *Order) { o.Limits.Stages = 1 },
			// Step 5 frees one part too, but the strip goes on to carry another.
			at(1, "step 2: the crosscut from (730, 10) to (730, 490) is of stage 2, at most 1",
				"step 5: the crosscut from (330, 493.2) to (330, 993.2) is of stage 2, at most 1",
				"step 6: the crosscut from (1333.2, 493.2) to (1333.2, 993.2) is of stage 2, at most 1",
				"step 7: the rip from (333.2, 943.2) to (1333.2, 943.2) is of stage 3, at most 1")},
		{"first direction", nil, func(o *Order) { o.Limits.First = "crosscut" },
			at(1, "step 1: the rip from (10, 490) to (2490, 490) comes first, where a crosscut must")},

		{"kerf left out", []edit{{`"x": 733.2, "y": 10, "length": 720`, `"x": 730, "y": 10, "length": 720`}}, nil,
			at(1, "part A, 720 x 480 at (730, 10), is not cut out: no piece that is left begins there")},
		{"part not cut to size", []edit{{`"x1": 1453.2, "y1": 10, "x2": 1453.2`, `"x1": 1453.3, "y1": 10, "x2": 1453.3`}}, nil,
			at(1, "part A, 720 x 480 at (733.2, 10), is not cut out: the piece that is left there is 720.1 x 480",
				"offcut 1033.6 x 480 at (1456.4, 10) is none: no piece that is left begins there")},
		{"part size", []edit{{`"x": 10, "y": 10, "length": 720`, `"x": 10, "y": 10, "length": 719.999999`}}, nil,
			at(1, "part A at (10, 10) is 719.999999 x 480, ordered 720 x 480",
				"part A, 719.999999 x 480 at (10, 10), is not cut out: the piece that is left there is 720 x 480")},
		{"not turned as said", []edit{{`"length": 320, "width": 500, "turned": true`, `"length": 320, "width": 500, "turned": false`}}, nil,
			at(1, "part B at (10, 493.2) is 320 x 500, ordered 500 x 320")},
		{"against the grain", nil, func(o *Order) { o.Demand[1].Grain = "length" },
			append(at(0, `demand: part B has grain "any", ordered "length"`),
				at(1, "part B at (10, 493.2) lies against the grain: its length must follow the face grain, along the sheet's length")...)},
		{"against the grain of a sheet across", nil, func(o *Order) { o.Demand[3].Grain, o.Demand[4].Grain = "width", "width" },
			append(at(0, `demand: part D has grain "length", ordered "width"`),
				at(2, "part D at (0, 0) lies against the grain: its width must follow the face grain, along the sheet's width",
					"part D at (303.2, 0) lies against the grain: its width must follow the face grain, along the sheet's width")...)},
		{"part not ordered", []edit{{`"part": "B", "x"`, `"part": "E", "x"`}}, nil,
			append(at(1, "part E is not ordered"), at(0, "part B is placed 0 times, ordered 2")...)},
		{"two parts on one piece", []edit{{`"x": 733.2, "y": 10`, `"x": 10, "y": 10`}}, nil,
			at(1, "part A at (10, 10) lies on the same piece as part A")},
		{"part left out", []edit{{`   {"part": "B", "x": 10, "y": 493.2, "length": 320, "width": 500, "turned": true},`, ``}}, nil,
			at(0, "part B is placed 0 times, ordered 2")},
		{"too many copies", nil, func(o *Order) { o.Demand[0].Count = 3 },
			at(0, "demand: part A is stated 4 times, ordered 3", "part A is placed 4 times, ordered 3")},
		{"part where another is", []edit{{`"part": "B", "x": 10`, `"part": "C", "x": 10`}}, nil,
			append(at(1, "part C at (10, 493.2) is 320 x 500, ordered 450 x 1000 turned",
				"part C at (10, 493.2) lies against the grain: its length must follow the face grain, along the sheet's length"),
				at(0, "part B is placed 0 times, ordered 2", "part C is placed 4 times, ordered 2")...)},
		{"no part", []edit{{`   {"part": "D", "x": 0, "y": 0, "length": 300, "width": 400, "turned": true},
   {"part": "D", "x": 303.2, "y": 0, "length": 300, "width": 400, "turned": true}`, ``}}, nil,
			append(at(2, "no part lies on it"), at(0, "part D is placed 0 times, ordered 2")...)},

		{"offcut is a part", []edit{{`{"x": 1456.4, "y": 10, "length": 1033.6, "width": 480`, `{"x": 10, "y": 10, "length": 720, "width": 480`}}, nil,
			at(1, "offcut 720 x 480 at (10, 10) is none: part A lies there")},
		{"offcut of another size", []edit{{`"length": 1033.6`, `"length": 1030`}}, nil,
			at(1, "offcut 1030 x 480 at (1456.4, 10) is none: the piece that is left there is 1033.6 x 480")},
		{"offcut twice", []edit{{`{"x": 1456.4, "y": 10, "length": 1033.6, "width": 480`, `{"x": 10, "y": 996.4, "length": 2480, "width": 243.6`}}, nil,
			at(1, "offcut 2480 x 243.6 at (10, 996.4) is none: it is listed twice")},

		{"sheets", []edit{{`"sheets": 3`, `"sheets": 2`}}, nil, at(0, "sheets is 2, the patterns use 3")},
		{"cost", []edit{{`148.00`, `148.01`}}, nil, at(0, "cost is 148.01, the sheets used cost 148.00")},
		{"least sheets", []edit{{`"least_sheets": 2`, `"least_sheets": 4`}}, nil, at(0, "least_sheets is 4, yet the patterns use 3")},
		{"least cost", []edit{{`"least_cost": 74.00`, `"least_cost": 148.5`}}, nil,
			at(0, "least_cost is 148.50, yet the sheets used cost 148.00")},
		{"least below 0", []edit{{`"least_cost": 74.00`, `"least_cost": -0.5`}, {`"least_sheets": 2`, `"least_sheets": -1`}}, nil,
			at(0, "least_sheets is -1", "least_cost is -0.50")},
		{"proven", []edit{{`"finished"`, `"proven"`}}, nil, at(0, "status is proven, yet cost is 148.00 and least_cost 74.00")},

		{"demand left out", []edit{{` {"part": "C", "length": 1000, "width": 450, "count": 2, "grain": "length"},`, ``}}, nil,
			at(0, "demand: part C is stated 0 times, ordered 2")},
		{"demand of another size", []edit{{`"length": 1000, "width": 450, "count"`, `"length": 1000, "width": 451, "count"`}}, nil,
			at(0, "demand: part C is 1000 x 451, ordered 1000 x 450")},
		{"demand not ordered", []edit{{`{"part": "C", "length": 1000`, `{"part": "X", "length": 1000`}}, nil,
			at(0, "demand: part X is not ordered", "demand: part C is stated 0 times, ordered 2")},

		{"times 0", []edit{{`"pattern": 2, "times": 1`, `"pattern": 2, "times": 0`}}, nil,
			append(at(2, "times is 0"), at(0, "part D is placed 0 times, ordered 2", "sheets is 3, the patterns use 2")...)},
		{"pattern number twice", []edit{{`"pattern": 2`, `"pattern": 1`}}, nil, at(1, "the number is taken by an earlier pattern")},
		{"pattern number 0", []edit{{`"pattern": 2`, `"pattern": 0`}}, nil, at(0, "a pattern's number is 1 or more")},

		{"too many decimals", []edit{{`"x": 733.2`, `"x": 733.2000001`}}, nil,
			at(1, "part A: x has more than 6 decimals: 733.2000001")},
		{"exponent", []edit{{`"x": 733.2`, `"x": 7.332e2`}}, nil, at(1, "part A: x is not a plain decimal: 7.332e2")},
		{"text for a number", []edit{{`"x": 733.2`, `"x": "733.2"`}}, nil, at(1, `part A: x is not a plain decimal: "733.2"`)},
		{"null for a number", []edit{{`"x1": 730`, `"x1": null`}}, nil, at(1, "cut 4: x1 is not a plain decimal: null")},
		{"huge", []edit{{`"x": 733.2`, `"x": 99999999999999999999`}}, nil, at(1, "part A: x is too large: 99999999999999999999")},
		{"long", []edit{{`"x": 733.2`, `"x": ` + strings.Repeat("9", 100)}}, nil,
			at(1, "part A: x is too large: "+strings.Repeat("9", 40)+"...")},
		{"negative", []edit{{`"x": 733.2`, `"x": -733.2`}}, nil,
			at(1, "part A, 720 x 480 at (-733.2, 10), is not cut out: no piece that is left begins there")},
		{"half a sheet", []edit{{`"times": 2`, `"times": 1.5`}}, nil,
			append(at(1, "times is not a whole number: 1.5"),
				at(0, "part A is placed 0 times, ordered 4", "part B is placed 0 times, ordered 2", "part C is placed 0 times, ordered 2",
					"sheets is 3, the patterns use 1", "cost is 148.00, the sheets used cost 0.00",
					"least_sheets is 2, yet the patterns use 1", "least_cost is 74.00, yet the sheets used cost 0.00")...)},

		{"order without sense", nil, func(o *Order) {
			o.Limits.Kerf, o.Limits.Stages, o.Limits.First = -1, -2, "up"
			o.Demand[0].Grain, o.Demand[1].Count, o.Demand[4].Width = "none", -1, 0
			o.Limits.Sheets[0].Price = -1
		}, at(0, "the order's kerf is -0.000001", "the order's limit on stages is -2",
			`the order's first direction is "up", not "rip" or "crosscut"`, `the order's part A has the grain "none"`,
			"the order asks for -1 of part B", "the order's part D is 0", "the order has two parts D that differ",
			"the order's sheet 2500 x 1250 costs -0.01")},
	} {
		t.Run(test.name, func(t *testing.T) {
			order := goodOrder()
			if test.order != nil {
				test.order(&order)
			}
			expect(t, good, test.edits, order, test.want)
		})
	}
}

// expect holds a changed plan against an order, and what is found against what is wanted.
func expect(t *testing.T, text string, edits []edit, order Order, want []string) {
	t.Helper()
	for _, e := range edits {
		if !strings.Contains(text, e[0]) {
			t.Fatalf("the plan has no %q", e[0])
		}
		text = strings.Replace(text, e[0], e[1], 1)
	}
	problems, err := Plan(strings.NewReader(text), []Order{order})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, p := range problems {
		got = append(got, p.String())
	}
	if !slices.Equal(got, want) {
		t.Errorf("got\n\t%s\nwant\n\t%s", strings.Join(got, "\n\t"), strings.Join(want, "\n\t"))
	}
}

func TestOrderedTwice(t *testing.T) {
	problems, err := Plan(strings.NewReader(good), []Order{goodOrder(), goodOrder()})
	if err != nil || len(problems) != 1 || problems[0].String() != "birch-12: is ordered twice" {
		t.Error(problems, err)
	}
	material := good[strings.Index(good, `{"material"`) : len(good)-2]
	problems, err = Plan(strings.NewReader(strings.Replace(good, material, material+","+material, 1)), []Order{goodOrder()})
	if err != nil || len(problems) != 1 || problems[0].String() != "birch-12: is in the plan twice" {
		t.Error(problems, err)
	}
}

func TestUnreadable(t *testing.T) {
	for _, test := range [][2]string{
		{"", "reading the plan: unexpected end of JSON input"},
		{"{", "reading the plan: unexpected end of JSON input"},
		{`{"format": NaN}`, "reading the plan: invalid character 'N' looking for beginning of value"},
		{good + "{}", "reading the plan: invalid character '{' after top-level value"},
		{`{"format": 1}`, "reading the plan: json: cannot unmarshal number into Go struct field plan.format of type string"},
		{`{"format": "a", "format": "sawbook-plan-1"}`, `reading the plan: the key "format" is written twice in one object, at byte 16`},
		{`{"format": "a", "Format": "sawbook-plan-1"}`, `reading the plan: the key "format" is written twice in one object, at byte 16`},
		{`{"a": [{"b": 1, "c": {"b": 2}, "b": 3}]}`, `reading the plan: the key "b" is written twice in one object, at byte 31`},
		{`{"a": [{"b": "}\"", "c": {"b": [2]}, "\u0062": 3}]}`, `reading the plan: the key "b" is written twice in one object, at byte 37`},
		{strings.Repeat("[", 20000), "reading the plan: invalid character '[' exceeded max depth"},
	} {
		_, err := Plan(strings.NewReader(test[0]), nil)
		if err == nil || err.Error() != test[1] {
			t.Errorf("%.40s: %v, want %s", test[0], err, test[1])
		}
	}
}

// TestPinwheel: two parts 2x1, two 1x2 and one 1x1 fill 3x3, yet no cut runs from edge
// to edge (the usual example of a pattern that is not guillotine; no source). Whichever
// way the cuts are claimed to run, the plan is refused.
func TestPinwheel(t *testing.T) {
	const wheel = `{"format": "sawbook-plan-1", "currency": "", "materials": [{"material": "m", "kerf": 0, "sheets": 1, "least_sheets": 1,
	"cost": 0, "least_cost": 0, "patterns": [{"pattern": 1, "times": 1, "sheet": {"length": 3, "width": 3,
	"trim": {"left": 0, "right": 0, "bottom": 0, "top": 0}, "price": 0, "offcut": ""},
	"parts": [{"part": "flat", "x": 0, "y": 0, "length": 2, "width": 1}, {"part": "upright", "x": 2, "y": 0, "length": 1, "width": 2},
	{"part": "flat", "x": 1, "y": 2, "length": 2, "width": 1}, {"part": "upright", "x": 0, "y": 1, "length": 1, "width": 2},
	{"part": "middle", "x": 1, "y": 1, "length": 1, "width": 1}], "cuts": [%s], "offcuts": []}]}]}`
	order := Order{Material: "m", Demand: []Demand{
		{"flat", 2 * nm, 1 * nm, 2, "length"}, {"upright", 1 * nm, 2 * nm, 2, "length"}, {"middle", 1 * nm, 1 * nm, 1, "any"}},
		Limits: Limits{Sheets: []Stock{{Length: 3 * nm, Width: 3 * nm, Count: 1}}}}
	for _, test := range [][2]string{
		{``, "m, pattern 1: part flat, 2 x 1 at (0, 0), is not cut out: the piece that is left there is 3 x 3"},
		{`{"step": 1, "stage": 1, "x1": 0, "y1": 1, "x2": 2, "y2": 1}`,
			"m, pattern 1: step 1: the rip from (0, 1) to (2, 1) does not run from edge to edge of a piece: 3 x 3 at (0, 0) lies there"},
		{`{"step": 1, "stage": 1, "x1": 0, "y1": 1, "x2": 3, "y2": 1}`,
			"m, pattern 1: part flat, 2 x 1 at (0, 0), is not cut out: the piece that is left there is 3 x 1"},
		{`{"step": 1, "stage": 1, "x1": 2, "y1": 0, "x2": 2, "y2": 3}`,
			"m, pattern 1: part flat, 2 x 1 at (0, 0), is not cut out: the piece that is left there is 2 x 3"},
	} {
		problems, err := Plan(strings.NewReader(fmt.Sprintf(wheel, test[0])), []Order{order})
		if err != nil || len(problems) == 0 || problems[0].String() != test[1] {
			t.Errorf("%s: %v %v", test[0], problems, err)
		}
	}
}

// TestFullStrip: where a part spans the sheet no rip can come first, and the crosscut
// that comes instead counts as the second stage.
func TestFullStrip(t *testing.T) {
	const text = `{"format": "sawbook-plan-1", "materials": [{"material": "m", "kerf": 0, "sheets": 1, "least_sheets": 1,
	"cost": 0, "least_cost": 0, "patterns": [{"pattern": 1, "times": 1, "sheet": {"length": 10, "width": 5,
	"trim": {"left": 0, "right": 0, "bottom": 0, "top": 0}, "price": 0},
	"parts": [{"part": "tall", "x": 0, "y": 0, "length": 4, "width": 5}, {"part": "low", "x": 4, "y": 0, "length": 6, "width": 2},
	{"part": "low", "x": 4, "y": 2, "length": 6, "width": 2}],
	"cuts": [{"step": 1, "stage": 1, "x1": 4, "y1": 0, "x2": 4, "y2": 5}, {"step": 2, "stage": 2, "x1": 4, "y1": 2, "x2": 10, "y2": 2},
	{"step": 3, "stage": 2, "x1": 4, "y1": 4, "x2": 10, "y2": 4}]}]}]}`
	for _, test := range []struct {
		first  string
		stages int
		want   string
	}{
		{"rip", 0, ""},
		{"rip", 3, ""},
		{"rip", 2, "m, pattern 1: step 2: the rip from (4, 2) to (10, 2) is of stage 2, at most 1"},
		{"crosscut", 2, ""},
		{"", 2, ""},
	} {
		order := Order{Material: "m", Demand: []Demand{{"tall", 4 * nm, 5 * nm, 1, "any"}, {"low", 6 * nm, 2 * nm, 2, "any"}},
			Limits: Limits{First: test.first, Stages: test.stages, Sheets: []Stock{{Length: 10 * nm, Width: 5 * nm, Count: 1}}}}
		problems, err := Plan(strings.NewReader(text), []Order{order})
		got := ""
		if len(problems) > 0 {
			got = problems[0].String()
		}
		if err != nil || got != test.want {
			t.Errorf("%s %d: %v %v", test.first, test.stages, problems, err)
		}
	}
}

// TestImports: the package must share nothing with what it checks.
func TestImports(t *testing.T) {
	files, err := filepath.Glob("*.go")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	for _, name := range files {
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly)
		if err != nil {
			t.Fatal(err)
		}
		for _, spec := range f.Imports {
			path, _ := strconv.Unquote(spec.Path.Value)
			// Only the standard library's paths have no dot in their first element; this
			// module's own name has none either.
			first, _, _ := strings.Cut(path, "/")
			if strings.Contains(first, ".") || first == "sawbook" {
				t.Errorf("%s imports %s", name, path)
			}
		}
	}
}

// rows writes a plan of n parts side by side, all freed from one sheet by crosscuts
// listed from the left or from the right.
func rows(n int, fromRight bool) (string, Order) {
	var parts, cuts strings.Builder
	for i := range n {
		if i > 0 {
			parts.WriteByte(',')
		}
		fmt.Fprintf(&parts, `{"part":"a","x":%d,"y":0,"length":1,"width":1,"turned":false}`, 2*i)
		at := 2*i + 1
		if fromRight {
			at = 2*(n-1-i) + 1
		}
		if i > 0 {
			cuts.WriteByte(',')
		}
		fmt.Fprintf(&cuts, `{"step":%d,"stage":1,"x1":%d,"y1":0,"x2":%[2]d,"y2":1}`, i+1, at)
	}
	text := fmt.Sprintf(`{"format":"sawbook-plan-1","materials":[{"material":"m","kerf":1,"sheets":1,"least_sheets":1,"cost":0,"least_cost":0,
	"patterns":[{"pattern":1,"times":1,"sheet":{"length":%d,"width":1,"trim":{"left":0,"right":0,"bottom":0,"top":0},"price":0},
	"parts":[%s],"cuts":[%s],"offcuts":[]}]}]}`, 2*n, parts.String(), cuts.String())
	return text, Order{Material: "m", Demand: []Demand{{"a", nm, nm, n, "any"}},
		Limits: Limits{Kerf: nm, Sheets: []Stock{{Length: int64(2*n) * nm, Width: nm, Count: 1}}}}
}

func TestManyParts(t *testing.T) {
	for _, fromRight := range []bool{false, true} {
		text, order := rows(30_000, fromRight)
		problems, err := Plan(strings.NewReader(text), []Order{order})
		if err != nil || len(problems) > 0 {
			t.Error(problems, err)
		}
	}
}

func BenchmarkPlan(b *testing.B) {
	for _, n := range []int{100, 10_000, 1_000_000} {
		text, order := rows(n, true)
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			b.ReportAllocs()
			b.SetBytes(int64(len(text)))
			for b.Loop() {
				if problems, err := Plan(strings.NewReader(text), []Order{order}); err != nil || len(problems) > 0 {
					b.Fatal(problems, err)
				}
			}
		})
	}
}

// FuzzPlan: whatever is written, the check ends without a panic, and no digit of a
// pattern but its number can be changed unseen.
func FuzzPlan(f *testing.F) {
	f.Add(good, uint16(0))
	f.Add(strings.ReplaceAll(good, "3.2", "1e999"), uint16(700))
	f.Add(strings.ReplaceAll(good, "480", "-0.0000000"), uint16(9))
	f.Fuzz(func(t *testing.T, text string, at uint16) {
		orders := []Order{goodOrder()}
		first, err1 := Plan(strings.NewReader(text), orders)
		second, err2 := Plan(strings.NewReader(text), orders)
		if !slices.Equal(first, second) || (err1 == nil) != (err2 == nil) {
			t.Error("two readings differ")
		}
		// One digit of the good plan's patterns changed.
		start := strings.Index(good, `"patterns"`)
		i := start + int(at)%(len(good)-start)
		if d := good[i]; d >= '0' && d <= '9' && !strings.HasSuffix(good[:i], `"pattern": `) {
			changed := good[:i] + string('0'+(d-'0'+1+byte(at>>13))%10) + good[i+1:]
			problems, err := Plan(strings.NewReader(changed), orders)
			if changed != good && err == nil && len(problems) == 0 {
				t.Errorf("unseen: ...%s...", changed[max(0, i-40):min(len(changed), i+20)])
			}
		}
	})
}
