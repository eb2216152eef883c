package cabinets

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	gocmp "github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

func TestLetter(t *testing.T) {
	for i, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 27: "AB", 51: "AZ", 52: "BA", 701: "ZZ", 702: "AAA"} {
		if got := Letter(i); got != want {
			t.Errorf("Letter(%d) is %s, want %s", i, got, want)
		}
	}
}

func TestNatural(t *testing.T) {
	sorted := []string{"", "02", "2", "10", "a", "a-2", "a-2.b", "a-10", "a-10.b", "b"}
	for i, a := range sorted {
		for j, b := range sorted {
			if got := natural(a, b); (got < 0) != (i < j) || (got > 0) != (i > j) {
				t.Errorf("natural(%q, %q) is %d", a, b, got)
			}
		}
	}
}

func TestSortFindings(t *testing.T) {
	a := Finding{LevelError, "b", "z", ""}
	b := Finding{LevelWarning, "tray-2", "y", ""}
	c := Finding{LevelWarning, "tray-10", "x", ""}
	d := Finding{LevelNote, "", "w", ""}
	if diff := gocmp.Diff([]Finding{a, b, c, d}, SortFindings([]Finding{d, c, b, a, b, d})); diff != "" {
		t.Error(diff)
	}
}

// TestHundredths: multiples of 0.001 mm, 0.001 in and 1/64 in lie so far from a bound that
// no rounding takes them across it.
func TestHundredths(t *testing.T) {
	for _, unit := range []measure.Length{measure.Micrometre, measure.Inch / 1000, measure.Inch / 64} {
		for n := range measure.Length(20_000) {
			l := n * unit
			if below, above := hundredths(l-80), hundredths(l+80); below != above {
				t.Fatalf("%s: %d below, %d above", l.Exact(), below, above)
			}
		}
	}
	if a, b := hundredths(100*mm), hundredths(100*mm+10*measure.Micrometre); b != a+1 {
		t.Errorf("0.01 mm makes %d of %d", b, a)
	}
	if hundredths(-100*mm) != -hundredths(100*mm-1) {
		t.Errorf("below 0: %d", hundredths(-100*mm))
	}
}

// drawPart draws a part in its own frame, machined anywhere.
func drawPart(t *rapid.T, turns, square bool) *Part {
	s := bench()
	treatments := []*shop.Treatment{nil, {}, {Band: s.Bands[0]}, {Band: &shop.Band{ID: "walnut"}}}
	p := &Part{Material: s.Materials[2], Turns: turns, Length: 300 * mm, Width: 300 * mm}
	if !square {
		p.Width = 200 * mm
	}
	for i := range p.Edges {
		p.Edges[i].Treatment = treatments[rapid.IntRange(0, 3).Draw(t, "treatment")]
	}
	p.Good = Face(rapid.IntRange(0, 2).Draw(t, "good"))
	size := [3]measure.Length{p.Length, p.Width, p.Material.Thickness}
	for range rapid.IntRange(0, 3).Draw(t, "features") {
		f := Feature{Kind: rapid.SampledFrom([]FeatureKind{Groove, Cutout, Hole}).Draw(t, "kind")}
		for a := range 3 {
			f.Box.Lo[a] = size[a] * measure.Length(rapid.IntRange(0, 3).Draw(t, "lo")) / 4
			f.Box.Hi[a] = f.Box.Lo[a] + size[a]/4
		}
		p.Features = append(p.Features, f)
	}
	return p
}

// mirror mirrors a part across its width.
func mirror(p *Part) *Part {
	q := *p
	q.Features = slices.Clone(p.Features)
	q.Edges[SideNear], q.Edges[SideFar] = p.Edges[SideFar], p.Edges[SideNear]
	for i := range q.Features {
		b := &q.Features[i].Box
		b.Lo[1], b.Hi[1] = p.Width-b.Hi[1], p.Width-b.Lo[1]
	}
	return &q
}

