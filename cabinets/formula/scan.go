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
	"min": {2, 20}, "max": {2, 20}, "abs": {1, 1}, "floor": {1, 1}, "ceil": {1, 1}, "round": {1, 1},
}

const functionsHint = "the functions are abs, ceil, floor, max, min and round"

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
	if strings.TrimLeft(text, space) == "" {
		return &Error{Text: "a formula is missing", Hint: "write for example width - 2 * side"}
	}
	depth := 0
	for at := 0; at < len(text); {
		rest := text[at:]
		r, _ := utf8.DecodeRuneInString(rest)
		switch {
		case strings.ContainsRune(space, r):
			at++
		case nameStart(r):
			name := leading(rest, func(r rune) bool { return nameStart(r) || digit(r) || r == '.' })
			if err := scanName(name, text[at+len(name):]); err != nil {
				err.Offset += at
				return err
			}
			at += len(name)
		case digit(r) || r == '.' && !strings.HasPrefix(rest, ".."):
			literal := leading(rest, func(r rune) bool { return nameStart(r) || digit(r) || r == '.' })
			if err := scanNumber(literal, text[at+len(literal):]); err != nil {
				err.Offset += at
				return err
			}
			at += len(literal)
		default:
			symbol, err := scanSymbol(rest)
			if err != nil {
				err.Offset += at
				return err
			}
			switch symbol {
			case "(":
				depth++
			case ")":
				depth--
			case "?":
				if next := strings.TrimLeft(rest[1:], space); strings.HasPrefix(next, ":") {
					return &Error{Offset: len(text) - len(next), Text: "a value is missing between ? and :", Hint: "write cond ? a : b"}
				}
			}
			if depth > deepest {
				return &Error{Offset: at, Text: fmt.Sprintf("parentheses more than %d deep", deepest), Hint: "name its steps under let"}
			}
			at += len(symbol)
		}
	}
	return nil
}

func scanSymbol(rest string) (string, *Error) {
	for _, symbol := range allowed {
		if !strings.HasPrefix(rest, symbol) {
			continue
		}
		if len(symbol) == 1 {
			if err := scanRefused(rest); err != nil { // "/" may begin "//"
				return "", err
			}
		}
		return symbol, nil
	}
	if err := scanRefused(rest); err != nil {
		return "", err
	}
	r, size := utf8.DecodeRuneInString(rest)
	if r == utf8.RuneError && size == 1 {
		return "", &Error{Text: "a byte that is not UTF-8", Hint: "save the file as UTF-8"}
	}
	return "", &Error{Text: fmt.Sprintf("unexpected character %q", r), Hint: "a formula is plain arithmetic, comparisons, and, or, not, and cond ? a : b"}
}

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
	if at := strings.Index(name+".", ".."); at >= 0 {
		if at == len(name)-1 && !strings.HasPrefix(rest, ".") {
			return &Error{Offset: at, Text: "a name ends in a point", Hint: "write for example slide.length"}
		}
		return scanRefused("..").at(at)
	}
	if strings.HasPrefix(strings.TrimLeft(rest, space), "(") && !operatorWord(name) {
		if _, ok := functions[name]; !ok {
			return &Error{Text: fmt.Sprintf("there is no function %q", name), Hint: functionsHint}
		}
	}
	return nil
}

// operatorWord reports whether a word is an operator, which parentheses may follow.
func operatorWord(word string) bool { return word == "and" || word == "or" || word == "not" }

// scanNumber looks at a number and what follows it.
func scanNumber(literal, rest string) *Error {
	if at := strings.Index(literal, ".."); at >= 0 {
		return scanRefused("..").at(at)
	}
	whole, decimals, point := strings.Cut(literal, ".")
	if unit := strings.TrimLeft(literal, "0123456789."); slices.Contains(units, unit) {
		return unitFault(len(literal) - len(unit))
	}
	if !digits(whole) || point && !digits(decimals) {
		return &Error{Text: literal + " is no number", Hint: "write numbers as 1200 or 0.5, and * between a number and a name"}
	}
	next := strings.TrimLeft(rest, space)
	word := leading(next, func(r rune) bool { return nameStart(r) || digit(r) || r == '.' })
	if slices.Contains(units, word) {
		return unitFault(len(literal) + len(rest) - len(next))
	}
	value, err := strconv.ParseFloat(literal, 64)
	if err != nil || value > Limit {
		return &Error{Text: literal + " is too large for a formula", Hint: limitHint}
	}
	whole = strings.TrimLeft(whole, "0")
	if whole == "" {
		whole = "0"
	}
	plain := whole
	if decimals = strings.TrimRight(decimals, "0"); decimals != "" {
		plain += "." + decimals
	}
	if strconv.FormatFloat(value, 'f', -1, 64) != plain {
		return &Error{Text: literal + " has more digits than a number holds", Hint: "write at most 15 digits"}
	}
	return nil
}

func unitFault(offset int) *Error {
	return &Error{Offset: offset, Text: "a unit in a formula", Hint: "lengths in formulas are in mm: 1 in is written 25.4"}
}

// at moves an error.
func (e *Error) at(offset int) *Error {
	e.Offset = offset
	return e
}

const space = " \t\r\n"

// start returns the offset of the first character that is no space.
func start(text string) int { return len(text) - len(strings.TrimLeft(text, space)) }

func nameStart(r rune) bool { return r == '_' || r != utf8.RuneError && unicode.IsLetter(r) }
func digit(r rune) bool     { return '0' <= r && r <= '9' }

func digits(text string) bool {
	return text != "" && strings.Trim(text, "0123456789") == ""
}

// leading returns the longest beginning of text whose characters all are of a class.
func leading(text string, class func(rune) bool) string {
	end := strings.IndexFunc(text, func(r rune) bool { return !class(r) })
	if end < 0 {
		return text
	}
	return text[:end]
}
