// Package sample makes jobs for the tests of what a person reads. Its sheets are cut up
// at random by edge-to-edge cuts, so every pattern can be cut.
package sample

import (
	"fmt"
	"math/rand/v2"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/nest"
)

const mm = measure.Millimetre

// Options steer a job.
type Options struct {
	Seed          uint64
	Style         measure.Style
	Patterns      int // at least 1
	Parts         int // most on a sheet, at least 1
	Length, Width measure.Length
	Trim, Kerf    measure.Length
	Least         measure.Length // smallest side of a part
	Names         []string       // of parts
	Crosscut      bool           // the first stage crosscuts
	Numbers       string         // format of part numbers; "" is "A-%03d"
	Shop          string         // "" is Saltmarsh Fit-Out
	Material      string         // "" is Birch plywood 12 mm
	Plain         bool           // the material's grain does not show
	Across        bool           // the sheet's face grain runs across its length
	Offcut        string         // label of the sheet where it is an offcut
	Times         int            // how often each pattern is cut; 0 is 1 to 3
}

// Names are part names as shops have them.
var Names = []string{"side left", "side right", "shelf", "bottom", "drawer front", "back", "tray 2 divider", "plinth", "door"}

// LongNames are names that fit hardly anywhere, in three alphabets, and awkward ones.
var LongNames = []string{
	"upper locker partition between wardrobe and galley, hatch side",
	"Schubkastenvorderstückverstärkungsleistenhalterung",
	"боковая стенка выдвижного ящика, левая", "πλαϊνό συρταριού αριστερό",
	"x", "<b>&amp;\"quoted\"</b>", "=SUM(A1:A9)", "",
}

// Metric is a full sheet of a metric shop.
func Metric(seed uint64, parts int) Options {
	return Options{Seed: seed, Patterns: 1, Parts: parts, Length: 2500 * mm, Width: 1250 * mm, Trim: 10 * mm, Kerf: 3200 * measure.Micrometre, Least: 40 * mm, Names: Names}
}

// Imperial is a full sheet of a shop that measures in inches.
func Imperial(seed uint64, parts int) Options {
	o := Metric(seed, parts)
	o.Style = measure.Style{Unit: measure.Inches, Denominator: 32}
	o.Length, o.Width, o.Trim, o.Kerf = 96*measure.Inch, 48*measure.Inch, measure.Inch/4, measure.Inch/8
	o.Least = measure.Inch * 3 / 2
	return o
}

// Job returns a job of one material.
func Job(o Options) *batch.Job {
	material := &shop.Material{ID: "birch-12", Name: "Birch plywood 12 mm", Nominal: 12 * mm, Thickness: 12 * mm, Density: 695, Grain: true, GoodFaces: 1}
	if o.Material != "" {
		material.Name = o.Material
	}
	material.Grain = !o.Plain
	sheet := shop.Sheet{Length: o.Length, Width: o.Width, Price: 7400, Stock: -1, GrainAcross: o.Across, Offcut: o.Offcut}
	material.Sheets = []shop.Sheet{sheet}
	s := &shop.Shop{
		Name: "Saltmarsh Fit-Out", Currency: "EUR", Style: o.Style, Materials: []*shop.Material{material},
		Saw: shop.Saw{Kerf: o.Kerf, Left: o.Trim, Right: o.Trim, Bottom: o.Trim, Top: o.Trim, KeepLong: 600 * mm, KeepShort: 300 * mm},
	}
	if o.Shop != "" {
		s.Name = o.Shop
	}
	m := batch.Material{Letter: "A", Of: material, Saw: s.Saw, Stock: material.Sheets, Plan: &nest.Plan{}}
	job := &batch.Job{Batch: &batch.Batch{Name: "spring", Shop: s}, Digest: "0badcafe", Written: []byte("{}\n")}
	random := rand.New(rand.NewPCG(o.Seed, 1))
	for n := range o.Patterns {
		c := cutter{options: o, random: random, material: &m}
		times := 1 + random.IntN(3)
		if o.Times > 0 {
			times = o.Times
		}
		c.pattern = batch.Pattern{Number: n + 1, Times: times, Sheet: sheet, Trim: [4]measure.Length{o.Trim, o.Trim, o.Trim, o.Trim}}
		c.cutUp()
		m.Patterns = append(m.Patterns, c.pattern)
		m.Plan.Sheets += c.pattern.Times
		job.Estimate.Total += shop.Money(7400 * c.pattern.Times)
	}
	m.Plan.Bound = nest.Bound{Sheets: m.Plan.Sheets, Cost: int64(job.Estimate.Total), Method: "area"}
	job.Pieces = m.Pieces
	job.Materials = []batch.Material{m}
	whole := batch.Area{Length: o.Length, Width: o.Width}.M2() * float64(m.Plan.Sheets)
	use := batch.SheetUse{Material: material, Sheets: m.Plan.Sheets, Bound: m.Plan.Sheets, Method: "area", Area: whole, Cost: job.Estimate.Total, Least: job.Estimate.Total}
	for _, p := range m.Patterns {
		use.Parts += p.Used * float64(p.Times)
	}
	job.Estimate.Sheets = []batch.SheetUse{use}
	job.Estimate.Lines = []batch.Line{{Group: "sheets", Item: material.ID, Name: material.Name, Need: float64(m.Plan.Sheets), Unit: "sheets", Buy: m.Plan.Sheets, Pack: "2500 x 1250 mm", Each: 7400, Cost: job.Estimate.Total}}
	return job
}

