package source

import (
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

// TestFaultAt places faults within scalars, by eye.
func TestFaultAt(t *testing.T) {
	for _, test := range []struct {
		name, text string
		offset     int
		want       string
	}{
		{"plain", "a: width + x\n", 8, "1:12"},
		{"plain, at its end", "a: width\n", 5, "1:9"},
		{"plain, beyond its end", "a: width\n", 99, "1:9"},
		{"before its beginning", "a: width\n", -1, "1:4"},
		{"plain, wide", "a: 名前 + x\n", 9, "1:9"},
		{"plain, on two lines", "a: width\n   - depth\n", 8, "2:6"},
		{"plain, after an empty line", "a: width\n\n\n   - depth\n", 9, "4:6"},
		{"plain, carriage returns", "a: width\r\n   - depth\r\n", 8, "2:6"},
		{"plain, in a list", "- [1, width + x]\n", 8, "1:15"},
		{"anchored", "a: &b width + x\n", 8, "1:15"},
		{"anchored, on the next line", "a: &b\n  width + x\n", 8, "2:11"},
		{"through an alias", "b: &b width + x\na: *b\n", 8, "1:15"},
		{"single quotes", "a: 'width + x'\n", 8, "1:13"},
		{"single quotes doubled", "a: '7'' 6'' x'\n", 6, "1:13"},
		{"double quotes", "a: \"width + x\"\n", 8, "1:13"},
		{"double quotes, at the end", "a: \"width\"\n", 5, "1:10"},
		{"escapes", `a: "\t\x41\u00e9\U0001F600\"x"` + "\n", 9, "1:29"},
		{"inside an escape", `a: "\u00e9x"` + "\n", 1, "1:5"},
		{"folded quotes", "a: \"width\n  - depth\n\n  - x\"\n", 16, "4:5"},
		{"escaped line end", "a: \"width \\\n   - x\"\n", 8, "2:6"},
		{"escaped line end and an empty line", "a: \"b\\\n\n  \\nc\"\n", 3, "3:5"},
		{"literal", "a: |\n  width\n  - depth\n", 8, "3:5"},
		{"literal, after empty lines", "a: |\n\n  width\n\n\n  - x\n", 11, "6:5"},
		{"literal, at its end", "a: |\n  width\nb: 1\n", 6, "2:8"},
		{"literal, carriage returns", "a: |\r\n  width\r\n  - x\r\n", 8, "3:5"},
		{"literal that begins with spaces", "a: |1\n   width\n - x\n", 10, "3:4"},
		{"folded", "a: >\n  width\n  - depth\n", 8, "3:5"},
		{"folded, between its lines", "a: >\n  width\n  - depth\n", 5, "2:8"},
		{"folded, on what joins", "a: >\n  w\n\n\n  - depth\n", 2, "4:1"},
		{"folded with an indented line", "a: >-\n  b\n   c\n  d\n", 5, "4:3"},
		{"empty quotes", "a: ''\n", 0, "1:5"},
		{"a list", "a: [1]\n", 1, "1:4"},
	} {
		var c Collector
		n := Read(&c, "f", strings.NewReader(test.text))
		if n.IsList() {
			n = n.Items()[0].Items()[1]
		} else {
			n = n.Map("a", "b").Get("a")
		}
		n.FaultAt(test.offset, "x", "")
		faults, _ := c.Err().(Faults)
		if len(faults) != 1 {
			t.Errorf("%s: %v", test.name, c.Err())
			continue
		}
		if got := fmt.Sprintf("%d:%d", faults[0].Line, faults[0].Column); got != test.want {
			t.Errorf("%s: offset %d is at %s, want %s\n%v", test.name, test.offset, got, test.want, faults[0])
		}
	}
}

// TestTrace writes scalars of every style at random. Each letter is used once, so that
// its place in the file is known without tracing.
func TestTrace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		next := rune(0)
		places := map[rune]string{} // how each letter is written
		letter := func(form string) string {
			r := '一' + next
			next++
			places[r] = fmt.Sprintf(form, r)
			return places[r]
		}
		breaks := []string{"\n  ", "\n\n  ", "\n \n\n  ", " \n   ", "\r\n  ", "\n\t  "}
		forms := []string{"%c", "%c", "%c ", " %c"}
		header, mark := "", ""
		switch style := rapid.SampledFrom([]string{"plain", "'", `"`, "|", ">"}).Draw(t, "style"); style {
		case "plain":
		case "'":
			mark = style
			breaks = append(breaks, "''")
		case `"`:
			mark = style
			breaks = append(breaks, "\\\n  ", "\\\n\n \\ ", `\n`, `\t`, `\"`, `\x41`, `\u00e9`, `\U0001F600`, `\N`, `\_`)
			forms = append(forms, `\u%04x`)
		default:
			header = style + rapid.SampledFrom([]string{"", "-", "+", "2", "2-", "+2"}).Draw(t, "indicators") + "\n  "
			breaks = []string{"\n  ", "\n\n  ", "\n\n\n  ", "\n   ", "\n    \n  ", "\n  \t", "  \n  ", "\r\n  "}
		}
		var b strings.Builder
		for range rapid.IntRange(1, 12).Draw(t, "pieces") {
			if rapid.Bool().Draw(t, "break") {
				b.WriteString(rapid.SampledFrom(breaks).Draw(t, "between"))
			}
			b.WriteString(letter(rapid.SampledFrom(forms).Draw(t, "form")))
		}
		text := "k:\n - " + rapid.SampledFrom([]string{"", "&a "}).Draw(t, "anchor") + header + mark + b.String() + mark + "\n - q\n"
		if header == "" && mark == "" && rapid.Bool().Draw(t, "flow") {
			text = "k: [" + b.String() + "]\n"
		}
		var c Collector
		root := Read(&c, "f", strings.NewReader(text))
		if err := c.Err(); err != nil {
			t.Skip(err) // a tab or a break in the wrong place
		}
		n := root.Map("k").Get("k").Items()[0]
		for offset, r := range n.Text() {
			written, ok := places[r]
			if !ok {
				continue
			}
			written = strings.Trim(written, " ")
			if got, want := n.file.trace(n.yaml, offset), strings.Index(text, written); got != want {
				t.Fatalf("%q: the value %q at %d (%q) is traced to %d, want %d", text, n.Text(), offset, r, got, want)
			}
		}
		end := n.file.trace(n.yaml, len(strings.TrimRight(n.Text(), "\n")))
		if r, _ := utf8.DecodeLastRuneInString(strings.TrimRight(text[:end], " \t\r\n")); mark == "" && places[r] == "" {
			t.Fatalf("%q: the end of %q is traced to %d", text, n.Text(), end)
		}
	})
}

