package batch

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"strings"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
	"sawbook/nest"

	"golang.org/x/sync/errgroup"
)

// Sweep is a layout worked out with sizes at several values.
type Sweep struct {
	Batch  *Batch // as it stands
	Effort nest.Effort
	Axes   []Axis
	Now    Trial   // with today's sizes
	Trials []Trial // by their values, that of the first axis first
	Steps  []Step  // of one axis alone: where sheets change, in number or price
	Heard  []Heard // of one axis alone: from where to where a finding holds
}

// Trial is a layout worked out with one choice of sizes.
type Trial struct {
	Values  []measure.Length // of each axis
	Job     *Job             // nil where it cannot be built
	Refused string           // why
}

// Step is a place where the sheets of a material change in number, or in price: as many, of
// other sizes.
type Step struct {
	Material    *shop.Material
	Below, From measure.Length // neighbours among the values tried
	Sheets      [2]int         // at Below and at From
	Costs       [2]shop.Money  // of these
	// Proven reports that the proven bounds show the change: no plan does without it.
	// Otherwise it may be the search's.
	Proven bool
}

// Heard is a finding and the values, from first to last, at which it is there.
type Heard struct {
	cabinets.Finding
	From, To measure.Length
}

// NoLayoutError is a batch where a layout or a cabinet is wanted.
type NoLayoutError struct{ Name string }

func (e *NoLayoutError) Error() string {
	return e.Name + " is a batch: sizes are those of a layout\nhint: name a layout, or a cabinet"
}

// Try works out what a layout or a cabinet comes to with sizes as Batch.Try does.
func (f *Folder) Try(ctx context.Context, what string, options, axes []string, o Options) (*Sweep, error) {
	b := f.Load(what, options)
	if err := f.faults.Err(); err != nil {
		return nil, err
	}
	if len(b.Vehicles) != 1 || b.Vehicles[0].Serial != "" {
		return nil, &NoLayoutError{b.Name}
	}
	return b.Try(ctx, axes, o)
}

// Try works out what a batch of one vehicle comes to with the given sizes, each written as
// ParseAxis reads it, in every combination. Where there is one size alone, it looks
// closer around each change. Values are worked out side by side; progress is told in values.
func (b *Batch) Try(ctx context.Context, axes []string, o Options) (*Sweep, error) {
	t := &trier{batch: b, options: o}
	t.options.Progress, t.options.Whole = nil, true
	if o.Plans == nil {
		t.options.Plans = &Plans{}
	}
	var faults []error
	combinations := 1
	for _, text := range axes {
		axis, err := ParseAxis(text, b.Vehicles[0].Interior, b.Shop.Style.Unit)
		faults = append(faults, err)
		if slices.ContainsFunc(t.axes, func(a Axis) bool { return a.Cabinet == axis.Cabinet && a.Size == axis.Size && a.Size != "" }) {
			faults = append(faults, fmt.Errorf("%s.%s is tried twice\nhint: give each size once", axis.Cabinet, axis.Size))
		}
		t.axes = append(t.axes, axis)
		if combinations *= max(1, len(axis.Values)); combinations > mostTried {
			faults = append(faults, fmt.Errorf("%d combinations, more than %d\nhint: take larger steps", combinations, mostTried))
			break
		}
	}
	if err := errors.Join(faults...); err != nil {
		return nil, err
	}
	return t.sweep(ctx, o.Progress)
}

type trier struct {
	batch   *Batch
	axes    []Axis
	options Options
}

func (t *trier) sweep(ctx context.Context, tell func(done, of int64)) (*Sweep, error) {
	s := &Sweep{Batch: t.batch, Effort: t.options.Effort, Axes: t.axes}
	now := make([]measure.Length, len(t.axes))
	for i, axis := range t.axes {
		now[i] = axis.Now
	}
	choices := append([][]measure.Length{now}, t.grid()...)
	trials, err := t.all(ctx, choices, tell)
	if err != nil {
		return nil, err
	}
	s.Now, s.Trials = trials[0], trials[1:]
	if len(t.axes) != 1 {
		return s, nil
	}
	closer, err := t.all(ctx, t.closer(s.Trials), tell)
	if err != nil {
		return nil, err
	}
	s.Trials = append(s.Trials, closer...)
	slices.SortFunc(s.Trials, func(a, b Trial) int { return cmp.Compare(a.Values[0], b.Values[0]) })
	s.Steps, s.Heard = steps(s.Trials), heard(s.Trials)
	return s, nil
}