// TestTurnsAreRotations turns a part of four different edges with a small mark near the
// near edge, the start and the lower face, and three marks beside it along each axis.
func TestTurnsAreRotations(t *testing.T) {
	bands := [4]*shop.Treatment{}
	p := &Part{Material: bench().Materials[2], Length: 300 * mm, Width: 200 * mm, Good: LowFace}
	for i := range bands {
		bands[i] = &shop.Treatment{Band: &shop.Band{ID: fmt.Sprint(i)}}
		p.Edges[i].Treatment = bands[i]
	}
	point := func(u, v, w measure.Length) Feature {
		c := [3]measure.Length{u, v, w}
		return Feature{Kind: Hole, Box: Box{c, c}}
	}
	// The last four lie on the middles of the edges.
	p.Features = []Feature{point(0, 0, 0), point(1, 0, 0), point(0, 1, 0), point(0, 0, 1),
		point(p.Length/2, 0, 0), point(p.Length/2, p.Width, 0), point(0, p.Width/2, 0), point(p.Length, p.Width/2, 0)}
	seen := map[string]bool{}
	for _, turn := range turns {
		q := turn.turn(p)
		var m [3][3]measure.Length
		for a := range 3 {
			for i := range 3 {
				m[a][i] = q.Features[a+1].Box.Lo[i] - q.Features[0].Box.Lo[i]
			}
		}
		if d := determinant(m); d != 1 {
			t.Errorf("%+v: determinant %d", turn, d)
		}
		for i := range bands {
			at := q.Features[4+i].Box.Lo
			on := map[bool]Side{}
			on[at[1] == 0 && at[0] != 0 && at[0] != q.Length] = SideNear
			on[at[1] == q.Width && at[0] != 0 && at[0] != q.Length] = SideFar
			on[at[0] == 0 && at[1] != 0 && at[1] != q.Width] = SideStart
			on[at[0] == q.Length && at[1] != 0 && at[1] != q.Width] = SideEnd
			if q.Edges[on[true]].Treatment != bands[i] {
				t.Errorf("%+v: edge %d comes to lie on edge %d", turn, i, on[true])
			}
		}
		if up := q.Features[0].Box.Lo[2] > 0; up != (q.Good == HighFace) {
			t.Errorf("%+v: the good face is %d", turn, q.Good)
		}
		seen[fmt.Sprint(m, q.Length)] = true
	}
	if len(seen) != 8 {
		t.Errorf("%d different turns, want 8", len(seen))
	}
}

// TestSamePiece: however a part lies it is the same piece; mirrored it is another one, unless
// turning it gives just the mirrored part.
func TestSamePiece(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		square := rapid.Bool().Draw(t, "square")
		free := rapid.Bool().Draw(t, "turns")
		p := drawPart(t, free, square)
		key := lie(p).key
		mirrored := mirror(p)
		alike := false
		text := func(p *Part) string { l := laid{Part: *p}; return l.text() }
		for _, turn := range turns {
			q := turn.turn(p)
			if turn.quarter && !(square && free) {
				if square && lie(&q).key == key && text(&q) != text(p) && !symmetric(p) {
					t.Errorf("turned by a quarter against its grain it is the same piece")
				}
				continue
			}
			if lie(&q).key != key {
				t.Errorf("%+v makes another piece of it", turn)
			}
			alike = alike || text(&q) == text(mirrored)
		}
		if got := lie(mirrored).key == key; got != alike {
			t.Errorf("mirrored it is the same piece: %v; turning shows the mirrored part: %v", got, alike)
		}
		l := lie(p)
		if p.Good != NoFace && l.Good != HighFace {
			t.Errorf("the good face lies below")
		}
	})
}

// TestTurnedOver: parts that are equal once one is turned over, face and all but the word of
// which face is the good one, are counted together only where neither face is the good one.
func TestTurnedOver(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPart(t, false, false)
		q := turn{overU: true}.turn(p)
		q.Good = p.Good
		text := func(p *Part) string { l := laid{Part: *p}; return l.text() }
		// What lies the same way once it is turned, good face up, is equal without turning over.
		round := turn{round: true}.turn(p)
		symmetric := text(&q) == text(p) || text(&q) == text(&round)
		if got, want := lie(p).key == lie(&q).key, p.Good == NoFace || symmetric; got != want {
			t.Errorf("counted together: %v, want %v", got, want)
		}
	})
}

// symmetric reports whether some quarter turn shows a part as some half turn does.
func symmetric(p *Part) bool {
	seen := map[string]bool{}
	for _, turn := range turns {
		q := laid{Part: turn.turn(p)}
		if !turn.quarter {
			seen[q.text()] = true
		} else if seen[q.text()] {
			return true
		}
	}
	return false
}

