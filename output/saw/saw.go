// Package saw says what a screen at the saw shows: a batch that was cut to paper, sheet by sheet and setting by setting, and
// what is planned anew where parts are spoiled.
package saw

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/register"
	"sawbook/cabinets/shop"
	"sawbook/output/table"
)

// Sheet is what is shown of one pattern. Places are in mm from the corner of the untrimmed sheet.
type Sheet struct {
	What      string    `json:"what"` // "sheet", "offcut 12-A2-1", "blank for 4 A-031"
	Material  string    `json:"material"`
	Thickness string    `json:"thickness"`
	Size      string    `json:"size"`
	Length    float64   `json:"length"`
	Width     float64   `json:"width"`
	Across    bool      `json:"across"` // the face grain runs across the length
	Parts     []Part    `json:"parts"`
	Cuts      []Cut     `json:"cuts"`
	Offcuts   []Offcut  `json:"offcuts"`
	Rows      []Row     `json:"rows"`
	Trim      []float64 `json:"trim"` // left, right, bottom, top
}

// Area is a rectangle: x, y and its extents.
type Area [4]float64

// Part is a part on a sheet.
type Part struct {
	Number string `json:"number"`
	Name   string `json:"name"`
	Size   string `json:"size"`
	Area   Area   `json:"area"`
}

// Cut is one cut: what it divides, and what it frees.
type Cut struct {
	Item  string     `json:"item"` // "c4"
	Line  [4]float64 `json:"line"` // x1, y1, x2, y2
	From  Area       `json:"from"`
	Frees Area       `json:"frees"`
}

// Offcut is what is left of a sheet; one without a label is waste.
type Offcut struct {
	Label string `json:"label"`
	Size  string `json:"size"`
	Area  Area   `json:"area"`
}

// Row is a run of cuts, in the words of the printed page.
type Row struct {
	Steps   string   `json:"steps"`
	Of      string   `json:"of"`
	Cut     string   `json:"cut"`
	Set     string   `json:"set"`
	Frees   string   `json:"frees"`
	Remains string   `json:"remains"`
	Items   []string `json:"items"`
}

// Visit is a position of fence or stop, and what is cut there.
type Visit struct {
	Number    int      `json:"number"`
	Cut       string   `json:"cut"`
	Set       string   `json:"set"`
	Thickness string   `json:"thickness"`
	Second    bool     `json:"second"` // cuts of blanks
	Cuts      []Visits `json:"cuts"`
}

// Visits are the cuts of one pattern in a visit.
type Visits struct {
	Pattern string   `json:"pattern"`
	Items   []string `json:"items"`
}

// Plan returns a job as it is put on the saw; shopFile is the text of its shop file.
func Plan(j *batch.Job, shopFile string, o batch.Options) (*register.CutPlan, error) {
	p := &register.CutPlan{Cutting: j.Batch.Name + "-" + j.Digest, Shop: shopFile, Style: j.Batch.Shop.Style, Effort: o.Effort, Seed: o.Seed, BySetting: j.Batch.Shop.Saw.BySetting, Stock: map[string][]shop.Sheet{}}
	for i := range j.Materials {
		m := &j.Materials[i]
		p.Stock[m.Of.ID] = m.Stock
		p.Needs = append(p.Needs, needs(m)...)
	}
	return p, fill(p, j)
}

// needs lists what a material's sheets give.
func needs(m *batch.Material) (all []register.Nested) {
	for _, piece := range m.Pieces {
		n := register.Nested{ID: piece.ID, Panel: register.PanelOf(piece), Across: piece.Across}
		for i := range m.Patterns {
			for _, l := range m.Patterns[i].Parts {
				if l.Piece == piece {
					n.Count += m.Patterns[i].Times
				}
			}
		}
		all = append(all, n)
	}
	return all
}

// fill adds the patterns and the run by setting of a job to a plan.
func fill(p *register.CutPlan, j *batch.Job) error {
	for i := range j.Materials {
		m := &j.Materials[i]
		for _, of := range m.AllPatterns() {
			pattern, err := patternOf(j, m, of)
			if err != nil {
				return err
			}
			p.Patterns = append(p.Patterns, *pattern)
		}
	}
	var err error
	p.Visits, err = json.Marshal(visits(j))
	return err
}

