package batch

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sawbook/cabinets/source"
	"sawbook/nest"

	"pgregory.net/rapid"
)

// matchedShop is a shop of one plywood and what is pressed from it; %s are the rest of its saw,
// the sheets, and what is pressed together.
const matchedShop = `
shop: Fronts
currency: EUR
unit: mm
saw: {kerf: 3.2 mm, trim: 10 mm, step: 0.5 mm, keep: 600 x 150 mm, %s}
materials:
  birch:
    name: Birch
    nominal: 15 mm
    thickness: 15 mm
    density: 690
    grain: yes
    good: 2
    sheets: %s
  oak: {name: Oak laminate, nominal: 1 mm, density: 1400, grain: yes, good: 1, sheets: [{size: 2500 x 1250 mm, grain: length, price: 60.00}]}
  pressed: {name: Pressed fronts, good: 1, press: {core: birch, face: oak, back: oak, order: parts, allowance: 20 mm, overhang: 10 mm, %s adhesive: contact}}
adhesives: {contact: {name: Glue, covers: 6, dry: 32.3, tin: 5, price: 68.00}}
roles: {front: {material: birch}, pressed: {material: pressed}}
felt: {name: Felt, width: 19 mm, thickness: 2 mm, pressed: 1.5 mm, roll: 10 m, price: 9.50, narrow: 60 mm, spacing: 300 mm}
sealer: {name: Sealer, covers: 150 m, price: 13.50}
`

// bankOf is a cabinet of fronts of the given heights and one more, like the first, that is in no
// group.
func bankOf(name, grain string, width int, heights []int) string {
	var b strings.Builder
	fmt.Fprintf(&b, "cabinet: %s\nsizes: {}\nroles: {front: fronts}\nparts:\n", name)
	z := 0
	var names []string
	for i, h := range append(slices.Clone(heights), heights[0]) {
		part := fmt.Sprintf("front-%c", 'a'+i)
		fmt.Fprintf(&b, "  %s: {role: front, x: [0, %d], y: 0, z: [%d, %d], grain: %s, good: -y}\n", part, width, z, z+h, grain)
		names = append(names, part)
		z += h + 3
	}
	fmt.Fprintf(&b, "outside: {x: %d, y: thick.front, z: %d}\n", width, z-3)
	fmt.Fprintf(&b, "matched: {fronts: [%s]}\n", strings.Join(names[:len(heights)], ", "))
	return b.String()
}

