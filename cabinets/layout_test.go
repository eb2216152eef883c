package cabinets

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
)

const crate = `cabinet: crate
sizes:
  width: {default: 400 mm, least: 20 mm, most: 2000 mm}
  depth: {default: 300 mm, least: 100 mm, most: 800 mm}
  height: {default: 200 mm, least: 100 mm, most: 2000 mm}
  boards: {default: 1, least: 1, most: 3, whole: true}
roles:
  carcass: all of it
parts:
  left-side: {role: carcass, x: 0, y: [0, depth], z: [0, height], grain: z}
  right-side: {role: carcass, x: width - thick, y: [0, depth], z: [0, height], grain: z}
  board: {role: carcass, count: boards, x: [thick, width - thick], y: [0, depth], z: (i - 1) * 2 * thick, grain: x}
checks:
  - {that: width <= 1000, say: the crate is wide, do: take two, level: note}
`

// roomy is a crate that declares its inside.
var roomy = strings.Replace(crate, "parts:", "inside: {width: width - 2 * thick.carcass, depth: depth, height: height - thick.carcass}\nparts:", 1)

const tub = `cabinet: tub
sizes: {width: {default: 400 mm, least: 20 mm, most: 2000 mm}}
roles: {tin: a role that the shop does not fill}
outside: {x: width, y: width, z: thick.tin}
parts:
  floor: {role: tin, x: [0, width], y: [0, width], z: 0, grain: any}
`

const interiorShop = `shop: Small Shop
currency: EUR
saw: {kerf: 3 mm, trim: 10 mm, keep: 500 x 100 mm}
materials:
  birch: {nominal: 12 mm, density: 700, sheets: [{size: 2500 x 1250 mm, price: 70}]}
  oak: {nominal: 20 mm, density: 700, sheets: [{size: 2500 x 1250 mm, price: 90}]}
roles: {carcass: {material: birch}}
felt: {name: Felt, width: 19 mm, thickness: 2 mm, pressed: 1.5 mm, roll: 10 m, price: 9, narrow: 60 mm}
`

const interior = `layout: Wren
inside: {length: 3000 mm, width: 1600 mm, height: 1800 mm}
cabinets:
  a:
    cabinet: crate
    at: [0, 1000, 0]
  b:
    cabinet: crate
    beside: a
    sizes: {width: 500 mm, boards: 2}
options:
  fine:
    change:
      a: {sizes: {height: 250 mm}}
`

// wren reads a layout, and returns the faults as line:column: text; hint.
func wren(t *testing.T, text string, options ...string) (*Interior, []string) {
	t.Helper()
	return wrenWith(t, interiorShop, crate, text, options...)
}

// wrenWith is wren in another shop, with another crate.
func wrenWith(t *testing.T, shopText, crate, text string, options ...string) (*Interior, []string) {
	t.Helper()
	folder := cabinetsFolder(t)
	if err := os.WriteFile(filepath.Join(folder, "crate.yaml"), []byte(crate), 0o600); err != nil {
		t.Fatal(err)
	}
	var c source.Collector
	s := shop.Read(&c, source.Read(&c, "shop.yaml", strings.NewReader(shopText)))
	l := ReadLayout(source.Read(&c, "wren.yaml", strings.NewReader(text)), s, NewCatalogue(&c, folder), nil)
	in := l.Interior(&c, s, source.Node{}, options)
	var said []string
	if faults, ok := c.Err().(source.Faults); ok {
		for _, f := range faults {
			said = append(said, fmt.Sprintf("%d:%d: %s; %s", f.Line, f.Column, f.Text, f.Hint))
		}
	}
	return in, said
}

// cabinetsFolder writes the test's cabinets into a folder.
func cabinetsFolder(t testing.TB) string {
	t.Helper()
	folder := t.TempDir()
	for name, text := range map[string]string{"crate.yaml": crate, "tub.yaml": tub} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return folder
}

