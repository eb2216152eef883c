package book

import (
	"fmt"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/output/draw"
)

// Unprintable finds names that hold letters which the embedded type lacks: in their place a
// question mark is printed.
func Unprintable(b *batch.Batch) []cabinets.Finding {
	var found []cabinets.Finding
	for _, n := range namesOf(b) {
		if lacks := draw.Lacks(n.text); lacks != "" {
			found = append(found, cabinets.Finding{Level: cabinets.LevelWarning, Where: n.where,
				Text: fmt.Sprintf("%q holds letters that the type of the printouts lacks: %s", n.text, lacks),
				Do:   "write it in Latin, Greek or Cyrillic letters: a question mark is printed for any other"})
		}
	}
	return cabinets.SortFindings(found)
}

// name is a text that people see, and where it stands.
type name struct{ where, text string }

// namesOf lists the names that a batch prints.
func namesOf(b *batch.Batch) (names []name) {
	add := func(where, text string) { names = append(names, name{where, text}) }
	s := b.Shop
	add("shop", s.Name)
	for _, m := range s.Materials {
		add("material "+m.ID, m.Name)
	}
	for _, band := range s.Bands {
		add("band "+band.ID, band.Name)
	}
	for _, f := range s.Finishes {
		add("finish "+f.ID, f.Name)
	}
	for _, a := range s.Adhesives {
		add("adhesive "+a.ID, a.Name)
	}
	if s.Sealer != nil {
		add("sealer", s.Sealer.Name)
	}
	add("felt", s.Felt.Name)
	for _, h := range s.Hardware {
		add("hardware "+h.ID, h.Name)
	}
	add("batch", b.Name)
	add("batch", b.About)
	for _, p := range b.List {
		add("list", p.Name)
	}
	for _, v := range b.Vehicles {
		add("vehicle", v.Serial)
	}
	interiors, _ := b.Interiors()
	for _, in := range interiors {
		add("layout", in.Title())
		for i := range in.Cabinets {
			c := &in.Cabinets[i]
			where := in.Title() + ": " + c.Name
			add(where, c.Name)
			for _, content := range c.Contents {
				add(where+": contents", content.What)
				add(where+": contents", content.Reach)
			}
			for k := range c.Solid.Parts {
				add(where, c.Solid.Parts[k].Name)
			}
		}
	}
	return names
}
