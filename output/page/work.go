package page

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"sync"

	"golang.org/x/sync/errgroup"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/nest"
	"sawbook/output/diagram"
	"sawbook/output/draw"
	"sawbook/output/table"
)

// answer is what the page shows of a state. It comes in lines, each with what is ready: the
// picture is there long before the figures, and each sheet by itself after them.
type answer struct {
	Form    *form    `json:"form,omitempty"`
	Faults  []fault  `json:"faults,omitempty"` // where there are some, nothing but the form is there
	Picture *picture `json:"picture,omitempty"`
	Figures *figures `json:"figures,omitempty"`
	Sheet   *sheet   `json:"sheet,omitempty"`
	Fault   string   `json:"fault,omitempty"` // why the rest is not there
}

// picture is SVG.
type picture struct {
	Cabinet string `json:"cabinet"`
	Plan    string `json:"plan"`
}

type figures struct {
	// Settled reports that these are the figures that cut prints; before, they are provisional.
	Settled  bool      `json:"settled"`
	Sums     *list     `json:"sums"` // as the file has it, and now
	Sheets   *list     `json:"sheets"`
	Lines    *list     `json:"lines"` // of the estimate that differ
	Parts    *list     `json:"parts"`
	Changed  *list     `json:"changed"`
	Findings []finding `json:"findings"`
	Patterns int       `json:"patterns"` // how many sheets follow
}

// finding is a finding as the page shows it.
type finding struct {
	Level string `json:"level"`
	Where string `json:"where"`
	Text  string `json:"text"`
	Do    string `json:"do"`
	Fresh bool   `json:"fresh"` // not there as the file has it
	Here  bool   `json:"here"`  // about the cabinet in hand
}

// list is a table as the page shows it.
type list struct {
	Title string     `json:"title"`
	Heads []string   `json:"heads"`
	Right []bool     `json:"right"`
	Rows  [][]string `json:"rows"`
}

func listOf(t *table.Table) *list {
	t = t.For(table.Page)
	l := &list{Title: t.Title}
	for _, c := range t.Columns {
		l.Heads, l.Right = append(l.Heads, c.Head), append(l.Right, c.Right())
	}
	for row := range t.Rows {
		cells := make([]string, len(t.Columns))
		for i := range cells {
			cells[i] = t.Print(row, i)
		}
		l.Rows = append(l.Rows, cells)
	}
	return l
}

// sums are the figures of a layout as its file has it, and now.
func sums(c *batch.Comparison) *list {
	l := listOf(table.Sums(c))
	l.Title = "Figures"
	l.Heads = []string{"", "in the file", "now", "difference"}
	l.Right = []bool{false, true, true, true}
	return l
}

// height is how high a drawing of some width may be, in mm: on a narrow screen, what else
// stands side by side stands below one another.
func height(width float64) float64 { return max(0.6*width, 190-0.4*width) }

// work answers with what a state comes to: at once at quick effort, with its picture, or settled
// where the request says settle=yes.
func (s *Server) work(w http.ResponseWriter, r *http.Request) {
	st, o, err := s.asked(r)
	if err != nil {
		reply(w, nil, err)
		return
	}
	names, err := s.layouts()
	if err != nil {
		reply(w, nil, err)
		return
	}
	b, faults := o.changed(st)
	lines := lineWriter{w: w, control: http.NewResponseController(w)}
	f := o.form(st, names, b)
	if len(faults) > 0 {
		lines.write(&answer{Form: f, Faults: faults})
		return
	}
	if err := s.fill(r, &lines, o, b, st, f); err != nil {
		lines.write(&answer{Fault: refused(err).Fault})
	}
}

// lineWriter writes an answer line by line.
type lineWriter struct {
	mu      sync.Mutex
	w       http.ResponseWriter
	control *http.ResponseController
}

