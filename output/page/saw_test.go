package page

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"sawbook/cabinets/register"
	"sawbook/output/internal/sample"
	"sawbook/output/saw"
)

// onSaw puts a layout of a shop on the saw, and returns what it is called there.
func onSaw(t testing.TB, root, layout string) string {
	t.Helper()
	p, err := saw.Plan(sample.Layout(t, root, layout), read(t, filepath.Join(root, "shop.yaml")), sample.Little)
	if err != nil {
		t.Fatal(err)
	}
	r, err := register.OpenOrCreate(root)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	if _, err := r.Start(register.By{User: "Ada", Reason: "cut", Time: time.Unix(0, 0)}, p); err != nil {
		t.Fatal(err)
	}
	return p.Cutting
}

func standing(t *testing.T, code int, body string) *sawAnswer {
	t.Helper()
	a := &sawAnswer{}
	if err := json.Unmarshal([]byte(body), a); err != nil || code != http.StatusOK {
		t.Fatalf("%d %s", code, body)
	}
	return a
}

func stands(t *testing.T, s *Server) *sawAnswer {
	t.Helper()
	code, body := get(s, "/saw/work")
	return standing(t, code, body)
}

// wish is a request of the saw view, with an id of its own.
func wish(name, id string, more url.Values) url.Values {
	form := url.Values{"id": {"request " + id}, "cutting": {name}}
	for k, v := range more {
		form[k] = v
	}
	return form
}

// What one tablet ticks the other sees, a server that starts anew as well; the shop's files may be gone by then.
func TestSawOutlivesTheServer(t *testing.T) {
	root := shop(t)
	name := onSaw(t, root, "tiny")
	s := New(root, ownHost, "")
	sheet := stands(t, s).Sheets[0]
	for range 2 { // the answer was lost, so that it is sent again
		code, body := post(s, "/saw/tick", wish(name, "one", url.Values{"item": sheet.Items[:2], "ticked": {"yes"}}))
		standing(t, code, body)
	}
	for _, gone := range []string{"shop.yaml", "layouts", "cabinets"} {
		if err := os.RemoveAll(filepath.Join(root, gone)); err != nil {
			t.Fatal(err)
		}
	}
	a := stands(t, New(root, ownHost, ""))
	if !slices.Equal(a.Ticked, sheet.Items[:2]) {
		t.Errorf("ticked %q, want %q", a.Ticked, sheet.Items[:2])
	}
	last := sheet.Items[len(sheet.Items)-1]
	code, body := post(New(root, ownHost, ""), "/saw/recut", wish(name, "two", url.Values{"item": {last}}))
	if a = standing(t, code, body); a.Revision != 1 || !slices.Equal(a.Spoiled, []string{last}) || len(a.Why) != 1 || !strings.HasSuffix(a.Why[0], " spoiled") {
		t.Errorf("after the recut: revision %d, spoiled %q, %q", a.Revision, a.Spoiled, a.Why)
	}
	code, body = post(New(root, ownHost, ""), "/saw/recut", wish(name, "two", url.Values{"item": {last}}))
	if a = standing(t, code, body); a.Revision != 1 {
		t.Errorf("asked for again, there are %d recuts", a.Revision)
	}
}

// A browser that has the newest of all gets nothing, one that has the sheets only the ticks.
func TestSawSendsWhatIsNew(t *testing.T) {
	root := shop(t)
	name := onSaw(t, root, "tiny")
	s := New(root, ownHost, "")
	a := stands(t, s)
	if len(a.Sheets) == 0 || len(a.Visits) == 0 || a.Ticked == nil {
		t.Fatalf("%d sheets, %d visits", len(a.Sheets), len(a.Visits))
	}
	q := url.Values{"cutting": {name}, "revision": {"0"}, "version": {fmt.Sprint(a.Version)}}
	code, body := get(s, "/saw/work?"+q.Encode())
	if b := standing(t, code, body); b.Ticked != nil || b.Sheets != nil {
		t.Errorf("%.200s", body)
	}
	q.Set("version", "0")
	code, body = get(s, "/saw/work?"+q.Encode())
	if b := standing(t, code, body); b.Ticked == nil || b.Sheets != nil {
		t.Errorf("%.200s", body)
	}
}

// By sheet and by setting are two orders of the same cuts.
func TestVisitsHoldEveryCut(t *testing.T) {
	root := shop(t)
	onSaw(t, root, "dunlin")
	a := stands(t, New(root, ownHost, ""))
	var sheets, visits []string
	for _, s := range a.Sheets {
		for _, item := range s.Items {
			if !strings.Contains(item[strings.LastIndex(item, "/"):], "p") {
				sheets = append(sheets, item)
			}
		}
	}
	for _, v := range a.Visits {
		for _, s := range v.Sheets {
			visits = append(visits, s.Items...)
		}
	}
	slices.Sort(sheets)
	slices.Sort(visits)
	if !slices.Equal(sheets, visits) {
		t.Errorf("%d cuts by sheet, %d by setting", len(sheets), len(visits))
	}
}

