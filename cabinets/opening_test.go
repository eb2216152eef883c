package cabinets

import (
	"strings"
	"testing"
)

// TestOpens: a crate of 400 x 300 x 200 mm whose board, 376 x 300 x 12 mm at its floor, comes out, or is hinged.
func TestOpens(t *testing.T) {
	shop := interiorShop + "hardware: {latch: {kind: latch, price: 4}}\n"
	for _, c := range []struct{ name, is, cabinets, want string }{
		{"a drawer with room", "drawer", "a: {cabinet: crate, at: [0, 300, 0]}", ""},
		{"a drawer before the wall", "drawer", "a: {cabinet: crate, at: [0, 180, 0]}",
			"error Wren: a: drawer: the drawer opens 180 mm of 300 mm: the end of the inside stands in its way"},
		{"turned, a drawer before the other wall", "drawer", "a: {cabinet: crate, at: [0, 1200, 0], turn: 180}",
			"error Wren: a: drawer: the drawer opens 100 mm of 300 mm: the end of the inside stands in its way"},
		{"turned by a quarter, before a neighbour", "drawer", "a: {cabinet: crate, at: [500, 300, 0], turn: 90}\n  b: {cabinet: crate, at: [1050, 300, 0]}",
			"error Wren: a: drawer: the drawer opens 250 mm of 300 mm: b stands in its way"},
		{"two that face one another", "drawer", "a: {cabinet: crate, at: [0, 900, 0]}\n  b: {cabinet: crate, at: [0, 450, 0], turn: 180}",
			"error Wren: a: drawer: the drawer opens 150 mm of 300 mm: b stands in its way\nerror Wren: b: drawer: the drawer opens 150 mm of 300 mm: a stands in its way"},
		{"a lid, which opens upwards, below a cabinet", "lid", "a: {cabinet: crate, at: [0, 300, 0]}\n  b: {cabinet: crate, at: [0, 300, 250]}",
			"error Wren: a: drawer: the lid opens 238 mm of 300 mm: b stands in its way"},
		{"a panel, which lifts out", "panel", "a: {cabinet: crate, at: [0, 0, 0]}", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := strings.Replace(crate, "board: {role: carcass,", "board: {role: carcass, assembly: drawer,", 1)
			text = strings.Replace(text, "checks:", "hardware: {latch: {kind: latch, count: 1}}\nmoves: [{assembly: drawer, is: "+c.is+", latch: latch}]\nchecks:", 1)
			in, faults := wrenWith(t, shop, text, "layout: Wren\ninside: {length: 3 m, width: 1600 mm, height: 1800 mm}\ncabinets:\n  "+c.cabinets+"\n")
			if len(faults) > 0 {
				t.Fatal(faults)
			}
			var got []string
			for _, f := range in.Findings {
				if strings.Contains(f.Text, "opens") {
					got = append(got, string(f.Level)+" "+f.Where+": "+f.Text)
				}
			}
			if strings.Join(got, "\n") != c.want {
				t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), c.want)
			}
		})
	}
}
