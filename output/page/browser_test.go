package page

import (
	"math"
	"net/url"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// A designer changes a size by keyboard, sees sheets and figures change, goes back and forth, and saves.
func TestChangeByKeyboard(t *testing.T) {
	b := browse(t, 1440, 900, "layout=tiny&cabinet=rack")
	b.settled()
	mass := b.text("brief")
	value[any](b, `window.sheets = document.getElementById("diagrams").innerHTML`)
	b.focus("size-width")
	b.press(kb.ArrowUp)
	b.shows("size-width", "601")
	b.press(kb.PageUp)
	b.shows("size-width", "611")
	b.press("a", chromedp.ModifierCtrl)
	b.press("27 1/2 in\r")
	b.until(`document.getElementById("changed").textContent.includes("682")`) // a shelf
	b.until(`document.getElementById("diagrams").innerHTML !== sheets`)
	b.shows("size-width", "27 1/2 in")
	if now := b.text("brief"); now == mass || !strings.Contains(now, "(+") {
		t.Errorf("the figures say %q, after %q", now, mass)
	}
	b.press("z", chromedp.ModifierCtrl)
	b.shows("size-width", "611")
	b.press("z", chromedp.ModifierCtrl)
	b.press("z", chromedp.ModifierCtrl)
	b.shows("size-width", "600")
	b.settled()
	if now := b.text("brief"); now != mass {
		t.Errorf("undone, the figures say %q, not %q", now, mass)
	}
	b.press("y", chromedp.ModifierCtrl)
	b.shows("size-width", "601")
	b.press("z", chromedp.ModifierCtrl|chromedp.ModifierShift)
	b.shows("size-width", "611")
	b.focus("save")
	b.press("\r")
	b.until(`document.getElementById("message").textContent.startsWith("Saved")`)
	if text := read(t, filepath.Join(b.root, "layouts", "tiny.yaml")); !strings.Contains(text, "width: 611 mm") || !strings.Contains(text, "# by the door") {
		t.Errorf("saved:\n%s", text)
	}
	b.do(chromedp.Reload())
	b.shows("size-width", "611")
	if changed := value[bool](b, `document.getElementById("row-width").classList.contains("changed")`); changed {
		t.Error("what is saved is marked as changed")
	}
}

// A link holds all that is chosen: opened anew, it shows the same.
func TestLinkHoldsTheState(t *testing.T) {
	b := browse(t, 1000, 800, "layout=tiny&cabinet=rack&option=wide&size.rack.height=1000&role.rack.carcass.material=birch-15")
	b.shows("size-width", "700")
	b.shows("size-height", "1000")
	b.shows("role-carcass-material", "birch-15")
	b.until(`document.getElementById("option-wide").checked && document.getElementById("row-role-carcass").classList.contains("changed")`)
	b.focus("option-wide")
	b.press(" ")
	b.shows("size-width", "600")
	b.until(`location.hash === "#layout=tiny&cabinet=rack&size.rack.height=1000&role.rack.carcass.material=birch-15"`)
}

// A move of the slider is one step, however many values it passes, and the picture follows it.
func TestSlider(t *testing.T) {
	b := browse(t, 1000, 800, "layout=tiny&cabinet=rack")
	picture := value[string](b, `document.getElementById("cabinet-drawing").innerHTML`)
	value[any](b, `(() => {
		const slider = document.getElementById("size-width-range");
		for (let v = 601; v <= 640; v++) { slider.value = v; slider.dispatchEvent(new Event("input")); }
		slider.dispatchEvent(new Event("change"));
	})()`)
	b.shows("size-width", "640")
	b.settled()
	if value[string](b, `document.getElementById("cabinet-drawing").innerHTML`) == picture {
		t.Error("the picture is as before")
	}
	if n := b.count("/work"); n > 8 {
		t.Errorf("%d requests for one move", n)
	}
	b.focus("undo")
	b.press("\r")
	b.shows("size-width", "600")
}

// What cannot be is said beside its field, to those who hear it as well; the field keeps what was typed.
func TestFaultByTheField(t *testing.T) {
	b := browse(t, 1000, 800, "layout=tiny&cabinet=rack")
	b.focus("size-depth")
	b.press("a", chromedp.ModifierCtrl)
	b.press("9000\r")
	b.until(`document.getElementById("fault-depth").textContent.includes("out of range")`)
	b.shows("size-depth", "9000")
	b.until(`document.getElementById("size-depth").matches('[aria-invalid=true][aria-describedby~=fault-depth]')`)
	b.until(`document.getElementById("state").textContent === "not possible so"`)
	b.shoot("fault")
	b.press("a", chromedp.ModifierCtrl)
	b.press("310\r")
	b.until(`document.getElementById("fault-depth").textContent === "" && !document.getElementById("size-depth").hasAttribute("aria-invalid")`)
	b.focus("size-height")
	b.press("a", chromedp.ModifierCtrl)
	b.press("1850\r") // through the roof
	b.until(`document.getElementById("fault-height").textContent.startsWith("error: ")`)
}

// The curve comes with its words, and can be stopped.
func TestCurveInTheBrowser(t *testing.T) {
	b := browse(t, 1440, 900, "layout=tiny&cabinet=rack")
	b.focus("size-shelves")
	b.focus("draw-curve")
	b.press("\r")
	b.until(`document.querySelector("#curve svg") && document.querySelectorAll("#curve-words li").length > 0 && document.getElementById("progress").hidden`)
	if words := b.text("curve-words"); !strings.Contains(words, "costs least") {
		t.Error(words)
	}
	b.shoot("curve")
	b.focus("size-height")
	b.focus("draw-curve")
	b.press("\r")
	b.until(`document.activeElement.id === "stop-curve"`)
	b.press("\r")
	b.until(`document.getElementById("stop-curve").hidden && document.activeElement.id === "draw-curve"`)
}

// Print opens the cut sheets of what is chosen.
func TestPrintLink(t *testing.T) {
	b := browse(t, 1000, 800, "layout=tiny&cabinet=rack&size.rack.width=640")
	b.do(chromedp.Navigate(value[string](b, `document.getElementById("print").href`)))
	if text := value[string](b, `document.body.innerText`); !strings.Contains(text, "Tiny") || !strings.Contains(text, "640") {
		t.Errorf("%.300s", text)
	}
}

// Somebody else's change of the file is told of, and stays.
func TestConflictIsTold(t *testing.T) {
	b := browse(t, 1000, 800, "layout=tiny&cabinet=rack&size.rack.width=640")
	b.settled()
	theirs := strings.Replace(tiny, "the smallest", "the least", 1)
	write(t, filepath.Join(b.root, "layouts", "tiny.yaml"), theirs)
	b.expect("409")
	b.focus("save")
	b.press("\r")
	b.until(`document.getElementById("message").textContent.includes("by somebody else")`)
	if read(t, filepath.Join(b.root, "layouts", "tiny.yaml")) != theirs {
		t.Error("their change is gone")
	}
}

// Nothing scrolls sideways but what has its own room for that, on a screen of 360 px and on a large one;
// what is drawn can be read.
func TestScreens(t *testing.T) {
	for _, screen := range []struct {
		name          string
		width, height int64
	}{{"narrow", 360, 740}, {"middle", 900, 700}, {"wide", 1440, 900}} {
		t.Run(screen.name, func(t *testing.T) {
			b := browse(t, screen.width, screen.height, "layout=curlew&cabinet=bank-1&field=width&size.bank-1.width=640")
			b.shoot(screen.name)
			if got := value[int64](b, `document.documentElement.scrollWidth`); got > screen.width {
				t.Errorf("the page is %d px wide", got)
			}
			if over := value[[]string](b, overhanging); len(over) > 0 {
				t.Errorf("these reach over the edge: %q", over)
			}
			if small := value[float64](b, `Math.min(...[...document.querySelectorAll("#cabinet-drawing text")].map((e) => e.getBoundingClientRect()).map((r) => Math.max(1, Math.min(r.width, r.height))))`); small < 9 {
				t.Errorf("a text of the drawing is %.1f px high", small)
			}
			if small := value[[]string](b, targets); len(small) > 0 {
				t.Errorf("less than 24 px to hit: %q", small)
			}
			value[any](b, `document.getElementById("diagrams").scrollIntoView()`)
			b.until(`document.querySelector("#diagrams svg").getBoundingClientRect().height > 100`)
			if two := value[[]string](b, overlapping); len(two) > 0 {
				t.Errorf("these overlap: %q", two)
			}
			b.view(screen.name + "-sheets")
		})
	}
}

const overhanging = `[...document.querySelectorAll("body *")].filter((e) => !e.closest(".scroll, #diagrams, svg") && !e.matches(".skip") && e.getBoundingClientRect().right > innerWidth + 1).map((e) => e.tagName + "#" + e.id)`

const overlapping = `[...document.querySelectorAll("section")].flatMap((e, i, all) => all.slice(i + 1).filter((f) => {
	const a = e.getBoundingClientRect(), b = f.getBoundingClientRect();
	return a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 1 && b.top < a.bottom - 1;
}).map((f) => e.id + " and " + f.id))`

// Targets of less than 24 x 24 px, against WCAG 2.2, 2.5.8; a label is part of what it labels.
const targets = `[...document.querySelectorAll("button, select, input, summary, #print")].map((e) => e.type === "checkbox" ? e.parentElement : e)
	.filter((e) => e.checkVisibility() && Math.min(e.getBoundingClientRect().width, e.getBoundingClientRect().height) < 24).map((e) => e.outerHTML.slice(0, 80))`

// Every text stands out against its ground by 4.5 to 1, large text and what shows the bounds of a control by 3 to 1
// (WCAG 2.2, 1.4.3 and 1.4.11), in every state of the page that has a colour of its own.
func TestContrast(t *testing.T) {
	b := browse(t, 1440, 900, "layout=tiny&cabinet=rack")
	b.do(chromedp.Navigate(b.address + "/#layout=tiny&cabinet=rack&size.rack.height=1850&size.rack.depth=9000"))
	b.until(`document.getElementById("fault-depth").textContent`)
	b.contrasts(40)
	b.do(chromedp.Navigate(b.address + "/#layout=tiny&cabinet=rack&size.rack.height=1850"))
	b.settled()
	b.contrasts(40)
}

// contrasts fails the test for every text and border that does not stand out; there are at least so many.
func (b *tab) contrasts(least int) {
	b.Helper()
	pairs := value[[]struct {
		What     string
		Ink      [4]float64
		Grounds  [][4]float64
		Least    float64
		Disabled bool
	}](b, colours)
	if len(pairs) < least {
		b.Fatalf("only %d texts", len(pairs))
	}
	seen := map[string]bool{}
	for _, p := range pairs {
		ground := [3]float64{1, 1, 1}
		for _, g := range slices.Backward(p.Grounds) {
			ground = over(g, ground)
		}
		if got := contrast(over(p.Ink, ground), ground); got < p.Least && !p.Disabled && !seen[p.What] {
			seen[p.What] = true
			b.Errorf("%s: %.2f to 1, not %v", p.What, got, p.Least)
		}
	}
}

// colours lists what is written, with its colour, the grounds under it from near to far, and the contrast that it needs.
const colours = `(() => {
	const parse = (c) => { const n = c.match(/[\d.]+/g).map(Number); return [n[0], n[1], n[2], n[3] === undefined ? 1 : n[3]]; };
	const grounds = (e) => { const all = []; for (; e; e = e.parentElement) all.push(parse(getComputedStyle(e).backgroundColor)); return all; };
	const faint = (e) => { let o = 1; for (; e; e = e.parentElement) o *= +getComputedStyle(e).opacity; return o; };
	const all = [];
	for (const e of document.querySelectorAll("body *:not(svg *)")) {
		if (!e.checkVisibility() || e.matches(".skip")) continue;
		const s = getComputedStyle(e), size = parseFloat(s.fontSize), large = size >= 24 || size >= 18.66 && s.fontWeight >= 700;
		const add = (what, colour, least, under) => {
			const ink = parse(colour);
			ink[3] *= faint(e);
			all.push({ What: what + " of " + e.tagName + "#" + e.id + "." + e.className, Ink: ink, Grounds: grounds(under), Least: least, Disabled: !!e.disabled });
		};
		if ([...e.childNodes].some((n) => n.nodeType === 3 && n.data.trim()) || e.matches("input[type=text], select")) add("text", s.color, large ? 3 : 4.5, e);
		if (e.matches("input[type=text], select, button, #print")) add("border", s.borderTopColor, 3, e.parentElement);
	}
	return all;
})()`

// over lays a colour, 0 to 255 with an opacity, over a ground, 0 to 1.
func over(c [4]float64, ground [3]float64) (mixed [3]float64) {
	for i := range mixed {
		mixed[i] = c[i]/255*c[3] + ground[i]*(1-c[3])
	}
	return mixed
}

// contrast is the ratio of the relative luminances of two colours, as WCAG 2.2 defines both.
func contrast(a, b [3]float64) float64 {
	luminance := func(c [3]float64) (sum float64) {
		for i, share := range [3]float64{0.2126, 0.7152, 0.0722} {
			v := c[i] / 12.92
			if c[i] > 0.04045 {
				v = math.Pow((c[i]+0.055)/1.055, 2.4)
			}
			sum += share * v
		}
		return sum
	}
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// From memory of the definition: black on white is 21 to 1; #767676 is the lightest grey that white bears.
func TestContrastIsMeasuredRight(t *testing.T) {
	white := [3]float64{1, 1, 1}
	for grey, want := range map[float64]float64{0: 21, 0x76: 4.54, 0x77: 4.48} {
		if got := contrast(over([4]float64{grey, grey, grey, 1}, white), white); math.Abs(got-want) > 0.005 {
			t.Errorf("%v: %v, not %v", grey, got, want)
		}
	}
}

// Every control has a name, and Tab reaches all of them in the order in which they are read.
func TestNamesAndFocus(t *testing.T) {
	b := browse(t, 1440, 900, "layout=tiny&cabinet=rack&size.rack.width=640")
	b.settled()
	if nameless := value[[]string](b, nameless); len(nameless) > 0 {
		t.Errorf("no name: %q", nameless)
	}
	if twice := value[[]string](b, `[...document.querySelectorAll("[id]")].map((e) => e.id).filter((id, i, all) => all.indexOf(id) !== i)`); len(twice) > 0 {
		t.Errorf("ids that are there twice: %q", twice)
	}
	value[any](b, `document.activeElement.blur()`)
	var order []string
	for range 60 {
		b.press(kb.Tab)
		at := value[string](b, `document.activeElement.id || document.activeElement.className || document.activeElement.tagName`)
		if hidden := value[bool](b, `(() => { const bar = document.getElementById("bar").getBoundingClientRect(), e = document.activeElement, r = e.getBoundingClientRect();
			return e !== document.body && !e.closest("#bar, .skip") && r.top < bar.bottom && r.bottom <= bar.bottom || r.top > innerHeight; })()`); hidden {
			t.Errorf("%s has the focus and is not seen", at)
		}
		order = append(order, at)
	}
	want := []string{"skip", "save", "layout", "cabinet", "option-wide", "size-width-range", "size-width", "size-depth-range", "size-depth",
		"role-carcass-material", "role-carcass-edges", "reset", "print", "name", "draw-curve"}
	last := -1
	for _, id := range want {
		i := slices.Index(order, id)
		if i <= last {
			t.Errorf("%s comes at %d, after %d: %q", id, i, last, order)
		}
		last = i
	}
	if landmarks := value[int](b, `document.querySelectorAll("header, main, footer").length`); landmarks != 3 {
		t.Errorf("%d landmarks", landmarks)
	}
	if loose := value[[]string](b, `[...document.querySelectorAll("section")].filter((e) => !document.getElementById(e.getAttribute("aria-labelledby"))).map((e) => e.id)`); len(loose) > 0 {
		t.Errorf("sections without a heading: %q", loose)
	}
}

// nameless lists the controls without a name.
const nameless = `[...document.querySelectorAll("input, select, button, progress, [tabindex='0']")].filter((e) =>
	!(e.labels && e.labels.length) && !e.getAttribute("aria-label") && !e.textContent.trim() &&
	!(e.getAttribute("aria-labelledby") || "").split(" ").every((id) => id && document.getElementById(id))).map((e) => e.outerHTML.slice(0, 80))`

// A layout that is not there, as an old link may name, is told of.
func TestOldLink(t *testing.T) {
	b := browse(t, 1000, 800, "layout=tiny&cabinet=rack")
	b.expect("404")
	b.do(chromedp.Navigate(b.address + "/#" + url.Values{"layout": {"gone"}}.Encode()))
	b.until(`document.getElementById("message").textContent.includes('there is no layout "gone"')`)
}
