package batch

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"sawbook/cabinets"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
)

// Release is a part of a batch that is cut by itself: the parts of some roles, cabinets or
// assemblies, those whose edges are scribed, or the rest.
type Release struct {
	Name                        string
	Rest                        bool
	Scribed                     bool
	Roles, Cabinets, Assemblies []string
}

// restWord is what a release says that takes what no other takes.
const restWord = "rest"

// releases reads the releases of a batch, in the order in which they are cut.
func (f *Folder) releases(n source.Node, b *Batch) []Release {
	var all []Release
	known := namesOf(b)
	rests := 0
	for _, e := range n.Entries() {
		r := Release{Name: fileName(e.Key)}
		if e.Value.IsText() {
			e.Value.OneOf(restWord)
			r.Rest = true
			rests++
		} else {
			m := e.Value.Map("roles", "cabinets", "assemblies", "scribed")
			r.Roles = known.read(m.Get("roles"), "role", known.roles)
			r.Cabinets = known.read(m.Get("cabinets"), "cabinet", known.cabinets)
			r.Assemblies = known.read(m.Get("assemblies"), "assembly", known.assemblies)
			r.Scribed = m.Get("scribed").Truth()
			if e.Value.IsMap() && len(e.Value.Entries()) == 0 {
				e.Value.Fault("the release takes nothing", "name roles, cabinets or assemblies, or write "+e.Name+": "+restWord)
			}
		}
		all = append(all, r)
	}
	if len(all) > 0 && rests != 1 {
		n.Fault(fmt.Sprintf("%d releases take the rest", rests), "exactly one does, so that nothing is left out: write NAME: "+restWord)
	}
	return all
}

// nameable is what a release may name.
type nameable struct{ roles, cabinets, assemblies []string }

func namesOf(b *Batch) *nameable {
	k := &nameable{}
	interiors, _ := b.Interiors()
	for _, in := range interiors {
		for i := range in.Cabinets {
			c := &in.Cabinets[i]
			k.cabinets = append(k.cabinets, c.Name, c.Solid.Definition.Name)
			for _, p := range c.Solid.Parts {
				k.roles, k.assemblies = append(k.roles, p.Role), append(k.assemblies, cabinets.Uncounted(p.Assembly))
			}
		}
	}
	for _, list := range []*[]string{&k.roles, &k.cabinets, &k.assemblies} {
		slices.Sort(*list)
		*list = slices.Compact(*list)
	}
	return k
}

// read reads a list of names, each of which must be one of those known.
func (k *nameable) read(n source.Node, what string, known []string) (list []string) {
	for _, item := range n.Items() {
		if item.IsText() && len(known) > 0 && !slices.Contains(known, item.Text()) {
			item.Fault(fmt.Sprintf("no %s of the batch is called %q", what, item.Text()), source.Suggest(item.Text(), known))
			continue
		}
		list = append(list, item.Text())
	}
	return list
}

// takes reports whether a release takes a part by its name.
func (r *Release) takes(in *cabinets.Interior, c *cabinets.Placed, p *cabinets.Part) bool {
	return slices.Contains(r.Roles, p.Role) ||
		slices.Contains(r.Cabinets, c.Name) || slices.Contains(r.Cabinets, c.Solid.Definition.Name) ||
		slices.Contains(r.Assemblies, cabinets.Uncounted(p.Assembly)) ||
		r.Scribed && slices.ContainsFunc(in.Scribes, func(s cabinets.Scribe) bool { return s.Cabinet == c.Name && s.Part == p.Name })
}

// releaseOf returns the index of the release that takes a part: the first that names it, or
// the one that takes the rest.
func (b *Batch) releaseOf(in *cabinets.Interior, c *cabinets.Placed, p *cabinets.Part) int {
	rest := 0
	for i := range b.Releases {
		r := &b.Releases[i]
		if r.Rest {
			rest = i
		} else if r.takes(in, c, p) {
			return i
		}
	}
	return rest
}

// share returns what one release takes of a batch. Its parts keep the numbers that they have in
// the whole.
func (b *Batch) share(release int) *Batch {
	share := *b
	share.Name = b.Name + "-" + b.Releases[release].Name
	share.whole, share.release = b, release
	share.Vehicles = slices.Clone(b.Vehicles)
	shares := map[*cabinets.Interior]*cabinets.Interior{}
	for i := range share.Vehicles {
		in := share.Vehicles[i].Interior
		if shares[in] == nil {
			shares[in] = in.Share(release, func(c *cabinets.Placed, p *cabinets.Part) int { return b.releaseOf(in, c, p) })
		}
		share.Vehicles[i].Interior = shares[in]
	}
	return &share
}

