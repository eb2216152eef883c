package batch

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
	"sawbook/nest"

	"pgregory.net/rapid"
)

// taken adds up what batches take: parts by number, hardware by item, and lengths of felt and edges.
func taken(batches ...*Batch) map[string]int64 {
	sums := map[string]int64{}
	for _, b := range batches {
		for _, p := range b.pieces() {
			sums["part "+p.ID+" "+p.Name] += int64(p.Count)
		}
		for _, v := range b.Vehicles {
			sums["felt"] += int64(v.Interior.Felt())
			sums["scribed"] += int64(len(v.Interior.Scribes))
			for _, c := range v.Interior.Cabinets {
				for _, h := range c.Solid.Hardware {
					sums["hardware "+h.Item.ID+" "+h.Length.Exact()] += int64(h.Count)
				}
				sums["joints"] += int64(len(c.Solid.Joints))
				for _, p := range c.Solid.Parts {
					for _, e := range p.Edges {
						if e.Treatment != nil {
							sums["edge "+e.Treatment.String()] += int64(e.Length)
						}
					}
				}
			}
		}
	}
	return sums
}

// However a batch is divided, its releases together are the batch exactly: nothing is lost,
// nothing cut twice, and every part keeps its number.
func TestReleasesAreTheBatch(t *testing.T) {
	b := load(t, filepath.Join(demo, "batches/spring.yaml"))
	known := namesOf(b)
	whole := taken(b)
	rapid.Check(t, func(r *rapid.T) {
		some := func(list []string, what string) []string {
			return rapid.SliceOfN(rapid.SampledFrom(list), 0, 3).Draw(r, what)
		}
		divided := *b
		divided.Releases = nil
		n := rapid.IntRange(1, 4).Draw(r, "releases")
		rest := rapid.IntRange(0, n-1).Draw(r, "rest")
		var shares []*Batch
		for i := range n {
			divided.Releases = append(divided.Releases, Release{Name: fmt.Sprint(i), Rest: i == rest, Scribed: rapid.Bool().Draw(r, "scribed"),
				Roles: some(known.roles, "roles"), Cabinets: some(known.cabinets, "cabinets"), Assemblies: some(known.assemblies, "assemblies")})
		}
		for i := range n {
			shares = append(shares, divided.share(i))
		}
		got := taken(shares...)
		for what, want := range whole {
			if got[what] != want {
				r.Errorf("%s: %d in all releases, %d in the batch", what, got[what], want)
			}
		}
		if len(got) != len(whole) {
			r.Errorf("%d kinds of things in all releases, %d in the batch", len(got), len(whole))
		}
	})
}

// A matched group is one strip, so that it stays together; what was sawn out goes with its host.
func TestReleasesKeepTogether(t *testing.T) {
	b := load(t, filepath.Join(demo, "layouts/curlew.yaml"))
	b.Releases = []Release{{Name: "one", Rest: true}, {Name: "two"}}
	in := b.Vehicles[0].Interior
	groups, sawn := map[string]int{}, 0
	first := in.Share(0, func(c *cabinets.Placed, p *cabinets.Part) int {
		if strings.HasSuffix(p.Name, "-1") || strings.Contains(p.Name, "-1.") || p.SawnFrom != "" {
			return 1 // would divide every group
		}
		return 0
	})
	for _, c := range first.Cabinets {
		for _, p := range c.Solid.Parts {
			if p.Match.Of > 0 {
				groups[c.Name+p.Match.Group]++
			}
			if p.SawnFrom != "" {
				sawn++
			}
		}
	}
	for group, n := range groups {
		if n > 0 {
			t.Errorf("%d parts of group %s are cut before the others", n, group)
		}
	}
	wholeSawn := 0
	for _, c := range in.Cabinets {
		for _, p := range c.Solid.Parts {
			if p.SawnFrom != "" && !strings.HasSuffix(p.SawnFrom, "-1") {
				wholeSawn++
			}
		}
	}
	if sawn != wholeSawn {
		t.Errorf("%d sawn out of parts of the release, %d there", sawn, wholeSawn)
	}
}

