package nest

import (
	"context"
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// drawProblem draws a problem whose parts repeat, some of them under two names.
func drawProblem(t *rapid.T) Problem {
	p := Problem{
		Kerf:   rapid.SampledFrom([]int64{0, 3, 32}).Draw(t, "kerf"),
		Stages: rapid.IntRange(0, 4).Draw(t, "stages"),
		First:  Direction(rapid.IntRange(0, 2).Draw(t, "first")),
		Keep:   Keep{Long: 300, Short: 100, ValueNum: rapid.Int64Range(0, 600).Draw(t, "value"), ValueArea: 100_000},
		Sheets: []Sheet{
			{Length: 2500, Width: 1250, Left: 10, Right: 12, Bottom: 14, Top: 16, Price: 7400, Stock: -1},
			{Length: 1525, Width: 1525, GrainAcross: true, Price: 5250, Stock: 2},
		},
	}
	if rapid.Bool().Draw(t, "short saw") {
		p.LongestRip, p.LongestCrosscut = 2480, 1230
	}
	for range rapid.IntRange(1, 4).Draw(t, "kinds") {
		p.Parts = append(p.Parts, Part{
			Length: rapid.Int64Range(40, 1200).Draw(t, "length"),
			Width:  rapid.SampledFrom([]int64{80, 123, 300, 455, 600}).Draw(t, "width"),
			Count:  rapid.IntRange(1, 9).Draw(t, "count"),
			Grain:  Grain(rapid.IntRange(0, 2).Draw(t, "grain")),
		})
	}
	p.Parts = append(p.Parts, p.Parts[0])
	return p
}

// TestTidyIsNeverWorse tidies the plans of two materials that share settings: they can be
// cut, deliver the same from the same sheets, and by no measure are they worse; with
// prices, they come to no more than without.
func TestTidyIsNeverWorse(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		var work []Planned
		for range 2 {
			p := drawProblem(r)
			plan, err := Solve(context.Background(), p, Options{Effort: 400})
			if err != nil {
				r.Fatal(err)
			}
			work = append(work, Planned{&p, plan})
		}
		rules := Rules{Stack: rapid.IntRange(0, 3).Draw(r, "stack"), Effort: Effort(rapid.IntRange(0, 20_000).Draw(r, "effort"))}
		free := checkTidied(t, work, rules)
		given, got := Measure(work, rules), Measure(free, rules)
		for i := range Scatter {
			if got[i] > given[i] {
				r.Errorf("measures %v, given %v", got, given)
			}
		}
		rules.Setting, rules.Cut = rapid.Int64Range(0, 300).Draw(r, "setting"), rapid.Int64Range(0, 30).Draw(r, "cut")
		priced := checkTidied(t, free, rules)
		if a, b := Measure(priced, rules)[Total], Measure(free, rules)[Total]; a > b {
			r.Errorf("by its prices it comes to %d, without them to %d", a, b)
		}
	})
}

// checkTidied tidies plans and lets the verifier make every cut of them.
func checkTidied(t *testing.T, work []Planned, r Rules) []Planned {
	t.Helper()
	out := Tidy(context.Background(), work, r)
	for i, w := range out {
		replay(t, *w.Problem, w.Plan)
		if given := work[i].Plan; w.Plan.Cost > given.Cost || w.Plan.Sheets > given.Sheets {
			t.Errorf("%d sheets for %d, given %d for %d", w.Plan.Sheets, w.Plan.Cost, given.Sheets, given.Cost)
		}
	}
	return out
}

// leafPiece and cutPiece build trees by hand.
func leafPiece(x, y, l, w int64, part int) Piece {
	return Piece{X: x, Y: y, Length: l, Width: w, Part: part}
}

func cutPiece(p Piece, d Direction, children ...Piece) Piece {
	p.Part, p.Cut, p.Children = -1, d, children
	return p
}

