package source

import (
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sawbook/cabinets/measure"
)

// listed is how the tests write faults: line:column text | hint.
func listed(err error) []string {
	var faults Faults
	if err != nil && !errors.As(err, &faults) {
		return []string{"not Faults: " + err.Error()}
	}
	var list []string
	for _, f := range faults {
		list = append(list, fmt.Sprintf("%d:%d %s | %s", f.Line, f.Column, f.Text, f.Hint))
	}
	return list
}

// TestRefused holds the exact text of what Read refuses by itself.
func TestRefused(t *testing.T) {
	const fit = "indent keys that belong together alike, and put the whole of a text in quotation marks, not its beginning"
	for _, test := range []struct{ name, text, want string }{
		{"empty", "", "0:0 is empty | see the examples in the guide"},
		{"only a comment", "# nothing\n", "0:0 is empty | see the examples in the guide"},
		{"an empty document", "---\n", "0:0 is empty | see the examples in the guide"},
		{"binary", "\x7fELF\x02\x01\x00", "0:0 is binary, not text | name a YAML file, saved as UTF-8"},
		{"UTF-16", "\xff\xfea\x00", "0:0 is binary, not text | name a YAML file, saved as UTF-8"},
		{"Latin-1", "a: 1\nb: T\xfcr\n", "2:5 a byte that is not UTF-8 | save the file as UTF-8"},
		{"control character", "a: \x1b[31m\n", "1:4 a control character (U+001B) | delete it"},
		{"carriage return alone", "a: 1\rb: 2\n", "1:5 a line end of another kind (U+000D) | end lines with a line feed"},
		{"line separator", "a: x\u2028y\n", "1:5 a line end of another kind (U+2028) | end lines with a line feed"},
		{"too large", strings.Repeat("# ..............\n", 70_000), "0:0 is larger than 524288 bytes | a shop's files have a few thousand; name a YAML file"},

		{"second document", "a: 1\n---\nb: 2\n", "2:1 a second document | keep one document a file: delete the --- line and what follows"},
		{"tag", "a: !!binary x\n", "1:4 a tag in YAML | delete the word that begins with !"},
		{"merge key", "a: &x {b: 1}\nc:\n  <<: *x\n", "3:3 a merge key (<<) | write the keys out"},
		{"list as key", "[a]: 1\n", "1:1 a key that is no plain word | write the key out as one word"},
		{"alias as key", "a: &x b\n*x : 1\n", "2:1 a key that is no plain word | write the key out as one word"},
		{"duplicate key", "a: 1\nb: 2\n\"a\": 3\n", `3:1 duplicate key "a" | it stands in line 1 already; delete one`},
		{"recursive list", "a: &x [*x]\n", "1:8 the alias *x stands inside what it names | write the value out"},
		{"recursive mapping", "a: &x\n  b: &y\n    c: *x\n", "3:8 the alias *x stands inside what it names | write the value out"},
		{"alias bomb", bomb(), "5:4 more than 100000 values, aliases counted as often as used | use fewer aliases, or split the file"},
		{"deep bomb", "a: &a [x]\n" + chain(50), "40:6 more than 40 levels below this | nest less deeply"},
		{"nested deeply", strings.Repeat("[", 60) + strings.Repeat("]", 60), "1:20 more than 40 levels below this | nest less deeply"},
		{"nested too deeply for the library", strings.Repeat("[", 20_000), "1:1 this nests too deeply | nest less deeply"},

		{"tab", "a:\n\tb: 1\n", "2:1 a tab in the indentation | indent with spaces"},
		{"tab after a value", "a: 1\nb: 2\n\tc: 3\n", "3:1 a tab in the indentation | indent with spaces"},
		{"reserved sign", "a: 1\nb: @c\n", "2:4 a sign that no value can begin with | put the text in quotation marks"},
		{"two colons", "x: 1\na: b: c\n", "2:5 a colon that makes no key here | indent keys alike, and put a text that holds a colon and a space in quotation marks"},
		{"no colon", "a: 1\nb\nc: 2\n", "2:1 a key without a colon | put a colon and a space behind the key"},
		{"open list", "q: 1\na: [1, 2\nb: 3\n", "2:4 a list that is not closed | close it with ], and put commas between its values"},
		{"open mapping", "a: {x: 1, y: 2\nb: 3\n", "1:4 a mapping that is not closed | close it with }, and put commas between its keys"},
		{"indentation", "a:\n  b: 1\n c: 2\n", "3:2 this does not fit what stands before it | " + fit},
		{"quoted beginning", "a: 1\nb: \"x\" y\nc: 1\nd: 1\n", "2:8 this does not fit what stands before it | " + fit},
		{"key in a list", "list:\n  - a: 1\n    b: 2\n  c: 3\n", "4:3 this does not fit the list before it | indent the items of a list alike"},
		{"list behind its key", "a: - b\n", "1:4 a list that cannot begin here | begin it on a line of its own, under the key"},
		{"open quotation", "q: 1\na: \"abc\nb: 3\n", "2:4 a quotation mark that is not closed | close it"},
		{"open quotation before another", "a: 1\nb: \"c\nd: \"5\"\ne: 1\n", "2:4 this does not fit what stands before it | " + fit},
		{"open quotation before a document", "a: 'b\n---\nc: '\n", "1:4 a quotation mark that is not closed before --- | close it"},
		{"escape", "a: \"\\q\"\n", `1:4 an unknown escape in a text | write \\ for \, or use single quotation marks`},
		{"stray bracket", "a: ]\n", "1:4 a sign that does not belong here | delete it, or put the text in quotation marks"},
		{"after the document", "a: 1\n...\nb: 2\n", "3:1 more follows the end of the document | delete it"},
		{"unknown anchor", "a: 1\nb: *x\n", "2:4 an alias of an unknown anchor | define it before with & and its name, or put a text that begins with * in quotation marks"},
		{"another error of the library", "a: |3x\n  b\n", "1:6 this is not YAML: did not find expected comment or line break | check this line and the one before it"},
	} {
		t.Run(test.name, func(t *testing.T) {
			var c Collector
			Read(&c, "shop.yaml", strings.NewReader(test.text))
			if diff := cmp.Diff([]string{test.want}, listed(c.Err())); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
		})
	}
}

