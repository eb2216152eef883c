package shop

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
)

// Read reads a shop file. Faults go to c; the shop is then incomplete.
func Read(c *source.Collector, root source.Node) *Shop {
	m := root.File("shop", "currency", "unit", "fraction", "saw", "rates", "limits", "quote", "materials", "roles", "bands", "lippings", "sealer", "finishes", "adhesives", "felt", "joints", "hardware", "labels")
	s := &Shop{Name: readName(m.Need("shop"))}
	s.Currency = readCurrency(m.Need("currency"))
	s.Style = readStyle(m)
	s.Unit = s.Style.Unit
	r := reader{shop: s, unit: s.Unit}
	s.Saw = r.saw(m.Need("saw"))
	s.Rates = readRates(m.Get("rates"))
	s.Limits = r.limits(m.Get("limits"))
	s.Quote = readQuote(m.Get("quote"))
	s.Bands = entries(m.Get("bands"), r.band)
	s.Bands = append(s.Bands, entries(m.Get("lippings"), r.lipping)...)
	s.Sealer = r.sealer(m.Get("sealer"))
	s.Finishes = entries(m.Get("finishes"), r.finish)
	s.Adhesives = entries(m.Get("adhesives"), r.adhesive)
	s.Materials = entries(m.Need("materials"), r.material)
	for _, p := range r.pressed {
		r.press(p)
	}
	if n := m.Get("materials"); n.IsMap() && len(s.Materials) == 0 {
		n.Fault("the shop has no material", "name at least one sheet material")
	}
	r.trackable()
	s.Hardware = entries(m.Get("hardware"), r.hardware)
	s.Joints = entries(m.Get("joints"), r.joint)
	for _, e := range m.Get("roles").Entries() {
		e.Value.Map(fillKeys...).Need("material")
	}
	s.Roles = Refill(nil, s.ReadRefills(m.Get("roles")))
	s.Felt = r.felt(m.Need("felt"))
	s.Labels = r.readLabels(m.Get("labels"))
	return s
}

// entries reads every value of a mapping with free keys.
func entries[T any](n source.Node, read func(source.Entry) T) []T {
	var all []T
	for _, e := range n.Entries() {
		all = append(all, read(e))
	}
	return all
}

// reader reads the parts of a shop file whose bare numbers are in the shop's unit.
type reader struct {
	shop    *Shop
	unit    measure.Unit
	labels  []string // of the offcuts read so far
	pressed []pressed
	track   source.Map
}

const heaviest = 1000 // kg, of one piece of hardware

const longestName = 60 // characters; more would fit no label

// readName reads a text that people see.
func readName(n source.Node) string {
	text := n.Text()
	switch count := utf8.RuneCountInString(text); {
	case !n.IsText():
	case strings.TrimSpace(text) == "":
		n.Fault("a name is missing", "write a name of 1 to 60 characters")
	case count > longestName:
		n.Fault(fmt.Sprintf("the name has %d characters", count), "write a name of 1 to 60 characters")
	}
	return text
}

// readYes reads yes or no.
func readYes(n source.Node) bool {
	word := n.OneOf("yes", "no", "true", "false")
	return word == "yes" || word == "true"
}

func readCurrency(n source.Node) string {
	text := n.Text()
	capital := func(r rune) bool { return 'A' <= r && r <= 'Z' }
	if n.IsText() && (len(text) != 3 || strings.IndexFunc(text, func(r rune) bool { return !capital(r) }) >= 0) {
		n.Fault("a currency is three capital letters", "write the code of ISO 4217, for example EUR")
	}
	return text
}

func readStyle(m source.Map) measure.Style {
	style := measure.Style{Denominator: 32}
	if m.Get("unit").OneOf("mm", "in") == "in" {
		style.Unit = measure.Inches
	}
	switch n := m.Get("fraction"); n.OneOf("1/16", "1/32", "1/64") {
	case "1/16":
		style.Denominator = 16
	case "1/64":
		style.Denominator = 64
	}
	return style
}

