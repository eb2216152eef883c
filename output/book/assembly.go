package book

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/output/diagram"
	"sawbook/output/draw"
	"sawbook/output/table"
)

// assembly is a cabinet as drawn for who puts it together.
type assembly struct {
	name, file string // "drawer-bank", "drawer-bank-2.svg"
	page       drawn
	facts      []string       // where it stands, and its mass
	lists      []*table.Table // what else who puts it together needs
}

func (a *assembly) block() *block {
	return &block{id: "cabinet", Name: a.name, drawings: []drawn{a.page}, Facts: a.facts, lists: a.lists}
}

// drawCabinets draws every cabinet of a job, its parts marked with their numbers; those
// that are made of the same pieces are one.
func drawCabinets(job *batch.Job) (list []assembly, err error) {
	width, height := diagram.PaperFor(job.Batch.Shop.Style.Unit).Room()
	times := map[string]int{}
	lists := table.NewAssemblies(job)
	for _, s := range keyed(job) {
		k := s.Keyed
		a := assembly{name: k.Title}
		if times[k.Title]++; times[k.Title] > 1 {
			a.name += "-" + strconv.Itoa(times[k.Title])
		}
		a.file = fileName(a.name, 0)
		pages, err := written([]draw.Drawing{diagram.Cabinet(k, width, height)})
		if err != nil {
			return nil, err
		}
		a.page = pages[0]
		a.facts, a.lists = massWords(k), lists.Of(s.spots)
		list = append(list, a)
	}
	return list, nil
}

// massWords say where a cabinet stands, what it weighs and where its middle lies.
func massWords(k diagram.Keyed) []string {
	kg, centre := k.Solid.Mass()
	at := make([]string, len(centre))
	for a, mm := range centre {
		l, _ := measure.FromMM(mm - k.Solid.Outside.Lo[a].MM())
		at[a] = k.Style.WithUnit(l.Snap(measure.Millimetre))
	}
	return []string{k.Where, fmt.Sprintf("%.1f kg with hardware; centre of mass %s from the left, %s from the front, %s from below", kg, at[0], at[1], at[2])}
}

// standing is a cabinet, and all spots where it stands.
type standing struct {
	diagram.Keyed
	spots []table.Spot
}

// keyed lists the cabinets of a job in the order in which they stand, each with the numbers
// of its parts, and where it stands.
func keyed(job *batch.Job) (list []standing) {
	numbers := map[*cabinets.Interior]map[[2]string]string{}
	for _, p := range job.Pieces {
		for _, place := range p.Goes {
			if numbers[place.Interior] == nil {
				numbers[place.Interior] = map[[2]string]string{}
			}
			numbers[place.Interior][[2]string{place.Cabinet, place.Part}] = p.ID
		}
	}
	known := map[string]int{}
	seen := map[*cabinets.Interior]bool{}
	for _, v := range job.Batch.Vehicles {
		in := v.Interior
		if seen[in] {
			continue
		}
		seen[in] = true
		for i := range in.Cabinets {
			c := &in.Cabinets[i]
			k := standing{Keyed: diagram.Keyed{Title: c.Solid.Definition.Name, Solid: c.Solid, Style: job.Batch.Shop.Style, Where: in.Title() + " " + c.Name}, spots: []table.Spot{{Interior: in, Cabinet: c.Name}}}
			for j := range c.Solid.Parts {
				k.Marks = append(k.Marks, numbers[in][[2]string{c.Name, c.Solid.Parts[j].Name}])
			}
			key := k.Title + " " + strings.Join(k.Marks, " ")
			at, there := known[key]
			if !there {
				known[key] = len(list)
				list = append(list, k)
			} else if where := &list[at].Where; !slices.Contains(strings.Split(*where, ", "), k.Where) {
				*where += ", " + k.Where
				list[at].spots = append(list[at].spots, k.spots...)
			}
		}
	}
	return list
}
