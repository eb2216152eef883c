package batch

import (
	"cmp"
	"slices"

	"sawbook/cabinets/measure"
)

// Visit is a stay of fence or stop at one position in a run by setting: all cuts that can be made
// there then, on all sheets of one thickness. A position is visited again where some of its cuts
// divide what a later one frees.
type Visit struct {
	Number    int // from 1
	Rip       bool
	Set       measure.Length
	Thickness measure.Length
	Blanks    bool // second cuts: the blanks are freed, or pressed, before
	Cuts      []SettingCut
}

// Visits orders all cuts of a job but those of the track saw so that few positions of fence and
// stop are visited again: of those where something can be cut, one that is then done with comes first, and else
// the one with the most to cut. What a cut divides is there when it is made. Sheets come first,
// thickness by thickness, then blanks.
func Visits(j *Job) []Visit {
	var all []Visit
	for _, blanks := range []bool{false, true} {
		for _, t := range j.thicknesses() {
			all = append(all, t.visits(blanks)...)
		}
	}
	for i := range all {
		all[i].Number = i + 1
	}
	return all
}

// position is where fence or stop is set to.
type position struct {
	rip bool
	set measure.Length
}

// pending is a cut that is not made yet.
type pending struct {
	SettingCut
	after *pending // that frees or leaves what it divides; nil where that is the sheet
	made  bool
}

func (p *pending) ready() bool { return !p.made && (p.after == nil || p.after.made) }

// visits orders the cuts of sheets, or of blanks, of one thickness.
func (t thickness) visits(blanks bool) (all []Visit) {
	at := map[position][]*pending{}
	left := 0
	for _, m := range t {
		patterns := m.Patterns
		if blanks {
			patterns = m.Blanks
		}
		for i := range patterns {
			for _, p := range waiting(m, &patterns[i]) {
				if p.Track {
					p.made = true // the sheet is broken down before
					continue
				}
				key := position{p.Rip, p.Setting}
				at[key] = append(at[key], p)
				left++
			}
		}
	}
	for left > 0 {
		best := next(at)
		v := Visit{Rip: best.rip, Set: best.set, Thickness: t[0].Of.Thickness, Blanks: blanks}
		for again := true; again; {
			again = false
			for _, p := range at[best] {
				if p.ready() {
					p.made, again = true, true
					v.Cuts = append(v.Cuts, p.SettingCut)
				}
			}
		}
		left -= len(v.Cuts)
		all = append(all, v)
	}
	return all
}

// waiting returns the cuts of a pattern, each with the one that has to be made before it.
func waiting(m *Material, p *Pattern) []*pending {
	all := make([]*pending, len(p.Cuts))
	for i := range p.Cuts {
		all[i] = &pending{SettingCut: SettingCut{m, p, &p.Cuts[i]}}
		for k := i - 1; k >= 0 && all[i].after == nil; k-- {
			before := &p.Cuts[k]
			if before.Frees.holds(p.Cuts[i].From) || before.Remains.holds(p.Cuts[i].From) {
				all[i].after = all[k]
			}
		}
	}
	return all
}

// holds reports whether an area lies in another.
func (a Area) holds(b Area) bool {
	return a.X <= b.X && a.Y <= b.Y && b.X+b.Length <= a.X+a.Length && b.Y+b.Width <= a.Y+a.Width
}

// next chooses the position to visit: one that need not be visited again, else the one where most
// cuts can be made; of equals a rip, and the widest.
func next(at map[position][]*pending) position {
	type chance struct {
		position
		last  bool // all of its cuts can be made now
		count int
	}
	var chances []chance
	for key, cuts := range at {
		c := chance{position: key, last: true}
		made := map[*pending]bool{}
		for again := true; again; {
			again = false
			for _, p := range cuts {
				if !p.made && !made[p] && (p.after == nil || p.after.made || made[p.after]) {
					made[p], again = true, true
				}
			}
		}
		for _, p := range cuts {
			c.last = c.last && (p.made || made[p])
		}
		if c.count = len(made); c.count > 0 {
			chances = append(chances, c)
		}
	}
	best := slices.MinFunc(chances, func(a, b chance) int {
		return cmp.Or(falseLast(a.last)-falseLast(b.last), cmp.Compare(b.count, a.count), ripsFirst(a.rip)-ripsFirst(b.rip), cmp.Compare(b.set, a.set))
	})
	return best.position
}

func falseLast(b bool) int {
	if b {
		return 0
	}
	return 1
}
