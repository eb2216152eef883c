package diagram

import (
	"cmp"
	"slices"

	"sawbook/cabinets/batch"
	"sawbook/output/draw"
	"sawbook/output/table"
)

// A chain of dimensions runs along one edge of the sheet: along is measured on the
// edge, out away from it.
type chain struct {
	vertical bool // along the left edge; else along the lower one
	along    []link
	led      []link
}

// link is one dimension of a chain.
type link struct {
	from, to float64
	text     string
	at       float64 // where its text stands
}

const (
	chainLine   = 4.0 // mm from the sheet to the dimension line
	chainBeyond = 1.2 // how far extension lines go beyond it
	chainPitch  = 4.8 // least mm between texts beside one another
	chainLeader = 4.0 // length of the lines that lead texts out
	stroke      = 1.0 // half the extent of an oblique end stroke
)

// chain dimensions the first-stage strips along the edge they start from. Texts that
// fit stand along the line, the others are led out beyond them.
func (f *figure) chain() {
	strips, rip := f.firstStage()
	c := chain{vertical: rip}
	for _, s := range strips {
		c.add(f.link(s, rip))
	}
	least, most := f.sheet().x1, f.sheet().x2
	edge := f.sheet().y2
	if rip {
		least, most = f.sheet().y1, f.sheet().y2
		edge = f.sheet().x1
	}
	c.led = spread(c.led, least, most)
	for _, s := range c.shapes(edge) {
		f.add(s)
		f.outside = append(f.outside, extentOf(s).inset(-0.3))
	}
}

// firstStage returns the strips that the first-stage cuts free, and what remains where
// that is not waste.
func (f *figure) firstStage() (strips []batch.Area, rip bool) {
	var last *batch.Cut
	for i := range f.pattern.Cuts {
		if c := &f.pattern.Cuts[i]; c.Stage == 1 {
			strips = append(strips, c.Frees)
			last = c
		}
	}
	if last == nil {
		return nil, false
	}
	if r := last.Remains; r.Length > 0 && r.Width > 0 && table.WhatIs(f.pattern, r) != "waste" {
		strips = append(strips, r)
	}
	return strips, last.Rip
}

func (f *figure) link(s batch.Area, rip bool) link {
	b, l := f.boxOf(s.X, s.Y, s.Length, s.Width), s.Length
	k := link{from: b.x1, to: b.x2}
	if rip {
		k, l = link{from: b.y1, to: b.y2}, s.Width
	}
	k.text = f.style.Format(l)
	k.at = (k.from + k.to) / 2
	return k
}

// add puts a link among those whose text fits along the line between its end strokes, or
// among the others.
func (c *chain) add(k link) {
	if draw.TextWidth(k.text, dimensionSize, false)+2*(stroke+0.5) <= k.to-k.from {
		c.along = append(c.along, k)
	} else {
		c.led = append(c.led, k)
	}
}

// spread moves texts apart until each has its pitch, between least and most; where
// there are too many for that, the smallest strips go without (their settings stand in
// the table of cuts).
func spread(links []link, least, most float64) []link {
	slices.SortFunc(links, func(a, b link) int { return cmp.Compare(a.at, b.at) })
	for float64(len(links))*chainPitch > most-least {
		smallest := 0
		for i, k := range links {
			if k.to-k.from < links[smallest].to-links[smallest].from {
				smallest = i
			}
		}
		links = slices.Delete(links, smallest, smallest+1)
	}
	end := least
	for i := range links {
		links[i].at = max(links[i].at, end+chainPitch/2)
		end = links[i].at + chainPitch/2
	}
	end = most
	for i := len(links) - 1; i >= 0; i-- {
		links[i].at = min(links[i].at, end-chainPitch/2)
		end = links[i].at - chainPitch/2
	}
	return links
}

// shapes draws the chain beside an edge that lies at that coordinate.
func (c *chain) shapes(edge float64) []draw.Shape {
	var shapes []draw.Shape
	line := func(along1, out1, along2, out2 float64) {
		x1, y1 := c.point(along1, out1, edge)
		x2, y2 := c.point(along2, out2, edge)
		shapes = append(shapes, draw.Line{X1: x1, Y1: y1, X2: x2, Y2: y2, Pen: draw.Pen{Width: draw.Narrow}})
	}
	// Texts along the line stand above it: for the lower edge between edge and line, for
	// the left one beyond the line.
	at, led := chainLine, chainLine+chainLeader
	if len(c.along) > 0 {
		led += dimensionSize + 1
		if !c.vertical {
			at += dimensionSize + 1
		}
	}
	for _, k := range slices.Concat(c.along, c.led) {
		for _, end := range []float64{k.from, k.to} {
			line(end, 0.8, end, at+chainBeyond)
			line(end-stroke, at-stroke, end+stroke, at+stroke)
		}
		line(k.from, at, k.to, at)
	}
	for _, k := range c.along {
		out := at + 0.9
		if !c.vertical {
			out = at - 0.9
		}
		x, y := c.point(k.at, out, edge)
		shapes = append(shapes, draw.Text{X: x, Y: y, Size: dimensionSize, Text: k.text, Anchor: draw.Middle, Turned: c.vertical})
	}
	for _, k := range c.led {
		line((k.from+k.to)/2, at, k.at, led)
		x, y := c.point(k.at+dimensionSize/2, led+0.6, edge)
		shapes = append(shapes, draw.Text{X: x, Y: y, Size: dimensionSize, Text: k.text, Anchor: draw.End, Turned: !c.vertical})
	}
	return shapes
}

func (c *chain) point(along, out, edge float64) (x, y float64) {
	if c.vertical {
		return edge - out, along
	}
	return along, edge + out
}
