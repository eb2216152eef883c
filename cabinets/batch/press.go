package batch

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/nest"
)

// A part that is pressed is cut oversize from core, face and back, each on sheets of its
// own material. Pressed together they are a blank, which the second cuts bring to size.

// byParts reports whether the material is pressed part by part, and so has no sheets.
func (m *Material) byParts() bool { return m.Of.Press != nil && !m.Of.Press.Sheets }

// press makes blanks of the parts that are pressed, and adds the layers of each to the
// materials that they are cut from. The materials are those of the shop, all of them.
func press(b *Batch, all []Material) {
	byMaterial := map[*shop.Material]*Material{}
	for i := range all {
		byMaterial[all[i].Of] = &all[i]
	}
	for i := range all {
		m := &all[i]
		if !m.byParts() {
			continue
		}
		for _, s := range m.stacks(b) {
			m.addPressed(s, byMaterial)
		}
		m.matchPressed()
		m.Pieces = nil
	}
}

// stack is what one blank holds, pieces side by side in the order of their figure, and how
// many such blanks are pressed.
type stack struct {
	pieces []*cabinets.Piece
	count  int
	goes   []cabinets.Place // of every part
}

func (s *stack) width(kerf measure.Length) measure.Length {
	total := -kerf
	for _, p := range s.pieces {
		total += p.Width + kerf
	}
	return total
}

// stacks shares the material's parts out to blanks: those of one bank together, where the
// shop presses them so, all others alone. The parts of a list stand in no bank.
func (m *Material) stacks(b *Batch) []stack {
	if m.Of.Press.TogetherLong == 0 || b.List != nil {
		alone := make([]stack, len(m.Pieces))
		for i, p := range m.Pieces {
			alone[i] = stack{[]*cabinets.Piece{p}, p.Count, p.Goes}
		}
		return alone
	}
	r := stacker{material: m, pieces: map[cabinets.Place]*cabinets.Piece{}, index: map[string]int{}}
	for _, p := range m.Pieces {
		for _, place := range p.Goes {
			r.pieces[place] = p
		}
	}
	interiors, vehicles := b.Interiors()
	for i, in := range interiors {
		for _, c := range in.Cabinets {
			for _, bank := range banks(c.Solid.Parts, m.Of) {
				r.bank(bank, cabinets.Place{Interior: in, Cabinet: c.Name, Vehicles: vehicles[i]})
			}
		}
	}
	return r.all
}

// stacker shares the parts of banks out to blanks, and counts the blanks that are alike.
type stacker struct {
	material *Material
	pieces   map[cabinets.Place]*cabinets.Piece
	index    map[string]int // into all, by the pieces in their order
	all      []stack
}

// bank lays the parts of a bank, at a place, on as few blanks as keep their order.
func (r *stacker) bank(bank []*cabinets.Part, at cabinets.Place) {
	row := stack{count: at.Vehicles}
	for _, part := range bank {
		at.Part = part.Name
		longer := row
		longer.pieces = append(slices.Clone(row.pieces), r.pieces[at])
		if len(row.pieces) > 0 && !r.material.together(&longer) {
			r.add(row)
			row.pieces, row.goes = nil, nil
		}
		row.pieces, row.goes = append(row.pieces, r.pieces[at]), append(row.goes, at)
	}
	r.add(row)
}

func (r *stacker) add(s stack) {
	key := names(s.pieces)
	at, met := r.index[key]
	if !met {
		r.index[key] = len(r.all)
		r.all = append(r.all, s)
		return
	}
	r.all[at].count += s.count
	r.all[at].goes = append(r.all[at].goes, s.goes...)
}

// names lists the numbers of pieces.
func names(pieces []*cabinets.Piece) string {
	ids := make([]string, len(pieces))
	for i, p := range pieces {
		ids[i] = p.ID
	}
	return strings.Join(ids, ", ")
}

// oversize adds the allowance, and what brings the size to a step of the fence.
func (m *Material) oversize(size measure.Length) measure.Length {
	step := max(m.Saw.Step, 1)
	return (size + m.Of.Press.Allowance + step - 1) / step * step
}

// together reports whether the shop presses a blank as large as a stack needs.
func (m *Material) together(s *stack) bool {
	p := m.Of.Press
	length, width := m.oversize(s.pieces[0].Length), m.oversize(s.width(m.Saw.Kerf))
	return max(length, width) <= p.TogetherLong && min(length, width) <= p.TogetherShort
}