func readRates(n source.Node) Rates {
	m := n.Map("offcut", "setting", "cut", "spare")
	money := func(key string) Money { return Money(m.Get(key).Money()) }
	return Rates{Offcut: money("offcut"), Setting: money("setting"), Cut: money("cut"), Spare: readSpare(m.Get("spare"))}
}

func (r *reader) limits(n source.Node) Limits {
	m := n.Map("lift", "sag", "moving", "web", "scribe", "reach")
	l := Limits{Lift: m.Get("lift").Number(0, heaviest), Scribe: 10 * measure.Millimetre, Reach: 100 * measure.Millimetre}
	if n := m.Get("sag"); !n.IsZero() {
		l.Sag = n.Number(50, 2000)
	}
	if n := m.Get("web"); !n.IsZero() {
		l.Web = n.LengthIn(r.unit, measure.Millimetre, measure.Metre)
	}
	if n := m.Get("scribe"); !n.IsZero() {
		l.Scribe = n.LengthIn(r.unit, 0, 100*measure.Millimetre)
	}
	if n := m.Get("reach"); !n.IsZero() {
		l.Reach = n.LengthIn(r.unit, 0, measure.Metre)
	}
	if n := m.Get("moving"); !n.IsZero() {
		l.Moving = n.Number(1, 10)
	}
	return l
}

// readSpare reads a share of all sheets, such as "5 %", or a number of sheets.
func readSpare(n source.Node) Spare {
	if !n.IsText() {
		n.Text() // faults what is no text
		return Spare{}
	}
	text, share := strings.CutSuffix(strings.TrimSpace(n.Text()), "%")
	if !share {
		return Spare{Sheets: int(n.Whole(0, 1000))}
	}
	return Spare{Share: percent(n, text, "write a share such as 5 %, or a number of sheets")}
}

// readShare reads a share such as "5 %"; one that is left out is 0.
func readShare(n source.Node) float64 {
	if n.IsZero() || !n.IsText() {
		n.Text() // faults what is no text
		return 0
	}
	const hint = "write a share such as 5 %"
	text, isShare := strings.CutSuffix(strings.TrimSpace(n.Text()), "%")
	if !isShare {
		n.Fault(fmt.Sprintf("%q is no share", n.Text()), hint)
		return 0
	}
	return percent(n, text, hint)
}

// percent reads what stands before the sign, and returns it as a share from 0 to 1.
func percent(n source.Node, text, hint string) float64 {
	p, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if err != nil || !(p >= 0 && p <= 100) {
		n.Fault(fmt.Sprintf("%q is no share from 0 %% to 100 %%", n.Text()), hint)
		return 0
	}
	return p / 100
}

func (r *reader) saw(n source.Node) Saw {
	m := n.Map("kerf", "trim", "step", "smallest", "longest-rip", "longest-crosscut", "stages", "first", "keep", "stack", "track", "work")
	saw := Saw{
		Kerf: m.Need("kerf").LengthIn(r.unit, 0, 20*measure.Millimetre),
		Step: measure.Millimetre / 2,
	}
	if r.unit == measure.Inches {
		saw.Step = measure.Inch / 32
	}
	r.trim(m.Need("trim"), &saw)
	if n := m.Get("step"); !n.IsZero() {
		saw.Step = n.LengthIn(r.unit, measure.Millimetre/100, 10*measure.Millimetre)
	}
	if n := m.Get("smallest"); !n.IsZero() {
		a, b := r.size(n, 0, measure.Metre)
		saw.LeastLength, saw.LeastWidth = max(a, b), min(a, b)
	}
	if n := m.Get("longest-rip"); !n.IsZero() {
		saw.LongestRip = n.LengthIn(r.unit, 100*measure.Millimetre, 10*measure.Metre)
	}
	if n := m.Get("longest-crosscut"); !n.IsZero() {
		saw.LongestCrosscut = n.LengthIn(r.unit, 100*measure.Millimetre, 10*measure.Metre)
	}
	if n := m.Get("stages"); !n.IsZero() && n.Text() != "any" {
		saw.Stages = int(n.Whole(1, 20))
	}
	if first := m.Get("first").OneOf("rip", "crosscut", "either"); first != "either" {
		saw.First = first
	}
	if n := m.Get("stack"); !n.IsZero() {
		saw.Stack = int(n.Whole(1, 20))
	}
	if n := m.Get("track"); !n.IsZero() {
		r.track = n.Map("kerf", "rail", "allowance", "lift")
		saw.Track = r.readTrack(saw)
	}
	a, b := r.size(m.Need("keep"), 10*measure.Millimetre, 5*measure.Metre)
	saw.KeepLong, saw.KeepShort = max(a, b), min(a, b)
	if n := m.Get("work"); !n.IsZero() {
		saw.BySetting = n.OneOf("by sheet", "by setting") == "by setting"
	}
	return saw
}

