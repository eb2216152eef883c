package batch

import (
	"fmt"
	"slices"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/nest"
)

// A blank is a piece that is cut oversize from a sheet, and cut to parts in a second cut.
// It is nested as a piece of its own, and cut up by a pattern whose sheet it is:
// Material.Blanks holds those patterns, Pattern.Blank the piece.

// mostOfSmallest is how many times as large as the saw's smallest part, each way, a blank
// for small parts may be: several come from one, yet it is handled like any small part.
const mostOfSmallest = 4

// blanks replaces the parts that are too small for the saw by blanks that hold them.
func (m *Material) blanks() {
	var pieces []*cabinets.Piece
	for _, p := range m.Pieces {
		if !m.Saw.TooSmall(p.Length, p.Width) {
			pieces = append(pieces, p)
			continue
		}
		first := len(m.Blanks)
		m.blanksFor(p)
		for i := range m.Blanks[first:] {
			pieces = append(pieces, m.Blanks[first+i].Blank)
		}
	}
	m.Pieces = pieces
}

// blanksFor shares the copies of a small part out to blanks that hold equally many, and
// one for the rest.
func (m *Material) blanksFor(p *cabinets.Piece) {
	g, count := gridOf(m.Saw, p), p.Count
	for !m.holds(g, p) && g.mostLong*g.mostShort > 1 {
		if g.mostLong >= g.mostShort {
			g.mostLong--
		} else {
			g.mostShort--
		}
	}
	blanks := ceil(count, g.mostLong*g.mostShort)
	each := ceil(count, blanks)
	m.addSmall(g, p, each, count/each)
	if rest := count % each; rest > 0 {
		m.addSmall(g, p, rest, 1)
	}
}

// holds reports whether some sheet of the material holds the largest blank for a part.
func (m *Material) holds(g grid, p *cabinets.Piece) bool {
	b := g.tree(g.mostLong * g.mostShort)
	return slices.ContainsFunc(m.Stock, func(s shop.Sheet) bool {
		trim := m.trim(s)
		length, width := int64(s.Length-trim[0]-trim[1]), int64(s.Width-trim[2]-trim[3])
		straight, turned := b.Length <= length && b.Width <= width, b.Length <= width && b.Width <= length
		if p.Turns {
			return straight || turned
		}
		if s.GrainAcross == p.Across {
			return straight
		}
		return turned
	})
}

// ceil returns a / b rounded up.
func ceil(a, b int) int { return (a + b - 1) / b }

// grid is how equal small parts lie in a blank, seen along their long sides: strips side by
// side, each with parts one after another. What is too small that way is followed by a rest
// of the saw's smallest size, to hold the last cut by.
type grid struct {
	long, short         int64 // of a part
	restLong, restShort int64
	mostLong, mostShort int // parts along a strip, and strips
	along               nest.Direction
	kerf, step          int64
}

func gridOf(saw shop.Saw, p *cabinets.Piece) grid {
	g := grid{long: int64(p.Length), short: int64(p.Width), along: nest.Rip, kerf: int64(saw.Kerf), step: max(1, int64(saw.Step)), mostLong: 1, mostShort: 1}
	if g.long < g.short {
		g.long, g.short, g.along = g.short, g.long, nest.Crosscut
	}
	most := func(size, least int64) int {
		return max(1, int((mostOfSmallest-1)*least/(size+g.kerf)))
	}
	if least := int64(saw.LeastLength); g.long < least {
		g.restLong, g.mostLong = least, most(g.long, least)
	}
	if least := int64(saw.LeastWidth); g.short < least {
		g.restShort, g.mostShort = least, most(g.short, least)
	}
	return g
}

// run is the extent of n pieces one after another and a rest, to which the fence can be
// set.
func (g *grid) run(n int, size, rest int64) int64 {
	if rest == 0 {
		return size
	}
	return (int64(n)*(size+g.kerf) + rest + g.step - 1) / g.step * g.step
}

// tree is the cut tree of a blank for so many parts, and how far it reaches.
func (g *grid) tree(count int) nest.Piece {
	strips := ceil(count, g.mostLong)
	inStrip := ceil(count, strips)
	long, short := g.run(inStrip, g.long, g.restLong), g.run(strips, g.short, g.restShort)
	root := g.piece(0, 0, long, short)
	if g.restShort == 0 {
		g.crosscut(&root, count)
		return root
	}
	across := int64(0)
	root.Cut = g.along
	for range strips {
		strip := g.piece(0, across, long, g.short)
		g.crosscut(&strip, min(inStrip, count))
		count -= inStrip
		root.Children = append(root.Children, strip)
		across += g.short + g.kerf
	}
	root.Children = append(root.Children, g.piece(0, across, long, short-across))
	return root
}

// crosscut divides a strip into so many parts and what is left of it.
func (g *grid) crosscut(strip *nest.Piece, count int) {
	if g.restLong == 0 {
		strip.Part = 0
		return
	}
	strip.Cut = nest.Rip + nest.Crosscut - g.along
	at, end, across := int64(0), strip.Length, strip.Y
	if g.along == nest.Crosscut {
		end, across = strip.Width, strip.X
	}
	for range count {
		part := g.piece(at, across, g.long, g.short)
		part.Part = 0
		strip.Children = append(strip.Children, part)
		at += g.long + g.kerf
	}
	strip.Children = append(strip.Children, g.piece(at, across, end-at, g.short))
}

