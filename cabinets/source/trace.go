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
		ok = t.block(max(0, min(offset, len(n.Value))))
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
		if ok := t.character(mark, offset); !ok {
			return false
		}
	}
}

// continued skips an escaped line end.
func (t *tracer) continued() bool {
	rest := t.text[t.at:]
	if !strings.HasPrefix(rest, "\\\n") && !strings.HasPrefix(rest, "\\\r\n") {
		return false
	}
	t.at += 1 + len(rest[1:]) - len(strings.TrimLeft(rest[1:], " \t\r\n"))
	// Empty lines behind it are line feeds of the value.
	for t.done < len(t.value) && t.value[t.done] == '\n' && strings.Count(rest[:len(rest)-len(t.text[t.at:])], "\n") > 1 {
		t.done++
	}
	return true
}

// folded skips line ends in the file: one is a space of the value, several are one line
// feed fewer.
func (t *tracer) folded() bool {
	rest := t.text[t.at:]
	blank := rest[:len(rest)-len(strings.TrimLeft(rest, " \t\r\n"))]
	breaks := strings.Count(blank, "\n")
	if breaks == 0 {
		return false
	}
	t.at += len(blank)
	t.done += max(1, breaks-1)
	return true
}

// escapes is how many hexadecimal digits follow an escape.
var escapes = map[byte]int{'x': 2, 'u': 4, 'U': 8}

// character skips one character in the file and what it is in the value.
func (t *tracer) character(mark byte, offset int) bool {
	rest := t.text[t.at:]
	_, size := utf8.DecodeRuneInString(t.value[t.done:])
	switch {
	case mark == '\'' && strings.HasPrefix(rest, "''"):
		t.at += 2
	case mark == '"' && rest[0] == '\\' && len(rest) > 1:
		if t.done+size > offset {
			t.done = offset // inside a character that is written as an escape
			return true
		}
		t.at += 2 + escapes[rest[1]]
	default:
		_, width := utf8.DecodeRuneInString(rest)
		if width != size {
			return false
		}
		if t.done+size > offset {
			t.done = offset
			return true
		}
		t.at += size
	}
	t.done += size
	return t.at <= len(t.text)
}

// block walks a literal or folded scalar: each of its lines in the file stands in the
// value without its indentation, with a space or line feeds between.
func (t *tracer) block(offset int) bool {
	indent := -1
	for next := t.lineEnd(); next < len(t.text); next = t.lineEnd() {
		t.at = next + 1
		line := strings.TrimSuffix(t.text[t.at:t.lineEnd()], "\r")
		text := strings.TrimLeft(line, " ")
		if text == "" && (indent < 0 || len(line) <= indent) {
			continue
		}
		// Line feeds that stand for empty lines, or the space that joins two lines.
		before := t.done
		for t.done < len(t.value) && t.value[t.done] == '\n' {
			t.done++
		}
		rest := t.value[t.done:]
		if indent < 0 { // an indicator may say that the text itself begins with spaces
			own := len(rest) - len(strings.TrimLeft(rest, " "))
			if indent = len(line) - len(text) - own; indent < 0 {
				return false
			}
		}
		content := line[indent:]
		if !strings.HasPrefix(rest, content) && strings.HasPrefix(rest, " ") {
			t.done++
			rest = rest[1:]
		}
		if !strings.HasPrefix(rest, content) {
			return false
		}
		if offset < t.done { // on what joins the lines
			t.at--
			_ = before
			return true
		}
		if offset <= t.done+len(content) {
			t.at += indent + offset - t.done
			return true
		}
		t.done += len(content)
	}
	t.at = len(t.text)
	return true
}

// lineEnd returns where the line at hand ends.
func (t *tracer) lineEnd() int {
	if i := strings.IndexByte(t.text[t.at:], '\n'); i >= 0 {
		return t.at + i
	}
	return len(t.text)
}