// readTrack reads the track saw that breaks full sheets down for the table saw.
func (r *reader) readTrack(saw Saw) *Track {
	m := r.track
	t := &Track{
		Kerf:      m.Need("kerf").LengthIn(r.unit, measure.Millimetre/2, 20*measure.Millimetre),
		Rail:      m.Need("rail").LengthIn(r.unit, 300*measure.Millimetre, 10*measure.Metre),
		Allowance: m.Need("allowance").LengthIn(r.unit, 0, 50*measure.Millimetre),
		Lift:      m.Need("lift").Number(1, heaviest),
	}
	if t.Kerf > 0 && t.Gap() < saw.Kerf {
		m.Get("allowance").Fault(fmt.Sprintf("the track saw's cut and its allowances take %s, less than the kerf of %s",
			r.shop.Style.WithUnit(t.Gap()), r.shop.Style.WithUnit(saw.Kerf)), "leave enough on both edges to be trued at the table saw")
	}
	return t
}

// trackable faults a track saw that cannot break down one of the sheets.
func (r *reader) trackable() {
	if t := r.shop.Saw.Track; t == nil || t.Lift == 0 {
		return
	}
	for _, m := range r.shop.Materials {
		if m.Saw != nil {
			continue
		}
		for _, s := range m.Sheets {
			r.trackableSheet(m, s)
		}
	}
}

func (r *reader) trackableSheet(m *Material, s Sheet) {
	t, style := r.shop.Saw.Track, r.shop.Style
	mass := m.SheetMass(s.Length.MM() / 1000 * (s.Width.MM() / 1000))
	size := m.ID + ", " + style.Size(s.Length, s.Width)
	side := min(s.Length, s.Width)
	switch r.shop.Saw.First {
	case "rip":
		side = s.Length
	case "crosscut":
		side = s.Width
	}
	switch {
	case mass <= t.Lift:
	case t.Lift < mass/4:
		r.track.Get("lift").Fault(fmt.Sprintf("a sheet of %s weighs %.1f kg, more than four times %g kg", size, mass, t.Lift),
			"write the heaviest piece in kg that comes onto the table saw")
	case side > t.Rail:
		r.track.Get("rail").Fault(fmt.Sprintf("the rail is shorter than the first cut of %s", size),
			"join rails, or let the first cut run the other way")
	}
}

// trim reads one length for all four edges, or one for each.
func (r *reader) trim(n source.Node, saw *Saw) {
	const most = 200 * measure.Millimetre
	if !n.IsMap() {
		all := n.LengthIn(r.unit, 0, most)
		saw.Left, saw.Right, saw.Bottom, saw.Top = all, all, all, all
		return
	}
	m := n.Map("left", "right", "bottom", "top")
	saw.Left = m.Need("left").LengthIn(r.unit, 0, most)
	saw.Right = m.Need("right").LengthIn(r.unit, 0, most)
	saw.Bottom = m.Need("bottom").LengthIn(r.unit, 0, most)
	saw.Top = m.Need("top").LengthIn(r.unit, 0, most)
}