// tidied tidies sheets that are each cut once.
func tidied(t *testing.T, p Problem, roots ...Piece) (given, got Measures, plan *Plan) {
	t.Helper()
	work := []Planned{{&p, &Plan{Status: Finished, Sheets: len(roots), Cost: int64(len(roots)) * p.Sheets[0].Price}}}
	for _, root := range roots {
		work[0].Plan.Patterns = append(work[0].Plan.Patterns, Pattern{Times: 1, Root: root})
	}
	out := checkTidied(t, work, Rules{})
	return Measure(work, Rules{}), Measure(out, Rules{}), out[0].Plan
}

// cutsOf prints the settings of a plan's cuts in their order.
func cutsOf(plan *Plan) (cuts []string) {
	for i := range plan.Patterns {
		plan.Patterns[i].Root.eachCut(func(s Setting) { cuts = append(cuts, fmt.Sprint("?rx"[s.Cut:s.Cut+1], s.Size)) })
	}
	return cuts
}

// TestTidyJoinsOffcuts: two strips of 300 and 200 with a free piece between them and one
// above; ordered and joined, 1000 x 490 remains instead of 200 and 280.
func TestTidyJoinsOffcuts(t *testing.T) {
	p := Problem{Parts: []Part{{Length: 1000, Width: 200, Count: 1, Grain: Along}, {Length: 1000, Width: 300, Count: 1, Grain: Along}},
		Sheets: []Sheet{{Length: 1000, Width: 1010, Stock: -1}}, Kerf: 10}
	_, _, plan := tidied(t, p, cutPiece(leafPiece(0, 0, 1000, 1010, -1), Rip,
		leafPiece(0, 0, 1000, 200, 0), leafPiece(0, 210, 1000, 200, -1), leafPiece(0, 420, 1000, 300, 1), leafPiece(0, 730, 1000, 280, -1)))
	if cuts := cutsOf(plan); !slices.Equal(cuts, []string{"r300", "r200"}) {
		t.Errorf("cuts %v", cuts)
	}
	last := plan.Patterns[0].Root.Children[2]
	if last.Part != -1 || last.Y != 520 || last.Width != 490 {
		t.Errorf("the remainder is %+v", last)
	}
}

// TestTidyMakesPatternsRepeat: two sheets with equal sides called A and B, which lie on
// them as A B and B A, are one pattern cut twice; so are A A and B B.
func TestTidyMakesPatternsRepeat(t *testing.T) {
	p := Problem{Parts: []Part{{Length: 1000, Width: 200, Count: 2, Grain: Along}, {Length: 1000, Width: 200, Count: 2, Grain: Along}},
		Sheets: []Sheet{{Length: 1000, Width: 420, Stock: -1}}, Kerf: 10}
	sheet := func(first, second int) Piece {
		return cutPiece(leafPiece(0, 0, 1000, 420, -1), Rip, leafPiece(0, 0, 1000, 200, first), leafPiece(0, 210, 1000, 200, second))
	}
	for _, parts := range [][4]int{{0, 1, 1, 0}, {0, 0, 1, 1}} {
		_, _, plan := tidied(t, p, sheet(parts[0], parts[1]), sheet(parts[2], parts[3]))
		if len(plan.Patterns) != 1 || plan.Patterns[0].Times != 2 {
			t.Errorf("%v: %d patterns", parts, len(plan.Patterns))
		}
	}
}

// TestTidyTakesFewerCuts: four columns of three equal parts take 4 crosscuts and 12 rips;
// three rows of four take 3 rips and 12 crosscuts.
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
	given, got, _ := tidied(t, p, root)
	if given[Settings] != 2 || given[Cuts] != 16 || given[Stages] != 2 || got[Cuts] != 15 {
		t.Errorf("measures %v, given %v", got, given)
	}
}

