package main

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

// asked are requests that a browser sends to the page one after another, each of which changes the disk: method, address, form.
var asked = map[string][]string{
	"save": {
		"POST /save layout=van&cabinet=locker&size.locker.width=610&digest={digest}",
		"POST /save layout=van&cabinet=locker&size.locker.height=880&digest={digest}",
		"POST /save layout=van&cabinet=locker&size.locker.width=620&size.locker.shelves=3&digest={digest}",
	},
	"save as": {
		"POST /cabinet layout=van&cabinet=rack&size.rack.width=640&name=wide-rack",
		"POST /cabinet layout=van&cabinet=locker&size.locker.depth=380&name=slim-locker",
		"POST /cabinet layout=van&cabinet=rack&size.rack.width=700&name=wider-rack",
	},
	"tick": {
		"POST /saw/tick id=tick-one&cutting={cut}&ticked=yes&item=0/A1/1/c0",
		"POST /saw/tick id=tick-two&cutting={cut}&ticked=yes&item=0/A1/1/c1&item=0/A1/1/c2",
		"POST /saw/tick id=tick-three&cutting={cut}&ticked=no&item=0/A1/1/c2",
		"POST /saw/tick id=tick-four&cutting={cut}&ticked=yes&item=0/A1/1/c2&item=0/A1/1/c3",
		"POST /saw/tick id=tick-five&cutting={cut}&ticked=yes&item=0/A1/1/p1",
		"POST /saw/tick id=tick-six&cutting={cut}&ticked=yes&item=0/B1/1/c0",
	},
}

// TestPageKilled kills the page as it enters calls that write, flush or rename while a browser saves a layout, saves cabinets
// under new names, and ticks at the saw. What was answered is there, and at most the request in flight besides: every file is
// whole, every tick is booked. The page that is started next does the rest when it is asked all of it once more, each once,
// whatever else the one before has left.
func TestPageKilled(t *testing.T) {
	needTracer(t)
	times := 40
	if testing.Short() {
		times /= 8
	}
	for name, requests := range asked {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			ready := change{start: "stock receive birch-12 4 --shop shop"}.ready(t)
			succeed(t, ready, "saw shop/batches/one.yaml --effort quick --out out")
			stages, places := answeredWhole(t, ready, requests)
			random := rand.New(rand.NewPCG(5, 6))
			hits, between, over := 0, 0, 0
			for try := 0; hits < times; try++ {
				if try > 10*times {
					t.Fatalf("of %d runs only %d were killed", try, hits)
				}
				at := places[random.IntN(len(places))]
				from := random.IntN(len(requests)) // most kills meet the first request that is sent
				requests, states := requests[from:], stages[from:]
				work := copyOf(t, states[0].folder)
				s := serve(t, work, requests, nil, "strace", "-D", "-f", "-o", os.DevNull, "-e", "trace="+at.call, "-e", fmt.Sprintf("inject=%s:signal=KILL:when=%d", at.call, at.n))
				left := shopState(t, work)
				done := s.answers
				if flying := min(done+1, len(requests)); !cmp.Equal(left, states[done].state) && !cmp.Equal(left, states[flying].state) {
					t.Errorf("%s: of the %d answered requests there is %s", at, done, cmp.Diff(states[done].state, left))
				} else if !cmp.Equal(left, states[done].state) {
					over++
				}
				if s.killed && s.listened {
					hits++
					if done > 0 && done < len(requests) {
						between++
					}
				}
				next := serve(t, work, requests, nil)
				for _, fault := range []string{s.fault, next.fault} {
					if fault != "" && !strings.Contains(fault, "already") { // a cabinet of that name was saved
						t.Errorf("%s: the answer is %s", at, fault)
					}
				}
				if again := shopState(t, work); !cmp.Equal(again, states[len(requests)].state) {
					t.Errorf("%s: asked all once more, the page leaves %s", at, cmp.Diff(states[len(requests)].state, again))
				}
				if err := os.RemoveAll(work); err != nil {
					t.Fatal(err)
				}
			}
			t.Logf("%d kills at %d places, %d of them between two answers; %d requests were done that nobody was answered", hits, len(places), between, over)
		})
	}
}

