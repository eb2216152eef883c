package batch

import (
	"bytes"
	"encoding/json"
	"fmt"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/nest"
	"sawbook/nest/verify"
)

// planFormat names the format of a written plan.
const planFormat = "sawbook-plan-1"

// statusWords say in a written plan how its search ended.
var statusWords = map[nest.Status]string{
	nest.Proven: "proven", nest.Finished: "finished", nest.Cancelled: "cancelled", nest.Short: "short of stock",
}

// mm is a length in a written plan: exact millimetres.
type mm measure.Length

func (l mm) MarshalJSON() ([]byte, error) { return []byte(measure.Length(l).Exact()), nil }

// amount is money in a written plan: a decimal with two places.
type amount shop.Money

func (a amount) MarshalJSON() ([]byte, error) {
	return fmt.Appendf(nil, "%d.%02d", a/100, a%100), nil
}

type writtenPlan struct {
	Format    string            `json:"format"`
	Currency  string            `json:"currency"`
	Seed      uint64            `json:"seed"`
	Effort    nest.Effort       `json:"effort"`
	Materials []writtenMaterial `json:"materials"`
}

type writtenMaterial struct {
	Material    string           `json:"material"`
	Kerf        mm               `json:"kerf"`
	Stages      int              `json:"stages"`
	Sheets      int              `json:"sheets"`
	LeastSheets int              `json:"least_sheets"`
	Cost        amount           `json:"cost"`
	LeastCost   amount           `json:"least_cost"`
	Status      string           `json:"status"`
	Bound       string           `json:"bound"`
	Demand      []writtenDemand  `json:"demand"`
	Patterns    []writtenPattern `json:"patterns"`
	Blanks      []writtenPattern `json:"blanks,omitempty"`
	Groups      []writtenGroup   `json:"groups,omitempty"`
}

type writtenDemand struct {
	Part   string `json:"part"`
	Length mm     `json:"length"`
	Width  mm     `json:"width"`
	Count  int    `json:"count"`
	Grain  string `json:"grain"`
}

type writtenPattern struct {
	Pattern int             `json:"pattern"`
	Blank   string          `json:"blank,omitempty"` // what is cut, where it is no sheet
	Layers  []writtenLayer  `json:"layers,omitempty"`
	Times   int             `json:"times"`
	Sheet   writtenSheet    `json:"sheet"`
	Parts   []writtenPart   `json:"parts"`
	Cuts    []writtenCut    `json:"cuts"`
	Offcuts []writtenOffcut `json:"offcuts"`
}

// writtenLayer is a piece that a blank is pressed from.
type writtenLayer struct {
	Material string `json:"material"`
	Part     string `json:"part"`
}

// writtenGroup is a matched group: the blank that is its strip, and its parts as they follow
// one another from the strip's corner.
type writtenGroup struct {
	Strip string   `json:"strip"`
	Count int      `json:"count"`
	Parts []string `json:"parts"`
}

type writtenSheet struct {
	Length mm          `json:"length"`
	Width  mm          `json:"width"`
	Grain  string      `json:"grain"`
	Trim   writtenTrim `json:"trim"`
	Price  amount      `json:"price"`
	Offcut string      `json:"offcut"`
}

type writtenTrim struct {
	Left   mm `json:"left"`
	Right  mm `json:"right"`
	Bottom mm `json:"bottom"`
	Top    mm `json:"top"`
}

type writtenPart struct {
	Part   string `json:"part"`
	X      mm     `json:"x"`
	Y      mm     `json:"y"`
	Length mm     `json:"length"`
	Width  mm     `json:"width"`
	Turned bool   `json:"turned"`
}

type writtenCut struct {
	Step  int    `json:"step"`
	Stage int    `json:"stage"`
	X1    mm     `json:"x1"`
	Y1    mm     `json:"y1"`
	X2    mm     `json:"x2"`
	Y2    mm     `json:"y2"`
	Tool  string `json:"tool,omitempty"` // other than the table saw
	Frees string `json:"frees"`
}

type writtenOffcut struct {
	X      mm     `json:"x"`
	Y      mm     `json:"y"`
	Length mm     `json:"length"`
	Width  mm     `json:"width"`
	Keep   bool   `json:"keep"`
	Label  string `json:"label,omitempty"`
}