// FuzzRead holds that no file stops the reader, and that every fault lies inside its file.
func FuzzRead(f *testing.F) {
	for _, seed := range []string{
		"", "a: 1\nb: [x, {c: \"d\\n\"}]\n", "a: |\n  b\n c\n", "a: >2-\n    b\n\n  c\n", "a: &x 'it''s'\nb: *x\n", "a: &x [*x]\n",
		"\uFEFFa:\r\n  - \"\\\n   x\"\r\n", "a: 1\n---\nb", "? [a]\n: b", "<<: {a: 1}", "a: @", "{", "a:\n\tb", "a: \"x", "\xff", "!t a: !!b c",
		bomb(),
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 4096 {
			t.Skip()
		}
		var c Collector
		root := Read(&c, "f", strings.NewReader(text))
		budget := 300
		everything(root, &budget)
		err := c.Err()
		if err == nil {
			return
		}
		lines := strings.Split(strings.TrimPrefix(text, "\uFEFF"), "\n")
		for _, fault := range err.(Faults) {
			if fault.Line == 0 && fault.Column == 0 {
				continue
			}
			if fault.Line < 1 || fault.Line > len(lines) || fault.Column < 1 || fault.Column > utf8.RuneCountInString(lines[fault.Line-1])+1 {
				t.Fatalf("%d:%d lies outside the file: %v", fault.Line, fault.Column, fault)
			}
			if n := utf8.RuneCountInString(fault.Line0); n > widest+2 || fault.Caret < 0 || fault.Caret > n+1 {
				t.Fatalf("the caret %d lies outside the line %q", fault.Caret, fault.Line0)
			}
			_ = fault.Error()
		}
	})
}

// everything calls all getters on all nodes.
func everything(n Node, budget *int) {
	*budget--
	if n.IsZero() || *budget < 0 {
		return
	}
	n.Length(0)
	n.Number(1, 2)
	n.Whole(1, 2)
	n.Money()
	n.Truth()
	n.OneOf("a", "b")
	n.Fault("x", "")
	text := n.Text()
	for offset := -1; offset <= len(text)+1 && offset < 200; offset++ {
		n.FaultAt(offset, "y", "")
	}
	if n.IsMap() {
		n.Map("a", "b").Need("a")
	}
	for _, e := range n.Entries() {
		everything(e.Value, budget)
	}
	for _, item := range n.Items() {
		everything(item, budget)
	}
}
