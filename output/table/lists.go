package table

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// All returns every list of a job that goes into its folder.
func All(job *batch.Job) []*Table {
	all := []*Table{Parts(job), Cuts(job), Settings(job), Visits(job), Edges(job), Felt(job), FeltMap(job), Buys(job), Estimate(job), Sheets(job), Layouts(job), Findings(job.Findings)}
	for _, list := range []*Table{Kitting(job), Hardware(job), Joints(job), Blanks(job), MachiningList(job), Scribed(job), Finish(job), Loads(job), Balances(job), Where(job), Order(job), HeldBack(job), Larger(job)} {
		if len(list.Rows) > 0 {
			all = append(all, list)
		}
	}
	return all
}

// Parts lists the pieces.
func Parts(job *batch.Job) *Table {
	style := job.Batch.Shop.Style
	edge := func(side cabinets.Side, key string) column[*cabinets.Piece] {
		return only(Files, text(key, key, func(p *cabinets.Piece) string { return edgeWords(p.Edges[side]) }))
	}
	return build(job.Batch.Shop, "parts", "Parts", job.Pieces,
		text("part", "Part", func(p *cabinets.Piece) string { return p.ID }),
		text("name", "Name", func(p *cabinets.Piece) string { return p.Name }),
		text("material", "Material", func(p *cabinets.Piece) string { return p.Material.ID }),
		length("length", "Length", func(p *cabinets.Piece) measure.Length { return p.Length }),
		length("width", "Width", func(p *cabinets.Piece) measure.Length { return p.Width }),
		length("thickness", "Thick", func(p *cabinets.Piece) measure.Length { return p.Material.Thickness }),
		count("count", "Count", func(p *cabinets.Piece) int { return p.Count }),
		text("grain", "Grain", grainWord),
		edge(cabinets.SideNear, "edge_near"), edge(cabinets.SideFar, "edge_far"),
		edge(cabinets.SideStart, "edge_start"), edge(cabinets.SideEnd, "edge_end"),
		only(Plain|Page, text("edges", "Edges", allEdges)),
		only(Files, length("finished_length", "Finished", func(p *cabinets.Piece) measure.Length { l, _ := p.Finished(); return l })),
		only(Files, length("finished_width", "Finished", func(p *cabinets.Piece) measure.Length { _, w := p.Finished(); return w })),
		only(Files, text("scribed", "Scribed", scribedOf(job))),
		only(Files, text("blank", "From", blanksOf(job))),
		only(Files, text("good_face", "Good", func(p *cabinets.Piece) string { return faceWords[p.Good] })),
		only(Files, text("exposed_faces", "Exposed", exposed)),
		only(Files, text("machining", "Machining", func(p *cabinets.Piece) string { return features(p, style) })),
		only(Page, text("work", "Work", workOf(job))),
		number("mass_kg", "kg each", 3, func(p *cabinets.Piece) float64 { return p.Mass }),
		only(Files|Page, text("places", "Places", func(p *cabinets.Piece) string { return strings.Join(Places(p), "; ") })))
}

// workOf says in short what is done to a piece: from what it is cut where that is no sheet, how many of each kind are
// machined into it, and where it is scribed. Its drawings and the files tell the rest.
func workOf(job *batch.Job) func(*cabinets.Piece) string {
	from, scribed := blanksOf(job), scribedOf(job)
	return func(p *cabinets.Piece) string {
		var words []string
		if f := from(p); f != "" {
			words = append(words, "from "+f)
		}
		var kinds []cabinets.FeatureKind
		counts := map[cabinets.FeatureKind]int{}
		for _, f := range p.Features {
			if counts[f.Kind]++; counts[f.Kind] == 1 {
				kinds = append(kinds, f.Kind)
			}
		}
		for _, k := range kinds {
			words = append(words, plural(counts[k], string(k)))
		}
		if s := scribed(p); s != "" {
			words = append(words, "scribed "+s)
		}
		return strings.Join(words, "; ")
	}
}

var faceWords = map[cabinets.Face]string{cabinets.NoFace: "", cabinets.LowFace: "low", cabinets.HighFace: "high"}

