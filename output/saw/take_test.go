package saw

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"sawbook/cabinets/register"
	"sawbook/output/internal/sample"

	"github.com/google/go-cmp/cmp"
)

// A batch is booked out, and what is planned anew after that is booked by taking it again, each recut once. In the end the
// stock is that of a shop that booked all of it at once.
func TestTakeAgainAfterRecuts(t *testing.T) {
	for seed := range uint64(3) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) { takeAgain(t, rand.New(rand.NewPCG(seed, 5))) })
	}
}

func takeAgain(t *testing.T, random *rand.Rand) {
	r, j, name := started(t, "dunlin", "150 x 40 mm")
	once, _, _ := started(t, "dunlin", "150 x 40 mm")
	c := cuttingOf(t, r, name)
	receiveAll(t, r, c)
	receiveAll(t, once, c)
	take := func(of *register.Register, recuts int) (entry int64) {
		t.Helper()
		taken, err := of.Take(someone(), j)
		if err != nil {
			t.Fatal(err)
		}
		if taken.Recuts != recuts {
			t.Errorf("%d recuts are booked with entry %d, want %d", taken.Recuts, taken.Sequence, recuts)
		}
		_, err = of.Take(someone(), j)
		refuses(t, err, fmt.Sprintf("is booked out already, by entry %d", taken.Sequence))
		return taken.Sequence
	}
	first := take(r, 0)
	for n := range 3 {
		for range n + 1 {
			c = work(t, r, c, random)
			s := wreck(c, random)
			s.ID = fmt.Sprint("recut ", len(c.Plans))
			p, err := Recut(t.Context(), c, s, sample.Little.Plans)
			if err != nil {
				t.Fatal(err)
			}
			if c, err = r.Recut(someone(), c, p); err != nil {
				t.Fatal(err)
			}
		}
		take(r, n+1)
	}
	if _, err := r.Undo(someone(), 0); err != nil {
		t.Fatal(err)
	}
	last := take(r, 3)
	_, err := r.Undo(someone(), first)
	refuses(t, err, fmt.Sprintf("entry %d adds recuts to it\nhint: undo that first", last))

	cutAlike(t, r, once)
	take(once, 6)
	if diff := cmp.Diff(inStock(t, once), inStock(t, r)); diff != "" {
		t.Errorf("booked at once (-) and recut by recut (+) come to different stock:\n%s", diff)
	}
	for _, of := range []*register.Register{r, once} {
		if _, err := of.Verify(); err != nil {
			t.Error(err)
		}
	}
}

// receiveAll brings in a hundred of every sheet that a batch could be cut from, and its offcuts.
func receiveAll(t *testing.T, r *register.Register, c *register.Cutting) {
	t.Helper()
	for material, sheets := range c.Plans[0].Stock {
		for _, s := range sheets {
			key := register.Key{Kind: register.Sheet, Item: material, Length: s.Length, Width: s.Width, Across: s.GrainAcross}
			var err error
			if key.Label = s.Offcut; key.Label != "" {
				key.Kind = register.Offcut
				_, err = r.Keep(someone(), register.Lot{Key: key})
			} else if s.Layers == nil {
				_, err = r.Receive(someone(), register.Lot{Key: key}, 100*register.One)
			}
			if err != nil {
				t.Fatal(err)
			}
		}
	}
}

// cutAlike does at the saw of one register what was done at that of another.
func cutAlike(t *testing.T, as, to *register.Register) {
	t.Helper()
	entries, err := as.Entries()
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		var tick register.Tick
		var p register.CutPlan
		switch e.Kind {
		case register.Ticked:
			if err = json.Unmarshal(e.Body, &tick); err == nil {
				_, err = to.Tick(someone(), tick)
			}
		case register.Recut:
			if err = json.Unmarshal(e.Body, &p); err == nil {
				_, err = to.Recut(someone(), cuttingOf(t, to, p.Cutting), &p)
			}
		}
		if err != nil {
			t.Fatal(err)
		}
	}
}

// inStock tells how much is left of what. The label of a new offcut is that of the page, without the entry that booked it.
func inStock(t *testing.T, r *register.Register) map[string]register.Quantity {
	t.Helper()
	stock, err := r.Stock()
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]register.Quantity{}
	for _, h := range stock.Lots {
		h.Label = regexp.MustCompile(`^\d+-`).ReplaceAllString(h.Label, "")
		if h.Left > 0 {
			all[fmt.Sprintf("%+v", h.Key)] += h.Left
		}
	}
	return all
}

func refuses(t *testing.T, err error, want string) {
	t.Helper()
	if err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("error %v, want one that says %q", err, want)
	}
}

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
