package nest

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"sawbook/nest/verify"
)

// verified solves p and holds the plan against it three times: piece by piece, as the
// cuts of a written plan by a package that knows nothing of the solver, and against its
// own bound.
func verified(t testing.TB, p Problem, o Options) *Plan {
	t.Helper()
	plan := solve(t, p, o)
	replay(t, p, plan)
	return plan
}

// replay writes the plan and lets the verifier make every cut of it.
func replay(t testing.TB, p Problem, plan *Plan) {
	t.Helper()
	text, err := json.Marshal(written(p, plan))
	if err != nil {
		t.Fatal(err)
	}
	problems, err := verify.Plan(strings.NewReader(string(text)), []verify.Order{ordered(p, plan)})
	if err != nil {
		t.Fatal(err)
	}
	for _, problem := range problems {
		t.Error(problem)
	}
	if len(problems) > 0 {
		t.Fatalf("problem: %+v", p)
	}
}

// ordered is what the verifier is told of a problem: one unit is a nanometre, and what the
// plan says has no place is not asked for.
func ordered(p Problem, plan *Plan) verify.Order {
	o := verify.Order{Limits: verify.Limits{
		Kerf: p.Kerf, Stages: p.Stages, First: map[Direction]string{Rip: "rip", Crosscut: "crosscut"}[p.First],
		LongestRip: p.LongestRip, LongestCrosscut: p.LongestCrosscut,
	}}
	for i, s := range p.Sheets {
		o.Limits.Sheets = append(o.Limits.Sheets, verify.Stock{
			Length: s.Length, Width: s.Width, GrainAcross: s.GrainAcross,
			Left: s.Left, Right: s.Right, Bottom: s.Bottom, Top: s.Top,
			Price: s.Price, Offcut: fmt.Sprint(i), Count: s.Stock,
		})
	}
	misfit := map[int]bool{}
	for _, m := range plan.Misfits {
		misfit[m.Part] = true
	}
	for i, part := range p.Parts {
		d := verify.Demand{Part: fmt.Sprint(i), Length: part.Length, Width: part.Width,
			Count: part.Count - plan.Unplaced[i], Grain: [...]string{"any", "length", "width"}[part.Grain]}
		if misfit[i] {
			d.Count = 0
		}
		o.Demand = append(o.Demand, d)
	}
	return o
}

// decimal writes v / 10^places.
func decimal(v int64, places int) json.Number {
	digits := fmt.Sprintf("%0*d", places+1, v)
	return json.Number(digits[:len(digits)-places] + "." + digits[len(digits)-places:])
}

func mm(v int64) json.Number { return decimal(v, 6) }

// object is one of JSON.
type object = map[string]any

// written is the plan in the format that the verifier reads.
func written(p Problem, plan *Plan) object {
	patterns := make([]object, len(plan.Patterns))
	for i := range plan.Patterns {
		n := &plan.Patterns[i]
		s := p.Sheets[n.Sheet]
		w := cutList{kerf: p.Kerf, parts: []object{}, cuts: []object{}, offcuts: []object{}}
		w.piece(&n.Root, 1)
		grain := "length"
		if s.GrainAcross {
			grain = "width"
		}
		patterns[i] = object{
			"pattern": i + 1, "times": n.Times, "parts": w.parts, "cuts": w.cuts, "offcuts": w.offcuts,
			"sheet": object{"length": mm(s.Length), "width": mm(s.Width), "grain": grain,
				"trim":  object{"left": mm(s.Left), "right": mm(s.Right), "bottom": mm(s.Bottom), "top": mm(s.Top)},
				"price": decimal(s.Price, 2), "offcut": fmt.Sprint(n.Sheet)},
		}
	}
	material := object{
		"material": "", "kerf": mm(p.Kerf), "stages": p.Stages, "sheets": plan.Sheets, "least_sheets": plan.Bound.Sheets,
		"cost": decimal(plan.Cost, 2), "least_cost": decimal(plan.Bound.Cost, 2), "patterns": patterns,
	}
	if plan.Status == Proven {
		material["status"] = "proven"
	}
	return object{"format": verify.Format, "materials": []object{material}}
}

// cutList reads the cuts off a tree.
type cutList struct {
	kerf                 int64
	parts, cuts, offcuts []object
}

// piece lists the cuts that divide n, which are of the given stage, then those of what
// they free.
func (w *cutList) piece(n *Piece, stage int) {
	place := object{"x": mm(n.X), "y": mm(n.Y), "length": mm(n.Length), "width": mm(n.Width)}
	switch {
	case n.Part >= 0:
		place["part"], place["turned"] = fmt.Sprint(n.Part), n.Turned
		w.parts = append(w.parts, place)
	case n.Cut == NoCut:
		w.offcuts = append(w.offcuts, place)
	}
	for i := range n.Children {
		w.cut(n, &n.Children[i], stage)
	}
	for i := range n.Children {
		w.piece(&n.Children[i], stage+1)
	}
}

// cut lists the cut that frees child on its far side, unless that is the edge of n.
func (w *cutList) cut(n, child *Piece, stage int) {
	x1, y1 := n.X, n.Y
	x2, y2 := n.X+n.Length, n.Y+n.Width
	if n.Cut == Rip {
		if child.Y+child.Width == y2 {
			return
		}
		y1 = child.Y + child.Width
		y2 = y1
	} else {
		if child.X+child.Length == x2 {
			return
		}
		x1 = child.X + child.Length
		x2 = x1
	}
	w.cuts = append(w.cuts, object{"step": len(w.cuts) + 1, "stage": stage,
		"x1": mm(x1), "y1": mm(y1), "x2": mm(x2), "y2": mm(y2)})
}