func (r *reader) material(e source.Entry) *Material {
	m := e.Value.Map("name", "nominal", "thickness", "density", "specific-gravity", "grain", "good", "stiffness", "cutter", "press", "sheets")
	material := &Material{ID: e.Name, Name: e.Name, Grain: true, GoodFaces: 2}
	if n := m.Get("name"); !n.IsZero() {
		material.Name = readName(n)
	}
	if n := m.Get("good"); !n.IsZero() {
		material.GoodFaces = int(n.Whole(0, 2))
	}
	if n := m.Get("stiffness"); !n.IsZero() {
		s := n.Map("along", "across")
		material.Stiffness = Stiffness{Along: s.Need("along").Number(100, 30_000), Across: s.Need("across").Number(100, 30_000)}
	}
	if n := m.Get("cutter"); !n.IsZero() {
		material.Saw = r.cutter(n)
	}
	for _, n := range m.Get("sheets").Items() {
		material.Sheets = append(material.Sheets, r.sheet(n, material))
	}
	if !m.Get("press").IsZero() {
		for _, key := range []string{"nominal", "density", "specific-gravity", "grain"} {
			refuse(m.Get(key), "the "+key+" of a pressed material is that of its layers", "leave it out")
		}
		r.pressed = append(r.pressed, pressed{material, m})
		return material
	}
	nominal := m.Need("nominal").LengthIn(r.unit, measure.Millimetre/2, 100*measure.Millimetre)
	material.Nominal, material.Thickness = nominal, nominal
	r.measured(material, m.Get("thickness"))
	material.Density = density(m, 0)
	if n := m.Get("grain"); !n.IsZero() {
		material.Grain = readYes(n)
	}
	if sheets := m.Need("sheets"); sheets.IsList() && len(material.Sheets) == 0 {
		sheets.Fault("the material has no sheet", "list at least one size with its price")
	}
	return material
}

// measured reads the measured thickness of a material, where the file has one.
func (r *reader) measured(m *Material, n source.Node) {
	if n.IsZero() {
		return
	}
	m.Thickness = n.Length(r.unit)
	if off := m.Thickness - m.Nominal; m.Nominal > 0 && max(off, -off) > m.Nominal/4 {
		n.Fault(fmt.Sprintf("a thickness of %s is more than a quarter off the nominal %s",
			r.shop.Style.WithUnit(m.Thickness), r.shop.Style.WithUnit(m.Nominal)),
			"write what you measured, or correct the nominal thickness")
	}
}

// cutter reads what cuts a material in place of the saws, within the table saw's limits.
func (r *reader) cutter(n source.Node) *Saw {
	m := n.Map("kerf", "trim")
	saw := r.shop.Saw
	saw.Track = nil
	saw.Kerf = m.Need("kerf").LengthIn(r.unit, 0, 20*measure.Millimetre)
	r.trim(m.Need("trim"), &saw)
	return &saw
}

