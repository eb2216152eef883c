package page

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"maps"
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
	"sawbook/cabinets/register"
	"sawbook/cabinets/source"
)

// secret stands in a file outside of the shop's folder, to which a link in it leads.
const secret = "seven herons and a ladder"

// patience is when whoever asks goes away; most is how long an answer may take then, on a busy machine.
const patience, most = time.Second, 20 * time.Second

// FuzzRequest sends whatever it is given to the page of a small shop: head is a request without its host, body goes with
// it. Nothing may stop the server or tell of a fault of its own; nothing outside of the shop's folder is read, and nothing
// in it is written but by a save, a tick or a recut that is answered as done, after which the shop still reads well.
func FuzzRequest(f *testing.F) {
	root := shop(f)
	for _, layout := range []string{"curlew", "dunlin"} {
		if err := os.Remove(filepath.Join(root, "layouts", layout+".yaml")); err != nil {
			f.Fatal(err)
		}
	}
	write(f, filepath.Join(filepath.Dir(root), "outside.yaml"), "layout: "+secret+"\n")
	if err := os.Symlink(filepath.Join(filepath.Dir(root), "outside.yaml"), filepath.Join(root, "layouts", "linked.yaml")); err != nil {
		f.Skip(err)
	}
	name := onSaw(f, root, "tiny")
	for _, seed := range requests(name) {
		f.Add(seed[0], seed[1])
	}
	server := New(root, ownHost, "")
	f.Fuzz(func(t *testing.T, head, body string) {
		line, headers, _ := strings.Cut(head, "\n")
		r, err := http.ReadRequest(bufio.NewReader(strings.NewReader(line + "\nHost: " + ownHost + "\n" + headers + "\n\n")))
		if err != nil {
			t.Skip() // the standard library answers it
		}
		ctx, cancel := context.WithTimeout(context.Background(), patience)
		defer cancel()
		r = r.WithContext(ctx)
		r.Body, r.ContentLength = io.NopCloser(strings.NewReader(body)), int64(len(body))
		before, entries := files(t, root), booked(t, root)
		w, start := httptest.NewRecorder(), time.Now()
		server.Handler().ServeHTTP(w, r)
		if took := time.Since(start); took > most {
			t.Errorf("an answer takes %v", took)
		}
		if w.Code >= 500 && (w.Code != http.StatusServiceUnavailable || ctx.Err() == nil) || w.Code < 200 {
			t.Errorf("the answer is %d %s", w.Code, w.Body)
		}
		if strings.Contains(w.Body.String(), secret) {
			t.Errorf("it tells what is outside of the folder: %s", w.Body)
		}
		done := r.Method == http.MethodPost && w.Code == http.StatusOK
		if now := booked(t, root); now != entries && !(done && strings.HasPrefix(r.URL.Path, "/saw/")) {
			t.Errorf("%s %s, answered with %d, books %d entries", r.Method, r.URL, w.Code, now-entries)
		}
		if after := files(t, root); !maps.Equal(before, after) {
			if !done || r.URL.Path != "/save" && r.URL.Path != "/cabinet" {
				t.Errorf("%s %s, answered with %d, writes", r.Method, r.URL, w.Code)
			}
			readsWell(t, root)
			restore(t, root, before, after)
		}
	})
}

