package batch

import (
	"context"
	"fmt"
	"slices"
	"testing"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
	"sawbook/nest"
)

// workDemo cuts a batch of the demo shop.
func workDemo(t testing.TB, change func(*shop.Shop)) *Job {
	t.Helper()
	var c source.Collector
	f := OpenFolder(&c, "../../testdata/demo")
	b := f.Load("../../testdata/demo/batches/spring.yaml", nil)
	if err := c.Err(); err != nil {
		t.Fatal(err)
	}
	if change != nil {
		change(b.Shop)
	}
	j, err := Work(context.Background(), b, Options{Effort: nest.Quick})
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// TestSettingsAreThoseOfTheCuts goes from the settings to the cuts and back: every cut of
// every pattern is made at exactly one setting, which has its direction and thickness and
// the extent that the cut frees, taken from the cut's own line; no setting comes twice,
// and they run wide to narrow.
func TestSettingsAreThoseOfTheCuts(t *testing.T) {
	j := workDemo(t, nil)
	at := map[string]int{}
	name := func(m *Material, p *Pattern, step int) string { return fmt.Sprint(m.NameOf(p), " ", step) }
	known := map[string]bool{}
	settings := Settings(j)
	for i, s := range settings {
		key := fmt.Sprint(s.Thickness, s.Rip, s.Set)
		if known[key] {
			t.Errorf("setting %s is listed twice", key)
		}
		known[key] = true
		if i > 0 && s.Thickness == settings[i-1].Thickness && s.Rip == settings[i-1].Rip && s.Set >= settings[i-1].Set {
			t.Errorf("setting %s comes after a narrower one", key)
		}
		for _, c := range s.Cuts {
			at[name(c.Material, c.Pattern, c.Step)]++
			freed := c.X1 - c.From.X
			if c.Y1 == c.Y2 {
				freed = c.Y1 - c.From.Y
			}
			if freed != s.Set || (c.Y1 == c.Y2) != s.Rip || c.Material.Of.Thickness != s.Thickness {
				t.Errorf("cut %s frees %s at a setting of %s", name(c.Material, c.Pattern, c.Step), freed.Exact(), s.Set.Exact())
			}
		}
	}
	cuts := 0
	for i := range j.Materials {
		m := &j.Materials[i]
		for _, p := range m.AllPatterns() {
			for _, c := range p.Cuts {
				cuts++
				if n := at[name(m, p, c.Step)]; n != 1 {
					t.Errorf("cut %s stands at %d settings", name(m, p, c.Step), n)
				}
			}
		}
	}
	if cuts < 500 || len(at) != cuts {
		t.Errorf("%d cuts at settings, %d in the patterns", len(at), cuts)
	}
}

// TestMaterialsOfOneThicknessShareSettings: two plywoods of 11.9 mm, one of 14.8.
func TestMaterialsOfOneThicknessShareSettings(t *testing.T) {
	material := func(letter string, thickness measure.Length, cuts ...Cut) Material {
		return Material{Letter: letter, Of: &shop.Material{Thickness: thickness}, Patterns: []Pattern{{Number: 1, Times: 5, Cuts: cuts}}}
	}
	rip := func(set measure.Length) Cut { return Cut{Rip: true, Setting: set} }
	j := &Job{Batch: &Batch{Shop: &shop.Shop{Rates: shop.Rates{Setting: 50, Cut: 3}}}, Materials: []Material{
		material("A", 11_900_000, rip(300), rip(200), Cut{Setting: 300}),
		material("B", 14_800_000, rip(300)),
		material("C", 11_900_000, rip(400), rip(200)),
	}}
	j.Materials[2].Saw.Stack = 3
	var got []string
	for _, s := range Settings(j) {
		line := fmt.Sprint(s.Thickness.MM(), " ", s.Rip, " ", int64(s.Set), " made ", s.Made(), ":")
		for _, c := range s.Cuts {
			line += " " + c.Material.Letter
		}
		got = append(got, line)
	}
	want := []string{
		"11.9 true 400 made 2: C", "11.9 true 300 made 5: A", "11.9 true 200 made 7: A C", "11.9 false 300 made 5: A",
		"14.8 true 300 made 5: B",
	}
	if !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
	if got, want := j.sawUse(), (SawUse{Settings: 5, Cuts: 24, Patterns: 3, Cost: 5*50 + 24*3}); got != want {
		t.Errorf("use of the saw %+v, want %+v", got, want)
	}
}

// TestPricesOfSettingsPay: a plan made with prices never comes to more, by these prices,
// than the plan made without, and at some price it takes fewer settings. The estimate
// tells what the prices bought.
func TestPricesOfSettingsPay(t *testing.T) {
	plain := workDemo(t, nil).Estimate.Saw
	fewer := false
	all := []shop.Rates{{Setting: 3000}, {Setting: 20, Cut: 2}, {Setting: 300}, {Cut: 40}}
	if testing.Short() { // under the race detector each takes long
		all = all[:1]
	}
	for _, rates := range all {
		priced := workDemo(t, func(s *shop.Shop) { s.Rates.Setting, s.Rates.Cut = rates.Setting, rates.Cut })
		total := func(u SawUse) shop.Money {
			return u.Sheets + shop.Money(u.Settings)*rates.Setting + shop.Money(u.Cuts)*rates.Cut
		}
		use := priced.Estimate.Saw
		if total(use) > total(plain) || priced.Unpriced.Settings != plain.Settings || priced.Unpriced.Cuts != plain.Cuts {
			t.Errorf("%+v: with prices %+v, without %+v or %+v", rates, use, plain, priced.Unpriced)
		}
		for _, l := range priced.Estimate.Lines {
			want := map[string]string{
				"settings": fmt.Sprintf("Settings of fence and stop (%d if free)", plain.Settings),
				"cuts":     fmt.Sprintf("Cuts (%d if free)", plain.Cuts),
				"blanks":   "Blanks, cut up in a second cut", // the strips of matched fronts
			}[l.Item]
			if l.Group == GroupSaw && l.Item != "blanks" && l.Name != want {
				t.Errorf("line %q, want %q", l.Name, want)
			}
		}
		fewer = fewer || use.Settings < plain.Settings
	}
	if !fewer {
		t.Error("no price makes for fewer settings")
	}
}
