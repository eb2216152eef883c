package batch

import (
	"bytes"
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/nest"
	"sawbook/nest/verify"

	"golang.org/x/sync/errgroup"
)

// Options steer how a batch is worked out.
type Options struct {
	Effort nest.Effort
	Seed   uint64
	// Progress, where set, is told of steps done of all steps; calls do not overlap.
	Progress func(done, of int64)
	// Explain, where set, is told of every better plan and bound of a material; calls for
	// several materials overlap.
	Explain func(material string, m nest.Moment)
	// Plans, where set, remembers plans from one job to the next.
	Plans *Plans
	// Whole makes the end of the context an error; else the best that is there by then is taken,
	// which the same call does not give another time.
	Whole bool
	// Background takes one material after another: what else the process does need not wait behind
	// all of them for a core. On two cores it takes no longer, since a solve has as many lanes.
	Background bool
	// Untidied leaves plans as they were found, unless the shop counts something for settings and cuts: as many
	// sheets at the same cost, but not so easy to cut.
	Untidied bool
}

// group runs what may go on side by side.
func (o Options) group() *errgroup.Group {
	g := &errgroup.Group{}
	if o.Background {
		g.SetLimit(1)
	}
	return g
}

// ended returns the error of a context that has ended, where that is one.
func (o Options) ended(ctx context.Context) error {
	if !o.Whole {
		return nil
	}
	return ctx.Err()
}

// Work turns a batch into a job: pieces, plans, findings and an estimate. Every plan is
// read back and replayed before it is returned; one that fails is an error.
func Work(ctx context.Context, b *Batch, o Options) (*Job, error) {
	j := List(b)
	j.Materials = materials(b, j.Pieces)
	if err := j.plan(ctx, o); err != nil {
		return nil, err
	}
	j.pressed()
	var err error
	if j.Written, err = j.write(o); err != nil {
		return nil, err
	}
	var g errgroup.Group
	g.Go(j.verify)
	for i := range j.Materials {
		j.Findings = append(j.Findings, j.Materials[i].findings(b.Shop.Style)...)
	}
	j.Findings = cabinets.SortFindings(append(j.Findings, j.stockFindings()...))
	j.Estimate = j.estimate()
	j.Digest, err = j.digest()
	if err := errors.Join(g.Wait(), err); err != nil {
		return nil, err
	}
	return j, nil
}

// List returns a job that holds a batch's pieces and findings, without plans.
func List(b *Batch) *Job {
	return &Job{Batch: b, Pieces: b.pieces(), Findings: cabinets.SortFindings(b.findings())}
}

// materials groups pieces by material, in the shop's order. Layers of what is pressed go to
// the materials that they are cut from.
func materials(b *Batch, pieces []*cabinets.Piece) []Material {
	s := b.Shop
	all := make([]Material, len(s.Materials))
	for i, of := range s.Materials {
		m := &all[i]
		*m = Material{Letter: cabinets.Letter(i), Of: of, Saw: s.SawFor(of), Stock: b.StockOf(of)}
		for _, p := range pieces {
			if p.Material == of && p.SawnFrom == "" {
				m.Pieces = append(m.Pieces, p)
			}
		}
	}
	press(b, all)
	for i := range all {
		all[i].matched(s.Style)
		all[i].blanks()
		all[i].Problem = all[i].problem(s.Rates.Offcut)
	}
	return slices.DeleteFunc(all, func(m Material) bool { return len(m.Pieces)+len(m.Blanks) == 0 })
}

// squareMetre is one square metre in the problem's unit, square nanometres.
const squareMetre = int64(measure.Metre) * int64(measure.Metre)

func (m *Material) problem(offcut shop.Money) nest.Problem {
	saw := m.Saw
	p := nest.Problem{
		Kerf: int64(saw.Kerf), Stages: saw.Stages, First: firstCut(saw.First),
		LongestRip: int64(saw.LongestRip), LongestCrosscut: int64(saw.LongestCrosscut),
		Keep: nest.Keep{Long: int64(saw.KeepLong), Short: int64(saw.KeepShort), ValueNum: int64(offcut), ValueArea: squareMetre},
	}
	for _, piece := range m.Pieces {
		p.Parts = append(p.Parts, nest.Part{
			Length: int64(piece.Length), Width: int64(piece.Width), Count: piece.Count, Grain: grainOf(piece),
		})
	}
	for _, s := range m.Stock {
		trim := m.trim(s)
		p.Sheets = append(p.Sheets, nest.Sheet{
			Length: int64(s.Length), Width: int64(s.Width), GrainAcross: s.GrainAcross, Price: int64(s.Price), Stock: s.Stock,
			Left: int64(trim[0]), Right: int64(trim[1]), Bottom: int64(trim[2]), Top: int64(trim[3]),
		})
	}
	if saw.Track != nil {
		m.limitToRail(&p)
	}
	return p
}

