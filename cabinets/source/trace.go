package source

import (
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

// begin returns the byte at which a node's value begins, after its anchor and tag.
func (f *file) begin(n *yaml.Node) int {
	at := f.place(n)
	for at < len(f.text) && n.Kind == yaml.ScalarNode && (n.Anchor != "" || n.Style&yaml.TaggedStyle != 0) && strings.IndexByte("&!", f.text[at]) >= 0 {
		rest := f.text[at:]
		word := strings.IndexAny(rest+" ", " \t\n\r")
		at += word + len(rest[word:]) - len(strings.TrimLeft(rest[word:], " \t\n\r"))
	}
	return min(at, len(f.text))
}

// trace returns the byte of the file from which a byte of a scalar's value comes; the
// value's length stands for its end. It reads the scalar again, byte by byte, as YAML
// 1.2 section 7.3 and 8.1 say; where that fails, it returns the scalar's begin.
func (f *file) trace(n *yaml.Node, offset int) int {
	begin := f.begin(n)
	if n.Kind != yaml.ScalarNode {
		return begin
	}
	t := tracer{text: f.text, at: begin, value: n.Value}
	var ok bool
	switch {
	case n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		ok = t.block(offset)
	case n.Style&yaml.DoubleQuotedStyle != 0:
		ok = t.quoted('"', offset)
	case n.Style&yaml.SingleQuotedStyle != 0:
		ok = t.quoted('\'', offset)
	default:
		ok = t.flow(0, offset)
	}
	if !ok {
		return begin
	}
	return t.at
}

// tracer walks through a scalar in the file (at) and its value (done) alike.
type tracer struct {
	text  string
	at    int
	value string
	done  int
}

func (t *tracer) quoted(mark byte, offset int) bool {
	if t.at >= len(t.text) || t.text[t.at] != mark {
		return false
	}
	t.at++
	return t.flow(mark, offset)
}

// flow walks a plain (mark 0) or quoted scalar up to an offset of the value.
func (t *tracer) flow(mark byte, offset int) bool {
	for {
		if mark == '"' && t.continued() {
			continue
		}
		if t.done >= offset || t.done >= len(t.value) {
			return true
		}
		if t.at >= len(t.text) {
			return false
		}
		if t.folded() {
			continue
		}
		if !t.character(mark, offset) {
			return false
		}
	}
}

// continued skips an escaped line end. Each empty line behind it is a line feed.
func (t *tracer) continued() bool {
	rest := t.text[t.at:]
	if !strings.HasPrefix(rest, "\\\n") && !strings.HasPrefix(rest, "\\\r\n") {
		return false
	}
	t.at++
	t.done += t.blank() - 1
	return true
}

// folded skips line ends: one is a space of the value, several are one line feed fewer.
func (t *tracer) folded() bool {
	start := t.at
	breaks := t.blank()
	if breaks == 0 {
		t.at = start
		return false
	}
	t.done += max(1, breaks-1)
	return true
}

// blank skips blanks and line ends, and counts the latter.
func (t *tracer) blank() int {
	rest := t.text[t.at:]
	skipped := rest[:len(rest)-len(strings.TrimLeft(rest, " \t\r\n"))]
	t.at += len(skipped)
	return strings.Count(skipped, "\n")
}

// escapes is how many hexadecimal digits follow an escape.
var escapes = map[byte]int{'x': 2, 'u': 4, 'U': 8}

// character skips one character of the value and what stands for it in the file, unless
// the offset lies within it.
func (t *tracer) character(mark byte, offset int) bool {
	rest := t.text[t.at:]
	_, size := utf8.DecodeRuneInString(t.value[t.done:])
	width := size
	switch {
	case mark == '\'' && strings.HasPrefix(rest, "''"):
		width = 2
	case mark == '"' && rest[0] == '\\' && len(rest) > 1:
		width = 2 + escapes[rest[1]]
	case !strings.HasPrefix(rest, t.value[t.done:t.done+size]):
		return false
	}
	if t.done+size <= offset {
		t.at += width
	}
	t.done += size
	return t.at <= len(t.text)
}

// block walks a literal or folded scalar: each of its lines in the file stands in the
// value without its indentation, with a space or line feeds between. How far the lines
// are indented shows only by whether they fit.
func (t *tracer) block(offset int) bool {
	start := *t
	for indent := t.indentation(); indent >= 0; indent-- {
		*t = start
		if t.lines(indent, len(t.value)) {
			*t = start
			return t.lines(indent, offset)
		}
	}
	return false
}

// indentation returns how many spaces the first line with text begins with.
func (t *tracer) indentation() int {
	for _, line := range strings.Split(t.text[t.at:], "\n")[1:] {
		if text := strings.TrimLeft(line, " "); strings.TrimSuffix(text, "\r") != "" {
			return len(line) - len(text)
		}
	}
	return 0
}

// lines walks the lines of a block up to an offset of the value.
func (t *tracer) lines(indent, offset int) bool {
	t.at = t.lineEnd() // of the header
	for strings.Trim(t.value[t.done:], "\n") != "" {
		if t.at == len(t.text) {
			return false
		}
		last := t.at
		t.at++
		line := strings.TrimSuffix(t.text[t.at:t.lineEnd()], "\r")
		if len(line) <= indent && strings.Trim(line, " ") == "" {
			t.at = t.lineEnd()
			continue // its line feed is passed below
		}
		if len(line) < indent || strings.Trim(line[:indent], " ") != "" {
			return false
		}
		for t.value[t.done] == '\n' {
			t.done++
		}
		content := line[indent:]
		if rest := t.value[t.done:]; !strings.HasPrefix(rest, content) && rest[0] == ' ' {
			t.done++ // the space that joins two lines
		}
		if !strings.HasPrefix(t.value[t.done:], content) {
			return false
		}
		if offset < t.done { // on what joins this line to the last
			t.at = last
			return true
		}
		t.at += indent + min(offset-t.done, len(content))
		t.done += len(content)
		if offset <= t.done {
			return true
		}
	}
	return true
}

// lineEnd returns where the line at hand ends.
func (t *tracer) lineEnd() int {
	if i := strings.IndexByte(t.text[t.at:], '\n'); i >= 0 {
		return t.at + i
	}
	return len(t.text)
}
