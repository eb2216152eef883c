package saw

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/register"
	"sawbook/cabinets/shop"
	"sawbook/output/internal/sample"
)

// started puts an interior of the demo shop on the saw, in a register of its own. What is smaller than smallest comes from blanks.
func started(t *testing.T, layout, smallest string) (*register.Register, *batch.Job, string) {
	t.Helper()
	demo := t.TempDir()
	if err := os.CopyFS(demo, os.DirFS(filepath.Join("..", "..", "testdata", "demo"))); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(filepath.Join(demo, "shop.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	text = regexp.MustCompile(`smallest: .* mm`).ReplaceAll(text, []byte("smallest: "+smallest))
	if err := os.WriteFile(filepath.Join(demo, "shop.yaml"), text, 0o644); err != nil {
		t.Fatal(err)
	}
	j := sample.Layout(t, demo, layout)
	p, err := Plan(j, string(text), sample.Little)
	if err != nil {
		t.Fatal(err)
	}
	r, err := register.OpenOrCreate(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { r.Close() })
	if _, err := r.Start(someone(), p); err != nil {
		t.Fatal(err)
	}
	return r, j, p.Cutting
}

func someone() register.By {
	return register.By{User: "saw", Reason: "cut", Time: time.Date(2026, 11, 28, 9, 30, 0, 0, time.UTC)}
}

// ordered is how many of each part the job's vehicles need.
func ordered(j *batch.Job) map[string]int {
	all := map[string]int{}
	for i := range j.Materials {
		m := &j.Materials[i]
		for _, p := range m.AllPatterns() {
			for _, l := range p.Parts {
				if !isBlank(m, l.Piece.ID) {
					all[l.Piece.ID] += p.Times
				}
			}
		}
	}
	return all
}

func isBlank(m *batch.Material, id string) bool {
	return slices.ContainsFunc(m.Blanks, func(b batch.Pattern) bool { return b.Blank.ID == id })
}

// Whatever is spoiled at the saw: what is finished and what is planned anew come to the demand and the recuts, sheets that are
// begun stay as they are, nothing is cut twice from one place, and no offcut is used twice.
func TestRecut(t *testing.T) {
	for seed := range uint64(4) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			r, j, name := started(t, []string{"dunlin", "curlew"}[seed%2], []string{"150 x 40 mm", "500 x 120 mm"}[seed/2])
			want := ordered(j)
			random := rand.New(rand.NewPCG(seed, 1))
			plans := &batch.Plans{}
			c := cuttingOf(t, r, name)
			for n := range 6 {
				c = work(t, r, c, random)
				before := c
				s := wreck(c, random)
				s.ID = fmt.Sprint("recut ", n)
				p, err := Recut(t.Context(), c, s, plans)
				if err != nil {
					t.Fatalf("%+v: %v", s, err)
				}
				if c, err = r.Recut(someone(), c, p); err != nil {
					t.Fatal(err)
				}
				holds(t, before, c, p, want)
			}
			if seed >= 2 && again(c) == 0 {
				t.Error("no blank was cut again: the test does not try them")
			}
			if _, err := r.Verify(); err != nil {
				t.Error(err)
			}
		})
	}
}

// again counts the blanks that make up for spoiled parts.
func again(c *register.Cutting) (n int) {
	for _, s := range c.Sheets() {
		if s.Takes != nil && s.Revision > 0 {
			n++
		}
	}
	return n
}

