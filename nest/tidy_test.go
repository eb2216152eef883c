package nest

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
)

// tidied is Tidy with its promises held: the plan can be cut and delivers what the one
// given does on the same sheets, its offcuts are worth no less, and, by the prices of r,
// it is no dearer than the one given and than the one tidied without prices.
func tidied(t testing.TB, p Problem, plan *Plan, r Rules) *Plan {
	t.Helper()
	free := r
	free.Setting, free.Cut = 0, 0
	without, with := Tidy(&p, plan, free), Tidy(&p, plan, r)
	for _, got := range []*Plan{without, with} {
		replay(t, p, got)
		if got.Cost != plan.Cost || got.Sheets != plan.Sheets {
			t.Errorf("%d sheets for %d, before %d for %d", got.Sheets, got.Cost, plan.Sheets, plan.Cost)
		}
		if a, b := r.total(got), r.total(plan); a > b && got == with {
			t.Errorf("by its prices the plan comes to %d, before %d", a, b)
		}
	}
	if without.Kept < plan.Kept {
		t.Errorf("offcuts are worth %d, before %d", without.Kept, plan.Kept)
	}
	if a, b := r.total(with), r.total(without); a > b {
		t.Errorf("by its prices the plan comes to %d, without prices to %d", a, b)
	}
	return with
}

func TestTidyKeepsItsPromises(t *testing.T) {
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 7))
		p := Problem{Kerf: []int64{0, 3, 32}[r.IntN(3)], Stages: r.IntN(5), First: Direction(r.IntN(3)), Keep: Keep{Long: 300, Short: 100, ValueNum: 600, ValueArea: 100_000}}
		p.Sheets = []Sheet{
			{Length: 2500, Width: 1250, Left: 10, Right: 12, Bottom: 14, Top: 16, Price: 7400, Stock: -1},
			{Length: 1525, Width: 1525, GrainAcross: true, Price: 5250, Stock: 2},
		}
		if r.IntN(2) == 0 {
			p.LongestRip, p.LongestCrosscut = 2480, 1230
		}
		for range 1 + r.IntN(6) {
			p.Parts = append(p.Parts, Part{Length: r.Int64N(1160) + 40, Width: []int64{80, 123, 300, 455, 600}[r.IntN(5)], Count: 1 + r.IntN(9), Grain: Grain(r.IntN(3))})
		}
		p.Parts = append(p.Parts, p.Parts[0]) // another part of equal size
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			tidied(t, p, solve(t, p, Options{Effort: Quick}), Rules{Step: 5, Setting: r.Int64N(100), Cut: r.Int64N(20), Stack: r.IntN(3)})
		})
	}
}

// leafPiece and cutPiece build trees by hand.
func leafPiece(x, y, l, w int64, part int) Piece {
	return Piece{X: x, Y: y, Length: l, Width: w, Part: part}
}

func cutPiece(p Piece, d Direction, children ...Piece) Piece {
	p.Part, p.Cut, p.Children = -1, d, children
	return p
}

// cutsOf prints the settings of a plan's cuts in their order.
func cutsOf(plan *Plan) (cuts []string) {
	for i := range plan.Patterns {
		plan.Patterns[i].Root.eachCut(func(s setting) { cuts = append(cuts, fmt.Sprint("?rx"[s.cut:s.cut+1], s.size)) })
	}
	return cuts
}

// TestTidyJoinsOffcuts: two strips of 300 and 200 with a free piece between them and one
// above; ordered and joined, 1000 x 480 remains instead of 200 and 280.
func TestTidyJoinsOffcuts(t *testing.T) {
	p := Problem{Parts: []Part{{Length: 1000, Width: 200, Count: 1, Grain: Along}, {Length: 1000, Width: 300, Count: 1, Grain: Along}},
		Sheets: []Sheet{{Length: 1000, Width: 1010, Stock: -1}}, Kerf: 10}
	root := cutPiece(leafPiece(0, 0, 1000, 1010, -1), Rip,
		leafPiece(0, 0, 1000, 200, 0), leafPiece(0, 210, 1000, 200, -1), leafPiece(0, 420, 1000, 300, 1), leafPiece(0, 730, 1000, 280, -1))
	plan := &Plan{Patterns: []Pattern{{Times: 1, Root: root}}, Sheets: 1}
	got := tidied(t, p, plan, Rules{})
	if cuts := cutsOf(got); !slices.Equal(cuts, []string{"r300", "r200"}) {
		t.Errorf("cuts %v", cuts)
	}
	last := got.Patterns[0].Root.Children[2]
	if last.Part != -1 || last.Y != 520 || last.Width != 490 {
		t.Errorf("the remainder is %+v", last)
	}
}

