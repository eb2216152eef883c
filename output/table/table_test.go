package table

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"io"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/rivo/uniseg"
	"pgregory.net/rapid"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/output/internal/sample"
)

var (
	metric = measure.Style{}
	mm     = measure.Millimetre
	inches = measure.Style{Unit: measure.Inches, Denominator: 32}
)

func written(t testing.TB, write func(io.Writer) error) string {
	t.Helper()
	var b bytes.Buffer
	if err := write(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestCSV(t *testing.T) {
	want := "\ufeffpart,name,edges,kind,item,each_mm,each,count,total_m\r\n" +
		"A-001,side,near,band,oak-2,530,530 mm,4,2.12\r\n" +
		"A-001,side,far,sealed,bare,500,500 mm,4,2.00\r\n" +
		"A-001,side,end,sealed,bare,200,200 mm,4,0.80\r\n" +
		"A-001,side,,felt,Felt tape,,,2,0.40\r\n" +
		"A-002,lid,,felt,Felt tape,,,4,0.64\r\n"
	if diff := cmp.Diff(want, written(t, Edges(sample.Small(metric)).WriteCSV)); diff != "" {
		t.Error(diff)
	}
}

// Edges of one length that get the same are one row, the pieces counted by edge.
func TestEdgesOfOneLengthShareARow(t *testing.T) {
	job := sample.Small(metric)
	edges := &job.Pieces[0].Edges
	edges[cabinets.SideFar] = edges[cabinets.SideNear]
	want := []string{"A-001", "side", "near, far", "band", "oak-2", "530", "8", "4.24"}
	if diff := cmp.Diff(want, printed(Edges(job))[0]); diff != "" {
		t.Error(diff)
	}
}

// A lipping is listed by what it is, and an edge that is rounded over once more.
func TestLippedAndRounded(t *testing.T) {
	job := sample.Small(metric)
	near := job.Pieces[0].Edges[cabinets.SideNear].Treatment
	near.Round = true
	near.Band.Lipping = true
	want := [][]string{
		{"A-001", "side", "near", "lipping", "oak-2", "530", "4", "2.12"},
		{"A-001", "side", "near", "rounded", "round", "500", "4", "2.00"},
	}
	if diff := cmp.Diff(want, printed(Edges(job))[:2]); diff != "" {
		t.Error(diff)
	}
}

// A length in inches is a text with its unit, for a spreadsheet takes a bare 3/4 for the
// third of April.
func TestCSVInches(t *testing.T) {
	job := sample.Small(inches)
	job.Pieces[0].Length = 3 * measure.Inch / 4
	record := strings.Split(written(t, Parts(job).WriteCSV), "\r\n")[1]
	if !strings.HasPrefix(record, "A-001,side,birch-12,19.05,3/4 in,200,~7 7/8 in,") {
		t.Error(record)
	}
}

func TestText(t *testing.T) {
	for _, test := range []struct {
		table *Table
		want  string
	}{
		{Parts(sample.Small(metric)), `Parts

Part   Name  Material  Length  Width  Thick  Count  Grain   Edges                                kg each
-----  ----  --------  ------  -----  -----  -----  ------  -----------------------------------  -------
A-001  side  birch-12     500    200   11.9      4  length  oak-2 near; bare far; bare felt end    0.834
A-002  lid   birch-12     470    160   11.9      2  any                                            0.627
`},
		{Findings(sample.Small(metric).Findings), `Findings

Level    Where             What                       To do
-------  ----------------  -------------------------  ----------
warning  Curlew: box: lid  the lid is heavy           add a stay
note     Curlew            there is room for a shelf
`},
		{Estimate(sample.Small(metric)), `Estimate

Group      Item      Name                 Need  Unit    Buy  Pack            Each    Cost
---------  --------  -------------------  ----  ------  ---  -------------  -----  ------
sheets     birch-12  Birch plywood 12 mm  2.00  sheets    2  1000 x 600 mm  12.50   25.00
edge band  oak-2     Oak band             2.12  m         1  50 m roll      62.00   62.00
felt       felt      Felt tape            1.04  m         1  10 m roll       9.50    9.50
hardware   hinge     Butt hinge           4.00  each      1  pack of 10      9.90    9.90
total                                                                              106.40
`},
		{Felt(sample.Small(metric)), `Felt by cabinet

Layout         Cabinet  On    Part   Against     Strips  Length  Vehicles     m
-------------  -------  ----  -----  ----------  ------  ------  --------  ----
Curlew + long  box      lid   A-002  side             2     320         2  0.64
Curlew + long  box      side  A-001  shelf.side       1     200         2  0.40
`},
	} {
		if diff := cmp.Diff(test.want, written(t, test.table.WriteText)); diff != "" {
			t.Errorf("%s: %s", test.table.Name, diff)
		}
	}
}

func TestJSON(t *testing.T) {
	job := sample.Small(metric)
	job.Pieces = job.Pieces[:1]
	job.Pieces[0].Count, job.Pieces[0].Goes[1].Vehicles = 3, 1
	want := `{
 "list": "parts",
 "unit": "mm",
 "currency": "EUR",
 "rows": [
  {
   "part": "A-001",
   "name": "side",
   "material": "birch-12",
   "length": 500,
   "width": 200,
   "thickness": 11.9,
   "count": 3,
   "grain": "length",
   "edge_near": "oak-2",
   "edge_far": "bare",
   "edge_start": "",
   "edge_end": "bare felt",
   "finished_length": 500,
   "finished_width": 200,
   "scribed": "",
   "blank": "",
   "good_face": "high",
   "exposed_faces": "",
   "machining": "2 × hole Ø35 for hinge; groove 500 × 6.4, 6 deep for back",
   "mass_kg": 0.834,
   "places": "2 × Curlew box: side; Curlew box: right"
  }
 ]
}
`
	if diff := cmp.Diff(want, written(t, Parts(job).WriteJSON)); diff != "" {
		t.Error(diff)
	}
}

// Every list of a job is JSON, CSV of equally long records that end in CRLF (RFC 4180),
// and the same on a second run.
func TestAll(t *testing.T) {
	for _, job := range []*batch.Job{sample.Small(metric), sample.Small(inches), sample.Job(sample.Metric(1, 40)), {Batch: &batch.Batch{Shop: &shop.Shop{}}}} {
		for i, list := range All(job) {
			if !json.Valid([]byte(written(t, list.WriteJSON))) {
				t.Errorf("%s is no JSON", list.Name)
			}
			text := written(t, list.WriteCSV)
			if strings.Count(text, "\n") != strings.Count(text, "\r\n") || !strings.HasSuffix(text, "\r\n") {
				t.Errorf("%s: a line does not end in CRLF", list.Name)
			}
			records, err := csv.NewReader(strings.NewReader(text)).ReadAll()
			if err != nil || len(records) != len(list.Rows)+1 {
				t.Errorf("%s: %d records, error %v", list.Name, len(records), err)
			}
			if again := written(t, All(job)[i].WriteCSV); again != text {
				t.Errorf("%s: a second run differs", list.Name)
			}
		}
	}
}

func oneCell(value string) *Table {
	return build(&shop.Shop{}, "list", "List", []string{value}, text("word", "Word", func(s string) string { return s }))
}

// Whatever a name is, it comes back from the CSV, and no spreadsheet runs it as a formula.
func TestAnyNameInCSV(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.OneOf(rapid.String(), rapid.StringMatching(`[=+\-@\t "',]{0,3}.{0,10}`)).Draw(t, "name")
		var b bytes.Buffer
		if err := oneCell(value).WriteCSV(&b); err != nil {
			t.Fatal(err)
		}
		in := csv.NewReader(strings.NewReader(b.String()))
		in.FieldsPerRecord = -1
		records, err := in.ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		if len(records) > 1 { // a line of one empty cell is no record
			got = records[1][0]
		}
		if got != "" && strings.ContainsRune("=+-@\t\r\n", rune(got[0])) {
			t.Fatalf("%q starts a formula", got)
		}
		if want := unixLines(value); unixLines(got) != want && unixLines(got) != "'"+want {
			t.Fatalf("%q came back as %q", value, got)
		}
	})
}

