package table

import (
	"strconv"
	"strings"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// kitRow is what one cabinet takes of one thing, in each vehicle of an interior: so many, or
// such a length.
type kitRow struct {
	kit              *kit
	kind, item, name string
	each             int            // of bands, lippings and felt: pieces of them
	length           measure.Length // of one slide; of all the band, lipping or felt
}

// tape reports whether it is cut from a roll or a length.
func (r kitRow) tape() bool { return r.kind != "part" && r.kind != "hardware" }

// kit is what is put together for a cabinet, alike in all vehicles of an interior.
type kit struct {
	serials, layout, cabinet string
	vehicles                 int
	rows                     []kitRow
}

// Kitting lists what is put together for each cabinet of each vehicle: parts, hardware, and
// lengths of band, lipping and felt. Vehicles of one interior have one list.
func Kitting(job *batch.Job) *Table {
	var rows []kitRow
	for _, k := range kits(job) {
		rows = append(rows, k.rows...)
	}
	return build(job.Batch.Shop, "kitting", "Kitting by vehicle and cabinet", rows,
		text("vehicles", "Vehicles", func(r kitRow) string { return r.kit.serials }),
		text("layout", "Layout", func(r kitRow) string { return r.kit.layout }),
		text("cabinet", "Cabinet", func(r kitRow) string { return r.kit.cabinet }),
		text("kind", "Kind", func(r kitRow) string { return r.kind }),
		text("item", "Item", func(r kitRow) string { return r.item }),
		text("name", "Name", func(r kitRow) string { return r.name }),
		length("length", "Length", func(r kitRow) measure.Length {
			if r.tape() {
				return 0
			}
			return r.length
		}),
		count("each", "For one", func(r kitRow) int { return r.each }),
		column[kitRow]{Column{Key: "each_m", Head: "m", In: Always, Kind: Number, Decimals: 2}, func(r kitRow) any {
			if r.tape() {
				return r.length.MM() / 1000
			}
			return nil
		}},
		count("total", "For all", func(r kitRow) int { return r.each * r.kit.vehicles }))
}

// kits lists the cabinets of every interior with what they take.
func kits(job *batch.Job) (all []*kit) {
	type spot struct {
		interior *cabinets.Interior
		cabinet  string
	}
	parts := map[spot][]*cabinets.Piece{}
	for _, p := range job.Pieces {
		for _, place := range p.Goes {
			at := spot{place.Interior, place.Cabinet}
			parts[at] = append(parts[at], p)
		}
	}
	felt := map[*cabinets.Placed][]feltRow{}
	for _, r := range feltRows(job) {
		felt[r.cabinet] = append(felt[r.cabinet], r)
	}
	interiors, vehicles := job.Batch.Interiors()
	for i, in := range interiors {
		serials := Serials(job.Batch, in)
		for c := range in.Cabinets {
			cabinet := &in.Cabinets[c]
			k := &kit{serials: serials, layout: in.Title(), cabinet: cabinet.Name, vehicles: vehicles[i]}
			k.fill(parts[spot{in, cabinet.Name}], cabinet.Solid.Hardware, felt[cabinet], &job.Batch.Shop.Felt)
			all = append(all, k)
		}
	}
	return all
}

// fill puts together parts, then hardware, then what is cut from rolls and lengths.
func (k *kit) fill(parts []*cabinets.Piece, hardware []cabinets.HardwareLine, contacts []feltRow, felt *shop.Felt) {
	for _, p := range parts {
		k.add(kitRow{kind: "part", item: p.ID, name: p.Name, each: 1})
	}
	for _, h := range hardware {
		k.add(kitRow{kind: "hardware", item: h.Item.ID, name: h.Item.Name, each: h.Count, length: h.Length})
	}
	for _, p := range parts {
		for side, e := range p.Edges {
			for _, row := range treated(p, side, e) {
				if row.kind == "band" || row.kind == "lipping" {
					k.add(kitRow{kind: row.kind, item: row.item, name: e.Treatment.Band.Name, each: 1, length: row.each})
				}
			}
		}
	}
	for _, r := range contacts {
		k.add(kitRow{kind: "felt", name: felt.Name, each: len(r.contact.Strips), length: r.length()})
	}
}

// add adds to what there is of the same thing.
func (k *kit) add(r kitRow) {
	r.kit = k
	for i := range k.rows {
		like := &k.rows[i]
		if like.kind != r.kind || like.item != r.item || !r.tape() && like.length != r.length {
			continue
		}
		like.each += r.each
		if r.tape() {
			like.length += r.length
		}
		return
	}
	k.rows = append(k.rows, r)
}

// Serials lists the vehicles of an interior, runs of numbers drawn together: "31-33, 40".
func Serials(b *batch.Batch, in *cabinets.Interior) string {
	var words []string
	var run []int
	end := func() {
		if len(run) > 0 {
			words, run = append(words, Ranges(run)), nil
		}
	}
	for _, v := range b.Vehicles {
		if v.Interior != in || v.Serial == "" {
			continue
		}
		if n, err := strconv.Atoi(v.Serial); err == nil && n >= 0 && strconv.Itoa(n) == v.Serial {
			run = append(run, n)
			continue
		}
		end()
		words = append(words, v.Serial)
	}
	end()
	return strings.Join(words, ", ")
}
