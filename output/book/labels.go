package book

import (
	"bytes"
	"fmt"

	"sawbook/cabinets/batch"
	"sawbook/output/diagram"
	"sawbook/output/draw"
)

// labelFile is a PDF of labels.
type labelFile struct{ name, pdf string }

// mostLabels is how many labels a file holds at most, or those of one sheet: so that printing
// can start again somewhere, and little is held at a time.
const mostLabels = 2400

// drawLabels draws a job's labels, none where the shop says not what they are printed on.
func drawLabels(job *batch.Job) (files []labelFile, err error) {
	if job.Batch.Shop.Labels == nil {
		return nil, nil
	}
	sheets := diagram.NewLabelSheets(job, max(job.LabelsFrom, 1))
	each := max(1, mostLabels/job.Batch.Shop.Labels.Sheet())
	for first := 0; first < sheets.Count(); first += each {
		var pages []draw.Page
		for n := first; n < min(first+each, sheets.Count()); n++ {
			d, err := sheets.Sheet(n)
			if err != nil {
				return nil, err
			}
			pages = append(pages, draw.Page{Width: d.Width, Height: d.Height, Drawing: d})
		}
		name := "labels.pdf"
		if len(files) > 0 {
			name = fmt.Sprintf("labels-%d.pdf", len(files)+1)
		}
		var pdf bytes.Buffer
		if err := draw.WritePDF(&pdf, job.Batch.Shop.Name+", labels of "+job.Batch.Name+"-"+job.Digest, pages); err != nil {
			return nil, err
		}
		files = append(files, labelFile{name, pdf.String()})
	}
	return files, nil
}