// requests are what the page's own scripts send, and what they never would. A ticking stands first in the plan.
func requests(name string) [][2]string {
	const form = "\nContent-Type: application/x-www-form-urlencoded\nOrigin: http://" + ownHost
	wide := url.Values{"layout": {"tiny"}, "cabinet": {"rack"}, "size.rack.width": {"640"}}
	saves := maps.Clone(wide)
	saves.Set("digest", digestOf([]byte(tiny)))
	named := maps.Clone(wide)
	named.Set("name", "wide-rack")
	tick := wish(name, "seed", url.Values{"item": {"0/A1/1/c0"}, "ticked": {"yes"}})
	all := [][2]string{
		{"POST /save HTTP/1.1" + form, saves.Encode()},
		{"POST /cabinet HTTP/1.1" + form, named.Encode()},
		{"POST /saw/tick HTTP/1.1" + form, tick.Encode()},
		{"POST /saw/recut HTTP/1.1" + form, wish(name, "more", url.Values{"sheet": {"0/A1/1"}}).Encode()},
		{"POST /save HTTP/1.1\nOrigin: null", saves.Encode()},
		{"POST /save HTTP/1.1\nContent-Type: multipart/form-data; boundary=x\nOrigin: http://" + ownHost, "--x\r\n\r\n"},
		{"POST /save HTTP/1.1" + form, "%zz&;=\x00"},
		{"POST /cabinet HTTP/1.1" + form, "layout=tiny&size.rack.width=640&name=../../outside"},
		{"POST /save HTTP/1.1" + form, "layout=linked&size.rack.width=640"},
	}
	for _, target := range []string{
		"/", "/saw.html", "/type/regular.ttf", "/type/../shop.yaml", "/../../outside.yaml", "/%2e%2e/shop.yaml", "//shop.yaml", "/saw/work", "/saw/work?cutting=" + name + "&revision=0",
		"/work?layout=tiny&cabinet=rack&field=width", "/work?layout=linked", "/work?layout=../../outside", "/work?layout=tiny&option=wide&option=wide&settle=yes",
		"/work?layout=tiny&size.rack.width=1e999&width=NaN", "/work?layout=tiny&size.rack.shelves=99&role.can.carcass.material=birch-15&role.can.front.edges=bare",
		"/work?layout=tiny&view=0,,9,x", "/curve?layout=tiny&cabinet=rack&field=shelves", "/print?layout=tiny", "/work?size..=&role...material=", "*",
	} {
		all = append(all, [2]string{"GET " + target + " HTTP/1.1", ""})
	}
	return append(all, [2]string{"OPTIONS * HTTP/1.1", ""}, [2]string{"HEAD /work?layout=tiny HTTP/1.1", ""}, [2]string{"GET /work HTTP/1.1\nCookie: sawbook=\nRange: bytes=-9\nSec-Fetch-Site: cross-site", ""})
}

// files reads what the shop's folder holds, but for its register.
func files(t testing.TB, root string) map[string]string {
	t.Helper()
	all := map[string]string{}
	err := filepath.WalkDir(root, func(path string, d os.DirEntry, err error) error {
		if err == nil && d.Type().IsRegular() && !strings.HasPrefix(d.Name(), register.FileName) {
			all[path] = read(t, path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// booked counts what stands in the register.
func booked(t testing.TB, root string) int {
	t.Helper()
	r, err := register.Open(root)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	entries, err := r.Entries()
	if err != nil {
		t.Fatal(err)
	}
	return len(entries)
}

// readsWell wants the layout and all cabinets to be without a fault.
func readsWell(t testing.TB, root string) {
	t.Helper()
	faults := &source.Collector{}
	folder := batch.OpenFolder(faults, root)
	folder.Load(filepath.Join(root, "layouts", "tiny.yaml"), nil)
	for _, cabinet := range folder.Catalogue.Names() {
		folder.Catalogue.Lookup(cabinet)
	}
	if err := faults.Err(); err != nil {
		t.Errorf("what is saved has faults: %v", err)
	}
}

// restore puts back what was there before.
func restore(t testing.TB, root string, before, after map[string]string) {
	t.Helper()
	for path, text := range after {
		if old, was := before[path]; was && old != text {
			write(t, path, old)
		} else if !was {
			if err := os.Remove(path); err != nil {
				t.Fatal(err)
			}
		}
	}
	if again := files(t, root); !maps.Equal(before, again) {
		t.Fatal(fmt.Sprint("it took away ", slices.Sorted(maps.Keys(before)), " left ", slices.Sorted(maps.Keys(again))))
	}
}