// bomb is the file of a few lines that expands to a thousand million values.
func bomb() string {
	text := "a: &a [x, x, x, x, x, x, x, x, x, x]\n"
	for c := 'b'; c < 'k'; c++ {
		text += fmt.Sprintf("%c: &%c [%s*%c]\n", c, c, strings.Repeat(fmt.Sprintf("*%c, ", c-1), 9), c-1)
	}
	return text
}

// chain nests by aliases alone.
func chain(length int) string {
	text, last := "", "a"
	for i := range length {
		next := fmt.Sprintf("a%d", i)
		text += fmt.Sprintf("%s: &%s [*%s]\n", next, next, last)
		last = next
	}
	return text
}

// TestValues holds the exact text of what the getters refuse, and what they read.
func TestValues(t *testing.T) {
	mm := func(n Node) any { return n.Length(measure.Millimetres).Exact() }
	number := func(n Node) any { return n.Number(0.5, 10) }
	whole := func(n Node) any { return n.Whole(1, 10) }
	money := func(n Node) any { return n.Money() }
	truth := func(n Node) any { return n.Truth() }
	text := func(n Node) any { return n.Text() }
	grain := func(n Node) any { return n.OneOf("length", "width", "any") }
	items := func(n Node) any { return len(n.Items()) }
	names := func(n Node) any {
		var names []string
		for _, e := range n.Entries() {
			names = append(names, e.Name+"="+e.Value.Text())
		}
		return strings.Join(names, " ")
	}
	within := func(bare measure.Unit) func(n Node) any {
		return func(n Node) any { return n.LengthIn(bare, 10*measure.Millimetre, 20*measure.Inch).Exact() }
	}
	for _, test := range []struct {
		name, value string
		read        func(Node) any
		want        any
		fault       string
	}{
		{"text", "18 mm", text, "18 mm", ""},
		{"number as text", "3", text, "3", ""},
		{"null as text", "null", text, "null", ""},
		{"empty text", "''", text, "", ""},
		{"no text", "", text, "", "1:3 a value is missing | write a single value"},
		{"list as text", "[1]", text, "", "1:4 a list where a single value is needed | write one value behind the key"},
		{"mapping as text", "{b: 1}", text, "", "1:4 a mapping where a single value is needed | write one value behind the key"},

		{"length", "1.8 cm", mm, "18", ""},
		{"bare length", "600", mm, "600", ""},
		{"bad length", "18 mmm", mm, "0", "1:7 unknown unit mmm | the units are mm, cm, m, in and ft"},
		{"bad length, anchored", "&t  '18 mmm'", mm, "0", "1:12 unknown unit mmm | the units are mm, cm, m, in and ft"},
		{"length in range", "20 in", within(measure.Inches), "508", ""},
		{"length below", "9.9", within(measure.Millimetres), "0", "1:4 9.9 is less than 10 mm | write 10 mm to 508 mm"},
		{"length above", "20 1/64", within(measure.Inches), "0", "1:4 20 1/64 is more than 20 in | write 10 mm to 20 in"},
		{"bad length in range", "x", within(measure.Inches), "0", "1:4 unknown unit x | the units are mm, cm, m, in and ft"},

		{"number", "0.5", number, 0.5, ""},
		{"number with exponent", "1e1", number, 10.0, ""},
		{"number below", "-3", number, 0.0, "1:4 -3 is less than 0.5 | write 0.5 to 10"},
		{"number above", "10.1", number, 0.0, "1:4 10.1 is more than 10 | write 0.5 to 10"},
		{"number beyond", "1e999", number, 0.0, "1:4 1e999 is more than 10 | write 0.5 to 10"},
		{"not a number", ".nan", number, 0.0, `1:4 ".nan" is no number | write for example 12 or 0.5, without a unit`},
		{"infinity", ".inf", number, 0.0, `1:4 ".inf" is no number | write for example 12 or 0.5, without a unit`},
		{"hexadecimal", "0x10", number, 0.0, `1:4 "0x10" is no number | write for example 12 or 0.5, without a unit`},

		{"whole", "10", whole, int64(10), ""},
		{"whole below", "0", whole, int64(0), "1:4 0 is less than 1 | write 1 to 10"},
		{"whole above", "11", whole, int64(0), "1:4 11 is more than 10 | write 1 to 10"},
		{"whole beyond int64", "99999999999999999999", whole, int64(0), "1:4 99999999999999999999 is more than 10 | write 1 to 10"},
		{"not whole", "2.5", whole, int64(0), `1:4 "2.5" is no whole number | write for example 4, without decimals or a unit`},

		{"money", "74.5", money, int64(7450), ""},
		{"money without cents", "74", money, int64(7400), ""},
		{"money to the cent", "74.05", money, int64(7405), ""},
		{"three decimals", "74.005", money, int64(0), `1:4 "74.005" is no amount of money | write for example 74 or 74.50, without a currency`},
		{"currency", "74 EUR", money, int64(0), `1:4 "74 EUR" is no amount of money | write for example 74 or 74.50, without a currency`},
		{"negative money", "-1", money, int64(0), `1:4 "-1" is no amount of money | write for example 74 or 74.50, without a currency`},
		{"too much money", "10000000000.01", money, int64(0), "1:4 10000000000.01 is more than 10000000000 | check the amount"},
		{"money beyond int64", "99999999999999999999", money, int64(0), "1:4 99999999999999999999 is more than 10000000000 | check the amount"},

		{"true", "true", truth, true, ""},
		{"false", "false", truth, false, ""},
		{"yes", "yes", truth, false, `1:4 "yes" is neither true nor false | write true or false`},

		{"word", "width", grain, "width", ""},
		{"near word", "widht", grain, "", `1:4 "widht" is not known here | did you mean "width"?`},
		{"other word", "diagonal", grain, "", `1:4 "diagonal" is not known here | known here: length, width, any`},
		{"long word", strings.Repeat("x", 100), grain, "", `1:4 "` + strings.Repeat("x", 40) + `…" is not known here | known here: length, width, any`},

		{"list", "[1, 2]", items, 2, ""},
		{"text as list", "1", items, 0, "1:4 a single value where a list is needed | begin each item with - on a line of its own"},
		{"no list", "", items, 0, "1:3 a value is missing | write a list"},

		{"names", "{b-1: x, ü_: y}", names, "b-1=x ü_=y", ""},
		{"no name", "{1b: x, c: y}", names, "c=y", `1:5 "1b" is no name | a name has letters, digits, - and _, and starts with a letter`},
		{"list as mapping", "[b]", names, "", "1:4 a list where a mapping is needed | write lines of the form key: value"},
		{"no mapping", "", names, "", "1:3 a value is missing | write a mapping"},
	} {
		t.Run(test.name, func(t *testing.T) {
			var c Collector
			root := Read(&c, "shop.yaml", strings.NewReader("a: "+test.value+"\n"))
			if test.value == "" { // the place of nothing is behind the colon
				root = Read(&c, "shop.yaml", strings.NewReader("a:\n"))
			}
			got := test.read(root.Map("a").Get("a"))
			if got != test.want {
				t.Errorf("read %v, want %v", got, test.want)
			}
			var want []string
			if test.fault != "" {
				want = []string{test.fault}
			}
			if diff := cmp.Diff(want, listed(c.Err())); diff != "" {
				t.Errorf("faults (-want +got)\n%s", diff)
			}
		})
	}
}

