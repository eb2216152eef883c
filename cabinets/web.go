package cabinets

import (
	"fmt"

	"sawbook/cabinets/measure"
)

// webs finds what is narrow beside cut-outs: it breaks when the part is carried. A cut-out that is open to an
// edge has no web there.
func (e *expansion) webs() {
	least := e.shop.Limits.Web
	if least == 0 {
		return
	}
	for i := range e.solid.Parts {
		if web, narrow := e.solid.Parts[i].web(); narrow && web < least {
			e.finding(LevelWarning, e.solid.Parts[i].Name, fmt.Sprintf("only %s mm stay beside a cut-out, and the shop wants %s mm", web.Exact(), least.Exact()),
				"move the cut-out or make it smaller, or glue a strip under the web")
		}
	}
}

// web returns the least that stays between a cut-out and an edge or another cut-out; there is
// none where there are no cut-outs, or all are open to an edge.
func (p *Part) web() (least measure.Length, has bool) {
	var cutouts []Box
	for i := range p.Features {
		if p.Features[i].Kind == Cutout {
			cutouts = append(cutouts, p.Features[i].Box)
		}
	}
	take := func(gap measure.Length) {
		if gap > same && (!has || gap < least) {
			least, has = gap, true
		}
	}
	whole := [2]measure.Length{p.Length, p.Width}
	for i, c := range cutouts {
		for a := X; a <= Y; a++ {
			take(c.Lo[a])
			take(whole[a] - c.Hi[a])
		}
		for _, d := range cutouts[:i] {
			dx, dy := max(c.Lo[X]-d.Hi[X], d.Lo[X]-c.Hi[X]), max(c.Lo[Y]-d.Hi[Y], d.Lo[Y]-c.Hi[Y])
			take(max(dx, dy))
		}
	}
	return least, has
}