// exposed names the faces that are seen without being the good one.
func exposed(p *cabinets.Piece) string {
	var faces []string
	for i, face := range []cabinets.Face{cabinets.LowFace, cabinets.HighFace} {
		if p.Exposed[i] {
			faces = append(faces, faceWords[face])
		}
	}
	return strings.Join(faces, " ")
}

// grainWord says how a piece lies on the sheet, as in a plain part list.
func grainWord(p *cabinets.Piece) string {
	switch {
	case p.Turns:
		return "any"
	case p.Across:
		return "width"
	}
	return "length"
}

// edgeWords says what an edge gets; covered edges get nothing.
func edgeWords(e cabinets.Edge) string {
	words := ""
	if e.Treatment != nil {
		words = e.Treatment.String()
	}
	if e.Felted {
		words += " felt"
	}
	if e.VoidFree {
		words += " void-free"
	}
	return strings.TrimSpace(words)
}

// allEdges sums up what the edges of a piece get: "oak-2 near; bare far, start, end".
func allEdges(p *cabinets.Piece) string {
	var words []string // each once, in the order of the edges
	sides := map[string][]string{}
	for side, e := range p.Edges {
		w := edgeWords(e)
		if w == "" {
			continue
		}
		if sides[w] == nil {
			words = append(words, w)
		}
		sides[w] = append(sides[w], sideWords[side])
	}
	for i, w := range words {
		if len(sides[w]) == len(p.Edges) {
			words[i] += " all round"
		} else {
			words[i] += " " + strings.Join(sides[w], ", ")
		}
	}
	return strings.Join(words, "; ")
}

// features sums up what is machined into a piece, equal features counted.
func features(p *cabinets.Piece, style measure.Style) string {
	var lines []string
	for _, f := range p.Features {
		lines = append(lines, feature(f, p.Material.Thickness, style))
	}
	return counted(lines)
}

// counted joins texts, equal ones once with their number.
func counted(all []string) string {
	var once []string
	counts := map[string]int{}
	for _, text := range all {
		if counts[text]++; counts[text] == 1 {
			once = append(once, text)
		}
	}
	for i, text := range once {
		if n := counts[text]; n > 1 {
			once[i] = fmt.Sprintf("%d × %s", n, text)
		}
	}
	return strings.Join(once, "; ")
}

// feature describes one feature: its kind, its extents along the piece, across it and,
// where it does not go through, into it.
func feature(f cabinets.Feature, thickness measure.Length, style measure.Style) string {
	size, deep := style.Format(f.Box.Size(cabinets.X))+" × "+style.Format(f.Box.Size(cabinets.Y)), f.Box.Size(cabinets.Z)
	if f.Kind == cabinets.Hole || f.Kind == cabinets.EdgeHole {
		diameter, depth := f.Bore()
		size, deep = "Ø"+style.Format(diameter), depth
	}
	words := string(f.Kind) + " " + size
	if f.Kind == cabinets.EdgeHole || deep < thickness {
		words += ", " + style.Format(deep) + " deep"
	}
	return strings.TrimSpace(words + " " + f.About)
}

// Places tells where the parts of a piece go, by cabinet and how many there are of each:
// "3 × Curlew bank-1: drawer-1.front, drawer-2.front".
func Places(p *cabinets.Piece) []string {
	type spot struct{ layout, cabinet, part string }
	counts := map[spot]int{} // over all interiors of a layout
	var order []spot
	for _, place := range p.Goes {
		at := spot{place.Interior.Layout.Title(), place.Cabinet, place.Part}
		if counts[at] == 0 {
			order = append(order, at)
		}
		counts[at] += place.Vehicles
	}
	var lines []string
	index := map[string]int{}
	for _, at := range order {
		line := at.layout + " " + at.cabinet + ": "
		if n := counts[at]; n > 1 {
			line = fmt.Sprintf("%d × %s", n, line)
		}
		if i, known := index[line]; known {
			lines[i] += ", " + at.part
			continue
		}
		index[line] = len(lines)
		lines = append(lines, line+at.part)
	}
	return lines
}