// grid lists every combination of values, those of the last axis changing fastest.
func (t *trier) grid() [][]measure.Length {
	all := [][]measure.Length{nil}
	for _, axis := range t.axes {
		var longer [][]measure.Length
		for _, values := range all {
			for _, v := range axis.Values {
				longer = append(longer, append(slices.Clip(values), v))
			}
		}
		all = longer
	}
	return all
}

// closer lists the values between neighbours that differ.
func (t *trier) closer(trials []Trial) [][]measure.Length {
	var all [][]measure.Length
	finest := t.axes[0].Finest(t.batch.Shop.Style.Unit)
	for i := 1; i < len(trials); i++ {
		if trials[i-1].signature() == trials[i].signature() {
			continue
		}
		for v := trials[i-1].Values[0] + finest; v < trials[i].Values[0]; v += finest {
			all = append(all, []measure.Length{v})
		}
	}
	return all
}

// all works out trials, side by side.
func (t *trier) all(ctx context.Context, choices [][]measure.Length, tell func(done, of int64)) ([]Trial, error) {
	trials := make([]Trial, len(choices))
	g, ctx := errgroup.WithContext(ctx)
	g.SetLimit(runtime.GOMAXPROCS(0))
	progress := newTally(len(choices), tell)
	for i, values := range choices {
		g.Go(func() (err error) {
			trials[i], err = t.one(ctx, values)
			if count := progress.of(i); count != nil {
				count(1, 1, 0)
			}
			return err
		})
	}
	return trials, g.Wait()
}

// one works out one choice of sizes.
func (t *trier) one(ctx context.Context, values []measure.Length) (Trial, error) {
	changes := make([]cabinets.NamedChange, len(t.axes))
	for i, axis := range t.axes {
		changes[i] = cabinets.NamedChange{Name: axis.Cabinet, Change: cabinets.Change{Sizes: map[string]measure.Length{axis.Size: values[i]}}}
	}
	trial := Trial{Values: values}
	b, err := t.batch.Changed(changes...)
	if err != nil {
		trial.Refused = err.Error()
		return trial, nil
	}
	trial.Job, err = Work(ctx, b, t.options)
	return trial, err
}

// Changed returns a batch of one vehicle with some of its cabinets changed. The error says, in
// one line, why it cannot be built.
func (b *Batch) Changed(changes ...cabinets.NamedChange) (*Batch, error) {
	was := b.Vehicles[0].Interior
	faults := &source.Collector{}
	in := was.Try(faults, b.Shop, changes...)
	var refused source.Faults
	if errors.As(faults.Err(), &refused) {
		texts := make([]string, len(refused))
		for i, f := range refused {
			texts[i] = f.Text
		}
		return nil, errors.New(strings.Join(texts, "; "))
	}
	changed := *b
	changed.Vehicles = []Vehicle{{Interior: in}}
	return &changed, nil
}

// Sheets returns how the sheets of a material are used, zeros where there are none.
func (t *Trial) Sheets(m *shop.Material) SheetUse {
	if t.Job != nil {
		for _, u := range t.Job.Estimate.Sheets {
			if u.Material == m {
				return u
			}
		}
	}
	return SheetUse{Material: m}
}

// signature tells apart what is worth a closer look: sheets, cost, and which findings there are.
func (t *Trial) signature() string {
	if t.Job == nil {
		return t.Refused
	}
	var b strings.Builder
	fmt.Fprintln(&b, t.Job.Estimate.Total)
	for _, u := range t.Job.Estimate.Sheets {
		fmt.Fprintf(&b, "%s %d %d\n", u.Material.ID, u.Sheets, u.Cost)
	}
	for _, f := range t.Job.Findings {
		b.WriteString(kindOf(f) + "\n")
	}
	return b.String()
}

