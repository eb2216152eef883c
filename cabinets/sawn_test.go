package cabinets

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

const hatch = `cabinet: hatch
sizes:
  width: {default: 1000 mm, least: 600 mm, most: 1500 mm}
  depth: {default: 600 mm, least: 500 mm, most: 900 mm}
  left: {default: 100 mm, least: 60 mm, most: 300 mm}
outside: {x: width, y: depth, z: thick.front}
roles: {front: both, lid: nothing}
parts:
  board:
    role: front
    x: [0, width]
    y: [0, depth]
    z: 0
    grain: x
    cutouts: [{x: [left, left + 300], y: [80, depth - 100], about: lid}]
  lid:
    role: front
    assembly: lid
    sawn-from: board
    x: [left + kerf, left + 300 - kerf]
    y: [80 + kerf, depth - 100 - kerf]
    z: 0
    grain: x
    holes: [{x: left + 150, y: 110, diameter: 25, about: finger}]
`

// TestSawnOut works a lid by hand: the opening of 300 x 420 less a kerf of 3.2 all round is
// 293.6 x 413.6, whatever the fence's step. A band of 0.5 on its edges comes on top and
// leaves a gap of 2.7.
func TestSawnOut(t *testing.T) {
	s := bench()
	s.Saw.Kerf = 3_200_000
	s.Roles["front"] = shop.Fill{Material: s.Materials[2], Edges: shop.Treatment{Band: &shop.Band{ID: "thin", Thickness: mm / 2}, Deduct: true}}
	s.Materials[2].Grain = true
	solid := sound(t, s, hatch)
	lid, board := part(t, solid, "lid"), part(t, solid, "board")
	if got := lid.Length.Exact() + " x " + lid.Width.Exact(); got != "293.6 x 413.6" {
		t.Errorf("the lid is %s", got)
	}
	if gap := lid.Snapped.Lo[X] - 100*mm; gap != 2_700_000 {
		t.Errorf("the gap is %s", gap.Exact())
	}
	// The finger hole's middle is designed 30 behind the opening's front, so 26.8 from the
	// edge that the saw leaves.
	if got := lid.Features[0].Box.Lo[1] + lid.Features[0].Box.Size(1)/2; got != 26_800_000 {
		t.Errorf("the hole is %s from the edge", got.Exact())
	}
	// It is a piece of its own beside the board, and one such is no piece that is cut from a sheet.
	cut := *lid
	cut.SawnFrom = ""
	var sawn []string
	for _, p := range Pieces(s, []Standing{{Part: board, Place: Place{Vehicles: 1}}, {Part: lid, Place: Place{Vehicles: 1}}, {Part: &cut, Place: Place{Vehicles: 1}}}) {
		sawn = append(sawn, p.Name+" "+p.SawnFrom)
	}
	slices.Sort(sawn)
	if diff := cmp.Diff([]string{"board ", "lid ", "lid board"}, sawn); diff != "" {
		t.Error(diff)
	}
}

// TestSawnOutFits: whatever the sizes and the step, a lid as sawn lies a kerf inside its
// opening as sawn, all round.
func TestSawnOutFits(t *testing.T) {
	d := read(t, hatch)
	rapid.Check(t, func(t *rapid.T) {
		s := bench()
		s.Saw.Kerf = measure.Length(rapid.Int64Range(15, 50).Draw(t, "kerf")) * mm / 10
		s.Saw.Step = rapid.SampledFrom([]measure.Length{mm / 2, mm, measure.Inch / 32}).Draw(t, "step")
		sizes := map[string]measure.Length{}
		for _, size := range d.Sizes {
			sizes[size.Name] = measure.Micrometre * measure.Length(rapid.Int64Range(int64(size.Least/1000), int64(size.Most/1000)).Draw(t, size.Name))
		}
		s.Roles["front"] = shop.Fill{Material: s.Materials[0]}
		solid := expand(t, s, d, sizes)
		if len(solid.Findings) > 0 {
			t.Fatal(solid.Findings)
		}
		board, lid := part(t, solid, "board"), part(t, solid, "lid")
		opening := board.Features[0].Box
		if got := opening.Size(0) - lid.Length; got != 2*s.Saw.Kerf {
			t.Errorf("along the grain the lid is %s mm less than its opening", got.Exact())
		}
		if got := opening.Size(1) - lid.Width; got != 2*s.Saw.Kerf {
			t.Errorf("across the grain the lid is %s mm less than its opening", got.Exact())
		}
		if got := lid.Snapped.Lo[X] - board.Snapped.Lo[X] - opening.Lo[0]; got != s.Saw.Kerf {
			t.Errorf("the lid lies %s mm inside its opening", got.Exact())
		}
	})
}

// TestSawnOutRefused: what cannot be sawn out of another part.
func TestSawnOutRefused(t *testing.T) {
	for _, test := range []struct{ old, by, want string }{
		{"sawn-from: board", "sawn-from: bord", `19:16: unknown part that another may be sawn out of "bord"; did you mean "board"?`},
		{"sawn-from: board", "sawn-from: lid", `19:16: unknown part that another may be sawn out of "lid"; known here: board`},
		{"assembly: lid", "assembly: body", "19:16: lid and board are of one assembly"},
		{"  lid:\n    role: front", "  lid:\n    role: lid", "19:16: lid has the role lid, board the role front"},
		{"z: 0\n    grain: x\n    holes", "z: 0\n    grain: y\n    holes", "19:16: lid does not lie as board does"},
	} {
		_, faults := readFaults(strings.Replace(hatch, test.old, test.by, 1))
		if len(faults) != 1 || !strings.HasPrefix(faults[0], test.want) {
			t.Errorf("%s: %v, want %s", test.by, faults, test.want)
		}
	}
	s := bench()
	s.Saw.Kerf = 3_200_000
	for _, test := range []struct{ old, by, want string }{
		{"[left + kerf, left + 300 - kerf]", "[left + 2, left + 300 - kerf]", "2 mm lie between it and the opening of board, the saw's kerf takes 3.2 mm"},
		{"[left + kerf, left + 300 - kerf]", "[left - 5, left + 300 - kerf]", "the part lies in no cut-out of board, out of which it is sawn"},
	} {
		solid := expand(t, s, read(t, strings.Replace(hatch, test.old, test.by, 1)), nil)
		if !slices.ContainsFunc(solid.Findings, func(f Finding) bool { return f.Level == LevelError && f.Text == test.want }) {
			t.Errorf("%s: %v, want %s", test.by, solid.Findings, test.want)
		}
	}
	s.Roles["front"] = shop.Fill{Material: s.Materials[2], Edges: shop.Treatment{Band: &shop.Band{ID: "thick", Thickness: 3 * mm}, Deduct: true}}
	solid := expand(t, s, read(t, hatch), nil)
	if got := solid.Findings; len(got) == 0 || got[0].Text != "once banded it has a gap of 0.2 mm in the opening of board" {
		t.Errorf("%v", got)
	}
}
