package source

import (
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

// TestCaret holds the print of a fault: the caret stands below the place.
func TestCaret(t *testing.T) {
	long := strings.Repeat("0123456789", 30)
	for _, test := range []struct {
		name, line string
		place      int // characters before it
		want       string
	}{
		{"plain", "kerf: 3 mn", 8, "kerf: 3 mn\n        ^"},
		{"at the start", "kerf", 0, "kerf\n^"},
		{"behind the end", "kerf:", 5, "kerf:\n     ^"},
		{"tabs", "a:\t\t3 mn", 6, "a:\t\t3 mn\n  \t\t  ^"},
		{"wide characters", "名前: ｆ x 가", 6, "名前: ｆ x 가\n         ^"},
		{"half-width", "ｱｲ: x", 4, "ｱｲ: x\n    ^"},
		{"emoji", "🪚🪚 x", 3, "🪚🪚 x\n     ^"},
		{"combining", "u\u0308ber x", 6, "u\u0308ber x\n     ^"},
		{"terminal control", "a\x1b[31mb", 6, "a\uFFFD[31mb\n      ^"},
		{"long, at the start", long, 3, long[:100] + "…\n   ^"},
		{"long, in the middle", long, 150, "…" + long[100:200] + "…\n" + strings.Repeat(" ", 51) + "^"},
		{"long, at the end", long, 300, "…" + long[200:] + "\n" + strings.Repeat(" ", 101) + "^"},
	} {
		line, caret := window(test.line, test.place)
		f := Fault{File: "f", Line: 1, Column: test.place + 1, Line0: line, Caret: caret, Text: "x"}
		_, got, _ := strings.Cut(f.Error(), "x\n")
		if got != test.want {
			t.Errorf("%s:\n%s\nwant\n%s", test.name, got, test.want)
		}
	}
}

func TestFaultText(t *testing.T) {
	for _, test := range []struct {
		fault Fault
		want  string
	}{
		{Fault{File: "shop.yaml", Text: "is empty"}, "shop.yaml: is empty"},
		{Fault{File: "shop.yaml", Text: "is empty", Hint: "fill it"}, "shop.yaml: is empty\nhint: fill it"},
		{Fault{File: "shop.yaml", Line: 3, Column: 2, Line0: "ab", Caret: 1, Text: "no", Hint: "yes"}, "shop.yaml:3:2: no\nab\n ^\nhint: yes"},
		{Fault{File: "shop.yaml", Line: 3, Column: 1, Text: "no"}, "shop.yaml:3:1: no"},
	} {
		if got := test.fault.Error(); got != test.want {
			t.Errorf("%q, want %q", got, test.want)
		}
	}
}

func TestManyFaults(t *testing.T) {
	var f Faults
	for range 103 {
		f = append(f, Fault{File: "f", Text: "x"})
	}
	lines := strings.Split(f.Error(), "\n")
	if len(lines) != 101 || lines[99] != "f: x" || lines[100] != "and 3 more faults" {
		t.Errorf("%d lines, the last %q", len(lines), lines[len(lines)-1])
	}
}

// TestWindow holds that a cut line still shows the place.
func TestWindow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		line := rapid.StringOfN(rapid.RuneFrom([]rune("aä中\t")), 0, 400, -1).Draw(t, "line")
		runes := []rune(line)
		place := rapid.IntRange(0, len(runes)).Draw(t, "place")
		shown, caret := window(line, place)
		if n := utf8.RuneCountInString(shown); n > widest+2 || caret > n {
			t.Fatalf("%d characters, the place at %d", n, caret)
		}
		if place < len(runes) && []rune(shown)[caret] != runes[place] {
			t.Fatalf("the place shows %q, not %q", []rune(shown)[caret], runes[place])
		}
	})
}

func TestNearest(t *testing.T) {
	known := []string{"width", "height", "depth", "slide.length", "trim", "mm"}
	for word, want := range map[string]string{
		"width": "width", "widht": "width", "Width": "width", "heigth": "height", "dept": "depth", "slide_length": "slide.length",
		"tri": "trim", "trims": "trim", "rtim": "trim", "m": "", "x": "", "": "", "weather": "", "wid": "",
		strings.Repeat("width", 100): "", "mmm": "mm",
	} {
		if got := Nearest(word, known); got != want {
			t.Errorf("Nearest(%q) = %q, want %q", word, got, want)
		}
	}
	if got := Nearest("abx", []string{"abz", "aby"}); got != "abz" {
		t.Errorf("of two as near, %q", got)
	}
	if got := Nearest("abcdef", []string{"abxyef", "abcxef"}); got != "abcxef" {
		t.Errorf("the nearer is not %q", got)
	}
}

// TestDistance holds the table of distance against the recursion that defines it.
func TestDistance(t *testing.T) {
	var slow func(a, b []rune) int
	slow = func(a, b []rune) int {
		if len(a) == 0 || len(b) == 0 {
			return len(a) + len(b)
		}
		i, j := len(a)-1, len(b)-1
		replace := slow(a[:i], b[:j])
		if a[i] != b[j] {
			replace++
		}
		least := min(replace, slow(a[:i], b)+1, slow(a, b[:j])+1)
		if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
			least = min(least, slow(a[:i-1], b[:j-1])+1)
		}
		return least
	}
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.SliceOfN(rapid.SampledFrom([]rune("abc")), 0, 6)
		a, b := word.Draw(t, "a"), word.Draw(t, "b")
		if got, want := distance(slices.Clone(a), b), slow(a, b); got != want {
			t.Fatalf("distance(%q, %q) = %d, want %d", string(a), string(b), got, want)
		}
	})
}
