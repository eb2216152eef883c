package diagram

import "sawbook/output/draw"

// box is a rectangle on paper: x to the right, y downwards.
type box struct{ x1, y1, x2, y2 float64 }

func (b box) width() float64  { return b.x2 - b.x1 }
func (b box) height() float64 { return b.y2 - b.y1 }

// inset returns b made smaller by d on every side.
func (b box) inset(d float64) box { return box{b.x1 + d, b.y1 + d, b.x2 - d, b.y2 - d} }

// overlaps reports whether b and c share an area.
func (b box) overlaps(c box) bool {
	return b.x1 < c.x2 && c.x1 < b.x2 && b.y1 < c.y2 && c.y1 < b.y2
}

// holds reports whether c lies in b.
func (b box) holds(c box) bool {
	return b.x1 <= c.x1 && c.x2 <= b.x2 && b.y1 <= c.y1 && c.y2 <= b.y2
}

func overlapsAny(b box, others []box) bool {
	for _, o := range others {
		if b.overlaps(o) {
			return true
		}
	}
	return false
}

// clear returns the largest rectangles within b that leave the obstacles out, the most
// spacious first.
func (b box) clear(obstacles []box) []box {
	free := []box{b}
	for _, o := range obstacles {
		var next []box
		for _, f := range free {
			if !f.overlaps(o) {
				next = append(next, f)
				continue
			}
			for _, part := range []box{
				{f.x1, f.y1, o.x1, f.y2}, {o.x2, f.y1, f.x2, f.y2},
				{f.x1, f.y1, f.x2, o.y1}, {f.x1, o.y2, f.x2, f.y2},
			} {
				if part.width() > 0 && part.height() > 0 {
					next = append(next, part)
				}
			}
		}
		free = next
	}
	sortBySpace(free)
	return free
}

func boxOf(t draw.Text) box {
	x1, y1, x2, y2 := t.Box()
	return box{x1, y1, x2, y2}
}

// with returns the box that holds b and c.
func (b box) with(c box) box {
	return box{min(b.x1, c.x1), min(b.y1, c.y1), max(b.x2, c.x2), max(b.y2, c.y2)}
}
