package cabinets

import (
	"fmt"
	"strings"
	"testing"
)

// ledge is a crate with its boards 30 mm short of its back, and bent a wall that leans in from
// 1250 mm on, by 20 mm up to 1400 mm.
var (
	ledge = strings.Replace(crate, "y: [0, depth], z: (i", "y: [0, depth - 30], z: (i", 1)
	bent  = `layout: Wren
inside: {length: 3000 mm, width: 1760 mm, height: 1800 mm}
shell: {sections: [{at: 0, walls: [[0, 880], [1250, 880], [1400, 860]]}]}
cabinets:
`
)

// TestScribeByHand: an edge that stands 880 mm off the middle from 1200 to 1400 mm up loses
// nothing up to 1250 mm; at 1300 mm the wall is 880 - 20 x 50/150 = 873.3 mm off the middle.
func TestScribeByHand(t *testing.T) {
	const want = "0:0 50:0 100:6.7 200:20"
	for _, c := range []struct{ place, side, from string }{
		{"at: [0, 1460, 1200], scribe: back", "back", "right"},
		{"at: [0, 0, 1200], turn: 180, scribe: [back]", "back", "right"},
		{"at: [0, 0, 1200], scribe: [front]", "front", "left"},
	} {
		in, faults := wrenWith(t, interiorShop, ledge, bent+"  a: {cabinet: crate, "+c.place+"}\n")
		if len(faults) > 0 || len(in.Findings) > 0 {
			t.Fatal(faults, in.Findings)
		}
		if len(in.Scribes) != 2 {
			t.Fatalf("%s: %d edges, want both sides'", c.place, len(in.Scribes))
		}
		for _, s := range in.Scribes {
			var got []string
			for _, p := range s.Profile {
				got = append(got, fmt.Sprintf("%g:%g", p.Height.MM(), p.Off.MM()))
			}
			if text := strings.Join(got, " "); text != want || s.Side.Word() != c.side || s.From.Word() != c.from {
				t.Errorf("%s, %s: %s at the %s seen from the %s, want %s", c.place, s.Part, text, s.Side.Word(), s.From.Word(), want)
			}
		}
	}
}

// TestScribeFindings: what is not scribed reaches through the wall as ever.
func TestScribeFindings(t *testing.T) {
	for _, c := range []struct{ name, crate, place, want string }{
		{"not scribed", ledge, "at: [0, 1460, 1200]", "error Wren: a: left-side: reaches 20 mm through the wall at x 0 mm, z 1400 mm"},
		{"a board reaches it", strings.ReplaceAll(crate, "(i - 1) * 2 * thick", "height - thick"), "at: [0, 1460, 1200], scribe: back", "error Wren: a: board-1: reaches 20 mm through the wall at x 12 mm, z 1400 mm"},
		{"too far off", ledge, "at: [0, 1450, 1200], scribe: back",
			"warning Wren: a: left-side: is scribed, and stays 10 mm off the wall 0 mm above its lower end\n" +
				"warning Wren: a: right-side: is scribed, and stays 10 mm off the wall 0 mm above its lower end"},
		{"none left", strings.Replace(ledge, "depth - 30", "4", 1), "at: [0, 1755, 1200], sizes: {depth: 100 mm}, scribe: back", "error Wren: a: left-side: reaches 15 mm through the wall at x 0 mm, z 1400 mm"},
		{"seen from the front", ledge, "at: [0, 1360, 1200], turn: 90, scribe: right", "error Wren: a: right-side: reaches 20 mm through the wall at x 0 mm, z 1400 mm\nwarning Wren: a: is to be scribed, and none of its upright parts ends at that side"},
	} {
		t.Run(c.name, func(t *testing.T) {
			in, faults := wrenWith(t, interiorShop, c.crate, bent+"  a: {cabinet: crate, "+c.place+"}\n")
			if len(faults) > 0 {
				t.Fatal(faults)
			}
			var got []string
			for _, f := range in.Findings {
				if !strings.Contains(f.Text, "beyond the inside") {
					got = append(got, string(f.Level)+" "+f.Where+": "+f.Text)
				}
			}
			if strings.Join(got, "\n") != c.want {
				t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), c.want)
			}
		})
	}
}