// banks gathers a cabinet's parts of a material that lie in one plane above or beside one
// another: those of one name but for its counters, equally long, beginning and ending
// together, or those of one matched group. Each bank is in the order in which its parts follow
// across the grain.
func banks(parts []cabinets.Part, of *shop.Material) [][]*cabinets.Part {
	type key struct {
		name                 string
		long, thin           cabinets.Axis
		length, from, at, to measure.Length
	}
	index := map[key]int{}
	var all [][]*cabinets.Part
	for i := range parts {
		p := &parts[i]
		if p.Material != of || p.SawnFrom != "" {
			continue
		}
		name := uncounted(p.Name)
		if p.Match.Of > 0 {
			name = "matched " + p.Match.Group
		}
		k := key{name, p.Long, p.Thin, p.Length, p.Box.Lo[p.Long], p.Box.Lo[p.Thin], p.Box.Hi[p.Long]}
		at, met := index[k]
		if !met {
			at = len(all)
			index[k] = at
			all = append(all, nil)
		}
		all[at] = append(all[at], p)
	}
	for _, bank := range all {
		across := cabinets.X + cabinets.Y + cabinets.Z - bank[0].Long - bank[0].Thin
		slices.SortStableFunc(bank, func(a, b *cabinets.Part) int { return cmp.Compare(a.Box.Lo[across], b.Box.Lo[across]) })
		if bank[0].Match.Falls {
			slices.Reverse(bank)
		}
	}
	return all
}

// uncounted returns a part's path without the counters in it: "drawer-2.front" is
// "drawer.front".
func uncounted(path string) string {
	names := strings.Split(path, ".")
	for i, name := range names {
		if at := strings.LastIndexByte(name, '-'); at > 0 && strings.Trim(name[at+1:], "0123456789") == "" {
			names[i] = name[:at]
		}
	}
	return strings.Join(names, ".")
}

// addPressed adds the pattern of a blank that is pressed, and its layers to their
// materials.
func (m *Material) addPressed(s stack, byMaterial map[*shop.Material]*Material) {
	press, first := m.Of.Press, s.pieces[0]
	blank := &cabinets.Piece{
		ID: m.blankID("B"), Name: "blank for " + names(s.pieces), Material: m.Of, Role: first.Role,
		Length: m.oversize(first.Length), Width: m.oversize(s.width(m.Saw.Kerf)),
		Turns: first.Turns, Count: s.count, Goes: s.goes,
	}
	blank.Mass = m.Of.SheetMass(Area{Length: blank.Length, Width: blank.Width}.M2())
	b := Pattern{Number: len(m.Blanks) + 1, Times: s.count, Blank: blank, Trim: m.trued(),
		Sheet: shop.Sheet{Length: blank.Length, Width: blank.Width, Stock: -1}}
	tree := m.recut(s, blank, b.Trim)
	r := treeReader{material: m, pieces: s.pieces, pattern: &b}
	r.read(&tree, nest.NoCut, 0)
	for i, of := range press.Layers() {
		if layer := b.layerOf(of); i == 2 && layer != nil { // the back is as the face
			layer.Count += s.count
			b.Layers = append(b.Layers, layer)
			continue
		}
		layer := *blank
		layer.ID += "cfb"[i : i+1]
		layer.Name = [3]string{"core", "face", "back"}[i] + " of " + blank.ID
		layer.Material = of
		if i > 0 {
			layer.Length += press.Overhang
			layer.Width += press.Overhang
		}
		layer.Mass = of.SheetMass(Area{Length: layer.Length, Width: layer.Width}.M2())
		b.Layers = append(b.Layers, &layer)
		byMaterial[of].addLayer(&layer, b.Used)
	}
	m.Blanks = append(m.Blanks, b)
}

// layerOf returns the blank's face where it is of a material.
func (p *Pattern) layerOf(of *shop.Material) *cabinets.Piece {
	for i, layer := range p.Layers {
		if i > 0 && layer.Material == of {
			return layer
		}
	}
	return nil
}

// addLayer adds a piece of which parts of so much area come once it is pressed.
func (m *Material) addLayer(p *cabinets.Piece, area float64) {
	if m.layers == nil {
		m.layers = map[*cabinets.Piece]float64{}
	}
	m.layers[p] = area
	m.Pieces = append(m.Pieces, p)
}

// trued is what comes off a pressed blank's first edges, so that what is measured from
// them is square: half of the allowance.
func (m *Material) trued() [4]measure.Length {
	half := m.Of.Press.Allowance / 2
	return [4]measure.Length{half, 0, half, 0}
}