// edgeRow is what edges of a piece get, those of one length together, or what felt the
// piece gets.
type edgeRow struct {
	kind, item  string
	piece       *cabinets.Piece
	sides       string
	each, total measure.Length
	count       int
}

var sideWords = [4]string{"near", "far", "start", "end"}

// Edges lists by piece which edges are banded or sealed, and what felt goes on.
func Edges(job *batch.Job) *Table {
	rows := edgeRows(job)
	return build(job.Batch.Shop, "edges", "Edges and felt by part", rows,
		text("part", "Part", func(r edgeRow) string { return r.piece.ID }),
		text("name", "Name", func(r edgeRow) string { return r.piece.Name }),
		text("edges", "Edges", func(r edgeRow) string { return r.sides }),
		text("kind", "Gets", func(r edgeRow) string { return r.kind }),
		text("item", "Item", func(r edgeRow) string { return r.item }),
		length("each", "Each", func(r edgeRow) measure.Length { return r.each }),
		count("count", "Count", func(r edgeRow) int { return r.count }),
		number("total_m", "m", 2, func(r edgeRow) float64 { return r.total.MM() / 1000 }))
}

func edgeRows(job *batch.Job) []edgeRow {
	felt := feltByPiece(job)
	var rows []edgeRow
	for _, p := range job.Pieces {
		first := len(rows)
		for side, e := range p.Edges {
			for _, row := range treated(p, side, e) {
				rows = addEdge(rows, first, row)
			}
		}
		if f := felt[p]; f.total > 0 {
			rows = append(rows, edgeRow{kind: "felt", item: job.Batch.Shop.Felt.Name, piece: p, total: f.total, count: f.strips})
		}
	}
	return rows
}

// treated returns the rows of one edge.
func treated(p *cabinets.Piece, side int, e cabinets.Edge) (rows []edgeRow) {
	if e.Treatment == nil {
		return nil
	}
	row := func(kind, item string, each measure.Length) edgeRow {
		count := p.Count
		return edgeRow{kind: kind, item: item, piece: p, sides: sideWords[side], each: each, count: count, total: each * measure.Length(count)}
	}
	switch b := e.Treatment.Band; {
	case b == nil:
		rows = append(rows, row("sealed", shop.Bare, e.Length))
	case b.Lipping:
		rows = append(rows, row("lipping", b.ID, e.Length+b.Allowance))
	default:
		rows = append(rows, row("band", b.ID, e.Length+b.Allowance))
	}
	if e.Treatment.Round {
		rows = append(rows, row("rounded", shop.Round, e.Length))
	}
	return rows
}

// addEdge adds an edge's row to those of its piece, which start at first.
func addEdge(rows []edgeRow, first int, r edgeRow) []edgeRow {
	for i := first; i < len(rows); i++ {
		if like := &rows[i]; like.kind == r.kind && like.item == r.item && like.each == r.each {
			like.sides += ", " + r.sides
			like.count += r.count
			like.total += r.total
			return rows
		}
	}
	return append(rows, r)
}

// feltRow is a patch that gets felt.
type feltRow struct {
	layout   string
	cabinet  *cabinets.Placed // that carries it
	contact  cabinets.Contact // in the cabinet's own coordinates
	place    cabinets.Place   // of the part that carries it
	piece    *cabinets.Piece  // that carries it
	vehicles int
}

// id is the number of the piece that carries the felt.
func (r feltRow) id() string {
	if r.piece == nil {
		return ""
	}
	return r.piece.ID
}

// length is that of all strips, in one vehicle.
func (r feltRow) length() measure.Length { return r.contact.Felt() }

// total is the length in all vehicles.
func (r feltRow) total() measure.Length { return r.length() * measure.Length(r.vehicles) }

// Felt lists every patch that gets felt, by layout and cabinet.
func Felt(job *batch.Job) *Table {
	return build(job.Batch.Shop, "felt", "Felt by cabinet", feltRows(job),
		text("layout", "Layout", func(r feltRow) string { return r.layout }),
		text("cabinet", "Cabinet", func(r feltRow) string { return r.cabinet.Name }),
		text("on", "On", func(r feltRow) string { return r.contact.On }),
		text("part", "Part", feltRow.id),
		text("against", "Against", func(r feltRow) string { return r.contact.Against }),
		count("strips", "Strips", func(r feltRow) int { return len(r.contact.Strips) }),
		length("length", "Length", feltRow.length),
		count("vehicles", "Vehicles", func(r feltRow) int { return r.vehicles }),
		number("total_m", "m", 2, func(r feltRow) float64 { return r.total().MM() / 1000 }))
}

