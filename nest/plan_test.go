package nest

import "testing"

// TestSizesThatCountAreSet: a strip of 40 holds two parts that need 35 of it, and a part
// takes the other 20. The part's size is set at the saw; the strip is what remains.
func TestSizesThatCountAreSet(t *testing.T) {
	p := Problem{Sheets: []Sheet{sheet(100, 60)}, Parts: []Part{{50, 35, 2, Along}, {100, 20, 1, Along}}}
	m := newModel(&p)
	tree := m.newTree(&m.stocks[0])
	strip, rest := tree.divide(m, 0, Rip, 40/m.unit)
	left, right := tree.divide(m, strip, Crosscut, 50/m.unit)
	for _, piece := range []int32{left, right} {
		part, _ := tree.divide(m, piece, Rip, 35/m.unit)
		tree.nodes[part].kind = 0
	}
	tree.nodes[rest].kind = 1
	r := &run{m: m, best: &solution{cuttings: []cutting{{tree, 1}}, price: price{1, 1}}}
	got := r.plan().Patterns[0].Root.Children
	if len(got) != 2 || got[0].Part != 1 || got[0].Width != 20 || got[1].Width != 40 || got[1].Y != 20 {
		t.Errorf("the sheet is cut into %+v", got)
	}
}
