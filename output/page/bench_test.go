package page

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/chromedp/chromedp/kb"
	"golang.org/x/exp/stats"
)

// BenchmarkAnswer works a layout out after one size has changed, at quick effort, its drawings included.
func BenchmarkAnswer(b *testing.B) {
	s := New("../../testdata/demo", ownHost, "")
	i := 0
	for b.Loop() {
		i++
		if code, body := get(s, fmt.Sprintf("/work?layout=curlew&cabinet=bank-1&field=width&size.bank-1.width=%d.5", 400+i%400)); code != 200 {
			b.Fatal(code, body)
		}
	}
}

// BenchmarkChange presses a key in a real browser, again and again, and measures in it how long it
// takes from the key to the new figures and the new picture, painted. Between two changes there is
// time enough for what follows first figures to be under way: the next change has to end it.
func BenchmarkChange(b *testing.B) {
	const changes = 100
	page := browse(b, 1440, 900, "layout=curlew&cabinet=bank-1&field=width")
	value[any](page, stopwatch)
	page.focus("size-width")
	for b.Loop() {
		value[any](page, `times.length = 0`)
		for i := range changes {
			page.press(kb.ArrowUp)
			page.until(fmt.Sprintf(`times.length > %d`, i))
			time.Sleep(500 * time.Millisecond)
		}
		times := value[[]float64](page, `times`)
		slices.Sort(times)
		q := stats.Quantiles(times, 0.5, 0.95)
		b.ReportMetric(q[0], "p50-ms")
		b.ReportMetric(q[1], "p95-ms")
		b.ReportMetric(times[len(times)-1], "worst-ms")
	}
}

// stopwatch notes the time from a key to the first frame after the one that shows what it led to.
const stopwatch = `(() => {
	window.times = [];
	let began = 0;
	addEventListener("keydown", (e) => { began = e.timeStamp; }, true);
	new MutationObserver(() => {
		if (!began || document.getElementById("state").textContent !== "provisional") return;
		const from = began;
		began = 0;
		requestAnimationFrame(() => setTimeout(() => times.push(performance.now() - from)));
	}).observe(document.getElementById("state"), { childList: true, characterData: true, subtree: true });
})()`