// stripped is a sheet of length 1000 that is ripped into the parts given, a kerf apart.
func stripped(p Problem, width int64, parts ...int) Piece {
	root, y := cutPiece(leafPiece(0, 0, 1000, width, -1), Rip), int64(0)
	for _, part := range parts {
		root.Children = append(root.Children, leafPiece(0, y, 1000, p.Parts[part].Width, part))
		y += p.Parts[part].Width + p.Kerf
	}
	if y-p.Kerf < width {
		root.Children = append(root.Children, leafPiece(0, y, 1000, width-y, -1))
	}
	return root
}

// stripProblem asks for parts of length 1000 and the given widths, one each, on sheets of
// one width.
func stripProblem(kerf, sheet int64, widths ...int64) Problem {
	p := Problem{Kerf: kerf, Sheets: []Sheet{{Length: 1000, Width: sheet, Stock: -1, Price: 100}}}
	for _, w := range widths {
		p.Parts = append(p.Parts, Part{Length: 1000, Width: w, Count: 1, Grain: Along})
	}
	return p
}

// TestTidyExchanges: 100 + 100 and 150 + 50 leave 100 on either sheet; 150 + 100 and
// 100 + 50 leave 150 on one, half of it, which is worth keeping.
func TestTidyExchanges(t *testing.T) {
	p := stripProblem(0, 300, 100, 100, 150, 50)
	p.Keep = Keep{Long: 500, Short: 150}
	given, got, _ := tidied(t, p, stripped(p, 300, 0, 1), stripped(p, 300, 2, 3))
	if given[Offcuts] != 0 || got[Offcuts] != -500_000 {
		t.Errorf("measures %v, given %v", got, given)
	}
}

// TestTidyPlansRepeats: 300 + 300 and 200 + 200 + 100 + 100 are two patterns; 300 + 200 +
// 100 is one, cut twice, with a setting less.
func TestTidyPlansRepeats(t *testing.T) {
	p := stripProblem(0, 600, 300, 200, 100)
	for i := range p.Parts {
		p.Parts[i].Count = 2
	}
	given, got, plan := tidied(t, p, stripped(p, 600, 0, 0), stripped(p, 600, 1, 1, 2, 2))
	if given[Settings] != 3 || got[Settings] != 2 || len(plan.Patterns) != 1 || plan.Patterns[0].Times != 2 {
		t.Errorf("measures %v, given %v", got, given)
	}
}

// TestTidySharesSettings: 300 + 200 fill a sheet, so that either setting frees both; 200
// is set for another material anyway.
func TestTidySharesSettings(t *testing.T) {
	full, other := stripProblem(10, 510, 300, 200), stripProblem(10, 500, 200)
	work := []Planned{
		{&full, &Plan{Status: Finished, Cost: 100, Sheets: 1, Patterns: []Pattern{{Times: 1, Root: stripped(full, 510, 0, 1)}}}},
		{&other, &Plan{Status: Finished, Cost: 100, Sheets: 1, Patterns: []Pattern{{Times: 1, Root: stripped(other, 500, 0)}}}},
	}
	if given, got := Measure(work, Rules{}), Measure(checkTidied(t, work, Rules{}), Rules{}); given[Settings] != 2 || got[Settings] != 1 {
		t.Errorf("measures %v, given %v", got, given)
	}
}

// TestTidyMayBeStopped: a context that has ended leaves plans as they are.
func TestTidyMayBeStopped(t *testing.T) {
	p := stripProblem(0, 300, 100, 100, 150, 50)
	p.Keep = Keep{Long: 500, Short: 150}
	plan := &Plan{Patterns: []Pattern{{Times: 1, Root: stripped(p, 300, 0, 1)}, {Times: 1, Root: stripped(p, 300, 2, 3)}}}
	work := []Planned{{&p, plan}}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if got, given := Measure(Tidy(ctx, work, Rules{}), Rules{}), Measure(work, Rules{}); got != given {
		t.Errorf("measures %v, given %v", got, given)
	}
}
