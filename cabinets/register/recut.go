package register

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
)

// Spoilt is what went wrong at the saw: parts by what they are ticked as, so many of a number, or a whole sheet.
type Spoilt struct {
	ID    string
	Items []string // "0/A1/2/p1"
	Part  string   // "D-014"
	Count int      // of Part
	Sheet string   // "0/A1/2"
}

// Left is what is to be planned anew.
type Left struct {
	Shop   *shop.Shop
	Pieces []Nested
	Stock  map[string][]shop.Sheet // by material
	// Plan is the new revision; only the patterns of sheets are missing.
	Plan CutPlan
}

// Left works out what is left to plan once something is spoilt. Sheets that are begun stay, with all that is still to be cut
// of them; a bad one gives nothing more than what is ticked. Everything else is left, from the stock that was planned with
// less the sheets that are begun, and from the offcuts of those that are cut to their end.
func (c *Cutting) Left(s Spoilt) (*Left, error) {
	now := c.now()
	l := &Left{Plan: CutPlan{Cutting: c.Name, ID: s.ID, Bad: slices.Clone(now.Bad), Spoiled: slices.Clone(now.Spoiled)}}
	var err error
	if l.Shop, err = c.shop(); err != nil {
		return nil, err
	}
	if err := c.spoil(s, &l.Plan); err != nil {
		return nil, err
	}
	for _, sheet := range c.Sheets() {
		if (sheet.Takes != nil || c.Begun(&sheet)) && !slices.Contains(l.Plan.Bad, sheet.Key) {
			l.Plan.Kept = append(l.Plan.Kept, sheet.Key)
		}
	}
	l.Pieces = c.pieces(&l.Plan)
	l.Stock, err = c.stock(l)
	return l, err
}

// shop reads the shop file that it was planned by.
func (c *Cutting) shop() (*shop.Shop, error) {
	faults := &source.Collector{}
	s := shop.Read(faults, source.Read(faults, "shop.yaml of "+c.Name, strings.NewReader(c.Plans[0].Shop)))
	if err := faults.Err(); err != nil {
		return nil, err
	}
	s.Style = c.Plans[0].Style
	return s, nil
}

// spoil adds what is spoilt to a new revision, and says why there is one.
func (c *Cutting) spoil(s Spoilt, p *CutPlan) error {
	switch {
	case s.Sheet != "":
		return c.spoilSheet(s.Sheet, p)
	case s.Part != "":
		items, err := c.spoiltOf(s.Part, s.Count)
		if err != nil {
			return err
		}
		p.Spoiled, p.Why = append(p.Spoiled, items...), fmt.Sprintf("%d of %s spoiled", s.Count, s.Part)
		return nil
	case len(s.Items) == 0:
		return refusedf("nothing is spoiled: name parts or a sheet")
	}
	numbers := map[string]string{}
	for _, sheet := range c.Sheets() {
		for i, part := range sheet.Parts {
			if c.Begun(&sheet) {
				numbers[sheet.PartItem(i)] = part
			}
		}
	}
	var words []string
	for _, item := range s.Items {
		switch part, begun := numbers[item]; {
		case slices.Contains(p.Spoiled, item):
			return refusedf("%s is cut again already", item)
		case !begun:
			return refusedf("%s lies on no sheet that is begun, so that it cannot be spoiled", item)
		default:
			p.Spoiled, words = append(p.Spoiled, item), append(words, part)
		}
	}
	p.Why = strings.Join(words, ", ") + " spoiled"
	return nil
}

func (c *Cutting) spoilSheet(key string, p *CutPlan) error {
	for _, s := range c.Sheets() {
		if s.Key != key {
			continue
		}
		p.Bad, p.Why = append(p.Bad, key), "sheet "+s.Title()+" is bad"
		for i := range s.Parts {
			if item := s.PartItem(i); s.Takes != nil && !c.Ticked[item] && !slices.Contains(p.Spoiled, item) {
				p.Spoiled = append(p.Spoiled, item) // a new blank makes up for them
			}
		}
		return nil
	}
	return refusedf("%q is no sheet that is cut in %s, or it was planned anew", key, c.Name)
}

// spoiltOf chooses so many of a part among those that are cut: ticked ones first, the newest sheets first.
func (c *Cutting) spoiltOf(part string, count int) (items []string, err error) {
	known := false
	var cut, begun []string
	sheets := c.Sheets()
	for _, s := range slices.Backward(sheets) {
		for i, id := range s.Parts {
			known = known || id == part
			switch item := s.PartItem(i); {
			case id != part || !c.Begun(&s) || slices.Contains(c.now().Spoiled, item):
			case c.Ticked[item]:
				cut = append(cut, item)
			default:
				begun = append(begun, item)
			}
		}
	}
	items = append(cut, begun...)
	switch {
	case !known:
		return nil, refusedf("%s has no part %q", c.Name, part)
	case count < 1:
		return nil, refusedf("%d of %s cannot be spoiled: count from 1", count, part)
	case count > len(items):
		return nil, refusedf("%d of %s cannot be spoiled: %d lie on sheets that are begun, and all others are still planned", count, part, len(items))
	}
	return items[:count], nil
}

