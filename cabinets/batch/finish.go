package batch

import (
	"fmt"
	"math"

	"sawbook/cabinets"
	"sawbook/cabinets/shop"
)

// Finished is what one finish covers of the parts of a piece that share a role.
type Finished struct {
	Piece        *cabinets.Piece
	Role         string
	Finish       *shop.Finish
	Count        int     // parts
	Faces, Edges float64 // m2 of one coat, of all these parts
}

// Litres returns what these parts take, every coat counted.
func (f *Finished) Litres() float64 { return f.Finish.Litres(f.Faces + f.Edges) }

// Finishing lists what is finished, by piece, role and finish. Parts of one piece need not
// be alike in it: what is glued to them may differ.
func Finishing(j *Job) []Finished {
	type key struct {
		piece  *cabinets.Piece
		role   string
		finish *shop.Finish
	}
	type place struct {
		interior      *cabinets.Interior
		cabinet, part string
	}
	parts := map[place]*cabinets.Part{}
	interiors, _ := j.Batch.Interiors()
	for _, in := range interiors {
		for _, s := range in.Parts(1) {
			parts[place{in, s.Place.Cabinet, s.Place.Part}] = s.Part
		}
	}
	var all []Finished
	for _, piece := range j.Pieces {
		index := map[key]int{}
		for _, goes := range piece.Goes {
			part := parts[place{goes.Interior, goes.Cabinet, goes.Part}]
			if part == nil {
				continue
			}
			for _, c := range part.Coats {
				k := key{piece, part.Role, c.Finish}
				at, met := index[k]
				if !met {
					at = len(all)
					index[k] = at
					all = append(all, Finished{Piece: piece, Role: part.Role, Finish: c.Finish})
				}
				all[at].Count += goes.Vehicles
				all[at].Faces += float64(c.Faces * float64(goes.Vehicles))
				all[at].Edges += float64(c.Edges * float64(goes.Vehicles))
			}
		}
	}
	return all
}

// finishes adds a line for each finish.
func (e *estimator) finishes() {
	for _, f := range e.job.Batch.Shop.Finishes {
		needs := make([]float64, len(e.interiors))
		for i, in := range e.interiors {
			area := 0.0
			for _, s := range in.Parts(1) {
				for _, c := range s.Part.Coats {
					if c.Finish == f {
						area += c.Faces + c.Edges
					}
				}
			}
			e.Layouts[i].Finished += area
			needs[i] = float64(f.Litres(area) * float64(e.vehicles[i]))
		}
		e.tins(GroupFinish, &f.Coating, needs)
	}
}

// tins adds a line for something bought by the tin, where any interior needs it; needs are
// in litres.
func (e *estimator) tins(group string, c *shop.Coating, needs []float64) {
	total := 0.0
	for _, n := range needs {
		total += n
	}
	if total == 0 {
		return
	}
	e.add(Line{Group: group, Item: c.ID, Name: c.Name, Need: total, Unit: "l", Buy: int(math.Ceil(total/c.Tin - 1e-9)), // 5 l from tins of 2.5 l are 2
		Pack: fmt.Sprintf("%g l tin", c.Tin), Each: c.Price}, needs)
}
