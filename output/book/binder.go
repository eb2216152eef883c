package book

import (
	"bytes"
	"io"
	"strings"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/output/diagram"
	"sawbook/output/draw"
	"sawbook/output/table"
)

// WriteBinders writes a book for each vehicle of a job that has a serial, to be kept with it: its cabinets, parts,
// hardware, felt, and what is kept where. The parts have the numbers of the job.
func WriteBinders(job *batch.Job, write func(name string, write func(io.Writer) error) error) error {
	shared := map[*cabinets.Interior][]section{}
	for _, v := range job.Batch.Vehicles {
		if v.Serial == "" {
			continue
		}
		one := batch.List(job.Batch.Only(v.Serial))
		one.Digest = job.Digest
		chapters := shared[v.Interior]
		if chapters == nil {
			var err error
			if chapters, err = vehicleSections(one); err != nil {
				return err
			}
			shared[v.Interior] = chapters
		}
		var pdf bytes.Buffer
		if err := writeBook(&pdf, one, "vehicle "+v.Serial+" of "+job.Batch.Name+"-"+job.Digest, chapters); err != nil {
			return err
		}
		err := write("vehicles/"+fileWord(v.Serial)+".pdf", func(w io.Writer) error {
			_, err := w.Write(pdf.Bytes())
			return err
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// fileWord makes a word of a serial that a file may be called by.
func fileWord(serial string) string {
	return strings.Map(func(r rune) rune {
		if strings.ContainsRune(`/\:*?"<>|. `, r) {
			return '-'
		}
		return r
	}, serial)
}

// vehicleSections are the chapters of one vehicle's book, but for its kitting, which names it.
func vehicleSections(one *batch.Job) ([]section, error) {
	width, height := diagram.PaperFor(one.Batch.Shop.Style.Unit).Room()
	list := func(t *table.Table, note string) []draw.Drawing { return diagram.List(t, note, width, height) }
	assembled, err := drawCabinets(one)
	if err != nil {
		return nil, err
	}
	in := one.Batch.Vehicles[0].Interior
	interior := interiorViews(in, one.Batch.Shop.Style)
	for _, t := range []*table.Table{table.Where(one), table.Balances(one), table.Order(one)} {
		interior = append(interior, list(t, "")...)
	}
	interior = append(interior, list(table.Loads(one), table.RestraintCaution)...)
	var cabinetPages []draw.Drawing
	for i := range assembled {
		cabinetPages = append(cabinetPages, assembled[i].pages()...)
	}
	var chapters []section
	for _, s := range []section{
		{"Interior", interior},
		{"Findings", list(table.Findings(one.Findings), "")},
		{"Cabinets", cabinetPages},
		{"Parts", list(table.Parts(one), partsNote)},
		{"Edges and felt", append(list(table.Edges(one), ""), list(table.FeltMap(one), "")...)},
		{"Hardware", append(list(table.Hardware(one), ""), list(table.Joints(one), "")...)},
		{"Cautions", diagram.Prose("Cautions", cautions, width, height)},
	} {
		if len(s.pages) > 0 {
			chapters = append(chapters, s)
		}
	}
	return chapters, nil
}
