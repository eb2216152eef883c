package cabinets

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"sawbook/cabinets/measure"
)

// yard is a layout of crates, 400 mm wide, 300 deep and 200 high, in an inside of 3000 x 1600 x 1800
// mm; the back doors lie at its end.
const yard = `layout: Wren
inside: {length: 3000 mm, width: 1600 mm, height: 1800 mm}
shell: {doorways: {rear: {width: 1400 mm, height: 1500 mm, at: 3000 mm}}}
cabinets:
`

// ordered reads a yard with cabinets and returns the order in which they go in, each with what it
// waits for, and the findings about it.
func ordered(t *testing.T, cabinets string) (order, found []string) {
	t.Helper()
	in, faults := wren(t, yard+cabinets)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	turns, _ := in.Order(100 * measure.Millimetre)
	for _, g := range turns {
		line := g.Name
		for _, w := range g.After {
			line += fmt.Sprintf(", after %s (%s)", w.Name, w.Why)
		}
		order = append(order, line)
	}
	for _, f := range in.Findings {
		found = append(found, fmt.Sprintf("%s %s: %s", f.Level, f.Where, f.Text))
	}
	return order, found
}

// TestOrder works small interiors by hand. The reach is 100 mm.
func TestOrder(t *testing.T) {
	for _, c := range []struct {
		name, cabinets string
		order, found   []string
	}{
		{"nothing binds them: as they are listed", `
  a: {cabinet: crate, at: [0, 0, 0], fixings: 4}
  b: {cabinet: crate, at: [1000, 0, 0], fixings: {count: 4, from: inside}}
`, []string{"a", "b"}, nil},
		{"what stands on another follows it, a gap of felt of 1.5 mm between", `
  b: {cabinet: crate, above: a}
  a: {cabinet: crate, at: [0, 0, 0]}
`, []string{"a", "b, after a (under it)"}, nil},
		{"fixed from the right, with 30 mm to the next: from the left to the right", `
  c: {cabinet: crate, at: [860, 0, 0], fixings: {count: 4, from: right}}
  b: {cabinet: crate, at: [430, 0, 0], fixings: {count: 4, from: right}}
  a: {cabinet: crate, at: [0, 0, 0], fixings: {count: 4, from: [right, top]}}
`, []string{"b", "c, after b (its fixings)", "a"},
			[]string{"warning Wren: b: once c stands, its fixings are reached through 30 mm, and 100 mm are wanted"}},
		{"turned by half, its right side looks to the left", `
  b: {cabinet: crate, at: [430, 0, 0], turn: 180, fixings: {count: 4, from: right}}
  a: {cabinet: crate, at: [0, 0, 0]}
`, []string{"b", "a, after b (its fixings)"},
			[]string{"warning Wren: b: once a stands, its fixings are reached through 30 mm, and 100 mm are wanted"}},
		{"100 mm are enough, 99.9 are not", `
  c: {cabinet: crate, at: [999.9, 0, 0]}
  b: {cabinet: crate, at: [500, 0, 0], fixings: {count: 4, from: right}}
  a: {cabinet: crate, at: [0, 0, 0], fixings: {count: 4, from: right}}
`, []string{"b", "c, after b (its fixings)", "a"},
			[]string{"warning Wren: b: once c stands, its fixings are reached through 99.9 mm, and 100 mm are wanted"}},
		{"hidden on both sides: it goes in before one of its neighbours, the other may be there", `
  a: {cabinet: crate, at: [0, 0, 0]}
  b: {cabinet: crate, at: [430, 0, 0], fixings: {count: 4, from: [left, right]}}
  c: {cabinet: crate, at: [880, 0, 0]}
`, []string{"a", "b", "c, after b (its fixings)"},
			[]string{"warning Wren: b: once c stands, its fixings are reached through 50 mm, and 100 mm are wanted"}},
		{"behind the nearest neighbour stands another within reach: it goes in before both", `
  thin: {cabinet: crate, at: [430, 0, 0], sizes: {width: 30 mm}}
  c: {cabinet: crate, at: [490, 0, 0]}
  a: {cabinet: crate, at: [0, 0, 0], fixings: {count: 2, from: right}}
`, []string{"a", "thin, after a (its fixings)", "c, after a (its fixings)"},
			[]string{"warning Wren: a: once thin stands, its fixings are reached through 30 mm, and 100 mm are wanted"}},
		{"the vehicle hides them", `
  a: {cabinet: crate, at: [20, 40, 0], fixings: {count: 2, from: [left, front]}}
`, []string{"a"}, []string{"error Wren: a: its fixings have 40 mm of room before the vehicle, and 100 mm are wanted"}},
		{"the vehicle hides one side, a neighbour the other: before that goes in they are reached", `
  b: {cabinet: crate, at: [450, 0, 0]}
  a: {cabinet: crate, at: [60, 0, 0], sizes: {width: 380 mm}, fixings: {count: 2, from: [left, right]}}
`, []string{"a", "b, after a (its fixings)"},
			[]string{"warning Wren: a: once b stands, its fixings are reached through 10 mm, and 100 mm are wanted"}},
		{"what stands on the side that the vehicle hides is in nobody's way", `
  b: {cabinet: crate, at: [450, 0, 0]}
  thin: {cabinet: crate, at: [20, 0, 0], sizes: {width: 20 mm}}
  a: {cabinet: crate, at: [60, 0, 0], sizes: {width: 380 mm}, fixings: {count: 2, from: [left, right]}}
`, []string{"a", "b, after a (its fixings)", "thin"},
			[]string{"error Wren: thin: board-1: nothing is left of the part: along x it runs from 12 to 8 mm",
				"error Wren: thin: left-side: the part and right-side are in the same place, 4 mm deep",
				"warning Wren: a: once b stands, its fixings are reached through 10 mm, and 100 mm are wanted"}},
		{"lifted over nothing while something stands on top", `
  lid: {cabinet: crate, at: [0, 0, 950]}
  before: {cabinet: crate, at: [410, 0, 0], sizes: {width: 400 mm, depth: 800 mm, height: 800 mm}}
  beside: {cabinet: crate, at: [0, 310, 0], sizes: {width: 400 mm, depth: 800 mm, height: 1700 mm}}
  deep: {cabinet: crate, at: [0, 0, 0], sizes: {height: 900 mm}}
`, []string{"lid", "beside", "deep", "before, after beside (its way in), after deep (its way in)"}, nil},
		{"each hides the other's fixings", `
  a: {cabinet: crate, at: [0, 0, 0], fixings: {count: 2, from: right}}
  b: {cabinet: crate, at: [430, 0, 0], fixings: {count: 2, from: left}}
  c: {cabinet: crate, at: [2000, 0, 0]}
`, []string{"c"}, []string{
			"error Wren: a, b: no order lets them in: a before b (its fixings); b before a (its fixings)",
			"warning Wren: a: once b stands, its fixings are reached through 30 mm, and 100 mm are wanted",
			"warning Wren: b: once a stands, its fixings are reached through 30 mm, and 100 mm are wanted"}},
		// 1600 mm of width, less 700 and 610, leave 290 mm; the crate is 300 deep.
		{"its way to the back doors is too narrow once two others stand", `
  near: {cabinet: crate, at: [1000, 0, 0], sizes: {depth: 700 mm, height: 1500 mm}}
  far: {cabinet: crate, at: [1000, 990, 0], sizes: {depth: 610 mm, height: 1500 mm}}
  deep: {cabinet: crate, at: [0, 0, 0], sizes: {height: 1500 mm}}
`, []string{"near", "deep", "far, after deep (its way in)"}, nil},
		{"as narrow, but low: 900 mm and the deep one's 900 are not above the roof of 1800", `
  near: {cabinet: crate, at: [1000, 0, 0], sizes: {depth: 700 mm, height: 900 mm}}
  far: {cabinet: crate, at: [1000, 990, 0], sizes: {depth: 610 mm, height: 900 mm}}
  deep: {cabinet: crate, at: [0, 0, 0], sizes: {height: 900 mm}}
`, []string{"near", "far", "deep"}, nil},
		{"10 mm more, and there is no hurry", `
  near: {cabinet: crate, at: [1000, 0, 0], sizes: {depth: 700 mm, height: 1500 mm}}
  far: {cabinet: crate, at: [1000, 1000, 0], sizes: {depth: 600 mm, height: 1500 mm}}
  deep: {cabinet: crate, at: [0, 0, 0], sizes: {height: 1500 mm}}
`, []string{"near", "far", "deep"}, nil},
		// The one beside leaves by its 400 mm lengthwise alone: across, 490 of its 800 mm are left. So does the deep one
		// once that stands.
		{"one before it, too high to be lifted over", `
  before: {cabinet: crate, at: [410, 0, 0], sizes: {width: 400 mm, depth: 800 mm, height: 1000 mm}}
  beside: {cabinet: crate, at: [0, 310, 0], sizes: {width: 400 mm, depth: 800 mm, height: 1700 mm}}
  deep: {cabinet: crate, at: [0, 0, 0], sizes: {height: 900 mm}}
`, []string{"beside", "deep", "before, after beside (its way in), after deep (its way in)"}, nil},
		{"one before it that it is lifted over: 800 mm and its own 900 are under the roof of 1800", `
  before: {cabinet: crate, at: [410, 0, 0], sizes: {width: 400 mm, depth: 800 mm, height: 800 mm}}
  beside: {cabinet: crate, at: [0, 310, 0], sizes: {width: 400 mm, depth: 800 mm, height: 1700 mm}}
  deep: {cabinet: crate, at: [0, 0, 0], sizes: {height: 900 mm}}
`, []string{"beside", "before, after beside (its way in)", "deep"}, nil},
		// Its way forward is barred by a cabinet across, and its doors are behind it.
		{"straight through the back doors", `
  across: {cabinet: crate, at: [2000, 0, 0], sizes: {width: 500 mm, depth: 800 mm, height: 1700 mm}}
  across-2: {cabinet: crate, at: [2000, 800, 0], sizes: {width: 500 mm, depth: 790 mm, height: 1700 mm}}
  last: {cabinet: crate, at: [2590, 0, 0], sizes: {depth: 800 mm}}
`, []string{"across", "across-2", "last"}, []string{"warning Wren: across, across-2: they stand 0 mm apart, and pressed felt takes 1.5 mm"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			order, found := ordered(t, strings.TrimPrefix(c.cabinets, "\n"))
			if diff := cmp.Diff(c.order, order); diff != "" {
				t.Error(diff)
			}
			if diff := cmp.Diff(c.found, found); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// scattered draws an interior of a few crates on a grid, some fixed from their sides.
func scattered(t *testing.T, rt *rapid.T) *Interior {
	side := rapid.SampledFrom([]string{"left", "right", "front", "back", "top", "inside"})
	var text strings.Builder
	for i := range rapid.IntRange(1, 5).Draw(rt, "cabinets") {
		from := rapid.SliceOfNDistinct(side, 1, 2, rapid.ID[string]).Draw(rt, "from")
		fmt.Fprintf(&text, "  c%d: {cabinet: crate, at: [%d, %d, %d], turn: %d, sizes: {width: %d mm, depth: 420 mm, height: %d mm}, fixings: {count: 2, from: [%s]}}\n", i,
			450*rapid.IntRange(0, 3).Draw(rt, "x"), 450*rapid.IntRange(0, 2).Draw(rt, "y"), rapid.SampledFrom([]int{0, 0, 702}).Draw(rt, "z"),
			90*rapid.IntRange(0, 3).Draw(rt, "turn"), rapid.SampledFrom([]int{420, 440}).Draw(rt, "width"), rapid.SampledFrom([]int{400, 700}).Draw(rt, "height"), strings.Join(from, ", "))
	}
	in, faults := wren(t, strings.Replace(yard, "at: 3000", "at: 1800", 1)+text.String())
	if len(faults) > 0 {
		rt.Fatal(faults)
	}
	return in
}

// TestOrderProperty: what Order finds can be carried out turn by turn; it finds an order wherever trying all of them
// does; who is left over waits for others that are left over; and each is named once.
func TestOrderProperty(t *testing.T) {
	const reach = 100 * measure.Millimetre
	bound := 0
	rapid.Check(t, func(rt *rapid.T) {
		in := scattered(t, rt)
		order, stuck := in.Order(reach)
		var built []*Placed
		for _, g := range order {
			built = append(built, g.Placed)
			for _, w := range g.After {
				bound++
				there := append(slices.Clone(stuck), built[:len(built)-1]...)
				if !slices.ContainsFunc(there, func(p *Placed) bool { return p.Name == w.Name }) {
					rt.Errorf("%s goes in before %s", g.Name, w.Name)
				}
			}
			if waits := in.waits(g.Placed, append(slices.Clone(stuck), built...), reach); len(waits) > 0 {
				rt.Errorf("%s goes in although %s is there (%s)", g.Name, waits[0].by.Name, waits[0].why)
			}
		}
		if len(order)+len(stuck) != len(in.Cabinets) {
			rt.Errorf("%d and %d of %d", len(order), len(stuck), len(in.Cabinets))
		}
		for _, p := range stuck {
			if waits := in.waits(p, stuck, reach); len(waits) == 0 || !slices.Contains(stuck, waits[0].by) {
				rt.Errorf("%s is stuck and waits for nothing", p.Name)
			}
		}
		if possible := anyOrder(in, in.all(), reach); possible != (len(stuck) == 0) {
			rt.Errorf("trying all orders: %v; %d are left over", possible, len(stuck))
		}
	})
	if bound == 0 && !testing.Short() { // a few cases may hold none
		t.Error("no cabinet waited for another")
	}
}

// anyOrder tries all orders of coming out.
func anyOrder(in *Interior, standing []*Placed, reach measure.Length) bool {
	if len(standing) == 0 {
		return true
	}
	for i, p := range standing {
		if len(in.waits(p, standing, reach)) == 0 && anyOrder(in, slices.Delete(slices.Clone(standing), i, i+1), reach) {
			return true
		}
	}
	return false
}

// TestFewerNeverBind: taking a cabinet out never makes another wait: that is why any that can come
// out may come out first.
func TestFewerNeverBind(t *testing.T) {
	const reach = 100 * measure.Millimetre
	rapid.Check(t, func(rt *rapid.T) {
		in := scattered(t, rt)
		all := in.all()
		for i := range all {
			fewer := slices.Delete(slices.Clone(all), i, i+1)
			for _, p := range fewer {
				if len(in.waits(p, all, reach)) == 0 && len(in.waits(p, fewer, reach)) > 0 {
					rt.Errorf("%s waits once %s is gone", p.Name, all[i].Name)
				}
			}
		}
	})
}

// TestDemoGoesIn: every cabinet of the demo goes in, each after all that it waits for.
func TestDemoGoesIn(t *testing.T) {
	for _, name := range []string{"curlew", "dunlin"} {
		text, err := os.ReadFile(filepath.Join(demoFolder, "layouts", name+".yaml"))
		if err != nil {
			t.Fatal(err)
		}
		in, _ := inWall(t, string(text), "")
		order, stuck := in.Order(100 * measure.Millimetre)
		if len(stuck) > 0 || len(order) != len(in.Cabinets) {
			t.Errorf("%s: %d of %d go in", name, len(order), len(in.Cabinets))
		}
		if !slices.ContainsFunc(order, func(g GoesIn) bool { return len(g.After) > 0 }) {
			t.Errorf("%s: none waits for another", name)
		}
	}
}
