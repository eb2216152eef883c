// Package page is the local web page: a designer changes sizes of a layout and sees what
// becomes of it.
package page

import (
	"context"
	"embed"
	"encoding/json"
	"errors"
	"io/fs"
	"net"
	"net/http"
	"runtime/debug"
	"sync"
	"time"
	"unicode/utf8"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"

	"sawbook/cabinets/batch"
)

//go:embed static
var static embed.FS

// Server answers for one shop's folder.
type Server struct {
	root  string
	guard guard
	plans batch.Plans
	kept  kept
	// saving is held while a file is read, changed and written.
	saving sync.Mutex
	// What may be worked on at a time: first answers, settled ones, curves.
	quick, settling, curves chan struct{}
}

// New returns the page of the shop in a folder, as it is reached at an address. A token that
// is not "" has to be brought along once, as ?token=.
func New(root, address, token string) *Server {
	return &Server{
		root: root, guard: guard{address: address, token: token},
		quick: make(chan struct{}, 2), settling: make(chan struct{}, 1), curves: make(chan struct{}, 1),
	}
}

// How long work may take before it is given up.
const (
	quickTime  = 20 * time.Second
	settleTime = 2 * time.Minute
	curveTime  = 5 * time.Minute
)

// Handler returns what answers requests.
func (s *Server) Handler() http.Handler {
	files, err := fs.Sub(static, "static")
	if err != nil {
		panic(err) // they are embedded
	}
	mux := http.NewServeMux()
	mux.Handle("GET /", serveFiles(files))
	mux.HandleFunc("GET /type/{name}", serveType)
	mux.HandleFunc("GET /work", s.work)
	mux.HandleFunc("GET /curve", s.curve)
	mux.HandleFunc("GET /print", s.print)
	mux.HandleFunc("GET /saw/work", s.sawWork)
	mux.HandleFunc("POST /saw/tick", s.sawTick)
	mux.HandleFunc("POST /saw/recut", s.sawRecut)
	mux.HandleFunc("POST /save", s.save)
	mux.HandleFunc("POST /cabinet", s.saveCabinet)
	return s.guard.wrap(mux)
}

// garbage is the share of the memory in use, in percent, that a server lets lie before it
// collects it: there is little in use, and collecting it would cost a third of an answer's time.
const garbage = 400

// Serve answers requests until the context ends.
func (s *Server) Serve(ctx context.Context, l net.Listener) error {
	defer debug.SetGCPercent(debug.SetGCPercent(garbage))
	server := &http.Server{
		Handler:           s.Handler(),
		ReadHeaderTimeout: 5 * time.Second, ReadTimeout: 10 * time.Second, IdleTimeout: time.Minute,
		WriteTimeout:   curveTime + time.Minute,
		MaxHeaderBytes: mostHeader,
		BaseContext:    func(net.Listener) context.Context { return ctx },
	}
	ended := make(chan error, 1)
	go func() {
		<-ctx.Done()
		ended <- server.Close()
	}()
	if err := server.Serve(l); !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return <-ended
}

// turn waits until a kind of work may begin; end says that it is done.
func turn(ctx context.Context, of chan struct{}) (end func(), err error) {
	select {
	case of <- struct{}{}:
		return func() { <-of }, nil
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// serveFiles answers with a file. A path that no file can have, being no UTF-8, is not found: the library calls it a fault
// of the server.
func serveFiles(files fs.FS) http.Handler {
	server := http.FileServerFS(files)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !utf8.ValidString(r.URL.Path) {
			http.NotFound(w, r)
			return
		}
		server.ServeHTTP(w, r)
	})
}

func serveType(w http.ResponseWriter, r *http.Request) {
	faces := map[string][]byte{"regular.ttf": goregular.TTF, "bold.ttf": gobold.TTF}
	face, ok := faces[r.PathValue("name")]
	if !ok {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Content-Type", "font/ttf")
	w.Header().Set("Cache-Control", "max-age=86400")
	_, _ = w.Write(face) // who went away needs no answer
}

// refusal is an answer that says what is wrong.
type refusal struct {
	Code  int    `json:"-"`
	Fault string `json:"fault"`
}

func (r *refusal) Error() string { return r.Fault }

// refused says what is wrong, in words for who asked.
func refused(err error) *refusal {
	r := &refusal{Code: http.StatusInternalServerError, Fault: err.Error()}
	if errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		r = &refusal{Code: http.StatusServiceUnavailable, Fault: "it took too long, or another change came first"}
	}
	errors.As(err, &r)
	return r
}

// reply writes an answer, or why there is none.
func reply(w http.ResponseWriter, answer any, err error) {
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-store")
	if err != nil {
		refusal := refused(err)
		w.WriteHeader(refusal.Code)
		answer = refusal
	}
	_ = json.NewEncoder(w).Encode(answer) // who went away needs no answer
}
