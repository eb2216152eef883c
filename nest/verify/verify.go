// Package verify reads a plan as it was written and replays its cuts. It imports
// nothing of the solver, so that an error there cannot hide here.
//
// Lengths are int64 nanometres; money is int64 minor units, a hundredth of the
// currency. Neither ever passes through a float. The time is near linear in the size of
// the plan.
package verify

import (
	"fmt"
	"io"
	"maps"
	"math/big"
	"slices"
	"strconv"
)

// Format is the format that Plan reads.
const Format = "sawbook-plan-1"

// Demand is what a material's plan has to deliver.
type Demand struct {
	Part          string
	Length, Width int64 // nm
	Count         int
	Grain         string // "length", "width" or "any", against the sheet's face grain
}

// Limits are the rules that a material's plan must keep besides its demand.
type Limits struct {
	Kerf                        int64
	Stages                      int    // 0 is no limit
	First                       string // "", "rip" (along the sheet's length) or "crosscut"
	LongestRip, LongestCrosscut int64  // 0 is no limit; trim cuts do not count
	// SmallestLong and SmallestShort are the sides of the smallest part; a smaller one must
	// come from a blank.
	SmallestLong, SmallestShort int64
	// Track is the saw that breaks heavy sheets down, nil where there is none.
	Track *Track
	// Sheets are those that may be used; equal ones add up.
	Sheets []Stock
}

// TrackSaw is the tool of a break-down cut, where the table saw's cuts name none.
const TrackSaw = "track saw"

// Track is the rule for break-down cuts. A piece of more than Lift square nanometres, its
// trim taken off, is too heavy for the table saw: cuts of the first stage divide it with the
// track saw, but for those that only take off an edge. Such a cut takes Gap, which is its
// kerf and an allowance on either side; it starts and ends at the sheet's edges, and may be
// no longer than Rail. What the other sheets of its size lose less to the table saw's blade
// comes off at the right and the top, beyond the trim.
type Track struct {
	Gap, Rail int64
	Lift      float64
}

// Stock is a sheet that may be used.
type Stock struct {
	Length, Width            int64
	GrainAcross              bool
	Left, Right, Bottom, Top int64
	Price                    int64 // minor units
	Offcut                   string
	Count                    int // below 0 is no limit
}

// Order is what was asked of one material; Plan holds the written plan against it.
type Order struct {
	Material string
	Demand   []Demand
	Groups   []Group
	Limits   Limits
	// Layers are the materials that every blank is pressed from, one by one: the parts then
	// come of blanks alone. Empty where parts and blanks are cut from sheets.
	Layers []string
}

// Problem is one fault of a plan: where it is and what is wrong.
type Problem struct {
	Material string // "" where it concerns the whole plan
	Pattern  int    // 0 where it concerns a whole material
	Blank    string // whose second cuts it concerns, or ""
	Text     string
}

// String gives the problem on one line, with its place.
func (p Problem) String() string {
	switch {
	case p.Material == "":
		return p.Text
	case p.Blank != "":
		return fmt.Sprintf("%s, blank %s: %s", p.Material, p.Blank, p.Text)
	case p.Pattern == 0:
		return p.Material + ": " + p.Text
	}
	return fmt.Sprintf("%s, pattern %d: %s", p.Material, p.Pattern, p.Text)
}

// Plan reads a plan in the format sawbook-plan-1 from r, replays every cut of every
// pattern, and returns all that is wrong with it, judged by itself and by orders (one a
// material; parts that could not be placed are left out of them by the caller). The
// error is that of reading.
//
// A pattern's first faulty cut ends its replay, because all that follows depends on it.
func Plan(r io.Reader, orders []Order) ([]Problem, error) {
	written, err := read(r)
	if err != nil {
		return nil, err
	}
	c := &checker{delivered: map[use]Demand{}}
	if written.Format != Format {
		c.faultf("format is %q, not %q", written.Format, Format)
		return c.problems, nil
	}
	byName := map[string]*Order{}
	for i := range orders {
		o := &orders[i]
		c.material = o.Material
		if byName[o.Material] != nil {
			c.faultf("is ordered twice")
		}
		byName[o.Material] = o
	}
	met := map[string]bool{}
	for i := range written.Materials {
		m := &written.Materials[i]
		c.material, c.pattern = m.Material, 0
		switch {
		case met[m.Material]:
			c.faultf("is in the plan twice")
		case byName[m.Material] == nil:
			c.faultf("is in the plan but not ordered")
		default:
			c.checkMaterial(m, byName[m.Material])
			c.keepPlaced()
		}
		met[m.Material] = true
	}
	c.checkPressed()
	for i := range orders {
		c.material, c.pattern = orders[i].Material, 0
		if len(orders[i].Demand) > 0 && !met[c.material] {
			c.faultf("is ordered but not in the plan")
		}
	}
	return c.problems, nil
}

