package cabinets

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
)

// nook is open at the top: its inside is as high as it is. Its depth is a fixed one.
const nook = `cabinet: nook
sizes:
  width: {default: 300 mm, least: 100 mm, most: 500 mm}
  height: {default: 200 mm, least: 100.3 mm, most: 400.4 mm}
  walls: {default: 2, least: 2, most: 3, whole: true}
roles: {carcass: all of it}
outside: {x: width, y: 250, z: height}
inside: {width: (width - walls * thick.carcass) / (walls - 1), depth: 250, height: height - thick.carcass}
parts:
  wall: {role: carcass, count: walls, x: (i - 1) * (width - thick) / (walls - 1), y: [0, 250], z: [thick, height], grain: z}
  floor: {role: carcass, x: [0, width], y: [0, 250], z: 0, grain: x}
`

const shut = `cabinet: shut
sizes: {width: {default: 300 mm, least: 100 mm, most: 500 mm}}
roles: {carcass: all of it}
outside: {x: width, y: 250, z: thick.carcass}
parts:
  floor: {role: carcass, x: [0, width], y: [0, 250], z: 0, grain: x}
`

// held reads a layout with one cabinet, called a, which the text goes on describing.
func held(t *testing.T, text string, options ...string) (*Interior, []string) {
	t.Helper()
	folder := t.TempDir()
	for name, text := range map[string]string{"nook.yaml": nook, "shut.yaml": shut} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	var c source.Collector
	s := shop.Read(&c, source.Read(&c, "shop.yaml", strings.NewReader(interiorShop)))
	layout := "layout: Wren\ninside: {length: 3000 mm, width: 1600 mm, height: 1800 mm}\ncabinets:\n  a:\n    at: [0, 0, 0]\n" + text
	l := ReadLayout(source.Read(&c, "wren.yaml", strings.NewReader(layout)), s, NewCatalogue(&c, folder), nil)
	in := l.Interior(&c, s, source.Node{}, options)
	return in, told(&c)
}

// TestHolds holds chosen sizes against the same worked by hand: the shop's plywood is 12 mm
// thick, and its step of 0.5 mm is what an inside may lose in cutting.
func TestHolds(t *testing.T) {
	const can = "    holds: {object: can, width: 240 mm, depth: 230 mm, height: 150 mm, clearance: 5.1 mm}\n"
	for _, test := range []struct {
		name, text    string
		options       []string
		width, height float64 // mm
		findings      []string
	}{
		// 240 + 10.2 + 2 x 12 + 0.5 = 274.7, up to 275; 150 + 10.2 + 12 + 0.5 = 172.7, up to 173.
		{name: "both chosen", text: "    cabinet: nook\n" + can, width: 275, height: 173},
		// 2 x 250.7 + 3 x 12 = 537.4, more than 500, in which there are (500 - 36) / 2 - 0.5 = 231.5.
		{
			name: "beyond the range", text: "    cabinet: nook\n    sizes: {walls: 3}\n" + can, width: 500, height: 173,
			findings: []string{"error: Wren: a: can needs 250.2 mm of inside width with its clearance, 231.5 mm are there: 18.7 mm too little; choose a smaller clearance, or another cabinet: width goes up to 500 mm"},
		},
		{name: "given and enough", text: "    cabinet: nook\n    sizes: {width: 280 mm}\n" + can, width: 280, height: 173},
		{name: "just enough", text: "    cabinet: nook\n    sizes: {width: 274.7 mm, height: 172.7 mm}\n" + can, width: 274.7, height: 172.7},
		{
			name: "given and too little", text: "    cabinet: nook\n    sizes: {width: 274.5 mm, height: 120 mm}\n" + can, width: 274.5, height: 120,
			findings: []string{
				"error: Wren: a: can needs 160.2 mm of inside height with its clearance, 107.5 mm are there: 52.7 mm too little; choose height 173 mm or more, or leave it to be chosen",
				"error: Wren: a: can needs 250.2 mm of inside width with its clearance, 250 mm are there: 0.2 mm too little; choose width 275 mm or more, or leave it to be chosen",
			},
		},
		{
			name: "no size to choose", text: "    cabinet: nook\n    holds: {object: pan, width: 60, depth: 260, height: 20}\n", width: 100, height: 100.5,
			findings: []string{"error: Wren: a: pan needs 260 mm of inside depth with its clearance, 249.5 mm are there: 10.5 mm too little; choose a smaller clearance, or another cabinet"},
		},
		// The greatest multiple of the step below 400.4 leaves 387.5.
		{
			name: "too tall", text: "    cabinet: nook\n    holds: {object: mast, width: 60, depth: 60, height: 387.7}\n", width: 100, height: 400,
			findings: []string{"error: Wren: a: mast needs 387.7 mm of inside height with its clearance, 387.5 mm are there: 0.2 mm too little; choose a smaller clearance, or another cabinet: height goes up to 400.4 mm"},
		},
		// Oak is 20 mm thick: 240 + 10.2 + 40 + 0.5 = 290.7; 150 + 10.2 + 20 + 0.5 = 180.7.
		{name: "in thicker material", text: "    cabinet: nook\n    roles: {carcass: {material: oak}}\n" + can, width: 291, height: 181},
		{
			name: "an option holds another", text: "    cabinet: nook\n" + can + "options: {mug: {change: {a: {holds: {object: mug, width: 90, depth: 90, height: 100}}}}}\n",
			options: []string{"mug"}, width: 114.5, height: 112.5,
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			in, faults := held(t, test.text, test.options...)
			if faults != nil {
				t.Fatal(faults)
			}
			var findings []string
			for _, f := range in.Findings {
				findings = append(findings, string(f.Level)+": "+f.Where+": "+f.Text+"; "+f.Do)
			}
			if diff := cmp.Diff(test.findings, findings); diff != "" {
				t.Errorf("wanted (-), found (+):\n%s", diff)
			}
			solid := in.Cabinets[0].Solid
			if w, h := solid.Outside.Size(X).MM(), solid.Outside.Size(Z).MM(); w != test.width || h != test.height {
				t.Errorf("%v x %v mm, want %v x %v", w, h, test.width, test.height)
			}
			if solid.Holds == nil || solid.Holds.Object == "" {
				t.Error("what the cabinet holds is lost")
			}
		})
	}
}

