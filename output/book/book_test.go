package book

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/output/diagram"
	"sawbook/output/draw"
	"sawbook/output/internal/sample"
	"sawbook/output/table"
)

// folder writes a job's folder to memory.
func folder(t testing.TB, job *batch.Job) map[string]string {
	t.Helper()
	files := map[string]string{}
	err := WriteFolder(job, func(name string, write func(io.Writer) error) error {
		if _, twice := files[name]; twice {
			t.Errorf("%s is written twice", name)
		}
		var b bytes.Buffer
		err := write(&b)
		files[name] = b.String()
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

func TestWriteFolder(t *testing.T) {
	files := folder(t, sample.Small(measure.Style{}))
	want := []string{"index.html", "plan.json", "book.pdf", "diagrams/A-1.svg", "machining/A-001.svg", "cabinets/chest.svg"}
	for _, list := range []string{"parts", "cuts", "settings", "run", "machining", "edges", "felt", "felt-map", "buy", "estimate", "sheets", "layouts", "kitting", "loads", "order", "findings"} {
		want = append(want, list+".csv", list+".txt", list+".json")
	}
	var got []string
	for name := range files {
		got = append(got, name)
	}
	slices.Sort(want)
	slices.Sort(got)
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if files["plan.json"] != "{}\n" {
		t.Errorf("plan.json is not the plan as written: %q", files["plan.json"])
	}
}

// The PDF holds every drawing on a page of its own, of the paper that the shop uses.
func TestDrawingsPDF(t *testing.T) {
	if _, err := exec.LookPath("pdfinfo"); err != nil {
		t.Skip("pdfinfo is not there (Debian: poppler-utils)")
	}
	for style, size := range map[measure.Style]string{{}: "841.89 x 595.28 pts (A4)", {Unit: measure.Inches}: "792 x 612 pts (letter)"} {
		job := sample.Small(style)
		files := folder(t, job)
		all, err := drawAll(job)
		if err != nil {
			t.Fatal(err)
		}
		drawings, total := 0, 1 // the contents
		for name := range files {
			if strings.HasSuffix(name, ".svg") {
				drawings++
			}
		}
		for _, c := range chaptersOf(job, sections(job, all)) {
			total += len(c.pages)
		}
		if total <= drawings {
			t.Errorf("%d pages hold %d drawings and the lists", total, drawings)
		}
		info := exec.Command("pdfinfo", "-")
		info.Stdin = strings.NewReader(files["book.pdf"])
		out, err := info.CombinedOutput()
		if err != nil {
			t.Fatalf("%v %s", err, out)
		}
		for _, want := range []string{fmt.Sprintf("Pages:           %d\n", total), size, "Saltmarsh Fit-Out, spring-" + job.Digest} {
			if !strings.Contains(string(out), want) {
				t.Errorf("%q is missing in\n%s", want, out)
			}
		}
	}
}

// The contents say where each chapter begins; every page says which it is, and of which batch;
// what the page in the browser lists, the book lists as well.
func TestContents(t *testing.T) {
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("pdftotext is not there (Debian: poppler-utils)")
	}
	for name, job := range map[string]*batch.Job{"metric": hard(sample.Metric(3, 30), 3), "imperial": hard(sample.Imperial(4, 40), 2)} {
		files := folder(t, job)
		text := exec.Command("pdftotext", "-layout", "-", "-")
		text.Stdin = strings.NewReader(files["book.pdf"])
		out, err := text.Output()
		if err != nil {
			t.Fatal(err)
		}
		pages := strings.Split(strings.TrimSuffix(string(out), "\f"), "\f")
		for i, page := range pages {
			if !strings.Contains(page, fmt.Sprintf("page %d of %d", i+1, len(pages))) || !strings.Contains(page, job.Batch.Name+"-"+job.Digest) {
				t.Errorf("%s: page %d does not say so", name, i+1)
			}
		}
		all, err := drawAll(job)
		if err != nil {
			t.Fatal(err)
		}
		at := 1
		for _, c := range chaptersOf(job, sections(job, all)) {
			line := regexp.MustCompile(`(?m)^ *` + regexp.QuoteMeta(c.title) + ` +(\d+)$`).FindStringSubmatch(pages[0])
			if line == nil || line[1] != fmt.Sprint(at+1) {
				t.Errorf("%s: %s begins on page %d, the contents say %q", name, c.title, at+1, line)
			}
			at += len(c.pages)
		}
		for _, list := range []string{"Estimate", "Settings", "Parts", "Cautions"} {
			if !strings.Contains(string(out), list) {
				t.Errorf("%s: no %s in the book", name, list)
			}
		}
	}
}

// A vehicle's book holds its own cabinets and parts, with the numbers of the batch.
func TestBinders(t *testing.T) {
	job := sample.Small(measure.Style{})
	var names []string
	err := WriteBinders(job, func(name string, write func(io.Writer) error) error {
		names = append(names, name)
		var pdf bytes.Buffer
		if err := write(&pdf); err != nil || !strings.HasPrefix(pdf.String(), "%PDF-") {
			t.Errorf("%s is no PDF: %v", name, err)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	var want []string
	for _, v := range job.Batch.Vehicles {
		want = append(want, "vehicles/"+v.Serial+".pdf")
		// What rests on plans is the batch's, and told of no vehicle by itself.
		figures := fmt.Sprint(table.Figures(batch.List(job.Batch.Only(v.Serial))))
		if !strings.Contains(figures, "{1 vehicle}") || strings.Contains(figures, "sheets") || strings.Contains(figures, job.Batch.Shop.Currency) {
			t.Errorf("a vehicle's book begins with %s", figures)
		}
	}
	if !slices.Equal(names, want) || len(want) == 0 {
		t.Errorf("%q, want %q", names, want)
	}
}

// Labels go into files of their own, so many in each; on a used sheet the first stay free.
func TestLabels(t *testing.T) {
	job := sample.Small(measure.Style{})
	const mm = measure.Millimetre
	job.Batch.Shop.Labels = &shop.Labels{Width: 70 * mm, Height: 37 * mm, Columns: 3, Rows: 8, PaperWidth: 210 * mm, PaperHeight: 297 * mm, PitchX: 70 * mm, PitchY: 37 * mm}
	for from, want := range map[int]int{0: 1, 1: 1, 19: 1, 20: 2} { // of 6 labels
		job.LabelsFrom = from
		files := folder(t, job)
		if got := strings.Count(files["labels.pdf"], "/Type /Page\n"); got != want {
			t.Errorf("from label %d on: %d sheets, want %d", from, got, want)
		}
	}
	job.LabelsFrom = 1
	job.Materials[0].Patterns[0].Times = 801
	files := folder(t, job) // 3 parts each, 2403 in all
	if files["labels-2.pdf"] == "" || files["labels-3.pdf"] != "" {
		t.Error("2403 labels are not in two files")
	}
}

// A cabinet is drawn once for all places where it is made of the same pieces, with their
// numbers.
func TestCabinets(t *testing.T) {
	job := sample.Small(measure.Style{})
	in := job.Batch.Vehicles[0].Interior
	second := in.Cabinets[0]
	second.Name = "other"
	in.Cabinets = append(in.Cabinets, second)
	for _, p := range job.Pieces {
		for _, place := range slices.Clone(p.Goes) {
			place.Cabinet = "other"
			p.Goes = append(p.Goes, place)
		}
	}
	svg := folder(t, job)["cabinets/chest.svg"]
	for _, want := range []string{">A-001<", ">A-002<", "Curlew + long box, Curlew + long other"} {
		if !strings.Contains(svg, want) {
			t.Errorf("%q is not on the drawing", want)
		}
	}
	// In the other one the lid is another piece: it gets a drawing of its own.
	lid := *job.Pieces[1]
	lid.ID, lid.Goes = "A-003", lid.Goes[1:]
	job.Pieces[1].Goes = job.Pieces[1].Goes[:1]
	job.Pieces = append(job.Pieces, &lid)
	if svg := folder(t, job)["cabinets/chest-2.svg"]; !strings.Contains(svg, ">A-003<") {
		t.Error("A-003 is not on the second drawing")
	}
}

// A piece with a cut-out gets a template, to which the page leads.
func TestTemplates(t *testing.T) {
	job := sample.Small(measure.Style{})
	piece := job.Pieces[0]
	piece.Features = append(piece.Features, cabinets.Feature{Kind: cabinets.Cutout, Box: cabinets.Box{Hi: [3]measure.Length{50 * measure.Millimetre, 50 * measure.Millimetre, piece.Material.Thickness}}})
	files := folder(t, job)
	const file = "machining/A-001-template.svg"
	if !strings.Contains(files[file], "scale 1:1") || !strings.Contains(files["index.html"], `href="`+file+`"`) {
		t.Errorf("no template, or nothing leads to it: %.80q", files[file])
	}
	if !strings.Contains(files["index.html"], draw.Inline(files["machining/A-001.svg"])) {
		t.Error("the page does not hold the machining drawing")
	}
	if _, tiled, _ := strings.Cut(files["index.html"], `<section id="templates">`); !strings.Contains(strings.SplitN(tiled, "</section>", 2)[0], "<svg") {
		t.Error("the page does not hold the tiles of the template")
	}
}

// hard is a job that is hard to print: many parts, long and awkward names, both kinds of
// trouble on one page.
func hard(o sample.Options, patterns int) *batch.Job {
	o.Patterns, o.Names = patterns, append(slices.Clone(sample.Names), sample.LongNames...)
	return sample.Job(o)
}

// broad is a job with every column of the layouts and a long list of joints. A browser that
// finds a list wider than the page prints all of it smaller, the drawings as well.
func broad(style measure.Style) *batch.Job {
	job := sample.Small(style)
	solid := job.Batch.Vehicles[0].Interior.Cabinets[0].Solid
	use := &job.Estimate.Layouts[0]
	use.Layout, use.Parts, use.Sheets, use.Kept, use.Cost, use.Mass = "Curlew + no-pantry bank", 182.68, 195.72, 24.59, 1403366, 1235
	use.Lipping, use.Sealed, use.Rounded, use.Finished = 12*measure.Metre, 127*measure.Metre, 12*measure.Metre, 29
	how := &shop.Joint{ID: "screwed", Kind: "butt", Glued: true, Fixing: &shop.Hardware{ID: "screw-50"}}
	for i := range 60 {
		solid.Joints = append(solid.Joints, cabinets.Joint{How: how, Through: "drawer.right-side", Into: "front-panel", Run: measure.Length(1000+i) * measure.Millimetre, Fixings: 13})
	}
	return job
}

func TestSameBytes(t *testing.T) {
	first, second := folder(t, hard(sample.Metric(3, 40), 3)), folder(t, hard(sample.Metric(3, 40), 3))
	if diff := cmp.Diff(first, second); diff != "" {
		t.Error(diff)
	}
}

func TestWriteFolderReturnsTheFirstError(t *testing.T) {
	full := errors.New("disk full")
	job := sample.Small(measure.Style{})
	for n := range len(folder(t, job)) {
		calls := 0
		err := WriteFolder(job, func(_ string, write func(io.Writer) error) error {
			calls++
			if calls > n {
				return full
			}
			return write(io.Discard)
		})
		if !errors.Is(err, full) || calls != n+1 {
			t.Errorf("with room for %d files: %d calls, error %v", n, calls, err)
		}
	}
}

// The page holds it all and fetches nothing.
func TestPage(t *testing.T) {
	job := sample.Small(measure.Style{})
	job.Pieces[0].Name = `<script>alert("&")</script>`
	page := folder(t, job)["index.html"]
	for _, want := range []string{
		"<b>2</b> sheets, at least 2 needed", "<b>54.1 %</b> waste", "<b>106.40</b> EUR", "<b>4.8</b> kg", // the sums
		"the lid is heavy", "add a stay", // findings
		"pack of 10", "50 m roll", // what to buy
		"50 mm on paper",       // a diagram
		"2 of strip 980 × 200", // its cuts
		"2 holes; 1 groove", "felt</td>", "Butt hinge",
		"2 mg/m³ over 8 hours", "(EU) 2017/2398", // that directive's limit for hardwood dust
		"IARC group 1",                    // wood dust
		"6 in (152 mm)", "12 in (305 mm)", // saw manuals; 25.4 mm to the inch
		"450 mm", "last 300 mm", "8 mm of the blade", // HSE woodworking sheets
		"local codes and licensed practice",
		"&lt;script&gt;alert",
	} {
		if !strings.Contains(page, want) {
			t.Errorf("%q is missing", want)
		}
	}
	for _, never := range []string{"<script", "<link", "<img", "src=", "@import", "url(", "crash safe", "crash-safe", "ZgotmplZ", "edge_near"} {
		if strings.Contains(strings.ReplaceAll(page, "url(data:", ""), never) { // the type is held in the page
			t.Errorf("the page holds %q", never)
		}
	}
	ids := regexp.MustCompile(`\bid="([^"]*)"`).FindAllStringSubmatch(page, -1)
	seen := map[string]bool{}
	for _, id := range ids {
		if seen[id[1]] {
			t.Errorf("id %s twice", id[1])
		}
		seen[id[1]] = true
	}
	for _, link := range regexp.MustCompile(`href="#([^"]*)"`).FindAllStringSubmatch(page, -1) {
		if !seen[link[1]] {
			t.Errorf("a link to #%s leads nowhere", link[1])
		}
	}
}

func TestDiagramsAreXML(t *testing.T) {
	files := folder(t, hard(sample.Imperial(5, 60), 4))
	diagrams := 0
	for name, text := range files {
		if !strings.HasPrefix(name, "diagrams/") {
			continue
		}
		diagrams++
		if err := xml.Unmarshal([]byte(text), new(struct {
			XMLName xml.Name `xml:"svg"`
		})); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	if diagrams < 4 {
		t.Errorf("%d diagrams of 4 patterns", diagrams)
	}
}

// A plain part list has one material without a letter and no vehicles.
func TestPlainList(t *testing.T) {
	job := sample.Job(sample.Metric(1, 5))
	job.Materials[0].Letter = ""
	job.Batch.Vehicles, job.Estimate.Layouts = nil, nil
	files := folder(t, job)
	if files["diagrams/1.svg"] == "" {
		t.Error("the diagram of pattern 1 is not diagrams/1.svg")
	}
	if strings.Contains(files["index.html"], "vehicles") {
		t.Error("a plain list has no vehicles")
	}
}

// A job without a sheet still has a page that says so.
func TestNothingToCut(t *testing.T) {
	job := sample.Small(measure.Style{})
	job.Materials, job.Pieces, job.Estimate = nil, nil, batch.Estimate{}
	if page := folder(t, job)["index.html"]; !strings.Contains(page, "<b>0</b> sheets") {
		t.Error("the page does not say that there are no sheets")
	}
}

// printed is what Chromium makes of a job's page: the PDF's pages as text with places.
func printed(t *testing.T, job *batch.Job) (pages []string) {
	t.Helper()
	for _, tool := range []string{"chromium", "pdftotext"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skipf("%s is not installed", tool)
		}
	}
	dir := t.TempDir()
	html, pdf := filepath.Join(dir, "index.html"), filepath.Join(dir, "page.pdf")
	if err := os.WriteFile(html, []byte(folder(t, job)["index.html"]), 0o644); err != nil {
		t.Fatal(err)
	}
	run := func(name string, args ...string) []byte {
		out, err := exec.Command(name, args...).Output()
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		return out
	}
	run("chromium", "--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking", "--user-data-dir="+dir,
		"--no-pdf-header-footer", "--print-to-pdf="+pdf, "file://"+html)
	return strings.Split(string(run("pdftotext", "-bbox", pdf, "-")), "<page ")[1:]
}

var word = regexp.MustCompile(`xMax="([\d.]+)" yMax="[\d.]+">([^<]*)</word>`)

// A real browser prints each drawing on a page of its own, at the scale it was drawn:
// its right end lies on the margin, to 0.3 mm.
func TestPrint(t *testing.T) {
	if testing.Short() {
		t.Skip("starts a browser")
	}
	for name, job := range map[string]*batch.Job{
		"metric": hard(sample.Metric(3, 30), 3), "imperial": hard(sample.Imperial(4, 40), 2),
		"metric lists": broad(measure.Style{}), "imperial lists": broad(measure.Style{Unit: measure.Inches, Denominator: 32}),
	} {
		paper := diagram.PaperFor(job.Batch.Shop.Style.Unit)
		t.Run(name, func(t *testing.T) {
			t.Parallel() // a browser is slow to start
			drawings := 0
			for name := range folder(t, job) {
				if strings.HasPrefix(name, "diagrams/") && !strings.Contains(name, "page") {
					drawings++
				}
			}
			found := 0
			for i, page := range printed(t, job) {
				words := word.FindAllStringSubmatch(page, -1)
				bars := 0
				for _, w := range words {
					if w[2] != "paper" {
						continue
					}
					bars++
					var points float64
					fmt.Sscan(w[1], &points)
					if end := points * 25.4 / 72; end < paper.Width-paper.Margin-0.3 || end > paper.Width-paper.Margin+0.3 {
						t.Errorf("page %d: a drawing ends at %.1f mm of %.1f", i+1, end, paper.Width-paper.Margin)
					}
				}
				if bars > 1 {
					t.Errorf("page %d holds %d drawings", i+1, bars)
				}
				found += bars
			}
			if found != drawings {
				t.Errorf("%d drawings on paper, %d drawn", found, drawings)
			}
		})
	}
}

func BenchmarkFolder(b *testing.B) {
	job := sample.Job(func() sample.Options { o := sample.Metric(3, 25); o.Patterns = 60; return o }())
	for b.Loop() {
		if err := WriteFolder(job, func(_ string, write func(io.Writer) error) error { return write(io.Discard) }); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkFifty writes the book of fifty vehicles, and all that lies beside it.
func BenchmarkFifty(b *testing.B) {
	job := sample.Many(b, 50)
	for b.Loop() {
		if err := WriteFolder(job, func(_ string, write func(io.Writer) error) error { return write(io.Discard) }); err != nil {
			b.Fatal(err)
		}
	}
}
