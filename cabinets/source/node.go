package source

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"gopkg.in/yaml.v3"

	"sawbook/cabinets/measure"
)

// Node is a value of a YAML file with its place. Its getters report a fault and return
// the zero value where the value is of another kind; those of the zero Node return the
// zero value silently, so that one missing key gives one fault.
type Node struct {
	file *file
	yaml *yaml.Node // never an alias
}

func (f *file) node(n *yaml.Node) Node {
	if n.Kind == yaml.AliasNode {
		n = n.Alias
	}
	return Node{f, n}
}

// IsZero reports whether the node is missing.
func (n Node) IsZero() bool { return n.yaml == nil }

// Fault reports a fault at the node.
func (n Node) Fault(text, hint string) {
	if !n.IsZero() {
		n.file.fault(n.file.begin(n.yaml), text, hint)
	}
}

// FaultAt reports a fault at a byte offset inside a scalar's text, quotes and
// indentation allowed for.
func (n Node) FaultAt(offset int, text, hint string) {
	if !n.IsZero() {
		n.file.fault(n.file.trace(n.yaml, offset), text, hint)
	}
}

// IsText, IsList and IsMap report the kind of the node, without a fault. A key without a
// value is none of them.
func (n Node) IsText() bool { return n.is(yaml.ScalarNode) && !n.empty() }
func (n Node) IsList() bool { return n.is(yaml.SequenceNode) }
func (n Node) IsMap() bool  { return n.is(yaml.MappingNode) }

func (n Node) is(kind yaml.Kind) bool { return !n.IsZero() && n.yaml.Kind == kind }

// empty reports whether nothing is written where a value belongs.
func (n Node) empty() bool {
	const quoted = yaml.SingleQuotedStyle | yaml.DoubleQuotedStyle | yaml.LiteralStyle | yaml.FoldedStyle
	return n.yaml.Kind == yaml.ScalarNode && n.yaml.Value == "" && n.yaml.Style&quoted == 0
}

// wants faults a node of another kind and reports whether it is of this one.
func (n Node) wants(kind yaml.Kind) bool {
	switch {
	case n.IsZero():
		return false
	case n.empty():
		n.Fault("a value is missing", fmt.Sprintf("write %s", kindName(kind)))
		return false
	case n.yaml.Kind != kind:
		n.Fault(fmt.Sprintf("%s where %s is needed", kindName(n.yaml.Kind), kindName(kind)), kindHint(kind))
		return false
	}
	return true
}

func kindName(kind yaml.Kind) string {
	switch kind {
	case yaml.SequenceNode:
		return "a list"
	case yaml.MappingNode:
		return "a mapping"
	}
	return "a single value"
}

func kindHint(kind yaml.Kind) string {
	switch kind {
	case yaml.SequenceNode:
		return "begin each item with - on a line of its own"
	case yaml.MappingNode:
		return "write lines of the form key: value"
	}
	return "write one value behind the key"
}

// Text returns a scalar as it is written ("18 mm", "true", "3" all are texts).
func (n Node) Text() string {
	text, _ := n.scalar()
	return text
}

func (n Node) scalar() (string, bool) {
	if !n.wants(yaml.ScalarNode) {
		return "", false
	}
	return n.yaml.Value, true
}

// Length reads a length; a bare number is in the given unit.
func (n Node) Length(bare measure.Unit) measure.Length {
	l, _ := n.length(bare)
	return l
}

func (n Node) length(bare measure.Unit) (measure.Length, bool) {
	text, ok := n.scalar()
	if !ok {
		return 0, false
	}
	l, err := measure.Parse(text, bare)
	if err != nil {
		var at *measure.SyntaxError
		errors.As(err, &at)
		n.FaultAt(at.Offset, at.Text, at.Hint)
		return 0, false
	}
	return l, true
}

// LengthIn reads a length and faults it outside least..most.
func (n Node) LengthIn(bare measure.Unit, least, most measure.Length) measure.Length {
	l, ok := n.length(bare)
	if !ok {
		return 0
	}
	if l < least || l > most {
		n.outside(n.yaml.Value, l < least, limit(least, bare), limit(most, bare))
		return 0
	}
	return l
}

