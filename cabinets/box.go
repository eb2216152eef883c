package cabinets

import (
	"cmp"
	"iter"
	"math"
	"slices"
	"strings"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
)

// Axis is one of x, y and z.
type Axis int

const (
	X Axis = iota
	Y
	Z
)

// String returns the axis' letter.
func (a Axis) String() string { return "xyz"[a : a+1] }

// Direction is one of the six directions along the axes; the zero value is none. They are
// named after the sides of a cabinet that look in them.
type Direction int

const (
	Left   = -Direction(X) - 1
	Right  = Direction(X) + 1
	Front  = -Direction(Y) - 1
	Back   = Direction(Y) + 1
	Bottom = -Direction(Z) - 1
	Top    = Direction(Z) + 1
)

// toward returns the direction along an axis, toward high or low coordinates.
func toward(a Axis, high bool) Direction {
	if high {
		return Direction(a) + 1
	}
	return -Direction(a) - 1
}

// Axis returns the axis along which the direction runs; undefined for none.
func (d Direction) Axis() Axis {
	if d < 0 {
		return Axis(-d - 1)
	}
	return Axis(d - 1)
}

// High reports whether the direction runs toward high coordinates.
func (d Direction) High() bool { return d > 0 }

// String returns "+x", "-x", ..., "" for none.
func (d Direction) String() string {
	switch {
	case d > 0:
		return "+" + d.Axis().String()
	case d < 0:
		return "-" + d.Axis().String()
	}
	return ""
}

// sideWords are what the sides of a cabinet are called, sideLooks the way they look.
var (
	sideLooks = []Direction{Left, Right, Front, Back, Bottom, Top}
	sideWords = []string{"left", "right", "front", "back", "bottom", "top"}
)

// Word returns what the side of a cabinet that looks in the direction is called, "" for
// none.
func (d Direction) Word() string {
	if at := slices.Index(sideLooks, d); at >= 0 {
		return sideWords[at]
	}
	return ""
}

// readSides reads a side or a list of sides.
func readSides(n source.Node) (list []Direction) {
	items := []source.Node{n}
	if !n.IsText() {
		items = n.Items()
	}
	for _, item := range items {
		if at := slices.Index(sideWords, item.OneOf(sideWords...)); at >= 0 {
			list = append(list, sideLooks[at])
		}
	}
	return list
}

// direction reads "+x", "-x", ...; none for anything else.
func direction(text string) Direction {
	if len(text) != 2 || !strings.Contains("+-", text[:1]) {
		return 0
	}
	axis := strings.IndexByte("xyz", text[1])
	if axis < 0 {
		return 0
	}
	return toward(Axis(axis), text[0] == '+')
}

// directions lists those along all axes but one.
func directions(but Axis) (list []string) {
	for a := X; a <= Z; a++ {
		if a != but {
			list = append(list, toward(a, false).String(), toward(a, true).String())
		}
	}
	return list
}

// same is how far apart two planes may lie to be one: far above what rounding a
// formula to the nanometre can do, far below what any saw can.
const same = measure.Micrometre

// Box is an axis-aligned box.
type Box struct{ Lo, Hi [3]measure.Length }

// Size returns the extent along an axis.
func (b Box) Size(a Axis) measure.Length { return b.Hi[a] - b.Lo[a] }

// common returns the box that two boxes share; its extents are below 0 where they are
// apart.
func (b Box) common(o Box) Box {
	for a := range b.Lo {
		b.Lo[a] = max(b.Lo[a], o.Lo[a])
		b.Hi[a] = min(b.Hi[a], o.Hi[a])
	}
	return b
}

// around returns the least box around two boxes.
func (b Box) around(o Box) Box {
	for a := range b.Lo {
		b.Lo[a] = min(b.Lo[a], o.Lo[a])
		b.Hi[a] = max(b.Hi[a], o.Hi[a])
	}
	return b
}

// holds reports whether o lies in b.
func (b Box) holds(o Box) bool {
	for a := range b.Lo {
		if o.Lo[a] < b.Lo[a]-same || o.Hi[a] > b.Hi[a]+same {
			return false
		}
	}
	return true
}

