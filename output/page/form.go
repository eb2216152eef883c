package page

import (
	"slices"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
)

// form is what may be chosen, and what is.
type form struct {
	Shop     string   `json:"shop"`
	Unit     string   `json:"unit"`
	Digest   string   `json:"digest"` // of the layout's file as read
	Layouts  []string `json:"layouts"`
	Layout   string   `json:"layout"`
	About    string   `json:"about"`
	Options  []option `json:"options"`
	Cabinets []choice `json:"cabinets"`
	Cabinet  string   `json:"cabinet"`
	Kind     string   `json:"kind"` // what the cabinet is
	Sizes    []size   `json:"sizes"`
	Roles    []role   `json:"roles"`
}

type option struct {
	Name   string `json:"name"`
	About  string `json:"about"`
	Chosen bool   `json:"chosen"`
}

type choice struct {
	Name string `json:"name"`
	Kind string `json:"kind"`
}

// size is a field of the form: Value, Saved, Least and Most as they are printed, the others as
// numbers for a slider, in the shop's unit.
type size struct {
	Name     string  `json:"name"`
	About    string  `json:"about"`
	Unit     string  `json:"unit"` // "" of a count
	Value    string  `json:"value"`
	Saved    string  `json:"saved"`
	Least    string  `json:"least"`
	Most     string  `json:"most"`
	At       float64 `json:"at"`
	From     float64 `json:"from"`
	To       float64 `json:"to"`
	Step     float64 `json:"step"`
	Fraction int64   `json:"fraction"` // what its parts are printed in; 0 is decimals
}

// role is a slot for a material, with what may fill it.
type role struct {
	Name      string   `json:"name"`
	About     string   `json:"about"`
	Material  string   `json:"material"`
	Edges     string   `json:"edges"`
	Saved     filled   `json:"saved"`
	Materials []choice `json:"materials"`
	Treatment []string `json:"treatments"`
}

// filled is what fills a role as the file has it.
type filled struct {
	Material string `json:"material"`
	Edges    string `json:"edges"`
}

// form lists what may be chosen; b is the batch of the state, nil where that has faults.
func (o *opened) form(st *state, layouts []string, b *batch.Batch) *form {
	saved := o.placed(st.cabinet)
	now := saved
	if b != nil {
		all := b.Vehicles[0].Interior.Cabinets
		if i := slices.IndexFunc(all, func(p cabinets.Placed) bool { return p.Name == st.cabinet }); i >= 0 {
			now = &all[i]
		}
	}
	in := o.batch.Vehicles[0].Interior
	f := &form{
		Shop: o.folder.Shop.Name, Unit: o.folder.Shop.Style.Unit.String(), Digest: o.digest,
		Layouts: layouts, Layout: st.layout, About: in.Layout.About, Cabinet: st.cabinet, Kind: saved.Solid.Definition.Name,
	}
	for _, op := range in.Layout.Options {
		f.Options = append(f.Options, option{op.Name, op.About, slices.Contains(st.options, op.Name)})
	}
	for i := range in.Cabinets {
		f.Cabinets = append(f.Cabinets, choice{in.Cabinets[i].Name, in.Cabinets[i].Solid.Definition.Name})
	}
	f.Sizes, f.Roles = o.sizes(saved, now), o.roles(saved, now)
	return f
}

// sizes lists the fields of a cabinet.
func (o *opened) sizes(saved, now *cabinets.Placed) (all []size) {
	style := o.folder.Shop.Style
	for i, s := range saved.Solid.Definition.Sizes {
		was, is := saved.Solid.Sizes[i].Value, now.Solid.Sizes[i].Value
		f := size{Name: s.Name, About: s.About, Step: 1}
		number := func(l measure.Length) float64 { return float64(l) }
		if !s.Whole {
			f.Unit = style.Unit.String()
			unit := float64(measure.Millimetre)
			if style.Unit == measure.Inches {
				unit, f.Step, f.Fraction = float64(measure.Inch), 1.0/16, style.Denominator
			}
			number = func(l measure.Length) float64 { return float64(l) / unit }
		}
		f.Value, f.Saved, f.Least, f.Most = s.Print(is, style), s.Print(was, style), s.Print(s.Least, style), s.Print(s.Most, style)
		f.At, f.From, f.To = number(is), number(s.Least), number(s.Most)
		all = append(all, f)
	}
	return all
}

// roles lists the slots of a cabinet, with every material and edge that the shop has.
func (o *opened) roles(saved, now *cabinets.Placed) (all []role) {
	shop := o.folder.Shop
	for _, named := range saved.Solid.Definition.Roles {
		fill, was := now.Solid.Fills[named.Name], saved.Solid.Fills[named.Name]
		r := role{Name: named.Name, About: named.About, Material: fill.Material.ID, Edges: fill.Edges.String(), Treatment: shop.Treatments(),
			Saved: filled{was.Material.ID, was.Edges.String()}}
		for _, m := range shop.Materials {
			r.Materials = append(r.Materials, choice{m.ID, m.Name})
		}
		all = append(all, r)
	}
	return all
}
