package cabinets

import (
	"fmt"
	"slices"
	"strings"

	"sawbook/cabinets/source"
)

func (r *reader) use(e source.Entry, find func(source.Node) *Definition) {
	m := e.Value.Map("cabinet", "count", "at", "sizes", "roles")
	u := UseRule{Name: e.Name, Count: r.optional(m.Get("count")), Roles: map[string]string{}}
	if n := m.Need("cabinet"); n.IsText() {
		u.Cabinet = find(n)
	}
	var names []string
	if u.Count != nil {
		names = []string{"i"}
	}
	at := m.Need("at").Map("x", "y", "z")
	for a := X; a <= Z; a++ {
		u.At[a] = r.number(at.Need(a.String()), names...)
	}
	for _, s := range m.Get("sizes").Entries() {
		if u.Cabinet != nil && u.Cabinet.size(s.Name) == nil {
			known := make([]string, len(u.Cabinet.Sizes))
			for i, size := range u.Cabinet.Sizes {
				known[i] = size.Name
			}
			unknown(s.Key, "size", s.Name, known)
			continue
		}
		u.Sizes = append(u.Sizes, Let{s.Name, r.number(s.Value, names...)})
	}
	r.useRoles(&u, e.Key, m.Get("roles"))
	r.d.Uses = append(r.d.Uses, u)
}

// useRoles maps every role of a used cabinet to one of this cabinet.
func (r *reader) useRoles(u *UseRule, at, n source.Node) {
	var inner []string
	if u.Cabinet != nil {
		for _, role := range u.Cabinet.Roles {
			inner = append(inner, role.Name)
		}
	}
	for _, e := range n.Entries() {
		if u.Cabinet != nil && !slices.Contains(inner, e.Name) {
			unknown(e.Key, "role", e.Name, inner)
		}
		u.Roles[e.Name] = r.role(e.Value)
	}
	for _, name := range inner {
		if u.Roles[name] != "" {
			continue
		}
		if r.roles[fold(name)] != name {
			at.Fault(fmt.Sprintf("nothing fills the role %s of %s", name, u.Cabinet.Name), "give it one of this cabinet's roles under roles:, or declare a role "+name)
		}
		u.Roles[name] = name
	}
}

func (r *reader) part(e source.Entry, all []source.Entry) {
	m := e.Value.Map("role", "assembly", "count", "sawn-from", "x", "y", "z", "grain", "good", "exposed", "edges", "void-free", "joint", "grooves", "cutouts", "holes", "carries")
	p := PartRule{Name: e.Name, Role: r.role(m.Need("role")), Assembly: "body", Count: r.optional(m.Get("count"))}
	names := []string{"thick"}
	if p.Count != nil {
		names = append(names, "i")
	}
	if !r.box(&p, e, m, names) {
		return
	}
	if n := m.Get("assembly"); n.IsText() {
		p.Assembly = n.Text()
		r.assembly(&p, n)
	}
	grain := []string{"any"}
	for a := X; a <= Z; a++ {
		if a != p.Thin {
			grain = append(grain, a.String())
		}
	}
	n := m.Need("grain")
	text := n.OneOf(grain...)
	p.Turns = text == "any"
	p.Long = (p.Thin + 1) % 3
	if len(text) == 1 {
		p.Long = Axis(strings.Index("xyz", text))
	}
	if n := m.Get("good"); !n.IsZero() {
		p.Good = direction(n.OneOf(toward(p.Thin, false).String(), toward(p.Thin, true).String()))
	}
	p.Exposed = r.directions(m.Get("exposed"), toward(p.Thin, false).String(), toward(p.Thin, true).String())
	p.VoidFree = r.directions(m.Get("void-free"), directions(p.Thin)...)
	p.sawn = m.Get("sawn-from")
	p.SawnFrom = p.sawn.Text()
	r.byEdge(&p, m.Get("edges"), func(d Direction, n source.Node) { p.Edges = append(p.Edges, EdgeRule{d, n.Text(), n}) })
	r.byEdge(&p, m.Get("joint"), func(d Direction, n source.Node) { p.Joints = append(p.Joints, JointRule{d, n.Text(), n}) })
	p.Carries = r.carries(&p, m.Get("carries"), names)
	for _, n := range m.Get("grooves").Items() {
		r.groove(&p, n, names, all)
	}
	for _, n := range m.Get("cutouts").Items() {
		r.cutout(&p, n, names)
	}
	for _, n := range m.Get("holes").Items() {
		r.hole(&p, n, names)
	}
	r.d.Parts = append(r.d.Parts, p)
}

