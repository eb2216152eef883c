package nest

import (
	"context"
	"testing"
)

// TestFirstDirectionIsKept: four parts that would best be cut by a crosscut first. The
// verifier refuses a plan whose first cut is not in the direction asked for, but where a
// part spans the trimmed sheet.
func TestFirstDirectionIsKept(t *testing.T) {
	for _, first := range []Direction{Rip, Crosscut} {
		for _, stages := range []int{0, 2, 3} {
			p := Problem{First: first, Stages: stages, Kerf: 3,
				Parts:  []Part{{Length: 400, Width: 298, Count: 6}, {Length: 597, Width: 200, Count: 7}, {Length: 130, Width: 90, Count: 11, Grain: Along}},
				Sheets: []Sheet{{Length: 1000, Width: 600, Price: 10, Stock: -1}}}
			plan, err := Solve(context.Background(), p, Options{Effort: Quick})
			if err != nil {
				t.Fatal(err)
			}
			for i, pattern := range plan.Patterns {
				if pattern.Root.Cut != NoCut && pattern.Root.Cut != first && !spans(&pattern.Root, &pattern.Root, first) {
					t.Errorf("first %d, stages %d: pattern %d begins with cuts in direction %d", first, stages, i, pattern.Root.Cut)
				}
			}
		}
	}
}

// spans reports whether a part of the tree reaches from edge to edge of the root, so
// that no cut in the direction can come before it.
func spans(root, n *Piece, direction Direction) bool {
	if n.Part >= 0 && (direction == Rip && n.Width == root.Width || direction == Crosscut && n.Length == root.Length) {
		return true
	}
	for i := range n.Children {
		if spans(root, &n.Children[i], direction) {
			return true
		}
	}
	return false
}
