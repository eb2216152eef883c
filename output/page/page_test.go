package page

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/source"
	"sawbook/nest"
	"sawbook/output/diagram"
	"sawbook/output/table"
)

// tiny is a layout that is planned in no time.
const tiny = `layout: Tiny # the smallest
inside: {length: 2000 mm, width: 1700 mm, height: 1800 mm}
cabinets:
  can:                        # by the door
    cabinet: cubby
    at: [0, 0, 0]
    turn: 180
    sizes: {width: 280 mm, depth: 400 mm, height: 420 mm}
    fixings: 4
  rack:
    cabinet: shelf-unit
    beside: can
    sizes: {width: 600 mm, depth: 300 mm, height: 900 mm, shelves: 2}
    fixings: 4
options:
  wide: {about: A wider rack, change: {rack: {sizes: {width: 700 mm}}}}
`

// shop returns a copy of the demo shop with the tiny layout.
func shop(t testing.TB) string {
	t.Helper()
	root := t.TempDir()
	if err := os.CopyFS(root, os.DirFS("../../testdata/demo")); err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(root, "layouts", "tiny.yaml"), tiny)
	return root
}

func write(t testing.TB, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func read(t testing.TB, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

const ownHost = "127.0.0.1:8017"

// get asks for a path and returns code and body.
func get(s *Server, path string) (int, string) {
	w := httptest.NewRecorder()
	s.Handler().ServeHTTP(w, httptest.NewRequest("GET", "http://"+ownHost+path, nil))
	return w.Code, w.Body.String()
}

// linesOf asks for what a state comes to and returns the answer line by line.
func linesOf(t *testing.T, s *Server, query string) (all []answer) {
	t.Helper()
	code, body := get(s, "/work?"+query)
	for lines := json.NewDecoder(strings.NewReader(body)); lines.More(); {
		var a answer
		if err := lines.Decode(&a); code != http.StatusOK || err != nil || a.Fault != "" {
			t.Fatalf("%d %s", code, body)
		}
		all = append(all, a)
	}
	return all
}

// ask returns all lines of an answer as one, with the last of the sheets.
func ask(t *testing.T, s *Server, query string) *answer {
	t.Helper()
	a := answer{Figures: &figures{}}
	for _, line := range linesOf(t, s, query) {
		a.Form, a.Picture, a.Figures, a.Sheet = cmp.Or(line.Form, a.Form), cmp.Or(line.Picture, a.Picture), cmp.Or(line.Figures, a.Figures), cmp.Or(line.Sheet, a.Sheet)
		a.Faults = append(a.Faults, line.Faults...)
	}
	return &a
}

// post sends a form from a page of ours.
func post(s *Server, path string, form url.Values) (int, string) {
	r := httptest.NewRequest("POST", "http://"+ownHost+path, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Origin", "http://"+ownHost)
	w := httptest.NewRecorder()
	s.Handler().ServeHTTP(w, r)
	return w.Code, w.Body.String()
}

// What a page settles on is what the command prints once the change is saved.
func TestSettledFiguresAreThoseOfTheFile(t *testing.T) {
	root := shop(t)
	s := New(root, ownHost, "")
	got := ask(t, s, "layout=tiny&cabinet=rack&size.rack.width=640&role.rack.carcass.material=birch-15&settle=yes")
	if !got.Figures.Settled || len(got.Figures.Changed.Rows) == 0 {
		t.Fatalf("%+v", got)
	}
	path := filepath.Join(root, "layouts", "tiny.yaml")
	write(t, path, strings.Replace(tiny, "{width: 600 mm, depth: 300 mm, height: 900 mm, shelves: 2}",
		"{width: 640 mm, depth: 300 mm, height: 900 mm, shelves: 2}\n    roles: {carcass: {material: birch-15}}", 1))
	faults := &source.Collector{}
	f := batch.OpenFolder(faults, root)
	job, err := batch.Work(context.Background(), f.Load(path, nil), batch.Options{Effort: nest.Normal})
	if err != nil || faults.Err() != nil {
		t.Fatal(err, faults.Err())
	}
	want := listOf(table.Sums(batch.CompareJobs(job, job)))
	for i, row := range want.Rows {
		if row[1] != got.Figures.Sums.Rows[i][2] {
			t.Errorf("%s: %s on the page, %s by the file", row[0], got.Figures.Sums.Rows[i][2], row[1])
		}
	}
	if want, got := listOf(table.Parts(job)), got.Figures.Parts; len(want.Rows) != len(got.Rows) {
		t.Errorf("%d lines of parts on the page, %d by the file", len(got.Rows), len(want.Rows))
	}
}

// A fault stands beside its field; the form is there all the same.
func TestFaultsStandByTheirField(t *testing.T) {
	s := New(shop(t), ownHost, "")
	for _, c := range []struct{ query, field, text string }{
		{"size.rack.width=6x", "size.rack.width", ""},
		{"size.rack.width=20000", "size.rack.width", "20000 is out of range: choose"},
		{"size.rack.shelves=2.5", "size.rack.shelves", `"2.5" is no whole number`},
		{"size.rack.girth=2", "size.rack.girth", `has no size "girth"`},
		{"role.rack.carcass.material=birch-13", "role.rack.carcass.material", `unknown material "birch-13"`},
		{"role.rack.carcass.edges=gold", "role.rack.carcass.edges", `unknown edge band "gold"`},
	} {
		a := ask(t, s, "layout=tiny&cabinet=rack&"+c.query)
		if len(a.Faults) != 1 || a.Faults[0].Field != c.field || !strings.Contains(a.Faults[0].Text, c.text) {
			t.Errorf("%s: %+v", c.query, a.Faults)
		}
		if a.Form == nil || len(a.Form.Sizes) == 0 || a.Figures.Sums != nil || a.Picture != nil {
			t.Errorf("%s: the form is gone, or there are figures", c.query)
		}
	}
	if a := ask(t, s, "layout=tiny&cabinet=rack&size.rack.width=25+1/2+in"); len(a.Faults) > 0 || a.Form.Sizes[0].Value != "647.7" {
		t.Errorf("%+v", a.Form.Sizes[0])
	}
}

// A finding that a change brings is told as new.
func TestFreshFindings(t *testing.T) {
	a := ask(t, New(shop(t), ownHost, ""), "layout=tiny&cabinet=rack&size.rack.height=1850")
	for _, f := range a.Figures.Findings {
		if f.Level == "error" && f.Fresh && f.Here {
			return
		}
	}
	t.Errorf("the rack reaches through the roof: %+v", a.Figures.Findings)
}

// Saving keeps comments and order, and goes where the value stands.
func TestSave(t *testing.T) {
	for _, c := range []struct{ query, old, new string }{
		{"size.rack.width=640", "sizes: {width: 600 mm, depth: 300", "sizes: {width: 640 mm, depth: 300"},
		{"size.can.width=11+1/2+in", "sizes: {width: 280 mm,", "sizes: {width: 292.1 mm,"},
		{"role.can.carcass.material=birch-15", "    cabinet: cubby\n", "    roles: {carcass: {material: birch-15}}\n    cabinet: cubby\n"},
		{"option=wide&size.rack.width=720", "sizes: {width: 700 mm}", "sizes: {width: 720 mm}"},
	} {
		root := shop(t)
		s := New(root, ownHost, "")
		form, _ := url.ParseQuery("layout=tiny&cabinet=rack&" + c.query)
		form.Set("digest", digestOf([]byte(tiny)))
		code, body := post(s, "/save", form)
		if got, want := read(t, filepath.Join(root, "layouts", "tiny.yaml")), strings.Replace(tiny, c.old, c.new, 1); code != http.StatusOK || got != want {
			t.Errorf("%s: %d %s\n%s", c.query, code, body, got)
		}
	}
}

// What somebody else has written meanwhile is never lost.
func TestSaveOverNobody(t *testing.T) {
	root := shop(t)
	s := New(root, ownHost, "")
	path := filepath.Join(root, "layouts", "tiny.yaml")
	theirs := strings.Replace(tiny, "the smallest", "the least", 1)
	write(t, path, theirs)
	form := url.Values{"layout": {"tiny"}, "size.rack.width": {"640"}, "digest": {digestOf([]byte(tiny))}}
	if code, body := post(s, "/save", form); code != http.StatusConflict || !strings.Contains(body, "by somebody else") {
		t.Errorf("%d %s", code, body)
	}
	if read(t, path) != theirs {
		t.Error("their change is gone")
	}
}

// A size that an option changes is saved there, also where another option, further down, brings the cabinet.
func TestSaveUnderChange(t *testing.T) {
	root := shop(t)
	path := filepath.Join(root, "layouts", "tiny.yaml")
	text := strings.Replace(tiny, "  wide:", "  slim: {about: A narrower rack, needs: [other], change: {rack: {sizes: {width: 500 mm}}}}\n"+
		"  other: {about: Another rack, replace: {rack: {cabinet: shelf-unit, sizes: {width: 650 mm, depth: 300 mm, height: 900 mm}, fixings: 4}}}\n  wide:", 1)
	write(t, path, text)
	form := url.Values{"layout": {"tiny"}, "option": {"slim", "other"}, "size.rack.width": {"520"}, "digest": {digestOf([]byte(text))}}
	code, body := post(New(root, ownHost, ""), "/save", form)
	if got, want := read(t, path), strings.Replace(text, "width: 500 mm", "width: 520 mm", 1); code != http.StatusOK || got != want {
		t.Errorf("%d %s\n%s", code, body, got)
	}
}

// What only an editor can change is left to one.
func TestSaveByHand(t *testing.T) {
	shelves, err := os.ReadFile("../../cabinets/library/shelf-unit.yaml")
	if err != nil {
		t.Fatal(err)
	}
	full := tiny + "#" + strings.Repeat(" ", 512<<10-len(tiny)-2) + "\n"
	for _, c := range []struct{ file, text, path, query, want string }{
		{"layouts/tiny.yaml", strings.Replace(tiny, "sizes: {width: 600 mm", "sizes: &sizes {width: 600 mm", 1), "/save", "size.rack.width=640",
			"not saved: cabinets.rack.sizes.width: it is written in a way that only an editor can change"},
		{"layouts/tiny.yaml", full, "/save", "role.can.carcass.material=birch-15", "tiny.yaml: is larger than 524288 bytes"},
		{"cabinets/shelf-unit.yaml", strings.Replace(string(shelves), "sizes:\n", "sizes: &sizes\n", 1), "/cabinet", "name=wide-rack&cabinet=rack&size.rack.width=640",
			"not saved: sizes.width.default: it is written in a way that only an editor can change"},
	} {
		root := shop(t)
		path := filepath.Join(root, c.file)
		write(t, path, c.text)
		form, _ := url.ParseQuery("layout=tiny&" + c.query)
		form.Set("digest", digestOf([]byte(read(t, filepath.Join(root, "layouts", "tiny.yaml")))))
		if code, body := post(New(root, ownHost, ""), c.path, form); code != http.StatusUnprocessableEntity || !strings.Contains(body, c.want) {
			t.Errorf("%s: %d %s, want %q", c.query, code, body, c.want)
		}
		if read(t, path) != c.text {
			t.Errorf("%s: %s is changed", c.query, c.file)
		}
	}
}

// Nothing is written that would say something else than the page, whatever wrote it.
func TestSaveSaysWhatThePageSays(t *testing.T) {
	s := New(shop(t), ownHost, "")
	o, b, err := s.openBuildable(&state{layout: "tiny", changes: []change{{cabinet: "rack", size: "width", text: "640"}}})
	if err != nil {
		t.Fatal(err)
	}
	for width, want := range map[string]string{"640": "", "650": "not saved: tiny.yaml: other lines of the file overrule the change\nhint: change it in an editor"} {
		err := o.same(strings.Replace(tiny, "600 mm", width+" mm", 1), b)
		if got := fmt.Sprint(err); want == "" && err != nil || want != "" && got != want {
			t.Errorf("%s: %q, want %q", width, got, want)
		}
	}
}

// A cabinet of its own has the present sizes as defaults, and takes no other's place.
func TestSaveCabinet(t *testing.T) {
	root := shop(t)
	s := New(root, ownHost, "")
	form := url.Values{"layout": {"tiny"}, "cabinet": {"rack"}, "size.rack.width": {"640"}, "name": {"wide-rack"}}
	if code, body := post(s, "/cabinet", form); code != http.StatusOK {
		t.Fatalf("%d %s", code, body)
	}
	faults := &source.Collector{}
	d := batch.OpenFolder(faults, root).Catalogue.Lookup("wide-rack")
	if faults.Err() != nil || d == nil || d.Sizes[0].Default.MM() != 640 {
		t.Errorf("%+v %v", d, faults.Err())
	}
	for name, code := range map[string]int{
		"wide-rack": http.StatusConflict, "cubby": http.StatusConflict, "../rack": http.StatusUnprocessableEntity,
		"Rack": http.StatusUnprocessableEntity, "": http.StatusUnprocessableEntity,
	} {
		form.Set("name", name)
		if got, body := post(s, "/cabinet", form); got != code {
			t.Errorf("%q: %d %s", name, got, body)
		}
	}
}

// Paths do not leave the shop's folder.
func TestPathsStayInside(t *testing.T) {
	root := shop(t)
	outside := filepath.Join(filepath.Dir(root), "outside.yaml")
	write(t, outside, tiny)
	s := New(root, ownHost, "")
	for _, layout := range []string{"../outside", "../../outside", outside, "..%2F..%2Foutside", "tiny/../tiny", "tiny.yaml", "\x00"} {
		if code, body := get(s, "/work?layout="+url.QueryEscape(layout)); code != http.StatusNotFound {
			t.Errorf("%q: %d %s", layout, code, body)
		}
	}
	for _, path := range []string{"/shop.yaml", "/../shop.yaml", "/static/page.js", "/type/../shop.yaml", "/type/x.ttf"} {
		if code, _ := get(s, path); code == http.StatusOK {
			t.Errorf("%s is served", path)
		}
	}
}

// Only the browser on this machine, on a page of ours, is answered.
func TestGuard(t *testing.T) {
	root := shop(t)
	for _, c := range []struct {
		name, address, token, method, target string
		headers                              map[string]string
		code                                 int
	}{
		{"the page", ownHost, "", "GET", "http://127.0.0.1:8017/", nil, 200},
		{"by the machine's name for itself", ownHost, "", "GET", "http://localhost:8017/", nil, 200},
		{"a name that was pointed here", ownHost, "", "GET", "http://evil.example:8017/", nil, 421},
		{"another port", ownHost, "", "GET", "http://127.0.0.1:80/", nil, 421},
		{"no port", ownHost, "", "GET", "http://127.0.0.1/", nil, 421},
		{"a page of ours asks", ownHost, "", "GET", "http://127.0.0.1:8017/work?layout=tiny", map[string]string{"Origin": "http://127.0.0.1:8017"}, 200},
		{"another page asks", ownHost, "", "GET", "http://127.0.0.1:8017/work?layout=tiny", map[string]string{"Origin": "http://evil.example"}, 403},
		{"another page shows an image", ownHost, "", "GET", "http://127.0.0.1:8017/work?layout=tiny", map[string]string{"Sec-Fetch-Site": "cross-site"}, 403},
		{"a link from another page", ownHost, "", "GET", "http://127.0.0.1:8017/", map[string]string{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate"}, 200},
		{"another page posts", ownHost, "", "POST", "http://127.0.0.1:8017/save", map[string]string{"Origin": "http://evil.example"}, 403},
		{"nobody knows who posts", ownHost, "", "POST", "http://127.0.0.1:8017/save", nil, 403},
		{"an origin in disguise", ownHost, "", "POST", "http://127.0.0.1:8017/save", map[string]string{"Origin": "null"}, 403},
		{"a stranger on the network", "192.0.2.1:8017", "secret", "GET", "http://192.0.2.1:8017/", nil, 401},
		{"with a wrong token", "192.0.2.1:8017", "secret", "GET", "http://192.0.2.1:8017/?token=guess", nil, 401},
		{"with the token", "192.0.2.1:8017", "secret", "GET", "http://192.0.2.1:8017/?token=secret", nil, 303},
		{"with the cookie", "192.0.2.1:8017", "secret", "GET", "http://192.0.2.1:8017/", map[string]string{"Cookie": "sawbook=secret"}, 200},
		{"with an old cookie", "192.0.2.1:8017", "secret", "GET", "http://192.0.2.1:8017/", map[string]string{"Cookie": "sawbook=old"}, 401},
		{"every address, by number", "0.0.0.0:8017", "secret", "GET", "http://192.0.2.7:8017/", map[string]string{"Cookie": "sawbook=secret"}, 200},
		{"every address, by a name", "0.0.0.0:8017", "secret", "GET", "http://evil.example:8017/", map[string]string{"Cookie": "sawbook=secret"}, 421},
	} {
		r := httptest.NewRequest(c.method, c.target, nil)
		for name, value := range c.headers {
			r.Header.Set(name, value)
		}
		w := httptest.NewRecorder()
		New(root, c.address, c.token).Handler().ServeHTTP(w, r)
		if w.Code != c.code {
			t.Errorf("%s: %d, not %d: %s", c.name, w.Code, c.code, w.Body)
		}
		if policy := w.Header().Get("Content-Security-Policy"); !strings.Contains(policy, "default-src 'none'") || strings.Contains(policy, "unsafe") {
			t.Errorf("%s: policy %q", c.name, policy)
		}
	}
}

// Huge requests are refused before anything is done for them.
func TestHugeRequests(t *testing.T) {
	s := New(shop(t), ownHost, "")
	if code, _ := get(s, "/work?layout=tiny&x="+strings.Repeat("a", mostQuery)); code != http.StatusRequestURITooLong {
		t.Errorf("a long address: %d", code)
	}
	many := url.Values{}
	for i := range mostChanges + 1 {
		many.Set("size.rack."+strings.Repeat("x", i%7)+string(rune('a'+i%26))+time.Duration(i).String(), "1")
	}
	if code, _ := get(s, "/work?"+many.Encode()); code != http.StatusRequestURITooLong {
		t.Errorf("many changes: %d", code)
	}
	if code, _ := post(s, "/save", url.Values{"layout": {"tiny"}, "x": {strings.Repeat("a", mostBody)}}); code != http.StatusRequestEntityTooLarge {
		t.Errorf("a large body: %d", code)
	}
}

// The form comes before all else, also where the figures are known already: the page shows findings in it.
func TestFormComesFirst(t *testing.T) {
	s := New("../../testdata/demo", ownHost, "")
	for range 5 {
		if first := linesOf(t, s, "layout=curlew")[0]; first.Form == nil || first.Picture == nil || first.Figures != nil {
			t.Fatalf("first comes %+v", first)
		}
	}
}

// A picture that is not in view comes once, after the figures and the sheets that are.
func TestPictureThatIsNotInView(t *testing.T) {
	s := New("../../testdata/demo", ownHost, "")
	for view, want := range map[string]string{
		"picture":   "form+picture figures sheet",
		"picture,3": "form+picture figures sheet",
		"3":         "form figures sheet picture",
	} {
		var came []string
		for _, a := range linesOf(t, s, "layout=curlew&view="+view) {
			switch {
			case a.Form != nil && a.Picture != nil:
				came = append(came, "form+picture")
			case a.Form != nil:
				came = append(came, "form")
			case a.Picture != nil:
				came = append(came, "picture")
			case a.Figures != nil:
				came = append(came, "figures")
			case a.Sheet != nil && !slices.Contains(came, "sheet"):
				came = append(came, "sheet")
			}
		}
		if got := strings.Join(came, " "); got != want {
			t.Errorf("view %q: there come %s, not %s", view, got, want)
		}
	}
}

// Every sheet comes once, and those that the browser shows before all others.
func TestSheetsInViewComeFirst(t *testing.T) {
	s := New("../../testdata/demo", ownHost, "")
	var came []int
	patterns := 0
	for _, a := range linesOf(t, s, "layout=curlew&view=9,x,,11,99") {
		if a.Figures != nil {
			patterns = a.Figures.Patterns
		}
		if a.Sheet != nil {
			came = append(came, a.Sheet.At)
		}
	}
	if len(came) < 2 || min(came[0], came[1]) != 9 || max(came[0], came[1]) != 11 {
		t.Errorf("sheets 9 and 11 are not the first of %v", came)
	}
	slices.Sort(came)
	if patterns < 12 || len(came) != patterns || came[0] != 0 || came[len(came)-1] != patterns-1 || len(slices.Compact(came)) != patterns {
		t.Errorf("%d patterns, and sheets %v", patterns, came)
	}
}

// A form that is broken, and not too large, is told as such.
func TestBrokenForm(t *testing.T) {
	r := httptest.NewRequest(http.MethodPost, "http://"+ownHost+"/save", strings.NewReader("layout=%zz"))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Origin", "http://"+ownHost)
	w := httptest.NewRecorder()
	New(shop(t), ownHost, "").Handler().ServeHTTP(w, r)
	if body := w.Body.String(); w.Code != http.StatusBadRequest || !strings.Contains(body, "the form that was sent cannot be read: invalid URL escape") {
		t.Errorf("%d %s", w.Code, body)
	}
}

// Settling, however long it takes, keeps nobody from first figures; who gives up frees the place.
func TestSlowWorkStopsNobody(t *testing.T) {
	s := New(shop(t), ownHost, "")
	s.settling <- struct{}{} // somebody settles
	ask(t, s, "layout=tiny")
	ctx, cancel := context.WithTimeout(context.Background(), 50*time.Millisecond)
	defer cancel()
	w := httptest.NewRecorder()
	s.Handler().ServeHTTP(w, httptest.NewRequest("GET", "http://"+ownHost+"/work?layout=tiny&settle=yes", nil).WithContext(ctx))
	if !strings.Contains(w.Body.String(), "it took too long") {
		t.Errorf("%s", w.Body)
	}
	<-s.settling
	if a := ask(t, s, "layout=tiny&settle=yes"); !a.Figures.Settled {
		t.Error("it is not settled")
	}
}

// Clients that never finish their requests keep nobody else from the page, and it ends when
// it is told to.
func TestSlowClients(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, end := context.WithCancel(context.Background())
	ended := make(chan error)
	go func() { ended <- New(shop(t), l.Addr().String(), "").Serve(ctx, l) }()
	for range 20 {
		c, err := net.Dial("tcp", l.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		fmt.Fprintf(c, "POST /save HTTP/1.1\r\nHost: %s\r\nContent-Length: 100\r\n", l.Addr())
	}
	response, err := http.Get("http://" + l.Addr().String() + "/work?layout=tiny")
	if err != nil || response.StatusCode != http.StatusOK {
		t.Fatal(response, err)
	}
	response.Body.Close()
	end()
	if err := <-ended; err != nil {
		t.Error(err)
	}
}

// The curve tells how far it is, then what it found.
func TestCurve(t *testing.T) {
	s := New(shop(t), ownHost, "")
	code, body := get(s, "/curve?layout=tiny&cabinet=rack&field=shelves")
	if code != http.StatusOK || !strings.Contains(body, "event: progress\n") || !strings.Contains(body, "event: curve\n") || !strings.Contains(body, "costs least") {
		t.Errorf("%d %.300s", code, body)
	}
	if code, _ := get(s, "/curve?layout=tiny&cabinet=rack&field=girth"); code != http.StatusNotFound {
		t.Errorf("a curve of no size: %d", code)
	}
	if len(s.curves) > 0 {
		t.Error("it still counts as under way")
	}
}

// What is printed is the page that cut writes.
func TestPrint(t *testing.T) {
	code, body := get(New(shop(t), ownHost, ""), "/print?layout=tiny&size.rack.width=640")
	if code != http.StatusOK || !strings.Contains(body, "<h1>Tiny</h1>") || strings.Contains(body, "<script") {
		t.Errorf("%d %.300s", code, body)
	}
}

// However wide the screen is, and whatever the cabinet, there is a drawing.
func TestDrawingsFit(t *testing.T) {
	s := New(shop(t), ownHost, "")
	for _, layout := range []string{"curlew", "dunlin"} {
		o, err := s.open(layout, nil)
		if err != nil {
			t.Fatal(err)
		}
		in := o.batch.Vehicles[0].Interior
		for width := leastWidth; width <= mostWidth; width += 10 {
			if plan := diagram.Plan(in, "", o.folder.Shop.Style, width, height(width)); len(plan.Shapes) < 10 {
				t.Errorf("%s: no plan %v mm wide", layout, width)
			}
			for _, p := range in.Cabinets {
				d := diagram.Views(diagram.Keyed{Title: p.Name, Solid: p.Solid, Style: o.folder.Shop.Style}, width, height(width))
				if len(d.Shapes) < 10 || d.Height > height(width) {
					t.Errorf("%s: %s: no drawing %v mm wide", layout, p.Name, width)
				}
			}
		}
	}
}

// A request that cannot be answered says why.
func TestRefusedRequests(t *testing.T) {
	root := shop(t)
	s := New(root, ownHost, "")
	for _, c := range []struct {
		name, text string
		code       int
		ask        func() (int, string)
	}{
		{"a number that is none", `\"two\" is no whole number: write it in digits`, http.StatusOK,
			func() (int, string) { return get(s, "/work?layout=tiny&cabinet=rack&size.rack.shelves=two") }},
		{"more than a request may hold", "the request cannot be read: http: request body too large", http.StatusRequestEntityTooLarge,
			func() (int, string) {
				return post(s, "/saw/tick", url.Values{"id": {strings.Repeat("x", mostBody)}})
			}},
		{"a shop without layouts", "the shop has no layout yet: write one to layouts/", http.StatusNotFound,
			func() (int, string) {
				if err := os.RemoveAll(filepath.Join(root, "layouts")); err != nil {
					t.Fatal(err)
				}
				return get(s, "/work")
			}},
	} {
		t.Run(c.name, func(t *testing.T) {
			if code, body := c.ask(); code != c.code || !strings.Contains(body, c.text) {
				t.Errorf("%d %.300s, want %d %s", code, body, c.code, c.text)
			}
		})
	}
}
