package table

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/output/internal/sample"
)

// Joints that differ in the counters of their parts alone are one row.
func TestJoints(t *testing.T) {
	job := sample.Small(metric)
	screwed := &shop.Joint{ID: "screwed", Kind: shop.Butt, Glued: true, Fixing: job.Batch.Shop.Hardware[0]}
	housed := &shop.Joint{ID: "housed", Kind: shop.Dado}
	job.Batch.Vehicles[0].Interior.Cabinets[0].Solid.Joints = []cabinets.Joint{
		{How: screwed, Through: "box-1.left", Into: "box-1.shelf-2", Run: 300 * mm, Fixings: 3},
		{How: screwed, Through: "box-2.left", Into: "box-2.shelf-10", Run: 300 * mm, Fixings: 3},
		{How: screwed, Through: "box-2.left", Into: "box-2.shelf-11", Run: 200 * mm, Fixings: 2},
		{How: housed, Through: "left", Into: "bottom", Run: 300 * mm},
	}
	want := [][]string{
		{"Curlew + long", "box", "screwed", "butt", "box.left", "box.shelf", "yes", "300", "2", "hinge", "3", "2", "12"},
		{"Curlew + long", "box", "screwed", "butt", "box.left", "box.shelf", "yes", "200", "1", "hinge", "2", "2", "4"},
		{"Curlew + long", "box", "housed", "dado", "left", "bottom", "no", "300", "1", "", "0", "2", "0"},
	}
	if diff := cmp.Diff(want, printed(Joints(job))); diff != "" {
		t.Error(diff)
	}
}

// Hardware is listed by cabinet, with what else would do.
func TestHardware(t *testing.T) {
	job := sample.Small(metric)
	light, heavy := &shop.Hardware{ID: "light"}, &shop.Hardware{ID: "heavy"}
	job.Batch.Vehicles[0].Interior.Cabinets[0].Solid.Hardware = []cabinets.HardwareLine{
		{Name: "slide", Item: light, Length: 450 * mm, Count: 3, Or: []cabinets.Fit{{Item: heavy, Length: 400 * mm}, {Item: job.Batch.Shop.Hardware[0]}}},
	}
	want := [][]string{{"Curlew + long", "box", "slide", "light", "450", "3", "2", "6", "heavy 400, hinge"}}
	if diff := cmp.Diff(want, printed(Hardware(job))); diff != "" {
		t.Error(diff)
	}
}

// A hole in an edge is told by its diameter and its depth, whichever way it runs.
func TestEdgeHole(t *testing.T) {
	piece := sample.Small(metric).Pieces[1]
	box := func(u, v, w int64) (b cabinets.Box) {
		b.Hi = [3]measure.Length{measure.Length(u) * mm, measure.Length(v) * mm, measure.Length(w) * mm}
		return b
	}
	piece.Features = []cabinets.Feature{
		{Kind: cabinets.EdgeHole, Box: box(35, 3, 3), About: "for left"}, {Kind: cabinets.EdgeHole, Box: box(3, 35, 3), About: "for left"},
		{Kind: cabinets.EdgeHole, Box: box(8, 8, 8), About: "for back"},
	}
	if got, want := features(piece, metric), "2 × edge hole Ø3, 35 deep for left; edge hole Ø8, 8 deep for back"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}
