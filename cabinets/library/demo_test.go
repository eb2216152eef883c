package library_test

import (
	"path/filepath"
	"testing"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
)

// TestInTheDemoShop expands every cabinet, built in or the demo shop's own, in that shop:
// as it comes without a finding, and with every size at each end of its range without an
// error, so that the shop has the hardware and materials that it takes.
func TestInTheDemoShop(t *testing.T) {
	demo := filepath.Join("..", "..", "testdata", "demo")
	var c source.Collector
	file := filepath.Join(demo, "shop.yaml")
	s := shop.Read(&c, source.ReadFile(&c, file, file))
	k := cabinets.NewCatalogue(&c, filepath.Join(demo, "cabinets"))
	for _, name := range k.Names() {
		d := k.Lookup(name)
		if err := c.Err(); err != nil {
			t.Fatal(err)
		}
		t.Run(name, func(t *testing.T) {
			expand := func(sizes map[string]measure.Length) []cabinets.Finding {
				t.Helper()
				solid, err := cabinets.Expand(s, d, cabinets.Choice{Sizes: sizes})
				if err != nil {
					t.Fatal(err)
				}
				return solid.Findings
			}
			for _, f := range expand(nil) {
				t.Errorf("%s: %s: %s", f.Level, f.Where, f.Text)
			}
			for _, size := range d.Sizes {
				for _, value := range []measure.Length{size.Least, size.Most} {
					for _, f := range expand(map[string]measure.Length{size.Name: value}) {
						if f.Level == cabinets.LevelError {
							t.Errorf("%s %d: %s: %s", size.Name, value, f.Where, f.Text)
						}
					}
				}
			}
		})
	}
}
