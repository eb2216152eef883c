package source

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode/utf8"
)

// Bounds on a file. A real one has a few kB and six levels.
const (
	largest    = 512 << 10 // bytes
	mostValues = 100_000   // aliases expanded
	deepest    = 40        // levels
)

// file is a text read, with what is needed to place faults in it.
type file struct {
	collector *Collector
	name      string
	text      string
	lines     []int // where each line begins
}

// ReadFile opens path and reads it as Read does; shown is the name used in faults.
func ReadFile(c *Collector, path, shown string) Node {
	refuse := func(text, hint string) Node {
		c.Add(Fault{File: shown, Text: text, Hint: hint})
		return Node{}
	}
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return refuse("no such file", missingHint(path, shown))
	case err != nil:
		return refuse("cannot be read: "+reason(err), "check the path and its permissions")
	case info.IsDir():
		return refuse("is a folder, not a file", "name a YAML file in it")
	case !info.Mode().IsRegular(): // a pipe could block for ever
		return refuse("is no regular file", "name a YAML file")
	}
	r, err := os.Open(path)
	if err != nil {
		return refuse("cannot be read: "+reason(err), "check the path and its permissions")
	}
	defer r.Close()
	return Read(c, shown, r)
}

// reason is an error of the system without the path, which the fault names already.
func reason(err error) string {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err.Error()
	}
	return err.Error()
}

// missingHint suggests a file with a near name, or tells that the folder is missing.
func missingHint(path, shown string) string {
	folder, base := filepath.Split(path)
	entries, err := os.ReadDir(filepath.Clean(folder))
	if err != nil {
		return fmt.Sprintf("there is no folder %s either", filepath.ToSlash(filepath.Dir(shown)))
	}
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	if near := Nearest(base, names); near != "" {
		return fmt.Sprintf("did you mean %s?", near)
	}
	return "check the name and the folder"
}

// Read parses one YAML document from r, called name in faults. Faults, syntax errors
// among them, go to c; the Node is then zero and reads as empty everywhere, unless what
// is wrong (a duplicate key, say) leaves the rest readable.
func Read(c *Collector, name string, r io.Reader) Node {
	f := &file{collector: c, name: name}
	data, err := io.ReadAll(io.LimitReader(r, largest+1))
	switch {
	case err != nil:
		f.refuse("cannot be read: "+reason(err), "check the path and its permissions")
		return Node{}
	case len(data) > largest:
		f.refuse(fmt.Sprintf("is larger than %d bytes", largest), "a shop's files have a few thousand; name a YAML file")
		return Node{}
	}
	f.text = string(bytes.TrimPrefix(data, []byte("\uFEFF")))
	f.lines = []int{0}
	for i := range len(f.text) {
		if f.text[i] == '\n' {
			f.lines = append(f.lines, i+1)
		}
	}
	if !f.characters() {
		return Node{}
	}
	root := f.parse()
	if root == nil || !f.sound(root) {
		return Node{}
	}
	return f.node(root)
}

// refuse reports a fault of the whole file.
func (f *file) refuse(text, hint string) {
	f.collector.Add(Fault{File: f.name, Text: text, Hint: hint})
}

// fault reports a fault at a byte of the text.
func (f *file) fault(at int, text, hint string) {
	if f.collector.Full() {
		f.collector.Add(Fault{}) // counted only
		return
	}
	line, found := slices.BinarySearch(f.lines, at)
	if !found {
		line-- // the line that begins before
	}
	f.collector.Add(At(f.name, line+1, f.line(line), at-f.lines[line], text, hint))
}

// line returns a line, from 0, without its end.
func (f *file) line(index int) string {
	end := len(f.text)
	if index+1 < len(f.lines) {
		end = f.lines[index+1] - 1
	}
	return strings.TrimSuffix(f.text[f.lines[index]:end], "\r")
}

// characters refuses what no YAML text holds, and reports whether all is well.
func (f *file) characters() bool {
	if at := strings.IndexByte(f.text, 0); at >= 0 {
		f.refuse("is binary, not text", "name a YAML file, saved as UTF-8")
		return false
	}
	for at := 0; at < len(f.text); {
		r, size := utf8.DecodeRuneInString(f.text[at:])
		switch {
		case r == utf8.RuneError && size == 1:
			f.fault(at, "a byte that is not UTF-8", "save the file as UTF-8")
			return false
		case r == '\r' && !strings.HasPrefix(f.text[at:], "\r\n"), r == '\u0085', r == '\u2028', r == '\u2029':
			f.fault(at, fmt.Sprintf("a line end of another kind (U+%04X)", r), "end lines with a line feed")
			return false
		case r < ' ' && r != '\t' && r != '\n' && r != '\r', 0x7F <= r && r < 0xA0, r == 0xFEFF, r == 0xFFFE, r == 0xFFFF:
			f.fault(at, fmt.Sprintf("a control character (U+%04X)", r), "delete it")
			return false
		}
		at += size
	}
	return true
}
