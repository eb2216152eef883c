package cabinets

import (
	"cmp"
	"encoding/binary"
	"fmt"
	"slices"
	"strings"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// Piece is a set of parts that are the same piece: equal in size, material, grain,
// edges, faces, grooves, holes, cut-outs and hand. Sizes are equal when they agree to
// 0.01 mm. Parts of matched groups are so only at one place in groups of the same pieces: a
// figure runs through them in one order.
//
// A piece may lie in its own frame in several ways: turned over, turned round, and, where
// it is square and its grain does not matter, turned by a quarter. Of these it shows the
// one with its good face up, then with most of its machining on the upper face. One of a
// matched group is not turned round, so that all of the group lie as they will stand. Edges
// and features are in that frame, which need not be that of each of its parts.
type Piece struct {
	ID            string // "D-014": the material's letter, and a number from large to small
	Name          string // what the shop calls it: the commonest part name
	Material      *shop.Material
	Role          string // the commonest
	Length, Width measure.Length
	Turns         bool
	Across        bool // its length lies across the face grain: plain lists only
	Match         Match
	Edges         [4]Edge
	Good          Face
	Exposed       [2]bool // its low and high face
	Features      []Feature
	SawnFrom      string  // the part that it is sawn out of, as Part has it: no sheet is cut for it
	Mass          float64 // kg, of one
	Count         int     // of all vehicles
	Goes          []Place // where; nowhere in particular in plain lists
}

// Place is where a part goes in every vehicle of an interior.
type Place struct {
	Interior      *Interior
	Cabinet, Part string
	Vehicles      int
}

// compare orders places by interior, cabinet and part, numbers by value.
func (p Place) compare(q Place) int {
	if p.Interior != q.Interior {
		if c := natural(p.Interior.Title(), q.Interior.Title()); c != 0 {
			return c
		}
	}
	return cmp.Or(natural(p.Cabinet, q.Cabinet), natural(p.Part, q.Part))
}

// Standing is a part with the place where it goes.
type Standing struct {
	Part  *Part
	Place Place
}

// Letter returns the letter of a shop's i-th material: A to Z, then AA, AB, ...
func Letter(i int) string {
	letter := ""
	for i++; i > 0; i = (i - 1) / 26 {
		letter = string(rune('A'+(i-1)%26)) + letter
	}
	return letter
}

// Pieces gathers the parts that are the same piece, by material in the shop's order,
// then large to small. The order of the parts given does not matter.
func Pieces(s *shop.Shop, parts []Standing) []*Piece {
	known := map[*Part]laid{} // a part may stand in many places
	groups := map[string][]Standing{}
	for _, standing := range parts {
		l, seen := known[standing.Part]
		if !seen {
			l = lie(standing.Part)
			known[standing.Part] = l
		}
		groups[l.key] = append(groups[l.key], standing)
	}
	pieces := make([]*Piece, 0, len(groups))
	keys := map[*Piece]string{}
	for key, group := range groups {
		p := gather(group, known)
		pieces = append(pieces, p)
		keys[p] = key
	}
	order := map[*shop.Material]int{}
	for i, m := range s.Materials {
		order[m] = i
	}
	slices.SortFunc(pieces, func(a, b *Piece) int {
		return cmp.Or(
			cmp.Compare(order[a.Material], order[b.Material]),
			cmp.Compare(b.area(), a.area()), natural(a.Name, b.Name), cmp.Compare(keys[a], keys[b]))
	})
	number := map[*shop.Material]int{}
	for _, p := range pieces {
		number[p.Material]++
		p.ID = fmt.Sprintf("%s-%03d", Letter(order[p.Material]), number[p.Material])
	}
	return pieces
}

// Finished returns the size with the bands that are added to what is cut.
func (p *Piece) Finished() (length, width measure.Length) {
	length, width = p.Length, p.Width
	for side, e := range p.Edges {
		if e.Treatment == nil {
			continue
		}
		switch Side(side) {
		case SideStart, SideEnd:
			length += e.Treatment.Off()
		default:
			width += e.Treatment.Off()
		}
	}
	return length, width
}

// area is the area of a broad face, in mm2.
func (p *Piece) area() float64 { return p.Length.MM() * p.Width.MM() }

// gather makes a piece of parts that are the same. What differs in them although they
// are the same piece is taken from the first place, or is the most that any of them has.
func gather(parts []Standing, known map[*Part]laid) *Piece {
	slices.SortStableFunc(parts, func(a, b Standing) int { return a.Place.compare(b.Place) })
	names, roles := map[string]int{}, map[string]int{}
	first := known[parts[0].Part]
	p := &Piece{
		Material: first.Material, Length: first.Length, Width: first.Width, Turns: first.Turns, Match: first.Match,
		Edges: first.Edges, Good: first.Good, Exposed: first.Exposed, Features: first.Features, SawnFrom: first.SawnFrom, Mass: first.Mass,
	}
	for i, s := range parts {
		names[plainName(s.Part.Name)] += s.Place.Vehicles
		roles[s.Part.Role] += s.Place.Vehicles
		p.Count += s.Place.Vehicles
		p.Goes = append(p.Goes, s.Place)
		if i > 0 && s.Part == parts[i-1].Part {
			continue
		}
		for side, e := range known[s.Part].Edges {
			p.Edges[side].Open = max(p.Edges[side].Open, e.Open)
			p.Edges[side].Felted = p.Edges[side].Felted || e.Felted
			if e.Toward != p.Edges[side].Toward {
				p.Edges[side].Toward = 0
			}
		}
	}
	p.Name, p.Role = commonest(names), commonest(roles)
	return p
}

// plainName returns the name of a part without its path and its counter.
func plainName(path string) string {
	name := path[strings.LastIndexByte(path, '.')+1:]
	if at := strings.LastIndexByte(name, '-'); at > 0 && digits(name[at+1:]) {
		name = name[:at]
	}
	return name
}

// commonest returns the key of the highest count, the first by name among equals.
func commonest(counts map[string]int) (best string) {
	for name, n := range counts {
		if best == "" || n > counts[best] || n == counts[best] && name < best {
			best = name
		}
	}
	return best
}

// laid is a part as its piece lies, with a key that all parts of the piece share, and whether
// it was turned over for it.
type laid struct {
	Part
	key  string
	over bool
}

// TurnedOver reports whether a part lies turned over in its piece: its low face is the piece's
// high one.
func (p *Part) TurnedOver() bool { return lie(p).over }

// lie turns a part as its piece lies.
func lie(p *Part) laid {
	best := laid{}
	for _, t := range turns {
		if t.quarter && !(p.Turns && hundredths(p.Length) == hundredths(p.Width)) {
			continue
		}
		if p.Match.Of > 0 && t != (turn{overU: p.Good == LowFace}) {
			continue
		}
		turned := laid{Part: t.turn(p), over: t.overU}
		turned.key = turned.text()
		if best.key == "" || turned.key < best.key {
			best = turned
		}
	}
	return best
}

// turn is one of the rotations that a part's length, width and thickness axes allow.
type turn struct {
	quarter bool // a quarter about w first: u takes the place of v
	overU   bool // half a turn about u
	round   bool // half a turn about w
}

// turns are all eight: four keep the axes, four swap length and width.
var turns = [8]turn{
	{}, {round: true}, {overU: true}, {overU: true, round: true},
	{quarter: true}, {quarter: true, round: true}, {quarter: true, overU: true}, {quarter: true, overU: true, round: true},
}

// turn returns the part turned: edges, good face and features move.
func (t turn) turn(p *Part) Part {
	q := *p
	q.Features = slices.Clone(p.Features)
	if t.quarter { // anticlockwise seen from w: u to v, v to -u
		q.Length, q.Width = p.Width, p.Length
		q.Edges = [4]Edge{SideNear: q.Edges[SideStart], SideEnd: q.Edges[SideNear], SideFar: q.Edges[SideEnd], SideStart: q.Edges[SideFar]}
		q.eachBox(func(b Box) Box {
			b.Lo[0], b.Hi[0], b.Lo[1], b.Hi[1] = q.Length-b.Hi[1], q.Length-b.Lo[1], b.Lo[0], b.Hi[0]
			return b
		})
	}
	if t.overU { // v and w change ends
		q.Edges[SideNear], q.Edges[SideFar] = q.Edges[SideFar], q.Edges[SideNear]
		switch p.Good {
		case LowFace:
			q.Good = HighFace
		case HighFace:
			q.Good = LowFace
		}
		q.Exposed[0], q.Exposed[1] = p.Exposed[1], p.Exposed[0]
		q.eachBox(func(b Box) Box { return ends(ends(b, 1, q.Width), 2, q.Material.Thickness) })
	}
	if t.round { // u and v change ends
		q.Edges = [4]Edge{q.Edges[SideFar], q.Edges[SideNear], q.Edges[SideEnd], q.Edges[SideStart]}
		q.eachBox(func(b Box) Box { return ends(ends(b, 0, q.Length), 1, q.Width) })
	}
	return q
}

func (p *Part) eachBox(f func(Box) Box) {
	for i := range p.Features {
		p.Features[i].Box = f(p.Features[i].Box)
	}
}

// ends makes an axis of the frame run the other way.
func ends(b Box, a int, size measure.Length) Box {
	b.Lo[a], b.Hi[a] = size-b.Hi[a], size-b.Lo[a]
	return b
}

// hundredths rounds a length to 0.01 mm, the precision to which pieces are compared. Its
// bounds lie at 0.005312 mm, off every multiple of 0.001 mm, 0.001 in and 1/64 in, so that
// rounding a formula to the nanometre does not take equal sizes apart.
func hundredths(l measure.Length) int64 {
	const grid, bound = 10 * int64(measure.Micrometre), 5312
	n := int64(l) - bound
	if n < 0 {
		return -(-n / grid)
	}
	return n/grid + 1
}

// text writes all that makes a part the same piece as another, so that texts compare in
// the order in which a piece prefers to lie.
func (p *laid) text() string {
	buffer := make([]byte, 0, 128)
	buffer = append(append(buffer, p.Material.ID...), 0)
	buffer = appendNumber(appendLength(buffer, p.Length), hundredths(p.Width))
	if p.Turns {
		buffer = append(buffer, 1)
	}
	buffer = append(buffer, 2-byte(p.Good)) // the upper face first
	buffer = appendFlags(buffer, p.Exposed[0], p.Exposed[1], p.SawnFrom != "")
	buffer = append(buffer, p.sortFeatures()...)
	for _, e := range p.Edges {
		if e.Treatment == nil {
			buffer = append(buffer, 0)
		} else {
			buffer = append(append(buffer, 1), e.Treatment.String()...)
			buffer = append(buffer, 0)
		}
		buffer = appendFlags(buffer, e.VoidFree)
	}
	if p.Match.kind != "" {
		buffer = appendNumber(append(buffer, p.Match.kind...), int64(p.Match.Place))
	}
	return string(buffer)
}

func appendFlags(buffer []byte, flags ...bool) []byte {
	for _, set := range flags {
		if set {
			buffer = append(buffer, 1)
		} else {
			buffer = append(buffer, 0)
		}
	}
	return buffer
}

// sortFeatures sorts the features by their text, those on the upper face first, and
// returns the texts.
func (p *laid) sortFeatures() (text []byte) {
	type written struct {
		Feature
		text string
	}
	list := make([]written, len(p.Features))
	for i, f := range p.Features {
		buffer := append([]byte(f.Kind), 0)
		buffer = appendLength(buffer, p.Material.Thickness-f.Box.Hi[2])
		for a := range f.Box.Lo {
			buffer = appendLength(appendLength(buffer, f.Box.Lo[a]), f.Box.Hi[a])
		}
		list[i] = written{f, string(buffer)}
	}
	slices.SortFunc(list, func(a, b written) int {
		return cmp.Or(cmp.Compare(a.text, b.text), cmp.Compare(a.About, b.About))
	})
	for i, w := range list {
		p.Features[i] = w.Feature
		text = append(text, w.text...)
	}
	return text
}

func appendLength(buffer []byte, l measure.Length) []byte { return appendNumber(buffer, hundredths(l)) }

// appendNumber writes a number so that texts compare as numbers do.
func appendNumber(buffer []byte, n int64) []byte {
	return binary.BigEndian.AppendUint64(buffer, uint64(n)^1<<63)
}