// FuzzLayout wants any text to be read without a panic, and every part of what can be
// built to stand within the outside of its cabinet.
func FuzzLayout(f *testing.F) {
	f.Add(interior)
	f.Add(interior + "  more: {add: {c: {cabinet: tub, above: b, turn: 90, roles: {tin: {material: oak}}}}}\n")
	folder := cabinetsFolder(f)
	f.Fuzz(func(t *testing.T, text string) {
		var c source.Collector
		s := shop.Read(&c, source.Read(&c, "shop.yaml", strings.NewReader(interiorShop)))
		l := ReadLayout(source.Read(&c, "wren.yaml", strings.NewReader(text)), s, NewCatalogue(&c, folder), nil)
		var all []string
		for _, o := range l.Options {
			all = append(all, o.Name)
		}
		in := l.Interior(&c, s, source.Node{}, all)
		if c.Err() != nil {
			return
		}
		for i := range in.Cabinets {
			p := &in.Cabinets[i]
			for k := range p.Solid.Parts {
				part := &p.Solid.Parts[k]
				if box := p.Place(part.Box); !p.Box.holds(box) && len(in.Findings) == 0 {
					t.Errorf("%s: %s stands outside of it: %v, %v", p.Name, part.Name, box, p.Box)
				}
			}
		}
	})
}

// edit returns the text with one line, found by its first words, replaced.
func edit(t *testing.T, text, line, by string) string {
	t.Helper()
	before, after, found := strings.Cut(text, line)
	if !found {
		t.Fatalf("no line begins with %q", line)
	}
	_, after, _ = strings.Cut(after, "\n")
	return before + by + "\n" + after
}