// pieces returns what has to lie on new sheets, and adds the blanks that make up for spoiled ones to the plan.
func (c *Cutting) pieces(p *CutPlan) (left []Nested) {
	missing := map[string]int{}
	for _, n := range c.Plans[0].Needs {
		missing[n.ID] = n.Count
	}
	made := map[string]int{} // blanks by name, since the first recut
	patterns := map[string]*SawPattern{}
	lost := map[string]map[string]int{} // by blank and part
	for _, s := range c.everything() {
		if s.Takes == nil {
			if slices.Contains(p.Kept, s.Key) || slices.Contains(p.Bad, s.Key) {
				c.count(&s, p, missing)
			}
			continue
		}
		if patterns[s.Name] = s.SawPattern; s.Revision > 0 {
			made[s.Name]++
		}
		for i, part := range s.Parts {
			if slices.Contains(p.Spoiled, s.PartItem(i)) {
				if lost[s.Name] == nil {
					lost[s.Name] = map[string]int{}
				}
				lost[s.Name][part]++
			}
		}
	}
	for i := range c.Plans[0].Patterns {
		blank := patterns[c.Plans[0].Patterns[i].Name]
		if blank == nil {
			continue
		}
		more := replaced(blank, lost[blank.Name])
		for _, piece := range blank.Takes {
			missing[piece] += more
		}
		if more -= made[blank.Name]; more > 0 {
			again := *blank
			again.Times = more
			p.Patterns = append(p.Patterns, again)
		}
	}
	for _, n := range c.Plans[0].Needs {
		if n.Count = missing[n.ID]; n.Count > 0 {
			left = append(left, n)
		}
	}
	return left
}

// count takes what a sheet gives off what is missing.
func (c *Cutting) count(s *SawSheet, p *CutPlan, missing map[string]int) {
	bad := slices.Contains(p.Bad, s.Key)
	for i, part := range s.Parts {
		if item := s.PartItem(i); !slices.Contains(p.Spoiled, item) && (!bad || c.Ticked[item]) {
			missing[part]--
		}
	}
}

// replaced returns how many blanks make up for parts that are lost.
func replaced(blank *SawPattern, lost map[string]int) (blanks int) {
	each := map[string]int{}
	for _, part := range blank.Parts {
		each[part]++
	}
	for part, n := range lost {
		blanks = max(blanks, (n+each[part]-1)/each[part])
	}
	return blanks
}

// stock returns what there is to cut the left from, and an error where a material has run out.
func (c *Cutting) stock(l *Left) (map[string][]shop.Sheet, error) {
	stock := map[string][]shop.Sheet{}
	for material, sheets := range c.Plans[0].Stock {
		stock[material] = slices.Clone(sheets)
	}
	sheets := c.everything()
	for _, s := range sheets {
		if s.Takes == nil && slices.Contains(l.Plan.Kept, s.Key) && c.Done(&s) {
			stock[s.Material] = append(stock[s.Material], s.left(l.Shop)...)
		}
	}
	for _, s := range sheets {
		if s.Takes == nil && (slices.Contains(l.Plan.Kept, s.Key) || slices.Contains(l.Plan.Bad, s.Key)) {
			use(stock[s.Material], s.Sheet)
		}
	}
	for material := range stock {
		stock[material] = slices.DeleteFunc(stock[material], func(s shop.Sheet) bool { return s.Stock == 0 })
	}
	for _, p := range l.Pieces {
		if len(stock[p.Material]) == 0 {
			return nil, refusedf("no sheet of %s is left of the stock that %s was planned with: cut the batch anew once there are more", p.Material, c.Name)
		}
	}
	return stock, nil
}

// left lists the offcuts worth keeping of a sheet as something to cut from.
func (s *SawSheet) left(of *shop.Shop) (sheets []shop.Sheet) {
	for _, o := range s.Offcuts {
		price := float64(of.Rates.Offcut) * (o.Length.MM() / 1000 * (o.Width.MM() / 1000))
		sheets = append(sheets, shop.Sheet{Length: o.Length, Width: o.Width, GrainAcross: s.Sheet.GrainAcross, Price: shop.Money(math.Round(price)),
			Stock: 1, Offcut: s.offcut(o.Label), Trimmed: true})
	}
	return sheets
}

// offcut labels an offcut so that no other of the cutting is called so.
func (s *SawSheet) offcut(label string) string {
	label = copyLabel(label, s.Times, s.Copy)
	if s.Revision > 0 {
		label = fmt.Sprintf("recut %d %s", s.Revision, label)
	}
	return label
}

// copyLabel tells the offcuts of sheets apart that are cut alike.
func copyLabel(label string, times, copied int) string {
	if times > 1 {
		label = fmt.Sprintf("%s.%d", label, copied)
	}
	return label
}

// use takes one sheet off the stock where that is limited.
func use(stock []shop.Sheet, used shop.Sheet) {
	type kind struct {
		length, width measure.Length
		across        bool
		price         shop.Money
		offcut        string
	}
	of := func(s shop.Sheet) kind { return kind{s.Length, s.Width, s.GrainAcross, s.Price, s.Offcut} }
	for i := range stock {
		if of(stock[i]) == of(used) && stock[i].Stock != 0 {
			stock[i].Stock -= min(1, max(0, stock[i].Stock))
			return
		}
	}
}
