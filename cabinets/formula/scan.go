package formula

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Bounds on a formula's text. A real one has under 100 characters and three levels.
const (
	longest = 1000 // bytes
	deepest = 30   // parentheses
)

// functions are the functions of formulas, with the count of numbers each takes.
var functions = map[string]struct{ least, most int }{
	"min": {2, 20}, "max": {2, 20}, "pick": {2, 20}, "abs": {1, 1}, "floor": {1, 1}, "ceil": {1, 1}, "round": {1, 1},
}

const functionsHint = "the functions are abs, ceil, floor, max, min, pick and round"

// words belong to the expression library and are refused here, each as a name too.
var words = []string{"let", "if", "else", "in", "matches", "contains", "startsWith", "endsWith", "nil"}

// units are refused with their own hint.
var units = []string{"mm", "cm", "m", "in", "inch", "inches", "ft", "foot", "feet"}

// refused holds what begins a construct that is not plain arithmetic. The longer of two
// that start alike comes first.
var refused = []struct{ symbol, text, hint string }{
	{"//", "a comment in a formula", "write it behind the formula, after a space and #"},
	{"/*", "a comment in a formula", "write it behind the formula, after a space and #"},
	{"**", "** is not part of formulas", "multiply: a * a"},
	{"^", "^ is not part of formulas", "multiply: a * a"},
	{"%", "% is not part of formulas", "for a percentage multiply: 0.05 * a; for a remainder write a - b * floor(a / b)"},
	{"??", "?? is not part of formulas", "write cond ? a : b"},
	{"?.", "?. is not part of formulas", "write cond ? a : b, with a space behind the ?"},
	{"..", "a range in a formula", "repeat a part with its counter instead"},
	{"::", ":: is not part of formulas", "write cond ? a : b"},
	{"&&", "&& is not part of formulas", "write and"},
	{"&", "& is not part of formulas", "write and"},
	{"||", "|| is not part of formulas", "write or"},
	{"|", "a pipe in a formula", "write f(a)"},
	{"!", "! is not part of formulas", "write not"},
	{"=", "= is not part of formulas", "to compare write =="},
	{`"`, "a text in a formula", "a formula works with numbers and names only"},
	{"'", "a text in a formula", "a formula works with numbers and names only"},
	{"`", "a text in a formula", "a formula works with numbers and names only"},
	{"[", "a list in a formula", "name each value"},
	{"]", "a list in a formula", "name each value"},
	{"{", "braces in a formula", "group with ( and )"},
	{"}", "braces in a formula", "group with ( and )"},
	{";", "; is not part of formulas", "a formula is one expression; name steps under let"},
	{"$", "$ is not part of formulas", "write the plain name"},
	{"#", "# is not part of formulas", "write the plain name"},
	{"×", "× is not part of formulas", "write *"},
	{"÷", "÷ is not part of formulas", "write /"},
	{"−", "− is not part of formulas", "write the hyphen -"},
	{"≤", "≤ is not part of formulas", "write <="},
	{"≥", "≥ is not part of formulas", "write >="},
	{"≠", "≠ is not part of formulas", "write !="},
}

// allowed are the symbols of plain arithmetic; the longer come first.
var allowed = []string{"==", "!=", "<=", ">=", "<", ">", "+", "-", "*", "/", "?", ":", ",", "(", ")"}

// scan refuses whatever is not plain arithmetic, before the expression library sees it.
func scan(text string) *Error {
	if len(text) > longest {
		return &Error{Text: fmt.Sprintf("a formula of over %d characters", longest), Hint: "name its steps under let"}
	}
	if start(text) == len(text) {
		return &Error{Text: "a formula is missing", Hint: "write for example width - 2 * side"}
	}
	depth := 0
	for at := start(text); at < len(text); at += start(text[at:]) {
		token, err := scanToken(text[at:])
		if err != nil {
			err.Offset += at
			return err
		}
		switch token {
		case "(":
			depth++
		case ")":
			depth--
		}
		if depth > deepest {
			return &Error{Offset: at, Text: fmt.Sprintf("parentheses more than %d deep", deepest), Hint: "name its steps under let"}
		}
		at += len(token)
	}
	return nil
}

// scanToken returns the token that rest begins with, or what is wrong with it.
func scanToken(rest string) (string, *Error) {
	r, _ := utf8.DecodeRuneInString(rest)
	token := word(rest)
	switch {
	case nameStart(r):
		return token, scanName(token, rest[len(token):])
	case token != "" && !strings.HasPrefix(token, ".."):
		return token, scanNumber(token, rest[len(token):])
	}
	return scanSymbol(rest)
}

func scanSymbol(rest string) (string, *Error) {
	for _, symbol := range allowed {
		if !strings.HasPrefix(rest, symbol) {
			continue
		}
		if err := scanRefused(rest); err != nil && len(symbol) == 1 { // "/" may begin "//"
			return "", err
		}
		return symbol, scanNext(symbol, rest)
	}
	if err := scanRefused(rest); err != nil {
		return "", err
	}
	r, size := utf8.DecodeRuneInString(rest)
	if r == utf8.RuneError && size == 1 {
		return "", &Error{Text: "a byte that is not UTF-8", Hint: "save the file as UTF-8"}
	}
	return "", &Error{Text: fmt.Sprintf("unexpected character %q", r), Hint: plainHint}
}