// write renders the job's plans as JSON.
func (j *Job) write(o Options) ([]byte, error) {
	out := writtenPlan{Format: planFormat, Currency: j.Batch.Shop.Currency, Seed: o.Seed, Effort: o.Effort, Materials: []writtenMaterial{}}
	for i := range j.Materials {
		out.Materials = append(out.Materials, j.Materials[i].written())
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetIndent("", " ")
	if err := e.Encode(out); err != nil {
		return nil, fmt.Errorf("writing the plan: %w", err)
	}
	return b.Bytes(), nil
}

func (m *Material) written() writtenMaterial {
	out := writtenMaterial{
		Material: m.Of.ID, Kerf: mm(m.Saw.Kerf), Stages: m.Problem.Stages,
		Sheets: m.Plan.Sheets, LeastSheets: m.Plan.Bound.Sheets,
		Cost: amount(m.Plan.Cost), LeastCost: amount(m.Plan.Bound.Cost),
		Status: statusWords[m.Plan.Status], Bound: m.Plan.Bound.Method,
		Demand: []writtenDemand{}, Patterns: []writtenPattern{},
	}
	for _, d := range m.demand() {
		out.Demand = append(out.Demand, writtenDemand{d.piece.ID, mm(d.piece.Length), mm(d.piece.Width), d.count, grainWord(grainOf(d.piece))})
	}
	for _, p := range m.AllPatterns() {
		if p.Blank != nil {
			out.Blanks = append(out.Blanks, p.written())
			if p.Matched {
				out.Groups = append(out.Groups, writtenGroup{p.Blank.ID, p.Times, p.ids()})
			}
			continue
		}
		out.Patterns = append(out.Patterns, p.written())
	}
	return out
}

func (p *Pattern) written() writtenPattern {
	out := writtenPattern{
		Pattern: p.Number, Times: p.Times, Sheet: writeSheet(p.Sheet, p.Trim),
		Parts: []writtenPart{}, Cuts: []writtenCut{}, Offcuts: []writtenOffcut{},
	}
	if p.Blank != nil {
		out.Blank = p.Blank.ID
	}
	for _, l := range p.Layers {
		out.Layers = append(out.Layers, writtenLayer{l.Material.ID, l.ID})
	}
	for _, l := range p.Parts {
		out.Parts = append(out.Parts, writtenPart{l.Piece.ID, mm(l.X), mm(l.Y), mm(l.Length), mm(l.Width), l.Turned})
	}
	for _, c := range p.Cuts {
		w := writtenCut{Step: c.Step, Stage: c.Stage, X1: mm(c.X1), Y1: mm(c.Y1), X2: mm(c.X2), Y2: mm(c.Y2), Frees: c.freed()}
		if c.Track {
			w.Tool = verify.TrackSaw
		}
		out.Cuts = append(out.Cuts, w)
	}
	for _, o := range p.Offcuts {
		out.Offcuts = append(out.Offcuts, writtenOffcut{mm(o.X), mm(o.Y), mm(o.Length), mm(o.Width), o.Keep, o.Label})
	}
	return out
}

// freed names what a cut frees: a part's id, or the size of the piece.
func (c *Cut) freed() string {
	if c.FreesPart != nil {
		return c.FreesPart.ID
	}
	return c.Frees.Length.Exact() + " x " + c.Frees.Width.Exact()
}

func writeSheet(s shop.Sheet, trim [4]measure.Length) writtenSheet {
	return writtenSheet{
		Length: mm(s.Length), Width: mm(s.Width), Grain: sheetGrain(s),
		Trim:  writtenTrim{mm(trim[0]), mm(trim[1]), mm(trim[2]), mm(trim[3])},
		Price: amount(s.Price), Offcut: s.Offcut,
	}
}

func sheetGrain(s shop.Sheet) string {
	if s.GrainAcross {
		return "width"
	}
	return "length"
}

func grainWord(g nest.Grain) string {
	switch g {
	case nest.Along:
		return "length"
	case nest.Across:
		return "width"
	}
	return "any"
}