func grainOf(p *cabinets.Piece) nest.Grain {
	switch {
	case p.Turns:
		return nest.Any
	case p.Across:
		return nest.Across
	}
	return nest.Along
}

func firstCut(word string) nest.Direction {
	switch word {
	case "rip":
		return nest.Rip
	case "crosscut":
		return nest.Crosscut
	}
	return nest.NoCut
}

// plan solves all materials, side by side.
func (j *Job) plan(ctx context.Context, o Options) error {
	progress := newTally(len(j.Materials), o.Progress)
	g := o.group()
	for i := range j.Materials {
		m := &j.Materials[i]
		g.Go(func() error {
			if err := o.ended(ctx); err != nil {
				return err
			}
			search := nest.Options{Effort: o.Effort, Seed: o.Seed, Progress: progress.of(i)}
			if o.Explain != nil {
				search.Explain = func(at nest.Moment) { o.Explain(m.Of.ID, at) }
			}
			if m.byParts() {
				m.Plan = &nest.Plan{Status: nest.Proven}
				return nil
			}
			if len(m.Problem.Sheets) == 0 {
				return fmt.Errorf("%s: there is no sheet to cut it from\nhint: receive what was delivered, count again, or list a size without stock in the shop file", m.Of.ID)
			}
			plan, err := o.Plans.solve(ctx, m.Problem, search)
			if err != nil {
				return fmt.Errorf("%s: %w", m.Of.ID, err)
			}
			m.Plan = plan
			if j.Batch.Shop.Rates.CountSaw() {
				search.Progress, search.Explain = nil, nil
				m.twoStages, err = m.simplify(ctx, o.Plans, search)
			}
			return err
		})
	}
	if err := g.Wait(); err != nil {
		return err
	}
	if err := o.ended(ctx); err != nil {
		return err
	}
	j.tidy(ctx, o)
	return o.ended(ctx)
}

// tally adds up the progress of several solves.
type tally struct {
	mu        sync.Mutex
	done, all []int64
	tell      func(done, of int64)
}

func newTally(n int, tell func(done, of int64)) *tally {
	return &tally{done: make([]int64, n), all: make([]int64, n), tell: tell}
}

func (t *tally) of(i int) func(done, of, cost int64) {
	if t.tell == nil {
		return nil
	}
	return func(done, of, _ int64) {
		t.mu.Lock()
		defer t.mu.Unlock()
		t.done[i], t.all[i] = done, of
		t.tell(sum(t.done), sum(t.all))
	}
}

func sum(xs []int64) (total int64) {
	for _, x := range xs {
		total += x
	}
	return total
}

// placed returns how many of a piece lie on sheets.
func (m *Material) placed(piece int) int {
	n := m.Problem.Parts[piece].Count - m.Plan.Unplaced[piece]
	for _, f := range m.Plan.Misfits {
		if f.Part == piece {
			return 0
		}
	}
	return n
}

// Unplaced returns how many parts lie on no sheet, every copy counted.
func (m *Material) Unplaced() (n int) {
	for i, left := range m.Plan.Unplaced {
		n += left * m.partsIn(m.Pieces[i])
	}
	for _, f := range m.Plan.Misfits {
		n += m.Pieces[f.Part].Count * m.partsIn(m.Pieces[f.Part])
	}
	for _, b := range m.Blanks {
		if b.Layers != nil {
			n += (b.Blank.Count - b.Times) * len(b.Parts)
		}
	}
	return n
}

// verify reads the written plan back and replays its cuts.
func (j *Job) verify() error {
	orders := make([]verify.Order, len(j.Materials))
	for i := range j.Materials {
		orders[i] = j.Materials[i].order()
	}
	problems, err := verify.Plan(bytes.NewReader(j.Written), orders)
	if err != nil {
		return fmt.Errorf("reading the plan back: %w", err)
	}
	errs := make([]error, len(problems))
	for i, p := range problems {
		errs[i] = fmt.Errorf("the plan does not stand up to its check: %s", p)
	}
	return errors.Join(errs...)
}