// piece is a piece of a blank, given along and across the long sides.
func (g *grid) piece(at, across, long, short int64) nest.Piece {
	p := nest.Piece{X: at, Y: across, Length: long, Width: short, Part: -1}
	if g.along == nest.Crosscut {
		p.X, p.Y, p.Length, p.Width = across, at, short, long
	}
	return p
}

// addSmall adds the pattern of a blank for so many copies of a part, used so many times.
func (m *Material) addSmall(g grid, p *cabinets.Piece, each, times int) {
	m.addBlank(g.tree(each), []*cabinets.Piece{p}, cabinets.Piece{
		ID: m.blankID("B"), Name: fmt.Sprintf("blank for %d %s", each, p.ID), Count: times,
	})
}

// addBlank adds the pattern of a blank, given what is its own, and by what cuts it is cut to
// pieces.
func (m *Material) addBlank(tree nest.Piece, pieces []*cabinets.Piece, blank cabinets.Piece) {
	p := pieces[0]
	blank.Length, blank.Width = measure.Length(tree.Length), measure.Length(tree.Width)
	blank.Material, blank.Role, blank.Turns, blank.Across = p.Material, p.Role, p.Turns, p.Across
	blank.Mass = m.Of.SheetMass(Area{Length: blank.Length, Width: blank.Width}.M2())
	b := Pattern{Number: len(m.Blanks) + 1, Times: blank.Count, Blank: &blank,
		Sheet: shop.Sheet{Length: blank.Length, Width: blank.Width, GrainAcross: p.Across, Stock: -1, Trimmed: true}}
	r := treeReader{material: m, pieces: pieces, pattern: &b}
	r.read(&tree, nest.NoCut, 0)
	m.Blanks = append(m.Blanks, b)
}

// blankID numbers the next blank, with a letter for what it is cut for; a plain list may have
// a part of that name.
func (m *Material) blankID(of string) string {
	for n := len(m.Blanks) + 1; ; n++ {
		id := fmt.Sprintf("%s-%s%d", m.Letter, of, n)
		if !slices.ContainsFunc(m.Pieces, func(p *cabinets.Piece) bool { return p.ID == id }) {
			return id
		}
	}
}

// blankOf returns the pattern that cuts a piece up, nil where it is no blank.
func (m *Material) blankOf(p *cabinets.Piece) *Pattern {
	for i := range m.Blanks {
		if m.Blanks[i].Blank == p {
			return &m.Blanks[i]
		}
	}
	return nil
}

// partsIn returns how many parts come of a piece; those of a layer are counted where they
// are pressed.
func (m *Material) partsIn(p *cabinets.Piece) int {
	if _, isLayer := m.layers[p]; isLayer {
		return 0
	}
	if b := m.blankOf(p); b != nil {
		return len(b.Parts)
	}
	return 1
}

// yield returns the area in m2 of the parts that come of a piece.
func (m *Material) yield(p *cabinets.Piece) float64 {
	if area, isLayer := m.layers[p]; isLayer {
		return area
	}
	if b := m.blankOf(p); b != nil {
		return b.Used
	}
	return Area{Length: p.Length, Width: p.Width}.M2()
}

// BlanksOf returns the patterns whose blanks hold a part.
func (m *Material) BlanksOf(p *cabinets.Piece) []*Pattern {
	var all []*Pattern
	for i := range m.Blanks {
		if slices.ContainsFunc(m.Blanks[i].Parts, func(l Laid) bool { return l.Piece == p }) {
			all = append(all, &m.Blanks[i])
		}
	}
	return all
}

// AllPatterns lists the material's patterns, those of sheets and then those of blanks that
// are cut.
func (m *Material) AllPatterns() []*Pattern {
	all := make([]*Pattern, 0, len(m.Patterns)+len(m.Blanks))
	for i := range m.Patterns {
		all = append(all, &m.Patterns[i])
	}
	for i := range m.Blanks {
		if m.Blanks[i].Times > 0 {
			all = append(all, &m.Blanks[i])
		}
	}
	return all
}

// BlankCount returns how many blanks the material's plan has.
func (m *Material) BlankCount() (n int) {
	for i := range m.Blanks {
		n += m.Blanks[i].Times
	}
	return n
}

// NameOf names a pattern of the material, "D2", or its blank, "D-B1".
func (m *Material) NameOf(p *Pattern) string {
	if p.Blank != nil {
		return p.Blank.ID
	}
	return fmt.Sprintf("%s%d", m.Letter, p.Number)
}

// cutBlanks counts the blanks that the plan has sheets for.
func (m *Material) cutBlanks() {
	for i, p := range m.Pieces {
		if b := m.blankOf(p); b != nil {
			b.Times = m.placed(i)
		}
	}
}

// wanted is a part, or a blank, and how many of it the plan delivers.
type wanted struct {
	piece *cabinets.Piece
	count int
}

// demand lists the parts that the plan delivers, each once: those that lie on sheets, and
// those that blanks hold.
func (m *Material) demand() []wanted {
	var all []wanted
	for i, p := range m.Pieces {
		if n := m.placed(i); n > 0 && m.blankOf(p) == nil {
			all = append(all, wanted{p, n})
		}
	}
	for _, b := range m.AllPatterns()[len(m.Patterns):] {
		for _, l := range b.Parts {
			at := slices.IndexFunc(all, func(w wanted) bool { return w.piece == l.Piece })
			if at < 0 {
				at = len(all)
				all = append(all, wanted{piece: l.Piece})
			}
			all[at].count += b.Times
		}
	}
	return all
}
