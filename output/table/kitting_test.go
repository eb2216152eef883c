package table

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/output/internal/sample"
)

// One chest in two vehicles: two sides and a lid, each side with one band of 530 mm, and three
// strips of felt, one of them towards a neighbour.
func TestKitting(t *testing.T) {
	job := sample.Small(metric)
	job.Batch.Vehicles[0].Interior.Cabinets[0].Solid.Hardware = []cabinets.HardwareLine{{Name: "stay", Item: job.Batch.Shop.Hardware[0], Count: 3}}
	want := [][]string{
		{"C-01, C-02", "Curlew + long", "box", "part", "A-001", "side", "", "2", "", "4"},
		{"C-01, C-02", "Curlew + long", "box", "part", "A-002", "lid", "", "1", "", "2"},
		{"C-01, C-02", "Curlew + long", "box", "hardware", "hinge", "Butt hinge", "", "3", "", "6"},
		{"C-01, C-02", "Curlew + long", "box", "band", "oak-2", "Oak band", "", "2", "1.06", "4"},
		{"C-01, C-02", "Curlew + long", "box", "felt", "", "Felt tape", "", "3", "0.52", "6"},
	}
	if diff := cmp.Diff(want, printed(Kitting(job))); diff != "" {
		t.Error(diff)
	}
}

// All kits together hold the parts that are cut, and the hardware, bands, lippings and felt that
// the estimate counts.
func TestKitsHoldAll(t *testing.T) {
	job := sample.Demo(t, metric)
	counts, metres := map[string]int{}, map[string]float64{}
	for _, k := range kits(job) {
		for _, r := range k.rows {
			item := r.item
			if r.kind == "hardware" {
				item = r.name
				if r.length > 0 {
					item += ", " + metric.WithUnit(r.length) // as the estimate names it
				}
			}
			counts[r.kind+" "+item] += r.each * k.vehicles
			if r.tape() {
				metres[r.kind] += r.length.MM() / 1000 * float64(k.vehicles)
			}
		}
	}
	for _, p := range job.Pieces {
		if got := counts["part "+p.ID]; got != p.Count {
			t.Errorf("kits hold %d of %s, %d are cut", got, p.ID, p.Count)
		}
	}
	kinds := map[string]string{batch.GroupBand: "band", batch.GroupLipping: "lipping", batch.GroupFelt: "felt"}
	lines := 0
	for _, l := range job.Estimate.Lines {
		if l.Group == batch.GroupHardware {
			lines++
			if got := float64(counts["hardware "+l.Name]); got != l.Need {
				t.Errorf("kits hold %g of %s, the estimate %g", got, l.Name, l.Need)
			}
		}
		if kind := kinds[l.Group]; kind != "" {
			lines++
			if math.Abs(metres[kind]-l.Need) > 0.005 {
				t.Errorf("kits hold %.3f m of %s, the estimate %.3f", metres[kind], kind, l.Need)
			}
		}
	}
	if lines < 10 {
		t.Errorf("only %d lines were compared", lines)
	}
}

// Runs of serials are drawn together; one with leading zeros or letters stands alone.
func TestSerials(t *testing.T) {
	in := &cabinets.Interior{Layout: &cabinets.Layout{Name: "Dunlin"}}
	b := &batch.Batch{}
	for _, serial := range []string{"31", "32", "33", "40", "007", "C-01", "41", ""} {
		b.Vehicles = append(b.Vehicles, batch.Vehicle{Serial: serial, Interior: in})
	}
	if got, want := Serials(b, in), "31-33, 40, 007, C-01, 41"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}