func (m *Material) order() verify.Order {
	o := verify.Order{Material: m.Of.ID, Groups: m.matchedGroups(), Layers: m.layerIDs(), Limits: verify.Limits{
		Kerf: int64(m.Saw.Kerf), Stages: m.Saw.Stages, First: m.Saw.First,
		LongestRip: int64(m.Saw.LongestRip), LongestCrosscut: int64(m.Saw.LongestCrosscut),
		Track: m.trackLimits(), SmallestLong: int64(m.Saw.LeastLength), SmallestShort: int64(m.Saw.LeastWidth),
	}}
	if m.byParts() { // a small part lies in a blank as large as the press needs it
		o.Limits.SmallestLong, o.Limits.SmallestShort = 0, 0
	}
	for _, d := range m.demand() {
		o.Demand = append(o.Demand, verify.Demand{
			Part: d.piece.ID, Length: int64(d.piece.Length), Width: int64(d.piece.Width), Count: d.count, Grain: grainWord(grainOf(d.piece)),
		})
	}
	for _, s := range m.Stock {
		trim := trimOf(m.Saw, s)
		o.Limits.Sheets = append(o.Limits.Sheets, verify.Stock{
			Length: int64(s.Length), Width: int64(s.Width), GrainAcross: s.GrainAcross,
			Left: int64(trim[0]), Right: int64(trim[1]), Bottom: int64(trim[2]), Top: int64(trim[3]),
			Price: int64(s.Price), Offcut: s.Offcut, Count: s.Stock,
		})
	}
	return o
}

// findings says what the plan could not do, and which parts are too small for the saw.
func (m *Material) findings(style measure.Style) []cabinets.Finding {
	var out []cabinets.Finding
	if m.Plan.Status == nest.Cancelled {
		out = append(out, cabinets.Finding{Level: cabinets.LevelWarning, Where: m.Of.ID,
			Text: "the search was stopped early: this is the best plan until then", Do: "let it run to its end for the plan that every run gives"})
	}
	for _, f := range m.Plan.Misfits {
		out = append(out, m.misfit(f, style))
	}
	for i, p := range m.Pieces {
		where := m.Of.ID + ": " + p.ID
		if n := m.Plan.Unplaced[i]; n > 0 {
			out = append(out, cabinets.Finding{Level: cabinets.LevelError, Where: where,
				Text: fmt.Sprintf("%d of %d %s found no sheet: stock has run out", n, p.Count, p.Name),
				Do:   "raise the stock in the shop file, or buy sheets"})
		}
	}
	return slices.Concat(out, m.singled, m.smallParts(style), m.tooHeavy(style))
}

// smallParts says which parts are too small for the saw, and where they come from.
func (m *Material) smallParts(style measure.Style) []cabinets.Finding {
	var out []cabinets.Finding
	var last *cabinets.Piece
	for i := range m.Blanks {
		p := m.Blanks[i].Parts[0].Piece
		if p == last || !m.Saw.TooSmall(p.Length, p.Width) {
			continue
		}
		last = p
		var blanks []string
		for _, b := range m.BlanksOf(p) {
			blanks = append(blanks, b.Blank.ID)
		}
		out = append(out, cabinets.Finding{Level: cabinets.LevelWarning, Where: m.Of.ID + ": " + p.ID,
			Text: fmt.Sprintf("%s is %s, below the saw's smallest part of %s: it comes from blank %s", p.Name, style.Size(p.Length, p.Width),
				style.Size(m.Saw.LeastLength, m.Saw.LeastWidth), strings.Join(blanks, ", ")),
			Do: "make the second cuts by what the blank keeps to hold it by, or cut the part by another machine"})
	}
	return out
}

func (m *Material) misfit(f nest.Misfit, style measure.Style) cabinets.Finding {
	p := m.Pieces[f.Part]
	named := p.Name
	if named == p.ID { // as in a plain list: Where has said it
		named = "the part"
	}
	return cabinets.Finding{Level: cabinets.LevelError, Where: m.Of.ID + ": " + p.ID,
		Text: fmt.Sprintf("%s (%s) fits no sheet: %s", named, style.Size(p.Length, p.Width), m.lacks(f, style)),
		Do:   m.remedy(p)}
}

