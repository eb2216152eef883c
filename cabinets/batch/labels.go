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

// Labels lists the job's pieces in the order in which they come off the saw, as the shop works:
// sheet by sheet (or stack after stack), in the order of the cuts that free them, or setting by
// setting through all sheets. Last comes what is sawn out of the openings of other parts. Layers
// that are pressed have none, for both of their faces are glued or seen.
//
// Copy number k of a part goes to the k-th of its places, vehicle by vehicle, whatever the plan:
// the same part has the same id as long as the batch is the same.
func Labels(j *Job) []Label {
	r := labeller{job: j, next: map[*cabinets.Piece]int{}, goes: map[*cabinets.Piece][]destination{}}
	if j.Batch.Shop.Saw.BySetting {
		r.bySetting()
	} else {
		r.bySheet()
	}
	for _, p := range j.Pieces {
		if p.SawnFrom != "" {
			r.add(p, p.Count, "", false)
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

// bySheet adds the pieces of one sheet, or stack, after another.
func (r *labeller) bySheet() {
	for i := range r.job.Materials {
		m := &r.job.Materials[i]
		for _, p := range m.AllPatterns() {
			parts := slices.Clone(p.Parts)
			slices.SortStableFunc(parts, func(a, b Laid) int { return p.freed(a) - p.freed(b) })
			stack := max(m.Saw.Stack, 1)
			for left := p.Times; left > 0; left -= stack {
				for _, l := range parts {
					r.laid(m, p, l, min(stack, left))
				}
			}
		}
	}
}

// bySetting adds the pieces that no visit frees, which are whole sheets or broken down by the
// track saw, and then those of one visit after another.
func (r *labeller) bySetting() {
	visits := Visits(r.job)
	type step struct {
		pattern *Pattern
		step    int
	}
	freed := map[step]bool{}
	for _, v := range visits {
		for _, c := range v.Cuts {
			freed[step{c.Pattern, c.Step}] = true
		}
	}
	for i := range r.job.Materials {
		m := &r.job.Materials[i]
		for _, p := range m.AllPatterns() {
			for _, l := range p.Parts {
				if !freed[step{p, p.freed(l)}] {
					r.laid(m, p, l, p.Times)
				}
			}
		}
	}
	for _, v := range visits {
		for _, c := range v.Cuts {
			for _, l := range c.Pattern.Parts {
				if c.Pattern.freed(l) == c.Step {
					r.laid(c.Material, c.Pattern, l, c.Pattern.Times)
				}
			}
		}
	}
}

// laid adds so many copies of a piece of a pattern.
func (r *labeller) laid(m *Material, p *Pattern, l Laid, copies int) {
	if _, isLayer := m.layers[l.Piece]; !isLayer {
		r.add(l.Piece, copies, m.NameOf(p), m.blankOf(l.Piece) != nil)
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

// add adds so many copies of a piece.
func (r *labeller) add(p *cabinets.Piece, copies int, from string, isBlank bool) {
	goes := r.destinations(p)
	for range copies {
		r.next[p]++
		n := r.next[p]
		l := Label{ID: r.job.Batch.Name + "-" + r.job.Digest + "/" + p.ID + "/" + strconv.Itoa(n), Piece: p, Copy: n, From: from, IsBlank: isBlank}
		if n <= len(goes) {
			l.Serial, l.Place, l.Part = goes[n-1].serial, goes[n-1].place, goes[n-1].part
		}
		r.labels = append(r.labels, l)
	}
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