func feltRows(job *batch.Job) []feltRow {
	pieces := pieceByPlace(job)
	interiors, vehicles := job.Batch.Interiors()
	var rows []feltRow
	for i, in := range interiors {
		add := func(p *cabinets.Placed, c cabinets.Contact) {
			place := cabinets.Place{Interior: in, Cabinet: p.Name, Part: c.On, Vehicles: vehicles[i]}
			rows = append(rows, feltRow{layout: in.Title(), cabinet: p, contact: c, place: place, piece: pieces[place], vehicles: vehicles[i]})
		}
		for k := range in.Cabinets {
			p := &in.Cabinets[k]
			for _, c := range p.Solid.Contacts {
				add(p, c)
			}
		}
		for _, c := range in.Contacts {
			add(in.Carrier(c))
		}
	}
	return rows
}

// FeltSides tells which way in their cabinets the sides look that carry felt, by the place of
// the part, each way once.
func FeltSides(job *batch.Job) map[cabinets.Place][]cabinets.Direction {
	sides := map[cabinets.Place][]cabinets.Direction{}
	for _, r := range feltRows(job) {
		if !slices.Contains(sides[r.place], r.contact.Face) {
			sides[r.place] = append(sides[r.place], r.contact.Face)
		}
	}
	return sides
}

// feltStrip is one strip of felt on a part.
type feltStrip struct {
	feltRow
	number     int    // of its contact's strips, from 1
	at         [3]any // of its least corner from the part's: x, y and z; nil across the face
	long, wide measure.Length
}

// FeltMap lists where on which face of which part each strip of felt lies.
func FeltMap(job *batch.Job) *Table {
	var strips []feltStrip
	for _, r := range feltRows(job) {
		corner := r.cabinet.Solid.Part(r.contact.On).Box.Lo
		for i, box := range r.contact.Strips {
			s := feltStrip{feltRow: r, number: i + 1}
			s.long, s.wide = r.contact.Strip(box)
			for a := cabinets.X; a <= cabinets.Z; a++ {
				if a != r.contact.Face.Axis() {
					s.at[a] = box.Lo[a] - corner[a]
				}
			}
			strips = append(strips, s)
		}
	}
	return build(job.Batch.Shop, "felt-map", "Where felt lies", strips,
		text("layout", "Layout", func(s feltStrip) string { return s.layout }),
		text("cabinet", "Cabinet", func(s feltStrip) string { return s.cabinet.Name }),
		text("on", "On", func(s feltStrip) string { return s.contact.On }),
		text("part", "Part", feltStrip.id),
		text("face", "Face", func(s feltStrip) string { return s.contact.Face.Word() }),
		text("against", "Against", func(s feltStrip) string { return s.contact.Against }),
		count("strip", "Strip", func(s feltStrip) int { return s.number }),
		place("from_left", "From left", func(s feltStrip) any { return s.at[cabinets.X] }),
		place("from_front", "From front", func(s feltStrip) any { return s.at[cabinets.Y] }),
		place("from_bottom", "From bottom", func(s feltStrip) any { return s.at[cabinets.Z] }),
		length("length", "Length", func(s feltStrip) measure.Length { return s.long }),
		length("width", "Width", func(s feltStrip) measure.Length { return s.wide }))
}

func pieceByPlace(job *batch.Job) map[cabinets.Place]*cabinets.Piece {
	pieces := map[cabinets.Place]*cabinets.Piece{}
	for _, p := range job.Pieces {
		for _, place := range p.Goes {
			pieces[place] = p
		}
	}
	return pieces
}

type feltSum struct {
	total  measure.Length
	strips int
}

