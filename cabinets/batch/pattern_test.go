package batch

import (
	"fmt"
	"strings"
	"testing"

	"sawbook/cabinets"
	"sawbook/cabinets/shop"
	"sawbook/nest"
)

// TestPatternReadsTheTreeAsTheShopCutsIt reads one sheet of 1000 x 600 with a trim of
// 10 and a kerf of 3: ripped into two strips, the first crosscut into two parts, one of
// which is ripped to size; what is left of the second strip is thinner than a kerf.
func TestPatternReadsTheTreeAsTheShopCutsIt(t *testing.T) {
	const unit = 1_000_000 // mm
	piece := func(x, y, l, w int64, part int, cut nest.Direction, children ...nest.Piece) nest.Piece {
		return nest.Piece{X: x * unit, Y: y * unit, Length: l * unit, Width: w * unit, Part: part, Cut: cut, Children: children}
	}
	root := piece(10, 10, 980, 580, -1, nest.Rip,
		piece(10, 10, 980, 300, -1, nest.Crosscut,
			piece(10, 10, 500, 300, 0, nest.NoCut),
			piece(513, 10, 400, 300, -1, nest.Rip,
				piece(513, 10, 400, 200, 1, nest.NoCut),
				piece(513, 213, 400, 97, -1, nest.NoCut)),
			piece(916, 10, 74, 300, -1, nest.NoCut)),
		piece(10, 313, 980, 275, 2, nest.NoCut))
	m := Material{Letter: "B", Of: &shop.Material{ID: "birch"}, Saw: shop.Saw{Kerf: 3 * unit, Left: 10 * unit, Right: 10 * unit, Bottom: 10 * unit, Top: 10 * unit, KeepLong: 300 * unit, KeepShort: 90 * unit},
		Stock:  []shop.Sheet{{Length: 1000 * unit, Width: 600 * unit, Price: 5000, Stock: -1}},
		Pieces: []*cabinets.Piece{{ID: "B-001"}, {ID: "B-002"}, {ID: "B-003"}},
		Plan:   &nest.Plan{Patterns: []nest.Pattern{{Times: 2, Root: root}}}}
	p := m.patterns()[0]
	var got []string
	for _, c := range p.Cuts {
		got = append(got, fmt.Sprintf("%d stage %d rip %v at %s frees %s of %s x %s, remains %s x %s", c.Step, c.Stage, c.Rip, c.Setting.Exact(),
			c.freed(), c.From.Length.Exact(), c.From.Width.Exact(), c.Remains.Length.Exact(), c.Remains.Width.Exact()))
	}
	want := `1 stage 1 rip true at 300 frees 980 x 300 of 980 x 580, remains 980 x 277
2 stage 1 rip true at 275 frees B-003 of 980 x 277, remains 0 x 0
3 stage 2 rip false at 500 frees B-001 of 980 x 300, remains 477 x 300
4 stage 2 rip false at 400 frees 400 x 300 of 477 x 300, remains 74 x 300
5 stage 3 rip true at 200 frees B-002 of 400 x 300, remains 400 x 97`
	if text := strings.Join(got, "\n"); text != want {
		t.Errorf("cuts\n%s\nwant\n%s", text, want)
	}
	got = nil
	for _, o := range p.Offcuts {
		got = append(got, fmt.Sprintf("%s x %s %v %s", o.Length.Exact(), o.Width.Exact(), o.Keep, o.Label))
	}
	if text, want := strings.Join(got, "\n"), "400 x 97 true B1-1\n74 x 300 false "; text != want {
		t.Errorf("offcuts\n%s\nwant\n%s", text, want)
	}
}
