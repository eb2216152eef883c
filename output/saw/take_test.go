package saw

import (
	"slices"
	"strings"
	"testing"

	"sawbook/cabinets/register"
	"sawbook/output/internal/sample"
)

// A sheet turns out bad and its parts are planned anew: what is booked out is the bad sheet and all that are cut in the end, and no
// offcut of the bad one comes in.
func TestTakeAfterRecut(t *testing.T) {
	r, j, name := started(t, "dunlin", "150 x 40 mm")
	c := cuttingOf(t, r, name)
	sheets := c.Sheets()
	bad := sheets[slices.IndexFunc(sheets, func(s register.SawSheet) bool { return s.Material == "birch-18" })]
	if _, err := r.Receive(someone(), register.Lot{Key: register.Key{Kind: register.Sheet, Item: bad.Material, Length: bad.Sheet.Length, Width: bad.Sheet.Width, Across: bad.Sheet.GrainAcross}}, 100*register.One); err != nil {
		t.Fatal(err)
	}
	c, err := r.Tick(someone(), register.Tick{ID: "tick", Cutting: name, Items: bad.Items()[:1], Ticked: true})
	if err != nil {
		t.Fatal(err)
	}
	p, err := Recut(t.Context(), c, register.Spoilt{ID: "recut", Sheet: bad.Key}, sample.Little.Plans)
	if err != nil {
		t.Fatal(err)
	}
	if c, err = r.Recut(someone(), c, p); err != nil {
		t.Fatal(err)
	}
	want := register.One // the bad one
	for _, s := range c.Sheets() {
		if s.Takes == nil && s.Material == bad.Material && s.Sheet.Offcut == "" {
			want += register.One
		}
	}
	taken, err := r.Take(someone(), j)
	if err != nil {
		t.Fatal(err)
	}
	got := register.Quantity(0)
	for _, n := range taken.Out {
		if n.Kind == register.Sheet && n.Item == bad.Material {
			got += n.Quantity
		}
	}
	if got != want || taken.Recuts != 1 {
		t.Errorf("%s sheets of %s went out after %d recuts, want %s after 1", got, bad.Material, taken.Recuts, want)
	}
	for _, l := range taken.In {
		for _, o := range bad.Offcuts {
			if strings.HasSuffix(l.Label, "-"+o.Label) && !strings.Contains(l.Label, "recut") {
				t.Errorf("offcut %s of the bad sheet came in", l.Label)
			}
		}
	}
	if _, err := r.Verify(); err != nil {
		t.Error(err)
	}
}
