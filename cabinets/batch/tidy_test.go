package batch

import (
	"path/filepath"
	"testing"

	"sawbook/nest"
)

// What is left untidied takes as many sheets at the same cost, but more settings in all; where these are counted, nothing is
// left so.
func TestUntidied(t *testing.T) {
	settings := map[string]int{}
	for _, layout := range []string{"curlew", "dunlin"} {
		b := load(t, filepath.Join(demo, "layouts", layout+".yaml"))
		work := func(name string, o Options) *Job {
			o.Effort = nest.Quick
			j, err := Work(t.Context(), b, o)
			if err != nil {
				t.Fatal(err)
			}
			settings[name] += j.Unpriced.Settings
			return j
		}
		tidy, found := work("tidied", Options{}), work("untidied", Options{Untidied: true})
		for i, u := range found.Estimate.Sheets {
			if as := tidy.Estimate.Sheets[i]; u.Sheets != as.Sheets || u.Cost != as.Cost || u.Bound != as.Bound {
				t.Errorf("%s: %d sheets of %s, tidied %d", layout, u.Sheets, u.Material.ID, as.Sheets)
			}
		}
		b.Shop.Rates.Setting = 100
		work("counted", Options{Untidied: true})
	}
	if settings["untidied"] <= settings["tidied"] || settings["counted"] != settings["tidied"] {
		t.Errorf("settings: %v", settings)
	}
}
