package verify

// use is what the blanks of a plan take of a piece that they are pressed from.
type use struct {
	material, part string
}

// pressing is what blanks need of one of their layers.
type pressing struct {
	use
	times         int64
	length, width int64  // of the largest blank
	grain         string // of the blanks that may not be turned, "" where all may
	by            Problem
}

// checkLayers holds the layers of a blank against those that its material is pressed
// from, and notes what they take of other materials.
func (c *checker) checkLayers(p *pattern, b Demand) {
	if len(p.Layers) != len(c.order.Layers) {
		c.faultf("it has %d layers, ordered %d", len(p.Layers), len(c.order.Layers))
		return
	}
	for i, l := range p.Layers {
		if l.Material != c.order.Layers[i] {
			c.faultf("layer %d is of %s, ordered %s", i+1, l.Material, c.order.Layers[i])
			continue
		}
		grain := b.Grain
		if grain == "any" {
			grain = ""
		}
		c.pressings = append(c.pressings, pressing{use{l.Material, l.Part}, int64(b.Count), b.Length, b.Width, grain,
			Problem{Material: c.material, Blank: c.blank}})
	}
}

// keepPlaced remembers what the material's plan delivers, for what is pressed from it.
func (c *checker) keepPlaced() {
	for part, d := range c.demand {
		d.Count = int(c.placed[part])
		c.delivered[use{c.material, part}] = d
	}
}

// checkPressed holds what all blanks take of other materials against what those deliver:
// enough of them, each as large as the blank, and with the blank's grain.
func (c *checker) checkPressed() {
	taken := map[use]int64{}
	for _, p := range c.pressings {
		c.material, c.pattern, c.blank = p.by.Material, 0, p.by.Blank
		d, ok := c.delivered[p.use]
		switch {
		case !ok:
			c.faultf("part %s of %s, which it is pressed from, is not ordered", p.part, p.material)
			continue
		case d.Length < p.length || d.Width < p.width:
			c.faultf("part %s of %s is %s, smaller than the blank of %s", p.part, p.material, area(d.Length, d.Width), area(p.length, p.width))
		case p.grain != "" && d.Grain != p.grain:
			c.faultf("part %s of %s has grain %q, the blank %q", p.part, p.material, d.Grain, p.grain)
		}
		taken[p.use] += p.times
		if n := taken[p.use]; n > int64(d.Count) {
			c.faultf("%d of part %s of %s are pressed, %d are cut", n, p.part, p.material, d.Count)
		}
	}
	c.material, c.blank = "", ""
}
