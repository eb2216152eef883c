package diagram

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/output/draw"
	"sawbook/output/internal/sample"
)

const labelMM = measure.Millimetre

// labelSizes are labels of usual kinds: of a roll, of sheets, the smallest, and the largest.
var labelSizes = [][2]measure.Length{{62, 29}, {70, 37}, {60, 28}, {105, 74}}

// onRoll has a job's labels printed on a roll.
func onRoll(job *batch.Job, size [2]measure.Length) {
	w, h := size[0]*labelMM, size[1]*labelMM
	job.Batch.Shop.Labels = &shop.Labels{Width: w, Height: h, Columns: 1, Rows: 1, PaperWidth: w, PaperHeight: h, PitchX: w, PitchY: h}
}

// Three strips are ripped, then the first two crosscut: both sides come off by the cuts that
// free them, the lid last. Copy for copy they go to the vehicles in turn.
func TestLabelsComeAsCut(t *testing.T) {
	job := sample.Small(measure.Style{})
	var got []string
	for _, l := range batch.Labels(job) {
		got = append(got, l.ID+" "+l.Serial+" "+l.Place.Part)
	}
	want := []string{
		"spring-0badcafe/A-001/1 C-01 side", "spring-0badcafe/A-001/2 C-01 right", "spring-0badcafe/A-002/1 C-01 lid",
		"spring-0badcafe/A-001/3 C-02 side", "spring-0badcafe/A-001/4 C-02 right", "spring-0badcafe/A-002/2 C-02 lid",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	job.Materials[0].Saw.Stack = 2 // both sheets are cut at once
	got = nil
	for _, l := range batch.Labels(job) {
		got = append(got, l.Piece.ID+"/"+l.Serial)
	}
	if diff := cmp.Diff([]string{"A-001/C-01", "A-001/C-01", "A-001/C-02", "A-001/C-02", "A-002/C-01", "A-002/C-02"}, got); diff != "" {
		t.Error(diff)
	}
}

// Setting by setting, both sheets are ripped before either is crosscut: copies of a part follow
// one another.
func TestLabelsComeBySetting(t *testing.T) {
	job := sample.Small(measure.Style{})
	job.Batch.Shop.Saw.BySetting = true
	var got []string
	for _, l := range batch.Labels(job) {
		got = append(got, l.Piece.ID+"/"+l.Serial)
	}
	if diff := cmp.Diff([]string{"A-001/C-01", "A-001/C-01", "A-001/C-02", "A-001/C-02", "A-002/C-01", "A-002/C-02"}, got); diff != "" {
		t.Error(diff)
	}
}

// Every copy of every part of the demo has one label, with a code of its own, and goes to a
// vehicle whose interior has that place.
func TestEveryPartIsLabelled(t *testing.T) {
	job := sample.Demo(t, measure.Style{})
	for _, bySetting := range []bool{false, true} {
		job.Batch.Shop.Saw.BySetting = bySetting
		checkEveryPart(t, job)
	}
}

func checkEveryPart(t *testing.T, job *batch.Job) {
	t.Helper()
	counts, ids, spots := map[*cabinets.Piece]int{}, map[string]bool{}, map[string]bool{}
	for _, l := range batch.Labels(job) {
		counts[l.Piece]++
		if ids[l.ID] {
			t.Errorf("two labels have the code %s", l.ID)
		}
		ids[l.ID] = true
		if l.IsBlank {
			continue
		}
		spot := l.Serial + "/" + l.Place.Cabinet + "/" + l.Place.Part
		if l.Part == nil || spots[spot] {
			t.Errorf("%s goes to %s, where nothing or another goes", l.ID, spot)
		}
		spots[spot] = true
	}
	for _, p := range job.Pieces {
		if counts[p] != p.Count {
			t.Errorf("%s has %d labels, %d are cut", p.ID, counts[p], p.Count)
		}
	}
}

// No text of a label touches another, the sketch, or the code and its quiet zone, or leaves the
// label; number, size, vehicle, sketch and code are always there.
func TestLabelsFit(t *testing.T) {
	for _, style := range []measure.Style{{}, {Unit: measure.Inches, Denominator: 32}} {
		long := sample.Small(style)
		long.Pieces[0].ID, long.Batch.Vehicles[0].Serial = "AA-1001", "FIT-OUT-2026-000031"
		in := long.Batch.Vehicles[0].Interior
		in.Contacts = nil // they name the cabinet
		in.Cabinets[0].Name = "Schubkastenvorderstückverstärkungsleistenhalterung"
		for i := range long.Pieces {
			for k := range long.Pieces[i].Goes {
				long.Pieces[i].Goes[k].Cabinet = in.Cabinets[0].Name
			}
		}
		thin := long.Pieces[1] // 3 m by 40 mm, all its edges different
		thin.Length, thin.Width = 3000*labelMM, 40*labelMM
		band, lipping := long.Batch.Shop.Bands[0], &shop.Band{ID: "oak-8", Lipping: true}
		thin.Edges = [4]cabinets.Edge{
			{Treatment: &shop.Treatment{Band: band}, Felted: true}, {Treatment: &shop.Treatment{Band: lipping, Round: true}, VoidFree: true},
			{Treatment: &shop.Treatment{}}, {Felted: true},
		}
		for _, job := range []*batch.Job{sample.Demo(t, style), long} {
			for _, size := range labelSizes {
				onRoll(job, size)
				s := NewLabelSheets(job, 1)
				seen := map[string]bool{}
				for i := range s.labels {
					c := s.card(&s.labels[i])
					if key := c.key(); !seen[key] { // the others differ in digits
						seen[key] = true
						d, err := s.Sheet(i)
						if err != nil {
							t.Fatal(err)
						}
						checkLabel(t, d, &s.labels[i], c)
					}
				}
				if len(seen) < 2 {
					t.Error("nothing was checked")
				}
			}
		}
	}
}

func checkLabel(t *testing.T, d draw.Drawing, l *batch.Label, c card) {
	t.Helper()
	page := box{0, 0, d.Width, d.Height}
	var texts []draw.Text
	var taken []box
	words := ""
	for _, shape := range d.Shapes {
		switch v := shape.(type) {
		case draw.Text:
			texts = append(texts, v)
			words += v.Text + "\n"
		case draw.Modules:
			zone := box{v.X, v.Y, v.X + v.Side(), v.Y + v.Side()}.inset(-quiet * v.Module)
			if n := len(v.Rows); n < 21 || (n-17)%4 != 0 {
				t.Errorf("%s: a code of %d modules; ISO/IEC 18004 has 17 + 4 v", l.ID, n)
			}
			if !page.holds(zone) {
				t.Errorf("%s: the quiet zone of the code leaves the label", l.ID)
			}
			taken = append(taken, zone)
		default:
			taken = append(taken, extentOf(v))
		}
	}
	for i, text := range texts {
		b := boxOf(text)
		if !page.holds(b) {
			t.Errorf("%s on %g x %g: %q leaves the label", l.ID, d.Width, d.Height, text.Text)
		}
		if overlapsAny(b, taken) {
			t.Errorf("%s on %g x %g: %q lies over the sketch or the code", l.ID, d.Width, d.Height, text.Text)
		}
		for _, other := range texts[:i] {
			if b.inset(0.01).overlaps(boxOf(other)) {
				t.Errorf("%s on %g x %g: %q and %q overlap", l.ID, d.Width, d.Height, text.Text, other.Text)
			}
		}
	}
	if len(taken) < 2 {
		t.Errorf("%s on %g x %g: no sketch", l.ID, d.Width, d.Height)
	}
	for _, want := range []string{l.Piece.ID, c.size} {
		if !strings.Contains(words, want+"\n") {
			t.Errorf("%s on %g x %g: %q is missing", l.ID, d.Width, d.Height, want)
		}
	}
}

// A part is sketched as it lies with its label up: seen from below it is turned over about its
// length, so that the near edge is at the top.
func TestSketchIsSeenFromTheLabel(t *testing.T) {
	p := sample.Small(measure.Style{}).Pieces[0] // banded near, sealed far and at its end, felt there
	for fromBelow, want := range map[bool][]string{false: {"B", "S", "", "SF"}, true: {"S", "B", "", "SF"}} {
		var got []string
		s := sketchOf(p, fromBelow)
		for _, e := range s.edges {
			got = append(got, e.letters)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("from below %v: %s", fromBelow, diff)
		}
	}
}

// A label goes onto a face that nobody sees, of these onto the one that is glued less.
func TestWhereALabelSticks(t *testing.T) {
	const lower, upper = 0, 1
	for name, test := range map[string]struct {
		faces labelFaces
		want  int
	}{
		"nothing against either":       {labelFaces{}, lower},
		"the lower one is good":        {labelFaces{good: [2]bool{true, false}, exposed: [2]bool{false, true}}, upper},
		"the lower one is exposed":     {labelFaces{exposed: [2]bool{true, false}, felted: [2]bool{false, true}}, upper},
		"the lower one is glued over":  {labelFaces{area: 10, glued: [2]float64{6, 4}}, upper},
		"glued, but the other is seen": {labelFaces{area: 10, glued: [2]float64{10, 0}, exposed: [2]bool{false, true}}, lower},
		"felt on the lower one":        {labelFaces{area: 10, felted: [2]bool{true, false}, glued: [2]float64{0, 2}}, upper},
	} {
		got := lower
		if test.faces.against(upper) < test.faces.against(lower) {
			got = upper
		}
		if got != test.want {
			t.Errorf("%s: sticks on the %s face", name, faceNames[got])
		}
	}
	job := sample.Small(measure.Style{})
	onRoll(job, labelSizes[0])
	s := NewLabelSheets(job, 1)
	side := s.card(&s.labels[0]).notes
	for _, want := range []string{"stick on lower face", "good: upper face", "B oak-2"} {
		if !slices.Contains(side, want) {
			t.Errorf("%q is missing in %q", want, side)
		}
	}
}

// The first labels of a used sheet stay free, and the rest goes on in the same order.
func TestLabelsFrom(t *testing.T) {
	job := sample.Small(measure.Style{})
	job.Batch.Shop.Labels = &shop.Labels{Width: 70 * labelMM, Height: 37 * labelMM, Columns: 3, Rows: 2, PaperWidth: 210 * labelMM, PaperHeight: 80 * labelMM, Top: 2 * labelMM, PitchX: 70 * labelMM, PitchY: 38 * labelMM}
	s := NewLabelSheets(job, 6)
	if s.Count() != 2 {
		t.Fatalf("6 labels from the 6th of 6 on take %d sheets", s.Count())
	}
	for sheet, want := range [][][2]float64{{{140, 40}}, {{0, 2}, {70, 2}, {140, 2}, {0, 40}, {70, 40}}} {
		d, err := s.Sheet(sheet)
		if err != nil {
			t.Fatal(err)
		}
		var got [][2]float64
		for _, shape := range d.Shapes {
			if text, isText := shape.(draw.Text); isText && strings.HasPrefix(text.Text, "A-00") {
				got = append(got, [2]float64{float64(int(text.X/70)) * 70, 2 + float64(int((text.Y-2)/38))*38})
			}
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("sheet %d: %s", sheet, diff)
		}
	}
}

// An independent reader finds the codes of all labels as they come out of a printer with 300
// dots to the inch.
func TestCodesAreRead(t *testing.T) {
	for _, tool := range []string{"pdftoppm", "zbarimg"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skipf("%s is not installed (Debian: poppler-utils, zbar-tools)", tool)
		}
	}
	dir := t.TempDir()
	job := sample.Small(measure.Style{})
	for i, size := range labelSizes {
		onRoll(job, size)
		s := NewLabelSheets(job, 1)
		for n := range s.Count() {
			d, err := s.Sheet(n)
			if err != nil {
				t.Fatal(err)
			}
			var pdf bytes.Buffer
			if err := draw.WritePDF(&pdf, "label", []draw.Page{{Width: d.Width, Height: d.Height, Drawing: d}}); err != nil {
				t.Fatal(err)
			}
			image := filepath.Join(dir, "label")
			render := exec.Command("pdftoppm", "-r", "300", "-png", "-singlefile", "-", image)
			render.Stdin = &pdf
			if out, err := render.CombinedOutput(); err != nil {
				t.Fatalf("%v %s", err, out)
			}
			read, err := exec.Command("zbarimg", "--quiet", "--raw", image+".png").Output()
			if got := strings.TrimSpace(string(read)); err != nil || got != s.labels[n].ID {
				t.Errorf("label %d of size %d reads %q, want %q (%v)", n+1, i, got, s.labels[n].ID, err)
			}
			if err := os.Remove(image + ".png"); err != nil {
				t.Fatal(err)
			}
		}
	}
}
