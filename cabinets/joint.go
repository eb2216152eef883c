package cabinets

import (
	"cmp"
	"fmt"
	"slices"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// jointing is the edge of one part on or in the face of another, both of one assembly.
type jointing struct {
	how       *shop.Joint // nil is glue alone
	face, end int         // the part that is met on its face, and the part that meets it
	rabbet    bool        // it lies in a groove along an edge of the face
}

// jointing reports whether two parts meet so, and how they are joined. What the end's rule
// says goes before what the face's says, and that before the role of the face.
func (e *expansion) jointing(m meet) (j jointing, ok bool) {
	if !e.glued(m.a, m.b) {
		return j, false
	}
	if m.overlap {
		return e.letIn(m)
	}
	j = jointing{face: m.a, end: m.b}
	a, b := &e.solid.Parts[m.a], &e.solid.Parts[m.b]
	if !m.touches() || (a.Thin == m.axis) == (b.Thin == m.axis) {
		return j, false
	}
	if b.Thin == m.axis {
		j.face, j.end = m.b, m.a
	}
	if how, said := e.made[j.end].says(toward(m.axis, j.end == m.a)); said {
		j.how = how
	} else if how, said := e.made[j.face].says(0); said {
		j.how = how
	} else {
		j.how = e.made[j.face].fill.Joint
	}
	if j.how.LetsIn() { // the role's, where these two are only butted
		j.how, _ = e.shop.Joint(shop.Butt)
	}
	return j, true
}

// says returns the joint that a part's rule names for an edge, or, without a direction, for its
// faces, and whether it names any.
func (m *made) says(edge Direction) (how *shop.Joint, said bool) {
	for i, r := range m.rule.Joints {
		if r.Toward == 0 || r.Toward == edge {
			how, said = m.joints[i], true
		}
	}
	return how, said
}

// letIn is jointing for a part in a groove of another.
func (e *expansion) letIn(m meet) (j jointing, ok bool) {
	j = jointing{face: m.a, end: m.b}
	g := e.groove(m.a, m.b)
	if g < 0 {
		j.face, j.end = m.b, m.a
		if g = e.groove(m.b, m.a); g < 0 {
			return j, false
		}
	}
	face, end := &e.solid.Parts[j.face], &e.solid.Parts[j.end]
	kind := shop.Dado
	if a := end.Thin; a != face.Thin && (end.Box.Lo[a] <= face.Box.Lo[a]+same || end.Box.Hi[a] >= face.Box.Hi[a]-same) {
		kind, j.rabbet = shop.Rabbet, true
	}
	high := end.Box.Lo[face.Thin]+end.Box.Hi[face.Thin] < face.Box.Lo[face.Thin]+face.Box.Hi[face.Thin]
	said, _ := e.made[j.end].says(toward(face.Thin, high))
	switch role := e.made[j.face].fill.Joint; {
	case e.made[j.face].rule.Grooves[g].Joint.Word != "":
		j.how = e.made[j.face].housed[g]
	case said.LetsIn():
		j.how = said
	case role.LetsIn():
		j.how = role
	default:
		j.how, _ = e.shop.Joint(kind)
	}
	return j, true
}

// dry reports whether two parts of an assembly meet in a joint that is not glued.
func (e *expansion) dry(m meet) bool {
	j, joined := e.jointing(m)
	return joined && j.how != nil && !j.how.Glued
}

// joints fixes the parts to one another, and drills the holes for that.
func (e *expansion) joints(found []meet) {
	fixings := map[*shop.Joint]int{}
	for _, m := range found {
		j, joined := e.jointing(m)
		if !joined || j.how == nil {
			continue
		}
		made := e.fix(&j)
		fixings[j.how] += made.Fixings
		e.solid.Joints = append(e.solid.Joints, made)
	}
	slices.SortStableFunc(e.solid.Joints, func(a, b Joint) int {
		return cmp.Or(natural(a.Through, b.Through), natural(a.Into, b.Into))
	})
	for _, how := range e.shop.Joints {
		if n := fixings[how]; n > 0 {
			e.solid.Hardware = append(e.solid.Hardware, HardwareLine{Name: how.ID, Item: how.Fixing, Count: n})
		}
	}
}

// row is where the fixings of a joint sit, as cut, in the cabinet.
type row struct {
	how           *shop.Joint
	through, into *Part
	entry         bool           // fixings go from low to high
	plane         measure.Length // where they leave one part and enter the other
	down, run     Axis           // the way they go, and that of the joint
	side          Axis           // the third
	at            measure.Length // their middle along it
}

// fix makes one joint.
func (e *expansion) fix(j *jointing) Joint {
	through, into := j.face, j.end
	if j.rabbet && e.solid.Parts[j.end].Material.Thickness < e.solid.Parts[j.face].Material.Thickness {
		through, into = j.end, j.face // a thin back is fixed through its own face
	}
	r := row{how: j.how, through: &e.solid.Parts[through], into: &e.solid.Parts[into]}
	made := Joint{How: j.how, Through: r.through.Name, Into: r.into.Name}
	r.down, r.side = r.through.Thin, r.into.Thin
	if r.down == r.side {
		return made // one lies flat in the other
	}
	r.run = X + Y + Z - r.down - r.side
	patch := r.through.Snapped.common(r.into.Snapped)
	made.Run = patch.Size(r.run)
	if j.how.Fixing == nil {
		return made
	}
	r.at = (patch.Lo[r.side] + patch.Hi[r.side]) / 2
	// Where they pass from part to part: the end of what is entered, or the shoulder of a rabbet.
	r.entry = r.through.Box.Lo[r.down]+r.through.Box.Hi[r.down] < r.into.Box.Lo[r.down]+r.into.Box.Hi[r.down]
	r.plane = r.into.Snapped.Hi[r.down]
	if r.entry {
		r.plane = r.into.Snapped.Lo[r.down]
	}
	if through == j.end {
		r.plane = r.through.Snapped.Lo[r.down]
		if r.entry {
			r.plane = r.through.Snapped.Hi[r.down]
		}
	}
	e.tooThin(&r)
	for _, from := range e.stretches(&r, patch.Lo[r.run], patch.Hi[r.run], through, into) {
		places := r.places(from[0], from[1], e.shop.Saw.Step)
		made.Fixings += len(places)
		for _, at := range places {
			r.drill(at, e.made[through].rule.Name, e.made[into].rule.Name)
		}
	}
	return made
}

// tooThin warns where fixings sit nearer to a face or an edge than they may.
func (e *expansion) tooThin(r *row) {
	left := measure.Most
	for _, b := range []Box{r.through.Snapped, r.into.Snapped} {
		left = min(left, r.at-b.Lo[r.side], b.Hi[r.side]-r.at)
	}
	if left < r.how.Edge-same {
		e.finding(LevelWarning, r.into.Name, fmt.Sprintf("fixings through %s lie %s mm from a face or an edge, %s asks for %s mm", r.through.Name, left.Exact(), r.how.ID, r.how.Edge.Exact()),
			"use thicker material, or another joint")
	}
	if h := r.how.Hole; h.Diameter > 0 && h.Depth >= r.through.Material.Thickness {
		e.finding(LevelError, r.through.Name, fmt.Sprintf("the holes of %s are %s mm deep, the part %s mm thick", r.how.ID, h.Depth.Exact(), r.through.Material.Thickness.Exact()),
			"use thicker material, or another joint")
	}
}

// stretches returns what cut-outs leave of a run: those that holes would come out in, and those
// that what is entered has where it is entered.
func (e *expansion) stretches(r *row, lo, hi measure.Length, through, into int) [][2]measure.Length {
	margin := max(r.how.Hole.Diameter, r.how.Pilot.Diameter)
	deep := max(r.how.Pilot.Depth, measure.Millimetre)
	from, to := r.plane, r.plane+deep
	if !r.entry {
		from, to = r.plane-deep, r.plane
	}
	left := [][2]measure.Length{{lo, hi}}
	cut := func(part int, a Axis, lo, hi measure.Length) {
		for _, c := range e.made[part].cutouts {
			if c.cut.Lo[a] < hi && c.cut.Hi[a] > lo {
				left = lessen(left, c.cut.Lo[r.run]-margin, c.cut.Hi[r.run]+margin)
			}
		}
	}
	cut(through, r.side, r.at-margin, r.at+margin)
	cut(into, r.down, from, to)
	return left
}

// lessen takes what lies from lo to hi out of some stretches.
func lessen(stretches [][2]measure.Length, lo, hi measure.Length) (left [][2]measure.Length) {
	for _, s := range stretches {
		for _, rest := range [][2]measure.Length{{s[0], min(s[1], lo)}, {max(s[0], hi), s[1]}} {
			if rest[0] < rest[1] {
				left = append(left, rest)
			}
		}
	}
	return left
}

// places returns where fixings sit from lo to hi: the same distance from either end, which is
// the joint's or a little more, and equally far apart, in steps of the fence.
func (r *row) places(lo, hi, step measure.Length) []measure.Length {
	length := hi - lo
	if length < 2*max(r.how.Hole.Diameter, r.how.Pilot.Diameter, measure.Millimetre) {
		return nil
	}
	spaces := measure.Length(0)
	if room := length - 2*r.how.End; room > 0 {
		spaces = (room + r.how.Spacing - 1) / r.how.Spacing
	}
	pitch := measure.Length(0)
	if spaces > 0 {
		pitch = ((length - 2*r.how.End) / spaces).SnapDown(step)
	}
	if pitch < 2*max(r.how.Hole.Diameter, r.how.Pilot.Diameter) {
		return []measure.Length{lo + length/2}
	}
	places := make([]measure.Length, spaces+1)
	first := lo + (length-spaces*pitch)/2
	for i := range places {
		places[i] = first + measure.Length(i)*pitch
	}
	return places
}

// drill drills both parts for the fixing at a place of the run.
func (r *row) drill(at measure.Length, through, into string) {
	if h := r.how.Hole; h.Diameter > 0 {
		box := r.bore(at, h.Diameter)
		box.Lo[r.down], box.Hi[r.down] = r.through.Snapped.Lo[r.down], r.through.Snapped.Hi[r.down]
		switch {
		case h.Depth == 0:
		case r.entry:
			box.Lo[r.down] = box.Hi[r.down] - h.Depth
		default:
			box.Hi[r.down] = box.Lo[r.down] + h.Depth
		}
		r.through.machine(Hole, box, into)
	}
	if p := r.how.Pilot; p.Diameter > 0 {
		// From the edge of the panel, be it behind a groove, at most through.
		box, panel := r.bore(at, p.Diameter), r.into.Cut()
		box.Lo[r.down], box.Hi[r.down] = max(r.plane-p.Depth, panel.Lo[r.down]), panel.Hi[r.down]
		if r.entry {
			box.Lo[r.down], box.Hi[r.down] = panel.Lo[r.down], min(r.plane+p.Depth, panel.Hi[r.down])
		}
		r.into.machine(EdgeHole, box, through)
	}
}

// bore returns the square of a hole at a place of the run, with no depth yet.
func (r *row) bore(at, diameter measure.Length) (b Box) {
	b.Lo[r.run], b.Lo[r.side] = at-diameter/2, r.at-diameter/2
	b.Hi[r.run], b.Hi[r.side] = b.Lo[r.run]+diameter, b.Lo[r.side]+diameter
	return b
}

// machine adds a feature, as cut, in the cabinet, for another part.
func (p *Part) machine(kind FeatureKind, box Box, other string) {
	p.Features = append(p.Features, Feature{kind, p.own(relative(box, p.Cut())), "for " + other})
}
