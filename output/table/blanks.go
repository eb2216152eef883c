package table

import (
	"fmt"
	"strings"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
)

// Blanks lists the pieces that are cut oversize, and what their second cuts make of each.
func Blanks(job *batch.Job) *Table {
	type blank struct {
		*batch.Material
		*batch.Pattern
	}
	var rows []blank
	for i := range job.Materials {
		m := &job.Materials[i]
		for _, p := range m.AllPatterns()[len(m.Patterns):] {
			rows = append(rows, blank{m, p})
		}
	}
	style := job.Batch.Shop.Style
	return build(job.Batch.Shop, "blanks", "Blanks and their second cuts", rows,
		text("blank", "Blank", func(b blank) string { return b.Blank.ID }),
		text("material", "Material", func(b blank) string { return b.Of.ID }),
		length("length", "Length", func(b blank) measure.Length { return b.Sheet.Length }),
		length("width", "Width", func(b blank) measure.Length { return b.Sheet.Width }),
		count("count", "Count", func(b blank) int { return b.Times }),
		text("holds", "Each holds", func(b blank) string { return holds(b.Pattern, style) }),
		text("places", "Goes to, in this order", func(b blank) string { return stripPlaces(job, b.Pattern) }),
		count("cuts", "Cuts each", func(b blank) int { return len(b.Cuts) }),
		text("layers", "Pressed from", func(b blank) string { return layers(b.Pattern, style) }))
}

// layers says what a blank is pressed from: "A-B1c of birch-12, 625 x 325; ...".
func layers(p *batch.Pattern, style measure.Style) string {
	words := make([]string, len(p.Layers))
	for i, l := range p.Layers {
		words[i] = fmt.Sprintf("%s of %s, %s", l.ID, l.Material.ID, style.Size(l.Length, l.Width))
	}
	return strings.Join(words, "; ")
}

// holds says what a blank is cut to: "7 × A-012, 60 x 30".
func holds(p *batch.Pattern, style measure.Style) string {
	var words []string
	for i := 0; i < len(p.Parts); {
		first := i
		for ; i < len(p.Parts) && p.Parts[i].Piece == p.Parts[first].Piece; i++ {
		}
		words = append(words, fmt.Sprintf("%d × %s, %s", i-first, p.Parts[first].Piece.ID, style.Size(p.Parts[first].Piece.Length, p.Parts[first].Piece.Width)))
	}
	return strings.Join(words, "; ")
}

// stripPlaces says where the matched parts of a strip go, all of one strip to one place:
// "Curlew bank-2: 31, 32". It is "" of other blanks.
func stripPlaces(job *batch.Job, p *batch.Pattern) string {
	if !p.Matched {
		return ""
	}
	var words []string
	for _, at := range p.Parts[0].Piece.Goes {
		var serials []string
		for _, v := range job.Batch.Vehicles {
			if v.Interior == at.Interior {
				serials = append(serials, v.Serial)
			}
		}
		cabinet := at.Cabinet
		if dot := strings.LastIndexByte(at.Part, '.'); dot >= 0 {
			cabinet += " " + at.Part[:dot]
		}
		words = append(words, fmt.Sprintf("%s %s: %s", at.Interior.Title(), cabinet, strings.Join(serials, ", ")))
	}
	return strings.Join(words, "; ")
}

// Place says which of a matched group a piece is, "2 of 3"; "" of others.
func Place(p *cabinets.Piece) string {
	if p.Match.Of == 0 {
		return ""
	}
	return fmt.Sprintf("%d of %d", p.Match.Place, p.Match.Of)
}

// blanksOf returns what says from which blanks a piece is cut, with their sizes, or out of
// which other piece it is sawn.
func blanksOf(job *batch.Job) func(*cabinets.Piece) string {
	style := job.Batch.Shop.Style
	pieces := pieceByPlace(job)
	return func(p *cabinets.Piece) string {
		if p.SawnFrom != "" {
			place := p.Goes[0]
			place.Part = p.SawnFrom
			return "the opening of " + pieces[place].ID
		}
		var words []string
		for i := range job.Materials {
			m := &job.Materials[i]
			for _, b := range m.BlanksOf(p) {
				from := fmt.Sprintf("%s, %s", b.Blank.ID, style.Size(b.Sheet.Length, b.Sheet.Width))
				if b.Matched {
					from += ", " + Place(p)
				}
				words = append(words, from)
			}
		}
		return strings.Join(words, "; ")
	}
}