// checker gathers the problems of a plan; material and pattern say where it is.
type checker struct {
	problems []Problem
	material string
	pattern  int
	blank    string

	pressings []pressing // of all blanks so far
	delivered map[use]Demand

	// Of the material at hand.
	order       *Order
	demand      map[string]Demand // by part, counts of equal lines added up
	stock       map[Stock]int     // by sheet without its count; below 0 is no limit
	blanks      map[string]Demand // that the plan names: sizes, and how many are cut up
	placed      map[string]int64
	used        map[Stock]int64
	sheets      int64
	cost        *big.Int
	costUnknown bool // a pattern's sheet is not in stock
}

func (c *checker) faultf(format string, args ...any) {
	c.problems = append(c.problems, Problem{c.material, c.pattern, c.blank, fmt.Sprintf(format, args...)})
}

func (c *checker) checkMaterial(m *material, o *Order) {
	c.order = o
	c.placed, c.used = map[string]int64{}, map[Stock]int64{}
	c.sheets, c.cost, c.costUnknown = 0, new(big.Int), false
	if !c.readOrder() {
		return
	}
	if kerf, ok := c.length("kerf", m.Kerf); ok && kerf != o.Limits.Kerf {
		c.faultf("kerf is %s, ordered %s", mm(kerf), mm(o.Limits.Kerf))
	}
	if m.Stages != "" {
		if stages, ok := c.whole("stages", m.Stages); ok && stages != int64(o.Limits.Stages) {
			c.faultf("stages is %d, ordered %d", stages, o.Limits.Stages)
		}
	}
	c.checkDemand(m)
	c.readBlanks(m)
	numbers := map[int64]bool{}
	for i := range m.Patterns {
		c.pattern = i + 1
		if n, ok := c.whole("pattern", m.Patterns[i].Pattern); ok {
			c.pattern = int(n)
			if n < 1 {
				c.faultf("a pattern's number is 1 or more")
			}
			if numbers[n] {
				c.faultf("the number is taken by an earlier pattern")
			}
			numbers[n] = true
		}
		c.checkPattern(&m.Patterns[i])
	}
	for i := range m.Blanks {
		c.pattern, c.blank = 0, m.Blanks[i].Blank
		c.checkBlank(&m.Blanks[i])
	}
	c.pattern, c.blank = 0, ""
	c.checkGroups(m)
	c.checkCounts()
	c.checkTotals(m)
}

// readOrder gathers the order's demand and stock by what tells them apart, and reports
// whether the order makes sense.
func (c *checker) readOrder() bool {
	before := len(c.problems)
	inRange := func(what string, least int64, values ...int64) {
		for _, v := range values {
			if v < least || v > longest {
				c.faultf("the order's %s is %s", what, mm(v))
			}
		}
	}
	l := &c.order.Limits
	inRange("kerf", 0, l.Kerf)
	inRange("longest cut", 0, l.LongestRip, l.LongestCrosscut)
	inRange("smallest part", 0, l.SmallestLong, l.SmallestShort)
	if l.Track != nil {
		inRange("break-down cut", l.Kerf, l.Track.Gap)
		inRange("rail", 1, l.Track.Rail)
	}
	if l.Stages < 0 {
		c.faultf("the order's limit on stages is %d", l.Stages)
	}
	if l.First != "" && l.First != rip && l.First != crosscut {
		c.faultf("the order's first direction is %q, not %q or %q", l.First, rip, crosscut)
	}
	c.demand = make(map[string]Demand, len(c.order.Demand))
	for _, d := range c.order.Demand {
		inRange("part "+d.Part, 1, d.Length, d.Width)
		if d.Count < 0 || d.Count > most {
			c.faultf("the order asks for %d of part %s", d.Count, d.Part)
		}
		if d.Grain != "length" && d.Grain != "width" && d.Grain != "any" {
			c.faultf("the order's part %s has the grain %q", d.Part, d.Grain)
		}
		if e, ok := c.demand[d.Part]; ok {
			if e.Length != d.Length || e.Width != d.Width || e.Grain != d.Grain {
				c.faultf("the order has two parts %s that differ", d.Part)
			}
			d.Count += e.Count
		}
		c.demand[d.Part] = d
	}
	c.stock = make(map[Stock]int, len(l.Sheets))
	for _, s := range l.Sheets {
		inRange("sheet", 1, s.Length, s.Width)
		inRange("trim", 0, s.Left, s.Right, s.Bottom, s.Top)
		if s.Price < 0 || s.Price > dearest {
			c.faultf("the order's sheet %s costs %s", sheetName(s), cents(big.NewInt(s.Price)))
		}
		count := s.Count
		s.Count = 0
		if was := c.stock[s]; was < 0 || count < 0 || count > most {
			count = -1
		} else {
			count += was
		}
		c.stock[s] = count
	}
	return len(c.problems) == before
}

