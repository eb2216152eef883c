package table

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
)

// Template is a scribed edge, and where it goes.
type Template struct {
	*cabinets.Scribe
	Name  string             // "Curlew-overhead-left-side"
	In    *cabinets.Interior // the first that it goes into
	Piece *cabinets.Piece
}

// Templates lists the scribed edges of a job, those once that are the same in a layout whatever
// its options.
func Templates(job *batch.Job) (list []*Template) {
	pieces := map[cabinets.Place]*cabinets.Piece{}
	for _, p := range job.Pieces {
		for _, place := range p.Goes {
			place.Vehicles = 0
			pieces[place] = p
		}
	}
	times := map[string]int{}
	interiors, _ := job.Batch.Interiors()
	for _, in := range interiors {
		for i := range in.Scribes {
			s := &in.Scribes[i]
			piece := pieces[cabinets.Place{Interior: in, Cabinet: s.Cabinet, Part: s.Part}]
			name := fileWord(in.Layout.Title() + "-" + s.Cabinet + "-" + s.Part)
			if slices.ContainsFunc(list, func(t *Template) bool {
				return t.Piece == piece && t.In.Layout.Title() == in.Layout.Title() && t.equal(s)
			}) {
				continue
			}
			if times[name]++; times[name] > 1 {
				name += "-" + strconv.Itoa(times[name])
			}
			list = append(list, &Template{s, name, in, piece})
		}
	}
	return list
}

// equal reports whether an edge is cut by the same template.
func (t *Template) equal(s *cabinets.Scribe) bool {
	return t.Cabinet == s.Cabinet && t.Part == s.Part && t.Side == s.Side && slices.Equal(t.Profile, s.Profile)
}

// fileWord makes a name that any system takes for a file's: what is no letter, digit or point
// is a hyphen.
func fileWord(name string) string {
	words := strings.FieldsFunc(name, func(r rune) bool {
		return !(r == '.' || '0' <= r && r <= '9' || 'a' <= r && r <= 'z' || 'A' <= r && r <= 'Z')
	})
	return strings.Join(words, "-")
}

// Rough returns how much of what comes off may be cut before the edge is fitted to the wall
// itself, so that an allowance stays.
func Rough(off, allowance measure.Length) measure.Length {
	return max(off-allowance, 0)
}

// Scribed lists what comes off scribed edges, at heights above the lower ends of their parts.
func Scribed(job *batch.Job) *Table {
	type row struct {
		*Template
		cabinets.Shaped
	}
	var rows []row
	for _, t := range Templates(job) {
		for _, s := range t.Profile {
			rows = append(rows, row{t, s})
		}
	}
	return build(job.Batch.Shop, "scribed", "Scribed edges", rows,
		text("template", "Template", func(r row) string { return r.Name }),
		text("part", "Part", func(r row) string { return r.Piece.ID }),
		text("edge", "Edge", func(r row) string { return r.Side.Word() }),
		text("from", "Seen from the", func(r row) string { return r.From.Word() }),
		place("height", "At height", func(r row) any { return r.Height }),
		place("off", "Comes off", func(r row) any { return max(r.Off, 0) }),
		place("rough", "Off before fitting", func(r row) any { return Rough(r.Off, job.Batch.Shop.Limits.Scribe) }),
		length("gap", "Stays off the wall", func(r row) measure.Length { return max(-r.Off, 0) }))
}

// scribedOf says how many templates shape the parts of a piece, which are cut alike before.
func scribedOf(job *batch.Job) func(*cabinets.Piece) string {
	templates := Templates(job)
	return func(p *cabinets.Piece) string {
		n := 0
		for _, t := range templates {
			if t.Piece == p {
				n++
			}
		}
		switch n {
		case 0:
			return ""
		case 1:
			return "by a template"
		}
		return fmt.Sprintf("by %d templates, cut alike before", n)
	}
}
