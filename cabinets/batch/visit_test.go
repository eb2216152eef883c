package batch

import (
	"context"
	"path/filepath"
	"testing"

	"sawbook/cabinets/measure"
	"sawbook/nest"
)

// A run by setting makes every cut of the plan once, and none before what it divides is there.
func TestVisits(t *testing.T) {
	for _, name := range []string{"batches/spring.yaml", "layouts/dunlin.yaml"} {
		job, err := Work(context.Background(), load(t, filepath.Join(demo, name)), Options{Effort: nest.Quick})
		if err != nil {
			t.Fatal(err)
		}
		made := map[*Cut]int{}
		there := map[*Pattern][]Area{}
		for i := range job.Materials {
			for _, p := range job.Materials[i].AllPatterns() {
				there[p] = []Area{p.Cuts[0].From}
			}
		}
		visits := Visits(job)
		for _, v := range visits {
			if len(v.Cuts) == 0 {
				t.Errorf("%s: visit %d is for nothing", name, v.Number)
			}
			for _, c := range v.Cuts {
				if c.Rip != v.Rip || c.Setting != v.Set || c.Material.Of.Thickness != v.Thickness {
					t.Errorf("%s: visit %d makes a cut of another setting", name, v.Number)
				}
				made[c.Cut]++
				pieces := there[c.Pattern]
				at := -1
				for i, a := range pieces {
					if a == c.From {
						at = i
					}
				}
				if at < 0 {
					t.Fatalf("%s: visit %d: cut %d of %s divides what is not there", name, v.Number, c.Step, c.Material.NameOf(c.Pattern))
				}
				there[c.Pattern] = append(append(append([]Area{}, pieces[:at]...), pieces[at+1:]...), c.Frees, c.Remains)
			}
		}
		cuts := 0
		for i := range job.Materials {
			for _, p := range job.Materials[i].AllPatterns() {
				for k := range p.Cuts {
					cuts++
					if n := made[&p.Cuts[k]]; n != 1 && !p.Cuts[k].Track {
						t.Errorf("%s: cut %d of %s is made %d times", name, p.Cuts[k].Step, job.Materials[i].NameOf(p), n)
					}
				}
			}
		}
		t.Logf("%s: %d cuts of patterns, %d settings, %d visits", name, cuts, len(Settings(job)), len(visits))
	}
}

// By hand: two sheets whose strips of 300 are crosscut at 500, one of which is ripped at 300 again: the
// fence goes to 300, the stop to 500, and the fence to 300 once more.
func TestVisitsByHand(t *testing.T) {
	length := func(mm int64) measure.Length { return measure.Length(mm) * measure.Millimetre }
	cut := func(step int, rip bool, set int64, from, frees, remains Area) Cut {
		return Cut{Step: step, Rip: rip, Setting: length(set), From: from, Frees: frees, Remains: remains}
	}
	area := func(x, y, l, w int64) Area { return Area{length(x), length(y), length(l), length(w)} }
	first := Pattern{Number: 1, Times: 1, Cuts: []Cut{
		cut(1, true, 300, area(0, 0, 1000, 700), area(0, 0, 1000, 300), area(0, 303, 1000, 397)),
		cut(2, false, 500, area(0, 0, 1000, 300), area(0, 0, 500, 300), area(503, 0, 497, 300)),
	}}
	second := Pattern{Number: 2, Times: 1, Cuts: []Cut{
		cut(1, false, 500, area(0, 0, 1000, 700), area(0, 0, 500, 700), area(503, 0, 497, 700)),
		cut(2, true, 300, area(0, 0, 500, 700), area(0, 0, 500, 300), area(0, 303, 500, 397)),
	}}
	s := load(t, filepath.Join(demo, "layouts/dunlin.yaml")).Shop
	job := &Job{Materials: []Material{{Of: s.Materials[0], Patterns: []Pattern{first, second}}}}
	var got []int
	for _, v := range Visits(job) {
		got = append(got, int(v.Set/length(1))*10+len(v.Cuts))
	}
	if len(got) != 3 || got[0] != 3001 || got[1] != 5002 || got[2] != 3001 {
		t.Errorf("%v", got)
	}
}