// recut is the cut tree of a pressed blank, once two edges are true: to length, then to
// width, part by part.
func (m *Material) recut(s stack, blank *cabinets.Piece, trim [4]measure.Length) nest.Piece {
	piece := func(x, y, length, width measure.Length, part int) nest.Piece {
		return nest.Piece{X: int64(x), Y: int64(y), Length: int64(length), Width: int64(width), Part: part}
	}
	kerf, x, y := m.Saw.Kerf, trim[0], trim[2]
	length, width, to := blank.Length-x, blank.Width-y, s.pieces[0].Length
	root, strip := piece(x, y, length, width, -1), piece(x, y, to, width, -1)
	strip.Cut, root.Cut = nest.Rip, nest.Crosscut
	for i, p := range s.pieces {
		strip.Children = append(strip.Children, piece(x, y, to, p.Width, i))
		y += p.Width + kerf
	}
	if left := blank.Width - y; left > 0 {
		strip.Children = append(strip.Children, piece(x, y, to, left, -1))
	}
	root.Children = []nest.Piece{strip}
	if left := length - to - kerf; left > 0 {
		root.Children = append(root.Children, piece(x+to+kerf, trim[2], left, width, -1))
	}
	return root
}

// pressed counts the blanks that all layers are cut for.
func (j *Job) pressed() {
	have := map[*cabinets.Piece]int{}
	for i := range j.Materials {
		for _, d := range j.Materials[i].demand() {
			have[d.piece] += d.count
		}
	}
	for i := range j.Materials {
		for k := range j.Materials[i].Blanks {
			b := &j.Materials[i].Blanks[k]
			for _, layer := range b.Layers {
				b.Times = min(b.Times, have[layer]*b.Blank.Count/layer.Count)
			}
		}
	}
}

// stockFindings tells where sheets that are pressed whole and sheets that are cut as they
// are take more of a size than there is.
func (j *Job) stockFindings() (out []cabinets.Finding) {
	type key struct {
		of    *shop.Material
		sheet shop.Sheet
	}
	used, pressed := map[key]int{}, map[key]int{}
	for i := range j.Materials {
		m := &j.Materials[i]
		for k := range m.Patterns {
			p := &m.Patterns[k]
			if p.Sheet.Layers == nil {
				used[key{m.Of, p.Sheet}] += p.Times
				continue
			}
			for n, layer := range p.Sheet.Layers {
				pressed[key{m.Of.Press.Layers()[n], layer}] += p.Times
			}
		}
	}
	style := j.Batch.Shop.Style
	for _, m := range j.Batch.Shop.Materials {
		for _, s := range m.Sheets {
			k := key{m, s}
			if n := used[k] + pressed[k]; pressed[k] > 0 && s.Stock >= 0 && n > s.Stock {
				out = append(out, cabinets.Finding{Level: cabinets.LevelError, Where: m.ID,
					Text: fmt.Sprintf("%d sheets of %s are needed, %d of them to be pressed; %d are in stock", n, style.Size(s.Length, s.Width), pressed[k], s.Stock),
					Do:   "raise the stock in the shop file, or buy sheets"})
			}
		}
	}
	return out
}

// adhesives adds a line for each adhesive.
func (e *estimator) adhesives() {
	for _, a := range e.job.Batch.Shop.Adhesives {
		needs := make([]float64, len(e.interiors))
		for i := range e.job.Materials {
			if m := &e.job.Materials[i]; m.Of.Press != nil && m.Of.Press.Adhesive == a {
				e.glue(m, needs)
			}
		}
		for i := range needs {
			needs[i] = a.Litres(needs[i])
		}
		e.tins(GroupAdhesive, &a.Coating, needs)
	}
}

// glue adds the area in m2 that the layers of a pressed material are coated on, by
// interior: of whole sheets, or of blanks.
func (e *estimator) glue(m *Material, needs []float64) {
	for _, p := range m.AllPatterns() {
		var areas [3]float64
		switch {
		case p.Layers != nil:
			for i, l := range p.Layers {
				areas[i] = Area{Length: l.Length, Width: l.Width}.M2()
			}
		case p.Sheet.Layers != nil && p.Blank == nil:
			for i, s := range p.Sheet.Layers {
				areas[i] = s.M2()
			}
		default:
			continue // bought, an offcut, or already counted with its sheet
		}
		a := m.Of.Press.Adhesive
		glued := a.Glued(areas[0], areas[1]) + a.Glued(areas[0], areas[2])
		for k, area := range e.areas(m, p) {
			needs[k] += float64(float64(p.Times) * glued * (area / p.Used))
		}
	}
}

// layerIDs are the materials that the parts are pressed from, one by one; none where they
// are cut from sheets.
func (m *Material) layerIDs() (ids []string) {
	if m.byParts() {
		for _, of := range m.Of.Press.Layers() {
			ids = append(ids, of.ID)
		}
	}
	return ids
}
