package diagram

import (
	"fmt"
	"strings"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
)

// card is what a label says.
type card struct {
	number, size    string
	serial, caption string
	places          []string // where it goes: at length, and shorter
	notes           []string // what matters most first
	sketch          sketch
}

// card gathers what a label says.
func (s *LabelSheets) card(l *batch.Label) card {
	p, style := l.Piece, s.job.Batch.Shop.Style
	count := fmt.Sprintf("%d of %d", l.Copy, p.Count)
	c := card{number: p.ID, size: style.Format(p.Length) + " × " + style.Format(p.Width), serial: l.Serial, caption: "vehicle"}
	if l.Serial == "" {
		c.serial, c.caption = count, "copy"
	}
	if at := l.Place; at.Cabinet != "" {
		c.places = []string{at.Cabinet + ": " + at.Part, at.Part[strings.LastIndexByte(at.Part, '.')+1:]}
	} else if p.Name != p.ID {
		c.places = []string{p.Name}
	}
	faces := s.faces(l)
	c.sketch = sketchOf(p, faces.stick == 0)
	c.notes = c.sketch.key
	if l.IsBlank {
		c.notes = append(c.notes, "second cut")
	}
	c.notes = append(c.notes, faces.notes()...)
	if length, width := p.Finished(); length != p.Length || width != p.Width {
		c.notes = append(c.notes, "finished "+style.Format(length)+" × "+style.Format(width))
	}
	if l.From != "" {
		c.notes = append(c.notes, "from "+l.From)
	}
	if l.Serial != "" {
		c.notes = append(c.notes, "copy "+count)
	}
	if l.Part != nil && len(l.Part.Coats) > 0 {
		c.notes = append(c.notes, "off before finish")
	}
	c.notes = append(c.notes, p.Material.Name)
	if l.Place.Interior != nil {
		c.notes = append(c.notes, l.Place.Interior.Title())
	}
	c.notes = append(c.notes, s.job.Batch.Name+"-"+s.job.Digest)
	return c
}

// labelFaces says of a part's lower and upper face, 0 and 1, as it lies in its piece, what
// speaks against a label on it.
type labelFaces struct {
	good, exposed, felted [2]bool
	glued                 [2]float64 // mm2
	area                  float64    // mm2 of a face
	known                 bool       // what part it is
	stick                 int        // the face that the label goes onto
}

// faces looks at the faces of a label's part.
func (s *LabelSheets) faces(l *batch.Label) (f labelFaces) {
	p := l.Piece
	f.good = [2]bool{p.Good == cabinets.LowFace, p.Good == cabinets.HighFace}
	f.exposed, f.area = p.Exposed, p.Length.MM()*p.Width.MM()
	if l.Part != nil {
		over, met := s.over[l.Part]
		if !met {
			over = l.Part.TurnedOver()
			s.over[l.Part] = over
		}
		upper := func(high bool) int { // as it lies in its piece
			if high != over {
				return 1
			}
			return 0
		}
		f.known = true
		f.glued[upper(false)], f.glued[upper(true)] = l.Part.Glued[0], l.Part.Glued[1]
		for _, d := range s.felt[l.Place] {
			if d.Axis() == l.Part.Thin {
				f.felted[upper(d.High())] = true
			}
		}
	}
	if f.against(1) < f.against(0) {
		f.stick = 1
	}
	return f
}

// against weighs what speaks against a face: that it is the good one, then that it is seen,
// glued over for the most part, felted, and by how much of it is glued.
func (f *labelFaces) against(face int) (weight float64) {
	for _, bad := range []bool{f.good[face], f.exposed[face], 2*f.glued[face] > f.area, f.felted[face]} {
		weight *= 2
		if bad {
			weight += 2
		}
	}
	return weight + f.glued[face]/(f.area+1)
}

var faceNames = [2]string{"lower", "upper"}

// notes says where the label goes, and what the faces are.
func (f *labelFaces) notes() (notes []string) {
	if f.known || f.good[0] || f.good[1] {
		stick := "stick on " + faceNames[f.stick] + " face"
		if f.good[f.stick] || f.exposed[f.stick] {
			stick += ", is seen: take off"
		}
		notes = append(notes, stick)
	}
	name := func(what string, faces [2]bool) {
		switch {
		case faces[0] && faces[1]:
			notes = append(notes, what+" both faces")
		case faces[0]:
			notes = append(notes, what+" lower face")
		case faces[1]:
			notes = append(notes, what+" upper face")
		}
	}
	name("good:", f.good)
	name("felt:", f.felted)
	return notes
}