func TestLayoutRefuses(t *testing.T) {
	const place = "    at: "
	for _, test := range []struct{ line, by, want string }{
		{"layout: ", "", "2:1: the key \"layout\" is missing; add a line layout: ..."},
		{"layout: ", "layout: Wren\ncabinet: {}", "2:1: unknown key \"cabinet\"; did you mean \"cabinets\"?"},
		{"inside: ", "", "1:1: the key \"inside\" is missing; add a line inside: ..."},
		{"inside: ", "inside: {length: 3000 mm, width: 1600 mm}", "2:9: the key \"height\" is missing; add a line height: ..."},
		{"inside: ", "inside: {length: 3000 mm, width: 1600 mm, height: 18 mm}", "2:51: 18 mm is less than 100 mm; write 100 mm to 100000 mm"},
		{"inside: ", "inside: {length: 3000 m, width: 1600 mm, height: 1800 mm}", "2:18: a length over 1 km; check the unit: the units are mm, cm, m, in and ft"},
		{"cabinets:", "cabinets: {}\noptions: {}\nrest:", "3:11: no cabinet stands in this layout; place at least one\n5:1: unknown key \"rest\"; known here: layout, about, inside, measures, shell, vehicle, roles, cabinets, options\n13:1: duplicate key \"options\"; it stands in line 4 already; delete one"},
		{"    cabinet: crate", "", "6:5: the key \"cabinet\" is missing; add a line cabinet: ..."},
		{"    cabinet: crate", "    cabinet: crates", "5:14: unknown cabinet \"crates\"; did you mean \"crate\"?"},
		{"    cabinet: crate", "    cabinet: crat", "5:14: unknown cabinet \"crat\"; did you mean \"crate\"?"},
		{place, "", "4:3: a has no place; write at: [x, y, z], beside: NAME or above: NAME"},
		{place, "    at: [0, 1000, 0]\n    above: b", "4:3: a has 2 places; keep one of at, beside and above\n7:12: a stands beside or above itself; give one cabinet of the circle a place under at"},
		{place, "    at: [0, 1000]", "6:9: a place has three coordinates, not 2; write [x, y, z]: along the vehicle, across it, up"},
		{place, "    at: 0, 1000, 0", "6:9: a single value where a list is needed; begin each item with - on a line of its own"},
		{place, "    at: [0, -1, 0]", "6:13: -1 is less than 0 mm; write 0 mm to 100000 mm"},
		{place, "    at: [0, 101 m, 0]", "6:13: 101 m is more than 100000 mm; write 0 mm to 100000 mm"},
		{place, "    at: [0, fat, 0]", "6:13: unknown unit fat; the units are mm, cm, m, in and ft"},
		{place, "    at: [0, 0, 0]\n    shift: [1, 0, 0]", "7:12: a shift goes with beside or above; add it to the place under at"},
		{place, "    at: [0, 0, 0]\n    turn: 45", "7:11: \"45\" is not known here; known here: 0, 90, 180, 270"},
		{place, "    at: [0, 0, 0]\n    sizes: {width: 2001 mm}", "7:20: 2001 mm is more than 2000 mm; write 20 mm to 2000 mm"},
		{place, "    at: [0, 0, 0]\n    sizes: {widht: 500 mm}", "7:13: crate has no size \"widht\"; did you mean \"width\"?"},
		{place, "    at: [0, 0, 0]\n    sizes: {boards: 4}", "7:21: 4 is more than 3; write 1 to 3"},
		{place, "    at: [0, 0, 0]\n    sizes: {boards: 1.5}", "7:21: \"1.5\" is no whole number; write for example 4, without decimals or a unit"},
		{place, "    at: [0, 0, 0]\n    roles: {carcas: {material: oak}}", "7:13: no cabinet here has a role \"carcas\"; did you mean \"carcass\"?"},
		{place, "    at: [0, 0, 0]\n    roles: {carcass: {material: ok}}", "7:33: unknown material \"ok\"; did you mean \"oak\"?"},
		{place, "    at: [0, 0, 0]\n    roles: {carcass: {edges: band}}", "7:30: unknown edge band \"band\"; known here: bare, round"},
		{"    cabinet: crate", "    cabinet: tub", "4:3: tub: no material fills the role \"tin\"; give it a material under roles: in the shop file or the layout\n14:19: tub has no size \"height\"; known here: width"},
		{place, "    above: c", "6:12: no cabinet is called \"c\"; known here: a, b"},
		{place, "    beside: a", "6:13: a stands beside or above itself; give one cabinet of the circle a place under at"},
		{place, "    above: b", "6:12: a stands beside or above itself; give one cabinet of the circle a place under at"},
		{"    beside: ", "    beside: [a]", "9:13: a list where a single value is needed; write one value behind the key"},
		{"options:", "roles: {front: {material: oak}}\noptions:", "11:9: no cabinet here has a role \"front\"; known here: carcass"},
		{"  fine:", "  fine:\n    drop: [d]", "13:12: no cabinet is called \"d\"; known here: a, b"},
		{"  fine:", "  fine:\n    drop: b", "13:11: a single value where a list is needed; begin each item with - on a line of its own"},
		{"  fine:", "  fine:\n    drop: [a]", "13:12: b, which stays, stands against a; drop b too, and add it at another place\n15:7: a is changed and dropped; choose other options, or let this one do without the change"},
		{"  fine:", "  fine:\n    add: {b: {cabinet: crate, at: [0, 0, 0]}}", "13:11: b is there already; choose another name, or drop the other one"},
		{"  fine:", "  fine:\n    add: {c: {cabinet: crate, beside: d}}", "13:39: no cabinet is called \"d\"; known here: a, b, c"},
		{"  fine:", "  fine:\n    roles: {back: {material: oak}}", "13:13: no cabinet here has a role \"back\"; known here: carcass"},
		{"      a: ", "      c: {}", "14:7: no cabinet is called \"c\"; known here: a, b"},
		{"      a: ", "      a: {sizes: {height: 50 mm}}", "14:27: 50 mm is less than 100 mm; write 100 mm to 2000 mm"},
		{"      a: ", "      a: {at: [0, 0, 0]}", "14:11: unknown key \"at\"; known here: sizes, holds, roles"},
	} {
		_, faults := wren(t, edit(t, interior, test.line, test.by))
		if got := strings.Join(faults, "\n"); got != test.want || got == "" {
			t.Errorf("\t\t{%q, %q, %q},", test.line, test.by, got)
		}
	}
}

