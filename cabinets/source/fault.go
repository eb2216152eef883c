// Package source reads YAML with positions. Every fault of a file is collected, with
// its line, column and a hint, instead of stopping at the first. It is the only
// package that knows the YAML library.
package source

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Fault is one thing wrong with a file: its place, what is wrong and what to do.
// Position is kept in fields and formatted only when printed.
type Fault struct {
	File         string
	Line, Column int    // from 1; 0 where the whole file is meant. Column counts characters
	Line0        string // the source line, cut to a printable length
	Caret        int    // how many characters of Line0 stand before the place
	Text, Hint   string
}

// Error formats the fault on up to four lines: `file:line:column: text`, the source
// line, a caret under the column, `hint: ...`.
func (f Fault) Error() string {
	var b strings.Builder
	b.WriteString(f.File)
	if f.Line > 0 {
		fmt.Fprintf(&b, ":%d:%d", f.Line, f.Column)
	}
	b.WriteString(": " + f.Text)
	if f.Line > 0 && f.Line0 != "" {
		b.WriteString("\n" + f.Line0 + "\n" + indent(f.Line0, f.Caret) + "^")
	}
	if f.Hint != "" {
		b.WriteString("\nhint: " + f.Hint)
	}
	return b.String()
}

// At returns a fault at a byte, from 0, of a line, from 1.
func At(file string, line int, source string, at int, text, hint string) Fault {
	before := utf8.RuneCountInString(source[:min(at, len(source))])
	shown, caret := window(source, before)
	return Fault{File: file, Line: line, Column: before + 1, Line0: shown, Caret: caret, Text: text, Hint: hint}
}

const widest = 100 // characters of a line that are shown

// window cuts a long line around a place, and returns the place in what is left.
func window(line string, place int) (string, int) {
	characters := []rune(line)
	for i, r := range characters {
		if unicode.IsControl(r) && r != '\t' { // a terminal would obey it
			characters[i] = utf8.RuneError
		}
	}
	if len(characters) <= widest {
		return string(characters), place
	}
	from := max(0, min(place-widest/2, len(characters)-widest))
	to := min(from+widest, len(characters))
	shown := string(characters[from:to])
	place -= from
	if from > 0 {
		shown, place = "…"+shown, place+1
	}
	if to < len(characters) {
		shown += "…"
	}
	return shown, place
}

// indent returns blanks as wide on a terminal as the first count characters of line.
func indent(line string, count int) string {
	var b strings.Builder
	for _, r := range line {
		if count == 0 {
			break
		}
		count--
		switch {
		case r == '\t':
			b.WriteByte('\t')
		case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf): // drawn onto its neighbour
		case wide(r):
			b.WriteString("  ")
		default:
			b.WriteByte(' ')
		}
	}
	return b.String()
}

// wide reports whether a terminal gives a character two cells: the East Asian scripts,
// full-width forms and emoji (after Unicode Standard Annex 11, by blocks).
func wide(r rune) bool {
	switch {
	case r < 0x1100:
		return false
	case unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Hangul, unicode.Bopomofo):
		return r < 0xFF61 || r > 0xFFDC // half-width forms
	}
	return 0x3000 <= r && r <= 0x303E || 0xFF01 <= r && r <= 0xFF60 || 0xFFE0 <= r && r <= 0xFFE6 || 0x1F300 <= r && r <= 0x1FAFF
}

// Faults is an error that holds all faults found, in file order.
type Faults []Fault

// How many faults are printed, and kept: what is no YAML of a shop at all has one in each line.
const (
	mostPrinted = 100
	mostKept    = 1000
)

// Error prints the faults one below the other; those after the hundredth are counted only.
func (f Faults) Error() string { return strings.Join(f.Texts(), "\n") }

// Texts returns the text of each fault; those after the hundredth are counted only.
func (f Faults) Texts() (texts []string) {
	for _, fault := range f[:min(len(f), mostPrinted)] {
		texts = append(texts, fault.Error())
	}
	switch more := len(f) - mostPrinted; {
	case len(f) > mostKept/2: // some may not have been kept, and doubles are gone
		texts = append(texts, fmt.Sprintf("and at least %d more faults", more))
	case more > 0:
		texts = append(texts, fmt.Sprintf("and %d more faults", more))
	}
	return texts
}

// Collector gathers faults over one or more files. The zero value is ready.
type Collector struct {
	faults Faults
	newer  Faults // those of files that are of a newer form
	count  int    // of all, those that are not kept as well
}

// Add reports a fault that has no node. After the first thousand they are only counted.
func (c *Collector) Add(f Fault) {
	if c.count++; len(c.faults) < mostKept {
		c.faults = append(c.faults, f)
	}
}

// Count returns how many faults there are by now.
func (c *Collector) Count() int { return c.count }

// Full reports whether there are so many faults that no further one is kept: what only tells of faults may end.
func (c *Collector) Full() bool { return c.count >= mostKept }

// Err returns the faults as an error (Faults, sorted by file and place, doubles
// removed), or nil where there are none. Where a file is of a newer form, only that is told: what else
// was found follows from not reading it.
func (c *Collector) Err() error {
	if len(c.faults) == 0 {
		return nil
	}
	faults := slices.Clone(c.faults)
	if len(c.newer) > 0 {
		faults = slices.Clone(c.newer)
	}
	slices.SortStableFunc(faults, func(a, b Fault) int {
		return cmp.Or(
			strings.Compare(a.File, b.File),
			cmp.Compare(a.Line, b.Line),
			cmp.Compare(a.Column, b.Column),
			strings.Compare(a.Text, b.Text),
		)
	})
	return slices.CompactFunc(faults, func(a, b Fault) bool {
		return a.File == b.File && a.Line == b.Line && a.Column == b.Column && a.Text == b.Text
	})
}
