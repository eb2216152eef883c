package shop

import (
	"fmt"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
)

// Labels is what labels are printed on: a grid of them on sheets of paper, or a roll.
type Labels struct {
	Width, Height measure.Length // of one label
	// Columns and Rows on a sheet; one of each on a roll, whose paper is the label.
	Columns, Rows           int
	PaperWidth, PaperHeight measure.Length
	Left, Top               measure.Length // from the corner of the paper to the first label
	PitchX, PitchY          measure.Length // from one label to the next
}

// Sheet returns how many labels there are on a sheet.
func (l *Labels) Sheet() int { return l.Columns * l.Rows }

// The least label that all of what a part needs to be known by fits on, and the largest.
const (
	leastLabelWidth  = 60 * measure.Millimetre
	leastLabelHeight = 28 * measure.Millimetre
	largestLabel     = 300 * measure.Millimetre
)

// gridKeys are those of labels on sheets.
var gridKeys = []string{"columns", "rows", "paper", "left", "top", "pitch"}

// readLabels reads what labels are printed on, nil where nothing is said.
func (r *reader) readLabels(n source.Node) *Labels {
	if n.IsZero() {
		return nil
	}
	m := n.Map(append([]string{"size"}, gridKeys...)...)
	l := &Labels{Columns: 1, Rows: 1}
	l.Width, l.Height = r.size(m.Need("size"), measure.Millimetre, largestLabel)
	if l.Width == 0 {
		return nil
	}
	style := r.shop.Style
	if l.Width < leastLabelWidth || l.Height < leastLabelHeight {
		m.Get("size").Fault(fmt.Sprintf("a label of %s is too small for what it has to say", style.Size(l.Width, l.Height)),
			fmt.Sprintf("write its width first; the smallest is %s", style.Size(leastLabelWidth, leastLabelHeight)))
	}
	l.PaperWidth, l.PaperHeight, l.PitchX, l.PitchY = l.Width, l.Height, l.Width, l.Height
	if m.Get("columns").IsZero() && m.Get("rows").IsZero() {
		for _, key := range gridKeys {
			refuse(m.Get(key), "labels on a roll have no "+key, "add columns and rows, or leave it out")
		}
		return l
	}
	l.Columns, l.Rows = int(m.Need("columns").Whole(1, 20)), int(m.Need("rows").Whole(1, 50))
	l.PaperWidth, l.PaperHeight = r.size(m.Need("paper"), 50*measure.Millimetre, measure.Metre)
	l.Left, l.Top = m.Get("left").LengthIn(r.unit, 0, largestLabel), m.Get("top").LengthIn(r.unit, 0, largestLabel)
	if n := m.Get("pitch"); !n.IsZero() {
		l.PitchX, l.PitchY = r.size(n, measure.Millimetre, measure.Metre)
		if l.PitchX > 0 && (l.PitchX < l.Width || l.PitchY < l.Height) {
			n.Fault(fmt.Sprintf("labels of %s at a pitch of %s lie over one another", style.Size(l.Width, l.Height), style.Size(l.PitchX, l.PitchY)),
				"the pitch is from one label's edge to the same edge of the next")
		}
	}
	if right, bottom := l.reach(); l.Columns > 0 && l.Rows > 0 && l.PaperWidth > 0 && (right > l.PaperWidth || bottom > l.PaperHeight) {
		m.Get("paper").Fault(fmt.Sprintf("the labels reach to %s, beyond the paper of %s", style.Size(right, bottom), style.Size(l.PaperWidth, l.PaperHeight)),
			"check left, top and pitch, and which way round the paper lies")
	}
	return l
}

// reach returns how far the last label reaches from the corner of the paper.
func (l *Labels) reach() (right, bottom measure.Length) {
	return l.Left + measure.Length(l.Columns-1)*l.PitchX + l.Width, l.Top + measure.Length(l.Rows-1)*l.PitchY + l.Height
}