func cuttingOf(t *testing.T, r *register.Register, name string) *register.Cutting {
	t.Helper()
	c, err := r.Cutting(name)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// work ticks some sheets to their end and begins others; now and then a tick is taken back.
func work(t *testing.T, r *register.Register, c *register.Cutting, random *rand.Rand) *register.Cutting {
	t.Helper()
	for i, s := range c.Sheets() {
		if c.Done(&s) || random.IntN(6) > 0 {
			continue
		}
		items := s.Items()
		items = items[:1+random.IntN(len(items))]
		if random.IntN(2) == 0 {
			items = s.Items()
		}
		var err error
		tick := register.Tick{ID: fmt.Sprint(c.Version, " ", i), Cutting: c.Name, Items: items, Ticked: random.IntN(8) > 0}
		if c, err = r.Tick(someone(), tick); err != nil {
			t.Fatal(err)
		}
	}
	return c
}

// wreck chooses a sheet that is bad, or parts that are spoiled.
func wreck(c *register.Cutting, random *rand.Rand) register.Spoilt {
	sheets := c.Sheets()
	spoiled := c.Plans[len(c.Plans)-1].Spoiled
	if random.IntN(3) == 0 {
		return register.Spoilt{Sheet: sheets[random.IntN(len(sheets))].Key}
	}
	var items []string
	for _, s := range sheets {
		for i := range s.Parts {
			if item := s.PartItem(i); c.Begun(&s) && !slices.Contains(spoiled, item) {
				items = append(items, item)
			}
		}
	}
	if len(items) == 0 {
		return register.Spoilt{Sheet: sheets[0].Key}
	}
	random.Shuffle(len(items), func(i, k int) { items[i], items[k] = items[k], items[i] })
	return register.Spoilt{Items: items[:min(len(items), 1+random.IntN(3))]}
}

// holds checks a recut by a count of its own.
func holds(t *testing.T, before, after *register.Cutting, p *register.CutPlan, want map[string]int) {
	t.Helper()
	live := map[string]bool{}
	for _, s := range after.Sheets() {
		if live[s.Key] {
			t.Errorf("%s is cut twice", s.Key)
		}
		live[s.Key] = true
	}
	for _, s := range before.Sheets() {
		if bad := slices.Contains(p.Bad, s.Key); before.Begun(&s) && live[s.Key] == bad {
			t.Errorf("%s is begun, bad is %v, and it is still cut: %v", s.Key, bad, live[s.Key])
		}
	}
	good, blanks, offcuts := map[string]int{}, map[string]int{}, map[string]int{}
	taken := map[string]int{}
	count := func(s *register.SawSheet, all bool) {
		for i, part := range s.Parts {
			if item := s.PartItem(i); !slices.Contains(p.Spoiled, item) && (all || after.Ticked[item]) {
				good[part]++
			}
		}
		for _, piece := range s.Takes {
			taken[piece]++
		}
		if s.Takes == nil && s.Sheet.Offcut != "" {
			offcuts[s.Sheet.Offcut]++
		}
	}
	for _, s := range after.Sheets() {
		count(&s, true)
	}
	for revision := range after.Plans {
		for i := range after.Plans[revision].Patterns {
			of := &after.Plans[revision].Patterns[i]
			for n := range of.Times {
				s := register.SawSheet{Key: fmt.Sprintf("%d/%s/%d", revision, of.Name, n+1), Revision: revision, Copy: n + 1, SawPattern: of}
				if slices.Contains(p.Bad, s.Key) {
					count(&s, false)
				}
			}
		}
	}
	for part, n := range want {
		if good[part] < n {
			t.Errorf("%s: %d are finished or planned, %d are needed", part, good[part], n)
		}
	}
	for piece, n := range good {
		if _, isPart := want[piece]; !isPart {
			blanks[piece] = n
		}
	}
	// A blank that makes up for a spoiled part may hold others: only of what lies in no blank is there never one too many.
	inBlanks := map[string]bool{}
	for _, of := range after.Plans[0].Patterns {
		for _, part := range of.Parts {
			inBlanks[part] = inBlanks[part] || of.Takes != nil
		}
	}
	for part, n := range good {
		if n > want[part] && !inBlanks[part] && blanks[part] == 0 {
			t.Errorf("%s: %d are finished or planned, %d are needed", part, n, want[part])
		}
	}
	for piece, n := range blanks {
		if n != taken[piece] {
			t.Errorf("%d blanks %s come from sheets, and %d are cut up", n, piece, taken[piece])
		}
	}
	for label, n := range offcuts {
		if n > 1 {
			t.Errorf("offcut %s is used %d times", label, n)
		}
	}
}

// What is left of sheets that are cut is used before new ones, where that is cheaper.
func TestOffcutsOfCutSheetsAreUsed(t *testing.T) {
	r, _, name := started(t, "dunlin", "150 x 40 mm")
	c := cuttingOf(t, r, name)
	item := ""
	for i, s := range c.Sheets() { // everything is cut
		var err error
		if c, err = r.Tick(someone(), register.Tick{ID: fmt.Sprint("all ", i), Cutting: name, Items: s.Items(), Ticked: true}); err != nil {
			t.Fatal(err)
		}
		for _, n := range c.Plans[0].Needs {
			for _, o := range s.Offcuts {
				if at := slices.Index(s.Parts, n.ID); at >= 0 && s.Takes == nil && n.Length <= o.Length && n.Width <= o.Width {
					item = s.PartItem(at)
				}
			}
		}
	}
	if item == "" {
		t.Fatal("no sheet leaves an offcut that one of its parts could come from")
	}
	p, err := Recut(t.Context(), c, register.Spoilt{ID: "one", Items: []string{item}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Patterns) != 1 || p.Patterns[0].Times != 1 || p.Patterns[0].Sheet.Offcut == "" {
		t.Errorf("one part is cut again from %+v, want an offcut", p.Patterns)
	}
}

// Where the last sheet is bad and an offcut too small for any part is left, all wait for more.
func TestOffcutsAreTooSmall(t *testing.T) {
	r, _, name := started(t, "dunlin", "150 x 40 mm")
	c := cuttingOf(t, r, name)
	sheets := c.Sheets()
	bad := sheets[slices.IndexFunc(sheets, func(s register.SawSheet) bool { return s.Material == "birch-18" })]
	c, err := r.Tick(someone(), register.Tick{ID: "tick", Cutting: name, Items: bad.Items()[:1], Ticked: true})
	if err != nil {
		t.Fatal(err)
	}
	last, offcut := bad.Sheet, shop.Sheet{Length: 100 * measure.Millimetre, Width: 50 * measure.Millimetre, Stock: 1, Offcut: "small", Trimmed: true}
	last.Stock = 1
	c.Plans[0].Stock[bad.Material] = []shop.Sheet{last, offcut}
	parts := 0
	for _, n := range c.Plans[0].Needs {
		if n.Material == bad.Material {
			parts += n.Count
		}
	}
	_, err = Recut(t.Context(), c, register.Spoilt{ID: "recut", Sheet: bad.Key}, sample.Little.Plans)
	want := fmt.Sprintf("%d parts of birch-18 find no sheet in the stock that %s was planned with: cut the batch anew once there is more", parts, name)
	if refused := (*register.Refused)(nil); !errors.As(err, &refused) || refused.Text != want || parts == 0 {
		t.Errorf("%v, want %s", err, want)
	}
}

// What cannot be spoiled, or ticked, is refused in words for the saw hand.
func TestRefusals(t *testing.T) {
	r, _, name := started(t, "dunlin", "150 x 40 mm")
	c := cuttingOf(t, r, name)
	first := c.Sheets()[0]
	for _, spoilt := range []struct {
		what register.Spoilt
		want string
	}{
		{register.Spoilt{}, "nothing is spoiled: name parts or a sheet"},
		{register.Spoilt{Part: "Q-999", Count: 1}, name + ` has no part "Q-999"`},
		{register.Spoilt{Part: first.Parts[0], Count: 0}, "count from 1"},
		{register.Spoilt{Part: first.Parts[0], Count: 1}, "0 lie on sheets that are begun, and all others are still planned"},
		{register.Spoilt{Items: []string{first.PartItem(0)}}, "lies on no sheet that is begun"},
		{register.Spoilt{Sheet: "0/Q9/1"}, `"0/Q9/1" is no sheet that is cut in ` + name},
	} {
		if _, err := c.Left(spoilt.what); err == nil || !strings.Contains(err.Error(), spoilt.want) {
			t.Errorf("%+v: %v, want %q", spoilt.what, err, spoilt.want)
		}
	}
	if _, err := r.Tick(someone(), register.Tick{ID: "x", Cutting: name, Items: []string{"0/Q9/1/c1"}, Ticked: true}); err == nil || !strings.Contains(err.Error(), "is nothing that is cut in "+name) {
		t.Error(err)
	}
}