// TestSawRefusals holds the requests that are refused, each with its exact text.
func TestSawRefusals(t *testing.T) {
	root := shop(t)
	empty := New(root, ownHost, "")
	if code, body := get(empty, "/saw/work"); code != 404 || !strings.Contains(body, "nothing is on the saw yet: put a batch there with sawbook saw") {
		t.Errorf("%d %s", code, body)
	}
	name := onSaw(t, root, "tiny")
	s := New(root, ownHost, "")
	first := stands(t, s).Sheets[0]
	part := first.Key + "/p1"
	many := slices.Repeat([]string{first.Items[0]}, mostItems+1)
	for _, c := range []struct {
		path string
		form url.Values
		code int
		say  string
	}{
		{"/saw/tick", url.Values{"cutting": {name}}, 422, "the request has no id of 8 to 64 letters, by which it is done once"},
		{"/saw/tick", url.Values{"id": {"request 1"}}, 422, "the request does not say what is cut"},
		{"/saw/tick", wish(name, "1", url.Values{"ticked": {"yes"}}), 422, "nothing is ticked"},
		{"/saw/tick", wish(name, "1", url.Values{"item": {part}, "ticked": {"maybe"}}), 422, `ticked is "maybe", neither yes nor no`},
		{"/saw/tick", wish(name, "1", url.Values{"item": many, "ticked": {"yes"}}), 422, "501 ticks at once, more than 500"},
		{"/saw/tick", wish("spring-0", "1", url.Values{"item": {part}, "ticked": {"yes"}}), 409, "spring-0 is not on the saw"},
		{"/saw/tick", wish(name, "1", url.Values{"item": {"0/A1/99/c1"}, "ticked": {"yes"}}), 409, `"0/A1/99/c1" is nothing that is cut in ` + name},
		{"/saw/recut", wish(name, "1", nil), 409, "nothing is spoiled: name parts or a sheet"},
		{"/saw/recut", wish("spring-0", "1", nil), 409, "spring-0 is not on the saw"},
		{"/saw/recut", wish(name, "1", url.Values{"item": {part}}), 409, part + " lies on no sheet that is begun, so that it cannot be spoiled"},
		{"/saw/recut", wish(name, "1", url.Values{"part": {"A-001"}, "count": {"two"}}), 422, `the count "two" is no whole number`},
		{"/saw/recut", wish(name, "1", url.Values{"part": {"Q-999"}, "count": {"1"}}), 409, name + ` has no part "Q-999"`},
		{"/saw/recut", wish(name, "1", url.Values{"sheet": {"0/Q1/1"}}), 409, `"0/Q1/1" is no sheet that is cut in ` + name + ", or it was planned anew"},
	} {
		code, body := post(s, c.path, c.form)
		var said refusal
		if err := json.Unmarshal([]byte(body), &said); err != nil || code != c.code || said.Fault != c.say {
			t.Errorf("%s %v: %d %q, want %d %q", c.path, c.form, code, said.Fault, c.code, c.say)
		}
	}
	if a := stands(t, s); len(a.Ticked) > 0 || a.Revision > 0 {
		t.Errorf("a refused request changed something: %+v", a)
	}
}

// A tablet comes in by the address with the token, straight to the saw view, and by no other.
func TestTabletComesInByToken(t *testing.T) {
	root := shop(t)
	name := onSaw(t, root, "tiny")
	const host = "192.0.2.7:8017"
	handler := New(root, "0.0.0.0:8017", "secret").Handler()
	asked := func(r *http.Request) *httptest.ResponseRecorder {
		w := httptest.NewRecorder()
		handler.ServeHTTP(w, r)
		return w
	}
	w := asked(httptest.NewRequest("GET", "http://"+host+"/saw.html?token=secret", nil))
	if w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/saw.html" {
		t.Fatalf("%d, to %q", w.Code, w.Header().Get("Location"))
	}
	token := w.Result().Cookies()[0]
	for path, want := range map[string]int{"/saw.html": 200, "/saw.js": 200, "/saw/work": 200} {
		r := httptest.NewRequest("GET", "http://"+host+path, nil)
		if got := asked(r).Code; got != http.StatusUnauthorized {
			t.Errorf("%s without a token: %d", path, got)
		}
		r.AddCookie(token)
		if got := asked(r).Code; got != want {
			t.Errorf("%s: %d, want %d", path, got, want)
		}
	}
	form := wish(name, "one", url.Values{"item": {"0/A1/1/c0"}, "ticked": {"yes"}}).Encode()
	for origin, want := range map[string]int{"http://" + host: 200, "http://example.org": 403, "": 403} {
		r := httptest.NewRequest("POST", "http://"+host+"/saw/tick", strings.NewReader(form))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		if r.AddCookie(token); origin != "" {
			r.Header.Set("Origin", origin)
		}
		if got := asked(r); got.Code != want {
			t.Errorf("from %q: %d %s, want %d", origin, got.Code, got.Body, want)
		}
	}
	if w := asked(httptest.NewRequest("GET", "http://"+host+"//example.org/saw.html?token=secret", nil)); w.Header().Get("Location") != "/" {
		t.Errorf("a token leads to %q", w.Header().Get("Location"))
	}
}