// cutter cuts up one sheet.
type cutter struct {
	options  Options
	random   *rand.Rand
	material *batch.Material
	pattern  batch.Pattern
}

// node is a piece to be divided.
type node struct {
	area  batch.Area
	stage int
	rip   bool // the cuts that will divide it
	parts int
}

func (c *cutter) cutUp() {
	o := c.options
	root := node{batch.Area{X: o.Trim, Y: o.Trim, Length: o.Length - 2*o.Trim, Width: o.Width - 2*o.Trim}, 1, !o.Crosscut, o.Parts}
	c.divide(root)
}

// divide cuts a piece into up to five, then each of those the other way.
func (c *cutter) divide(n node) {
	if n.parts <= 1 || n.stage > 6 {
		c.leaf(n.area)
		return
	}
	pieces := min(n.parts, 2+c.random.IntN(4))
	rest := n.area
	var children []node
	for i := range pieces {
		share := n.parts / pieces
		if i < n.parts%pieces {
			share++
		}
		extent := rest.Length
		if n.rip {
			extent = rest.Width
		}
		even := extent / measure.Length(pieces-i)
		size := (even/2 + measure.Length(c.random.Int64N(int64(even)))).Snap(mm / 2)
		if c.random.IntN(6) == 0 {
			size = c.options.Least
		}
		if i == pieces-1 || size < c.options.Least || extent-size-c.options.Kerf < c.options.Least {
			if i == 0 { // it cannot be divided this way
				c.leaf(n.area)
				return
			}
			break
		}
		freed, remains := split(rest, n.rip, size, c.options.Kerf)
		c.cut(rest, freed, remains, n.stage, n.rip, size)
		children = append(children, node{freed, n.stage + 1, !n.rip, share})
		rest = remains
	}
	for _, child := range children {
		c.divide(child)
	}
	c.divide(node{rest, n.stage + 1, !n.rip, n.parts / pieces})
}

func split(a batch.Area, rip bool, size, kerf measure.Length) (freed, remains batch.Area) {
	freed, remains = a, a
	if rip {
		freed.Width = size
		remains.Y, remains.Width = a.Y+size+kerf, a.Width-size-kerf
	} else {
		freed.Length = size
		remains.X, remains.Length = a.X+size+kerf, a.Length-size-kerf
	}
	return freed, remains
}

func (c *cutter) cut(from, freed, remains batch.Area, stage int, rip bool, size measure.Length) {
	cut := batch.Cut{Step: len(c.pattern.Cuts) + 1, Stage: stage, Rip: rip, Setting: size, From: from, Frees: freed, Remains: remains}
	if rip {
		cut.X1, cut.Y1, cut.X2, cut.Y2 = from.X, from.Y+size, from.X+from.Length, from.Y+size
	} else {
		cut.X1, cut.Y1, cut.X2, cut.Y2 = from.X+size, from.Y, from.X+size, from.Y+from.Width
	}
	c.pattern.Cuts = append(c.pattern.Cuts, cut)
}

// curlew is where the parts go.
var curlew = &cabinets.Interior{Layout: &cabinets.Layout{Name: "Curlew"}}

// leaf makes a piece a part, or now and then an offcut.
func (c *cutter) leaf(a batch.Area) {
	if c.random.IntN(8) == 0 {
		keep := min(a.Length, a.Width) >= 300*mm && max(a.Length, a.Width) >= 600*mm
		o := batch.Offcut{Area: a, Keep: keep}
		if keep {
			o.Label = fmt.Sprintf("A%d-%d", c.pattern.Number, len(c.pattern.Offcuts)+1)
		}
		c.pattern.Offcuts = append(c.pattern.Offcuts, o)
		return
	}
	numbers := c.options.Numbers
	if numbers == "" {
		numbers = "A-%03d"
	}
	number := len(c.material.Pieces) + 1
	p := &cabinets.Piece{
		ID: fmt.Sprintf(numbers, number), Name: c.options.Names[c.random.IntN(len(c.options.Names))], Material: c.material.Of,
		Role: "carcass", Length: a.Length, Width: a.Width, Turns: c.random.IntN(3) == 0, Mass: 0.1,
		Count: c.pattern.Times, Goes: []cabinets.Place{{Interior: curlew, Cabinet: "galley", Part: "drawer-1.side", Vehicles: c.pattern.Times}},
	}
	c.material.Pieces = append(c.material.Pieces, p)
	c.pattern.Parts = append(c.pattern.Parts, batch.Laid{Piece: p, X: a.X, Y: a.Y, Length: a.Length, Width: a.Width})
	c.pattern.Used += a.M2()
	for i := range c.pattern.Cuts {
		if c.pattern.Cuts[i].Frees == a {
			c.pattern.Cuts[i].FreesPart = p
		}
	}
}
