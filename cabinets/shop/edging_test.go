package shop

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sawbook/cabinets/measure"
)

// edged is full with everything that an edge may get.
const edged = `
sealer: {name: Edge seal, covers: 80 m, price: 14.50}
lippings:
  ash: {thickness: 8 mm, width: 16 mm, length: 2.4 m, price: 6.40}
  thin: {thickness: 4 mm, width: 16 mm, length: 2.4 m, price: 4, deduct: no}
`

func TestEdging(t *testing.T) {
	text := strings.Replace(full, "edges: oak}", `edges: oak, deduct: yes}
  lid: {material: birch, edges: ash round}
  top: {material: birch, edges: ash, deduct: no}
  rail: {material: birch, edges: round thin}
  post: {material: birch, edges: round}
  wall: {material: birch, edges: bare}`, 1)
	s, faults := read(text + edged)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	got := map[string]string{}
	for role, fill := range s.Roles {
		got[role] = fill.Edges.String() + " " + fill.Edges.Off().Exact()
	}
	want := map[string]string{"carcass": "oak 2", "lid": "ash round 8", "top": "ash 0", "rail": "thin round 0", "post": "round 0", "wall": "bare 0"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff(&Sealer{"Edge seal", 80 * measure.Metre, 1450}, s.Sealer); diff != "" {
		t.Error(diff)
	}
	if b := s.Band("ash"); !b.Lipping || b.Roll != 2400*mm || s.Band("oak").Lipping {
		t.Errorf("got %+v", b)
	}
}

func TestEdgingRefuses(t *testing.T) {
	for _, test := range []struct{ old, new, want string }{
		{"edges: oak", "edges: oak oak", `"oak oak" says two things of one edge; an edge is bare or gets one band, and may be round besides`},
		{"edges: oak", "edges: bare oak", `"bare oak" says two things of one edge; an edge is bare or gets one band, and may be round besides`},
		{"edges: oak", "edges: round round", `"round round" says two things of one edge; an edge is bare or gets one band, and may be round besides`},
		{"edges: oak", "edges: oak rond", `unknown edge band "rond"; did you mean "round"?`},
		{"edges: oak", "edges: oak, deduct: some", `"some" is not known here; known here: yes, no, true, false`},
		{"  thin:", "  oak:", "oak is the name of a band; choose another name: edges name either"},
		{"  thin:", "  round:", "round is no name for a band; round means an edge that is rounded over; choose another name"},
		{"price: 6.40", "roll: 2 m, price: 6.40", `unknown key "roll"; known here: name, thickness, width, length, price, allowance, deduct, density, specific-gravity`},
		{"covers: 80 m, ", "", `the key "covers" is missing; add a line covers: ...`},
	} {
		_, faults := read(strings.Replace(full+edged, test.old, test.new, 1))
		if got := strings.Join(faults, "|"); !strings.HasSuffix(got, test.want) || len(faults) != 1 {
			t.Errorf("{%q, %q, %q},", test.old, test.new, got)
		}
	}
}

// TestWoodDensity recomputes densities from the specific gravities of the USDA Wood Handbook, at
// 12 % moisture: SG x 1000 x 1.12, in kg/m3. Lippings are not
// counted on where a shelf sags, which is on the safe side.
func TestWoodDensity(t *testing.T) {
	for _, c := range []struct {
		wood, says string
		want       float64
	}{
		{"yellow birch", "specific-gravity: 0.62", 694.4},
		{"paper birch", "specific-gravity: 0.55", 616},
		{"sweet birch", "specific-gravity: 0.65", 728},
		{"sugar maple", "specific-gravity: 0.63", 705.6},
		{"red maple", "specific-gravity: 0.54", 604.8},
		{"a plastic", "density: 1400", 1400},
		{"left out", "deduct: yes", 700},
	} {
		s, faults := read(full + strings.Replace(edged, "price: 6.40}", "price: 6.40, "+c.says+"}", 1))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		if got := s.Band("ash").Density; math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %g kg/m3, want %g", c.wood, got, c.want)
		}
	}
	text := strings.Replace(full, "density: 695", "specific-gravity: 0.62", 1)
	if s, faults := read(text); len(faults) > 0 || math.Abs(s.Material("birch").Density-694.4) > 1e-9 {
		t.Errorf("a sheet of solid wood: %v", faults)
	}
}
