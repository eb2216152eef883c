package library_test

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
)

// demoShop reads the demo's shop and lists its cabinets.
func demoShop(c *source.Collector) (*shop.Shop, *cabinets.Catalogue) {
	demo := filepath.Join("..", "..", "testdata", "demo")
	file := filepath.Join(demo, "shop.yaml")
	return shop.Read(c, source.ReadFile(c, file, file)), cabinets.NewCatalogue(c, filepath.Join(demo, "cabinets"))
}

// TestFronts gives the fronts of a bank heights as a layout does. From the kick at 60 to
// 850 there are 790: two of 320 and 180 leave 290 for the one between; of each a gap of 3
// comes off. One of 200 leaves 295 for the other two.
func TestFronts(t *testing.T) {
	for _, test := range []struct {
		fronts, option string
		want           []string
		findings       int
	}{
		{"[320 mm, 0, 180 mm]", "", []string{"317", "287", "177"}, 0},
		{"[320 mm, 0, 180 mm]", "even", []string{"197", "292", "292"}, 0},
		{"[320 mm, 290 mm, 180 mm]", "", []string{"317", "287", "177"}, 0},
		{"[320 mm, 290 mm, 200 mm]", "", []string{"317", "287", "177"}, 1}, // the highest gets what is left
		{"[]", "", []string{"260", "260", "260"}, 0},
	} {
		var c source.Collector
		s, k := demoShop(&c)
		text := "layout: L\ninside: {length: 2 m, width: 2 m, height: 2 m}\ncabinets:\n  bank: {cabinet: drawer-bank, at: [0, 600, 0], sizes: {height: 850 mm, fronts: " + test.fronts +
			"}}\noptions:\n  even: {change: {bank: {sizes: {fronts: [200 mm]}}}}\n"
		l := cabinets.ReadLayout(source.Read(&c, "l.yaml", strings.NewReader(text)), s, k, nil)
		var options []string
		if test.option != "" {
			options = []string{test.option}
		}
		in := l.Interior(&c, s, source.Node{}, options)
		if err := c.Err(); err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, name := range []string{"front-1", "front-2", "front-3"} {
			got = append(got, in.Cabinets[0].Solid.Part(name).Snapped.Size(cabinets.Z).Exact())
		}
		if diff := cmp.Diff(test.want, got); diff != "" || len(in.Findings) != test.findings {
			t.Errorf("%s %s: %v\n%s", test.fronts, test.option, in.Findings, diff)
		}
	}
	var c source.Collector
	s, k := demoShop(&c)
	text := "layout: L\ninside: {length: 2 m, width: 2 m, height: 2 m}\ncabinets:\n  bank: {cabinet: drawer-bank, at: [0, 0, 0], sizes: {fronts: [1, 2, 3, 4, 5, 6]}}\n"
	cabinets.ReadLayout(source.Read(&c, "l.yaml", strings.NewReader(text)), s, k, nil)
	if err := c.Err(); err == nil || !strings.Contains(err.Error(), "fronts has 6 values, and may have 5") {
		t.Errorf("a list that is too long: %v", err)
	}
}

// TestInTheDemoShop expands every cabinet, built in or the demo shop's own, in that shop:
// as it comes without a finding, and with every size at each end of its range without an
// error, so that the shop has the hardware and materials that it takes.
func TestInTheDemoShop(t *testing.T) {
	var c source.Collector
	s, k := demoShop(&c)
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