func feltByPiece(job *batch.Job) map[*cabinets.Piece]feltSum {
	sums := map[*cabinets.Piece]feltSum{}
	for _, r := range feltRows(job) {
		s := sums[r.piece]
		s.total += r.total()
		s.strips += len(r.contact.Strips) * r.vehicles
		sums[r.piece] = s
	}
	return sums
}

// Estimate lists what a job takes and costs, and the total.
func Estimate(job *batch.Job) *Table {
	lines := append(slices.Clone(job.Estimate.Lines), batch.Line{Group: "total", Cost: job.Estimate.Total})
	return Lines(job, "estimate", "Estimate", lines)
}

// Lines lists some lines of an estimate.
func Lines(job *batch.Job, name, heading string, lines []batch.Line) *Table {
	blank := func(c column[batch.Line]) column[batch.Line] { // the total has no amounts
		value := c.value
		c.value = func(l batch.Line) any {
			if l.Unit == "" {
				return nil
			}
			return value(l)
		}
		return c
	}
	return build(job.Batch.Shop, name, heading, lines,
		text("group", "Group", func(l batch.Line) string { return l.Group }),
		text("item", "Item", func(l batch.Line) string { return l.Item }),
		text("name", "Name", func(l batch.Line) string { return l.Name }),
		blank(number("need", "Need", 2, func(l batch.Line) float64 { return l.Need })),
		text("unit", "Unit", func(l batch.Line) string { return l.Unit }),
		blank(count("buy", "Buy", func(l batch.Line) int { return l.Buy })),
		text("pack", "Pack", func(l batch.Line) string { return l.Pack }),
		blank(money("each", "Each", func(l batch.Line) shop.Money { return l.Each })),
		money("cost", "Cost", func(l batch.Line) shop.Money { return l.Cost }))
}

// Sheets lists how well each material's sheets are used, then all together.
func Sheets(job *batch.Job) *Table {
	type use struct {
		id, name string
		batch.SheetUse
	}
	all := use{id: "all"}
	var uses []use
	for _, u := range job.Estimate.Sheets {
		uses = append(uses, use{u.Material.ID, u.Material.Name, u})
		all.Sheets += u.Sheets
		all.Bound += u.Bound
		all.Area += u.Area
		all.Parts += u.Parts
		all.Kept += u.Kept
		all.Cost += u.Cost
		all.Least += u.Least
	}
	return build(job.Batch.Shop, "sheets", "Sheets", append(uses, all),
		text("material", "Material", func(u use) string { return u.id }),
		text("name", "Name", func(u use) string { return u.name }),
		count("sheets", "Sheets", func(u use) int { return u.Sheets }),
		count("least_sheets", "At least", func(u use) int { return u.Bound }),
		number("area_m2", "m²", 2, func(u use) float64 { return u.Area }),
		number("parts_m2", "Parts m²", 2, func(u use) float64 { return u.Parts }),
		number("kept_m2", "Kept m²", 2, func(u use) float64 { return u.Kept }),
		share("waste", "Waste", func(u use) float64 { return u.Waste() }),
		money("cost", "Cost", func(u use) shop.Money { return u.Cost }),
		money("least_cost", "Least cost", func(u use) shop.Money { return u.Least }),
		text("proven_by", "Proven by", func(u use) string { return u.Method }))
}

// Layouts lists each layout's share of the job.
func Layouts(job *batch.Job) *Table {
	type use = batch.LayoutUse
	return build(job.Batch.Shop, "layouts", "Layouts", job.Estimate.Layouts,
		text("layout", "Layout", func(u use) string { return u.Layout }),
		count("vehicles", "Vehicles", func(u use) int { return u.Vehicles }),
		number("parts_m2", "Parts m²", 2, func(u use) float64 { return u.Parts }),
		number("sheets_m2", "Sheets m²", 2, func(u use) float64 { return u.Sheets }),
		number("kept_m2", "Kept m²", 2, func(u use) float64 { return u.Kept }),
		share("waste", "Waste", func(u use) float64 {
			if u.Sheets == 0 {
				return 0
			}
			return (u.Sheets - u.Parts - u.Kept) / u.Sheets
		}),
		number("band_m", "Band m each", 2, func(u use) float64 { return u.Band.MM() / 1000 }),
		only(Files|Page, number("lipping_m", "Lipping m each", 2, func(u use) float64 { return u.Lipping.MM() / 1000 })),
		number("sealed_m", "Sealed m each", 2, func(u use) float64 { return u.Sealed.MM() / 1000 }),
		only(Files|Page, number("rounded_m", "Rounded m each", 2, func(u use) float64 { return u.Rounded.MM() / 1000 })),
		only(Files|Page, number("finished_m2", "Finished m² each", 2, func(u use) float64 { return u.Finished })),
		number("felt_m", "Felt m each", 2, func(u use) float64 { return u.Felt.MM() / 1000 }),
		number("mass_kg", "kg each", 1, func(u use) float64 { return u.Mass }),
		money("cost", "Cost", func(u use) shop.Money { return u.Cost }))
}