// TestAllAtOnce reads a file in which nearly everything is wrong.
func TestAllAtOnce(t *testing.T) {
	var c Collector
	root := Read(&c, "shop.yaml", strings.NewReader(`
saw:
  kerf: 3.2 mn
  trm: 10
  stages: three
saw: {}
sheets:
  - &s {size: 1}
  - *s
  - *s
`))
	m := root.Map("saw", "sheets", "rates")
	saw := m.Need("saw").Map("kerf", "trim", "stages")
	saw.Need("kerf").Length(measure.Millimetres)
	saw.Need("trim").Length(measure.Millimetres)
	saw.Get("stages").Whole(1, 3)
	for _, sheet := range m.Need("sheets").Items() {
		sheet.Map("size").Need("size").Whole(2, 3)
	}
	m.Need("rates").Map("hour").Need("hour").Money()
	want := []string{
		`2:1 the key "rates" is missing | add a line rates: ...`,
		`3:3 the key "trim" is missing | add a line trim: ...`,
		`3:13 unknown unit mn | the units are mm, cm, m, in and ft`,
		`4:3 unknown key "trm" | did you mean "trim"?`,
		`5:11 "three" is no whole number | write for example 4, without decimals or a unit`,
		`6:1 duplicate key "saw" | it stands in line 2 already; delete one`,
		`8:15 1 is less than 2 | write 2 to 3`, // once, not once an alias
	}
	if diff := cmp.Diff(want, listed(c.Err())); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}

