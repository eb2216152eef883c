package table

import (
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
)

// board returns a piece of 1000 x 400 x 12.
func board(features ...cabinets.Feature) *cabinets.Piece {
	return &cabinets.Piece{Length: 1000 * mm, Width: 400 * mm, Material: &shop.Material{Thickness: 12 * mm}, Features: features}
}

// bored returns a hole with its middle at a place, from the lower face or the upper one, or
// through.
func bored(u, v, diameter, from, to measure.Length) cabinets.Feature {
	return cabinets.Feature{Kind: cabinets.Hole, Box: cabinets.Box{
		Lo: [3]measure.Length{u*mm - diameter*mm/2, v*mm - diameter*mm/2, from * mm},
		Hi: [3]measure.Length{u*mm + diameter*mm/2, v*mm + diameter*mm/2, to * mm},
	}}
}

// TestMachinings works out by hand what is said of holes and grooves.
func TestMachinings(t *testing.T) {
	var rows []cabinets.Feature // two rows of 20, 32 apart, as for shelf pins
	for i := range measure.Length(20) {
		rows = append(rows, bored(60+32*i, 37, 5, 2, 12), bored(60+32*i, 363, 5, 2, 12))
	}
	// 8 wide, 6 deep from the lower face, from end to end.
	groove := cabinets.Feature{Kind: cabinets.Groove, About: "for bottom", Box: cabinets.Box{Lo: [3]measure.Length{0, 10 * mm, 0}, Hi: [3]measure.Length{1000 * mm, 18 * mm, 6 * mm}}}
	// 30 deep into the end, half way up.
	pilot := func(v measure.Length) cabinets.Feature {
		return cabinets.Feature{Kind: "edge hole", Box: cabinets.Box{Lo: [3]measure.Length{970 * mm, v*mm - mm, 5 * mm}, Hi: [3]measure.Length{1000 * mm, v*mm + mm, 7 * mm}}}
	}
	for _, test := range []struct {
		name string
		of   []cabinets.Feature
		want []string
	}{
		{"shelf pins", rows, []string{"a hole upper 60 37: Ø5, 10 deep; 20 along, 32 apart; 2 across, 326 apart"}},
		{"one hole", []cabinets.Feature{bored(100, 50, 8, 0, 12)}, []string{"a hole through 100 50: Ø8 through; "}},
		{"equal but for the last", []cabinets.Feature{bored(100, 50, 8, 0, 6), bored(200, 50, 8, 0, 6), bored(300, 50, 8, 0, 6), bored(450, 50, 8, 0, 6)},
			[]string{"a hole lower 100 50: Ø8, 6 deep; 3 along, 100 apart", "b hole lower 450 50: Ø8, 6 deep; "}},
		{"twice at one place", []cabinets.Feature{bored(100, 50, 8, 0, 12), bored(100, 50, 8, 0, 12)}, []string{"a hole through 100 50: Ø8 through; ", "b hole through 100 50: Ø8 through; "}},
		{"two", []cabinets.Feature{bored(100, 50, 8, 0, 12), bored(900, 50, 8, 0, 12)}, []string{"a hole through 100 50: Ø8 through; 2 along, 800 apart"}},
		{"groove", []cabinets.Feature{groove}, []string{"a groove for bottom lower 0 10: 1000 × 8, 6 deep; "}},
		{"pilots", []cabinets.Feature{pilot(50), pilot(200), pilot(350)}, []string{"a edge hole end edge 1000 50 up 6: Ø2, 30 deep; 3 across, 150 apart"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			var got []string
			for _, m := range Machinings(board(test.of...)) {
				up := ""
				if m.Up > 0 {
					up = " up " + m.Up.Exact()
				}
				got = append(got, m.Mark+" "+m.What()+" "+m.Face+" "+m.At[0].Exact()+" "+m.At[1].Exact()+up+": "+m.How(metric)+"; "+m.Row(metric))
			}
			if diff := cmp.Diff(test.want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// TestMachiningsSayEachOnce wants every hole of a board to be said once, wherever they are.
func TestMachiningsSayEachOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := map[[2]measure.Length]int{}
		var holes []cabinets.Feature
		for range rapid.IntRange(1, 20).Draw(t, "holes") {
			u, v := measure.Length(rapid.IntRange(1, 6).Draw(t, "u"))*50, measure.Length(rapid.IntRange(1, 4).Draw(t, "v"))*50
			holes = append(holes, bored(u, v, 8, 0, 12))
			want[[2]measure.Length{u * mm, v * mm}]++
		}
		got := map[[2]measure.Length]int{}
		for _, m := range Machinings(board(holes...)) {
			m.Each(func(at [2]measure.Length) { got[at]++ })
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Error(diff)
		}
	})
}

// TestMachiningsOfCabinets wants every feature of every cabinet of the demo shop to be among
// what is said of its piece, within what makes sizes equal, and nothing else.
func TestMachiningsOfCabinets(t *testing.T) {
	faults := &source.Collector{}
	f := batch.OpenFolder(faults, filepath.Join("..", "..", "testdata", "demo"))
	pieces := 0
	for _, name := range f.Catalogue.Names() {
		job := batch.List(f.Load(name, nil))
		if err := faults.Err(); err != nil {
			t.Fatal(err)
		}
		for _, p := range Machined(job) {
			pieces++
			var said []Machining
			for _, m := range Machinings(p) {
				m.Each(func(at [2]measure.Length) {
					one := m
					one.At = at
					said = append(said, one)
				})
			}
			if len(said) != len(p.Features) {
				t.Errorf("%s %s: %d features, %d are said", name, p.Name, len(p.Features), len(said))
			}
			for i := range p.Features {
				want := machiningOf(p, &p.Features[i])
				found := false
				for _, m := range said {
					found = found || near(m.At[0], want.At[0]) && near(m.At[1], want.At[1]) && m.Size == want.Size && m.Face == want.Face
				}
				if !found {
					t.Errorf("%s %s: %+v is not said", name, p.Name, want)
				}
			}
		}
	}
	if pieces < 20 {
		t.Errorf("only %d pieces are machined", pieces)
	}
}

// TestEdgeNames wants an edge to be named after where it looks in the cabinet, where that is
// the same for all parts of a piece.
func TestEdgeNames(t *testing.T) {
	faults := &source.Collector{}
	f := batch.OpenFolder(faults, filepath.Join("..", "..", "testdata", "demo"))
	got := map[string]string{}
	for _, p := range batch.List(f.Load("drawer-bank", nil)).Pieces {
		if got[p.Name] == "" { // the largest of a name: the carcass's sides
			got[p.Name] = EdgeName(p, cabinets.SideStart) + ", " + EdgeName(p, cabinets.SideNear)
		}
	}
	if err := faults.Err(); err != nil {
		t.Fatal(err)
	}
	// The left side's length runs up, from the bottom; a front's from the left.
	for name, want := range map[string]string{"left-side": "start (bottom), near (front)", "front": "start (left), near (bottom)"} {
		if got[name] != want {
			t.Errorf("%s: %q, want %q", name, got[name], want)
		}
	}
}
