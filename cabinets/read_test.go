package cabinets

import (
	"strings"
	"testing"
)

// plank is the least definition; the tests put a line in its place to break it.
const plank = `cabinet: plank
sizes:
  width: {default: 400 mm, least: 100 mm, most: 900 mm}
  depth: {default: 300 mm, least: 100 mm, most: 900 mm}
  height: {default: 11.9 mm, least: 5 mm, most: 40 mm}
roles: {carcass: all}
parts:
  board: {role: carcass, x: [0, width], y: [0, depth], z: 0, grain: x}
`

// TestReadDefinitionRefuses has a row for every fault of a definition that is this
// package's own.
func TestReadDefinitionRefuses(t *testing.T) {
	box := read(t, strings.Replace(plank, "cabinet: plank", "cabinet: box", 1))
	rack := read(t, strings.Replace(plank, "cabinet: plank", "cabinet: rack", 1)+
		"uses:\n  box: {cabinet: box, count: 2, at: {x: 0, y: 0, z: i * 50}}\n", box)
	tests := map[string]struct{ old, new, want string }{
		"key":               {"roles:", "rolls: {}\nroles:", `6:1: unknown key "rolls"; did you mean "roles"?`},
		"no name":           {"cabinet: plank\n", "", `1:1: the key "cabinet" is missing; add a line cabinet: ...`},
		"size key":          {"most: 40 mm", "mast: 40 mm", `5:11: the key "most" is missing; add a line most: ...|5:43: unknown key "mast"; did you mean "most"?`},
		"size range":        {"least: 5 mm", "least: 50 mm", "5:37: least is 50 mm, more than most, which is 40 mm; swap them"},
		"size default":      {"default: 11.9 mm", "default: 3 mm", "5:21: the default 3 mm lies outside 5 mm to 40 mm; widen the range, or choose another default"},
		"no unit":           {"least: 5 mm", "least: 5", `5:37: "5" has no unit; write 5 mm or 5 in: a cabinet is for shops of either unit`},
		"count":             {"roles:", "  drawers: {default: 2, least: 1, most: 1001, whole: true}\nroles:", "6:41: 1001 is more than 1000; write 0 to 1000"},
		"taken size":        {"roles:", "let: {width: 3}\nroles:", "6:7: the name width is taken; names of sizes, let and hardware differ, and so do those of parts and uses"},
		"folded":            {"roles:", "let: {a-b: 3, a_b: 4}\nroles:", "6:15: a-b and a_b are one name; in formulas a hyphen is written as an underscore"},
		"reserved":          {"roles:", "let: {step: 3}\nroles:", "6:7: step has a meaning of its own in formulas; choose another name"},
		"reserved slot":     {"roles:", "hardware: {felt: {kind: latch}}\nroles:", "6:12: felt has a meaning of its own in formulas; choose another name"},
		"taken role":        {"{carcass: all}", "{carcass: all, car-cass: a, car_cass: b}", "6:36: car-cass and car_cass are one role; in formulas a hyphen is written as an underscore"},
		"formula":           {"z: 0", "z: widht", `8:59: unknown name "widht"; did you mean "width"?`},
		"formula offset":    {"z: 0", "z: width - hight", `8:67: unknown name "hight"; did you mean "height"?`},
		"thick in let":      {"roles:", "let: {a: thick}\nroles:", `6:10: unknown name "thick"; known here: a, band.carcass, depth, felt, height, joint.carcass, kerf, step, thick.carcass, width`},
		"i in one":          {"z: 0", "z: i", `8:59: unknown name "i"; known here: band.carcass, depth, felt, height, joint.carcass, kerf, step, thick, thick.carcass, width`},
		"cycle":             {"roles:", "let: {a: b + 1, b: c, c: a}\nroles:", "6:10: these need one another: a > b > c > a; one of them must do without the others"},
		"cycle of one":      {"roles:", "let: {a: a}\nroles:", "6:10: these need one another: a > a; one of them must do without the others"},
		"cycle of hardware": {"roles:", "let: {a: slide.length}\nhardware: {slide: {kind: slide, fits: a}}\nroles:", "6:10: these need one another: a > slide > a; one of them must do without the others"},
		"no outside":        {"  depth: {default: 300 mm, least: 100 mm, most: 900 mm}\n", "  deep: {default: 300 mm, least: 100 mm, most: 900 mm}\n", `1:1: the outside is not declared: there is no depth; declare width, depth and height, or outside: {x: ..., y: ..., z: ...}|8:48: unknown name "depth"; known here: band.carcass, deep, felt, height, joint.carcass, kerf, step, thick, thick.carcass, width`},
		"half an outside":   {"roles:", "outside: {x: width, y: depth}\nroles:", `6:10: the key "z" is missing; add a line z: ...`},
		"role":              {"role: carcass", "role: carcas", `8:17: unknown role "carcas"; did you mean "carcass"?`},
		"no thin axis":      {"z: 0", "z: [0, height]", "8:3: board is thin along 0 axes, not one; write the axis of the thickness as one formula, the other two as [from, to]"},
		"two thin axes":     {"y: [0, depth]", "y: 0", "8:3: board is thin along 2 axes, not one; write the axis of the thickness as one formula, the other two as [from, to]"},
		"no axis":           {"z: 0, ", "", `8:10: the key "z" is missing; add a line z: ...`},
		"extent":            {"[0, depth]", "[0, 1, depth]", "8:44: an extent has two ends, not 3; write [from, to]"},
		"grain":             {"grain: x", "grain: z", `8:69: "z" is not known here; known here: any, x, y`},
		"no grain":          {", grain: x", "", `8:10: the key "grain" is missing; add a line grain: ...`},
		"good":              {"grain: x", "grain: x, good: +x", `8:78: "+x" is not known here; known here: -z, +z`},
		"edge":              {"grain: x", "grain: x, edges: {+z: oak}", `8:80: unknown key "+z"; known here: -x, +x, -y, +y`},
		"exposed":           {"grain: x", "grain: x, exposed: [+x]", `8:82: "+x" is not known here; known here: -z, +z`},
		"exposed, no list":  {"grain: x", "grain: x, exposed: +z", `8:81: a single value where a list is needed; begin each item with - on a line of its own`},
		"void-free":         {"grain: x", "grain: x, void-free: [+z]", `8:84: "+z" is not known here; known here: -x, +x, -y, +y`},
		"groove":            {"grain: x", "grain: x, grooves: [{for: bord, depth: 3}]", `8:88: unknown part "bord"; nothing of the kind is known here`},
		"groove for itself": {"grain: x", "grain: x, grooves: [{for: board, depth: 3}]", `8:88: unknown part "board"; nothing of the kind is known here`},
		"groove's depth":    {"grain: x", "grain: x, grooves: [{for: lip}]}\n  lip: {role: carcass, x: [0, 9], y: [0, 9], z: 0, grain: x", `8:82: the key "depth" is missing; add a line depth: ...`},
		"cut-out":           {"grain: x", "grain: x, cutouts: [{x: [0, 1], z: [0, 1]}]", `8:82: the key "y" is missing; add a line y: ...|8:97: z is the axis of the thickness; give the place on the face, along the other two axes`},
		"hole from":         {"grain: x", "grain: x, holes: [{x: 9, y: 9, diameter: 5, depth: 3, from: x}]", `8:122: "x" is not known here; known here: -z, +z`},
		"hole from nowhere": {"grain: x", "grain: x, holes: [{x: 9, y: 9, diameter: 5, depth: 3}]", `8:80: the key "from" is missing; add a line from: ...`},
		"hole's j":          {"grain: x", "grain: x, holes: [{x: j, y: 9, diameter: 5}]", `8:84: unknown name "j"; known here: band.carcass, depth, felt, height, joint.carcass, kerf, step, thick, thick.carcass, width`},
		"unknown use":       {"grain: x", "grain: x, assembly: drawer.body", `8:82: unknown use "drawer"; nothing of the kind is known here`},
		"unknown assembly":  {"parts:", "uses: {box: {cabinet: box, at: {x: 0, y: 0, z: 0}}}\nparts:\n  lid: {role: carcass, assembly: box.lid, x: [0, 1], y: [0, 1], z: 0, grain: x}", `9:34: unknown assembly "box.lid"; known here: box.body`},
		"counted use":       {"parts:", "uses: {box: {cabinet: box, count: 2, at: {x: 0, y: 0, z: 0}}}\nparts:\n  lid: {role: carcass, assembly: box.body, x: [0, 1], y: [0, 1], z: 0, grain: x}", "9:34: box is counted, this part is not; count the part too: its counter then says which one it belongs to"},
		"counted within":    {"parts:", "uses: {rack: {cabinet: rack, at: {x: 0, y: 0, z: 0}}}\nparts:\n  lid: {role: carcass, assembly: rack.box.body, x: [0, 1], y: [0, 1], z: 0, grain: x}", "9:34: box is counted within rack; a part can be glued only to what is there once in each rack"},
		"no such cabinet":   {"parts:", "uses: {box: {cabinet: bax, at: {x: 0, y: 0, z: 0}}}\nparts:", "7:23: no such cabinet; "},
		"inner size":        {"parts:", "uses: {box: {cabinet: box, sizes: {width: i}, at: {x: 0, y: 0, z: 0}}}\nparts:", `7:43: unknown name "i"; known here: band.carcass, depth, felt, height, joint.carcass, kerf, step, thick.carcass, width`},
		"inner size's name": {"parts:", "uses: {box: {cabinet: box, sizes: {with: 3}, at: {x: 0, y: 0, z: 0}}}\nparts:", `7:36: unknown size "with"; did you mean "width"?`},
		"use at":            {"parts:", "uses: {box: {cabinet: box, at: {x: 0, y: 0}}}\nparts:", `7:32: the key "z" is missing; add a line z: ...`},
		"inner role":        {"parts:", "uses: {box: {cabinet: box, roles: {carcas: carcass}, at: {x: 0, y: 0, z: 0}}}\nparts:", `7:36: unknown role "carcas"; did you mean "carcass"?`},
		"outer role":        {"parts:", "uses: {box: {cabinet: box, roles: {carcass: side}, at: {x: 0, y: 0, z: 0}}}\nparts:", `7:45: unknown role "side"; known here: carcass`},
		"role unfilled":     {"{carcass: all}\nparts:", "{wood: all}\nuses: {box: {cabinet: box, at: {x: 0, y: 0, z: 0}}}\nparts:", `7:8: nothing fills the role carcass of box; give it one of this cabinet's roles under roles:, or declare a role carcass|9:17: unknown role "carcass"; known here: wood`},
		"use and part":      {"parts:", "uses: {board: {cabinet: box, at: {x: 0, y: 0, z: 0}}}\nparts:", "7:8: the name board is taken; names of sizes, let and hardware differ, and so do those of parts and uses"},
		"counted name":      {"grain: x", "grain: x, count: 2}\n  board-2: {role: carcass, x: [0, 1], y: [0, 1], z: 0, grain: x", "9:3: board-2 is also the name of one of board; parts that are counted get -1, -2, ... after their name: choose another name"},
		"clearance":         {"parts:", "clearances: [{between: body, and: drawer, gap: 2}]\nparts:", `7:35: unknown assembly or part "drawer"; known here: body, board`},
		"clearance of one":  {"parts:", "clearances: [{between: body, and: body, gap: 2}]\nparts:", "7:35: there is only one body; a clearance lies between two"},
		"clearance's gap":   {"parts:", "clearances: [{between: body, and: body, gap: 2 in in}]\nparts:", "7:35: there is only one body; a clearance lies between two|7:48: a unit in a formula; lengths in formulas are in mm: 1 in is written 25.4"},
		"kind":              {"parts:", "hardware: {slide: {count: 2}}\nparts:", `7:19: the key "kind" is missing; add a line kind: ...`},
		"check":             {"parts:", "checks: [{that: width, say: wide}]\nparts:", "7:17: a number where a truth is needed; compare, for example width > 300"},
		"check's level":     {"parts:", "checks: [{that: width > 3, say: wide, level: fatal}]\nparts:", `7:46: "fatal" is not known here; known here: error, warning, note`},
		"check's say":       {"parts:", "checks: [{that: width > 3}]\nparts:", `7:10: the key "say" is missing; add a line say: ...`},
		"number, not truth": {"z: 0", "z: width > 3", "8:59: a truth where a number is needed; choose with cond ? a : b"},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			text := strings.Replace(plank, test.old, test.new, 1)
			if text == plank {
				t.Fatal("nothing was replaced")
			}
			d, faults := readFaults(text, box, rack)
			Expand(bench(), d, Choice{}) // what is left of it can still be expanded
			if got := strings.Join(faults, "|"); got != test.want {
				t.Errorf("got  %s\nwant %s\nin\n%s", got, test.want, text)
			}
		})
	}
}
