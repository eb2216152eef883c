package table_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
	"sawbook/nest"
	"sawbook/output/table"

	"pgregory.net/rapid"
)

// printed is a row of the table of cuts as a saw hand reads it: texts, and lengths in mm.
type printed struct {
	pattern, cut, of, frees, remains                    string
	times, step, stage                                  int
	set, fromLength, fromWidth, freesLength, freesWidth float64
	remainsLength, remainsWidth                         float64
}

// columns of the table of cuts, in the order in which it is printed.
var columns = []string{"material", "pattern", "times", "runs", "step", "stage", "cut", "of", "set", "from_length", "from_width",
	"frees", "frees_length", "frees_width", "remains", "remains_length", "remains_width"}

func readRow(cell func(key string) string) printed {
	number := func(key string) float64 {
		v, err := strconv.ParseFloat(cell(key), 64)
		if err != nil {
			return 0 // an empty cell
		}
		return v
	}
	return printed{
		pattern: cell("material") + " " + cell("pattern"), cut: cell("cut"), of: cell("of"), frees: cell("frees"), remains: cell("remains"),
		times: int(number("times")), step: int(number("step")), stage: int(number("stage")), set: number("set"),
		fromLength: number("from_length"), fromWidth: number("from_width"), freesLength: number("frees_length"), freesWidth: number("frees_width"),
		remainsLength: number("remains_length"), remainsWidth: number("remains_width"),
	}
}

// fromCSV reads the rows of the table as a spreadsheet does.
func fromCSV(t *rapid.T, text []byte) (rows []printed) {
	records, err := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(text, []byte("\ufeff")))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, record := range records[1:] {
		rows = append(rows, readRow(func(key string) string {
			at := slices.Index(records[0], key+"_mm")
			if at < 0 {
				at = slices.Index(records[0], key)
			}
			return record[at]
		}))
	}
	return rows
}

// fromText reads the rows of the table as it is printed: dashes show where columns are.
func fromText(t *rapid.T, text []byte) (rows []printed) {
	lines := strings.Split(strings.TrimRight(string(text), "\n"), "\n")
	rule := slices.IndexFunc(lines, func(line string) bool { return strings.HasPrefix(line, "---") })
	var starts []int
	for i, r := range lines[rule] {
		if r == '-' && (i == 0 || lines[rule][i-1] == ' ') {
			starts = append(starts, i)
		}
	}
	if len(starts) != len(columns) {
		t.Fatalf("%d columns: %s", len(starts), lines[rule-1])
	}
	for _, line := range lines[rule+1:] {
		rows = append(rows, readRow(func(key string) string {
			at := slices.Index(columns, key)
			cell := []rune(line)
			cell = cell[min(starts[at], len(cell)):]
			if at+1 < len(starts) {
				cell = cell[:min(starts[at+1]-starts[at], len(cell))]
			}
			return strings.TrimSpace(string(cell))
		}))
	}
	return rows
}

// sawHand cuts what the table says, from sheets of whatever size it begins with. It knows the
// blades and nothing of where parts lie.
type sawHand struct {
	t           *rapid.T
	kerf, track float64
	parts       map[string][]size // in hand, by the name that the table gives them
}

type size struct{ length, width float64 }

func (s size) String() string { return fmt.Sprintf("%g x %g", s.length, s.width) }

// mm rounds to what the table prints exactly.
func mm(x float64) float64 { return math.Round(x*1e6) / 1e6 }

