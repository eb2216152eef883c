package batch

import (
	"context"
	"slices"

	"sawbook/cabinets"
)

// Priced is a layout with one more of its options, worked out.
type Priced struct {
	Option, About string
	*Job          // nil where the option is excluded by another
	// With are options that it needs, and that were not chosen before: it is compared with Base, a
	// job that has them. Base is nil where it needs none.
	With       []string
	Base       *Job
	ExcludedBy string
}

// From returns what the option is compared with: the job that was priced, or what it needs besides.
func (p *Priced) From(job *Job) *Job {
	if p.Base != nil {
		return p.Base
	}
	return job
}

// PriceOptions works out what a layout comes to with each option that is not chosen yet,
// one at a time, beside those that it needs. What is no layout has no options.
func (f *Folder) PriceOptions(ctx context.Context, what string, chosen []string, o Options) ([]Priced, error) {
	if o.Plans == nil {
		o.Plans = &Plans{}
	}
	price := func(chosen []string) (*Job, error) {
		b := f.Load(what, chosen)
		if err := f.faults.Err(); err != nil {
			return nil, err
		}
		return Work(ctx, b, o)
	}
	layout := f.Load(what, chosen).layout()
	if layout == nil {
		return nil, nil
	}
	var out []Priced
	for _, option := range layout.Options {
		if slices.Contains(chosen, option.Name) {
			continue
		}
		p := Priced{Option: option.Name, About: option.About}
		with := slices.Clone(chosen)
		for _, need := range layout.Needs(option.Name) {
			if !slices.Contains(chosen, need) {
				p.With, with = append(p.With, need), append(with, need)
			}
		}
		whole := append(slices.Clone(with), option.Name)
		var err error
		if by, other := layout.Excluded(whole); by != "" {
			p.ExcludedBy = by
			if by == option.Name {
				p.ExcludedBy = other
			}
			out = append(out, p)
			continue
		}
		// Options that need one another come together: without this one there is nothing to compare with.
		if len(p.With) > 0 && !needsAny(layout, p.With, option.Name) {
			if p.Base, err = price(with); err != nil {
				return nil, err
			}
		}
		if p.Job, err = price(whole); err != nil {
			return nil, err
		}
		out = append(out, p)
	}
	return out, nil
}

// needsAny reports whether one of some options needs another.
func needsAny(l *cabinets.Layout, names []string, other string) bool {
	return slices.ContainsFunc(names, func(name string) bool { return slices.Contains(l.Needs(name), other) })
}

// layout is what a batch of one layout stands for, nil where it is of several vehicles.
func (b *Batch) layout() *cabinets.Layout {
	if len(b.Vehicles) != 1 || b.Vehicles[0].Serial != "" {
		return nil
	}
	return b.Vehicles[0].Interior.Layout
}