// checkDemand holds the demand that the plan states against the order.
func (c *checker) checkDemand(m *material) {
	if m.Demand == nil {
		return
	}
	stated := map[string]int64{}
	for i := range *m.Demand {
		d := &(*m.Demand)[i]
		name := d.Part
		length, ok1 := c.length("demand: part "+name+": length", d.Length)
		width, ok2 := c.length("demand: part "+name+": width", d.Width)
		count, ok3 := c.whole("demand: part "+name+": count", d.Count)
		if !ok1 || !ok2 || !ok3 {
			continue
		}
		o, ok := c.demand[name]
		if !ok {
			c.faultf("demand: part %s is not ordered", name)
			continue
		}
		if o.Length != length || o.Width != width {
			c.faultf("demand: part %s is %s, ordered %s", name, area(length, width), area(o.Length, o.Width))
		}
		if o.Grain != d.Grain {
			c.faultf("demand: part %s has grain %q, ordered %q", name, d.Grain, o.Grain)
		}
		stated[name] += count
	}
	c.eachPart(func(d Demand) {
		if stated[d.Part] != int64(d.Count) {
			c.faultf("demand: part %s is stated %d times, ordered %d", d.Part, stated[d.Part], d.Count)
		}
	})
}

// eachPart calls f once for each part of the order, in the order's sequence.
func (c *checker) eachPart(f func(Demand)) {
	met := make(map[string]bool, len(c.demand))
	for _, d := range c.order.Demand {
		if !met[d.Part] {
			met[d.Part] = true
			f(c.demand[d.Part])
		}
	}
}

// checkCounts holds what all patterns together place and use against demand and stock.
func (c *checker) checkCounts() {
	c.eachPart(func(d Demand) {
		if c.placed[d.Part] != int64(d.Count) {
			c.faultf("part %s is placed %d times, ordered %d", d.Part, c.placed[d.Part], d.Count)
		}
	})
	for _, name := range slices.Sorted(maps.Keys(c.blanks)) {
		if c.order.Layers != nil {
			if n := c.placed[name]; n > 0 {
				c.faultf("blank %s is cut from sheets %d times, yet it is pressed", name, n)
			}
			continue
		}
		if b := c.blanks[name]; c.placed[name] != int64(b.Count) {
			c.faultf("blank %s is cut from sheets %d times, cut up %d times", name, c.placed[name], b.Count)
		}
	}
	met := map[Stock]bool{}
	for _, s := range c.order.Limits.Sheets {
		s.Count = 0
		if have := c.stock[s]; !met[s] && have >= 0 && c.used[s] > int64(have) {
			c.faultf("sheet %s: %d used, %d in stock", sheetName(s), c.used[s], have)
		}
		met[s] = true
	}
}

// checkTotals holds the counts and costs that the plan states against its patterns.
func (c *checker) checkTotals(m *material) {
	if n, ok := c.whole("sheets", m.Sheets); ok && n != c.sheets {
		c.faultf("sheets is %d, the patterns use %d", n, c.sheets)
	}
	cost, costOK := c.money("cost", m.Cost)
	if costOK && !c.costUnknown && c.cost.Cmp(big.NewInt(cost)) != 0 {
		c.faultf("cost is %s, the sheets used cost %s", cents(big.NewInt(cost)), cents(c.cost))
	}
	if n, ok := c.whole("least_sheets", m.LeastSheets); ok {
		if n < 0 {
			c.faultf("least_sheets is %d", n)
		}
		if n > c.sheets {
			c.faultf("least_sheets is %d, yet the patterns use %d", n, c.sheets)
		}
	}
	if n, ok := c.money("least_cost", m.LeastCost); ok {
		least := big.NewInt(n)
		if n < 0 {
			c.faultf("least_cost is %s", cents(least))
		}
		if !c.costUnknown && least.Cmp(c.cost) > 0 {
			c.faultf("least_cost is %s, yet the sheets used cost %s", cents(least), cents(c.cost))
		}
		if m.Status == "proven" && costOK && n < cost {
			c.faultf("status is proven, yet cost is %s and least_cost %s", cents(big.NewInt(cost)), cents(least))
		}
	}
}

// mm writes a length in millimetres, exactly.
func mm(nm int64) string { return fixed(nm, 6, 0) }

func area(length, width int64) string { return mm(length) + " x " + mm(width) }

func point(x, y int64) string { return "(" + mm(x) + ", " + mm(y) + ")" }

// cents writes an amount of minor units with two decimals.
func cents(v *big.Int) string {
	if v.IsInt64() {
		return fixed(v.Int64(), 2, 2)
	}
	return new(big.Int).Quo(v, big.NewInt(100)).String()
}

// fixed writes v / 10^places with at least so many decimals.
func fixed(v int64, places, least int) string {
	s := strconv.FormatInt(v, 10)
	sign := ""
	if s[0] == '-' {
		sign, s = "-", s[1:]
	}
	for len(s) <= places {
		s = "0" + s
	}
	whole, rest := s[:len(s)-places], s[len(s)-places:]
	for len(rest) > least && rest[len(rest)-1] == '0' {
		rest = rest[:len(rest)-1]
	}
	if rest != "" {
		rest = "." + rest
	}
	return sign + whole + rest
}
