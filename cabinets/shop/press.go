package shop

import (
	"fmt"
	"slices"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
)

// Press says how a material is laminated from others: a core between a face and a
// balancing sheet.
type Press struct {
	Core, Face, Back *Material
	// Sheets reports that whole sheets are laminated and then cut up. Otherwise each part
	// is cut oversize from all three, pressed, and cut to size in a second cut.
	Sheets bool
	// Allowance is how much longer and wider a core is cut than what comes of it, Overhang
	// how much longer and wider than the core the face and the back.
	Allowance, Overhang measure.Length
	// TogetherLong by TogetherShort is the largest blank that parts of one bank share; 0 is
	// a blank for each part.
	TogetherLong, TogetherShort measure.Length
	Adhesive                    *Adhesive
}

// Layers returns core, face and back.
func (p *Press) Layers() [3]*Material { return [3]*Material{p.Core, p.Face, p.Back} }

// Adhesive joins the layers of a pressed material.
type Adhesive struct {
	Coating
	Faces int            // of every joint that are coated: 1 or 2
	Line  measure.Length // what a joint adds to the thickness
	Dry   float64        // g/m2 that stay on a coated face
}

// Glued returns the area in m2 that is coated where a sheet is pressed onto a core.
func (a *Adhesive) Glued(core, sheet float64) float64 {
	if a.Faces == 1 {
		return core
	}
	return core + sheet
}

func (r *reader) adhesive(e source.Entry) *Adhesive {
	m := e.Value.Map("name", "faces", "line", "dry", "covers", "tin", "price")
	a := &Adhesive{Coating: readCoating(e.Name, m), Faces: 2}
	if n := m.Get("faces"); !n.IsZero() {
		a.Faces = int(n.Whole(1, 2))
	}
	a.Line = m.Get("line").LengthIn(r.unit, 0, 2*measure.Millimetre)
	a.Dry = m.Get("dry").Number(0, 1000)
	return a
}

// pressed is a pressed material whose layers are still to be found.
type pressed struct {
	*Material
	keys source.Map
}

// press reads how a material is laminated, once all others are read.
func (r *reader) press(of pressed) {
	m := of.keys.Get("press").Map("core", "face", "back", "order", "allowance", "overhang", "together", "adhesive")
	p := &Press{Allowance: 25 * measure.Millimetre, Overhang: 10 * measure.Millimetre}
	if r.unit == measure.Inches {
		p.Allowance, p.Overhang = measure.Inch, measure.Inch/2
	}
	of.Press = p
	p.Core, p.Face, p.Back = r.layer(m.Need("core")), r.layer(m.Need("face")), r.layer(m.Need("back"))
	p.Sheets = m.Need("order").OneOf("parts", "sheets") == "sheets"
	r.oversize(m, p)
	p.Adhesive = r.shop.readAdhesive(m.Need("adhesive"))
	if p.Core != nil && p.Face != nil && p.Back != nil && p.Adhesive != nil {
		of.build()
		r.measured(of.Material, of.keys.Get("thickness"))
		r.pressedSheets(of, m.Get("core"))
	}
}

// pressedSheets adds the sheets that are pressed whole to those that a pressed material has.
func (r *reader) pressedSheets(of pressed, core source.Node) {
	if !of.Press.Sheets {
		refuse(of.keys.Get("sheets"), "a material that is pressed part by part has no sheets", "leave them out, or write order: sheets")
		return
	}
	built := of.Press.sheets()
	if len(built) == 0 {
		core.Fault("there is no whole sheet to press", "list a size of the core, of the face and of the back")
	}
	of.Sheets = append(built, of.Sheets...)
}

