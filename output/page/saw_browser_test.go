package page

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// tablet opens the saw view of a layout at 1280 x 800.
func tablet(t *testing.T, layout string) (b *tab, address string) {
	t.Helper()
	browsing(t)
	root := shop(t)
	onSaw(t, root, layout)
	address = serve(t, root, "127.0.0.1:0")
	return atSaw(t, root, address, 1280, 800), address
}

func atSaw(t *testing.T, root, address string, width, height int64) *tab {
	t.Helper()
	b := open(t, root, address, width, height, sawPage)
	b.until(`document.querySelector("#drawing svg")`)
	return b
}

func (b *tab) saved() {
	b.Helper()
	b.until(`document.getElementById("state").textContent === "all saved"`)
}

// A sheet is cut with one key: its cuts, then its parts, then the next sheet. Each tick shows on the other tablet.
func TestSheetByKeyboardOnTwoTablets(t *testing.T) {
	one, address := tablet(t, "tiny")
	two := atSaw(t, one.root, address, 1280, 800)
	first := one.text("title")
	one.view("saw")
	one.focus("done")
	one.press("\r")
	one.until(`document.querySelector("#cut-rows [aria-pressed=true]")`)
	two.until(`document.querySelector("#cut-rows [aria-pressed=true]")`)
	if focus := value[string](one, `document.activeElement.id`); focus != "done" {
		t.Errorf("after a tick, the focus is on %q", focus)
	}
	for range 60 {
		if value[string](one, `document.getElementById("done").textContent`) != "Done" {
			break
		}
		one.press("\r")
	}
	one.view("saw-all-cut")
	one.until(`document.getElementById("done").textContent === "All parts off"`)
	one.press("\r")
	for _, b := range []*tab{one, two} { // both go on to what is not finished
		b.until(`document.getElementById("title").textContent !== ` + quoted(first))
	}
	one.saved()
	if a, b := one.text("sum"), two.text("sum"); a != b || !strings.HasPrefix(a, "1 of ") {
		t.Errorf("one tablet says %q, the other %q", a, b)
	}
	one.focus("back")
	one.press("\r")
	two.until(`document.getElementById("sum").textContent.startsWith("0 of ")`)
}

func quoted(s string) string { return `"` + s + `"` }

// A plug that is pulled loses nothing that was ticked: what finds no server waits in the tablet, and outlives its page.
func TestPulledPlug(t *testing.T) {
	browsing(t)
	root := shop(t)
	onSaw(t, root, "tiny")
	address, pull := serving(t, root, "127.0.0.1:0")
	b := atSaw(t, root, address, 1280, 800)
	b.focus("done")
	b.press("\r")
	b.until(`document.querySelectorAll("#cut-rows [aria-pressed=true]").length === 1`)
	b.saved()
	pull()
	b.expect("ERR_CONNECTION_REFUSED")
	b.press("\r")
	b.press("\r")
	b.until(`document.getElementById("state").textContent.startsWith("2 waiting: no connection")`)
	b.until(`document.querySelectorAll("#cut-rows [aria-pressed=true]").length === 3`)
	b.view("saw-no-connection")
	b.do(chromedp.Navigate("about:blank"))
	serve(t, root, address)
	b.do(chromedp.Navigate(b.address + sawPage))
	b.until(`document.querySelector("#drawing svg")`)
	b.saved()
	b.do(chromedp.Reload())
	b.until(`document.querySelector("#drawing svg")`)
	b.until(`document.querySelectorAll("#cut-rows [aria-pressed=true]").length === 3`)
}

// A spoiled part is planned anew; the sheet that it came from stays.
func TestSpoiledPart(t *testing.T) {
	b, address := tablet(t, "tiny")
	other := atSaw(t, b.root, address, 1280, 800)
	if !value[bool](b, `document.getElementById("spoil-0").disabled`) {
		t.Error("a part of a sheet that is not begun can be called spoiled")
	}
	b.focus("done")
	b.press("\r")
	b.until(`!document.getElementById("spoil-0").disabled`)
	title := b.text("title")
	b.spoil(0)
	b.view("saw-ask")
	b.press(kb.Escape)
	b.until(`!document.getElementById("ask").open`)
	b.spoil(0)
	b.focus("yes")
	b.press("\r")
	b.until(`document.querySelector("#part-rows .lost")`)
	b.view("saw-spoiled")
	if now := b.text("title"); now != title {
		t.Errorf("the sheet %q has become %q", title, now)
	}
	other.until(`document.getElementById("why").textContent.startsWith("recut 1: ")`)
	b.focus("after")
	for range 10 {
		if strings.Contains(b.text("title"), "(recut 1)") {
			return
		}
		b.press("\r")
	}
	t.Errorf("no sheet of the recut is shown, the last is %q", b.text("title"))
}

// hold keeps what a function of JavaScript says of a request, its answer included, until the page calls release().
func (b *tab) hold(request string) {
	b.Helper()
	value[bool](b, `(() => {
		const ask = fetch, held = new Promise((done) => { release = done; });
		fetch = async (path, ...more) => { `+request+` };
		return true;
	})()`)
}

// spoil asks to have a part planned anew, up to the question whether that is meant.
func (b *tab) spoil(part int) {
	b.focus(fmt.Sprintf("spoil-%d", part))
	b.press("\r")
	b.until(`document.getElementById("ask").open`)
}