// kindOf is equal for findings that differ in their figures alone.
func kindOf(f cabinets.Finding) string {
	return string(f.Level) + " " + f.Where + " " + strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' || r == '.' || r == '/' || r == ' ' {
			return -1
		}
		return r
	}, f.Text)
}

// steps finds where the sheets of a material change between neighbours, in number or price.
func steps(trials []Trial) []Step {
	var all []Step
	for i := 1; i < len(trials); i++ {
		a, b := &trials[i-1], &trials[i]
		if a.Job == nil || b.Job == nil {
			continue
		}
		for _, m := range b.Job.Batch.Shop.Materials {
			before, after := a.Sheets(m), b.Sheets(m)
			if before.Sheets != after.Sheets || before.Cost != after.Cost {
				all = append(all, Step{Material: m, Below: a.Values[0], From: b.Values[0],
					Sheets: [2]int{before.Sheets, after.Sheets}, Costs: [2]shop.Money{before.Cost, after.Cost},
					Proven: after.dearerThan(before) || before.dearerThan(after)})
			}
		}
	}
	return all
}

// dearerThan reports whether no plan for u does with as few sheets as v has, or with as
// little money.
func (u SheetUse) dearerThan(v SheetUse) bool { return u.Bound > v.Sheets || u.Least > v.Cost }

// heard lists the findings with the values at which they are there, run by run.
func heard(trials []Trial) []Heard {
	var all []Heard
	open := map[string]int{} // index into all of what the last trial had
	for i := range trials {
		now := map[string]int{}
		for _, f := range trials[i].findings() {
			kind := kindOf(f)
			at, was := open[kind]
			if !was {
				at = len(all)
				all = append(all, Heard{Finding: f, From: trials[i].Values[0]})
			}
			all[at].To = trials[i].Values[0]
			now[kind] = at
		}
		open = now
	}
	return all
}

// findings are those of the job, or that there is none.
func (t *Trial) findings() []cabinets.Finding {
	if t.Job == nil {
		return []cabinets.Finding{{Level: cabinets.LevelError, Text: "it cannot be built: " + t.Refused}}
	}
	return t.Job.Findings
}

// Errors counts the findings of level error; what cannot be built has one.
func (t *Trial) Errors() (n int) {
	for _, f := range t.findings() {
		if f.Level == cabinets.LevelError {
			n++
		}
	}
	return n
}

// Pick is a trial worth a look, and why.
type Pick struct {
	*Trial
	Why string
}

// Picks are the trials without errors that a designer may want instead of today's sizes:
// the cheapest, and, where one size alone is tried, the smallest and the largest that cost no more than today's.
// Of equals, the one nearest to today's is picked.
func (s *Sweep) Picks() []Pick {
	var fair []*Trial
	for i := range s.Trials {
		if t := &s.Trials[i]; t.Job != nil && t.Errors() == 0 {
			fair = append(fair, t)
		}
	}
	if len(fair) == 0 {
		return nil
	}
	picks := []Pick{{slices.MinFunc(fair, func(a, b *Trial) int {
		return cmp.Or(cmp.Compare(a.Job.Estimate.Total, b.Job.Estimate.Total), cmp.Compare(s.far(a), s.far(b)))
	}), "costs least"}}
	if len(s.Axes) != 1 || s.Now.Job == nil {
		return picks
	}
	fair = slices.DeleteFunc(fair, func(t *Trial) bool { return t.Job.Estimate.Total > s.Now.Job.Estimate.Total })
	if len(fair) > 0 {
		picks = append(picks, Pick{fair[0], "is the smallest that costs no more than today's"},
			Pick{fair[len(fair)-1], "is the largest that costs no more than today's"})
	}
	return picks
}

// far is how far a trial's values are from today's, in all.
func (s *Sweep) far(t *Trial) (sum measure.Length) {
	for i, v := range t.Values {
		sum += max(v-s.Now.Values[i], s.Now.Values[i]-v)
	}
	return sum
}
