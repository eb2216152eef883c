package cabinets

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// matchedFronts is a wall of panels: a column of three fronts, the last taller, of which the
// second is written first.
const matchedFronts = `
cabinet: wall
sizes: {width: {default: 400 mm, least: 400 mm, most: 400 mm}}
roles: {carcass: fronts, lid: others}
outside: {x: width, y: thick.carcass, z: 633}
parts:
  upper: {role: carcass, x: [0, width], y: 0, z: [203, 403], grain: x, good: -y, holes: [{x: 30, z: 300, diameter: 5}]}
  lower: {role: carcass, x: [0, width], y: 0, z: [0, 200], grain: x, good: -y, holes: [{x: 30, z: 100, diameter: 5}]}
  top: {role: carcass, x: [0, width], y: 0, z: [406, 633], grain: x, good: -y}
matched: {fronts: [upper, lower, top]}
`

// TestMatchedPlaces: parts follow one another from low to high, whatever their order in the
// file; of a good face in front the width runs up as it lies on the sheet, of one behind down.
func TestMatchedPlaces(t *testing.T) {
	for _, test := range []struct{ old, new, want string }{
		{"", "", "lower 1 of 3, upper 2 of 3, top 3 of 3"},
		{"good: -y", "good: +y", "lower 1 of 3 falls, upper 2 of 3 falls, top 3 of 3 falls"},
		{"matched: {fronts: [upper, lower, top]}", "matched: {fronts: [top, lower]}", "lower 1 of 2, upper 0 of 0, top 2 of 2"},
		// Along the grain.
		{"grain: x", "grain: z", ""},
	} {
		s := sound(t, bench(), strings.ReplaceAll(matchedFronts, test.old, test.new))
		var got []string
		along := 0
		for _, name := range []string{"lower", "upper", "top"} {
			m := s.Part(name).Match
			text := fmt.Sprintf("%s %d of %d", name, m.Place, m.Of)
			if m.Falls {
				text += " falls"
			}
			if m.Along {
				along++
			}
			got = append(got, text)
		}
		if test.want == "" {
			if test.want = "lower 1 of 3, upper 2 of 3, top 3 of 3"; along != 3 {
				t.Errorf("%d of 3 follow one another along the grain", along)
			}
		} else if along > 0 {
			t.Errorf("%q: they follow one another along the grain", test.new)
		}
		if text := strings.Join(got, ", "); text != test.want {
			t.Errorf("%q: got %s, want %s", test.new, text, test.want)
		}
	}
}

