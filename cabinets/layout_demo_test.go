package cabinets

import (
	"path/filepath"
	"testing"

	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
)

// meant are the two warnings that the demo has on purpose.
var meant = map[string]bool{"Curlew: aisle": true, "Curlew: tall-shelves: body": true}

// TestDemo holds the demo shop's interiors, with each of their options, to be without a
// finding, and rich enough to be real.
func TestDemo(t *testing.T) {
	const demo = "../testdata/demo"
	var c source.Collector
	read := func(path ...string) source.Node {
		file := filepath.Join(append([]string{demo}, path...)...)
		return source.ReadFile(&c, file, file)
	}
	s := shop.Read(&c, read("shop.yaml"))
	k := NewCatalogue(&c, filepath.Join(demo, "cabinets"))
	parts, materials := 0, map[string]int{}
	for name, vehicles := range map[string]int{"curlew": 4, "dunlin": 3} {
		l := ReadLayout(read("layouts", name+".yaml"), s, k, nil)
		choices := [][]string{nil}
		for _, o := range l.Options {
			choices = append(choices, []string{o.Name})
		}
		for _, options := range choices {
			in := l.Interior(&c, s, source.Node{}, options)
			if err := c.Err(); err != nil {
				t.Fatal(err)
			}
			for _, f := range in.Findings {
				if !meant[f.Where] || f.Level != LevelWarning {
					t.Errorf("%s %s: %s: %s", name, options, f.Where, f.Text)
				}
			}
			for _, felt := range stray(in) {
				t.Errorf("%s %s: %s", name, options, felt)
			}
			if options == nil {
				for _, p := range in.Parts(1) {
					parts += vehicles
					materials[p.Part.Material.ID] += vehicles
				}
			}
			if len(in.Contacts) < len(in.Cabinets)/2 {
				t.Errorf("%s %s: only %d contacts between %d cabinets", name, options, len(in.Contacts), len(in.Cabinets))
			}
		}
	}
	if parts < 400 || len(materials) < 4 {
		t.Errorf("the batch has %d parts in %d materials, fewer than 400 in 4", parts, len(materials))
	}
}