// TestTidyRoundsStrips: a strip of 345 + 10 + 343 = 698 is made 700, the fence's step being
// 5, and what remains is still worth keeping; one of 402 that is a part's width stays.
func TestTidyRoundsStrips(t *testing.T) {
	p := Problem{Parts: []Part{{Length: 900, Width: 345, Count: 1, Grain: Along}, {Length: 900, Width: 343, Count: 1, Grain: Along}, {Length: 1000, Width: 402, Count: 1, Grain: Along}},
		Sheets: []Sheet{{Length: 1000, Width: 1200, Stock: -1}}, Kerf: 10, Keep: Keep{Long: 500, Short: 50, ValueNum: 1, ValueArea: 1000}}
	strip := cutPiece(leafPiece(0, 412, 1000, 698, -1), Crosscut,
		cutPiece(leafPiece(0, 412, 900, 698, -1), Rip, leafPiece(0, 412, 900, 345, 0), leafPiece(0, 767, 900, 343, 1)), leafPiece(910, 412, 90, 698, -1))
	root := cutPiece(leafPiece(0, 0, 1000, 1200, -1), Rip, leafPiece(0, 0, 1000, 402, 2), strip, leafPiece(0, 1120, 1000, 80, -1))
	plan := &Plan{Patterns: []Pattern{{Times: 1, Root: root}}, Sheets: 1, Kept: 78}
	got := tidied(t, p, plan, Rules{Step: 5})
	if cuts := cutsOf(got); !slices.Contains(cuts, "r700") || slices.Contains(cuts, "r698") || !slices.Contains(cuts, "r402") {
		t.Errorf("cuts %v", cuts)
	}
}

// TestTidyMakesPatternsRepeat: two sheets with equal sides called A and B, which lie on
// them as A B and B A, are one pattern cut twice; so are A A and B B.
func TestTidyMakesPatternsRepeat(t *testing.T) {
	p := Problem{Parts: []Part{{Length: 1000, Width: 200, Count: 2, Grain: Along}, {Length: 1000, Width: 200, Count: 2, Grain: Along}},
		Sheets: []Sheet{{Length: 1000, Width: 420, Stock: -1}}, Kerf: 10}
	sheet := func(first, second int) Pattern {
		return Pattern{Times: 1, Root: cutPiece(leafPiece(0, 0, 1000, 420, -1), Rip, leafPiece(0, 0, 1000, 200, first), leafPiece(0, 210, 1000, 200, second))}
	}
	for _, parts := range [][4]int{{0, 1, 1, 0}, {0, 0, 1, 1}} {
		plan := &Plan{Patterns: []Pattern{sheet(parts[0], parts[1]), sheet(parts[2], parts[3])}, Sheets: 2}
		if got := tidied(t, p, plan, Rules{}); len(got.Patterns) != 1 || got.Patterns[0].Times != 2 {
			t.Errorf("%v: %d patterns", parts, len(got.Patterns))
		}
	}
}

// TestTidyTakesFewerCuts: three rows of four equal parts take 3 rips and 12 crosscuts;
// four columns of three take 4 crosscuts and 12 rips; so rows, unless the columns come
// given.
func TestTidyTakesFewerCuts(t *testing.T) {
	p := Problem{Parts: []Part{{Length: 200, Width: 100, Count: 12, Grain: Along}}, Sheets: []Sheet{{Length: 900, Width: 400, Stock: -1}}, Kerf: 10}
	root := cutPiece(leafPiece(0, 0, 900, 400, -1), Crosscut)
	for x := range int64(4) {
		column := cutPiece(leafPiece(210*x, 0, 200, 400, -1), Rip)
		for y := range int64(3) {
			column.Children = append(column.Children, leafPiece(210*x, 110*y, 200, 100, 0))
		}
		column.Children = append(column.Children, leafPiece(210*x, 330, 200, 70, -1))
		root.Children = append(root.Children, column)
	}
	root.Children = append(root.Children, leafPiece(840, 0, 60, 400, -1))
	plan := &Plan{Patterns: []Pattern{{Times: 1, Root: root}}, Sheets: 1}
	if h := (Rules{}).Handling(plan); h != (Handling{Patterns: 1, Settings: 2, Cuts: 16, Stages: 2}) {
		t.Errorf("given: %+v", h)
	}
	if h := (Rules{}).Handling(tidied(t, p, plan, Rules{})); h.Cuts != 15 {
		t.Errorf("tidied: %+v", h)
	}
}