// TestMatchedPiecesKeepTheirPlace: the two lower fronts are the same piece, but for their
// places in the strip. A part like them in no group is a piece of its own, and groups of two
// cabinets that are alike are the same pieces.
func TestMatchedPiecesKeepTheirPlace(t *testing.T) {
	shop := bench()
	wall := sound(t, shop, matchedFronts)
	loose := sound(t, shop, strings.Replace(matchedFronts, "[upper, lower, top]", "[upper, top]", 1))
	var parts []Standing
	for name, s := range map[string]*Solid{"a": wall, "b": sound(t, shop, matchedFronts), "c": loose} {
		for i := range s.Parts {
			parts = append(parts, Standing{&s.Parts[i], Place{&Interior{Layout: &Layout{Name: "van"}}, name, s.Parts[i].Name, 1}})
		}
	}
	var got []string
	for _, p := range Pieces(shop, parts) {
		text := fmt.Sprintf("%s %d/%d:", p.Width.Exact(), p.Match.Place, p.Match.Of)
		for _, at := range p.Goes {
			text += " " + at.Cabinet + "." + at.Part
		}
		got = append(got, text)
	}
	want := []string{
		"227 3/3: a.top b.top", "227 2/2: c.top",
		"200 0/0: c.lower", "200 1/3: a.lower b.lower", "200 2/3: a.upper b.upper", "200 1/2: c.upper",
	}
	slices.Sort(got)
	slices.Sort(want)
	if !slices.Equal(got, want) {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// TestMismatches: parts that cannot come from one strip are in no group, and a finding says
// why.
func TestMismatches(t *testing.T) {
	const top = "top: {role: carcass, x: [0, width], y: 0, z: [406, 633], grain: x, good: -y}"
	for _, test := range []struct{ name, old, new, want string }{
		{"no grain", "role: carcass", "role: lid", ""},
		{"material", top, "top: {role: lid, x: [0, width], y: 0, z: [406, 633], grain: x, good: -y}", "top is of plain, upper of birch"},
		{"either way", top, "top: {role: carcass, x: [0, width], y: 0, z: [406, 633], grain: any, good: -y}", "the grain of upper and top may run either way"},
		{"grain", top, "top: {role: carcass, x: [0, width], y: 0, z: [406, 633], grain: z, good: -y}",
			"the grain of top runs along z and its thickness along y, that of upper along x and y"},
		{"good face", top, "top: {role: carcass, x: [0, width], y: 0, z: [406, 633], grain: x, good: +y}", "the good face of top looks to another side than that of upper"},
		{"narrower", top, "top: {role: carcass, x: [10, width], y: 0, z: [406, 633], grain: x, good: -y}", "top is 390 mm across the strip, lower is 400 mm"},
		{"a grid", top, "top: {role: carcass, x: [0, width], y: 50, z: [0, 200], grain: x, good: -y}", "upper and the others do not stand in one row"},
	} {
		text := strings.ReplaceAll(matchedFronts, test.old, test.new)
		if text == matchedFronts {
			t.Fatalf("%s: nothing changes", test.name)
		}
		s := expand(t, bench(), read(t, text), nil)
		got := ""
		for _, f := range s.Findings {
			if why, ok := strings.CutSuffix(f.Text, ": the matched parts cannot come from one strip, and are cut one by one"); ok {
				got += string(f.Level) + " " + f.Where + ": " + why
			}
		}
		if want := "error fronts: " + test.want; got != want && got+test.want != "" {
			t.Errorf("%s: got %q, want %q", test.name, got, want)
		}
		for _, p := range s.Parts {
			if p.Match.Of > 0 {
				t.Errorf("%s: %s is in a group", test.name, p.Name)
			}
		}
	}
}

// TestMatchedPartsOfUsedCabinets: a group may reach into the cabinets used, and each of them
// has the groups of its own.
func TestMatchedPartsOfUsedCabinets(t *testing.T) {
	wall := read(t, matchedFronts)
	const of = `
cabinet: walls
sizes: {width: {default: 400 mm, least: 400 mm, most: 400 mm}}
roles: {carcass: fronts, lid: others}
outside: {x: width, y: thick.carcass, z: 1269}
parts: {}
uses: {wall: {cabinet: wall, count: 2, at: {x: 0, y: 0, z: (i - 1) * 636}}}
`
	places := func(d *Definition) (got []string) {
		s := expand(t, bench(), d, nil)
		for _, p := range s.Parts {
			got = append(got, fmt.Sprintf("%s %s %d/%d", p.Name, p.Match.Group, p.Match.Place, p.Match.Of))
		}
		return got
	}
	want := []string{
		"wall-1.upper wall-1.fronts 2/3", "wall-1.lower wall-1.fronts 1/3", "wall-1.top wall-1.fronts 3/3",
		"wall-2.upper wall-2.fronts 2/3", "wall-2.lower wall-2.fronts 1/3", "wall-2.top wall-2.fronts 3/3",
	}
	if got := places(read(t, of, wall)); !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
	wall.Matched = nil
	want = []string{
		"wall-1.upper all 2/6", "wall-1.lower all 1/6", "wall-1.top all 3/6",
		"wall-2.upper all 5/6", "wall-2.lower all 4/6", "wall-2.top all 6/6",
	}
	if got := places(read(t, of+"matched: {all: [wall.upper, wall.lower, wall.top]}\n", wall)); !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}