// TestZero holds that a missing value is silent.
func TestZero(t *testing.T) {
	var n Node
	m := n.Map("a")
	n.Fault("x", "")
	n.FaultAt(3, "x", "")
	values := []any{
		n.IsZero(), n.IsText(), n.IsList(), n.IsMap(), n.Text(), n.Length(measure.Inches), n.LengthIn(measure.Inches, 1, 2),
		n.Number(1, 2), n.Whole(1, 2), n.Money(), n.Truth(), n.OneOf("a"), len(n.Items()), len(n.Entries()),
		m.Get("a").IsZero(), m.Need("a").IsZero(),
	}
	want := []any{
		true, false, false, false, "", measure.Length(0), measure.Length(0),
		0.0, int64(0), int64(0), false, "", 0, 0,
		true, true,
	}
	if diff := cmp.Diff(want, values); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}

func TestKinds(t *testing.T) {
	var c Collector
	m := Read(&c, "f", strings.NewReader("text: x\nlist: []\nmap: {}\nnone:\nquoted: ''\n")).Map("text", "list", "map", "none", "quoted")
	for key, want := range map[string][4]bool{
		"text": {true, false, false, false}, "quoted": {true, false, false, false}, "list": {false, true, false, false},
		"map": {false, false, true, false}, "none": {}, "missing": {false, false, false, true},
	} {
		n := m.Get(key)
		if got := [4]bool{n.IsText(), n.IsList(), n.IsMap(), n.IsZero()}; got != want {
			t.Errorf("%s: text, list, map, zero = %v, want %v", key, got, want)
		}
	}
}

