package table

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/register"
	"sawbook/cabinets/shop"
)

// Builds lists builds; with a cabinet, each cabinet of that definition in them and its revision.
func Builds(s *shop.Shop, builds []register.Build, cabinet string) *Table {
	type row struct {
		*register.Build
		cabinet register.Cabinet
	}
	var rows []row
	for i := range builds {
		b := &builds[i]
		if cabinet == "" {
			rows = append(rows, row{Build: b})
			continue
		}
		for _, c := range b.Interior().Cabinets {
			if c.Cabinet == cabinet {
				rows = append(rows, row{b, c})
			}
		}
	}
	columns := []column[row]{
		text("serial", "Vehicle", func(r row) string { return r.Serial }),
		text("batch", "Batch", func(r row) string { return r.Batch + "-" + r.Record.Digest }),
		text("layout", "Layout", func(r row) string { return r.Interior().Title }),
	}
	if cabinet != "" {
		columns = append(columns,
			text("cabinet", "Cabinet", func(r row) string { return r.cabinet.Name }),
			text("revision", "Revision", func(r row) string { return r.cabinet.Revision[:12] }))
	}
	columns = append(columns,
		text("time", "Recorded", func(r row) string { return r.Time }),
		count("notes", "Notes", func(r row) int { return len(r.Notes) }))
	return build(s, "builds", "Builds", rows, columns...)
}

// BuiltWhere lists what builds of a vehicle keep where. Words pick out what holds all of them.
func BuiltWhere(s *shop.Shop, builds []register.Build, words ...string) *Table {
	type row struct {
		what, cabinet, at string
		mass              float64
		reach             string
	}
	var rows []row
	for i := range builds {
		for _, c := range builds[i].Interior().Cabinets {
			for _, content := range c.Contents {
				if r := (row{content.What, c.Name, c.At, content.Mass, content.Reach}); holdsAll(content.What+" "+c.Name, words) && !slices.Contains(rows, r) {
					rows = append(rows, r)
				}
			}
		}
	}
	return build(s, "contents", "What is kept where", rows,
		text("what", "What", func(r row) string { return r.what }),
		text("cabinet", "Cabinet", func(r row) string { return r.cabinet }),
		text("at", "At x, y, z", func(r row) string { return r.at }),
		number("mass_kg", "kg", 1, func(r row) float64 { return r.mass }),
		text("reach", "How to get at it", func(r row) string { return r.reach }))
}

// BuildDiff lists what two builds do not have alike.
func BuildDiff(s *shop.Shop, a, b *register.Build) *Table {
	one, two := a.Facts(), b.Facts()
	names := slices.Concat(slices.Collect(maps.Keys(one)), slices.Collect(maps.Keys(two)))
	slices.SortFunc(names, func(a, b string) int { return cmp.Or(cmp.Compare(kindOf(a), kindOf(b)), strings.Compare(a, b)) })
	names = slices.DeleteFunc(slices.Compact(names), func(name string) bool { return one[name] == two[name] })
	return build(s, "diff", "What differs", names,
		text("what", "What", func(n string) string { return n }),
		text("a", a.Serial+" ("+a.Batch+")", func(n string) string { return one[n] }),
		text("b", b.Serial+" ("+b.Batch+")", func(n string) string { return two[n] }))
}

// kindOf sorts a fact: the whole first, then cabinets, prices, files.
func kindOf(fact string) int {
	switch {
	case strings.HasPrefix(fact, "file "):
		return 3
	case strings.HasPrefix(fact, "price "):
		return 2
	case strings.Contains(fact, ": "):
		return 1
	}
	return 0
}

// Remade lists what a piece that is made again is.
func Remade(s *shop.Shop, p *register.Piece) *Table {
	return build(s, "as-built", "As built", []*register.Piece{p},
		text("part", "Part", func(p *register.Piece) string { return p.Number }),
		text("name", "Name", func(p *register.Piece) string { return p.Name }),
		text("material", "Material", func(p *register.Piece) string { return p.Material }),
		length("length", "Length", func(p *register.Piece) measure.Length { return p.Length }),
		length("width", "Width", func(p *register.Piece) measure.Length { return p.Width }),
		text("places", "Places", func(p *register.Piece) string { return strings.Join(p.Places, "; ") }))
}
