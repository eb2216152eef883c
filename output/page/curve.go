package page

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"slices"
	"sync"
	"time"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/nest"
	"sawbook/output/diagram"
	"sawbook/output/draw"
	"sawbook/output/table"
)

// curvePoints is how many values of a size a curve tries at first.
const curvePoints = 41

// progress says how far a curve has come.
type progress struct {
	Done int64 `json:"done"`
	Of   int64 `json:"of"`
}

// curveAnswer is a curve, as SVG, and what it tells in words.
type curveAnswer struct {
	SVG   string   `json:"svg"`
	Words []string `json:"words"`
}

// curve sweeps the size in hand through its range, and tells by and by how far it is. It ends when the
// browser goes away.
func (s *Server) curve(w http.ResponseWriter, r *http.Request) {
	events := eventWriter{w: w, control: http.NewResponseController(w)}
	ctx, cancel := context.WithTimeout(r.Context(), curveTime)
	defer cancel()
	st, o, err := s.asked(r)
	if err != nil {
		reply(w, nil, err)
		return
	}
	b, err := o.buildable(st)
	if err != nil {
		reply(w, nil, err)
		return
	}
	axis, err := axisOf(o.placed(st.cabinet), st, b.Shop.Style)
	if err != nil {
		reply(w, nil, err)
		return
	}
	w.Header().Set("Content-Type", "text/event-stream")
	w.Header().Set("Cache-Control", "no-store")
	end, err := turn(ctx, s.curves)
	if err != nil {
		return // the browser went away
	}
	defer end()
	sweep, err := b.Try(ctx, []string{axis}, batch.Options{Effort: nest.Quick, Plans: &s.plans, Progress: events.tell})
	if err != nil {
		events.send("fault", refusal{Fault: err.Error()})
		return
	}
	events.send("curve", curveAnswer{draw.Element(diagram.Curve(sweep)), table.SweepWords(sweep)})
}

// axisOf writes the range of the size in hand as batch.ParseAxis reads it.
func axisOf(p *cabinets.Placed, st *state, style measure.Style) (string, error) {
	sizes := p.Solid.Definition.Sizes
	i := slices.IndexFunc(sizes, func(s cabinets.Size) bool { return s.Name == st.field })
	if i < 0 {
		return "", &refusal{http.StatusNotFound, fmt.Sprintf("%s has no size %q", st.cabinet, st.field)}
	}
	z := &sizes[i]
	if z.Whole {
		return fmt.Sprintf("%s.%s=%d..%d", st.cabinet, z.Name, z.Least, min(z.Most, z.Least+curvePoints)), nil
	}
	step := (z.Most - z.Least) / (curvePoints - 1)
	round := 5 * measure.Millimetre
	if style.Unit == measure.Inches {
		round = measure.Inch / 4
	}
	step = max(round, measure.Length(math.Ceil(float64(step)/float64(round)))*round)
	return fmt.Sprintf("%s.%s=%s mm..%s mm/%s mm", st.cabinet, z.Name, z.Least.Exact(), z.Most.Exact(), step.Exact()), nil
}

// eventWriter sends events to a browser.
type eventWriter struct {
	mu      sync.Mutex
	w       http.ResponseWriter
	control *http.ResponseController
	last    time.Time
}

// tell says how far the work is, ten times a second at most.
func (e *eventWriter) tell(done, of int64) {
	if time.Since(e.last) > 100*time.Millisecond {
		e.last = time.Now()
		e.send("progress", progress{done, of})
	}
}

func (e *eventWriter) send(name string, data any) {
	e.mu.Lock()
	defer e.mu.Unlock()
	text, err := json.Marshal(data)
	if err != nil {
		panic(err) // plain structs
	}
	fmt.Fprintf(e.w, "event: %s\ndata: %s\n\n", name, text)
	_ = e.control.Flush() // who went away needs no answer
}
