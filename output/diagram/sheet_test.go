package diagram

import (
	"fmt"
	"os"
	"testing"

	"sawbook/cabinets/measure"
	"sawbook/output/draw"
	"sawbook/output/internal/sample"
)

func TestLook(t *testing.T) {
	dir := os.Getenv("LOOK")
	if dir == "" {
		t.Skip()
	}
	for i, o := range []sample.Options{sample.Metric(1, 8), sample.Metric(2, 20), sample.Metric(3, 60), sample.Imperial(4, 12), sample.Imperial(5, 40)} {
		job := sample.Job(o)
		m := &job.Materials[0]
		w, h := PaperFor(o.Style.Unit).Room()
		d := Sheet(job, m, &m.Patterns[0], w, h)[0]
		f, _ := os.Create(fmt.Sprintf("%s/%d.svg", dir, i))
		if err := draw.WriteSVG(f, d); err != nil {
			t.Fatal(err)
		}
		f.Close()
		t.Log(i, d.Width, d.Height, len(m.Patterns[0].Parts))
	}
	_ = measure.Inch
}
