package table

import (
	"cmp"
	"fmt"
	"slices"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
)

// Machining is one feature of a piece, or several alike at equal distances: in a row, or in
// rows side by side. All lengths are from the start and the near edge of the panel as cut.
type Machining struct {
	Mark  string // "a", "b", ...: within its piece
	Kind  cabinets.FeatureKind
	About string
	Face  string // that it is worked from: "upper", "lower", an edge; "through" all of it
	Round bool
	// At is the first one's middle where it is round, else its corner nearest to the start and
	// the near edge; Size are its extents along the piece and across it.
	At, Size [2]measure.Length
	// Up is how far the middle of a hole in an edge lies from the lower face, else 0.
	Up    measure.Length
	Depth measure.Length // 0 is through
	// Count and Pitch are how many there are along the piece and across it, and how far apart.
	Count [2]int
	Pitch [2]measure.Length
}

// alike is how far places may lie from equal distances: sizes are the same piece within as
// much.
const alike = 10 * measure.Micrometre

// Machinings lists what is machined into a piece, from the upper face, then from the lower
// one, then through it and into edges, each from the corner of the start and the near edge.
func Machinings(p *cabinets.Piece) []Machining {
	var list []Machining
	for i := range p.Features {
		list = append(list, machiningOf(p, &p.Features[i]))
	}
	for axis := range 2 {
		list = inRows(list, axis)
	}
	slices.SortStableFunc(list, func(a, b Machining) int {
		return cmp.Or(cmp.Compare(a.rank(), b.rank()), cmp.Compare(a.Face, b.Face), cmp.Compare(a.Kind, b.Kind), slices.Compare(a.At[:], b.At[:]))
	})
	for i := range list {
		list[i].Mark = markOf(i)
	}
	return list
}

// markOf returns a, b, ..., z, aa, ab, ...
func markOf(i int) (mark string) {
	for i++; i > 0; i = (i - 1) / 26 {
		mark = string(rune('a'+(i-1)%26)) + mark
	}
	return mark
}

// rank orders machinings by the face that they are worked from.
func (m *Machining) rank() int {
	if i := slices.Index([]string{"upper", "lower", through}, m.Face); i >= 0 {
		return i
	}
	return 3 // an edge
}

const through = "through"

// machiningOf describes one feature.
func machiningOf(p *cabinets.Piece, f *cabinets.Feature) Machining {
	b, thickness := f.Box, p.Material.Thickness
	m := Machining{Kind: f.Kind, About: f.About, Face: through, Round: f.Kind == cabinets.Hole, Count: [2]int{1, 1}}
	for axis := range m.At {
		m.At[axis], m.Size[axis] = b.Lo[axis], b.Size(cabinets.Axis(axis))
	}
	high, low := b.Hi[2] >= thickness-alike, b.Lo[2] <= alike
	switch {
	case high && low:
	case high:
		m.Face, m.Depth = "upper", b.Size(cabinets.Z)
	case low:
		m.Face, m.Depth = "lower", b.Size(cabinets.Z)
	default:
		m.intoEdge(p, b)
		return m
	}
	if m.Round {
		for axis := range m.At {
			m.At[axis] += m.Size[axis] / 2
		}
	}
	return m
}

// intoEdge describes a hole that is bored between the faces, from the edge that is nearest.
func (m *Machining) intoEdge(p *cabinets.Piece, b cabinets.Box) {
	ends := [4]measure.Length{cabinets.SideNear: b.Lo[1], cabinets.SideFar: p.Width - b.Hi[1], cabinets.SideStart: b.Lo[0], cabinets.SideEnd: p.Length - b.Hi[0]}
	edge := cabinets.SideNear
	for s := range ends {
		if ends[s] < ends[edge] {
			edge = cabinets.Side(s)
		}
	}
	m.Round, m.Face = true, sideWords[edge]+" edge"
	diameter := b.Size(cabinets.Z)
	m.Up = b.Lo[2] + diameter/2
	along, run := 1, 0 // the axes that it is bored along, and that the edge runs along
	if edge == cabinets.SideStart || edge == cabinets.SideEnd {
		along, run = 0, 1
	}
	m.Depth = m.Size[along]
	m.At[run] += m.Size[run] / 2
	m.At[along] = 0
	if edge == cabinets.SideFar || edge == cabinets.SideEnd {
		m.At[along] = [2]measure.Length{p.Length, p.Width}[along]
	}
	m.Size = [2]measure.Length{diameter, diameter}
}

// inRows joins machinings that differ in nothing but their place along an axis, where those
// places lie at equal distances: three or more, or two that are all there are.
func inRows(list []Machining, axis int) (rows []Machining) {
	type alikes struct {
		Machining
		places []measure.Length
	}
	var groups []alikes
	slices.SortStableFunc(list, func(a, b Machining) int { return cmp.Compare(a.At[axis], b.At[axis]) })
	for _, m := range list {
		at := slices.IndexFunc(groups, func(g alikes) bool { return g.sameBut(&m, axis) })
		if at < 0 {
			at = len(groups)
			groups = append(groups, alikes{Machining: m})
		}
		groups[at].places = append(groups[at].places, m.At[axis])
	}
	for _, g := range groups {
		for len(g.places) > 0 {
			n := inRow(g.places)
			if n == 2 && len(g.places) != 2 {
				n = 1
			}
			m := g.Machining
			m.At[axis], m.Count[axis] = g.places[0], n
			if n > 1 {
				m.Pitch[axis] = (g.places[n-1] - g.places[0]) / measure.Length(n-1)
			}
			rows = append(rows, m)
			g.places = g.places[n:]
		}
	}
	return rows
}