// unixLines is what writing and reading make of the ends of lines within a cell.
func unixLines(s string) string { return strings.ReplaceAll(s, "\r", "") }

// All lines of a text table are as wide as its rule, in cells of a terminal, whatever
// letters stand in it.
func TestTextAligns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		names := rapid.SliceOfN(rapid.SampledFrom(append([]string{"漢字", "é", "👩‍🔧", "two\nlines"}, sample.LongNames...)), 1, 5).Draw(t, "names")
		list := build(&shop.Shop{}, "list", "List", names,
			text("a", "A", func(s string) string { return s }), count("n", "N", func(s string) int { return len(s) }))
		var b bytes.Buffer
		if err := list.WriteText(&b); err != nil {
			t.Fatal(err)
		}
		lines := strings.Split(strings.TrimSuffix(b.String(), "\n"), "\n")[2:]
		for _, line := range lines {
			if uniseg.StringWidth(line) != uniseg.StringWidth(lines[1]) {
				t.Fatalf("%q is not as wide as %q", line, lines[1])
			}
		}
	})
}

var errFull = errors.New("disk full")

// short is a writer that takes so many bytes.
type short int

func (s *short) Write(p []byte) (int, error) {
	if *s -= short(len(p)); *s < 0 {
		return 0, errFull
	}
	return len(p), nil
}

