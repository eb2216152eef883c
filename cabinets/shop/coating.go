package shop

import (
	"fmt"

	"sawbook/cabinets/source"
)

// Coating is a finish or an adhesive: something spread on faces, bought by the tin.
type Coating struct {
	ID, Name string
	Covers   float64 // m2 of one face that a litre covers, one coat
	Tin      float64 // litres in one tin
	Price    Money   // of one tin
}

// Litres returns what an area in m2 takes, one coat.
func (c *Coating) Litres(area float64) float64 { return area / c.Covers }

// Finish is paint, oil or lacquer.
type Finish struct {
	Coating
	Coats int
}

// Litres returns what an area in m2 takes, every coat counted.
func (f *Finish) Litres(area float64) float64 { return f.Coating.Litres(float64(f.Coats) * area) }

// None is what stands for the finish of a role that gets none.
const None = "none"

// unfinished is the finish None; a fill without a finish holds nil.
var unfinished = &Finish{}

func (f *Finish) orNil() *Finish {
	if f == unfinished {
		return nil
	}
	return f
}

// Finish returns the finish with an id, nil where there is none.
func (s *Shop) Finish(id string) *Finish {
	for _, f := range s.Finishes {
		if f.ID == id {
			return f
		}
	}
	return nil
}

// readFinish reads the finish that a role gets; nil where the key is missing.
func (s *Shop) readFinish(n source.Node) *Finish {
	if n.IsZero() {
		return nil
	}
	id := n.Text()
	finish := s.Finish(id)
	if id == None {
		return unfinished
	}
	if finish == nil && n.IsText() {
		known := []string{None}
		for _, f := range s.Finishes {
			known = append(known, f.ID)
		}
		n.Fault(fmt.Sprintf("unknown finish %q", id), source.Suggest(id, known))
	}
	return finish
}

func (r *reader) finish(e source.Entry) *Finish {
	if e.Name == None {
		e.Key.Fault("none is no name for a finish", "none means a role that gets no finish; choose another name")
	}
	m := e.Value.Map("name", "coats", "covers", "tin", "price")
	f := &Finish{Coating: readCoating(e.Name, m), Coats: 1}
	if n := m.Get("coats"); !n.IsZero() {
		f.Coats = int(n.Whole(1, 10))
	}
	return f
}

// readCoating reads what finishes and adhesives have in common.
func readCoating(id string, m source.Map) Coating {
	c := Coating{ID: id, Name: id}
	if n := m.Get("name"); !n.IsZero() {
		c.Name = readName(n)
	}
	c.Covers = m.Need("covers").Number(0.1, 100)
	c.Tin = m.Need("tin").Number(0.01, 1000)
	c.Price = Money(m.Need("price").Money())
	return c
}