// pattern cuts one pattern once.
func (h *sawHand) pattern(rows []printed) {
	first := size{rows[0].fromLength, rows[0].fromWidth}
	aside := map[string]size{"sheet": first}
	if rows[0].of == "blank" {
		name := rows[0].pattern[strings.LastIndexByte(rows[0].pattern, ' ')+1:]
		at := slices.Index(h.parts[name], first)
		if at < 0 {
			h.t.Fatalf("no blank %s of %s in hand: %v", name, first, h.parts[name])
		}
		h.parts[name] = slices.Delete(h.parts[name], at, at+1)
		aside = map[string]size{"blank": first}
	}
	rough := map[string]int{} // edges that the track saw made and that are not trued
	last := ""                // what the last cut left on the saw
	for _, r := range rows {
		of := r.of
		if of == "rest" {
			of = last
		}
		piece, ok := aside[of]
		if !ok || piece != (size{r.fromLength, r.fromWidth}) {
			h.t.Fatalf("%+v: %q is %v", r, of, piece)
		}
		delete(aside, of)
		if r.step == 0 {
			piece = h.shorten(piece, r, r.set)
			h.expect(r, piece, r.remainsLength, r.remainsWidth)
			if strings.HasPrefix(r.cut, "true") {
				rough[of]--
			}
			if r.remains != "" && rough[of] != 0 {
				h.t.Fatalf("%+v: %d edges are not trued", r, rough[of])
			}
			if h.lay(r.remains, piece) {
				aside[of] = piece
			}
			continue
		}
		freed := piece
		if strings.HasPrefix(r.cut, "rip") {
			freed.width = r.set
		} else {
			freed.length = r.set
		}
		kerf, track := h.kerf, strings.Contains(r.cut, "track saw")
		strip, left := "strip "+strconv.Itoa(r.step), "rest "+strconv.Itoa(r.step)
		switch {
		case track:
			kerf = h.track
			rough[strip], rough[left] = rough[of]+1, 1
		case rough[of] != 0:
			h.t.Fatalf("%+v: %d edges are not trued", r, rough[of])
		}
		rest := h.shorten(piece, r, r.set+kerf)
		h.expect(r, freed, r.freesLength, r.freesWidth)
		if h.lay(r.frees, freed) {
			aside[strip] = freed
		}
		if min(rest.length, rest.width) <= 0 {
			rest = size{}
		}
		h.expect(r, rest, r.remainsLength, r.remainsWidth)
		if last = left; rest != (size{}) && h.lay(r.remains, rest) {
			aside[last] = rest
		}
	}
	if len(aside) > 0 {
		h.t.Fatalf("%s: left lying: %v", rows[0].pattern, aside)
	}
}

// shorten takes something off a piece, at right angles to the cut.
func (h *sawHand) shorten(s size, r printed, by float64) size {
	if strings.Contains(r.cut, "rip") {
		return size{s.length, mm(s.width - by)}
	}
	return size{mm(s.length - by), s.width}
}

func (h *sawHand) expect(r printed, got size, length, width float64) {
	if got != (size{length, width}) {
		h.t.Fatalf("%+v: %s comes of it, and %g x %g is printed", r, got, length, width)
	}
}

// lay puts a piece where its name says, and reports whether it is cut further.
func (h *sawHand) lay(name string, s size) bool {
	switch {
	case name == "" || name == "strip":
		return true
	case name == "waste" || strings.HasPrefix(name, "keep "):
		return false
	}
	h.parts[name] = append(h.parts[name], s)
	return false
}

// paperShop is a shop with one material on sheets of 2500 x 1250 mm.
func paperShop() *shop.Shop {
	const mm = measure.Millimetre
	m := &shop.Material{ID: "birch-12", Name: "Birch plywood", Nominal: 12 * mm, Thickness: 12 * mm, Density: 700, Grain: true, GoodFaces: 2}
	m.Sheets = []shop.Sheet{{Length: 2500 * mm, Width: 1250 * mm, Price: 7400, Stock: -1}}
	s := &shop.Shop{Name: "Saltmarsh Fit-Out", Currency: "EUR", Materials: []*shop.Material{m}}
	s.Saw = shop.Saw{Kerf: 3200 * measure.Micrometre, Left: 10 * mm, Right: 12 * mm, Bottom: 8 * mm, Top: 10 * mm, KeepLong: 600 * mm, KeepShort: 150 * mm}
	return s
}

