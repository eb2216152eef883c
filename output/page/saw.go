package page

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/register"
	"sawbook/nest"
	"sawbook/output/saw"
)

// sawPage is the saw view: the next sheet or setting, for a tablet at the saw.
const sawPage = "/saw.html"

// sawAnswer is how a cutting stands. Sheets and visits are left out where the browser has those of the newest revision, and
// ticks as well where it has the newest version.
type sawAnswer struct {
	Cuttings  []string                   `json:"cuttings"`
	Name      string                     `json:"name"`
	Version   int64                      `json:"version"`
	Revision  int                        `json:"revision"`
	BySetting bool                       `json:"bySetting"`
	Patterns  map[string]json.RawMessage `json:"patterns,omitempty"` // by revision and name, saw.Sheet
	Sheets    []sawSheet                 `json:"sheets,omitempty"`
	Visits    []sawVisit                 `json:"visits,omitempty"`
	Ticked    []string                   `json:"ticked"` // null where the browser has them
	Spoiled   []string                   `json:"spoiled"`
	Why       []string                   `json:"why"` // of each recut
}

type sawSheet struct {
	Key     string   `json:"key"`
	Title   string   `json:"title"`
	Pattern string   `json:"pattern"`
	Second  bool     `json:"second"` // a blank
	Items   []string `json:"items"`
}

// sawVisit is a position of fence or stop, with the sheets that are cut there.
type sawVisit struct {
	saw.Visit
	Sheets []sawPart `json:"sheets"`
}

type sawPart struct {
	Key   string   `json:"key"`
	Items []string `json:"items"`
}

func (s *Server) sawWork(w http.ResponseWriter, r *http.Request) {
	answer, err := s.atSaw(r.URL.Query())
	reply(w, answer, err)
}

// atSaw reads how the cutting that is asked for stands, the newest where none is named.
func (s *Server) atSaw(q url.Values) (answer *sawAnswer, err error) {
	err = s.withRegister(func(book *register.Register) error {
		names, err := book.Cuttings()
		if err != nil {
			return err
		}
		if len(names) == 0 {
			return &refusal{http.StatusNotFound, "nothing is on the saw yet: put a batch there with sawbook saw"}
		}
		name := q.Get("cutting")
		if name == "" {
			name = names[0]
		}
		c, err := book.Cutting(name)
		if err != nil {
			return err
		}
		answer, err = sawAnswerOf(c, q)
		if err == nil {
			answer.Cuttings = names
		}
		return err
	})
	return answer, err
}

func sawAnswerOf(c *register.Cutting, has url.Values) (*sawAnswer, error) {
	now := &c.Plans[len(c.Plans)-1]
	a := &sawAnswer{Name: c.Name, Version: c.Version, Revision: len(c.Plans) - 1, BySetting: c.Plans[0].BySetting}
	if has.Get("version") == strconv.FormatInt(a.Version, 10) && has.Get("cutting") == c.Name {
		return a, nil
	}
	a.Ticked, a.Spoiled, a.Why = []string{}, now.Spoiled, []string{}
	for _, p := range c.Plans[1:] {
		a.Why = append(a.Why, p.Why)
	}
	sheets := c.Sheets()
	for _, s := range sheets {
		for _, item := range s.Items() {
			if c.Ticked[item] {
				a.Ticked = append(a.Ticked, item)
			}
		}
	}
	if has.Get("revision") == strconv.Itoa(a.Revision) && has.Get("cutting") == c.Name {
		return a, nil
	}
	a.Patterns = map[string]json.RawMessage{}
	for _, s := range sheets {
		pattern := strconv.Itoa(s.Revision) + "/" + s.SawPattern.Name
		a.Patterns[pattern] = s.View
		a.Sheets = append(a.Sheets, sawSheet{s.Key, s.Title(), pattern, s.Takes != nil, s.Items()})
	}
	var err error
	a.Visits, err = sawVisits(c, sheets)
	return a, err
}

// sawVisits lists the runs by setting of all revisions, with the sheets that are still cut by each.
func sawVisits(c *register.Cutting, sheets []register.SawSheet) (all []sawVisit, err error) {
	for revision := range c.Plans {
		var visits []saw.Visit
		if text := c.Plans[revision].Visits; text != nil {
			if err := json.Unmarshal(text, &visits); err != nil {
				return nil, err
			}
		}
		for _, v := range visits {
			out := sawVisit{Visit: v}
			for _, of := range v.Cuts {
				for _, s := range sheets {
					if s.Revision != revision || s.SawPattern.Name != of.Pattern {
						continue
					}
					p := sawPart{Key: s.Key}
					for _, cut := range of.Items {
						p.Items = append(p.Items, s.CutItem(cut))
					}
					out.Sheets = append(out.Sheets, p)
				}
			}
			if out.Cuts = nil; len(out.Sheets) > 0 {
				all = append(all, out)
			}
		}
	}
	return all, nil
}