func TestWritersReturnErrors(t *testing.T) {
	job := sample.Small(metric)
	parts := Parts(job)
	for name, write := range map[string]func(io.Writer) error{
		"CSV": parts.WriteCSV, "text": parts.WriteText, "JSON": parts.WriteJSON,
		"summary":       func(w io.Writer) error { return WriteSummary(w, job) },
		"summary JSON":  func(w io.Writer) error { return WriteSummaryJSON(w, job, "OUT") },
		"estimate":      func(w io.Writer) error { return WriteEstimate(w, job, nil) },
		"estimate JSON": func(w io.Writer) error { return WriteEstimateJSON(w, job, nil) },
	} {
		whole := len(written(t, write))
		for _, room := range []int{0, 1, whole / 2, whole - 1} {
			if s := short(room); !errors.Is(write(&s), errFull) {
				t.Errorf("%s: no error with room for %d bytes of %d", name, room, whole)
			}
		}
	}
}

func TestSummary(t *testing.T) {
	want := `birch-12: 2 sheets, at least 2 needed (area), 54.1 % waste, 25.00 EUR
Oak band: 2.1 m, 1 roll, 62.00 EUR
Felt tape: 1.0 m, 1 roll, 9.50 EUR
hardware: 9.90 EUR
in all: 6 parts, 4.8 kg, 106.40 EUR

warning: Curlew: box: lid: the lid is heavy
hint: add a stay
note: Curlew: there is room for a shelf
`
	got := written(t, func(w io.Writer) error { return WriteSummary(w, sample.Small(metric)) })
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

// Shares are per cent in print and plain numbers in files: 0.6496 m2 wasted of 1.2.
func TestShares(t *testing.T) {
	list := Sheets(sample.Small(metric))
	if text := written(t, list.WriteText); !strings.Contains(text, "  54.1 %  ") {
		t.Error(text)
	}
	if text := written(t, list.WriteCSV); !strings.Contains(text, ",0.541,") {
		t.Error(text)
	}
	if text := written(t, list.WriteJSON); !strings.Contains(text, `"waste": 0.541,`) {
		t.Error(text)
	}
}

// What is kept of a sheet is not wasted.
func TestLayouts(t *testing.T) {
	job := sample.Small(metric)
	u := &job.Estimate.Layouts[0]
	u.Kept, u.Lipping, u.Sealed, u.Rounded, u.Finished = 0.1, 250*mm, 1400*mm, 500*mm, 0.755
	want := []string{"Curlew + long", "2", "0.55", "1.20", "0.10", "45.8 %", "1.06", "0.25", "1.40", "0.50", "0.76", "0.52", "2.4", "106.40"}
	if diff := cmp.Diff(want, printed(Layouts(job))[0]); diff != "" {
		t.Error(diff)
	}
}

func TestSheetsAddUp(t *testing.T) {
	job := sample.Small(metric)
	use := job.Estimate.Sheets[0]
	use.Kept = 0.1
	job.Estimate.Sheets = append(job.Estimate.Sheets, use)
	list := Sheets(job)
	var last []string
	for i := range list.Columns {
		last = append(last, list.Print(2, i))
	}
	// 2 x 1.2 m2, 2 x 2 x (2 x 0.5 x 0.2 + 0.47 x 0.16) m2 of parts, 0.1 m2 kept
	want := []string{"all", "", "4", "4", "2.40", "1.10", "0.10", "50.0 %", "50.00", "50.00", ""}
	if diff := cmp.Diff(want, last); diff != "" {
		t.Error(diff)
	}
}

func TestOptions(t *testing.T) {
	job := sample.Small(metric)
	dearer := job.Estimate
	dearer.Total += 1005
	dearer.Mass -= 1
	dearer.Lines = append(slices.Clone(dearer.Lines), batch.Line{Group: batch.GroupHardware, Each: 2010, Buy: 1, Packs: 0.25, Cost: 2010})
	list := Options(job, []batch.Priced{{Option: "oak", Job: &batch.Job{Estimate: dearer}}})
	var row []string
	for i := range list.Columns {
		row = append(row, list.Print(0, i))
	}
	if diff := cmp.Diff([]string{"oak", "", "2", "0", "3.8", "-1.0", "116.45", "10.05", "5.03", "0"}, row); diff != "" {
		t.Error(diff)
	}
}

func TestAmount(t *testing.T) {
	for m, want := range map[shop.Money]string{0: "0.00", 5: "0.05", 59200: "592.00", -5: "-0.05", -1234: "-12.34"} {
		if got := Amount(m); got != want {
			t.Errorf("Amount(%d) = %s, want %s", m, got, want)
		}
	}
}

func TestPlacesCountVehiclesTogether(t *testing.T) {
	curlew, dunlin := &cabinets.Layout{Name: "Curlew"}, &cabinets.Layout{Name: "Dunlin"}
	plain, long := &cabinets.Interior{Layout: curlew}, &cabinets.Interior{Layout: curlew, Options: []string{"long"}}
	p := &cabinets.Piece{Goes: []cabinets.Place{
		{Interior: plain, Cabinet: "bank", Part: "drawer-1.back", Vehicles: 2}, {Interior: plain, Cabinet: "bank", Part: "drawer-2.back", Vehicles: 2},
		{Interior: long, Cabinet: "bank", Part: "drawer-1.back", Vehicles: 3}, {Interior: long, Cabinet: "bank", Part: "drawer-2.back", Vehicles: 3},
		{Interior: &cabinets.Interior{Layout: dunlin}, Cabinet: "bank", Part: "back", Vehicles: 1},
	}}
	want := []string{"5 × Curlew bank: drawer-1.back, drawer-2.back", "Dunlin bank: back"}
	if diff := cmp.Diff(want, Places(p)); diff != "" {
		t.Error(diff)
	}
	if got := Places(&cabinets.Piece{Count: 3}); len(got) != 0 {
		t.Errorf("a plain list's part goes to %q", got)
	}
}

func TestProof(t *testing.T) {
	one, two := &shop.Material{Sheets: make([]shop.Sheet, 1)}, &shop.Material{Sheets: make([]shop.Sheet, 2)}
	for _, test := range []struct {
		use  batch.SheetUse
		want string
	}{
		{batch.SheetUse{Material: two, Sheets: 7, Bound: 7, Cost: 520, Least: 500, Method: "area"}, "at least 7 needed (area)"},
		{batch.SheetUse{Material: one, Sheets: 8, Bound: 7, Cost: 800, Least: 700, Method: "area"}, "at least 7 needed (area)"},
		{batch.SheetUse{Material: two, Sheets: 8, Bound: 7, Cost: 10000, Least: 10000, Method: "area"}, "at the least possible cost (area)"},
		{batch.SheetUse{Material: two, Sheets: 8, Bound: 7, Cost: 10110, Least: 10000, Method: "area"}, "cost within 1.1 % of the least possible (area)"},
		{batch.SheetUse{Material: two, Sheets: 8, Bound: 7, Cost: 10111, Least: 10000, Method: "area"}, "cost within 1.2 % of the least possible (area)"},
	} {
		if got := proof(test.use); got != test.want {
			t.Errorf("%d of %d sheets, cost %d of %d: %s, want %s", test.use.Sheets, test.use.Bound, test.use.Cost, test.use.Least, got, test.want)
		}
	}
}