// limit prints a length in a hint, in the unit of bare numbers where that is exact.
func limit(l measure.Length, bare measure.Unit) string {
	if text := (measure.Style{Unit: bare}).WithUnit(l); !strings.HasPrefix(text, "~") {
		return text
	}
	return l.Exact() + " mm"
}

// outside faults a value out of its range.
func (n Node) outside(value string, below bool, least, most string) {
	text, limit := "more", most
	if below {
		text, limit = "less", least
	}
	hint := fmt.Sprintf("write %s to %s", least, most)
	switch {
	case most == unbounded:
		hint = fmt.Sprintf("write %s or more", least)
	case least == unbounded:
		hint = fmt.Sprintf("write %s or less", most)
	}
	n.Fault(fmt.Sprintf("%s is %s than %s", cut(value), text, limit), hint)
}

var (
	numberForm = regexp.MustCompile(`^[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?$`)
	wholeForm  = regexp.MustCompile(`^-?\d+$`)
	moneyForm  = regexp.MustCompile(`^\d+(\.\d\d?)?$`)
)

// Number reads a finite number and faults it outside least..most, of which one may be
// infinite.
func (n Node) Number(least, most float64) float64 {
	text, ok := n.scalar()
	if !ok {
		return 0
	}
	value, err := strconv.ParseFloat(text, 64)
	switch {
	case !numberForm.MatchString(text):
		n.Fault(fmt.Sprintf("%s is no number", quote(text)), "write for example 12 or 0.5, without a unit")
		return 0
	case err != nil: // beyond float64
		value = math.Copysign(math.Inf(1), value)
	}
	if value < least || value > most || math.IsInf(value, 0) {
		n.outside(text, value < least, decimal(least), decimal(most))
		return 0
	}
	return value
}

const unbounded = "any number"