// A tick that is on its way yet counts in a recut: nothing is planned anew before the server has it.
func TestRecutWaitsForTicks(t *testing.T) {
	b, _ := tablet(t, "tiny")
	b.hold(`if (path === "saw/tick") await held; return ask(path, ...more);`)
	b.focus("done")
	b.press("\r")
	b.until(`!document.getElementById("spoil-0").disabled`)
	b.spoil(0)
	b.focus("yes")
	b.press("\r")
	b.until(`document.getElementById("state").textContent === "planning anew …"`)
	if n := b.count("/saw/recut"); n > 0 {
		t.Error("a recut was asked for before the tick that it depends on")
	}
	value[bool](b, `release() || true`)
	b.until(`document.querySelector("#part-rows .lost")`)
}

// What the server says of a tick leaves alone what shows it already, since a finger may be on that.
func TestRowsStay(t *testing.T) {
	b, _ := tablet(t, "tiny")
	b.hold(`const answer = await ask(path, ...more); if (path === "saw/tick") await held; return answer;`)
	b.focus("done")
	b.press("\r")
	b.until(`!document.getElementById("spoil-0").disabled`)
	value[bool](b, `(under = [...document.querySelectorAll(".row button")]).length > 0 && release() || true`)
	b.saved()
	if gone := value[int](b, `under.filter((e) => !e.isConnected).length`); gone > 0 {
		t.Errorf("%d buttons were replaced", gone)
	}
}

// An answer that a newer one has overtaken takes back nothing: what was ticked meanwhile stays ticked.
func TestOvertakenAnswer(t *testing.T) {
	b, _ := tablet(t, "tiny")
	b.hold(`
		const all = path.startsWith("saw/work?") && path.includes("version") && !globalThis.overtaken;
		if (all) { path = "saw/work?", overtaken = true; } // as if another tablet had ticked
		const answer = await ask(path, ...more);
		if (all) await held;
		return answer;`)
	b.until(`globalThis.overtaken`)
	b.focus("done")
	b.press("\r")
	b.until(`document.querySelector("#cut-rows [aria-pressed=true]")`)
	b.saved()
	value[bool](b, `new MutationObserver(() => { gone = !document.querySelector("#cut-rows [aria-pressed=true]"); }).observe(document.getElementById("cut-rows"), { childList: true }) || true`)
	before := b.count("/saw/work")
	value[bool](b, `release() || true`)
	for b.count("/saw/work") == before { // the next poll comes once the held answer has been seen
		b.until(`true`)
	}
	if value[bool](b, `globalThis.gone === true`) {
		t.Error("the tick was gone for a while")
	}
}

// Setting by setting, the same cuts come in another order.
func TestSettingBySetting(t *testing.T) {
	b, _ := tablet(t, "dunlin")
	b.focus("by-setting")
	b.press("\r")
	b.until(`document.getElementById("title").textContent.startsWith("Setting 1 of ")`)
	b.focus("done")
	for n := range 200 {
		if strings.HasPrefix(b.text("title"), "Setting 2 of ") {
			break
		}
		if b.press("\r"); n == 199 {
			t.Fatal("200 ticks do not end the first setting")
		}
	}
	b.view("saw-setting")
	b.saved()
	b.do(chromedp.Reload())
	b.until(`document.getElementById("title").textContent.startsWith("Setting 2 of ")`)
}

// On a tablet, a phone and a large screen: nothing reaches over the edge, every target is 44 px or more (WCAG 2.2, 2.5.5),
// every text stands out, every control has a name; the next cut and its button are in sight without scrolling on a tablet.
func TestSawScreens(t *testing.T) {
	browsing(t)
	root := shop(t)
	onSaw(t, root, "dunlin")
	address := serve(t, root, "127.0.0.1:0")
	for _, screen := range []struct {
		name          string
		width, height int64
	}{{"narrow", 360, 740}, {"tablet", 1280, 800}, {"upright", 800, 1280}, {"wide", 1920, 1080}} {
		t.Run(screen.name, func(t *testing.T) {
			b := atSaw(t, root, address, screen.width, screen.height)
			b.shoot("saw-" + screen.name)
			if got := value[int64](b, `document.documentElement.scrollWidth`); got > screen.width {
				t.Errorf("the page is %d px wide", got)
			}
			if over := value[[]string](b, overhanging); len(over) > 0 {
				t.Errorf("these reach over the edge: %q", over)
			}
			if two := value[[]string](b, overlapping); len(two) > 0 {
				t.Errorf("these overlap: %q", two)
			}
			if small := value[[]string](b, strings.ReplaceAll(targets, "< 24", "< 44")); len(small) > 0 {
				t.Errorf("less than 44 px to hit: %q", small)
			}
			if hidden := value[[]string](b, `["title", "set", "done"].filter((id) => { const r = document.getElementById(id).getBoundingClientRect(); return r.top < 0 || r.bottom > innerHeight; })`); len(hidden) > 0 {
				t.Errorf("not in sight: %q", hidden)
			}
			if nameless := value[[]string](b, nameless); len(nameless) > 0 {
				t.Errorf("no name: %q", nameless)
			}
			b.contrasts(20)
		})
	}
}

// Tab reaches what is done first before all else of the page.
func TestSawFocus(t *testing.T) {
	b, _ := tablet(t, "tiny")
	var order []string
	for range 14 {
		b.press(kb.Tab)
		order = append(order, value[string](b, `document.activeElement.id || document.activeElement.className`))
	}
	want := []string{"skip", "cutting", "by-sheet", "by-setting", "done", "after", "cut-0"}
	last := -1
	for _, id := range want {
		at := slices.Index(order, id)
		if at <= last {
			t.Errorf("%s comes at %d, after %d: %q", id, at, last, order)
		}
		last = at
	}
}