// sheet reads a sheet or an offcut of a material, given those listed before it.
func (r *reader) sheet(n source.Node, of *Material) Sheet {
	m := n.Map("size", "grain", "price", "stock", "offcut")
	sheet := Sheet{Stock: -1, GrainAcross: m.Get("grain").OneOf("length", "width") == "width"}
	size := m.Need("size")
	least := 50 * measure.Millimetre
	label, stock := m.Get("offcut"), m.Get("stock")
	switch {
	case !label.IsZero():
		sheet.Offcut, sheet.Stock, sheet.Trimmed = readName(label), 1, true
		if slices.Contains(r.labels, sheet.Offcut) {
			label.Fault("offcut "+sheet.Offcut+" is listed twice", "give every offcut a label of its own")
		}
		r.labels = append(r.labels, sheet.Offcut)
		refuse(stock, "an offcut is one piece", "leave stock out, and list each offcut by its label")
	default:
		saw := r.shop.SawFor(of)
		least = max(least, saw.Left+saw.Right+measure.Millimetre, saw.Bottom+saw.Top+measure.Millimetre)
		if !stock.IsZero() {
			sheet.Stock = int(stock.Whole(0, 1_000_000))
		}
	}
	sheet.Length, sheet.Width = r.size(size, least, 10*measure.Metre)
	sheet.Price = Money(m.Need("price").Money())
	if sheet.Offcut == "" && slices.ContainsFunc(of.Sheets, func(s Sheet) bool {
		return s.Offcut == "" && s.Length == sheet.Length && s.Width == sheet.Width && s.GrainAcross == sheet.GrainAcross
	}) {
		size.Fault("this size is listed twice", "keep one price and one stock for a size")
	}
	return sheet
}

func (r *reader) band(e source.Entry) *Band {
	return r.banding(e, "roll", &Band{})
}

// lipping reads a lipping, whose thickness comes off the cut size unless the file says no.
func (r *reader) lipping(e source.Entry) *Band {
	if r.shop.Band(e.Name) != nil {
		e.Key.Fault(e.Name+" is the name of a band", "choose another name: edges name either")
	}
	return r.banding(e, "length", &Band{Lipping: true, Deduct: true})
}

// banding reads what bands and lippings have in common; roll is the key of the length that
// is bought.
func (r *reader) banding(e source.Entry, roll string, b *Band) *Band {
	m := e.Value.Map("name", "thickness", "width", roll, "price", "allowance", "deduct", "density", "specific-gravity")
	switch e.Name {
	case Bare:
		e.Key.Fault("bare is no name for a band", "bare means an edge that gets no band; choose another name")
	case Round:
		e.Key.Fault("round is no name for a band", "round means an edge that is rounded over; choose another name")
	}
	b.ID, b.Name = e.Name, e.Name
	if n := m.Get("name"); !n.IsZero() {
		b.Name = readName(n)
	}
	b.Thickness = m.Need("thickness").LengthIn(r.unit, measure.Millimetre/10, 20*measure.Millimetre)
	b.Width = m.Need("width").LengthIn(r.unit, 5*measure.Millimetre, 200*measure.Millimetre)
	b.Roll = m.Need(roll).LengthIn(r.unit, measure.Metre, measure.Most)
	b.Price = Money(m.Need("price").Money())
	b.Allowance = m.Get("allowance").LengthIn(r.unit, 0, 500*measure.Millimetre)
	if n := m.Get("deduct"); !n.IsZero() {
		b.Deduct = readYes(n)
	}
	b.Density = density(m, usualDensity)
	return b
}

// usualDensity is that of a band or a lipping whose density the file does not tell, in kg/m3:
// about that of birch and oak.
const usualDensity = 700

// moisture is that of wood as it is used, for which handbooks print specific gravities.
const moisture = 0.12

// density reads a density in kg/m3, or the specific gravity of a wood: its mass oven dry by the
// volume that it has at 12 % moisture. A usual density of 0 is none.
func density(m source.Map, usual float64) float64 {
	plain, gravity := m.Get("density"), m.Get("specific-gravity")
	switch {
	case !gravity.IsZero():
		refuse(plain, "the density is told by the specific gravity", "keep one of them")
		return gravity.Number(0.1, 1.5) * 1000 * (1 + moisture)
	case plain.IsZero() && usual > 0:
		return usual
	}
	return m.Need("density").Number(100, 2000)
}

func (r *reader) sealer(n source.Node) *Sealer {
	if n.IsZero() {
		return nil
	}
	m := n.Map("name", "covers", "price")
	return &Sealer{
		Name:   readName(m.Need("name")),
		Covers: m.Need("covers").LengthIn(r.unit, measure.Metre, measure.Most),
		Price:  Money(m.Need("price").Money()),
	}
}

