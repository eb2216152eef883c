package sample

import (
	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/nest"
)

// Small returns a job done by hand: two vehicles, each a box of two sides and a lid that
// felt keeps from rattling. The sides are banded at the front; a sheet makes one
// vehicle. The sheet is 1000 x 600, trimmed by 10 all round, the kerf 3 mm; its parts are
//
//	A-001 side  500 x 200, four
//	A-002 lid   470 x 160, two
func Small(style measure.Style) *batch.Job {
	band := &shop.Band{ID: "oak-2", Name: "Oak band", Thickness: 2 * mm, Width: 22 * mm, Roll: 50 * measure.Metre, Price: 6200, Allowance: 30 * mm}
	sheet := shop.Sheet{Length: 1000 * mm, Width: 600 * mm, Price: 1250, Stock: -1}
	material := &shop.Material{ID: "birch-12", Name: "Birch plywood 12 mm", Nominal: 12 * mm, Thickness: 11900 * measure.Micrometre, Density: 695, Grain: true, GoodFaces: 1, Sheets: []shop.Sheet{sheet}}
	hinge := &shop.Hardware{ID: "hinge", Name: "Butt hinge", Kind: "hinge", Unit: "each", Pack: 10, Price: 990, Mass: 0.05}
	s := &shop.Shop{
		Name: "Saltmarsh Fit-Out", Currency: "EUR", Style: style, Materials: []*shop.Material{material}, Bands: []*shop.Band{band}, Hardware: []*shop.Hardware{hinge},
		Felt: shop.Felt{Name: "Felt tape", Width: 19 * mm, Roll: 10 * measure.Metre, Price: 950},
		Saw:  shop.Saw{Kerf: 3 * mm, Left: 10 * mm, Right: 10 * mm, Bottom: 10 * mm, Top: 10 * mm},
	}
	lid := cabinets.Contact{On: "lid", Against: "side", Face: cabinets.Top, Strips: strips(160, 160)}
	between := cabinets.Contact{On: "box.side", Against: "shelf.side", Face: cabinets.Top, Strips: strips(200)}
	in := &cabinets.Interior{
		Layout:  &cabinets.Layout{Name: "Curlew"},
		Options: []string{"long"},
		Cabinets: []cabinets.Placed{{Name: "box", Solid: &cabinets.Solid{
			Definition: &cabinets.Definition{Name: "chest"}, Outside: boxOf(0, 0, 0, 470, 200, 511.9), Contacts: []cabinets.Contact{lid},
			Parts: []cabinets.Part{
				{Name: "side", Material: material, Snapped: boxOf(0, 0, 0, 11.9, 200, 500), Thin: cabinets.X, Long: cabinets.Z},
				{Name: "lid", Material: material, Snapped: boxOf(0, 20, 500, 470, 180, 511.9), Thin: cabinets.Z, Long: cabinets.X},
			},
		}}},
		Contacts: []cabinets.Contact{between},
	}
	banded, bare := &shop.Treatment{Band: band}, &shop.Treatment{}
	side := &cabinets.Piece{
		ID: "A-001", Name: "side", Material: material, Role: "carcass", Length: 500 * mm, Width: 200 * mm, Good: cabinets.HighFace, Mass: 0.834,
		Edges: [4]cabinets.Edge{{Length: 500 * mm, Treatment: banded}, {Length: 500 * mm, Treatment: bare}, {Length: 200 * mm}, {Length: 200 * mm, Treatment: bare, Felted: true}},
		Features: []cabinets.Feature{
			feature(cabinets.Hole, 35, 35, 11.9, "for hinge"), feature(cabinets.Hole, 35, 35, 11.9, "for hinge"),
			feature(cabinets.Groove, 500, 6.4, 6, "for back"),
		},
	}
	cover := &cabinets.Piece{ID: "A-002", Name: "lid", Material: material, Role: "carcass", Length: 470 * mm, Width: 160 * mm, Turns: true, Mass: 0.627}
	b := &batch.Batch{Name: "spring", About: "Two Curlew", Shop: s}
	for _, serial := range []string{"C-01", "C-02"} {
		b.Vehicles = append(b.Vehicles, batch.Vehicle{Serial: serial, Interior: in})
	}
	goes := func(p *cabinets.Piece, parts ...string) {
		for _, part := range parts {
			p.Count += len(b.Vehicles)
			p.Goes = append(p.Goes, cabinets.Place{Interior: in, Cabinet: "box", Part: part, Vehicles: len(b.Vehicles)})
		}
	}
	goes(side, "side", "right")
	goes(cover, "lid")
	pieces := []*cabinets.Piece{side, cover}
	pattern := smallPattern(sheet, side, cover)
	m := batch.Material{
		Letter: "A", Of: material, Saw: s.Saw, Stock: material.Sheets, Pieces: pieces, Patterns: []batch.Pattern{pattern},
		Plan: &nest.Plan{Sheets: 2, Cost: 2500, Bound: nest.Bound{Sheets: 2, Cost: 2500, Method: "area"}},
	}
	return &batch.Job{
		Batch: b, Digest: "0badcafe", Pieces: pieces, Materials: []batch.Material{m}, Written: []byte("{}\n"),
		Findings: []cabinets.Finding{
			{Level: cabinets.LevelNote, Where: "Curlew", Text: "there is room for a shelf"},
			{Level: cabinets.LevelWarning, Where: "Curlew: box: lid", Text: "the lid is heavy", Do: "add a stay"},
		},
		Estimate: batch.Estimate{
			Lines: []batch.Line{
				{Group: batch.GroupSheets, Item: "birch-12", Name: material.Name, Need: 2, Unit: "sheets", Buy: 2, Pack: "1000 x 600 mm", Each: 1250, Cost: 2500},
				{Group: batch.GroupBand, Item: "oak-2", Name: band.Name, Need: 2.12, Unit: "m", Buy: 1, Pack: "50 m roll", Each: 6200, Cost: 6200},
				{Group: batch.GroupFelt, Item: "felt", Name: "Felt tape", Need: 1.04, Unit: "m", Buy: 1, Pack: "10 m roll", Each: 950, Cost: 950},
				{Group: batch.GroupHardware, Item: "hinge", Name: hinge.Name, Need: 4, Unit: "each", Buy: 1, Pack: "pack of 10", Each: 990, Cost: 990},
			},
			Total:   10640,
			Sheets:  []batch.SheetUse{{Material: material, Sheets: 2, Bound: 2, Method: "area", Area: 1.2, Parts: 2 * pattern.Used, Cost: 2500, Least: 2500}},
			Layouts: []batch.LayoutUse{{Layout: "Curlew + long", Vehicles: 2, Parts: 2 * pattern.Used, Sheets: 1.2, Cost: 10640, Mass: 2.395, Felt: 520 * mm, Band: 1060 * mm}},
			Mass:    4.79,
		},
	}
}

