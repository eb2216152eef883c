package batch

import (
	"slices"
	"strconv"

	"sawbook/cabinets"
)

// Label is one piece as it comes off the saw: a copy of a part, or a blank.
type Label struct {
	ID      string // what its code holds: "spring-554150ab/D-014/3"
	Piece   *cabinets.Piece
	Copy    int    // of the piece, from 1
	Serial  string // of the vehicle it goes to, "" where it has none
	Place   cabinets.Place
	Part    *cabinets.Part // nil in a plain list, and of a blank
	From    string         // the pattern or the blank that it comes from: "D2", "D-B1"; "" where it is sawn out of another part
	IsBlank bool
}

// Labels lists the job's pieces in the order in which they come off the saw: pattern after
// pattern, sheet after sheet (or stack after stack), in the order of the cuts that free them;
// last what is sawn out of the openings of other parts. Layers that are pressed have none, for
// both of their faces are glued or seen.
//
// Copy number k of a part goes to the k-th of its places, vehicle by vehicle, whatever the plan:
// the same part has the same id as long as the batch is the same.
func Labels(j *Job) []Label {
	r := labeller{job: j, next: map[*cabinets.Piece]int{}, goes: map[*cabinets.Piece][]destination{}}
	for i := range j.Materials {
		m := &j.Materials[i]
		for _, p := range m.AllPatterns() {
			r.pattern(m, p)
		}
	}
	for _, p := range j.Pieces {
		if p.SawnFrom != "" {
			for range p.Count {
				r.add(p, "", false)
			}
		}
	}
	return r.labels
}

type labeller struct {
	job    *Job
	labels []Label
	next   map[*cabinets.Piece]int
	goes   map[*cabinets.Piece][]destination
}

// destination is where one copy of a part goes.
type destination struct {
	serial string
	place  cabinets.Place
	part   *cabinets.Part
}

// pattern adds the pieces of all sheets of a pattern.
func (r *labeller) pattern(m *Material, p *Pattern) {
	parts := slices.Clone(p.Parts)
	slices.SortStableFunc(parts, func(a, b Laid) int { return p.freed(a) - p.freed(b) })
	stack := max(m.Saw.Stack, 1)
	for left := p.Times; left > 0; left -= stack {
		for _, l := range parts {
			if _, isLayer := m.layers[l.Piece]; isLayer {
				continue
			}
			for range min(stack, left) {
				r.add(l.Piece, m.NameOf(p), m.blankOf(l.Piece) != nil)
			}
		}
	}
}

// freed returns the step after which a part lies free: what a cut leaves is free once the last
// cut of its piece is made. A part that is the whole sheet is free before the first.
func (p *Pattern) freed(l Laid) int {
	area := Area{l.X, l.Y, l.Length, l.Width}
	for _, c := range p.Cuts {
		if c.Frees == area || c.Remains == area {
			return c.Step
		}
	}
	return 0
}

func (r *labeller) add(p *cabinets.Piece, from string, isBlank bool) {
	copies := r.next[p]
	r.next[p]++
	l := Label{ID: r.job.Batch.Name + "-" + r.job.Digest + "/" + p.ID + "/" + strconv.Itoa(copies+1), Piece: p, Copy: copies + 1, From: from, IsBlank: isBlank}
	if goes := r.destinations(p); copies < len(goes) {
		l.Serial, l.Place, l.Part = goes[copies].serial, goes[copies].place, goes[copies].part
	}
	r.labels = append(r.labels, l)
}

// destinations lists where the copies of a part go, in their order.
func (r *labeller) destinations(p *cabinets.Piece) []destination {
	goes, known := r.goes[p]
	if known {
		return goes
	}
	for _, v := range r.job.Batch.Vehicles {
		for _, place := range p.Goes {
			if place.Interior == v.Interior {
				goes = append(goes, destination{v.Serial, place, partAt(place)})
			}
		}
	}
	r.goes[p] = goes
	return goes
}

// partAt finds the part that goes to a place.
func partAt(place cabinets.Place) *cabinets.Part {
	for i := range place.Interior.Cabinets {
		if c := &place.Interior.Cabinets[i]; c.Name == place.Cabinet {
			return c.Solid.Part(place.Part)
		}
	}
	return nil
}