func (r *reader) felt(n source.Node) Felt {
	m := n.Map("name", "width", "thickness", "pressed", "roll", "price", "narrow", "spacing")
	f := Felt{
		Name:      readName(m.Need("name")),
		Width:     m.Need("width").LengthIn(r.unit, 5*measure.Millimetre, 200*measure.Millimetre),
		Thickness: m.Need("thickness").LengthIn(r.unit, measure.Millimetre/2, 10*measure.Millimetre),
		Pressed:   m.Need("pressed").LengthIn(r.unit, measure.Millimetre/10, 10*measure.Millimetre),
		Roll:      m.Need("roll").LengthIn(r.unit, measure.Metre, measure.Most),
		Price:     Money(m.Need("price").Money()),
		Narrow:    m.Need("narrow").LengthIn(r.unit, 5*measure.Millimetre, measure.Metre),
	}
	f.Spacing = 300 * measure.Millimetre // common practice
	if n := m.Get("spacing"); !n.IsZero() {
		f.Spacing = n.LengthIn(r.unit, 50*measure.Millimetre, measure.Most)
	}
	if f.Thickness > 0 && f.Pressed > f.Thickness {
		m.Get("pressed").Fault("pressed felt is thicker than the felt", "write the gap that a pressed joint keeps, at most the felt's thickness")
	}
	return f
}

func (r *reader) hardware(e source.Entry) *Hardware {
	m := e.Value.Map("name", "kind", "unit", "pack", "price", "mass", "depth", "rest", "hole", "holes", "side", "load", "lengths")
	h := &Hardware{ID: e.Name, Name: e.Name, Unit: "each", Pack: 1}
	if n := m.Get("name"); !n.IsZero() {
		h.Name = readName(n)
	}
	h.Kind = readName(m.Need("kind"))
	if n := m.Get("unit"); !n.IsZero() {
		h.Unit = readName(n)
	}
	if n := m.Get("pack"); !n.IsZero() {
		h.Pack = int(n.Whole(1, 100_000))
	}
	h.Depth = m.Get("depth").LengthIn(r.unit, 0, 100*measure.Millimetre)
	h.Rest = m.Get("rest").LengthIn(r.unit, 0, 20*measure.Millimetre)
	h.Hole, h.Holes = r.bore(m.Get("hole")), r.spots(m.Get("holes"))
	if len(h.Holes) > 0 {
		m.Need("hole")
	}
	if m.Get("lengths").IsZero() {
		if h.Hole.Diameter > 0 && m.Get("holes").IsZero() {
			h.Holes = []Spot{{}} // one, where it sits
		}
		h.Price, h.Mass = Money(m.Need("price").Money()), m.Get("mass").Number(0, heaviest)
		for _, key := range []string{"side", "load"} {
			refuse(m.Get(key), "only hardware that comes in lengths has a "+key, "add lengths, or leave it out")
		}
		return h
	}
	for _, has := range []string{"a price", "a mass", "holes"} {
		refuse(m.Get(strings.TrimPrefix(has, "a ")), "hardware that comes in lengths has "+has+" for each", "write it beside each length")
	}
	h.Side = m.Need("side").LengthIn(r.unit, 0, 100*measure.Millimetre)
	h.Load = m.Need("load").Number(0.1, 2000)
	for _, n := range m.Get("lengths").Items() {
		m := n.Map("length", "price", "mass", "holes")
		l := SlideLength{
			Length: m.Need("length").LengthIn(r.unit, 50*measure.Millimetre, 5*measure.Metre),
			Price:  Money(m.Need("price").Money()),
			Mass:   m.Get("mass").Number(0, heaviest),
			Holes:  r.spots(m.Get("holes")),
		}
		if slices.ContainsFunc(h.Lengths, func(b SlideLength) bool { return b.Length == l.Length }) {
			m.Get("length").Fault("this length is listed twice", "keep one price for a length")
		}
		h.Lengths = append(h.Lengths, l)
	}
	if slices.ContainsFunc(h.Lengths, func(l SlideLength) bool { return len(l.Holes) > 0 }) {
		m.Need("hole")
	}
	slices.SortFunc(h.Lengths, func(a, b SlideLength) int { return cmp.Compare(a.Length, b.Length) })
	if n := m.Get("lengths"); n.IsList() && len(h.Lengths) == 0 {
		n.Fault("the list of lengths is empty", "list at least one length with its price")
	}
	return h
}