// number gives the pieces of a share the numbers and names of the whole batch's.
func (b *Batch) number(pieces []*cabinets.Piece) {
	type spot struct{ interior, cabinet, part string }
	at := map[spot]*cabinets.Piece{}
	for _, p := range b.whole.pieces() {
		for _, g := range p.Goes {
			at[spot{g.Interior.Title(), g.Cabinet, g.Part}] = p
		}
	}
	for _, p := range pieces {
		g := p.Goes[0]
		of := at[spot{g.Interior.Title(), g.Cabinet, g.Part}]
		p.ID, p.Name, p.Role = of.ID, of.Name, of.Role
	}
}

// Held is what a release leaves to another.
type Held struct {
	Piece   *cabinets.Piece
	Release string
	Done    bool // it was cut before
}

// HeldBack lists what other releases of the batch take, in their order; nothing where all is cut
// at once.
func (b *Batch) HeldBack() (held []Held) {
	if b.whole == nil { // then there is one release, the batch
		return nil
	}
	for i, r := range b.Releases {
		if i == b.release {
			continue
		}
		for _, p := range b.whole.share(i).pieces() {
			held = append(held, Held{p, r.Name, i < b.release})
		}
	}
	return held
}

// Sibling returns the name that another release of a release's batch has as a batch, "" where all is cut at once.
func (b *Batch) Sibling(release string) string {
	if b.whole == nil || len(b.Releases) == 0 {
		return ""
	}
	return b.whole.Name + "-" + release
}

// HasRelease returns an error where the batch has no release of a name.
func (b *Batch) HasRelease(name string) error {
	var known []string
	for _, r := range b.Releases {
		if r.Name == name {
			return nil
		}
		known = append(known, r.Name)
	}
	if len(known) == 0 {
		return fmt.Errorf("%s has no releases\nhint: write releases: NAME: rest into its file", b.Name)
	}
	return fmt.Errorf("%s has no release %q\nhint: %s", b.Name, name, source.Suggest(name, known))
}

// WorkRelease works out one release of a batch. The releases before it are planned first: what
// they leave of limited stock is what there is, and the offcuts that they keep are sheets of it.
func WorkRelease(ctx context.Context, b *Batch, name string, o Options) (*Job, error) {
	if err := b.HasRelease(name); err != nil {
		return nil, err
	}
	if o.Plans == nil {
		o.Plans = &Plans{}
	}
	stock := map[*shop.Material][]shop.Sheet{}
	for _, m := range b.Shop.Materials {
		stock[m] = m.Sheets
	}
	for i := 0; ; i++ {
		share := b.share(i)
		share.stock = stock
		if b.Memory != nil && b.Releases[i].Name != name && slices.Contains(b.Memory.Cut, share.Name) {
			continue // what it took and left shows in the stock
		}
		job, err := Work(ctx, share, o)
		if err != nil || b.Releases[i].Name == name {
			return job, err
		}
		stock = job.left()
	}
}

// left returns what a job leaves of the stock, its offcuts worth keeping among it.
func (j *Job) left() map[*shop.Material][]shop.Sheet {
	left := map[*shop.Material][]shop.Sheet{}
	for _, m := range j.Batch.Shop.Materials {
		left[m] = j.Batch.StockOf(m)
	}
	for i := range j.Materials {
		m := &j.Materials[i]
		if m.byParts() {
			continue
		}
		left[m.Of] = m.left(j.Batch)
	}
	return left
}

func (m *Material) left(b *Batch) []shop.Sheet {
	stock := slices.Clone(m.Stock)
	var offcuts []shop.Sheet
	for i := range m.Patterns {
		p := &m.Patterns[i]
		if s := &stock[m.Plan.Patterns[i].Sheet]; s.Stock >= 0 {
			s.Stock -= p.Times
		}
		for _, o := range p.Offcuts {
			if o.Keep {
				offcuts = append(offcuts, shop.Sheet{Length: o.Length, Width: o.Width, GrainAcross: p.Sheet.GrainAcross, Stock: p.Times, Trimmed: true,
					Offcut: b.Releases[b.release].Name + "/" + o.Label, Price: cents(o.M2() * float64(b.Shop.Rates.Offcut))})
			}
		}
	}
	stock = slices.DeleteFunc(stock, func(s shop.Sheet) bool { return s.Stock == 0 && s.Offcut != "" })
	return append(stock, offcuts...)
}

// stockOf lists the sheets of a material that there are.
func (b *Batch) StockOf(m *shop.Material) []shop.Sheet {
	if stock, told := b.stock[m]; told {
		return stock
	}
	return m.Sheets
}

// Only returns one vehicle of a batch. Its parts keep the numbers that they have in the whole.
func (b *Batch) Only(serial string) *Batch {
	one := *b
	one.whole, one.Releases, one.Vehicles = cmp.Or(b.whole, b), nil, nil
	for _, v := range b.Vehicles {
		if v.Serial == serial {
			one.Vehicles = append(one.Vehicles, v)
		}
	}
	return &one
}