// strips lays strips of felt side by side, so long in mm.
func strips(lengths ...int64) (list []cabinets.Box) {
	for i, l := range lengths {
		at := measure.Length(i) * 60 * mm
		list = append(list, cabinets.Box{Lo: [3]measure.Length{0, at}, Hi: [3]measure.Length{measure.Length(l) * mm, at + 19*mm}})
	}
	return list
}

func feature(kind cabinets.FeatureKind, u, v, w float64, about string) cabinets.Feature {
	var f cabinets.Feature
	f.Kind, f.About = kind, about
	for axis, size := range []float64{u, v, w} {
		f.Box.Hi[axis], _ = measure.FromMM(size)
	}
	return f
}

// boxOf returns a box, of mm.
func boxOf(x1, y1, z1, x2, y2, z2 float64) (b cabinets.Box) {
	for axis, ends := range [3][2]float64{{x1, x2}, {y1, y2}, {z1, z2}} {
		b.Lo[axis], _ = measure.FromMM(ends[0])
		b.Hi[axis], _ = measure.FromMM(ends[1])
	}
	return b
}

// smallPattern rips two strips of 200 and one of 160, then crosscuts them.
func smallPattern(sheet shop.Sheet, side, lid *cabinets.Piece) batch.Pattern {
	const kerf = 3 * mm
	p := batch.Pattern{Number: 1, Times: 2, Sheet: sheet, Trim: [4]measure.Length{10 * mm, 10 * mm, 10 * mm, 10 * mm}}
	c := cutter{pattern: p}
	rest := batch.Area{X: 10 * mm, Y: 10 * mm, Length: 980 * mm, Width: 580 * mm}
	var strips []batch.Area
	for _, width := range []measure.Length{200 * mm, 200 * mm, 160 * mm} {
		freed, remains := split(rest, true, width, kerf)
		c.cut(rest, freed, remains, 1, true, width)
		strips = append(strips, freed)
		rest = remains
	}
	c.pattern.Offcuts = []batch.Offcut{{Area: rest}}
	lay := func(strip batch.Area, piece *cabinets.Piece) {
		freed, remains := split(strip, false, piece.Length, kerf)
		c.cut(strip, freed, remains, 2, false, piece.Length)
		c.pattern.Cuts[len(c.pattern.Cuts)-1].FreesPart = piece
		c.pattern.Parts = append(c.pattern.Parts, batch.Laid{Piece: piece, X: freed.X, Y: freed.Y, Length: freed.Length, Width: freed.Width})
		c.pattern.Used += freed.M2()
		c.pattern.Offcuts = append(c.pattern.Offcuts, batch.Offcut{Area: remains})
	}
	lay(strips[0], side)
	lay(strips[1], side)
	lay(strips[2], lid)
	return c.pattern
}
