package batch

import (
	"cmp"
	"slices"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// Setting is one position of fence or stop, and every cut made at it: those of one
// direction that free a piece of one size, on all sheets of one measured thickness.
// Trims have no setting of their own: they come off before the first step.
type Setting struct {
	Rip       bool
	Set       measure.Length // from fence or stop to blade
	Thickness measure.Length // measured
	Cuts      []SettingCut   // by material, pattern and step
}

// SettingCut is one cut of a pattern, made at a setting.
type SettingCut struct {
	Material *Material
	Pattern  *Pattern
	*Cut
}

// Settings lists the job's settings: by thickness in the shop's order of materials, rips
// first, wide to narrow.
func Settings(j *Job) []Setting {
	type key struct {
		thickness, set measure.Length
		rip            bool
	}
	index := map[key]int{}
	order := map[measure.Length]int{} // thicknesses as they first come
	var all []Setting
	for i := range j.Materials {
		m := &j.Materials[i]
		thickness := m.Of.Thickness
		if _, met := order[thickness]; !met {
			order[thickness] = len(order)
		}
		for _, p := range m.AllPatterns() {
			for n := range p.Cuts {
				c := &p.Cuts[n]
				if c.Track { // measured on the sheet, not set
					continue
				}
				at, met := index[key{thickness, c.Setting, c.Rip}]
				if !met {
					at = len(all)
					index[key{thickness, c.Setting, c.Rip}] = at
					all = append(all, Setting{Rip: c.Rip, Set: c.Setting, Thickness: thickness})
				}
				all[at].Cuts = append(all[at].Cuts, SettingCut{m, p, c})
			}
		}
	}
	slices.SortFunc(all, func(a, b Setting) int {
		return cmp.Or(cmp.Compare(order[a.Thickness], order[b.Thickness]), ripsFirst(a.Rip)-ripsFirst(b.Rip), cmp.Compare(b.Set, a.Set))
	})
	return all
}

func ripsFirst(rip bool) int {
	if rip {
		return 0
	}
	return 1
}

// Made returns how often the blade goes through at this setting: stacks count once.
func (s *Setting) Made() (n int) {
	for _, c := range s.Cuts {
		n += c.Pattern.Runs(c.Material.Saw.Stack)
	}
	return n
}

// Runs returns how many times the pattern's cuts are made when so many sheets are cut
// together; 0 and 1 are sheet by sheet.
func (p *Pattern) Runs(stack int) int {
	stack = max(stack, 1)
	return (p.Times + stack - 1) / stack
}

// SawUse is what the cutting of a job takes at the saw.
type SawUse struct {
	Settings, Cuts, Patterns int
	Blanks, BrokenDown       int        // blanks cut up, and sheets broken down with the track saw
	Cost                     shop.Money // of settings and cuts, at the shop's rates
	Sheets                   shop.Money // of sheets, less the value of offcuts worth keeping
}

// sawUse counts a job's settings and cuts, those of the track saw among them, and prices
// them.
func (j *Job) sawUse() SawUse {
	var u SawUse
	for _, s := range Settings(j) {
		u.Settings++
		u.Cuts += s.Made()
	}
	for i := range j.Materials {
		m := &j.Materials[i]
		u.Patterns += len(m.Patterns)
		for _, p := range m.AllPatterns() {
			if p.Blank != nil {
				u.Blanks += p.Times
			}
			if n := len(p.BrokenDown()); n > 0 {
				u.BrokenDown += p.Times
				u.Cuts += (n - 1) * p.Runs(m.Saw.Stack)
			}
		}
		if m.Plan != nil {
			u.Sheets += shop.Money(m.Plan.Cost - m.Plan.Kept)
		}
	}
	rates := j.Batch.Shop.Rates
	u.Cost = shop.Money(u.Settings)*rates.Setting + shop.Money(u.Cuts)*rates.Cut
	return u
}