func TestHoldsRefuses(t *testing.T) {
	for text, want := range map[string][]string{
		"cabinet: shut\n    holds: {object: can, width: 240, depth: 230, height: 150}": {
			"7:12: shut declares no inside; leave holds out and give it sizes, or, where it encloses something, add inside: {width: ..., depth: ..., height: ...} to the cabinet",
		},
		"cabinet: nook\n    holds: {object: can, wide: 240, depth: 0, height: 150, clearance: -1}": {
			"7:12: the key \"width\" is missing; add a line width: ...",
			`7:26: unknown key "wide"; known here: object, width, depth, height, clearance`,
			"7:44: 0 is less than 1 mm; write 1 mm to 100000 mm",
			"7:71: -1 is less than 0 mm; write 0 mm to 100000 mm",
		},
		"cabinet: nook\n    holds: {width: 240, depth: 230, height: 150}": {
			"7:12: the key \"object\" is missing; add a line object: ...",
		},
	} {
		if _, faults := held(t, "    "+text+"\n"); cmp.Diff(want, faults) != "" {
			t.Errorf("%s:\n%s", text, cmp.Diff(want, faults))
		}
	}
}

// TestInsideRefuses wants an inside checked as every formula is, and what goes wrong while
// sizes are tried told once, where it stands.
func TestInsideRefuses(t *testing.T) {
	const sizes = "cabinet: box\nsizes: {width: {default: 300 mm, least: 100 mm, most: 500 mm}}\nroles: {carcass: all of it}\noutside: {x: width, y: 250, z: thick.carcass}\n"
	const floor = "parts: {floor: {role: carcass, x: [0, width], y: [0, 250], z: 0, grain: x}}\n"
	for text, want := range map[string][]string{
		"inside: {width: wdth, height: 1}\n": {
			`5:9: the key "depth" is missing; add a line depth: ...`,
			`5:17: unknown name "wdth"; did you mean "width"?`,
		},
	} {
		if _, faults := readFaults(sizes + text + floor); cmp.Diff(want, faults) != "" {
			t.Errorf("%s:\n%s", text, cmp.Diff(want, faults))
		}
	}
	d := read(t, sizes+"inside: {width: width / (width - width), depth: 1, height: 1}\n"+floor)
	_, err := Expand(bench(), d, Choice{Holds: &Held{Object: "can", Size: [3]measure.Length{mm, mm, mm}}})
	if err == nil || err.Error() != "division by zero" {
		t.Errorf("refused with %v", err)
	}
}