// remedy says what to do about a part that fits no sheet: whether only its grain is in the way.
func (m *Material) remedy(p *cabinets.Piece) string {
	for i := range m.Problem.Sheets {
		s := &m.Problem.Sheets[i]
		long, wide := s.Length-s.Left-s.Right, s.Width-s.Bottom-s.Top
		if s.GrainAcross != p.Across {
			long, wide = wide, long
		}
		// The other way round than its grain asks for.
		if int64(p.Length) <= wide && int64(p.Width) <= long {
			return "only the grain is in the way: let the part be turned, or buy a sheet whose grain runs the other way"
		}
	}
	return "make the part smaller, or allow a larger sheet"
}

// lacks says which sheet comes nearest to hold what fits none, and what it lacks.
func (m *Material) lacks(f nest.Misfit, style measure.Style) string {
	s := m.Stock[f.Sheet]
	var lacks []string
	if f.Long > 0 {
		lacks = append(lacks, style.WithUnit(measure.Length(f.Long))+" along its length")
	}
	if f.Wide > 0 {
		lacks = append(lacks, style.WithUnit(measure.Length(f.Wide))+" across it")
	}
	if len(lacks) == 0 {
		return "no order of cuts within the saw's limits frees it"
	}
	return fmt.Sprintf("%s comes nearest, short of %s once trimmed", style.Size(s.Length, s.Width), strings.Join(lacks, " and "))
}

// digest is drawn from everything that the job's files are written from.
func (j *Job) digest() (string, error) {
	memory := j.Batch.Memory
	if memory == nil {
		memory = &Memory{}
	}
	all, err := json.Marshal(struct {
		Name, About string
		Shop        *shop.Shop
		Vehicles    []Vehicle
		Pieces      []*cabinets.Piece
		Findings    []cabinets.Finding
		Estimate    Estimate
		Written     []byte
		Newest      string           `json:",omitempty"`
		Left        map[string]int64 `json:",omitempty"`
	}{j.Batch.Name, j.Batch.About, j.Batch.Shop, j.Batch.Vehicles, j.Pieces, j.Findings, j.Estimate, j.Written, memory.Newest, memory.Left})
	if err != nil {
		return "", fmt.Errorf("working out the digest: %w", err)
	}
	return fmt.Sprintf("%x", sha256.Sum256(all))[:8], nil
}

// pieces are those of the whole batch, or of the plain list.
func (b *Batch) pieces() []*cabinets.Piece {
	if b.List != nil {
		return b.List
	}
	var parts []cabinets.Standing
	interiors, vehicles := b.Interiors()
	for i, in := range interiors {
		parts = append(parts, in.Parts(vehicles[i])...)
	}
	pieces := cabinets.Pieces(b.Shop, parts)
	if b.whole != nil {
		b.number(pieces)
	}
	return pieces
}

// findings are those of the batch's interiors, each told once: of one with measures of its own,
// what its layout does not have anyway.
func (b *Batch) findings() []cabinets.Finding {
	var out []cabinets.Finding
	told := map[cabinets.Finding]bool{}
	interiors, _ := b.Interiors()
	for _, in := range interiors {
		for _, f := range in.Findings {
			told[f] = true
		}
	}
	for _, in := range interiors {
		for _, f := range in.Findings {
			usual := f
			usual.Where = in.Layout.Name + strings.TrimPrefix(f.Where, in.Layout.Title())
			if usual == f || !told[usual] {
				out = append(out, f)
			}
		}
	}
	if b.Memory != nil {
		out = append(out, b.Memory.Findings...)
	}
	return out
}

// Interiors lists the batch's interiors, each once, in the order they first come, and how
// many vehicles have each.
func (b *Batch) Interiors() (all []*cabinets.Interior, vehicles []int) {
	index := map[*cabinets.Interior]int{}
	for _, v := range b.Vehicles {
		i, met := index[v.Interior]
		if !met {
			i = len(all)
			index[v.Interior] = i
			all, vehicles = append(all, v.Interior), append(vehicles, 0)
		}
		vehicles[i]++
	}
	return all, vehicles
}

// Worst returns the gravest level among the findings, "" where there are none.
func (j *Job) Worst() cabinets.Level {
	rank := map[cabinets.Level]int{cabinets.LevelNote: 1, cabinets.LevelWarning: 2, cabinets.LevelError: 3}
	if len(j.Findings) == 0 {
		return ""
	}
	return slices.MaxFunc(j.Findings, func(a, b cabinets.Finding) int { return cmp.Compare(rank[a.Level], rank[b.Level]) }).Level
}
