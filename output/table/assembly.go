package table

import (
	"reflect"
	"slices"
	"strings"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
)

// Spot is where a cabinet stands: an interior, and its name there.
type Spot struct {
	Interior *cabinets.Interior
	Cabinet  string
}

// Assemblies are the lists of all cabinets of a job, to be asked for those of one.
type Assemblies struct {
	parts, hardware, joints, felt *Table
	findings                      []cabinets.Finding
}

// NewAssemblies makes them.
func NewAssemblies(job *batch.Job) *Assemblies {
	return &Assemblies{partsByCabinet(job), Hardware(job), Joints(job), FeltMap(job), job.Findings}
}

// Of lists what who puts a cabinet together needs: its parts, hardware and joints, where its felt lies, and what
// the checks say of it. The cabinet is made of the same pieces wherever it stands; what is not the same everywhere
// is listed for each place. Empty lists are left out.
func (a *Assemblies) Of(spots []Spot) (lists []*Table) {
	for _, t := range []*Table{a.parts, a.hardware, a.joints, a.felt} {
		lists = append(lists, ofSpots(t, spots)...)
	}
	return append(lists, ofSpots(a.found(spots), spots)...)
}

// found lists the findings by cabinet.
func (a *Assemblies) found(spots []Spot) *Table {
	all := Findings(nil)
	t := *all
	t.Columns = append(Findings(nil).Columns, Column{Key: "layout", In: Always}, Column{Key: "cabinet", In: Always})
	for _, s := range spots {
		title := s.Interior.Title() + ": "
		var own []cabinets.Finding
		for _, f := range a.findings {
			if rest, is := strings.CutPrefix(f.Where, title); is && (rest == s.Cabinet || strings.HasPrefix(rest, s.Cabinet+": ")) {
				f.Where = strings.TrimPrefix(strings.TrimPrefix(rest, s.Cabinet), ": ")
				own = append(own, f)
			}
		}
		for _, row := range Findings(own).Rows {
			t.Rows = append(t.Rows, append(slices.Clip(row), s.Interior.Title(), s.Cabinet))
		}
	}
	return &t
}

// countsOfBatch are columns that mean nothing for a single cabinet.
var countsOfBatch = []string{"layout", "cabinet", "vehicles", "total"}

// ofSpots returns the rows of a list for a cabinet: once where they are the same at all its spots, else for each.
func ofSpots(t *Table, spots []Spot) (lists []*Table) {
	for _, s := range spots {
		if of := t.of(s); len(of.Rows) > 0 {
			lists = append(lists, of)
		}
	}
	same := func(of *Table) bool { return reflect.DeepEqual(of.Rows, lists[0].Rows) }
	switch {
	case len(lists) == 0:
		return nil
	case len(lists) == len(spots) && !slices.ContainsFunc(lists, func(of *Table) bool { return !same(of) }):
		return lists[:1]
	}
	for i := range lists {
		lists[i].Title += ", " + lists[i].Name
	}
	return lists
}

// of returns the rows of one cabinet, without the columns that say which it is; its name is where that stands.
func (t *Table) of(s Spot) *Table {
	key := func(k string) int { return slices.IndexFunc(t.Columns, func(c Column) bool { return c.Key == k }) }
	layout, cabinet := key("layout"), key("cabinet")
	title, _, _ := strings.Cut(t.Title, " by ")
	of := &Table{Name: s.Interior.Title() + " " + s.Cabinet, Title: title, Style: t.Style, Currency: t.Currency}
	var kept []int
	for i, c := range t.Columns {
		if !slices.Contains(countsOfBatch, c.Key) {
			kept = append(kept, i)
			of.Columns = append(of.Columns, c)
		}
	}
	for _, row := range t.Rows {
		if row[layout] != s.Interior.Title() || row[cabinet] != s.Cabinet {
			continue
		}
		var cells []any
		for _, i := range kept {
			cells = append(cells, row[i])
		}
		of.Rows = append(of.Rows, cells)
	}
	return of
}

// placedPiece is a piece in one cabinet, by the names that it has there.
type placedPiece struct {
	spot  Spot
	piece *cabinets.Piece
	names []string
}

func partsByCabinet(job *batch.Job) *Table {
	var rows []*placedPiece
	for _, p := range job.Pieces {
		known := map[Spot]*placedPiece{}
		for _, place := range p.Goes {
			s := Spot{place.Interior, place.Cabinet}
			if known[s] == nil {
				known[s] = &placedPiece{spot: s, piece: p}
				rows = append(rows, known[s])
			}
			known[s].names = append(known[s].names, place.Part)
		}
	}
	return build(job.Batch.Shop, "parts-by-cabinet", "Parts by cabinet", rows,
		text("layout", "Layout", func(r *placedPiece) string { return r.spot.Interior.Title() }),
		text("cabinet", "Cabinet", func(r *placedPiece) string { return r.spot.Cabinet }),
		text("part", "Part", func(r *placedPiece) string { return r.piece.ID }),
		text("names", "Here", func(r *placedPiece) string { return strings.Join(r.names, ", ") }),
		count("each", "Each", func(r *placedPiece) int { return len(r.names) }),
		text("material", "Material", func(r *placedPiece) string { return r.piece.Material.ID }),
		text("size", "Size", func(r *placedPiece) string {
			style := job.Batch.Shop.Style
			return style.Format(r.piece.Length) + " × " + style.Size(r.piece.Width, r.piece.Material.Thickness)
		}),
		text("edges", "Edges", func(r *placedPiece) string { return allEdges(r.piece) }))
}
