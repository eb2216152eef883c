package register

import (
	"slices"
	"strings"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/shop"
)

// sawn is a sheet that a batch is cut from, so many times.
type sawn struct {
	material *shop.Material
	sheet    shop.Sheet
	times    int
	offcuts  []SawOffcut // of each; labelled as printed
	label    func(offcut string, copied int) string
}

// ownOffcut labels what a batch cuts from an offcut of its own.
const ownOffcut = "\x00"

// planned lists the sheets of a job as printed.
func planned(j *batch.Job) (all []sawn) {
	for i := range j.Materials {
		m := &j.Materials[i]
		for k := range m.Patterns {
			p := &m.Patterns[k]
			all = append(all, sawn{m.Of, p.Sheet, p.Times, keptOf(p), func(offcut string, copied int) string { return copyLabel(offcut, p.Times, copied) }})
		}
	}
	return all
}

// keptOf lists the offcuts worth keeping of a pattern.
func keptOf(p *batch.Pattern) (all []SawOffcut) {
	for _, o := range p.Offcuts {
		if o.Keep {
			all = append(all, SawOffcut{Label: o.Label, Length: o.Length, Width: o.Width})
		}
	}
	return all
}

// used lists the sheets that a cutting has used or will use, bad ones among them. Offcuts of its own that its recuts are cut
// from came from no rack and go to none.
func (c *Cutting) used(of *shop.Shop) (all []sawn) {
	bad := c.now().Bad
	kept := c.Sheets()
	sheets := slices.DeleteFunc(c.everything(), func(s SawSheet) bool {
		stays := slices.ContainsFunc(kept, func(k SawSheet) bool { return k.Key == s.Key })
		return s.Takes != nil || !stays && !slices.Contains(bad, s.Key)
	})
	own := map[string]bool{}
	for _, s := range sheets {
		for _, o := range s.Offcuts {
			own[s.offcut(o.Label)] = true
		}
	}
	again := map[string]bool{}
	for _, s := range sheets {
		again[s.Sheet.Offcut] = own[s.Sheet.Offcut]
	}
	for _, s := range sheets {
		n := sawn{material: of.Material(s.Material), sheet: s.Sheet, times: 1, label: func(offcut string, _ int) string {
			return strings.ReplaceAll(s.offcut(offcut), " ", "-")
		}}
		for _, o := range s.Offcuts {
			if !again[s.offcut(o.Label)] && !slices.Contains(bad, s.Key) {
				n.offcuts = append(n.offcuts, o)
			}
		}
		if again[s.Sheet.Offcut] {
			n.sheet.Offcut = ownOffcut
		}
		all = append(all, n)
	}
	return all
}
