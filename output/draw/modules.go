package draw

import (
	"fmt"
	"strconv"
	"strings"
)

// Modules is a square of black and white squares, such as a QR code: rows from the top, true is
// black. X, Y is its upper left corner, Module the side of one square; all in mm.
type Modules struct {
	X, Y, Module float64
	Rows         [][]bool
}

func (Modules) shape() {}

// Side returns the side of the whole square.
func (m Modules) Side() float64 { return m.Module * float64(len(m.Rows)) }

// runs calls add with each run of black squares in a row, counted in modules.
func (m Modules) runs(add func(column, row, width int)) {
	for i, row := range m.Rows {
		for k := 0; k < len(row); k++ {
			first := k
			for k < len(row) && row[k] {
				k++
			}
			if k > first {
				add(first, i, k-first)
			}
		}
	}
}

func (s svgWriter) modules(m Modules) {
	var d strings.Builder
	m.runs(func(column, row, width int) { fmt.Fprintf(&d, "M%d %dh%dv1h-%dz", column, row, width, width) })
	scale := strconv.FormatFloat(m.Module, 'f', 5, 64)
	s.Path(d.String(), `transform="translate(`+number(m.X)+" "+number(m.Y)+`) scale(`+scale+`)"`, `stroke="none"`, `fill="black"`)
}

func (p pdfWriter) modules(m Modules) {
	const pointsPerMM = 72 / 25.4
	_, height := p.GetPageSize()
	p.SetFillColor(rgb("black"))
	// In a frame whose unit is a module, y downwards, all numbers are whole; one path has no
	// seams between rows.
	path := fmt.Appendf(nil, "q %.5f 0 0 %.5f %.3f %.3f cm\n", m.Module*pointsPerMM, -m.Module*pointsPerMM, m.X*pointsPerMM, (height-m.Y)*pointsPerMM)
	m.runs(func(column, row, width int) {
		for _, v := range [3]int{column, row, width} {
			path = append(strconv.AppendInt(path, int64(v), 10), ' ')
		}
		path = append(path, "1 re\n"...)
	})
	p.RawWriteStr(string(append(path, "f Q\n"...)))
}