func (l *lineWriter) write(a *answer) {
	var line bytes.Buffer
	e := json.NewEncoder(&line)
	e.SetEscapeHTML(false) // no page reads it as HTML, and SVG would grow by half
	if err := e.Encode(a); err != nil {
		panic(err) // plain structs
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	l.w.Header().Set("Content-Type", "application/x-ndjson")
	l.w.Header().Set("Cache-Control", "no-store")
	_, _ = l.w.Write(line.Bytes()) // who went away needs no answer
	_ = l.control.Flush()
}

// fill works a state out and draws it, side by side. Settled, it looks as it did before. Form and picture
// come together, since a browser would paint once more for the form alone, and before the figures, which
// the page shows in the form. A picture that nobody sees comes after what is seen.
func (s *Server) fill(r *http.Request, lines *lineWriter, o *opened, b *batch.Batch, st *state, f *form) error {
	var g errgroup.Group
	begun := make(chan struct{})
	g.Go(func() error {
		defer close(begun)
		switch {
		case settled(r):
		case st.pictureAway:
			lines.write(&answer{Form: f})
		default:
			lines.write(&answer{Form: f, Picture: pictureOf(b, st)})
		}
		return nil
	})
	g.Go(func() error {
		return s.during(r.Context(), settled(r), func(ctx context.Context, effort nest.Effort) error {
			now, f, err := o.figures(ctx, b, st, batch.Options{Effort: effort, Plans: &s.plans, Background: settled(r), Untidied: !settled(r)})
			if err != nil {
				return err
			}
			f.Settled = settled(r)
			<-begun
			lines.write(&answer{Figures: f})
			seen, others := sheets(ctx, now, st.inView, func(of *sheet) { lines.write(&answer{Sheet: of}) })
			if err := seen(); err != nil {
				return err
			}
			if st.pictureAway && !settled(r) {
				lines.write(&answer{Picture: pictureOf(b, st)})
			}
			return others()
		})
	})
	return g.Wait()
}

// figures works out a state and what it differs in from its file.
func (o *opened) figures(ctx context.Context, b *batch.Batch, st *state, search batch.Options) (*batch.Job, *figures, error) {
	now, err := o.job(ctx, st.changes, b, search)
	if err != nil {
		return nil, nil, err
	}
	before, err := o.job(ctx, nil, o.batch, search)
	if err != nil {
		return nil, nil, err
	}
	c := batch.CompareJobs(before, now)
	f := &figures{Sums: sums(c), Changed: listOf(table.Changed(c)), Lines: listOf(table.Differing(c)),
		Sheets: listOf(table.Sheets(now)), Parts: listOf(table.Parts(now)), Patterns: len(patterns(now))}
	for _, found := range now.Findings {
		f.Findings = append(f.Findings, finding{string(found.Level), found.Where, found.Text, found.Do,
			slices.Contains(c.Added, found), about(found, st.cabinet)})
	}
	return now, f, nil
}

// pictureOf draws the cabinet in hand and the interior.
func pictureOf(b *batch.Batch, st *state) *picture {
	in := b.Vehicles[0].Interior
	p := &picture{Plan: draw.Element(diagram.Plan(in, st.cabinet, b.Shop.Style, st.width, height(st.width)))}
	for i := range in.Cabinets {
		if c := &in.Cabinets[i]; c.Name == st.cabinet {
			k := diagram.Keyed{Title: c.Name, Solid: c.Solid, Style: b.Shop.Style}
			p.Cabinet = draw.Element(diagram.Views(k, st.width, height(st.width)))
		}
	}
	return p
}

// asked reads what a request is about. Where it names no layout or cabinet, it is the first.
func (s *Server) asked(r *http.Request) (*state, *opened, error) {
	st, err := readState(r.URL.Query())
	if err != nil {
		return nil, nil, err
	}
	if st.layout == "" {
		names, err := s.layouts()
		if err != nil || len(names) == 0 {
			return nil, nil, errors.Join(err, &refusal{http.StatusNotFound, "the shop has no layout yet: write one to layouts/"})
		}
		st.layout = names[0]
	}
	o, err := s.open(st.layout, st.options)
	if err != nil {
		return nil, nil, err
	}
	if o.placed(st.cabinet) == nil {
		st.cabinet = o.batch.Vehicles[0].Interior.Cabinets[0].Name
	}
	return st, o, nil
}

func settled(r *http.Request) bool { return r.URL.Query().Get("settle") != "" }

// during works within the bounds of first or settled answers.
func (s *Server) during(ctx context.Context, settled bool, work func(context.Context, nest.Effort) error) error {
	kind, limit, effort := s.quick, quickTime, nest.Quick
	if settled {
		kind, limit, effort = s.settling, settleTime, nest.Normal
	}
	ctx, cancel := context.WithTimeout(ctx, limit)
	defer cancel()
	end, err := turn(ctx, kind)
	if err != nil {
		return err
	}
	defer end()
	return work(ctx, effort)
}

// job works out what a layout comes to, b being it with some changes, and remembers that.
func (o *opened) job(ctx context.Context, changes []change, b *batch.Batch, search batch.Options) (*batch.Job, error) {
	key := fmt.Sprintf("%d %q", search.Effort, changes)
	if job := o.remembered(key); job != nil {
		return job, nil
	}
	search.Whole = true
	job, err := batch.Work(ctx, b, search)
	if err != nil {
		return nil, err
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	o.jobs = append(o.jobs, worked{key, job})
	if len(o.jobs) > mostJobs {
		o.jobs = slices.Delete(o.jobs, 0, 1)
	}
	return job, nil
}

// remembered returns a job of this layout, nil where it is not known.
func (o *opened) remembered(key string) *batch.Job {
	o.mu.Lock()
	defer o.mu.Unlock()
	i := slices.IndexFunc(o.jobs, func(w worked) bool { return w.key == key })
	if i < 0 {
		return nil
	}
	w := o.jobs[i]
	o.jobs = append(slices.Delete(o.jobs, i, i+1), w)
	return w.job
}

// about reports whether a finding concerns a cabinet.
func about(f cabinets.Finding, cabinet string) bool {
	for _, word := range strings.FieldsFunc(f.Where, func(r rune) bool { return strings.ContainsRune(":, ", r) }) {
		if word == cabinet {
			return true
		}
	}
	return false
}
