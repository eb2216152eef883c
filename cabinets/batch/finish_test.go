package batch

import (
	"fmt"
	"testing"

	"sawbook/cabinets"
	"sawbook/cabinets/shop"
)

// TestFinishing: two vehicles with a shelf of 0.8 m2 and one alone of 0.5 m2, which are the
// same piece although more of the second is glued; a third vehicle has an oiled one.
func TestFinishing(t *testing.T) {
	paint := &shop.Finish{Coating: shop.Coating{ID: "paint", Name: "Paint", Covers: 10, Tin: 0.25, Price: 900}, Coats: 2}
	oil := &shop.Finish{Coating: shop.Coating{ID: "oil", Name: "Oil", Covers: 20, Tin: 0.5, Price: 1200}, Coats: 1}
	interior := func(name, role string, c cabinets.Coat) *cabinets.Interior {
		part := cabinets.Part{Name: "shelf", Role: role, Coats: []cabinets.Coat{c}}
		return &cabinets.Interior{Layout: &cabinets.Layout{Name: name}, Cabinets: []cabinets.Placed{{Name: "rack", Solid: &cabinets.Solid{Parts: []cabinets.Part{part}}}}}
	}
	long := interior("Long", "carcass", cabinets.Coat{Finish: paint, Faces: 0.8, Edges: 0.1})
	short := interior("Short", "carcass", cabinets.Coat{Finish: paint, Faces: 0.5})
	oiled := interior("Oiled", "top", cabinets.Coat{Finish: oil, Faces: 0.5})
	b := &Batch{Shop: &shop.Shop{Finishes: []*shop.Finish{paint, oil}}, Vehicles: []Vehicle{{"1", long}, {"2", long}, {"3", short}, {"4", oiled}}}
	shelf := &cabinets.Piece{ID: "A-001", Count: 4}
	for i, in := range []*cabinets.Interior{long, short, oiled} {
		shelf.Goes = append(shelf.Goes, cabinets.Place{Interior: in, Cabinet: "rack", Part: "shelf", Vehicles: []int{2, 1, 1}[i]})
	}
	j := &Job{Batch: b, Pieces: []*cabinets.Piece{shelf}}
	got := ""
	for _, f := range Finishing(j) {
		got += fmt.Sprintf("%s %s %s %d %.2f %.2f %.2f\n", f.Piece.ID, f.Role, f.Finish.ID, f.Count, f.Faces, f.Edges, f.Litres())
	}
	// 2 x 0.8 + 0.5, two coats at 10 m2 a litre
	if want := "A-001 carcass paint 3 2.10 0.20 0.46\nA-001 top oil 1 0.50 0.00 0.03\n"; got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
	got = ""
	e := j.estimate()
	for _, l := range e.Lines {
		got += fmt.Sprintf("%s %s %.3f %s %d %s %d\n", l.Group, l.Name, l.Need, l.Unit, l.Buy, l.Pack, l.Cost)
	}
	for _, u := range e.Layouts {
		got += fmt.Sprintf("%s %.2f %d\n", u.Layout, u.Finished, u.Cost)
	}
	// paint falls on the layouts as 0.36 l to 0.1 l
	if want := "finish Paint 0.460 l 2 0.25 l tin 1800\nfinish Oil 0.025 l 1 0.5 l tin 1200\nLong 0.90 1409\nShort 0.50 391\nOiled 0.50 1200\n"; got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}

// TestTins: a need of just two tins is two, whatever its sum rounds to.
func TestTins(t *testing.T) {
	for _, test := range []struct {
		needs []float64
		want  int
	}{{[]float64{0.1, 0.2, 0.2}, 2}, {[]float64{0.1, 0.1, 0.1, 0.1, 0.1}, 2}, {[]float64{0.5001}, 3}, {[]float64{0.0001}, 1}} {
		e := estimator{}
		e.tins("finish", &shop.Coating{Tin: 0.25}, test.needs)
		if e.Lines[0].Buy != test.want {
			t.Errorf("%v: %d tins, want %d", test.needs, e.Lines[0].Buy, test.want)
		}
	}
}