// stage is how a shop stands between two requests.
type stage struct {
	folder string // a copy
	state  map[string]string
}

// answeredWhole has all requests answered, and returns how the shop stands before, and after each, and the calls that the
// page makes from its first request on.
func answeredWhole(t *testing.T, ready string, requests []string) (stages []stage, places []place) {
	t.Helper()
	work := copyOf(t, ready)
	stages = append(stages, stage{ready, shopState(t, ready)})
	log := filepath.Join(t.TempDir(), "log")
	started := 0
	s := serve(t, work, requests, func(before bool) {
		if before && started == 0 {
			started = len(read(t, log))
		} else if !before {
			stages = append(stages, stage{copyOf(t, work), shopState(t, work)})
		}
	}, "strace", "-D", "-f", "-o", log, "-e", "trace="+calls)
	if s.answers != len(requests) {
		t.Fatalf("%d of %d requests are answered: %s", s.answers, len(requests), s.fault)
	}
	for i := range requests {
		if cmp.Equal(stages[i].state, stages[i+1].state) {
			t.Errorf("%s changes nothing", requests[i])
		}
	}
	return stages, placesIn(read(t, log), started)
}

// shopState is stateOf with the files of the shop, but for those that were being made when their process died: these have
// names that begin with a dot.
func shopState(t *testing.T, work string) map[string]string {
	t.Helper()
	state := stateOf(t, work)
	for name, text := range readFolder(t, filepath.Join(work, "shop")) {
		if base := path.Base(name); !strings.HasPrefix(base, ".") && !strings.HasPrefix(base, "register.db") {
			state["shop/"+name] = string(text)
		}
	}
	return state
}

// ended is what became of a page.
type ended struct {
	listened, killed bool
	answers          int    // that said it was done
	fault            string // the first other one
}

// serve starts the page, under another program where one is given, sends it requests until one is not answered, and ends it.
// Where there is a watch it is called before and after each request.
func serve(t *testing.T, work string, requests []string, watch func(before bool), under ...string) (s ended) {
	t.Helper()
	c := command(t, work, "page shop --listen 127.0.0.1:0", under...)
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	c.Stderr = &bytes.Buffer{} // it ends with the last of who may write there, so that a log is whole by then
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	address, _ := bufio.NewReader(out).ReadString('\n') // who was killed says nothing
	s.listened = address != ""
	for i := 0; s.listened && i < len(requests); i++ {
		if watch != nil {
			watch(true)
		}
		code, text, err := send(t, work, strings.TrimSpace(address), requests[i])
		if err != nil {
			break
		}
		if code == http.StatusOK {
			s.answers++
		} else if s.fault == "" {
			s.fault = text
		}
		if watch != nil {
			watch(false)
		}
	}
	_ = c.Process.Signal(os.Interrupt) // it may have died
	_ = c.Wait()                       // how it ended is what it returns
	s.killed = c.ProcessState.String() == "signal: killed"
	return s
}

// send sends a request, in which {digest} is that of the layout's file and {cut} what was cut.
func send(t *testing.T, work, address, request string) (code int, text string, err error) {
	t.Helper()
	cut, err := filepath.Glob(filepath.Join(work, "out", "one-*"))
	if err != nil || len(cut) != 1 {
		t.Fatalf("%v was cut, want one folder: %v", cut, err)
	}
	digest := fmt.Sprintf("%x", sha256.Sum256([]byte(read(t, filepath.Join(work, "shop", "layouts", "van.yaml")))))[:16]
	words := strings.Fields(strings.NewReplacer("{digest}", digest, newest, filepath.Base(cut[0])).Replace(request))
	r, err := http.NewRequestWithContext(t.Context(), words[0], strings.TrimSuffix(address, "/")+words[1], strings.NewReader(words[2]))
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Origin", strings.TrimSuffix(address, "/"))
	r.Close = true
	browser := http.Client{Timeout: time.Minute}
	answer, err := browser.Do(r)
	if err != nil {
		return 0, "", err
	}
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	return answer.StatusCode, string(body), err
}