// square moves planes that lie closer than same onto one another, so that what follows
// may compare coordinates exactly.
func square(boxes []*Box) {
	planes := make([]*measure.Length, 0, 2*len(boxes))
	for a := range 3 {
		planes = planes[:0]
		for _, b := range boxes {
			planes = append(planes, &b.Lo[a], &b.Hi[a])
		}
		slices.SortFunc(planes, func(p, q *measure.Length) int { return cmp.Compare(*p, *q) })
		first := measure.Length(0)
		for i, p := range planes {
			if i == 0 || *p-first >= same {
				first = *p
			}
			*p = first
		}
	}
}

// meet is two boxes that overlap, touch, or face one another across a gap.
type meet struct {
	a, b int // indices; where the boxes do not overlap, a lies below b along axis
	// overlap reports that they share some volume; axis and gap are then undefined.
	overlap bool
	axis    Axis
	gap     measure.Length
	// shared is the common volume, or the patch and the gap between the faces.
	shared Box
}

// touches reports whether the boxes share a patch of a plane.
func (m meet) touches() bool { return !m.overlap && m.gap == 0 }

// meets finds all pairs of boxes that overlap, touch, or have opposed faces no further
// apart than reach.
func meets(boxes []Box, reach measure.Length) []meet { return slices.Collect(meeting(boxes, reach)) }

// meeting yields what meets finds. It sweeps along the axis on which the boxes are most
// spread out, so that it takes time in the number of pairs whose extents along it come near
// one another.
func meeting(boxes []Box, reach measure.Length) iter.Seq[meet] {
	along := spread(boxes)
	order := make([]int, len(boxes))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(i, j int) int {
		return cmp.Or(cmp.Compare(boxes[i].Lo[along], boxes[j].Lo[along]), cmp.Compare(i, j))
	})
	return func(yield func(meet) bool) {
		var open []int // boxes that the sweep may still reach
		for _, j := range order {
			kept := open[:0]
			for _, i := range open {
				if boxes[i].Hi[along]+reach+same < boxes[j].Lo[along] {
					continue
				}
				kept = append(kept, i)
				if m, ok := pair(boxes, i, j, reach); ok && !yield(m) {
					return
				}
			}
			open = append(kept, j)
		}
	}
}

// spread returns the axis along which the extents of boxes, added up, are shortest as a
// share of the extent of all.
func spread(boxes []Box) (best Axis) {
	least := math.Inf(1)
	for a := X; a <= Z; a++ {
		sum, lo, hi := 0.0, measure.Length(math.MaxInt64), measure.Length(math.MinInt64)
		for i := range boxes {
			sum += float64(boxes[i].Size(a))
			lo, hi = min(lo, boxes[i].Lo[a]), max(hi, boxes[i].Hi[a])
		}
		if share := sum / float64(hi-lo); share < least {
			best, least = a, share
		}
	}
	return best
}

// pair compares two boxes.
func pair(boxes []Box, i, j int, reach measure.Length) (m meet, ok bool) {
	shared := boxes[i].common(boxes[j])
	apart := Axis(-1)
	for a := X; a <= Z; a++ {
		extent := shared.Hi[a] - shared.Lo[a]
		if extent > same {
			continue
		}
		if apart >= 0 || -extent > reach+same {
			return meet{}, false
		}
		apart = a
	}
	if apart < 0 {
		return meet{a: i, b: j, overlap: true, shared: shared}, true
	}
	if boxes[i].Lo[apart] > boxes[j].Lo[apart] {
		i, j = j, i
	}
	shared.Lo[apart], shared.Hi[apart] = min(shared.Lo[apart], shared.Hi[apart]), max(shared.Lo[apart], shared.Hi[apart])
	gap := boxes[j].Lo[apart] - boxes[i].Hi[apart]
	if gap <= same {
		gap = 0
	}
	return meet{a: i, b: j, axis: apart, gap: gap, shared: shared}, true
}
