package page

import (
	"context"
	"fmt"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp/kb"
	"golang.org/x/exp/stats"

	"sawbook/cabinets/batch"
	"sawbook/nest"
)

// BenchmarkAnswer works a layout out after one size has changed, at quick effort, its drawings included.
func BenchmarkAnswer(b *testing.B) {
	s := New("../../testdata/demo", ownHost, "")
	i := 0
	for b.Loop() {
		i++
		if code, body := get(s, fmt.Sprintf("/work?layout=curlew&cabinet=bank-1&field=width&size.bank-1.width=%d.5", 400+i%400)); code != 200 || !strings.Contains(body, `"sheet"`) {
			b.Fatal(code, body)
		}
	}
}

// BenchmarkOvertaken ends the settling of a layout at some moment and measures how long that goes on
// still: so long a change has to share the machine with what it overtakes.
func BenchmarkOvertaken(b *testing.B) {
	s := New("../../testdata/demo", ownHost, "")
	var times []float64
	for i := 0; b.Loop(); i++ {
		st, err := readState(url.Values{"layout": {"curlew"}, "size.bank-1.width": {fmt.Sprintf("%d.5", 400+i%400)}})
		if err != nil {
			b.Fatal(err)
		}
		o, err := s.open(st.layout, st.options)
		if err != nil {
			b.Fatal(err)
		}
		changed, _ := o.changed(st)
		ctx, end := context.WithCancel(context.Background())
		ended := make(chan error)
		go func() {
			_, err := o.job(ctx, st.changes, changed, batch.Options{Effort: nest.Normal, Plans: &s.plans, Background: true})
			ended <- err
		}()
		time.Sleep(time.Duration(100+i*37%1000) * time.Millisecond)
		from := time.Now()
		end()
		if err := <-ended; err == nil {
			b.Fatal("settled before its end")
		}
		times = append(times, time.Since(from).Seconds()*1000)
	}
	slices.Sort(times)
	q := stats.Quantiles(times, 0.5, 0.95)
	b.ReportMetric(q[0], "p50-ms")
	b.ReportMetric(q[1], "p95-ms")
}

// BenchmarkChange presses a key in a real browser, again and again, and measures in it how long it
// takes from the key to the new figures, the new picture and the new sheets, as far as they are in view,
// painted. Nothing asks the browser how far it is meanwhile. Between two changes there is time enough
// for what follows to be under way: the next change has to end it.
func BenchmarkChange(b *testing.B) {
	for _, view := range []string{"picture", "sheets"} {
		b.Run(view, func(b *testing.B) {
			page := browse(b, 1440, 900, "layout=curlew&cabinet=bank-1&field=width")
			page.settled()
			value[any](page, stopwatch)
			if view == "sheets" {
				value[any](page, `document.getElementById("diagrams").scrollIntoView()`)
			}
			value[any](page, `document.getElementById("size-width").focus({ preventScroll: true })`)
			for b.Loop() {
				value[any](page, `times.length = 0`)
				for range changes {
					page.press(kb.ArrowUp)
					time.Sleep(700 * time.Millisecond)
				}
				times := value[[]float64](page, `times`)
				if len(times) != changes {
					b.Fatalf("%d of %d changes were painted before the next", len(times), changes)
				}
				slices.Sort(times)
				q := stats.Quantiles(times, 0.5, 0.95)
				b.ReportMetric(q[0], "p50-ms")
				b.ReportMetric(q[1], "p95-ms")
				b.ReportMetric(times[len(times)-1], "worst-ms")
			}
		})
	}
}

const changes = 100

// stopwatch notes the time from a key to the end of the first frame that shows all that it led to.
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