// oversize reads by how much the layers of a part are cut oversize.
func (r *reader) oversize(m source.Map, p *Press) {
	allowance, overhang, together := m.Get("allowance"), m.Get("overhang"), m.Get("together")
	if p.Sheets {
		for _, n := range []source.Node{allowance, overhang, together} {
			refuse(n, "whole sheets are pressed as they come", "leave it out: the saw's trim squares them")
		}
		return
	}
	const most = 200 * measure.Millimetre
	if !allowance.IsZero() {
		p.Allowance = allowance.LengthIn(r.unit, 0, most)
	}
	if !overhang.IsZero() {
		p.Overhang = overhang.LengthIn(r.unit, 0, most)
	}
	if !together.IsZero() {
		a, b := r.size(together, 50*measure.Millimetre, 10*measure.Metre)
		p.TogetherLong, p.TogetherShort = max(a, b), min(a, b)
	}
	if least := 2 * r.shop.Saw.Kerf; p.Allowance < least {
		at := allowance
		if at.IsZero() {
			at = m.Get("order")
		}
		at.Fault(fmt.Sprintf("an allowance of %s is less than two kerfs", r.shop.Style.WithUnit(p.Allowance)),
			"allow "+r.shop.Style.WithUnit(least)+" or more: opposite edges are each cut once more")
	}
}

// readAdhesive reads the name of an adhesive.
func (s *Shop) readAdhesive(n source.Node) *Adhesive {
	id := n.Text()
	var known []string
	for _, a := range s.Adhesives {
		if a.ID == id {
			return a
		}
		known = append(known, a.ID)
	}
	if n.IsText() {
		n.Fault(fmt.Sprintf("unknown adhesive %q", id), source.Suggest(id, known))
	}
	return nil
}

// layer reads the material of a layer, which is not pressed itself.
func (r *reader) layer(n source.Node) *Material {
	m := r.shop.readMaterial(n)
	if slices.ContainsFunc(r.pressed, func(p pressed) bool { return p.Material == m }) {
		n.Fault(m.ID+" is pressed itself", "press it from materials that are bought")
		return nil
	}
	return m
}

// build gives a pressed material what follows from its layers: thicknesses add up, with a
// line of glue on either side of the core, and so do masses. The face shows, and its grain
// is that of the panel.
func (m *Material) build() {
	p := m.Press
	mass := float64(p.Adhesive.Dry) / 1000 * 2 * float64(p.Adhesive.Faces) // kg/m2
	for _, layer := range p.Layers() {
		m.Nominal += layer.Nominal
		m.Thickness += layer.Thickness
		mass += layer.SheetMass(1)
	}
	m.Nominal += 2 * p.Adhesive.Line
	m.Thickness += 2 * p.Adhesive.Line
	m.Density = mass / (m.Nominal.MM() / 1000)
	m.Grain = p.Face.Grain
}

// sheets are those that the press makes of whole sheets: one for each size of the core,
// with the face and the back that cover most of it, the cheapest among equals. What a
// layer does not cover is lost.
func (p *Press) sheets() (all []Sheet) {
	for _, core := range p.Core.Sheets {
		if core.Offcut != "" {
			continue
		}
		face := p.Face.covering(core)
		back := p.Back.covering(face.cut)
		built := back.cut
		if built.Length == 0 {
			continue
		}
		built.GrainAcross, built.Layers = face.cut.GrainAcross, &[3]Sheet{core, face.whole, back.whole}
		built.Price, built.Stock = 0, -1
		for _, layer := range built.Layers {
			built.Price += layer.Price
			if layer.Stock >= 0 && (built.Stock < 0 || layer.Stock < built.Stock) {
				built.Stock = layer.Stock
			}
		}
		all = append(all, built)
	}
	return all
}

// part is a whole sheet, and what is left of it once it is cut to another.
type part struct{ whole, cut Sheet }

// covering returns the sheet of the material that covers most of another, cut to what
// both have in common; one whose grain does not show may be turned.
func (m *Material) covering(s Sheet) (best part) {
	for _, own := range m.Sheets {
		if own.Offcut != "" {
			continue
		}
		for _, turned := range []bool{false, true} {
			if turned && m.Grain {
				continue
			}
			cut := own
			if turned {
				cut.Length, cut.Width = own.Width, own.Length
			}
			cut.Length, cut.Width = min(cut.Length, s.Length), min(cut.Width, s.Width)
			if a, b := cut.area(), best.cut.area(); a > b || a == b && own.Price < best.whole.Price {
				best = part{own, cut}
			}
		}
	}
	return best
}

// area is in mm2, whole millimetres counted, so that it is exact.
func (s Sheet) area() int64 {
	return int64(s.Length/measure.Millimetre) * int64(s.Width/measure.Millimetre)
}
