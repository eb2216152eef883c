package measure

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// SyntaxError is a length that cannot be read, with the byte offset of the fault.
type SyntaxError struct {
	Offset int
	Text   string // what is wrong
	Hint   string // what to do
}

func (e *SyntaxError) Error() string { return e.Text }

func fault(offset int, text, hint string) *SyntaxError {
	return &SyntaxError{Offset: offset, Text: text, Hint: hint}
}

func tooLong(offset int) *SyntaxError {
	return fault(offset, "a length over 1 km", "check the unit: "+unitsHint)
}

func tooFine(offset int, number, hint string) *SyntaxError {
	return fault(offset, number+" is not exact to the nanometre", hint)
}

const longestText = 60 // bytes; the longest sensible length takes about 20

// Parse reads a length such as "18 mm", "1.8 cm", `23 1/2 in`, `23-1/2"`, "3/4 in",
// `7' 6"` or "600" (in the bare unit). A value that is no whole number of nanometres is
// refused, never rounded. The error is a *SyntaxError.
//
//	length   = ["-"] ( quantity | feet ["-"] inches )
//	quantity = number [unit]
//	number   = decimal | whole | fraction | whole ( " " | "-" ) fraction
//
// Fractions are of feet and inches only, for nobody has a ruler in fractions of a mm.
func Parse(text string, bare Unit) (Length, error) {
	p := parser{text: text}
	l, err := p.length(bare)
	if err != nil {
		return 0, err
	}
	return l, nil
}

// parser reads text from left to right.
type parser struct {
	text string
	at   int
}

// units are the names that are read. The longer of two that start alike comes first.
var units = []struct {
	name   string
	length Length
}{
	{"mm", Millimetre},
	{"cm", Centimetre},
	{"m", Metre},
	{"inches", Inch},
	{"inch", Inch},
	{"in", Inch},
	{`"`, Inch},
	{"″", Inch},
	{"feet", Foot},
	{"foot", Foot},
	{"ft", Foot},
	{"'", Foot},
	{"′", Foot},
}

func known(unit string) bool {
	for _, u := range units {
		if u.name == unit {
			return true
		}
	}
	return false
}

const (
	example   = "write for example 18 mm or 23 1/2 in"
	unitsHint = "the units are mm, cm, m, in and ft"

	fractionHint = "halve an inch up to six times: the finest fraction is 1/64"
	decimalsHint = "write at most 6 decimals of a mm"
)

// fractions are the vulgar fractions of Unicode that an inch rule shows.
var fractions = map[rune][2]int64{
	'½': {1, 2}, '¼': {1, 4}, '¾': {3, 4}, '⅛': {1, 8}, '⅜': {3, 8}, '⅝': {5, 8}, '⅞': {7, 8},
}

func (p *parser) length(bare Unit) (Length, *SyntaxError) {
	if len(p.text) > longestText {
		return 0, fault(0, "a length of over 60 characters", example)
	}
	p.spaces()
	if p.end() {
		return 0, fault(p.at, "a length is missing", example)
	}
	negative := p.take("-") || p.take("−")
	first, err := p.quantity()
	if err != nil {
		return 0, err
	}
	sum := first
	p.spaces()
	if first.unit == Foot && !first.parts && !p.end() {
		inches, err := p.inches()
		if err != nil {
			return 0, err
		}
		sum.nm += inches.nm
		p.spaces()
	}
	if !p.end() {
		return 0, p.unexpected()
	}
	if sum.unit == 0 {
		if sum.nm, err = sum.in(bare.length()); err != nil {
			return 0, err
		}
	}
	if sum.nm > Most {
		return 0, tooLong(first.at)
	}
	if negative {
		return -sum.nm, nil
	}
	return sum.nm, nil
}

// quantity is a number and its unit, and their product.
type quantity struct {
	at         int // offset
	text       string
	top, under int64 // the number as a fraction
	parts      bool  // it has decimals or a fraction
	fraction   bool
	unit       Length // 0 where none is written
	nm         Length
}

