// Package source reads YAML with positions. Every fault of a file is collected, with
// its line, column and a hint, instead of stopping at the first. It is the only
// package that knows the YAML library.
package source

import (
	"io"

	"sawbook/cabinets/measure"
)

// Fault is one thing wrong with a file: its place, what is wrong and what to do.
// Position is kept in fields and formatted only when printed.
type Fault struct {
	File         string
	Line, Column int    // from 1; 0 where the whole file is meant. Column counts characters
	Line0        string // the source line, cut to a printable length
	Text, Hint   string
}

// Error formats the fault on up to four lines: `file:line:column: text`, the source
// line, a caret under the column, `hint: ...`.
func (f Fault) Error() string { panic("not written yet") }

// Faults is an error that holds all faults found, in file order.
type Faults []Fault

func (f Faults) Error() string { panic("not written yet") }

// Collector gathers faults over one or more files. The zero value is ready.
type Collector struct {
	faults Faults
}

// Err returns the faults as an error (Faults, sorted by file and place, doubles
// removed), or nil where there are none.
func (c *Collector) Err() error { panic("not written yet") }

// Add reports a fault that has no node.
func (c *Collector) Add(f Fault) { c.faults = append(c.faults, f) }

// Read parses one YAML document from r, called name in faults. Faults, syntax errors
// among them, go to c; the Node is then zero and reads as empty everywhere.
func Read(c *Collector, name string, r io.Reader) Node { panic("not written yet") }

// ReadFile opens path and reads it as Read does; shown is the name used in faults.
func ReadFile(c *Collector, path, shown string) Node { panic("not written yet") }

// Node is a value of a YAML file with its place. Its getters report a fault and return
// the zero value where the value is of another kind; those of the zero Node return the
// zero value silently, so that one missing key gives one fault.
type Node struct {
	// fields are private to this package
}

// IsZero reports whether the node is missing.
func (n Node) IsZero() bool { panic("not written yet") }

// Fault reports a fault at the node.
func (n Node) Fault(text, hint string) { panic("not written yet") }

// FaultAt reports a fault at a byte offset inside a scalar's text, quotes and
// indentation allowed for.
func (n Node) FaultAt(offset int, text, hint string) { panic("not written yet") }

// Text returns a scalar as it is written ("18 mm", "true", "3" all are texts).
func (n Node) Text() string { panic("not written yet") }

// Length reads a length; a bare number is in the given unit.
func (n Node) Length(bare measure.Unit) measure.Length { panic("not written yet") }

// LengthIn reads a length and faults it outside least..most.
func (n Node) LengthIn(bare measure.Unit, least, most measure.Length) measure.Length {
	panic("not written yet")
}

// Number reads a finite number and faults it outside least..most.
func (n Node) Number(least, most float64) float64 { panic("not written yet") }

// Whole reads a whole number and faults it outside least..most.
func (n Node) Whole(least, most int64) int64 { panic("not written yet") }

// Money reads a decimal amount with at most two decimals into minor units, 0 or more.
func (n Node) Money() int64 { panic("not written yet") }

// Truth reads true or false.
func (n Node) Truth() bool { panic("not written yet") }

// OneOf reads a text that must be one of the words given; a near miss is suggested.
func (n Node) OneOf(words ...string) string { panic("not written yet") }

// IsText, IsList and IsMap report the kind of the node, without a fault.
func (n Node) IsText() bool { panic("not written yet") }
func (n Node) IsList() bool { panic("not written yet") }
func (n Node) IsMap() bool  { panic("not written yet") }

// Items returns the values of a list.
func (n Node) Items() []Node { panic("not written yet") }

// Entry is a key of a mapping, with its value.
type Entry struct {
	Name  string
	Key   Node
	Value Node
}

// Entries returns a mapping with free keys, in file order. Keys are names: letters,
// digits, hyphens and underscores, starting with a letter; anything else is a fault.
func (n Node) Entries() []Entry { panic("not written yet") }

// Map is a mapping with fixed keys.
type Map struct {
	node Node
	// further fields are private to this package
}

// Map reads a mapping that may have these keys and no other; each unknown key is a
// fault with the nearest known one as a hint.
func (n Node) Map(keys ...string) Map { panic("not written yet") }

// Get returns the value of a key, the zero Node where it is missing.
func (m Map) Get(key string) Node { panic("not written yet") }

// Need is Get that faults a missing key.
func (m Map) Need(key string) Node { panic("not written yet") }

// Nearest returns the known word nearest to word, or "" where none is near (edit
// distance with transpositions, at most a third of the length).
func Nearest(word string, known []string) string { panic("not written yet") }