// TestPieces counts the parts of two boxes, in whatever order they come.
func TestPieces(t *testing.T) {
	s := bench()
	d := read(t, box)
	small := expand(t, s, d, nil)
	large := expand(t, s, d, map[string]measure.Length{"width": 400 * mm})
	var parts []Standing
	for vehicles, in := range []*Interior{wrenAlone, {Layout: wrenAlone.Layout, Options: []string{"tall"}}} {
		for name, solid := range map[string]*Solid{"small": small, "large": large} {
			for i := range solid.Parts {
				p := &solid.Parts[i]
				parts = append(parts, Standing{p, Place{in, name, p.Name, vehicles + 1}})
			}
		}
	}
	// Between the sides 276.2 and 376.2 are cut to 276 and 376; the bottoms, in grooves 5.95
	// deep, to 287.5 and 387.5 by 288. Turned round, a front is a back, and a left side is a
	// right side, for the grooves run from end to end and no face is better than the other.
	want := []string{
		"A-001 6 back 376 x 100: 1/Wren/large/back 1/Wren/large/front 2/Wren + tall/large/back 2/Wren + tall/large/front",
		"A-002 12 left 300 x 100: 1/Wren/large/left 1/Wren/large/right 1/Wren/small/left 1/Wren/small/right 2/Wren + tall/large/left 2/Wren + tall/large/right 2/Wren + tall/small/left 2/Wren + tall/small/right",
		"A-003 6 back 276 x 100: 1/Wren/small/back 1/Wren/small/front 2/Wren + tall/small/back 2/Wren + tall/small/front",
		"B-001 3 bottom 387.5 x 288: 1/Wren/large/bottom 2/Wren + tall/large/bottom",
		"B-002 3 bottom 287.5 x 288: 1/Wren/small/bottom 2/Wren + tall/small/bottom",
	}
	rapid.Check(t, func(t *rapid.T) {
		var got []string
		for _, p := range Pieces(s, rapid.Permutation(parts).Draw(t, "parts")) {
			line := fmt.Sprintf("%s %d %s %s x %s:", p.ID, p.Count, p.Name, p.Length.Exact(), p.Width.Exact())
			for _, at := range p.Goes {
				line += fmt.Sprintf(" %d/%s/%s/%s", at.Vehicles, at.Interior.Title(), at.Cabinet, at.Part)
			}
			got = append(got, line)
		}
		if diff := gocmp.Diff(want, got); diff != "" {
			t.Error(diff)
		}
	})
}

// TestHand machines the sides of a frame in several ways. What is mirrored by the
// machining, by the edges or by the good face is another piece.
func TestHand(t *testing.T) {
	const sides = `cabinet: frame
sizes:
  width: {default: 400 mm, least: 100 mm, most: 900 mm}
  depth: {default: 300 mm, least: 100 mm, most: 900 mm}
  height: {default: 200 mm, least: 5 mm, most: 900 mm}
roles: {carcass: sides}
parts:
  left: {role: carcass, x: 0, y: [0, depth], z: [0, height], grain: z LEFT}
  right: {role: carcass, x: width - thick, y: [0, depth], z: [0, height], grain: z RIGHT}
`
	tests := map[string]struct {
		left, right string
		pieces      int
	}{
		"plain":             {"", "", 1},
		"grain":             {"", "", 1},
		"good faces out":    {", good: -x", ", good: +x", 1},
		"one good face":     {", good: -x", "", 2},
		"hole through":      {", holes: [{y: 50, z: 50, diameter: 5}]", ", holes: [{y: 50, z: 50, diameter: 5}]", 1},
		"blind hole":        {", holes: [{y: 50, z: 50, diameter: 5, depth: 9, from: +x}]", ", holes: [{y: 50, z: 50, diameter: 5, depth: 9, from: -x}]", 2},
		"blind hole turned": {", holes: [{y: 50, z: 50, diameter: 5, depth: 9, from: +x}]", ", holes: [{y: 250, z: 50, diameter: 5, depth: 9, from: -x}]", 1},
		"hole in the middle": {", holes: [{y: depth / 2, z: 50, diameter: 5, depth: 9, from: +x}]",
			", holes: [{y: depth / 2, z: 50, diameter: 5, depth: 9, from: -x}]", 1},
		"hole through and good face": {", good: -x, holes: [{y: 50, z: 50, diameter: 5}]", ", good: +x, holes: [{y: 50, z: 50, diameter: 5}]", 2},
		"notch":                      {", cutouts: [{y: [0, 50], z: [0, 60]}]", ", cutouts: [{y: [0, 50], z: [0, 60]}]", 1},
		"other notch":                {", cutouts: [{y: [0, 50], z: [0, 60]}]", ", cutouts: [{y: [0, 60], z: [0, 60]}]", 2},
		"notch by 0.001":             {", cutouts: [{y: [0, 50], z: [0, 60]}]", ", cutouts: [{y: [0, 50.001], z: [0, 60]}]", 1},
		"notch by 0.01":              {", cutouts: [{y: [0, 50], z: [0, 60]}]", ", cutouts: [{y: [0, 50.01], z: [0, 60]}]", 2},
		"front edges":                {`, edges: {"-y": oak-2}`, `, edges: {"-y": oak-2}`, 1},
		"front and top edges":        {`, edges: {"-y": oak-2, "+z": oak-2}`, `, edges: {"-y": oak-2, "+z": oak-2}`, 1},
		"with a blind hole":          {`, edges: {"-y": oak-2}, holes: [{y: 150, z: 100, diameter: 5, depth: 9, from: +x}]`, `, edges: {"-y": oak-2}, holes: [{y: 150, z: 100, diameter: 5, depth: 9, from: -x}]`, 1},
		"with a high blind hole":     {`, edges: {"-y": oak-2}, holes: [{y: 150, z: 50, diameter: 5, depth: 9, from: +x}]`, `, edges: {"-y": oak-2}, holes: [{y: 150, z: 50, diameter: 5, depth: 9, from: -x}]`, 2},
		"exposed outside":            {", exposed: [-x]", ", exposed: [+x]", 1},
		"one exposed":                {", exposed: [-x]", "", 2},
		"void-free in front":         {", void-free: [-y]", ", void-free: [-y]", 1},
		"void-free once":             {", void-free: [-y]", "", 2},
		"rounded":                    {`, edges: {"-y": oak-2}`, `, edges: {"-y": oak-2 round}`, 2},
		"other edges":                {`, edges: {"-y": oak-2}`, `, edges: {"-z": oak-2}`, 2},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			text := strings.NewReplacer(" LEFT", test.left, " RIGHT", test.right).Replace(sides)
			solid := sound(t, bench(), text)
			got := Pieces(bench(), standing(solid))
			if len(got) != test.pieces {
				t.Errorf("%d pieces, want %d", len(got), test.pieces)
			}
		})
	}
}

