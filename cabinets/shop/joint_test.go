package shop

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sawbook/cabinets/measure"
)

const joinery = `
joints:
  screwed:
    kind: butt
    fixing: latch
    spacing: 150 mm
    end: 40 mm
    edge: 5.5 mm
    hole: {diameter: 4.5 mm}
    pilot: {diameter: 2.5 mm, depth: 35 mm}
  butt-2: {kind: butt}
  housed: {kind: dado, depth: 4 mm, allowance: 0.2 mm}
  dry: {kind: connector, glued: no}
`

func TestJoints(t *testing.T) {
	s, faults := read(strings.Replace(full, "edges: oak}", "edges: oak, joint: screwed}\n  back: {material: birch, joint: dado}\n  front: {material: birch, joint: glue}\n  lid: {material: birch, joint: dowel}", 1) + joinery)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	want := &Joint{ID: "screwed", Kind: Butt, Glued: true, Fixing: s.Hardware[1], Spacing: 150 * mm, End: 40 * mm, Edge: 5500 * measure.Micrometre,
		Hole: Bore{Diameter: 4500 * measure.Micrometre}, Pilot: Bore{2500 * measure.Micrometre, 35 * mm}}
	if diff := cmp.Diff(want, s.Roles["carcass"].Joint); diff != "" {
		t.Error(diff)
	}
	if j := s.Roles["back"].Joint; j.LetsInBy() != 4*mm || want.LetsInBy() != 0 {
		t.Errorf("the back is joined by %+v", j)
	}
	if s.Roles["front"].Joint != nil || s.Roles["lid"].Joint != nil {
		t.Error("glue, and a kind that the shop does not have, are glue alone")
	}
	for word, want := range map[string]string{"butt": "screwed", "butt-2": "butt-2", "connector": "dry", "dowel": "", "glue": ""} {
		j, known := s.Joint(word)
		if got := ""; !known {
			t.Errorf("%s is not known", word)
		} else if j != nil {
			if got = j.ID; got != want {
				t.Errorf("%s is %s, want %s", word, got, want)
			}
		} else if want != "" {
			t.Errorf("%s is glue, want %s", word, want)
		}
	}
	if _, known := s.Joint("dove"); known {
		t.Error("dove is known")
	}
}
