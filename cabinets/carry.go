package cabinets

import (
	"fmt"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
	"sawbook/cabinets/strength"
)

// CarryRule says what lies on a flat part, spread evenly, and how it spans.
type CarryRule struct {
	Mass  Formula  // kg
	Along Axis     // from one support to the other
	Span  *Formula // between the supports; nil is all of the part along it
}

// carries reads what lies on a part, nil where that is left out.
func (r *reader) carries(p *PartRule, n source.Node, names []string) *CarryRule {
	if n.IsZero() {
		return nil
	}
	if p.Thin != Z {
		n.Fault("only a part that lies flat carries something", "leave it out, or give z as one formula")
	}
	m := n.Map("mass", "along", "span")
	c := &CarryRule{Mass: r.number(m.Need("mass"), names...), Span: r.optional(m.Get("span"), names...)}
	if m.Need("along").OneOf("x", "y") == "y" {
		c.Along = Y
	}
	return c
}

// carried is a load on a part of an expansion.
type carried struct {
	part int // index into the solid's parts
	mass float64
	span measure.Length // 0 is all of the part
	rule *CarryRule
}

// carry notes what lies on the part that is made next.
func (in *instance) carry(c *CarryRule) {
	if c == nil {
		return
	}
	load := carried{part: len(in.solid.Parts), mass: in.number(&c.Mass), rule: c}
	if c.Span != nil {
		load.span = in.length(c.Span)
	}
	in.loads = append(in.loads, load)
}

// sags finds boards that sag further than they should under what lies on them.
func (e *expansion) sags() {
	for _, l := range e.loads {
		p := &e.solid.Parts[l.part]
		material := p.Material
		if material.Stiffness == (shop.Stiffness{}) {
			if !e.shop.Stiff() { // the shop does not ask
				return
			}
			e.finding(LevelNote, "", fmt.Sprintf("how far %s sags is not checked: the shop file tells no stiffness of it", material.ID), "add stiffness: {along: ..., across: ...} in N/mm2, from its data sheet")
			continue
		}
		board := strength.Board{Span: p.Box.Size(l.rule.Along).MM(), Width: p.Box.Size(X + Y - l.rule.Along).MM(), Thickness: material.Thickness.MM(), E: material.Stiffness.Across}
		if l.rule.Along == p.Long {
			board.E = material.Stiffness.Along
		}
		if l.span > 0 {
			board.Span = l.span.MM()
		}
		limit := strength.Shelf
		if of := e.shop.Limits.Sag; of > 0 {
			limit = strength.Limit{Of: of, Name: "the shop's limit"}
		}
		sag := float64(board.Sag(l.mass*strength.Gravity) * (1 + strength.Creep))
		if most := limit.Over(board.Span); sag > most {
			sags, limited := Beyond(sag, most)
			e.finding(LevelWarning, p.Name,
				fmt.Sprintf("sags %s mm in the long run under %.1f kg spread over %.0f mm, and %s mm is the limit (%s)", sags, l.mass, board.Span, limited, limit.Name),
				"shorten the span, take a thicker board, or let the grain run along it; sag at rest only, EN 1995-1-1 creep of dry plywood")
		}
	}
}