// box reads the part's extents. It reports whether they are there and just one axis is
// thin.
func (r *reader) box(p *PartRule, e source.Entry, m source.Map, names []string) bool {
	var thin []Axis
	for a := X; a <= Z; a++ {
		n := m.Need(a.String())
		if n.IsZero() {
			return false
		}
		if !n.IsList() {
			thin = append(thin, a)
			p.From[a] = r.optional(n, names...)
			continue
		}
		if p.From[a], p.To[a] = r.extent(n, names); p.From[a] == nil {
			return false
		}
	}
	if len(thin) != 1 {
		e.Key.Fault(fmt.Sprintf("%s is thin along %d axes, not one", e.Name, len(thin)), "write the axis of the thickness as one formula, the other two as [from, to]")
		return false
	}
	p.Thin = thin[0]
	return true
}

// extent reads [from, to].
func (r *reader) extent(n source.Node, names []string) (from, to *Formula) {
	items := n.Items()
	if len(items) != 2 {
		n.Fault(fmt.Sprintf("an extent has two ends, not %d", len(items)), "write [from, to]")
		return nil, nil
	}
	return r.optional(items[0], names...), r.optional(items[1], names...)
}

// assembly checks the name of another cabinet's assembly.
func (r *reader) assembly(p *PartRule, n source.Node) {
	stem, inner, dotted := strings.Cut(p.Assembly, ".")
	if !dotted {
		return
	}
	u := r.d.use(stem)
	if u == nil {
		known := make([]string, len(r.d.Uses))
		for i, use := range r.d.Uses {
			known[i] = use.Name
		}
		unknown(n, "use", stem, known)
		return
	}
	if u.Cabinet == nil {
		return
	}
	known := u.Cabinet.assemblies()
	if !slices.Contains(known, inner) {
		unknown(n, "assembly", p.Assembly, prefixed(stem+".", known))
		return
	}
	if u.Count != nil && p.Count == nil {
		n.Fault(fmt.Sprintf("%s is counted, this part is not", stem), "count the part too: its counter then says which one it belongs to")
	}
	for d := u.Cabinet; ; {
		next, rest, dotted := strings.Cut(inner, ".")
		if !dotted {
			return
		}
		within := d.use(next)
		if within.Count != nil {
			n.Fault(fmt.Sprintf("%s is counted within %s", next, d.Name), "a part can be glued only to what is there once in each "+stem)
			return
		}
		d, inner = within.Cabinet, rest
	}
}

// directions reads a list of some of the known directions.
func (r *reader) directions(n source.Node, known ...string) (list []Direction) {
	for _, item := range n.Items() {
		if d := direction(item.OneOf(known...)); d != 0 {
			list = append(list, d)
		}
	}
	return list
}

// byEdge reads one value for the whole part, with no direction, or one by edge.
func (r *reader) byEdge(p *PartRule, n source.Node, read func(Direction, source.Node)) {
	if n.IsZero() {
		return
	}
	if !n.IsMap() {
		read(0, n)
		return
	}
	sides := directions(p.Thin)
	m := n.Map(sides...)
	for _, side := range sides {
		if n := m.Get(side); !n.IsZero() {
			read(direction(side), n)
		}
	}
}

