package cabinets

import (
	"fmt"
	"reflect"
	"strings"
	"sync"
	"testing"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
)

func TestExpandRefuses(t *testing.T) {
	tests := map[string]struct {
		old, new string // in plank
		choice   Choice
		want     string
	}{
		"too small": {choice: Choice{Sizes: map[string]measure.Length{"width": 99_990_000}},
			want: "0:0: plank: width 99.99 mm is less than 100 mm; choose 100 mm to 900 mm"},
		"too large": {choice: Choice{Sizes: map[string]measure.Length{"width": 901 * mm, "depth": 901 * mm}},
			want: "0:0: plank: depth 901 mm is more than 900 mm; choose 100 mm to 900 mm|0:0: plank: width 901 mm is more than 900 mm; choose 100 mm to 900 mm"},
		"unknown size": {choice: Choice{Sizes: map[string]measure.Length{"widht": 300 * mm}},
			want: `0:0: plank: unknown size "widht"; did you mean "width"?`},
		"count": {old: "roles:", new: "  boards: {default: 2, least: 1, most: 3, whole: true}\nroles:", choice: Choice{Sizes: map[string]measure.Length{"boards": 4}},
			want: "0:0: plank: boards 4 is more than 3; choose 1 to 3"},
		"no material": {old: "{carcass: all}", new: "{carcass: all, lining: none}",
			want: `0:0: plank: no material fills the role "lining"; give it a material under roles: in the shop file or the layout`},
		"empty fill": {choice: Choice{Roles: map[string]shop.Fill{"carcass": {}}},
			want: `0:0: plank: no material fills the role "carcass"; give it a material under roles: in the shop file or the layout`},
		"edge band": {old: "grain: x", new: "grain: x, edges: {-y: oak2, +y: oak-2}",
			want: `8:84: unknown edge band "oak2"; did you mean "oak-2"?`},
		"no value": {old: "z: 0", new: "z: width / (depth - 300)",
			want: "8:65: division by zero; guard it: b == 0 ? 0 : a / b"},
		"let": {old: "roles:", new: "let: {a: 1 / (width - 400)}\nroles:",
			want: "6:12: division by zero; guard it: b == 0 ? 0 : a / b"},
		"too far": {old: "z: 0", new: "z: width * 3000",
			want: "8:59: the length comes to 1200000 mm, beyond 1 km; lengths in formulas are in mm"},
		"not whole": {old: "grain: x", new: "grain: x, count: width / 300",
			want: "8:79: the value comes to 1.3333333333333333, which is no whole number; use floor, ceil or round"},
		"below 0": {old: "grain: x", new: "grain: x, count: 399 - width",
			want: "8:79: the count comes to -1; a count is 0 to 3000"},
		"too many parts": {old: "grain: x", new: "grain: x, count: 2000}\n  more: {role: carcass, x: [0, 9], y: [0, 9], z: i * 20, grain: x, count: 2000",
			want: "0:0: plank: there are more than 3000 parts; count fewer"},
		"too many holes": {old: "grain: x", new: "grain: x, count: 4, holes: [{x: 9, y: 9, diameter: 5, count: 3000}]",
			want: "0:0: plank: there are more than 10000 holes and cut-outs; count fewer"},
		"too many cut-outs": {old: "grain: x", new: "grain: x, count: 4, cutouts: [{x: [9, 19], y: [9, 19], count: 3000}]",
			want: "0:0: plank: there are more than 10000 holes and cut-outs; count fewer"},
		"too much in one place": {old: "grain: x", new: "grain: x, count: 320",
			want: "0:0: plank: there are more than 50000 places where two parts meet; count fewer"},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			text := strings.Replace(plank, test.old, test.new, 1)
			var c source.Collector
			d := ReadDefinition(source.Read(&c, "test.yaml", strings.NewReader(text)), nil)
			if err := c.Err(); err != nil {
				t.Fatal(err)
			}
			_, err := Expand(bench(), d, test.choice)
			refusals, _ := err.(Refusals)
			refusals.Report(&c, source.Node{})
			if got := strings.Join(told(&c), "|"); got != test.want {
				t.Errorf("got  %s\nwant %s", got, test.want)
			}
			if err != nil && !strings.HasPrefix(err.Error(), refusals[0].Text) {
				t.Errorf("the error reads %q", err)
			}
		})
	}
}

