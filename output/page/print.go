package page

import (
	"bytes"
	"context"
	"errors"
	"io"
	"net/http"

	"sawbook/cabinets/batch"
	"sawbook/nest"
	"sawbook/output/book"
)

// print answers with the pages that the saw hand prints, as cut writes them.
func (s *Server) print(w http.ResponseWriter, r *http.Request) {
	page, err := s.printed(r)
	if err != nil {
		reply(w, nil, err)
		return
	}
	h := w.Header()
	// The page is one file, with its style and type in it; it has no script.
	h.Set("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'; font-src data:; img-src data:; frame-ancestors 'none'; base-uri 'none'")
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Cache-Control", "no-store")
	_, _ = w.Write(page) // who went away needs no answer
}

var errEnough = errors.New("the page is there")

func (s *Server) printed(r *http.Request) ([]byte, error) {
	st, o, err := s.asked(r)
	if err != nil {
		return nil, err
	}
	b, err := o.buildable(st)
	if err != nil {
		return nil, err
	}
	var job *batch.Job
	err = s.during(r.Context(), true, func(ctx context.Context, effort nest.Effort) (err error) {
		job, err = o.job(ctx, st.changes, b, batch.Options{Effort: effort, Plans: &s.plans})
		if err != nil {
			return err
		}
		return job.PlanLarger(ctx)
	})
	if err != nil {
		return nil, err
	}
	var page bytes.Buffer
	err = book.WriteFolder(job, func(name string, write func(io.Writer) error) error {
		if name != "index.html" {
			return nil
		}
		if err := write(&page); err != nil {
			return err
		}
		return errEnough
	})
	if !errors.Is(err, errEnough) {
		return nil, errors.Join(err, errors.New("there is no page to print"))
	}
	return page.Bytes(), nil
}