// in returns the exact value in the given unit.
func (q quantity) in(unit Length) (Length, *SyntaxError) {
	if q.fraction && unit != Inch && unit != Foot {
		return 0, fault(q.at, "a fraction is read in inches or feet only", "write decimals, or add in: 3/4 in")
	}
	// top is below 1e16, so the whole units must be split off before multiplying.
	whole, rest := q.top/q.under, q.top%q.under
	if whole > int64(Most/unit) {
		return 0, tooLong(q.at)
	}
	u, under := int64(unit), q.under
	if g := gcd(u, under); g > 1 {
		u, under = u/g, under/g
	}
	switch {
	case rest%under == 0:
	case q.fraction:
		return 0, tooFine(q.at, q.text, fractionHint)
	case unit == Inch || unit == Foot:
		return 0, tooFine(q.at, q.text, "write at most 5 decimals of an inch")
	default:
		return 0, tooFine(q.at, q.text, decimalsHint)
	}
	return Length(whole*int64(unit) + rest/under*u), nil
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// quantity reads a number with its unit, where there is one.
func (p *parser) quantity() (quantity, *SyntaxError) {
	q, err := p.number()
	if err != nil {
		return q, err
	}
	q.text = p.text[q.at:p.at]
	p.spaces()
	for _, u := range units {
		start := p.at
		if !p.take(u.name) {
			continue
		}
		if letter(u.name[0]) && !p.end() && letter(p.text[p.at]) {
			p.at = start
			continue
		}
		q.unit = u.length
		q.nm, err = q.in(u.length)
		return q, err
	}
	return q, nil
}

// inches reads the second part of 7' 6 1/2".
func (p *parser) inches() (quantity, *SyntaxError) {
	p.take("-")
	p.spaces()
	if p.end() || !digit(p.text[p.at]) && !p.atFraction() {
		return quantity{}, p.unexpected()
	}
	q, err := p.quantity()
	switch {
	case err != nil:
		return q, err
	case q.unit != Inch:
		return q, fault(q.at, "what follows feet must be inches", `write for example 7 ft 6 in or 7' 6"`)
	case q.nm >= Foot:
		return q, fault(q.at, "12 inches or more beside feet", "add them to the feet")
	}
	return q, nil
}

// number reads a decimal, a whole number, a fraction or a whole number and a fraction.
func (p *parser) number() (quantity, *SyntaxError) {
	q := quantity{at: p.at, under: 1}
	if p.atFraction() {
		return p.glyph(q, 0)
	}
	whole, digits, err := p.digits()
	if err != nil {
		return q, err
	}
	switch {
	case p.take("."):
		return p.decimals(q, whole)
	case digits == 0:
		return q, p.unexpected()
	case p.take("/"):
		return p.under(q, 0, whole)
	case p.atFraction():
		return p.glyph(q, whole)
	}
	q.top = whole
	return p.mixed(q)
}

// mixed reads the fraction after a whole number, where there is one.
func (p *parser) mixed(q quantity) (quantity, *SyntaxError) {
	whole := q.top
	before := p.at
	if !p.take("-") {
		p.spaces()
	}
	if p.atFraction() {
		return p.glyph(q, whole)
	}
	at := p.at
	if at == before || p.end() || !digit(p.text[at]) {
		p.at = before
		return q, nil
	}
	top, _, err := p.digits()
	if err != nil {
		return q, err
	}
	if !p.take("/") {
		return q, fault(at, "two numbers stand beside each other", "write one number, or a whole number and a fraction: 23 1/2 in")
	}
	q, err = p.under(q, whole, top)
	if err == nil && q.top >= (whole+1)*q.under {
		return q, fault(at, "the fraction beside a whole number must be less than 1", "write for example 1 1/8 in or 9/8 in")
	}
	return q, err
}

// under reads the denominator of whole top/.
func (p *parser) under(q quantity, whole, top int64) (quantity, *SyntaxError) {
	at := p.at
	under, digits, err := p.digits()
	switch {
	case err != nil:
		return q, err
	case digits == 0:
		return q, fault(at, "the fraction has no denominator", "write for example 3/4 in")
	case under == 0:
		return q, fault(at, "the denominator is 0", "write for example 3/4 in")
	case under > 1000 || top > 1_000_000:
		return q, fault(at, "the fraction is too fine", fractionHint)
	}
	return p.fraction(q, whole, top, under), nil
}

// glyph reads a Unicode fraction.
func (p *parser) glyph(q quantity, whole int64) (quantity, *SyntaxError) {
	r, size := utf8.DecodeRuneInString(p.text[p.at:])
	p.at += size
	f := fractions[r]
	return p.fraction(q, whole, f[0], f[1]), nil
}

func (p *parser) fraction(q quantity, whole, top, under int64) quantity {
	q.top, q.under = whole*under+top, under
	q.parts, q.fraction = true, true
	return q
}

// decimals reads what follows the point.
func (p *parser) decimals(q quantity, whole int64) (quantity, *SyntaxError) {
	start := p.at
	for !p.end() && digit(p.text[p.at]) {
		p.at++
	}
	written := p.text[start:p.at]
	if written == "" {
		return q, fault(start, "digits are missing after the point", "write for example 18.0 or 18")
	}
	q.top, q.parts = whole, true
	for i, c := range strings.TrimRight(written, "0") {
		if i == 9 { // finer than a nanometre even in metres
			return q, tooFine(q.at, p.text[q.at:p.at], decimalsHint)
		}
		q.top, q.under = q.top*10+int64(c-'0'), q.under*10
	}
	return q, nil
}

// digits reads a whole number, and how many digits it has.
func (p *parser) digits() (value int64, count int, err *SyntaxError) {
	start := p.at
	for ; !p.end() && digit(p.text[p.at]); p.at++ {
		value = value*10 + int64(p.text[p.at]-'0')
		if value > 10_000_000 { // 1 km is 1 000 000 mm
			return 0, 0, tooLong(start)
		}
	}
	return value, p.at - start, nil
}

// unexpected says what is wrong with what stands at the place reached.
func (p *parser) unexpected() *SyntaxError {
	if p.end() {
		return fault(p.at, "a number is missing", example)
	}
	rest := p.text[p.at:]
	r, _ := utf8.DecodeRuneInString(rest)
	switch {
	case r == ',':
		return fault(p.at, "a comma in a number", "write a point before the decimals and nothing between thousands")
	case r == '~':
		return fault(p.at, "a rounded length cannot be read back", "write the exact length")
	case r == '-' || r == '−':
		return fault(p.at, "a sign in the wrong place", "one - may stand in front of the whole length")
	case r < utf8.RuneSelf && letter(byte(r)):
		word := rest[:len(rest)-len(strings.TrimLeft(rest, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"))]
		if known(word) {
			return fault(p.at, "a number is missing before "+word, example)
		}
		return fault(p.at, "unknown unit "+word, unitsHint)
	case r < utf8.RuneSelf && digit(byte(r)):
		return fault(p.at, "more follows the length", "write one length, for example 18 mm or 7 ft 6 in")
	}
	return fault(p.at, "unexpected "+strconv.QuoteRune(r), example)
}

func (p *parser) end() bool { return p.at == len(p.text) }

func (p *parser) spaces() {
	for !p.end() && (p.text[p.at] == ' ' || p.text[p.at] == '\t') {
		p.at++
	}
}

// take skips what, and reports whether it was there.
func (p *parser) take(what string) bool {
	if strings.HasPrefix(p.text[p.at:], what) {
		p.at += len(what)
		return true
	}
	return false
}

func (p *parser) atFraction() bool {
	r, _ := utf8.DecodeRuneInString(p.text[p.at:])
	_, ok := fractions[r]
	return ok
}

func digit(c byte) bool  { return '0' <= c && c <= '9' }
func letter(c byte) bool { return 'a' <= c|0x20 && c|0x20 <= 'z' }