// TestReportPlace places what is wrong with a choice where the choice is written.
func TestReportPlace(t *testing.T) {
	var c source.Collector
	at := source.Read(&c, "layout.yaml", strings.NewReader("cabinet: plank\nwidth: 2000 mm\n"))
	_, err := Expand(bench(), read(t, plank), Choice{Sizes: map[string]measure.Length{"width": 2000 * mm}})
	err.(Refusals).Report(&c, at.Map("cabinet", "width").Get("width"))
	if got, want := strings.Join(told(&c), "|"), "2:8: plank: width 2000 mm is more than 900 mm; choose 100 mm to 900 mm"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// frame is what the rows of TestFindings stand in: two sides, 11.9 mm thick, and a board
// between them.
const frame = `cabinet: frame
sizes:
  width: {default: 400 mm, least: 100 mm, most: 900 mm}
  depth: {default: 300 mm, least: 100 mm, most: 900 mm}
  height: {default: 200 mm, least: 5 mm, most: 900 mm}
  boards: {default: 1, least: 1, most: 9, whole: true}
roles: {carcass: sides, back: back}
parts:
  left: {role: carcass, x: 0, y: [0, depth], z: [0, height], grain: z}
  right: {role: carcass, x: width - thick, y: [0, depth], z: [0, height], grain: z}
  board: {role: carcass, x: [thick, width - thick], y: [0, depth], z: 0, grain: x}
`

func TestFindings(t *testing.T) {
	const more = "\nparts:"
	tests := map[string]struct{ old, new, want string }{
		"none": {},
		"short": {"x: width - thick, y", "x: width - thick - 1, y",
			"error: : the parts run from 0 to 399 mm along x, the outside from 0 to 400 mm; let the parts end where the outside does, or declare another outside|" +
				"error: board: the part and right are in the same place, 1 mm deep; move or shorten one of them, or declare a groove for it"},
		"low": {"x: 0, y", "x: -1, y",
			"error: : the parts run from -1 to 400 mm along x, the outside from 0 to 400 mm; let the parts end where the outside does, or declare another outside"},
		"no parts": {frame[strings.Index(frame, "parts:"):], "",
			"error: : the cabinet has no parts; give it parts, or use another cabinet in it"},
		"nothing left": {"  board:", "  lip: {role: carcass, x: [9, 9], y: [0, 9], z: 0, grain: x}\n  board:",
			"error: lip: nothing is left of the part: along x it runs from 9 to 9 mm; change the sizes, or the formulas of the part"},
		"groove too shallow": {"x: 0, y: [0, depth], z: [0, height], grain: z}", "x: 0, y: [0, depth], z: [0, height], grain: z, grooves: [{for: shelf, depth: 5}]}\n  shelf: {role: back, x: [5.9, width - thick.carcass], y: [0, depth], z: 90, grain: x}",
			"error: left: shelf enters 6 mm deep, its groove is 5 mm deep; declare a deeper groove, or move shelf"},
		"groove too deep": {"x: 0, y: [0, depth], z: [0, height], grain: z}", "x: 0, y: [0, depth], z: [0, height], grain: z, grooves: [{for: shelf, depth: 12}]}\n  shelf: {role: back, x: [5.9, width - thick.carcass], y: [0, depth], z: 90, grain: x}",
			"error: left: the groove for shelf is 12 mm deep, the part 11.9 mm thick; declare a shallower groove"},
		"through": {"x: 0, y: [0, depth], z: [0, height], grain: z}", "x: 0, y: [0, depth], z: [0, height], grain: z, grooves: [{for: shelf, depth: 5}]}\n  shelf: {role: back, x: [0, width - thick.carcass], y: [0, depth], z: 90, grain: x}",
			"error: left: shelf goes right through the part where a groove is declared; end it in the groove, or declare a cut-out"},
		"inside": {"x: 0, y: [0, depth], z: [0, height], grain: z}", "x: 0, y: [0, depth], z: [0, height], grain: z, grooves: [{for: shelf, depth: 5}]}\n  shelf: {role: back, x: [3, 9], y: [0, depth], z: 90, grain: y}",
			"error: left: shelf lies inside the part and enters from neither face; a groove is entered from a face: move shelf"},
		"unused groove": {"x: 0, y: [0, depth], z: [0, height], grain: z}", "x: 0, y: [0, depth], z: [0, height], grain: z, grooves: [{for: board, depth: 5}]}",
			"warning: left: board does not reach the groove that is declared for it; lengthen it into the groove, or drop the groove"},
		"groove for none":   {"x: 0, y: [0, depth], z: [0, height], grain: z}", "x: 0, y: [0, depth], z: [0, height], grain: z, grooves: [{for: shelf, depth: 5}]}\n  shelf: {role: back, count: 0, x: [3, 9], y: [0, depth], z: 90, grain: y}", ""},
		"through a cut-out": {"x: 0, y: [0, depth], z: [0, height], grain: z}", "x: 0, y: [0, depth], z: [0, height], grain: z, cutouts: [{y: [90, 210], z: [80, 110]}]}\n  shelf: {role: back, x: [0, width - thick.carcass], y: [100, 200], z: 90, grain: x}", ""},
		"cut-out beside": {"grain: x}", "grain: x, cutouts: [{x: [0, 9], y: [-9, 0], about: notch}]}",
			"error: board: a cut-out takes nothing out of the part: notch; place it on the part, from its lesser to its greater end"},
		"hole at edge": {"grain: x}", "grain: x, holes: [{x: 14, y: 150, diameter: 5}]}",
			"error: board: a hole breaks out of the edge: its middle lies 2.1 mm from the end along x; move it inwards"},
		"hole of nothing": {"grain: x}", "grain: x, holes: [{x: 50, y: 150, diameter: 0}]}",
			"error: board: a hole has no size; give it a diameter and a depth above 0"},
		"hole too deep": {"grain: x}", "grain: x, holes: [{x: 50, y: 150, diameter: 5, depth: 12, from: +z}]}",
			"error: board: a hole is 12 mm deep, the part 11.9 mm thick; make it shallower, or leave its depth out where it goes through"},
		"no room for felt": {"  board:", "  lid: {role: carcass, assembly: lid, x: [thick, width - thick], y: [0, depth], z: thick + 1, grain: x}\n  board:",
			"warning: board: felt against lid takes 1.5 mm, the gap is 1 mm; leave a gap of felt, glue the two by giving them one assembly, or declare a clearance|" +
				"warning: left: felt against lid takes 1.5 mm, the gap is 0 mm; leave a gap of felt, glue the two by giving them one assembly, or declare a clearance|" +
				"warning: right: felt against lid takes 1.5 mm, the gap is 0 mm; leave a gap of felt, glue the two by giving them one assembly, or declare a clearance"},
		"clearance": {more, "\nclearances: [{between: lid, and: body, gap: 5 mm}, {between: lid, and: board, gap: 9 mm}]\nparts:\n  lid: {role: carcass, assembly: lid, x: [thick + 5, width - thick - 4.5], y: [0, depth], z: thick + 9, grain: x}",
			// 366.7 is cut to 366.5 where the lid begins, 376.2 to 376: the right side comes
			// 0.2 nearer, as does the right end of the lid.
			"error: lid: 4.5 mm are left to right, 5 mm are declared; change the sizes, or leave more room in the formulas: cut sizes are multiples of the saw's step"},
		// Six blocks 57.37 mm long are cut to 57.5, which is 0.8 more; the board is cut from
		// 376.2 to 376 and is 1 short.
		"open joint": {more, "\nlet: {b: (width - 2 * thick.carcass - 5 * thick.back) / 6, p: b + thick.back}\nparts:\n" +
			"  block: {role: carcass, count: 6, x: [thick + (i - 1) * p, thick + (i - 1) * p + b], y: 0, z: [50, 150], grain: x}\n" +
			"  plate: {role: back, count: 5, x: thick.carcass + i * p - thick, y: [0, 50], z: [50, 150], grain: z}",
			"warning: board: once cut in steps of 0.5 mm, the joint with right is open by 0.5 mm; choose sizes that are multiples of the step|" +
				"warning: body: once cut in steps of 0.5 mm, the assembly is 400.8 mm along x, designed 400 mm; choose sizes that are multiples of the step|" +
				"warning: left: once cut in steps of 0.5 mm, the joint with board is open by 0.5 mm; choose sizes that are multiples of the step"},
		"check": {more, "\nchecks: [{that: width > 400, say: narrow, do: widen it, level: note}, {that: thick.carcass > 12 or felt > 2, say: thin}, {that: step == 0.5, say: no}]\nparts:",
			"warning: : thin; |note: : narrow; widen it"},
		"no hardware": {more, "\nhardware: {stay: {kind: stay}}\nparts:",
			`error: stay: the shop has no hardware of the kind "stay"; add it to the shop file, with its kind`},
		"load": {more, "\nhardware: {slide: {kind: slide, load: 120.5}}\nparts:",
			"error: slide: no slide carries 120.5 kg: the strongest carries 100 kg; put less in it, or add a stronger one to the shop file"},
		"fits": {more, "\nhardware: {slide: {kind: slide, fits: depth - 100, load: 30}}\nparts:",
			"error: slide: no slide that carries 30 kg fits into 200 mm: the shortest is 250 mm; make room for it, or add a shorter one to the shop file"},
		"no lengths": {more, "\nhardware: {latch: {kind: latch}}\nlet: {a: latch.length}\nparts:",
			"error: latch: Push latch comes in no lengths, but formulas ask for its measures; give it lengths in the shop file"},
		"no lengths that fit": {more, "\nhardware: {latch: {kind: latch, fits: 30}}\nparts:",
			"error: latch: Push latch comes in no lengths, but must fit into one; give it lengths in the shop file"},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			text := strings.Replace(frame, test.old, test.new, 1)
			solid := expand(t, bench(), read(t, text), nil)
			var said []string
			for _, f := range solid.Findings {
				said = append(said, fmt.Sprintf("%s: %s: %s; %s", f.Level, f.Where, f.Text, f.Do))
			}
			if got := strings.Join(said, "|"); got != test.want {
				t.Errorf("got  %s\nwant %s\nin\n%s", got, test.want, text)
			}
		})
	}
}