// inRow returns how many places, from the first, lie at equal distances above 0.
func inRow(places []measure.Length) int {
	if len(places) < 2 || near(places[0], places[1]) {
		return 1
	}
	n := 2
	for n < len(places) && near(places[n]-places[n-1], places[1]-places[0]) {
		n++
	}
	return n
}

func near(a, b measure.Length) bool { return a-b <= alike && b-a <= alike }

// sameBut reports whether two machinings are alike but for their place along an axis.
func (m *Machining) sameBut(o *Machining, axis int) bool {
	other := 1 - axis
	return m.Kind == o.Kind && m.About == o.About && m.Face == o.Face && near(m.At[other], o.At[other]) &&
		near(m.Size[0], o.Size[0]) && near(m.Size[1], o.Size[1]) && near(m.Up, o.Up) && near(m.Depth, o.Depth) &&
		m.Count == o.Count && near(m.Pitch[other], o.Pitch[other])
}

// Each calls visit with the place of every one of them.
func (m *Machining) Each(visit func(at [2]measure.Length)) {
	for i := range m.Count[0] {
		for k := range m.Count[1] {
			visit([2]measure.Length{m.At[0] + measure.Length(i)*m.Pitch[0], m.At[1] + measure.Length(k)*m.Pitch[1]})
		}
	}
}

// What names the feature: "groove for back".
func (m *Machining) What() string { return oneLine(string(m.Kind) + " " + m.About) }

// How gives its size: "Ø12" or "1760 × 6.4", and its depth.
func (m *Machining) How(style measure.Style) string {
	size := style.Format(m.Size[0]) + " × " + style.Format(m.Size[1])
	if m.Round {
		size = "Ø" + style.Format(m.Size[0])
	}
	if m.Depth == 0 {
		return size + " through"
	}
	return size + ", " + style.Format(m.Depth) + " deep"
}

// Row tells how many there are and how far apart: "6 along, 100 apart; 2 across, 220 apart".
func (m *Machining) Row(style measure.Style) (words string) {
	for axis, way := range []string{"along", "across"} {
		if m.Count[axis] < 2 {
			continue
		}
		if words != "" {
			words += "; "
		}
		words += fmt.Sprintf("%d %s, %s apart", m.Count[axis], way, style.Format(m.Pitch[axis]))
	}
	return words
}

// EdgeName names an edge of a piece, and where it looks in the cabinet where that is so for
// all of its parts: "near (front)".
func EdgeName(p *cabinets.Piece, side cabinets.Side) string {
	name := sideWords[side]
	if looks := directionWords[p.Edges[side].Toward.String()]; looks != "" {
		name += " (" + looks + ")"
	}
	return name
}

var directionWords = map[string]string{"-x": "left", "+x": "right", "-y": "front", "+y": "back", "-z": "bottom", "+z": "top"}

// UpperFace says which face of a piece is the upper one.
func UpperFace(p *cabinets.Piece) string {
	if p.Good == cabinets.NoFace {
		return "either face up, as drawn"
	}
	return "good face " + map[bool]string{true: "up", false: "down"}[p.Good == cabinets.HighFace]
}

// Machined lists the pieces that something is machined into.
func Machined(job *batch.Job) (pieces []*cabinets.Piece) {
	for _, p := range job.Pieces {
		if len(p.Features) > 0 {
			pieces = append(pieces, p)
		}
	}
	return pieces
}

// MachiningList lists what is machined into each piece, each feature from the same two
// edges.
func MachiningList(job *batch.Job) *Table {
	type row struct {
		piece *cabinets.Piece
		Machining
	}
	style := job.Batch.Shop.Style
	var rows []row
	for _, p := range Machined(job) {
		for _, m := range Machinings(p) {
			rows = append(rows, row{p, m})
		}
	}
	place := func(axis int, key, head string) column[row] {
		return column[row]{Column{Key: key, Head: head, In: Always, Kind: Length}, func(r row) any { return r.At[axis] }}
	}
	return build(job.Batch.Shop, "machining", "Machining by part, from the start and the near edge", rows,
		text("part", "Part", func(r row) string { return r.piece.ID }),
		text("name", "Name", func(r row) string { return r.piece.Name }),
		count("pieces", "Pieces", func(r row) int { return r.piece.Count }),
		text("start_edge", "Start", func(r row) string { return EdgeName(r.piece, cabinets.SideStart) }),
		text("near_edge", "Near", func(r row) string { return EdgeName(r.piece, cabinets.SideNear) }),
		text("up", "Up", func(r row) string { return UpperFace(r.piece) }),
		text("mark", "Mark", func(r row) string { return r.Mark }),
		text("feature", "Feature", func(r row) string { return r.What() }),
		text("face", "Face", func(r row) string { return r.Face }),
		place(0, "from_start", "From start"), place(1, "from_near", "From near"),
		length("from_lower_face", "Up from lower face", func(r row) measure.Length { return r.Up }),
		only(Plain|Page, text("size", "Size", func(r row) string { return r.How(style) })),
		only(Files, length("along", "Along", func(r row) measure.Length { return r.Size[0] })),
		only(Files, length("across", "Across", func(r row) measure.Length { return r.Size[1] })),
		only(Files, length("depth", "Depth", func(r row) measure.Length { return r.Depth })),
		only(Plain|Page, text("row", "In a row", func(r row) string { return r.Row(style) })),
		only(Files, count("count_along", "Along", func(r row) int { return r.Count[0] })),
		only(Files, length("pitch_along", "Pitch", func(r row) measure.Length { return r.Pitch[0] })),
		only(Files, count("count_across", "Across", func(r row) int { return r.Count[1] })),
		only(Files, length("pitch_across", "Pitch", func(r row) measure.Length { return r.Pitch[1] })))
}