func TestOptionsTogether(t *testing.T) {
	text := interior + `  none:
    drop: [b]
  other:
    change:
      b: {sizes: {height: 300 mm}}
  third:
    add:
      c: {cabinet: crate, above: b}
`
	for _, test := range []struct {
		options []string
		want    []string
	}{
		{nil, nil},
		{[]string{"third", "other"}, nil},
		{[]string{"none", "other"}, []string{"19:7: b is changed and dropped; choose other options, or let this one do without the change"}},
		{[]string{"third", "none"}, []string{"16:12: c, which stays, stands against b; drop c too, and add it at another place"}},
		{[]string{"thrid"}, []string{`0:0: Wren has no option "thrid"; did you mean "third"?`}},
	} {
		if _, got := wren(t, text, test.options...); !cmp.Equal(got, test.want) {
			t.Errorf("%q: faults %q, want %q", test.options, got, test.want)
		}
	}
	in, _ := wren(t, text, "third", "other")
	if want := []string{"other", "third"}; !slices.Equal(in.Options, want) {
		t.Errorf("options %q, want the layout's order %q", in.Options, want)
	}
	if in, _ := wren(t, text, "none"); len(in.Cabinets) != 1 {
		t.Errorf("%d cabinets are left of two when one is dropped", len(in.Cabinets))
	}
}

// TestOptionsPlaced faults an unknown option where it was asked for.
func TestOptionsPlaced(t *testing.T) {
	for text, want := range map[string]string{
		"[fine, thick]": `1:8: Wren has no option "thick"; known here: fine`,
		"options: x":    `1:1: Wren has no option "thick"; known here: fine`,
	} {
		var c source.Collector
		l := Layout{Name: "Wren", Options: []Option{{Name: "fine"}}}
		l.Interior(&c, &shop.Shop{}, source.Read(&c, "batch.yaml", strings.NewReader(text)), []string{"fine", "thick"})
		faults, _ := c.Err().(source.Faults)
		if len(faults) != 1 {
			t.Fatalf("%s: %d faults, want 1", text, len(faults))
		}
		f := faults[0]
		if got := fmt.Sprintf("%d:%d: %s; %s", f.Line, f.Column, f.Text, f.Hint); got != want {
			t.Errorf("%s: %q, want %q", text, got, want)
		}
	}
}

// TestOptionReplaces drops a cabinet and puts another in its place under its name.
func TestOptionReplaces(t *testing.T) {
	text := interior + `  swap:
    drop: [a]
    add:
      a: {cabinet: crate, at: [100, 100, 0], sizes: {width: 700 mm}}
`
	in, faults := wren(t, text, "swap")
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	places := map[string]measure.Length{}
	for _, p := range in.Cabinets {
		places[p.Name] = p.Box.Lo[X]
	}
	want := map[string]measure.Length{"a": 100 * measure.Millimetre, "b": 801*measure.Millimetre + measure.Millimetre/2}
	if diff := cmp.Diff(want, places); diff != "" {
		t.Error(diff)
	}
}

// mms returns a box in millimetres.
func mms(b Box) [6]float64 {
	return [6]float64{b.Lo[X].MM(), b.Lo[Y].MM(), b.Lo[Z].MM(), b.Hi[X].MM(), b.Hi[Y].MM(), b.Hi[Z].MM()}
}