// Findings lists what the checks say, the gravest first.
func Findings(findings []cabinets.Finding) *Table {
	type finding = cabinets.Finding
	return build(&shop.Shop{}, "findings", "Findings", gravestFirst(findings),
		text("level", "Level", func(f finding) string { return string(f.Level) }),
		text("where", "Where", func(f finding) string { return f.Where }),
		text("text", "What", func(f finding) string { return f.Text }),
		text("do", "To do", func(f finding) string { return f.Do }))
}

func gravestFirst(findings []cabinets.Finding) []cabinets.Finding {
	rank := map[cabinets.Level]int{cabinets.LevelError: 0, cabinets.LevelWarning: 1, cabinets.LevelNote: 2}
	sorted := slices.Clone(findings)
	slices.SortStableFunc(sorted, func(a, b cabinets.Finding) int { return cmp.Compare(rank[a.Level], rank[b.Level]) })
	return sorted
}

// Options lists what each option changes of a layout: of one that has what it needs.
func Options(job *batch.Job, options []batch.Priced) *Table {
	from := func(p batch.Priced) *batch.Estimate { return &p.From(job).Estimate }
	priced := func(c column[batch.Priced]) column[batch.Priced] {
		return filled(c, func(p batch.Priced) bool { return p.Job != nil })
	}
	columns := []column[batch.Priced]{
		text("option", "Option", func(p batch.Priced) string { return p.Option }),
		text("about", "About", func(p batch.Priced) string { return p.About }),
		priced(count("sheets", "Sheets", func(p batch.Priced) int { return sheetCount(&p.Estimate) })),
		priced(count("sheets_more", "More", func(p batch.Priced) int { return sheetCount(&p.Estimate) - sheetCount(from(p)) })),
		priced(number("mass_kg", "kg", 1, func(p batch.Priced) float64 { return p.Estimate.Mass })),
		priced(number("mass_more_kg", "More", 1, func(p batch.Priced) float64 { return p.Estimate.Mass - from(p).Mass })),
		priced(money("cost", "Cost", func(p batch.Priced) shop.Money { return p.Estimate.Total })),
		priced(money("cost_more", "More to buy", func(p batch.Priced) shop.Money { return p.Estimate.Total - from(p).Total })),
		priced(money("share_more", "by average share", func(p batch.Priced) shop.Money { return p.Estimate.ShareCost(from(p)) - from(p).ShareCost(from(p)) })),
		priced(count("findings", "Findings", func(p batch.Priced) int { return len(p.Findings) })),
	}
	bound := slices.ContainsFunc(options, func(p batch.Priced) bool { return boundBy(p) != "" })
	if bound {
		columns = append(columns, text("bound_by", "Beside others", boundBy))
	}
	return build(job.Batch.Shop, "options", "With one option more", options, columns...)
}

// boundBy says which options one is chosen with, or why it cannot be.
func boundBy(p batch.Priced) string {
	switch {
	case p.ExcludedBy != "":
		return "excluded by " + p.ExcludedBy
	case p.Base == nil && len(p.With) > 0:
		return "together with " + strings.Join(p.With, ", ")
	case len(p.With) > 0:
		return "after " + strings.Join(p.With, ", ")
	}
	return ""
}

func sheetCount(e *batch.Estimate) (n int) {
	for _, u := range e.Sheets {
		n += u.Sheets
	}
	return n
}