// scanNext refuses two shorthands of the expression library.
func scanNext(symbol, rest string) *Error {
	at := len(symbol) + start(rest[len(symbol):])
	switch {
	case symbol == "?" && strings.HasPrefix(rest[at:], ":"):
		return &Error{Offset: at, Text: "a value is missing between ? and :", Hint: "write cond ? a : b"}
	case symbol == "," && strings.HasPrefix(rest[at:], ")"):
		return &Error{Offset: at, Text: "a value is missing between , and )", Hint: "delete the comma or write the value"}
	}
	return nil
}

const plainHint = "a formula is plain arithmetic, comparisons, and, or, not, and cond ? a : b"

func scanRefused(rest string) *Error {
	for _, r := range refused {
		if strings.HasPrefix(rest, r.symbol) {
			return &Error{Text: r.text, Hint: r.hint}
		}
	}
	return nil
}

// scanName looks at a name and what follows it.
func scanName(name, rest string) *Error {
	if slices.Contains(words, name) {
		return &Error{Text: fmt.Sprintf("%q is not part of formulas", name), Hint: "choose another name"}
	}
	if err := scanRange(name); err != nil {
		return err
	}
	for _, part := range strings.Split(name, ".") {
		if r, _ := utf8.DecodeRuneInString(part); !nameStart(r) {
			return &Error{Text: name + " is no name", Hint: "write for example slide.length"}
		}
	}
	if first, _, dotted := strings.Cut(name, "."); dotted && (first == "true" || first == "false") {
		return &Error{Text: name + " is no name", Hint: "nothing belongs to true or false; write for example slide.length"}
	}
	if _, ok := functions[name]; !ok && !operatorWord(name) && strings.HasPrefix(rest[start(rest):], "(") {
		return &Error{Text: fmt.Sprintf("there is no function %q", name), Hint: functionsHint}
	}
	return nil
}

// scanNumber looks at a number and what follows it.
func scanNumber(literal, rest string) *Error {
	if err := scanRange(literal); err != nil {
		return err
	}
	if unit := strings.TrimLeft(literal, "0123456789."); slices.Contains(units, unit) {
		return unitFault(len(literal) - len(unit))
	}
	whole, decimals, point := strings.Cut(literal, ".")
	if !digits(whole) || point && !digits(decimals) {
		return &Error{Text: literal + " is no number", Hint: "write numbers as 1200 or 0.5, and * between a number and a name"}
	}
	if at := start(rest); slices.Contains(units, word(rest[at:])) {
		return unitFault(len(literal) + at)
	}
	value, err := strconv.ParseFloat(literal, 64)
	if err != nil || value > Limit {
		return &Error{Text: literal + " is too large for a formula", Hint: limitHint}
	}
	if !sameNumber(strconv.FormatFloat(value, 'f', -1, 64), literal) {
		return &Error{Text: literal + " has more digits than a number holds", Hint: "write at most 15 digits"}
	}
	return nil
}

// sameNumber reports whether a literal says what the shortest print of its value does,
// so that none of its digits was lost.
func sameNumber(shortest, literal string) bool {
	literal = strings.TrimLeft(literal, "0")
	if strings.Contains(literal, ".") {
		literal = strings.TrimRight(strings.TrimRight(literal, "0"), ".")
	}
	return literal == strings.TrimPrefix(shortest, "0")
}

// scanRange refuses two points in a word.
func scanRange(word string) *Error {
	at := strings.Index(word, "..")
	if at < 0 {
		return nil
	}
	err := scanRefused("..")
	err.Offset = at
	return err
}

func unitFault(offset int) *Error {
	return &Error{Offset: offset, Text: "a unit in a formula", Hint: "lengths in formulas are in mm: 1 in is written 25.4"}
}

// Reserved reports whether a word means something in formulas, so that no name in a
// [Scope] should be spelled so.
func Reserved(word string) bool {
	_, function := functions[word]
	return function || operatorWord(word) || word == "true" || word == "false" || slices.Contains(words, word)
}

// operatorWord reports whether a word is an operator, which parentheses may follow.
func operatorWord(word string) bool { return word == "and" || word == "or" || word == "not" }

const space = " \t\r\n"

// start returns the offset of the first character that is no space.
func start(text string) int { return len(text) - len(strings.TrimLeft(text, space)) }

func nameStart(r rune) bool { return r == '_' || r != utf8.RuneError && unicode.IsLetter(r) }
func digit(r rune) bool     { return '0' <= r && r <= '9' }

func digits(text string) bool { return text != "" && strings.Trim(text, "0123456789") == "" }

// word returns the letters, digits and points that text begins with.
func word(text string) string {
	return leading(text, func(r rune) bool { return nameStart(r) || digit(r) || r == '.' })
}

// leading returns the longest beginning of text whose characters all are of a class.
func leading(text string, class func(rune) bool) string {
	end := strings.IndexFunc(text, func(r rune) bool { return !class(r) })
	if end < 0 {
		return text
	}
	return text[:end]
}
