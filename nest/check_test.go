package nest

import (
	"fmt"
	"testing"
)

// check holds a plan against the problem it solves, knowing pieces only: every part as
// often as asked, every piece inside its parent with one kerf between neighbours, grain,
// stages, longest cuts and stock.
func check(t testing.TB, p Problem, plan *Plan) {
	t.Helper()
	c := checker{p: p, got: make([]int, len(p.Parts)), used: make([]int, len(p.Sheets))}
	for i := range plan.Patterns {
		c.pattern(i, &plan.Patterns[i])
	}
	for _, m := range plan.Misfits {
		c.got[m.Part] += p.Parts[m.Part].Count
	}
	for i, n := range plan.Unplaced {
		c.got[i] += n
	}
	for i, part := range p.Parts {
		if c.got[i] != part.Count {
			c.fault("part %d: %d of %d", i, c.got[i], part.Count)
		}
	}
	sheets := 0
	for i, s := range p.Sheets {
		sheets += c.used[i]
		if s.Stock >= 0 && c.used[i] > s.Stock {
			c.fault("sheet %d: used %d of %d", i, c.used[i], s.Stock)
		}
	}
	if sheets != plan.Sheets || c.cost != plan.Cost {
		c.fault("%d sheets for %d, plan says %d for %d", sheets, c.cost, plan.Sheets, plan.Cost)
	}
	if plan.Bound.Sheets > plan.Sheets || plan.Bound.Cost > plan.Cost {
		c.fault("plan %d sheets, %d; below its bound %+v", plan.Sheets, plan.Cost, plan.Bound)
	}
	if (len(plan.Unplaced) > 0) != (plan.Status == Short) {
		c.fault("%d unplaced, status %d", len(plan.Unplaced), plan.Status)
	}
	for _, f := range c.faults {
		t.Error(f)
	}
	if len(c.faults) > 0 {
		t.Fatalf("problem: %+v", p)
	}
}

type checker struct {
	p         Problem
	got, used []int
	cost      int64
	sheet     Sheet
	times     int
	at        int
	faults    []string
}

func (c *checker) fault(format string, args ...any) {
	c.faults = append(c.faults, fmt.Sprintf("pattern %d: ", c.at)+fmt.Sprintf(format, args...))
}

func (c *checker) pattern(at int, n *Pattern) {
	c.at, c.times, c.sheet = at, n.Times, c.p.Sheets[n.Sheet]
	s := c.sheet
	c.used[n.Sheet] += n.Times
	c.cost += int64(n.Times) * s.Price
	root := &n.Root
	if n.Times < 1 || root.X != s.Left || root.Y != s.Bottom ||
		root.Length != s.Length-s.Left-s.Right || root.Width != s.Width-s.Bottom-s.Top {
		c.fault("root %d %d %d %d, times %d", root.X, root.Y, root.Length, root.Width, n.Times)
	}
	stage := 1
	if c.p.First != NoCut && root.Cut != c.p.First {
		stage = 2
	}
	if c.piece(root, stage) == 0 {
		c.fault("carries no part")
	}
}

// piece checks n, whose cuts are of the given stage, and returns how many parts are in it.
func (c *checker) piece(n *Piece, stage int) int {
	if n.Length <= 0 || n.Width <= 0 {
		c.fault("piece of %d by %d", n.Length, n.Width)
	}
	if n.Cut == NoCut {
		return c.leaf(n)
	}
	if n.Part >= 0 {
		c.fault("part %d is cut", n.Part)
	}
	if n.Cut == Rip && c.p.LongestRip > 0 && n.Length > c.p.LongestRip ||
		n.Cut == Crosscut && c.p.LongestCrosscut > 0 && n.Width > c.p.LongestCrosscut {
		c.fault("cut too long: %v of %d by %d", n.Cut, n.Length, n.Width)
	}
	x, y, parts, carriers := n.X, n.Y, 0, 0
	for i := range n.Children {
		k := &n.Children[i]
		if k.Cut == n.Cut {
			c.fault("cuts of one direction are not joined")
		}
		in := c.piece(k, stage+1)
		parts += in
		if in > 0 {
			carriers++
		}
		if k.X != x || k.Y != y {
			c.fault("child at %d %d, not %d %d", k.X, k.Y, x, y)
		}
		if n.Cut == Rip {
			y += k.Width + c.p.Kerf
			if k.Length != n.Length {
				c.fault("child %d long in %d", k.Length, n.Length)
			}
		} else {
			x += k.Length + c.p.Kerf
			if k.Width != n.Width {
				c.fault("child %d wide in %d", k.Width, n.Width)
			}
		}
	}
	// The end is that of the piece, or less than a kerf beyond it, or up to a kerf short
	// where the last cut left nothing.
	end, edge := x-n.X, n.Length
	if n.Cut == Rip {
		end, edge = y-n.Y, n.Width
	}
	if short := edge + c.p.Kerf - end; short < 0 || short > c.p.Kerf {
		c.fault("children end at %d of %d", end, edge)
	}
	free := parts == 1 && carriers == 1 && n.Children[0].Part >= 0
	if limit := c.p.Stages; limit > 0 && stage > limit && (stage > limit+1 || !free) {
		c.fault("stage %d", stage)
	}
	return parts
}

func (c *checker) leaf(n *Piece) int {
	if n.Part < 0 {
		return 0
	}
	part := c.p.Parts[n.Part]
	c.got[n.Part] += c.times
	l, w := part.Length, part.Width
	if n.Turned {
		l, w = w, l
	}
	if l != n.Length || w != n.Width {
		c.fault("part %d is %d by %d", n.Part, n.Length, n.Width)
	}
	along := n.Turned == c.sheet.GrainAcross
	if part.Grain == Along && !along || part.Grain == Across && along {
		c.fault("part %d lies against its grain", n.Part)
	}
	return 1
}