func decimal(v float64) string {
	if math.IsInf(v, 0) {
		return unbounded
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}

// Whole reads a whole number and faults it outside least..most.
func (n Node) Whole(least, most int64) int64 {
	text, ok := n.scalar()
	if !ok {
		return 0
	}
	if !wholeForm.MatchString(text) {
		n.Fault(fmt.Sprintf("%s is no whole number", quote(text)), "write for example 4, without decimals or a unit")
		return 0
	}
	value, err := strconv.ParseInt(text, 10, 64) // the nearest int64 where it overflows
	if err != nil || value < least || value > most {
		n.outside(text, value < least, strconv.FormatInt(least, 10), strconv.FormatInt(most, 10))
		return 0
	}
	return value
}

const mostMoney = 1_000_000_000_000 // minor units

// Money reads a decimal amount with at most two decimals into minor units, 0 or more.
func (n Node) Money() int64 {
	text, ok := n.scalar()
	if !ok {
		return 0
	}
	if !moneyForm.MatchString(text) {
		n.Fault(fmt.Sprintf("%s is no amount of money", quote(text)), "write for example 74 or 74.50, without a currency")
		return 0
	}
	whole, decimals, _ := strings.Cut(text, ".")
	value, err := strconv.ParseInt(whole+(decimals + "00")[:2], 10, 64)
	if err != nil || value > mostMoney {
		n.Fault(fmt.Sprintf("%s is more than %d", cut(text), int64(mostMoney/100)), "check the amount")
		return 0
	}
	return value
}

// Truth reads true or false.
func (n Node) Truth() bool {
	text, ok := n.scalar()
	if ok && text != "true" && text != "false" {
		n.Fault(fmt.Sprintf("%s is neither true nor false", quote(text)), "write true or false")
	}
	return text == "true"
}

// OneOf reads a text that must be one of the words given; a near miss is suggested.
func (n Node) OneOf(words ...string) string {
	text, ok := n.scalar()
	if !ok {
		return ""
	}
	if !slices.Contains(words, text) {
		n.Fault(fmt.Sprintf("%s is not known here", quote(text)), Suggest(text, words))
		return ""
	}
	return text
}

// Suggest is the hint beside an unknown word: the nearest of those known here, or all of
// them.
func Suggest(word string, words []string) string {
	if near := Nearest(word, words); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	if len(words) == 0 {
		return "nothing of the kind is known here"
	}
	return "known here: " + strings.Join(words, ", ")
}

// Items returns the values of a list.
func (n Node) Items() []Node {
	if !n.wants(yaml.SequenceNode) {
		return nil
	}
	items := make([]Node, len(n.yaml.Content))
	for i, item := range n.yaml.Content {
		items[i] = n.file.node(item)
	}
	return items
}

// Entry is a key of a mapping, with its value.
type Entry struct {
	Name  string
	Key   Node
	Value Node
}

// Entries returns a mapping with free keys, in file order. Keys are names: letters,
// digits, hyphens and underscores, starting with a letter; anything else is a fault.
func (n Node) Entries() []Entry {
	var entries []Entry
	for _, e := range n.pairs() {
		if !isName(e.Name) {
			e.Key.Fault(fmt.Sprintf("%s is no name", quote(e.Name)), "a name has letters, digits, - and _, and starts with a letter")
			continue
		}
		entries = append(entries, e)
	}
	return entries
}

func isName(text string) bool {
	for i, r := range text {
		if !unicode.IsLetter(r) && (i == 0 || !strings.ContainsRune("0123456789-_", r)) {
			return false
		}
	}
	return text != ""
}

// pairs returns the entries of a mapping; keys that sound has refused are left out.
func (n Node) pairs() []Entry {
	if !n.wants(yaml.MappingNode) {
		return nil
	}
	var pairs []Entry
	seen := map[string]bool{}
	for i := 0; i < len(n.yaml.Content); i += 2 {
		key := n.yaml.Content[i]
		if key.Kind != yaml.ScalarNode || key.Tag == mergeTag || seen[key.Value] {
			continue
		}
		seen[key.Value] = true
		pairs = append(pairs, Entry{key.Value, n.file.node(key), n.file.node(n.yaml.Content[i+1])})
	}
	return pairs
}

// Map is a mapping with fixed keys.
type Map struct {
	node   Node // zero where it is no mapping
	values map[string]Node
}

// Map reads a mapping that may have these keys and no other; each unknown key is a
// fault with the nearest known one as a hint.
func (n Node) Map(keys ...string) Map { return n.mapping(keys, "") }

// mapping is Map with one more key, which no hint suggests.
func (n Node) mapping(keys []string, more string) Map {
	m := Map{values: map[string]Node{}}
	if n.IsMap() {
		m.node = n
	}
	for _, e := range n.pairs() {
		if slices.Contains(keys, e.Name) || more != "" && e.Name == more {
			m.values[e.Name] = e.Value
		} else {
			e.Key.Fault(fmt.Sprintf("unknown key %s", quote(e.Name)), n.keyHint(e, keys))
		}
	}
	return m
}

// keyHint is the hint beside an unknown key. One without a value in { } is mostly the
// rest of a text that holds a comma.
func (n Node) keyHint(e Entry, known []string) string {
	if n.file.collector.Full() {
		return "" // nobody reads it
	}
	if n.yaml.Style&yaml.FlowStyle != 0 && (e.Value.yaml == nil || e.Value.empty()) {
		return "a comma ends a text between { and }: put the whole text in quotation marks"
	}
	return Suggest(e.Name, known)
}

// Get returns the value of a key, the zero Node where it is missing.
func (m Map) Get(key string) Node { return m.values[key] }

// Need is Get that faults a missing key.
func (m Map) Need(key string) Node {
	value := m.Get(key)
	if value.IsZero() {
		m.node.Fault(fmt.Sprintf("the key %q is missing", key), fmt.Sprintf("add a line %s: ...", key))
	}
	return value
}

const longestShown = 40 // characters of a value in a fault

// cut shortens a value for a fault and keeps it on one line.
func cut(text string) string {
	text = strings.Join(strings.Fields(text), " ")
	if r := []rune(text); len(r) > longestShown {
		return string(r[:longestShown]) + "…"
	}
	return text
}

// quote is cut in quotation marks.
func quote(text string) string { return strconv.Quote(cut(text)) }
