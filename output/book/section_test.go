package book

import (
	"context"
	"fmt"
	"html"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
	"sawbook/nest"
)

// packed works a release of the demo's spring batch out and returns its files.
func packed(t *testing.T, style measure.Style, release string) (*batch.Job, map[string]string) {
	t.Helper()
	faults := &source.Collector{}
	root := filepath.Join("..", "..", "testdata", "demo")
	b := batch.OpenFolder(faults, root).Load(filepath.Join(root, "batches", "spring.yaml"), nil)
	if err := faults.Err(); err != nil {
		t.Fatal(err)
	}
	b.Shop.Style = style
	b.Memory = &batch.Memory{Newest: "feedc0de"}
	work := func() (*batch.Job, error) {
		if release == "" {
			return batch.Work(context.Background(), b, batch.Options{Effort: nest.Quick})
		}
		return batch.WorkRelease(context.Background(), b, release, batch.Options{Effort: nest.Quick})
	}
	job, err := work()
	if err != nil {
		t.Fatal(err)
	}
	if err := job.PlanLarger(context.Background()); err != nil {
		t.Fatal(err)
	}
	return job, folder(t, job)
}

// pdfPages are the texts of a PDF's pages.
func pdfPages(t *testing.T, pdf string) []string {
	t.Helper()
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("pdftotext is not there (Debian: poppler-utils)")
	}
	text := exec.Command("pdftotext", "-layout", "-", "-")
	text.Stdin = strings.NewReader(pdf)
	out, err := text.Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.Split(strings.TrimSuffix(string(out), "\f"), "\f")
}

var (
	contentsLine = regexp.MustCompile(`(?m)^ *(\S.*?) {2,}(\d+)$`)
	pageSection  = regexp.MustCompile(`<h2[^>]*>([^<]*)</h2>`)
	pageTitle    = regexp.MustCompile(`<h[34][^>]*>([^<]*)`)
)

// Book and page hold the same sections, in the order in which a shop needs them; every list and drawing that has a
// title on the page has it in the same section of the book.
func TestBookAndPageHoldTheSame(t *testing.T) {
	if testing.Short() {
		t.Skip("works the demo out")
	}
	want := []string{"Buy list", "Cut sheets", "Second cuts", "Parts", "Machining", "Edges and felt", "Kitting", "Cabinets", "Templates", "Interior",
		"What is kept where", "Findings", "Estimate", "How to read a page", "Cautions"}
	for _, c := range []struct {
		style   measure.Style
		release string
	}{{measure.Style{}, ""}, {measure.Style{Unit: measure.Inches, Denominator: 32}, "fronts"}} {
		job, files := packed(t, c.style, c.release)
		page, pages := files["index.html"], pdfPages(t, files["book.pdf"])
		var onPage, inBook []string
		var begins []int
		for _, m := range contentsLine.FindAllStringSubmatch(pages[0], -1) {
			var at int
			fmt.Sscan(m[2], &at)
			inBook, begins = append(inBook, m[1]), append(begins, at-1)
		}
		marks := pageSection.FindAllStringSubmatchIndex(page, -1)
		for i, m := range marks {
			onPage = append(onPage, page[m[2]:m[3]])
			if i >= len(begins) {
				break
			}
			end, last := len(page), len(pages)
			if i+1 < min(len(marks), len(begins)) {
				end, last = marks[i+1][0], begins[i+1]
			}
			printed := squeezed(strings.Join(pages[begins[i]:last], " "))
			for _, title := range pageTitle.FindAllStringSubmatch(page[m[1]:end], -1) {
				name, _, _ := strings.Cut(html.UnescapeString(title[1]), " · ")
				if !strings.Contains(printed, squeezed(name)) {
					t.Errorf("%s: %q stands on the page, and not in the book", onPage[i], name)
				}
			}
		}
		if diff := cmp.Diff(want, onPage); diff != "" {
			t.Errorf("sections of the page: %s", diff)
		}
		if diff := cmp.Diff(want, inBook); diff != "" {
			t.Errorf("sections of the book: %s", diff)
		}
		for what, in := range map[string]string{"the book": pages[0], "the page": page} {
			if !strings.Contains(in, "Builds before this one end with feedc0de") {
				t.Errorf("%s does not name the newest build", what)
			}
		}
		if !strings.Contains(page, "interior-Curlew") || !strings.Contains(files["buy.csv"], "on_hand") || len(job.Larger) == 0 != (files["larger.csv"] == "") {
			t.Error("an interior or the buy list is missing")
		}
	}
}

// squeezed leaves out spaces and line ends, where a book may break a title.
func squeezed(s string) string { return strings.Join(strings.Fields(s), "") }
