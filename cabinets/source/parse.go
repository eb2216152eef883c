package source

import (
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

// parse returns the root of the only document, or nil after a fault.
func (f *file) parse() *yaml.Node {
	documents, reached, err := parse(f.text)
	switch {
	case err != nil:
		f.syntax(reached, err)
		return nil
	case len(documents) == 0 || len(documents) == 1 && (Node{f, documents[0].Content[0]}).empty():
		f.refuse("is empty", "see the examples in the guide")
		return nil
	case len(documents) > 1:
		f.fault(f.place(documents[1]), "a second document", "keep one document a file: delete the --- line and what follows")
		return nil
	}
	return documents[0].Content[0]
}

// parse reads the documents of a text and the count of bytes that it took to do so, or
// to find the error. The library's own panics are errors here.
func parse(text string) (documents []*yaml.Node, reached int, err error) {
	r := &byLine{text: text}
	defer func() {
		reached = r.at
		if p := recover(); p != nil {
			err = fmt.Errorf("yaml: %v", p)
		}
	}()
	for decoder := yaml.NewDecoder(r); ; {
		var n yaml.Node
		if err := decoder.Decode(&n); err == io.EOF {
			return documents, 0, nil
		} else if err != nil {
			return nil, 0, err
		}
		if len(n.Content) > 0 {
			documents = append(documents, &n)
		}
	}
}

// byLine hands a text out line by line, so that it tells how far a reader got.
type byLine struct {
	text string
	at   int
}

func (b *byLine) Read(p []byte) (int, error) {
	if b.at == len(b.text) {
		return 0, io.EOF
	}
	n := copy(p, b.text[b.at:lineEnd(b.text, b.at)])
	b.at += n
	return n, nil
}

// lineEnd returns where the line after the one at hand begins.
func lineEnd(text string, at int) int {
	if i := strings.IndexByte(text[at:], '\n'); i >= 0 {
		return at + i + 1
	}
	return len(text)
}

// place returns the byte at which a node begins.
func (f *file) place(n *yaml.Node) int {
	if n.Line < 1 || n.Line > len(f.lines) {
		return 0
	}
	at := f.lines[n.Line-1]
	rest := f.line(n.Line - 1)
	for c := 1; c < n.Column && rest != ""; c++ {
		_, size := utf8.DecodeRuneInString(rest)
		rest, at = rest[size:], at+size
	}
	return at
}

// errorForm takes the library's errors apart. The line, where there is one, is often
// that of the mapping around the fault.
var errorForm = regexp.MustCompile(`^(?:yaml: )?(?:line (\d+): )?(.*)$`)

// syntaxErrors say the library's errors in the words of this package, by a part of their text.
var syntaxErrors = []struct{ part, text, hint string }{
	{"tab character", "a tab in the indentation", "indent with spaces"},
	{"cannot start any token", "a sign that no value can begin with", "put the text in quotation marks"},
	{"mapping values are not allowed", "a colon that makes no key here", "indent keys alike, and put a text that holds a colon and a space in quotation marks"},
	{"could not find expected ':'", "a key without a colon", "put a colon and a space behind the key"},
	{"expected ',' or ']'", "a list that is not closed", "close it with ], and put commas between its values"},
	{"expected ',' or '}'", "a mapping that is not closed", "close it with }, and put commas between its keys"},
	{"did not find expected key", "this does not fit what stands before it", "indent keys that belong together alike, and put the whole of a text in quotation marks, not its beginning"},
	{"expected '-' indicator", "this does not fit the list before it", "indent the items of a list alike"},
	{"block sequence entries are not allowed", "a list that cannot begin here", "begin it on a line of its own, under the key"},
	{"unexpected end of stream", "a quotation mark that is not closed", "close it"},
	{"unexpected document indicator", "a quotation mark that is not closed before ---", "close it"},
	{"unknown escape character", "an unknown escape in a text", `write \\ for \, or use single quotation marks`},
	{"expected node content", "a sign that does not belong here", "delete it, or put the text in quotation marks"},
	{"expected <document start>", "more follows the end of the document", "delete it"},
	{"exceeded max depth", "this nests too deeply", "nest less deeply"},
	{"unknown anchor", "an alias of an unknown anchor", "define it before with & and its name, or put a text that begins with * in quotation marks"},
}

// syntax reports an error of the library, which had read so many bytes when it met it.
func (f *file) syntax(reached int, err error) {
	parts := errorForm.FindStringSubmatch(err.Error())
	at, ok := f.longestYAML(reached)
	if !ok {
		line, _ := strconv.Atoi(parts[1])
		at = f.lines[min(max(line, 1), len(f.lines))-1]
	}
	rest := f.text[at:]
	at += len(rest) - len(strings.TrimLeft(rest, " \r\n"))
	if strings.HasPrefix(f.text[at:], "\t") {
		parts[2] = "tab character"
	}
	for _, e := range syntaxErrors {
		if strings.Contains(parts[2], e.part) {
			f.fault(at, e.text, e.hint)
			return
		}
	}
	f.fault(at, "this is not YAML: "+parts[2], "check this line and the one before it")
}

// mostReparsed bounds the bytes that are read again to place a syntax error; longer
// searches, which only large broken files need, give up. A bracket counts more: the
// library looks at all open ones again with each word.
const (
	mostReparsed = 768 << 10
	ofBracket    = 4
)

// longestYAML returns the length of the longest beginning of the text that is YAML, up
// to the byte reached: the fault stands behind it. First whole lines are dropped, then
// characters of the next line. It reports false where the search would take too long.
func (f *file) longestYAML(reached int) (at int, ok bool) {
	budget := mostReparsed
	fits := func(at int) bool {
		text := f.text[:at]
		budget -= at + ofBracket*(strings.Count(text, "[")+strings.Count(text, "{"))
		if budget < 0 {
			return false
		}
		_, _, err := parse(text)
		return err == nil
	}
	begin := reached
	for begin > 0 && budget > 0 && !fits(begin) {
		begin = strings.LastIndexByte(f.text[:begin-1], '\n') + 1
	}
	end := strings.TrimRight(f.text[begin:lineEnd(f.text, begin)], " \r\n")
	for end != "" && budget > 0 && !fits(begin+len(end)) {
		_, size := utf8.DecodeLastRuneInString(end)
		end = end[:len(end)-size]
	}
	return begin + len(end), budget > 0
}