func (r *reader) groove(p *PartRule, n source.Node, names []string, all []source.Entry) {
	m := n.Map("for", "depth", "joint")
	g := GrooveRule{For: m.Need("for").Text(), Depth: r.number(m.Need("depth"), names...), Joint: JointRule{Word: m.Get("joint").Text(), Node: m.Get("joint")}}
	var others []string
	for _, e := range all {
		if e.Name != p.Name {
			others = append(others, e.Name)
		}
	}
	if n := m.Get("for"); n.IsText() && !slices.Contains(others, g.For) {
		unknown(n, "part", g.For, others)
	}
	p.Grooves = append(p.Grooves, g)
}

// onFace reads the two long axes of what is machined into a part; read gets each.
func (r *reader) onFace(p *PartRule, m source.Map, read func(a Axis, n source.Node)) {
	for a := X; a <= Z; a++ {
		switch n := m.Get(a.String()); {
		case a != p.Thin:
			read(a, m.Need(a.String()))
		case !n.IsZero():
			n.Fault(fmt.Sprintf("%s is the axis of the thickness", a), "give the place on the face, along the other two axes")
		}
	}
}

func (r *reader) cutout(p *PartRule, n source.Node, names []string) {
	m := n.Map("x", "y", "z", "count", "about")
	c := CutoutRule{About: m.Get("about").Text(), Count: r.optional(m.Get("count"), names...)}
	if c.Count != nil {
		names = append(slices.Clone(names), "j")
	}
	r.onFace(p, m, func(a Axis, n source.Node) {
		if !n.IsZero() {
			c.From[a], c.To[a] = r.extent(n, names)
		}
	})
	p.Cutouts = append(p.Cutouts, c)
}

func (r *reader) hole(p *PartRule, n source.Node, names []string) {
	m := n.Map("x", "y", "z", "for", "diameter", "depth", "from", "by", "count", "about")
	h := HoleRule{About: m.Get("about").Text(), Count: r.optional(m.Get("count"), names...), slot: m.Get("for")}
	if h.Count != nil {
		names = append(slices.Clone(names), "j")
	}
	r.onFace(p, m, func(a Axis, n source.Node) { h.At[a] = r.optional(n, names...) })
	h.By = r.directions(m.Get("by"), directions(p.Thin)...)
	from := m.Get("from")
	if h.slot.IsZero() {
		h.Diameter = r.number(m.Need("diameter"), names...)
		h.Depth = r.optional(m.Get("depth"), names...)
	} else {
		r.holeFor(&h, p, m)
	}
	if h.Depth != nil || h.For != "" {
		from = m.Need("from")
	}
	if !from.IsZero() {
		h.From = direction(from.OneOf(toward(p.Thin, false).String(), toward(p.Thin, true).String()))
	}
	p.Holes = append(p.Holes, h)
}

// holeFor reads what is particular to the holes that a piece of hardware is screwed to, set off
// from the front edge of a part.
func (r *reader) holeFor(h *HoleRule, p *PartRule, m source.Map) {
	if h.For = h.slot.Text(); h.About == "" {
		h.About = h.For
	}
	slots := make([]string, len(r.d.Hardware))
	for i := range r.d.Hardware {
		slots[i] = r.d.Hardware[i].Name
	}
	r.known(h.slot, "hardware", slots)
	for _, key := range []string{"diameter", "depth"} {
		if n := m.Get(key); !n.IsZero() {
			n.Fault("the "+key+" is that of the hardware", "leave it out: the shop file says it")
		}
	}
	if p.Thin == Y {
		h.slot.Fault("holes of hardware run from the front backwards, and this part has no room that way", "write the holes one by one, with their diameter")
	}
	if !slices.Contains(h.By, toward(Y, true)) && !slices.Contains(h.By, toward(Y, false)) {
		h.By = append(h.By, toward(Y, false))
	}
}