// TestStepsAddUp stacks blocks whose heights all lose or gain by being cut in steps of
// 0.5 mm, until the stack is off by more than a step.
func TestStepsAddUp(t *testing.T) {
	const stack = `cabinet: stack
sizes:
  width: {default: 400 mm, least: 100 mm, most: 900 mm}
  depth: {default: 300 mm, least: 100 mm, most: 900 mm}
  high: {default: 20 mm, least: 5 mm, most: 90 mm}
outside: {x: width, y: depth, z: 7 * high + 8 * thick.carcass + felt + thick.lid}
roles: {carcass: boards, lid: lid}
let: {pitch: high + thick.carcass, top: 7 * pitch + thick.carcass}
parts:
  board: {role: carcass, count: 8, x: [0, width], y: [0, depth], z: (i - 1) * pitch, grain: x}
  block: {role: carcass, count: 7, x: 100, y: [0, 100], z: [thick + (i - 1) * pitch, i * pitch], grain: y}
  post: {role: carcass, x: 100, y: [200, 300], z: [thick, pitch], grain: y}
  lid: {role: lid, assembly: lid, x: [0, width], y: [0, depth], z: top + felt, grain: x}
`
	d := read(t, stack)
	tests := []struct {
		high measure.Length // of a block
		want string
	}{
		{20 * mm, ""},
		{20_070_000, ""}, // 7 x 0.07 = 0.49 lost
		{20_080_000, "warning: body: once cut in steps of 0.5 mm, the assembly is 235.2 mm along z, designed 235.76 mm"},
		// 7 x 0.23 = 1.61 gained, more than the 1.5 mm of felt
		{20_270_000, "error: board-8: once cut in steps of 0.5 mm, the part and lid are in the same place, 0.11 mm deep|" +
			"warning: body: once cut in steps of 0.5 mm, the assembly is 238.7 mm along z, designed 237.09 mm"},
	}
	for _, test := range tests {
		solid := expand(t, bench(), d, map[string]measure.Length{"high": test.high})
		var said []string
		for _, f := range solid.Findings {
			said = append(said, fmt.Sprintf("%s: %s: %s", f.Level, f.Where, f.Text))
		}
		if got := strings.Join(said, "|"); got != test.want {
			t.Errorf("%s high: got %s\nwant %s", test.high.Exact(), got, test.want)
		}
	}
}