func TestPlaces(t *testing.T) {
	in, faults := wren(t, interior+`  more:
    add:
      c: {cabinet: crate, above: b, shift: [10, -20, 5 mm]}
      d: {cabinet: crate, at: [1500, 100, 0], turn: 90}
      e: {cabinet: crate, beside: d, turn: 270}
`, "more")
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	want := map[string][6]float64{
		"a": {0, 1000, 0, 400, 1300, 200},
		"b": {401.5, 1000, 0, 901.5, 1300, 200},
		"c": {411.5, 980, 206.5, 811.5, 1280, 406.5},
		"d": {1500, 100, 0, 1800, 500, 200}, // width and depth change places
		"e": {1801.5, 100, 0, 2101.5, 500, 200},
	}
	got := map[string][6]float64{}
	for _, p := range in.Cabinets {
		got[p.Name] = mms(p.Box)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

// TestBareNumbers reads bare numbers in the shop's unit, whatever lengths are printed in.
func TestBareNumbers(t *testing.T) {
	for unit, want := range map[measure.Unit]measure.Length{
		measure.Millimetres: 1000 * measure.Millimetre,
		measure.Inches:      1000 * measure.Inch,
	} {
		var c source.Collector
		s := shop.Read(&c, source.Read(&c, "shop.yaml", strings.NewReader(interiorShop)))
		s.Unit, s.Style.Unit = unit, measure.Inches
		l := ReadLayout(source.Read(&c, "wren.yaml", strings.NewReader(interior)), s, NewCatalogue(&c, cabinetsFolder(t)), nil)
		if got := l.Cabinets[0].At[Y]; got != want || c.Err() != nil {
			t.Errorf("1000 in %s is %d, want %d (%v)", unit, got, want, c.Err())
		}
	}
}

// TestTurn turns a corner of a cabinet 400 wide and 300 deep, anticlockwise seen from
// above: its front, at y = 0, looks along +x after a quarter turn.
func TestTurn(t *testing.T) {
	mm := measure.Millimetre
	outside := Box{Hi: [3]measure.Length{400 * mm, 300 * mm, 200 * mm}}
	part := Box{Lo: [3]measure.Length{10 * mm, 0, 5 * mm}, Hi: [3]measure.Length{60 * mm, 20 * mm, 50 * mm}}
	for turn, want := range [][6]float64{
		{1010, 2000, 5, 1060, 2020, 50},
		{1280, 2010, 5, 1300, 2060, 50},
		{1340, 2280, 5, 1390, 2300, 50},
		{1000, 2340, 5, 1020, 2390, 50},
	} {
		p := Placed{Solid: &Solid{Outside: outside}, Turn: turn, At: [3]measure.Length{1000 * mm, 2000 * mm, 0}}
		if got := mms(p.Place(part)); got != want {
			t.Errorf("%d quarter turns: %v, want %v", turn, got, want)
		}
	}
}

func TestShared(t *testing.T) {
	in, faults := wren(t, interior+`  more:
    add:
      c: {cabinet: crate, at: [1000, 0, 0], turn: 90, sizes: {width: 400 mm}}
      d: {cabinet: crate, at: [1500, 0, 0], roles: {carcass: {material: oak}}}
      e: {cabinet: crate, at: [2000, 0, 0], roles: {carcass: {material: birch}}}
`, "more")
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	solid := map[string]*Solid{}
	for _, p := range in.Cabinets {
		solid[p.Name] = p.Solid
	}
	if solid["a"] != solid["e"] {
		t.Error("a and e are alike, and expanded twice")
	}
	if solid["a"] == solid["b"] || solid["a"] == solid["d"] {
		t.Error("cabinets of other sizes or materials share one solid")
	}
}

// TestRoles wants what is nearer to a cabinet to win: the placement, then the option, the
// layout, the shop.
func TestRoles(t *testing.T) {
	for _, test := range []struct{ layout, option, placement, want string }{
		{"", "", "", "birch"},
		{"oak", "", "", "oak"},
		{"oak", "birch", "", "birch"},
		{"birch", "oak", "", "oak"},
		{"birch", "oak", "birch", "birch"},
		{"", "", "oak", "oak"},
	} {
		fill := func(indent, material string) string {
			if material == "" {
				return ""
			}
			return indent + "roles: {carcass: {material: " + material + "}}\n"
		}
		text := "layout: Wren\ninside: {length: 3 m, width: 3 m, height: 3 m}\n" + fill("", test.layout) +
			"cabinets:\n  a:\n    cabinet: crate\n    at: [0, 0, 0]\n" + fill("    ", test.placement) +
			"options:\n  o:\n    about: other\n" + fill("    ", test.option)
		in, faults := wren(t, text, "o")
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		if got := in.Cabinets[0].Solid.Parts[0].Material.ID; got != test.want {
			t.Errorf("layout %q, option %q, placement %q: %s, want %s", test.layout, test.option, test.placement, got, test.want)
		}
	}
}

func TestInteriorFindings(t *testing.T) {
	in, faults := wren(t, interior+`  more:
    add:
      c: {cabinet: crate, at: [2700, 0, 1700]}
      d: {cabinet: crate, beside: a, shift: [-11.5, 100, 0]}
      e: {cabinet: crate, at: [0, 500, 0]}
      f: {cabinet: crate, at: [400.5, 500, 0]}
      g: {cabinet: crate, beside: e, shift: [-500, 0, 300]}
      h: {cabinet: crate, at: [2000, 0, 500]}
      corner-to-corner: {cabinet: crate, at: [2400.5, 300.5, 500]}
      nearly: {cabinet: crate, at: [2000, 0, 701.4995]}
      wide: {cabinet: crate, at: [1000, 0, 1000], sizes: {width: 1200 mm}}
      thin: {cabinet: crate, at: [1000, 500, 1000], sizes: {width: 20 mm}}
`, "more")
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	var got []string
	for _, f := range in.Findings {
		got = append(got, fmt.Sprintf("%s: %s: %s; %s", f.Level, f.Where, f.Text, f.Do))
	}
	want := []string{
		"error: Wren: a, d: they overlap by 10 mm along the length; move one of them, or make it smaller",
		"error: Wren: b, d: they overlap by 200 mm along the width; move one of them, or make it smaller",
		"error: Wren: c: reaches 100 mm beyond the inside height of 1800 mm; move it, or make it smaller",
		"error: Wren: c: reaches 100 mm beyond the inside length of 3000 mm; move it, or make it smaller",
		"error: Wren: g: begins 98.5 mm before the inside length does; move it, or make it smaller",
		"error: Wren: thin: board-1: nothing is left of the part: along x it runs from 12 to 8 mm; change the sizes, or the formulas of the part",
		"error: Wren: thin: left-side: the part and right-side are in the same place, 4 mm deep; move or shorten one of them, or declare a groove for it",
		"warning: Wren: e, f: they stand 0.5 mm apart, and pressed felt takes 1.5 mm; leave room for the felt, or place one beside or above the other",
		"note: Wren: wide: the crate is wide; take two",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

// TestInteriorFelt works the felt between two crates side by side by hand. Their sides
// face one another over 300 x 200 mm, more than the 60 mm that one strip serves, so
// that strips go round the edge: two of 300, and between them two of 200 less the width
// of both, 2 x 19.
func TestInteriorFelt(t *testing.T) {
	in, _ := wren(t, interior)
	if len(in.Contacts) != 1 {
		t.Fatalf("%d contacts, want 1", len(in.Contacts))
	}
	c := in.Contacts[0]
	want := measure.Length(2*300+2*(200-2*19)) * measure.Millimetre
	if c.On != "a.right-side" || c.Against != "b.left-side" || len(c.Strips) != 4 || c.Felt() != want || c.Gap.MM() != 1.5 {
		t.Errorf("%+v, want 4 runs of felt, %d", c, want)
	}
	if got := in.Felt(); got != want {
		t.Errorf("felt %d, want %d", got, want)
	}
	// Turned by a quarter, and apart, they touch nothing.
	text := edit(t, interior, "    beside: a", "    beside: a\n    turn: 90\n    shift: [1, 0, 0]")
	if in, _ := wren(t, text); len(in.Contacts) != 0 {
		t.Errorf("cabinets 2.5 mm apart are in contact: %+v", in.Contacts)
	}
	// Where they overlap there is no room for felt.
	text = edit(t, interior, "    beside: a", "    beside: a\n    shift: [-13.5, 0, 0]")
	in, _ = wren(t, text)
	for _, c := range in.Contacts {
		if strings.HasSuffix(c.On, "side") && strings.HasSuffix(c.Against, "side") {
			t.Errorf("sides in the same place are in contact: %+v", c)
		}
	}
}

// TestFeltTurned turns a crate so that its left side looks at the back edges of a smaller
// one, and so that its front edges look at the side of that. Each time a side and the
// boards of one cabinet meet a broad face of the other, and the felt goes onto that.
func TestFeltTurned(t *testing.T) {
	for _, test := range []struct {
		place, on string
		contacts  int
	}{
		{"at: [0, 698.5, 0]", "a.left-side", 3},
		{"beside: a", "b.left-side", 2},
	} {
		text := edit(t, interior, "    at: ", "    at: [0, 1000, 0]\n    turn: 90")
		in, _ := wren(t, edit(t, text, "    beside: a", "    "+test.place))
		if len(in.Contacts) != test.contacts {
			t.Errorf("%s: %d contacts, want %d", test.place, len(in.Contacts), test.contacts)
		}
		for _, c := range in.Contacts {
			if c.On != test.on {
				t.Errorf("%s: felt on %s, against %s; want it on %s", test.place, c.On, c.Against, test.on)
			}
		}
	}
}

// TestAgainstVehicle stands crate a, whose sides are 300 deep and 200 high and 12 thick, on the
// floor and at the near wall, turned by a quarter so that its left side looks there: felt
// keeps it 1.5 off both; it goes under both sides and the board between them, and on the
// left side, round the edge. Crate b stands beside it, and so as far off.
func TestAgainstVehicle(t *testing.T) {
	text := edit(t, interior, "    at: ", "    at: [0, 0, 0]\n    turn: 90\n    against: [left, bottom]")
	text = edit(t, text, "    beside: a", "    beside: a\n    against: [bottom]")
	in, said := wren(t, text)
	if len(in.Findings) > 0 || len(said) > 0 {
		t.Errorf("%v %v", in.Findings, said)
	}
	if at := [2][3]measure.Length{in.Cabinets[0].At, in.Cabinets[1].At}; at != [2][3]measure.Length{
		{0, 1_500_000, 1_500_000}, {301_500_000, 1_500_000, 1_500_000},
	} {
		t.Errorf("they stand at %v", at)
	}
	var got []string
	for _, c := range in.Contacts {
		if strings.HasPrefix(c.On, "b.") || c.Against != vehicle {
			continue
		}
		p, own := in.Carrier(c)
		part := p.Solid.Part(own.On)
		for i, s := range own.Strips {
			if !p.Solid.Outside.around(own.Box).holds(s) || p.Place(s) != c.Strips[i] {
				t.Errorf("%s: the strip %v of the layout is %v in the cabinet", c.On, c.Strips[i], s)
			}
			if face := part.Box; own.Face.High() || s.Hi[own.Face.Axis()] != face.Lo[own.Face.Axis()] {
				t.Errorf("%s: the strip %v does not lie on the face of %v", c.On, s, face)
			}
		}
		got = append(got, fmt.Sprintf("%s %s %s against %s: %d of %s", c.On, c.Face, own.Face.Word(), c.Against, len(c.Strips), c.Felt().Exact()))
	}
	want := []string{
		"a.board-1 -z bottom against vehicle: 4 of 1276", // 376 x 300: 2 x 376 + 2 x (300 - 38)
		"a.left-side -z bottom against vehicle: 1 of 300",
		"a.left-side -y left against vehicle: 4 of 924", // 2 x 300 + 2 x (200 - 38)
		"a.right-side -z bottom against vehicle: 1 of 300",
	}
	slices.Sort(got)
	slices.Sort(want)
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	// Without room for the felt it says so.
	in, _ = wren(t, edit(t, text, "    beside: a", "    at: [600, 0, 0]\n  c:\n    cabinet: crate\n    beside: b\n    against: [bottom]\n    shift: [0, 100, 0.5]"))
	if len(in.Findings) != 1 || in.Findings[0].Text != "its bottom stands 0.5 mm from the vehicle, and pressed felt takes 1.5 mm" {
		t.Errorf("%v", in.Findings)
	}
}

// TestInteriorMass weighs two crates by hand: nominal thickness times area times density.
func TestInteriorMass(t *testing.T) {
	in, _ := wren(t, interior)
	const sheet = 0.012 * 700 // kg/m2
	sides := 2 * 0.3 * 0.2
	want := sheet * (sides + 0.3*0.376 + sides + 2*0.3*0.476)
	if got := in.Mass(); math.Abs(got-want) > 1e-9 {
		t.Errorf("mass %g, want %g", got, want)
	}
	if got := len(in.Parts(2)); got != 7 {
		t.Errorf("%d parts, want 3 and 4", got)
	}
	if got, want := in.Parts(2)[6].Place, (Place{in, "b", "board-2", 2}); got != want {
		t.Errorf("place %+v, want %+v", got, want)
	}
}