func patternOf(j *batch.Job, m *batch.Material, p *batch.Pattern) (*register.SawPattern, error) {
	v := sheetOf(j, m, p)
	out := &register.SawPattern{Name: m.NameOf(p), Material: m.Of.ID, Times: p.Times, Sheet: p.Sheet}
	for _, r := range v.Rows {
		out.Cuts = append(out.Cuts, r.Items...)
	}
	for _, l := range p.Parts {
		out.Parts = append(out.Parts, l.Piece.ID)
	}
	for _, o := range p.Offcuts {
		if o.Keep {
			out.Offcuts = append(out.Offcuts, register.SawOffcut{Label: o.Label, Length: o.Length, Width: o.Width})
		}
	}
	for _, l := range p.Layers {
		out.Takes = append(out.Takes, l.ID)
	}
	if p.Blank != nil && p.Layers == nil {
		out.Takes = []string{p.Blank.ID}
	}
	var err error
	out.View, err = json.Marshal(v)
	return out, err
}

func sheetOf(j *batch.Job, m *batch.Material, p *batch.Pattern) *Sheet {
	style := j.Batch.Shop.Style
	v := &Sheet{What: "sheet", Material: m.Of.Name, Thickness: style.WithUnit(m.Of.Thickness), Size: style.Size(p.Sheet.Length, p.Sheet.Width),
		Length: p.Sheet.Length.MM(), Width: p.Sheet.Width.MM(), Across: p.Sheet.GrainAcross, Rows: rows(j, p)}
	switch {
	case p.Blank != nil:
		v.What = p.Blank.Name
	case p.Sheet.Offcut != "":
		v.What = "offcut " + p.Sheet.Offcut
	}
	for _, t := range p.Trim {
		v.Trim = append(v.Trim, t.MM())
	}
	for _, l := range p.Parts {
		v.Parts = append(v.Parts, Part{l.Piece.ID, l.Piece.Name, style.Size(l.Piece.Length, l.Piece.Width), Area{l.X.MM(), l.Y.MM(), l.Length.MM(), l.Width.MM()}})
	}
	for i := range p.Cuts {
		c := &p.Cuts[i]
		v.Cuts = append(v.Cuts, Cut{item(c.Step), [4]float64{c.X1.MM(), c.Y1.MM(), c.X2.MM(), c.Y2.MM()}, areaOf(c.From), areaOf(c.Frees)})
	}
	for _, o := range p.Offcuts {
		v.Offcuts = append(v.Offcuts, Offcut{o.Label, style.Size(o.Length, o.Width), areaOf(o.Area)})
	}
	return v
}

func areaOf(a batch.Area) Area { return Area{a.X.MM(), a.Y.MM(), a.Length.MM(), a.Width.MM()} }

func item(step int) string { return fmt.Sprintf("c%d", step) }

// rows lists the runs of a pattern. What is trued after the track saw is ticked by the row that says so.
func rows(j *batch.Job, p *batch.Pattern) (all []Row) {
	t := table.CutRuns(j, p)
	for i, run := range table.AllRuns(p) {
		r := Row{Steps: t.Print(i, 0), Of: t.Print(i, 1), Cut: t.Print(i, 2), Frees: t.Print(i, 4), Remains: t.Print(i, 5)}
		switch {
		case run.First > 0:
			r.Set = j.Batch.Shop.Style.WithUnit(run.Setting)
			for step := run.First; step <= run.Last; step++ {
				r.Items = append(r.Items, item(step))
			}
		case len(all) == 0:
			r.Items = []string{item(0)}
			r.Set = table.OffWords(p.Trim, j.Batch.Shop.Style)
		default:
			r.Items = []string{fmt.Sprintf("t%d", i)}
		}
		all = append(all, r)
	}
	return all
}

