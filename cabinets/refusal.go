package cabinets

import (
	"strings"

	"sawbook/cabinets/source"
)

// Refusal says why a cabinet cannot be expanded.
type Refusal struct {
	Text, Hint string
	// node is where the definition is at fault, at the offset; zero where the choice is.
	node   source.Node
	offset int
}

// Refusals is the error of Expand: all that keeps a cabinet from being expanded.
type Refusals []Refusal

func (rs Refusals) Error() string {
	texts := make([]string, len(rs))
	for i, r := range rs {
		texts[i] = r.Text
	}
	return strings.Join(texts, "; ")
}

// Report reports the refusals: where the definition is at fault in its file, otherwise at
// the node of the choice, or without a place where that is zero.
func (rs Refusals) Report(c *source.Collector, at source.Node) {
	for _, r := range rs {
		switch {
		case !r.node.IsZero():
			r.node.FaultAt(r.offset, r.Text, r.Hint)
		case !at.IsZero():
			at.Fault(r.Text, r.Hint)
		default:
			c.Add(source.Fault{Text: r.Text, Hint: r.Hint})
		}
	}
}