// released is a shop of one material with two shelves: a long one, and one that fits what the
// long one leaves of its sheet.
func released(t *testing.T) *Batch {
	t.Helper()
	f := folderWith(t, map[string]string{
		"cabinets/board.yaml": `
cabinet: board
sizes:
  width: {default: 1800 mm, least: 100 mm, most: 3000 mm}
  depth: {default: 600 mm, least: 100 mm, most: 1250 mm}
roles: {carcass: the board}
outside: {x: width, y: depth, z: thick.carcass}
parts:
  board: {role: carcass, x: [0, width], y: [0, depth], z: 0, grain: x}
`,
		"layouts/two.yaml": `
layout: Two
inside: {length: 4000 mm, width: 1800 mm, height: 1900 mm}
cabinets:
  long: {cabinet: board, at: [0, 0, 0], sizes: {width: 1700 mm, depth: 1200 mm}, fixings: 2}
  short: {cabinet: board, at: [2000, 0, 0], sizes: {width: 700 mm, depth: 1200 mm}, fixings: 2}
`,
		"batches/one.yaml": `
batch: one
vehicles:
  - {layout: two, serials: [1]}
releases:
  first: rest
  second: {cabinets: [short]}
`,
	})
	b := f.Load(filepath.Join(f.Root, "batches/one.yaml"), nil)
	if err := f.Err(); err != nil {
		t.Fatal(err)
	}
	return b
}

// folderWith opens a copy of the demo shop with other files.
func folderWith(t *testing.T, files map[string]string) *Folder {
	t.Helper()
	root := t.TempDir()
	if err := os.CopyFS(root, os.DirFS(demo)); err != nil {
		t.Fatal(err)
	}
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(root, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	f := OpenFolder(&source.Collector{}, root)
	if err := f.Err(); err != nil {
		t.Fatal(err)
	}
	return f
}

// What the first release keeps of its sheet is what the second is cut from: 2480 by 1230 mm within the
// trim, less 1700 and a kerf of 3.2, leaves 776.8 by 1230.
func TestOffcutsFlow(t *testing.T) {
	b := released(t)
	o := Options{Effort: nest.Quick}
	first, err := WorkRelease(context.Background(), b, "first", o)
	if err != nil {
		t.Fatal(err)
	}
	second, err := WorkRelease(context.Background(), b, "second", o)
	if err != nil {
		t.Fatal(err)
	}
	p := second.Materials[0].Patterns[0]
	if p.Sheet.Offcut != "first/A1-1" || p.Sheet.Length != 776_800*measure.Micrometre || p.Times != 1 {
		t.Errorf("the second release is cut from %+v", p.Sheet)
	}
	if second.Pieces[0].ID != "A-002" || first.Pieces[0].ID != "A-001" {
		t.Errorf("numbers %s, %s", first.Pieces[0].ID, second.Pieces[0].ID)
	}
	held := first.Batch.HeldBack()
	if len(held) != 1 || held[0].Piece.ID != "A-002" || held[0].Done || held[0].Release != "second" {
		t.Errorf("held back: %+v", held)
	}
	if held := second.Batch.HeldBack(); len(held) != 1 || !held[0].Done {
		t.Errorf("held back: %+v", held)
	}
	if b.HeldBack() != nil {
		t.Error("the whole batch holds something back")
	}
	if _, err := WorkRelease(context.Background(), b, "secnd", o); err == nil || !strings.Contains(err.Error(), "did you mean \"second\"?") {
		t.Error(err)
	}
}

// A limited stock is used once: what the first release takes is gone for the second.
func TestReleasesShareStock(t *testing.T) {
	b := released(t)
	m := b.Shop.Materials[0]
	m.Sheets = slices.Clone(m.Sheets[:1])
	m.Sheets[0].Stock = 1
	b.Shop.Rates.Offcut = 0
	for i := range b.Vehicles[0].Interior.Cabinets {
		if c := &b.Vehicles[0].Interior.Cabinets[i]; c.Name == "short" {
			c.Solid.Parts[0].Length = 1700 * measure.Millimetre // no offcut holds it
		}
	}
	job, err := WorkRelease(context.Background(), b, "second", Options{Effort: nest.Quick})
	if err != nil {
		t.Fatal(err)
	}
	if n := job.Materials[0].Unplaced(); n != 1 {
		t.Errorf("%d parts are on no sheet, though the only sheet is used up", n)
	}
}