// TestCutOnPaper cuts 25 parts of random sizes from the table of cuts alone, as text and as
// CSV, with small parts and with a track saw and without: exactly the parts ordered come of
// it. What the plan's JSON says of each cut agrees with the table.
func TestCutOnPaper(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := paperShop()
		if rapid.Bool().Draw(t, "track") {
			s.Saw.Track = &shop.Track{Kerf: 2200 * measure.Micrometre, Rail: 2700 * measure.Millimetre, Allowance: 3 * measure.Millimetre,
				Lift: rapid.Float64Range(7, 25).Draw(t, "lift")}
		}
		if rapid.Bool().Draw(t, "smallest") {
			s.Saw.LeastLength, s.Saw.LeastWidth = 150*measure.Millimetre, 60*measure.Millimetre
		}
		s.Saw.Stages = rapid.SampledFrom([]int{0, 2, 3}).Draw(t, "stages")
		want := map[string][]size{}
		list := "part,length,width,count,grain\n"
		for left, i := 25, 0; left > 0; i++ {
			n := rapid.IntRange(1, left).Draw(t, "count")
			length, width := rapid.IntRange(30, 2400).Draw(t, "length"), rapid.IntRange(20, 600).Draw(t, "width")
			name := fmt.Sprintf("p%d", i)
			list += fmt.Sprintf("%s,%d,%d,%d,length\n", name, length, width, n)
			want[name] = slices.Repeat([]size{{float64(length), float64(width)}}, n)
			left -= n
		}
		var faults source.Collector
		b := batch.ReadList(&faults, "list.csv", strings.NewReader(list), s)
		if err := faults.Err(); err != nil {
			t.Fatal(err)
		}
		job, err := batch.Work(context.Background(), b, batch.Options{Effort: nest.Quick})
		if err != nil {
			t.Fatal(err)
		}
		cuts := table.Cuts(job)
		var text, values bytes.Buffer
		if err := cuts.WriteText(&text); err != nil {
			t.Fatal(err)
		}
		if err := cuts.WriteCSV(&values); err != nil {
			t.Fatal(err)
		}
		rows := fromCSV(t, values.Bytes())
		if !slices.Equal(rows, fromText(t, text.Bytes())) {
			t.Fatalf("text and CSV differ:\n%s\n%s", text.String(), values.String())
		}
		h := &sawHand{t: t, kerf: 3.2, track: 2.2, parts: map[string][]size{}}
		for i := 0; i < len(rows); {
			first := i
			for ; i < len(rows) && rows[i].pattern == rows[first].pattern; i++ {
			}
			for range rows[first].times {
				h.pattern(rows[first:i])
			}
		}
		maps.DeleteFunc(h.parts, func(_ string, left []size) bool { return len(left) == 0 }) // blanks that are cut up
		if !maps.EqualFunc(h.parts, want, func(a, b []size) bool { return slices.Equal(a, b) }) {
			t.Fatalf("cut %v\nordered %v\n%s", h.parts, want, text.String())
		}
		agree(t, rows, job.Written)
	})
}

// agree holds the cuts of a plan as JSON against the rows of the table.
func agree(t *rapid.T, rows []printed, written []byte) {
	type pattern struct {
		Cuts []struct {
			Step, Stage    int
			X1, Y1, X2, Y2 float64
			Frees, Tool    string
		}
	}
	var plan struct {
		Materials []struct{ Patterns, Blanks []pattern }
	}
	if err := json.Unmarshal(written, &plan); err != nil {
		t.Fatal(err)
	}
	made := slices.DeleteFunc(slices.Clone(rows), func(r printed) bool { return r.step == 0 })
	for _, m := range plan.Materials {
		for _, p := range append(m.Patterns, m.Blanks...) {
			for _, c := range p.Cuts {
				if len(made) == 0 {
					t.Fatal("the table has too few cuts")
				}
				r := made[0]
				made = made[1:]
				cut, run := "crosscut", mm(c.Y2-c.Y1)
				from, frees := r.fromWidth, fmt.Sprintf("%s x %s", trimmed(r.freesLength), trimmed(r.freesWidth))
				if c.Y1 == c.Y2 {
					cut, run, from = "rip", mm(c.X2-c.X1), r.fromLength
				}
				if r.frees != "strip" && r.frees != "waste" && !strings.HasPrefix(r.frees, "keep ") {
					frees = r.frees
				}
				if c.Tool != "" { // the table has what is still to be trued
					if cut += ", track saw, leave 3 mm"; r.cut != cut || run >= from {
						t.Fatalf("%+v is printed as %+v", c, r)
					}
					continue
				}
				if r.step != c.Step || r.stage != c.Stage || r.cut != cut || run != from || frees != c.Frees {
					t.Fatalf("%+v is printed as %+v", c, r)
				}
			}
		}
	}
	if len(made) > 0 {
		t.Fatalf("the table has %d cuts too many", len(made))
	}
}

// trimmed prints millimetres as a plan does.
func trimmed(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