// visits lists the run by setting, after what is trimmed and broken down.
func visits(j *batch.Job) []Visit {
	all := before(j)
	style := j.Batch.Shop.Style
	for _, v := range batch.Visits(j) {
		out := Visit{Number: v.Number, Cut: "crosscut", Set: style.WithUnit(v.Set), Thickness: style.WithUnit(v.Thickness), Second: v.Blanks}
		if v.Rip {
			out.Cut = "rip"
		}
		for _, c := range v.Cuts {
			name := c.Material.NameOf(c.Pattern)
			if n := len(out.Cuts); n == 0 || out.Cuts[n-1].Pattern != name {
				out.Cuts = append(out.Cuts, Visits{Pattern: name})
			}
			of := &out.Cuts[len(out.Cuts)-1]
			of.Items = append(of.Items, item(c.Step))
		}
		all = append(all, out)
	}
	return all
}

// before is what is done before any fence is set: sheets are trimmed, and heavy ones broken down with the track saw.
func before(j *batch.Job) []Visit {
	first := Visit{Cut: "trim and break down"}
	for i := range j.Materials {
		m := &j.Materials[i]
		for _, p := range m.AllPatterns() {
			var items []string
			for n, run := range table.AllRuns(p) {
				if run.Track || run.First == 0 {
					items = append(items, rows(j, p)[n].Items...)
				}
			}
			if len(items) > 0 {
				first.Cuts = append(first.Cuts, Visits{m.NameOf(p), items})
			}
		}
	}
	if len(first.Cuts) == 0 {
		return []Visit{}
	}
	return []Visit{first}
}

// Recut plans anew what is left of a cutting once something is spoilt. The new plan is verified like any other.
func Recut(ctx context.Context, c *register.Cutting, s register.Spoilt, plans *batch.Plans) (*register.CutPlan, error) {
	left, err := c.Left(s)
	if err != nil {
		return nil, err
	}
	p := &left.Plan
	var pieces []*cabinets.Piece
	for _, n := range left.Pieces {
		m := left.Shop.Material(n.Material)
		pieces = append(pieces, &cabinets.Piece{ID: n.ID, Name: n.Name, Material: m, Length: n.Length, Width: n.Width, Turns: n.Turns, Across: n.Across, Count: n.Count,
			Mass: m.SheetMass(n.Length.MM() / 1000 * (n.Width.MM() / 1000))})
	}
	if len(pieces) == 0 {
		return p, nil
	}
	stock := map[*shop.Material][]shop.Sheet{}
	for _, m := range left.Shop.Materials {
		stock[m] = left.Stock[m.ID]
	}
	j, err := batch.WorkPieces(ctx, fmt.Sprintf("%s-recut-%d", c.Name, len(c.Plans)), left.Shop, pieces, stock,
		batch.Options{Effort: c.Plans[0].Effort, Seed: c.Plans[0].Seed, Plans: plans})
	if err != nil {
		return nil, err
	}
	for i := range j.Materials {
		if m := &j.Materials[i]; m.Unplaced() > 0 {
			return nil, &register.Refused{Text: fmt.Sprintf("%d parts of %s find no sheet in the stock that %s was planned with: cut the batch anew once there is more", m.Unplaced(), m.Of.ID, c.Name)}
		}
	}
	blanks := slices.Clone(p.Patterns) // they come after the sheets that they are cut from
	p.Patterns = nil
	if err := fill(p, j); err != nil {
		return nil, err
	}
	p.Patterns = append(p.Patterns, blanks...)
	return p, ctx.Err()
}

// Sum counts what is done of a cutting.
type Sum struct {
	Sheets, Done, Cuts, Made, Parts, Off int
}

// Count counts sheets cut to their end, cuts made and parts off the saw.
func Count(c *register.Cutting) (n Sum) {
	for _, s := range c.Sheets() {
		n.Sheets++
		if c.Done(&s) {
			n.Done++
		}
		for _, cut := range s.Cuts {
			n.Cuts++
			if c.Ticked[s.CutItem(cut)] {
				n.Made++
			}
		}
		for i := range s.Parts {
			n.Parts++
			if c.Ticked[s.PartItem(i)] {
				n.Off++
			}
		}
	}
	return n
}