// cutMatched cuts a batch of a shop with such cabinets, all of them in each vehicle.
func cutMatched(t rapid.TB, folder, saw, sheets, together string, cabinets []string, vehicles int) *Job {
	layout := "layout: van\ninside: {length: 20000 mm, width: 3000 mm, height: 3000 mm}\ncabinets:\n"
	write := func(name, text string) {
		path := filepath.Join(folder, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	write("shop.yaml", fmt.Sprintf(matchedShop, saw, sheets, together))
	for i, text := range cabinets {
		write(fmt.Sprintf("cabinets/bank-%d.yaml", i), text)
		layout += fmt.Sprintf("  here-%d: {cabinet: bank-%d, at: [%d, 0, 0]}\n", i, i, i*3000)
	}
	write("layouts/van.yaml", layout)
	serials := make([]string, vehicles)
	for i := range serials {
		serials[i] = fmt.Sprint(31 + i)
	}
	write("batches/one.yaml", "batch: one\nvehicles:\n  - {layout: van, serials: ["+strings.Join(serials, ", ")+"]}\n")
	var c source.Collector
	b := OpenFolder(&c, folder).Load(filepath.Join(folder, "batches/one.yaml"), nil)
	if err := c.Err(); err != nil {
		t.Fatal(err)
	}
	j, err := Work(context.Background(), b, Options{Effort: nest.Quick})
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// TestMatchedGroupsAreLaidInOrder: whatever the sizes, the grain and the sheets, each placed
// cabinet of each vehicle gets a strip, and from its corner the fronts have the heights of the
// cabinet from the bottom to the top, as the written plan tells them. Work has replayed that
// plan. The front that is in no group is cut besides.
func TestMatchedGroupsAreLaidInOrder(t *testing.T) {
	folder := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		width, vehicles := rapid.IntRange(100, 500).Draw(t, "width"), rapid.IntRange(1, 4).Draw(t, "vehicles")
		grain := rapid.SampledFrom([]string{"x", "z"}).Draw(t, "grain")
		sheets := rapid.SampledFrom([]string{
			"[{size: 1600 x 1250 mm, grain: length, price: 50.00}]", "[{size: 1600 x 1250 mm, grain: width, price: 50.00}]",
		}).Draw(t, "sheets")
		var cabinets []string
		var want []string // heights from the bottom to the top, once a strip
		for i := range rapid.IntRange(1, 3).Draw(t, "cabinets") {
			heights := rapid.SliceOfN(rapid.IntRange(60, 280), 2, 4).Draw(t, "heights")
			cabinets = append(cabinets, bankOf(fmt.Sprintf("bank-%d", i), grain, width, heights))
			for range vehicles {
				want = append(want, fmt.Sprint(heights))
			}
		}
		j := cutMatched(t, folder, "stages: 3", sheets, "", cabinets, vehicles)
		var plan struct {
			Materials []struct {
				Groups []writtenRead `json:"groups"`
				Blanks []struct {
					Blank string
					Parts []struct {
						Part                string
						X, Y, Length, Width float64
					}
				}
			}
		}
		if err := json.Unmarshal(j.Written, &plan); err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, g := range plan.Materials[0].Groups {
			var heights []int
			at := 0.0
			for _, b := range plan.Materials[0].Blanks {
				if b.Blank != g.Strip {
					continue
				}
				for i, p := range b.Parts {
					start, height := p.Y, p.Width
					if grain == "z" {
						start, height = p.X, p.Length
					}
					if p.Part != g.Parts[i] || start < at-0.0001 || start > at+0.0001 {
						t.Fatalf("part %d of %s is %s at %g, want %s at %g", i+1, g.Strip, p.Part, start, g.Parts[i], at)
					}
					heights = append(heights, int(height+0.5))
					at = start + height + 3.2
				}
			}
			for range g.Count {
				got = append(got, fmt.Sprint(heights))
			}
		}
		slices.Sort(got)
		slices.Sort(want)
		if !slices.Equal(got, want) {
			t.Errorf("strips %v, want %v", got, want)
		}
		single := 0
		for _, p := range j.Pieces {
			if p.Match.Of == 0 {
				single += p.Count
			}
		}
		if n := len(cabinets) * vehicles; single != n {
			t.Errorf("%d fronts in no group, want %d", single, n)
		}
		if len(j.Findings) > 0 {
			t.Errorf("finding: %v", j.Findings)
		}
	})
}

// writtenRead is a group as a reader of the plan sees it.
type writtenRead struct {
	Strip string
	Count int
	Parts []string
}

// TestGroupsThatCannotBe: what fits no sheet, or is beyond the saw, is named with what is missing,
// and its fronts are cut one by one. Three of 400 and two kerfs are 1206.4, cut as 1206.5; the
// sheet has 1250 less two trims of 10.
func TestGroupsThatCannotBe(t *testing.T) {
	const where, end = "van: here-0: fronts: the strip for its 3 parts (", ": they are cut one by one, and no figure runs through them"
	const sheets = "[{size: 2500 x 1220 mm, grain: length, price: 50.00}]"
	for _, test := range []struct{ name, saw, sheets, want string }{
		{"fits", "stages: 3", "[{size: 2500 x 1227 mm, grain: length, price: 50.00}]", ""},
		{"too high", "stages: 3", sheets, where + "500 x 1206.5 mm) fits no sheet: 2500 x 1220 mm comes nearest, short of 6.5 mm across it once trimmed" + end},
		{"too small a part", "smallest: 500 x 450 mm", "[{size: 2500 x 1250 mm, grain: length, price: 50.00}]",
			where + "500 x 1206.5 mm) would hold A-001, below the saw's smallest part of 500 x 450 mm" + end},
		{"too long a cut", "longest-rip: 450 mm", "[{size: 2500 x 1250 mm, grain: length, price: 50.00}]",
			where + "500 x 1206.5 mm) takes cuts of 500 mm to part it, the saw's longest is 450 mm" + end},
	} {
		j := cutMatched(t, t.TempDir(), test.saw, test.sheets, "", []string{bankOf("bank-0", "x", 500, []int{400, 400, 400})}, 2)
		var got []string
		for _, f := range j.Findings {
			if strings.Contains(f.Text, "strip") {
				got = append(got, f.Where+": "+f.Text)
			}
		}
		if text := strings.Join(got, "; "); text != test.want {
			t.Errorf("%s: got %q, want %q", test.name, text, test.want)
		}
		groups := len(j.Materials[0].matchedGroups())
		if (groups == 1) != (test.want == "") {
			t.Errorf("%s: %d groups", test.name, groups)
		}
	}
}

// TestPressedGroups: fronts that the shop presses together come from one blank in their order,
// and are a group; pressed one by one they are none, and that is said.
func TestPressedGroups(t *testing.T) {
	for _, test := range []struct{ together, want string }{
		{"together: 1250 x 900 mm,", ""},
		{"", "error van: here-0: fronts: its 3 parts are not pressed as one blank in their order: they are cut one by one, and no figure runs through them"},
	} {
		j := cutMatched(t, t.TempDir(), "stages: 3", "[{size: 2500 x 1250 mm, grain: length, price: 50.00}]", test.together,
			[]string{strings.NewReplacer("role: front", "role: pressed", "{front: fronts}", "{pressed: fronts}", "thick.front", "thick.pressed").Replace(
				bankOf("bank-0", "x", 500, []int{200, 240, 260}))}, 2)
		got := ""
		for _, f := range j.Findings {
			got += string(f.Level) + " " + f.Where + ": " + f.Text
		}
		if got != test.want {
			t.Errorf("%q: got %q, want %q", test.together, got, test.want)
		}
		groups := 0
		for i := range j.Materials {
			for _, g := range j.Materials[i].matchedGroups() {
				groups += g.Count
			}
		}
		if (groups == 2) != (test.want == "") {
			t.Errorf("%q: %d groups", test.together, groups)
		}
	}
}