// TestTurning: only parts that may be turned are measured along the longer side, and are
// one piece whichever way their length was drawn.
func TestTurning(t *testing.T) {
	const boards = `cabinet: boards
sizes:
  width: {default: 400 mm, least: 100 mm, most: 900 mm}
outside: {x: width, y: 300, z: 60}
roles: {carcass: some, lid: some}
parts:
  high: {role: carcass, x: [0, width], y: [0, 300], z: 0, grain: any}
  deep: {role: carcass, x: [0, 300], y: [0, 200], z: 20, grain: x}
  wide: {role: carcass, x: [0, 200], y: [0, 300], z: 40, grain: x}
  plain: {role: lid, x: [0, 100], y: [0, 300], z: 42, grain: x}
`
	for width, want := range map[measure.Length]string{
		200 * mm: "high 300 x 200 true, deep 300 x 200 false, wide 200 x 300 false, plain 300 x 100 true, ",
		400 * mm: "high 400 x 300 true, deep 300 x 200 false, wide 200 x 300 false, plain 300 x 100 true, ",
	} {
		solid := expand(t, bench(), read(t, boards), map[string]measure.Length{"width": width})
		got := ""
		for _, p := range solid.Parts {
			got += fmt.Sprintf("%s %s x %s %v, ", p.Name, p.Length.Exact(), p.Width.Exact(), p.Turns)
		}
		if got != want {
			t.Errorf("got  %s\nwant %s", got, want)
		}
	}
}

// TestPieceEdges: of what differs in parts that are the same piece, the piece tells the most.
func TestPieceEdges(t *testing.T) {
	open := func(near, far measure.Length, felted bool) *Part {
		p := &Part{Name: "lid", Role: "lid", Material: bench().Materials[0], Length: 300 * mm, Width: 200 * mm, Good: HighFace}
		p.Edges[SideNear] = Edge{Length: p.Length, Open: near, Treatment: &shop.Treatment{}, Felted: felted}
		p.Edges[SideFar] = Edge{Length: p.Length, Open: far, Treatment: &shop.Treatment{}}
		return p
	}
	pieces := Pieces(bench(), standing(&Solid{Parts: []Part{*open(100*mm, 300*mm, false), *open(200*mm, 250*mm, true)}}))
	if len(pieces) != 1 {
		t.Fatalf("%d pieces", len(pieces))
	}
	near, far := pieces[0].Edges[SideNear], pieces[0].Edges[SideFar]
	if near.Open != 200*mm || far.Open != 300*mm || !near.Felted || far.Felted {
		t.Errorf("got %+v and %+v", near, far)
	}
}
