package page

import (
	"context"
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// chromium is one browser for all tests, started by the first that needs it.
var chromium = sync.OnceValues(func() (context.Context, error) {
	path, err := exec.LookPath("chromium")
	if err != nil {
		return nil, nil
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU)
	all, end := chromedp.NewExecAllocator(context.Background(), options...)
	closers = append(closers, end)
	browser, end := chromedp.NewContext(all)
	closers = append(closers, end)
	return browser, chromedp.Do(browser)
})

var closers []context.CancelFunc

func TestMain(m *testing.M) {
	code := m.Run()
	for i := range closers {
		closers[len(closers)-1-i]()
	}
	os.Exit(code)
}

// tab is a tab of a real browser on the page of a copy of the demo shop. A message on the
// console, or a request to another machine, fails its test.
type tab struct {
	testing.TB
	ctx     context.Context
	root    string
	address string

	mu       sync.Mutex
	asked    map[string]int // requests of this page, by path
	expected string         // what the console may say
}

// browse opens a tab of a width and height on a fragment of the page, and waits until all of it is shown.
func browse(t testing.TB, width, height int64, fragment string) *tab {
	t.Helper()
	browsing(t)
	root := shop(t)
	b := open(t, root, serve(t, root, "127.0.0.1:0"), width, height, "/#"+fragment)
	b.until(`document.querySelector("#diagrams svg")`)
	return b
}

// browsing skips a test where there is no browser for it.
func browsing(t testing.TB) context.Context {
	t.Helper()
	if testing.Short() {
		t.Skip("a browser takes long")
	}
	browser, err := chromium()
	if err != nil {
		t.Fatal(err)
	}
	if browser == nil {
		t.Skip("there is no chromium")
	}
	return browser
}

// serve serves a shop until the test ends.
func serve(t testing.TB, root, address string) (at string) {
	t.Helper()
	at, end := serving(t, root, address)
	t.Cleanup(end)
	return at
}

func serving(t testing.TB, root, address string) (at string, end func()) {
	t.Helper()
	l, err := net.Listen("tcp", address)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- New(root, l.Addr().String(), "").Serve(ctx, l) }()
	return l.Addr().String(), sync.OnceFunc(func() {
		cancel()
		<-ended
	})
}

// open opens a tab of a width and height on a page of a server.
func open(t testing.TB, root, address string, width, height int64, page string) *tab {
	t.Helper()
	b := &tab{TB: t, root: root, address: "http://" + address, asked: map[string]int{}}
	var end context.CancelFunc
	b.ctx, end = chromedp.NewContext(browsing(t), chromedp.WithNewBrowserContext())
	t.Cleanup(end)
	b.ctx, end = context.WithTimeout(b.ctx, 5*time.Minute)
	t.Cleanup(end)
	b.watch()
	b.do(chromedp.EmulateViewport(width, height), chromedp.Navigate(b.address+page))
	return b
}

// watch fails the test where the console or the network says what it should not.
func (b *tab) watch() {
	b.do()
	console := chromedp.Console(b.ctx)
	requests := chromedp.Events(b.ctx, network.RequestWillBeSent)
	if _, err := chromedp.Call(b.ctx, network.Enable, network.EnableParams{}); err != nil {
		b.Fatal(err)
	}
	var ended sync.WaitGroup
	ended.Go(func() {
		for m, err := range console {
			if err != nil {
				return
			}
			b.mu.Lock()
			if b.expected == "" || !strings.Contains(m.Text, b.expected) {
				b.Errorf("console: %s: %s (%s)", m.Type, m.Text, m.URL)
			}
			b.mu.Unlock()
		}
	})
	ended.Go(func() {
		for r, err := range requests {
			if err != nil {
				return
			}
			path, ours := strings.CutPrefix(r.Request.URL, b.address)
			if !ours && !strings.HasPrefix(r.Request.URL, "data:") {
				b.Errorf("a request leaves the machine: %s", r.Request.URL)
			}
			path, _, _ = strings.Cut(path, "?")
			b.mu.Lock()
			b.asked[path]++
			b.mu.Unlock()
		}
	})
	b.Cleanup(func() {
		_ = chromedp.Cancel(b.ctx) // it ends both loops
		ended.Wait()
	})
}

func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.Helper()
	if err := chromedp.Do(b.ctx, steps...); err != nil {
		b.Fatal(err)
	}
}

// press presses keys, as typed where the focus is.
func (b *tab) press(keys string, held ...chromedp.Modifier) {
	b.Helper()
	b.do(chromedp.KeyEvent(keys, chromedp.KeyModifiers(held...)))
}

// focus gives an element the focus, as Tab would.
func (b *tab) focus(id string) {
	b.Helper()
	b.do(chromedp.Focus(chromedp.ID(id)))
}

// shows waits until a field has a value.
func (b *tab) shows(id, want string) {
	b.Helper()
	b.until(fmt.Sprintf("document.getElementById(%q)?.value === %q", id, want))
}

// expect lets the console say that the server refused something.
func (b *tab) expect(text string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.expected = text
}

// count returns how many requests there were for a path.
func (b *tab) count(path string) int {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.asked[path]
}

// until waits for a condition in JavaScript.
func (b *tab) until(condition string) {
	b.Helper()
	if err := chromedp.Do(b.ctx, chromedp.Poll[chromedp.Void]("!!("+condition+")", chromedp.WithPollingTimeout(30*time.Second))); err != nil {
		b.Fatalf("%s: %v; the page says %q", condition, err, b.text("bar"))
	}
}

// settled waits for the figures that cut prints.
func (b *tab) settled() {
	b.Helper()
	b.until(`document.getElementById("state").textContent === "settled"`)
}

// value evaluates JavaScript.
func value[T any](b *tab, script string) T {
	b.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](script))
	if err != nil {
		b.Fatalf("%s: %v", script, err)
	}
	return v
}

// text returns what can be read in the element of an id.
func (b *tab) text(id string) string {
	b.Helper()
	return value[string](b, `document.getElementById("`+id+`").innerText`)
}

// shoot keeps a picture of the whole page in the folder that SAWBOOK_SCREENSHOTS names, to be looked at;
// view keeps one of what is in sight.
func (b *tab) shoot(name string) { b.keep(name, chromedp.FullScreenshot(100)) }
func (b *tab) view(name string)  { b.keep(name, chromedp.CaptureScreenshot()) }

func (b *tab) keep(name string, picture chromedp.Action[[]byte]) {
	b.Helper()
	folder := os.Getenv("SAWBOOK_SCREENSHOTS")
	if folder == "" {
		return
	}
	png, err := chromedp.Run(b.ctx, picture)
	if err == nil {
		err = os.WriteFile(filepath.Join(folder, name+".png"), png, 0o644)
	}
	if err != nil {
		b.Fatal(err)
	}
}