// spots reads where the holes of a piece of hardware lie: a list of how far they are behind the
// front edge, or of pairs of that and of how far they are above its middle line.
func (r *reader) spots(n source.Node) (list []Spot) {
	const most = measure.Metre
	for _, item := range n.Items() {
		spot, pair := Spot{}, []source.Node{item}
		if item.IsList() {
			pair = item.Items()
		}
		switch len(pair) {
		case 2:
			spot.Above = pair[1].LengthIn(r.unit, -most, most)
			fallthrough
		case 1:
			spot.Behind = pair[0].LengthIn(r.unit, 0, most)
		default:
			item.Fault(fmt.Sprintf("a hole has %d places", len(pair)), "write how far it is behind the front edge, and how far above the middle: [37 mm, 16 mm]")
		}
		if slices.Contains(list, spot) {
			item.Fault("this hole is listed twice", "delete one")
		}
		list = append(list, spot)
	}
	return list
}

// refuse faults a key that has no place here.
func refuse(n source.Node, text, hint string) {
	if !n.IsZero() {
		n.Fault(text, hint)
	}
}

// size reads the two sides of a sheet or a part, such as "2500 x 1250 mm".
func (r *reader) size(n source.Node, least, most measure.Length) (length, width measure.Length) {
	text := n.Text()
	if !n.IsText() {
		return 0, 0
	}
	length, width, err := ParseSize(text, r.unit)
	if syntax := (*measure.SyntaxError)(nil); errors.As(err, &syntax) {
		n.FaultAt(syntax.Offset, syntax.Text, syntax.Hint)
		return 0, 0
	}
	style := r.shop.Style
	for _, side := range []measure.Length{length, width} {
		if side < least || side > most {
			n.Fault(fmt.Sprintf("a side of %s is outside %s to %s", style.WithUnit(side), style.Format(least), style.WithUnit(most)),
				"check the unit and the digits")
			return 0, 0
		}
	}
	return length, width
}

// ParseSize reads two lengths with an x between: "2500 x 1250 mm". A unit after the
// second counts for both where the first has none. The error is a *measure.SyntaxError.
func ParseSize(text string, bare measure.Unit) (length, width measure.Length, err error) {
	first, second, found := strings.Cut(text, "x")
	if !found {
		first, second, found = strings.Cut(text, "×")
	}
	if !found {
		return 0, 0, &measure.SyntaxError{Text: "a size needs two sides", Hint: "write for example 2500 x 1250 mm"}
	}
	offset := len(text) - len(second)
	if width, err = measure.Parse(second, bare); err != nil {
		if syntax := (*measure.SyntaxError)(nil); errors.As(err, &syntax) {
			err = &measure.SyntaxError{Offset: offset + syntax.Offset, Text: syntax.Text, Hint: syntax.Hint}
		}
		return 0, 0, err
	}
	if strings.TrimRight(first, " 0123456789./½¼¾⅛⅜⅝⅞") == "" {
		second = strings.TrimSpace(second)
		first += second[len(strings.TrimRight(second, "abcdefghijklmnopqrstuvwxyz\"'″′")):]
	}
	length, err = measure.Parse(first, bare)
	return length, width, err
}