// withRegister opens the shop's register for one request, so that a register that was moved or rebuilt is met as it is.
func (s *Server) withRegister(do func(*register.Register) error) error {
	book, err := register.Open(s.root)
	if errors.Is(err, register.ErrNone) {
		return &refusal{http.StatusNotFound, "nothing is on the saw yet: put a batch there with sawbook saw"}
	} else if err != nil {
		return err
	}
	err = errors.Join(do(book), book.Close())
	if r := (*register.Refused)(nil); errors.As(err, &r) {
		return &refusal{http.StatusConflict, r.Text}
	}
	return err
}

// mostItems bounds what one request ticks.
const mostItems = 500

// sawForm reads a request that changes something at the saw, which carries an id of its own.
func sawForm(r *http.Request) (url.Values, error) {
	if err := r.ParseForm(); err != nil {
		return nil, &refusal{http.StatusRequestEntityTooLarge, "the request cannot be read: " + err.Error()}
	}
	switch id := r.PostForm.Get("id"); {
	case len(id) < 8 || len(id) > 64:
		return nil, &refusal{http.StatusUnprocessableEntity, "the request has no id of 8 to 64 letters, by which it is done once"}
	case r.PostForm.Get("cutting") == "":
		return nil, &refusal{http.StatusUnprocessableEntity, "the request does not say what is cut"}
	case len(r.PostForm["item"]) > mostItems:
		return nil, &refusal{http.StatusUnprocessableEntity, fmt.Sprintf("%d ticks at once, more than %d", len(r.PostForm["item"]), mostItems)}
	}
	return r.PostForm, nil
}

// from says who asks: what tells tablets apart.
func from(r *http.Request, reason string) register.By {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		host = r.RemoteAddr
	}
	return register.By{User: "saw view at " + host, Reason: reason, Time: time.Now()}
}

func (s *Server) sawTick(w http.ResponseWriter, r *http.Request) {
	answer, err := s.ticked(r)
	reply(w, answer, err)
}

func (s *Server) ticked(r *http.Request) (answer *sawAnswer, err error) {
	form, err := sawForm(r)
	if err != nil {
		return nil, err
	}
	t := register.Tick{ID: form.Get("id"), Cutting: form.Get("cutting"), Items: form["item"], Ticked: form.Get("ticked") == "yes"}
	switch {
	case len(t.Items) == 0:
		return nil, &refusal{http.StatusUnprocessableEntity, "nothing is ticked"}
	case !t.Ticked && form.Get("ticked") != "no":
		return nil, &refusal{http.StatusUnprocessableEntity, fmt.Sprintf("ticked is %q, neither yes nor no", form.Get("ticked"))}
	}
	err = s.withRegister(func(book *register.Register) error {
		c, err := book.Tick(from(r, "ticked"), t)
		if err == nil {
			answer, err = sawAnswerOf(c, form)
		}
		return err
	})
	return answer, err
}

func (s *Server) sawRecut(w http.ResponseWriter, r *http.Request) {
	answer, err := s.recut(r)
	reply(w, answer, err)
}

// mostRecuts is how often a recut is planned again where another tablet begins a sheet meanwhile.
const mostRecuts = 3

func (s *Server) recut(r *http.Request) (answer *sawAnswer, err error) {
	form, err := sawForm(r)
	if err != nil {
		return nil, err
	}
	spoilt := register.Spoilt{ID: form.Get("id"), Items: form["item"], Part: strings.TrimSpace(form.Get("part")), Sheet: form.Get("sheet")}
	if spoilt.Part != "" {
		if spoilt.Count, err = strconv.Atoi(form.Get("count")); err != nil {
			return nil, &refusal{http.StatusUnprocessableEntity, fmt.Sprintf("the count %q is no whole number", form.Get("count"))}
		}
	}
	err = s.withRegister(func(book *register.Register) error {
		return s.during(r.Context(), true, func(ctx context.Context, _ nest.Effort) error {
			err := register.ErrMoved
			for n := 0; n < mostRecuts && errors.Is(err, register.ErrMoved); n++ {
				answer, err = recutOnce(ctx, book, r, form, spoilt, &s.plans)
			}
			if errors.Is(err, register.ErrMoved) {
				err = &refusal{http.StatusConflict, err.Error() + ": try again"}
			}
			return err
		})
	})
	return answer, err
}

func recutOnce(ctx context.Context, book *register.Register, r *http.Request, form url.Values, spoilt register.Spoilt, plans *batch.Plans) (*sawAnswer, error) {
	c, err := book.Cutting(form.Get("cutting"))
	if err != nil {
		return nil, err
	}
	for _, p := range c.Plans {
		if p.ID == spoilt.ID { // it was done, and the answer was lost
			return sawAnswerOf(c, form)
		}
	}
	p, err := saw.Recut(ctx, c, spoilt, plans)
	if err != nil {
		return nil, err
	}
	if c, err = book.Recut(from(r, p.Why), c, p); err != nil {
		return nil, err
	}
	return sawAnswerOf(c, form)
}
