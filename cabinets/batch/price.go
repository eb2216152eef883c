package batch

import (
	"context"
	"slices"

	"sawbook/cabinets"
)

// Priced is a layout with one more of its options, worked out.
type Priced struct {
	Option, About string
	*Job
}

// PriceOptions works out what a layout comes to with each option that is not chosen yet, one at a
// time and with what it needs; those that what is chosen excludes are left out. What is no layout has no options.
func (f *Folder) PriceOptions(ctx context.Context, what string, chosen []string, o Options) ([]Priced, error) {
	var out []Priced
	base := f.Load(what, chosen)
	for _, option := range base.options() {
		names := slices.Clone(chosen)
		for _, name := range base.Vehicles[0].Interior.Layout.Needs(option.Name) {
			if !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
		if slices.Contains(chosen, option.Name) || !base.Vehicles[0].Interior.Layout.Agree(names) {
			continue
		}
		b := f.Load(what, names)
		if err := f.faults.Err(); err != nil {
			return nil, err
		}
		j, err := Work(ctx, b, o)
		if err != nil {
			return nil, err
		}
		out = append(out, Priced{option.Name, option.About, j})
	}
	return out, nil
}

// options are those of the layout that a batch stands for.
func (b *Batch) options() []cabinets.Option {
	if len(b.Vehicles) != 1 || b.Vehicles[0].Serial != "" {
		return nil
	}
	return b.Vehicles[0].Interior.Layout.Options
}