// TestOrder holds that faults come sorted by file and place, and once.
func TestOrder(t *testing.T) {
	var c Collector
	if err := c.Err(); err != nil {
		t.Fatalf("no faults, but %v", err)
	}
	for _, f := range []Fault{{File: "b", Text: "x"}, {File: "a", Line: 2, Column: 1}, {File: "a", Line: 1, Column: 9}, {File: "a", Line: 1, Column: 10}, {File: "a", Line: 2, Column: 1}, {File: "a"}} {
		c.Add(f)
	}
	want := Faults{{File: "a"}, {File: "a", Line: 1, Column: 9}, {File: "a", Line: 1, Column: 10}, {File: "a", Line: 2, Column: 1}, {File: "b", Text: "x"}}
	if diff := cmp.Diff(error(want), c.Err()); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}

// endless yields bytes for ever and counts them.
type endless struct{ read int }

func (e *endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = 'a'
	}
	e.read += len(p)
	return len(p), nil
}

func TestLargeIsNotReadWhole(t *testing.T) {
	var c Collector
	r := &endless{}
	Read(&c, "big.yaml", io.LimitReader(r, 50<<20))
	if r.read > 2*largest {
		t.Errorf("%d bytes were read to refuse more than %d", r.read, largest)
	}
	if got := listed(c.Err()); len(got) != 1 || !strings.Contains(got[0], "is larger than") {
		t.Errorf("got %q", got)
	}
}

type broken struct{}

func (broken) Read([]byte) (int, error) { return 0, errors.New("the disk is gone") }

func TestReadFile(t *testing.T) {
	folder := t.TempDir()
	write := func(name, text string) {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	write("curlew.yaml", "\uFEFFname: Curlew\n")
	write("big.yaml", strings.Repeat("x", largest+1))
	for _, test := range []struct{ name, want string }{
		{"curlew.yaml", ""},
		{"curlow.yaml", "layouts/curlow.yaml: no such file\nhint: did you mean curlew.yaml?"},
		{"dunlin.yaml", "layouts/dunlin.yaml: no such file\nhint: check the name and the folder"},
		{"far/dunlin.yaml", "layouts/far/dunlin.yaml: no such file\nhint: there is no folder layouts/far either"},
		{".", "layouts/.: is a folder, not a file\nhint: name a YAML file in it"},
		{"curlew.yaml/x", "layouts/curlew.yaml/x: cannot be read: not a directory\nhint: check the path and its permissions"},
		{"big.yaml", "layouts/big.yaml: is larger than 524288 bytes\nhint: a shop's files have a few thousand; name a YAML file"},
	} {
		var c Collector
		n := ReadFile(&c, filepath.Join(folder, test.name), "layouts/"+test.name)
		got := ""
		if err := c.Err(); err != nil {
			got = err.Error()
		}
		if got != test.want {
			t.Errorf("%s: %q, want %q", test.name, got, test.want)
		}
		if n.IsZero() != (test.want != "") {
			t.Errorf("%s: zero is %v", test.name, n.IsZero())
		}
	}

	var c Collector
	if _, err := os.Stat(os.DevNull); err == nil {
		ReadFile(&c, os.DevNull, "null")
		if got, want := c.Err().Error(), "null: is no regular file\nhint: name a YAML file"; got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	c = Collector{}
	Read(&c, "disk.yaml", broken{})
	if got, want := c.Err().Error(), "disk.yaml: cannot be read: the disk is gone\nhint: check the path and its permissions"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// TestByteOrderMark holds that a mark does not count as a character.
func TestByteOrderMark(t *testing.T) {
	var c Collector
	Read(&c, "f", strings.NewReader("\uFEFFa: 1\nb: 2\n")).Map("a")
	if got, want := listed(c.Err()), []string{`2:1 unknown key "b" | known here: a`}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// TestInfinite holds that a number may be bounded on one side only.
func TestInfinite(t *testing.T) {
	var c Collector
	n := Read(&c, "f", strings.NewReader("- 1e300\n- 1e400\n- -1\n")).Items()
	if got := n[0].Number(0, math.Inf(1)); got != 1e300 {
		t.Errorf("read %v", got)
	}
	n[1].Number(0, math.Inf(1))
	n[2].Number(0, math.Inf(1))
	want := []string{"2:3 1e400 is more than any number | write 0 or more", "3:3 -1 is less than 0 | write 0 or more"}
	if got := listed(c.Err()); !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
