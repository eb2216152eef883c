package draw

import (
	"bytes"
	"errors"
	"os/exec"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func pdfOf(t testing.TB, pages ...Page) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := WritePDF(&b, "a book", pages); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestWritePDFSameBytes(t *testing.T) {
	page := Page{Width: 120, Height: 80, X: 5, Y: 5, Drawing: sample()}
	first := pdfOf(t, page, page)
	if !bytes.Equal(first, pdfOf(t, page, page)) {
		t.Error("two runs differ")
	}
	if n := bytes.Count(first, []byte("(D:19700101000000")); n != 2 { // when it was made and changed
		t.Errorf("%d fixed dates, want 2", n)
	}
}

func TestWritePDFReturnsTheWritersError(t *testing.T) {
	f := full(100)
	if err := WritePDF(&f, "", []Page{{Width: 100, Height: 50, Drawing: sample()}}); !errors.Is(err, errFull) {
		t.Errorf("error %v", err)
	}
}

// TestPDFText reads pages, texts and bookmarks back with poppler's tools.
func TestPDFText(t *testing.T) {
	for _, tool := range []string{"pdftotext", "pdfinfo"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skipf("%s is not there (Debian: poppler-utils)", tool)
		}
	}
	d := Drawing{Title: "A-014 πλαϊνό"}
	for i, text := range []string{"боковая стенка", "πλαϊνό συρταριού", `<"quoted"> (\)`, "12 15/32", "漢\x00字"} {
		d.Add(Text{X: 10, Y: 20 + 10*float64(i), Size: 5, Text: text, Bold: i%2 == 1})
	}
	content := pdfOf(t, Page{Width: 210, Height: 297, Drawing: d}, Page{Width: 297, Height: 210, Drawing: d})
	read := func(tool string, args ...string) string {
		cmd := exec.Command(tool, args...)
		cmd.Stdin = bytes.NewReader(content)
		out, err := cmd.CombinedOutput()
		if err != nil {
			t.Fatalf("%s: %v %s", tool, err, out)
		}
		return string(out)
	}
	text := read("pdftotext", "-layout", "-", "-")
	for _, want := range []string{"боковая стенка", "πλαϊνό συρταριού", `<"quoted"> (\)`, "12 15/32", "???"} { // a letter that the type lacks is told by a mark
		if n := strings.Count(text, want); n != 2 {
			t.Errorf("%q stands %d times in\n%s", want, n, text)
		}
	}
	info := read("pdfinfo", "-f", "1", "-l", "2", "-")
	for _, want := range []string{"Title:           a book", "Pages:           2", "Page    1 size:  595.28 x 841.89", "Page    2 size:  841.89 x 595.28"} { // A4 at 72 points to 25.4 mm
		if !strings.Contains(info, want) {
			t.Errorf("%q is missing in\n%s", want, info)
		}
	}
}

// TestAnyTextIsPrintable wants no text to be refused, and none to be set in letters that the
// type lacks.
func TestAnyTextIsPrintable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String().Draw(t, "text")
		for _, r := range printable(text, false) {
			if !regular().has(r) {
				t.Errorf("the type lacks %q", r)
			}
		}
		var b bytes.Buffer
		d := Drawing{Title: text}
		d.Add(Text{Size: 3, Text: text})
		if err := WritePDF(&b, text, []Page{{Width: 10, Height: 10, Drawing: d}}); err != nil {
			t.Fatal(err)
		}
	})
}

func TestRGB(t *testing.T) {
	for color, want := range map[string][3]int{"": {}, "black": {}, "white": {255, 255, 255}, "#e69f00": {0xe6, 0x9f, 0}} {
		if r, g, b := rgb(color); [3]int{r, g, b} != want {
			t.Errorf("%q: %d %d %d", color, r, g, b)
		}
	}
}
