package book

import (
	"bytes"
	"io"
	"strings"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/output/table"
)

// WriteBinders writes a book for each vehicle of a job that has a serial, to be kept with it: its cabinets, parts,
// hardware, felt, and what is kept where. The parts have the numbers of the job.
func WriteBinders(job *batch.Job, write func(name string, write func(io.Writer) error) error) error {
	shared := map[*cabinets.Interior][]chapter{}
	for _, v := range job.Batch.Vehicles {
		if v.Serial == "" {
			continue
		}
		one := batch.List(job.Batch.Only(v.Serial))
		one.Digest = job.Digest
		chapters := shared[v.Interior]
		if chapters == nil {
			sections, err := vehicleSections(one)
			if err != nil {
				return err
			}
			chapters = chaptersOf(one, sections)
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
	var all drawings
	var err error
	if all.cabinets, err = drawCabinets(one); err != nil {
		return nil, err
	}
	if all.interiors, err = drawInteriors(one.Batch); err != nil {
		return nil, err
	}
	return filled(
		newSection("Interior", append(all.views(), listBlock(table.Balances(one), ""), listBlock(table.Order(one), orderNote), listBlock(table.Loads(one), table.RestraintCaution))...),
		newSection("What is kept where", listBlock(table.Where(one), "")),
		newSection("Findings", listBlock(table.Findings(one.Findings), "")),
		newSection("Cabinets", all.assemblies()...),
		newSection("Parts", listBlock(table.Parts(one), partsNote)),
		newSection("Edges and felt", listBlock(table.Edges(one), ""), listBlock(table.FeltMap(one), "")),
		newSection("Hardware", listBlock(table.Hardware(one), ""), listBlock(table.Joints(one), "")),
		newSection("Cautions", &block{Paragraphs: cautions}),
	), nil
}