// TestClearances stands two boxes 100 wide, cut 99.8, between the sides of a frame, 9 mm from
// the left side, 3.2 from the right, and 1 from one another. The clearance is between
// boxes and sides only, and the least that is left is told.
func TestClearances(t *testing.T) {
	const frame = `cabinet: frame
sizes:
  width: {default: 236.8 mm, least: 100 mm, most: 900 mm}
  depth: {default: 300 mm, least: 100 mm, most: 900 mm}
  height: {default: 200 mm, least: 5 mm, most: 900 mm}
roles: {carcass: sides, drawer: boxes, bottom: bottoms}
parts:
  left: {role: carcass, x: 0, y: [0, depth], z: [0, height], grain: z}
  right: {role: carcass, x: width - thick, y: [0, depth], z: [0, height], grain: z}
  board: {role: carcass, x: [thick, width - thick], y: [0, depth], z: 0, grain: x}
uses:
  box: {cabinet: box, count: 2, at: {x: thick.carcass + 9 + (i - 1) * 101, y: 10, z: 50}, sizes: {width: 100, depth: 250, height: 100}}
clearances:
  - {between: box.body, and: body, gap: GAP}
`
	const felt = "warning: box-1.right: felt against box-2.left takes 1.5 mm, the gap is 1 mm"
	for gap, want := range map[string]string{
		"5 mm":                    "error: box-2.right: 3.2 mm are left to right, 5 mm are declared|" + felt,
		"10":                      "error: box-2.right: 3.2 mm are left to right, 10 mm are declared|" + felt,
		"3 mm":                    felt,
		"thick.bottom / 2":        felt,
		"thick.bottom / 2 + 0.01": "error: box-2.right: 3.2 mm are left to right, 3.21 mm are declared|" + felt,
	} {
		d := read(t, strings.Replace(frame, "GAP", gap, 1), read(t, box))
		var said []string
		for _, f := range expand(t, bench(), d, nil).Findings {
			said = append(said, fmt.Sprintf("%s: %s: %s", f.Level, f.Where, f.Text))
		}
		if got := strings.Join(said, "|"); got != want {
			t.Errorf("a gap of %s: got %s\nwant %s", gap, got, want)
		}
	}
}

// TestExpandTogether expands a cabinet several times at once: every time it comes out the
// same.
func TestExpandTogether(t *testing.T) {
	d := read(t, carcass, read(t, box))
	s := bench()
	solids := make([]*Solid, 8)
	var together sync.WaitGroup
	for i := range solids {
		together.Go(func() { solids[i], _ = Expand(s, d, Choice{}) })
	}
	together.Wait()
	for _, solid := range solids[1:] {
		if !reflect.DeepEqual(solid, solids[0]) {
			t.Fatalf("got\n%+v\nand\n%+v", solid, solids[0])
		}
	}
}
