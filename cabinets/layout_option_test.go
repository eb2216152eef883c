package cabinets

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
)

// bound is the interior with options that need and exclude one another: a sink replaces crate b,
// taps are added to it, tall changes what the sink brought, bare goes with none of them.
const bound = `layout: Wren
inside: {length: 3000 mm, width: 1600 mm, height: 1800 mm}
cabinets:
  a: {cabinet: crate, at: [0, 1000, 0]}
  b: {cabinet: crate, beside: a, turn: 180, sizes: {width: 500 mm, boards: 2}}
  c: {cabinet: crate, beside: b}
options:
  tall:
    needs: [sink]
    change: {b: {sizes: {height: 300 mm}}}
  sink:
    replace: {b: {cabinet: crate, sizes: {width: 700 mm}}}
  taps:
    needs: [tall]
    add: {d: {cabinet: crate, above: b}}
  bare:
    excludes: [sink, taps]
    drop: [c]
`

// TestReplace: what replaces another stands where that stood, turned as that was, in its place in
// the lists; its neighbour moves along, and what is not said of it is as its definition has it.
func TestReplace(t *testing.T) {
	in, faults := wren(t, bound, "sink")
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	var got []string
	for _, p := range in.Cabinets {
		got = append(got, fmt.Sprintf("%s x %v turn %d, %d parts", p.Name, mms(p.Box)[0], p.Turn, len(p.Solid.Parts)))
	}
	// b begins 1.5 mm of felt behind a's 400 mm, c as far behind b's 700.
	want := []string{"a x 0 turn 0, 3 parts", "b x 401.5 turn 2, 3 parts", "c x 1103 turn 0, 3 parts"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	in, faults = wren(t, edit(t, bound, "    replace: ", "    replace: {b: {cabinet: crate, at: [2000, 0, 0], turn: 90}}"), "sink")
	if b := in.Cabinets[1]; len(faults) > 0 || b.Turn != 1 || mms(b.Box)[0] != 2000 {
		t.Errorf("with a place of its own it stands at %v, turned %d times (%v)", mms(b.Box), b.Turn, faults)
	}
}

// TestChangeWhatIsNeeded: an option changes what one that it needs has brought, although that
// stands below it in the file.
func TestChangeWhatIsNeeded(t *testing.T) {
	in, faults := wren(t, bound, "sink", "tall", "taps")
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	if b, d := in.Cabinets[1], in.Cabinets[3]; mms(b.Box)[5] != 300 || mms(d.Box)[2] != 301.5 {
		t.Errorf("b is %v high, and d begins at %v above it", mms(b.Box)[5], mms(d.Box)[2])
	}
}

func TestOptionRules(t *testing.T) {
	for _, c := range []struct{ line, by, want string }{
		{"    needs: [sink]", "    needs: [sink, tall]", "9:19: tall names itself; name another option"},
		{"    needs: [sink]", "    needs: [sinc]", "9:13: no option is called \"sinc\"; did you mean \"sink\"?"},
		{"    needs: [tall]", "    needs: [tall, bare]", "13:3: taps can never be chosen: with what it needs come bare and sink, which exclude one another; change what it needs, or what they exclude"},
		{"    drop: [c]", "    replace: {e: {cabinet: crate}}", "18:15: no cabinet is called \"e\"; known here: a, b, c"},
		{"    drop: [c]", "    drop: [c]\n    change: {c: {}}", "19:14: c is changed and dropped; choose other options, or let this one do without the change"},
		{"    drop: [c]", "    drop: [c]\n    replace: {c: {cabinet: crate}}", "19:15: c is replaced and dropped; choose other options, or let one of them leave it alone"},
		{"    drop: [c]", "    change: {d: {}}", "18:14: no cabinet is called \"d\"; known here: a, b, c"}, // taps brings it
	} {
		if _, faults := wren(t, edit(t, bound, c.line, c.by)); strings.Join(faults, "\n") != c.want {
			t.Errorf("%s: %q, want %q", c.by, faults, c.want)
		}
	}
}

// TestOptionsBound chooses options that do not go together: told all at once where the rule stands,
// or, in a batch, where the option is chosen.
func TestOptionsBound(t *testing.T) {
	for _, c := range []struct{ options, want string }{
		{"[sink, tall]", ""},
		{"[taps, tall, sink]", ""},
		{"[taps]", "14:13: taps needs tall, which is not chosen; choose tall too, or leave taps out"},
		{"[tall]", "9:13: tall needs sink, which is not chosen; choose sink too, or leave tall out"},
		{"[taps, bare, sink]", "14:13: taps needs tall, which is not chosen; choose tall too, or leave taps out\n" +
			"17:16: bare excludes sink, and both are chosen; leave one of them out\n17:22: bare excludes taps, and both are chosen; leave one of them out"},
	} {
		names := strings.Split(strings.Trim(c.options, "[]"), ", ")
		if _, faults := wren(t, bound, names...); strings.Join(faults, "\n") != c.want {
			t.Errorf("%s: %q, want %q", c.options, faults, c.want)
		}
		var faults source.Collector
		s := shop.Read(&faults, source.Read(&faults, "shop.yaml", strings.NewReader(interiorShop)))
		l := ReadLayout(source.Read(&faults, "wren.yaml", strings.NewReader(bound)), s, NewCatalogue(&faults, cabinetsFolder(t)), nil)
		l.Interior(&faults, s, source.Read(&faults, "batch.yaml", strings.NewReader(c.options)), names)
		for _, line := range told(&faults) {
			at := strings.Index(c.options, strings.Fields(line)[1]) + 1 // the option that the fault begins with
			if !strings.HasPrefix(line, fmt.Sprintf("1:%d: ", at)) {
				t.Errorf("%s: %q, want it in column %d", c.options, line, at)
			}
		}
		if n := len(told(&faults)); (n > 0) != (c.want != "") {
			t.Errorf("%s: %d faults in a batch, want %q", c.options, n, c.want)
		}
	}
}

// TestOptionsProperty: any choice that fulfils the rules builds, any other is refused; what is needed
// comes with an option, whatever the order in which they are named.
func TestOptionsProperty(t *testing.T) {
	needs := map[string][]string{"tall": {"sink"}, "taps": {"tall", "sink"}}
	rapid.Check(t, func(rt *rapid.T) {
		chosen := rapid.SliceOfDistinct(rapid.SampledFrom([]string{"tall", "sink", "taps", "bare"}), rapid.ID[string]).Draw(rt, "options")
		good := !slices.Contains(chosen, "bare") || !slices.Contains(chosen, "sink") && !slices.Contains(chosen, "taps")
		for _, o := range chosen {
			for _, need := range needs[o] {
				good = good && slices.Contains(chosen, need)
			}
		}
		in, faults := wren(t, bound, chosen...)
		if good != (len(faults) == 0) {
			rt.Fatalf("%q: %q", chosen, faults)
		}
		if good && slices.Contains(chosen, "sink") && in.Cabinets[1].Box.Size(X) != 700*measure.Millimetre {
			rt.Errorf("%q: the sink is %v wide", chosen, in.Cabinets[1].Box.Size(X))
		}
	})
}
