package formula

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"sawbook/cabinets/measure"
)

var (
	scope  = Scope{"width": true, "depth": true, "inside_width": true, "slide.length": true, "n": true, "höhe": true, "big": true, "drawer.slide.length": true, "hidden": false}
	values = Values{"width": 600, "depth": 500, "inside_width": 564, "slide.length": 450, "n": 3, "höhe": 720, "big": Limit, "drawer.slide.length": 400}
)

func TestNumber(t *testing.T) {
	for text, want := range map[string]float64{
		"7":                                     7,
		" 7.50 ":                                7.5,
		"007":                                   7,
		"9007199254740991":                      1<<53 - 1,
		"7 / 2":                                 3.5,
		"7 - 2 - 1":                             4,
		"8 / 4 / 2":                             1,
		"2 + 3 * 4":                             14,
		"(2 + 3) * 4":                           20,
		"-width + +1":                           -599,
		"- -3":                                  3,
		"width - 2 * 12.5":                      575,
		"width\n  - 2 *\t12.5\r\n":              575,
		"slide.length + 5":                      455,
		"höhe - 20":                             700,
		"min(width, slide.length, n)":           3,
		"max(width, -slide.length, n)":          600,
		"pick(n, 5, 6, width)":                  600,
		"min(1, 2) * max(3, min(4, 5))":         4,
		"abs(-3) + abs(3)":                      6,
		"floor(2.9) + floor(-2.1)":              -1,
		"ceil(2.1) + ceil(-2.9)":                1,
		"round(2.5) + round(-2.5)":              0,
		"round(2.4)":                            2,
		"round(-0.6)":                           -1,
		"floor(0.3 / 0.1)":                      3, // 2.9999999999999996 in binary
		"ceil(0.7 + 0.1 - 0.8 + 1)":             1, // 0.9999999999999999
		"ceil((0.1 + 0.2) * 10)":                3, // 3.0000000000000004
		"round((0.7 + 0.1) / 0.8 * 2.5)":        3, // of 2.4999999999999996
		"drawer.slide.length":                   400,
		"floor(2.999999)":                       2, // a nanometre short is short
		"width > 500 ? 1 : 2":                   1,
		"width < 500 ? 1 : depth > 400 ? 2 : 3": 2,
		"width > 500 and not (n < 2) ? 1 : 2":   1,
		"true ? 1 : 1 / 0":                      1, // what is not chosen is not worked out
		"n == 0 ? 0 : width / n":                200,
		"n > 0 or 1 / 0 > 1 ? 1 : 2":            1,
		"big - 1":                               1<<53 - 2,
	} {
		f, err := Number(text, scope)
		if err != nil {
			t.Errorf("Number(%q): %v", text, err)
			continue
		}
		if got, err := f.Number(values); err != nil || got != want {
			t.Errorf("%q = %v, %v; want %v", text, got, err, want)
		}
		if f.Text() != text {
			t.Errorf("the text of %q is %q", text, f.Text())
		}
	}
}

func TestTruth(t *testing.T) {
	for text, want := range map[string]bool{
		"true":                        true,
		"false or not false":          true,
		"1 < 2":                       true,
		"2 < 2":                       false,
		"2 <= 2":                      true,
		"2 >= 2.1":                    false,
		"2 > 1 and 1 > 2":             false,
		"2 > 1 or 1 > 2":              true,
		"not (width == 600)":          false,
		"width != 600":                false,
		"n == 3 ? true : 1 / 0 > 1":   true,
		"0.1 + 0.2 == 0.3":            true, // although not in binary
		"0.1 + 0.2 > 0.3":             false,
		"0.1 + 0.2 <= 0.3":            true,
		"0.3 < 0.1 + 0.2":             false,
		"0.1 + 0.2 != 0.3":            false,
		"1.000001 > 1":                true, // a nanometre counts
		"1.000001 == 1":               false,
		"1 - 0.000001 >= 1":           false,
		"1.0000004 == 1":              true, // half of one does not
		"false and 1 / 0 > 1":         false,
		"slide.length + 5 <= depth":   true,
		"true and true or false":      true,
		"false and true or true":      true,
		"true or true and false":      true,
		"not false and not not false": false,
	} {
		f, err := Truth(text, scope)
		if err != nil {
			t.Errorf("Truth(%q): %v", text, err)
			continue
		}
		if got, err := f.Truth(values); err != nil || got != want {
			t.Errorf("%q = %v, %v; want %v", text, got, err, want)
		}
	}
}

// refusal is what a test expects of an error.
type refusal struct {
	text   string
	offset int
	want   string // text | hint
}

func (r refusal) check(t *testing.T, err error) {
	t.Helper()
	var at *Error
	if !errors.As(err, &at) {
		t.Errorf("%q is not refused (%v), want %s", r.text, err, r.want)
		return
	}
	if got := at.Text + " | " + at.Hint; got != r.want || at.Offset != r.offset {
		t.Errorf("%q: at %d %s\nwant at %d %s", r.text, at.Offset, got, r.offset, r.want)
	}
}

// TestRefused holds the exact text of what Number refuses.
func TestRefused(t *testing.T) {
	const (
		plain   = "a formula is plain arithmetic, comparisons, and, or, not, and cond ? a : b"
		word    = "a formula works with numbers and names only"
		limit   = "no value may lie beyond 9007199254740991, which is 2^53 - 1"
		numbers = "write numbers as 1200 or 0.5, and * between a number and a name"
		missing = "an operator, a value or a parenthesis is missing in front of it"
		early   = "the formula ends too early | a value or a closing parenthesis is missing"
		paren   = "parentheses may be missing"
		rest    = "for a percentage multiply: 0.05 * a; for a remainder write a - b * floor(a / b)"
		mm      = "a unit in a formula | lengths in formulas are in mm: 1 in is written 25.4"
	)
	for _, r := range []refusal{
		{"", 0, "a formula is missing | write for example width - 2 * side"},
		{" \n", 0, "a formula is missing | write for example width - 2 * side"},
		{strings.Repeat("1+", 500) + "1", 0, "a formula of over 1000 characters | name its steps under let"},
		{strings.Repeat("(", 31) + "1" + strings.Repeat(")", 31), 30, "parentheses more than 30 deep | name its steps under let"},

		// what the expression library knows and a formula does not
		{"1 // 2", 2, "a comment in a formula | write it behind the formula, after a space and #"},
		{"1 /* 2 */", 2, "a comment in a formula | write it behind the formula, after a space and #"},
		{"2 ** 3", 2, "** is not part of formulas | multiply: a * a"},
		{"2 ^ 3", 2, "^ is not part of formulas | multiply: a * a"},
		{"7 % 3", 2, "% is not part of formulas | " + rest},
		{"width ?? 3", 6, "?? is not part of formulas | write cond ? a : b"},
		{"slide?.length", 5, "?. is not part of formulas | write cond ? a : b, with a space behind the ?"},
		{"1..3", 1, "a range in a formula | repeat a part with its counter instead"},
		{"1 .. 3", 2, "a range in a formula | repeat a part with its counter instead"},
		{"n..3", 1, "a range in a formula | repeat a part with its counter instead"},
		{"::abs(1)", 0, ":: is not part of formulas | write cond ? a : b"},
		{"1 < 2 && 2 < 3", 6, "&& is not part of formulas | write and"},
		{"1 & 2", 2, "& is not part of formulas | write and"},
		{"1 < 2 || 2 < 3", 6, "|| is not part of formulas | write or"},
		{"width | abs", 6, "a pipe in a formula | write f(a)"},
		{"!true", 0, "! is not part of formulas | write not"},
		{"width = 3", 6, "= is not part of formulas | to compare write =="},
		{`width == "3"`, 9, "a text in a formula | " + word},
		{"'a'", 0, "a text in a formula | " + word},
		{"`a`", 0, "a text in a formula | " + word},
		{"[1, 2]", 0, "a list in a formula | name each value"},
		{"width[0]", 5, "a list in a formula | name each value"},
		{"1]", 1, "a list in a formula | name each value"},
		{"{a: 1}", 0, "braces in a formula | group with ( and )"},
		{"1}", 1, "braces in a formula | group with ( and )"},
		{"1; 2", 1, "; is not part of formulas | a formula is one expression; name steps under let"},
		{"$env", 0, "$ is not part of formulas | write the plain name"},
		{"1 + $env.width", 4, "$ is not part of formulas | write the plain name"},
		{"#", 0, "# is not part of formulas | write the plain name"},
		{"2 × 3", 2, "× is not part of formulas | write *"},
		{"2 ÷ 3", 2, "÷ is not part of formulas | write /"},
		{"höhe − 3", 6, "− is not part of formulas | write the hyphen -"},
		{"1 ≤ 3", 2, "≤ is not part of formulas | write <="},
		{"1 ≥ 3", 2, "≥ is not part of formulas | write >="},
		{"1 ≠ 3", 2, "≠ is not part of formulas | write !="},
		{"1 @ 2", 2, "unexpected character '@' | " + plain},
		{"1 +\u00a02", 3, `unexpected character '\u00a0' | ` + plain},
		{"1 \x00", 2, `unexpected character '\x00' | ` + plain},
		{"1 + \xff", 4, "a byte that is not UTF-8 | save the file as UTF-8"},
		{"let x = 1; x", 0, `"let" is not part of formulas | choose another name`},
		{"if n > 1 {1} else {2}", 0, `"if" is not part of formulas | choose another name`},
		{"1 else 2", 2, `"else" is not part of formulas | choose another name`},
		{"n in n", 2, `"in" is not part of formulas | choose another name`},
		{"1 not in n", 6, `"in" is not part of formulas | choose another name`},
		{"n matches n", 2, `"matches" is not part of formulas | choose another name`},
		{"n contains n", 2, `"contains" is not part of formulas | choose another name`},
		{"n startsWith n", 2, `"startsWith" is not part of formulas | choose another name`},
		{"n endsWith n", 2, `"endsWith" is not part of formulas | choose another name`},
		{"nil", 0, `"nil" is not part of formulas | choose another name`},

		// functions
		{"len(width)", 0, `there is no function "len" | the functions are abs, ceil, floor, max, min, pick and round`},
		{"1 + sum (1, 2)", 4, `there is no function "sum" | the functions are abs, ceil, floor, max, min, pick and round`},
		{"all(n, true)", 0, `there is no function "all" | the functions are abs, ceil, floor, max, min, pick and round`},
		{"now()", 0, `there is no function "now" | the functions are abs, ceil, floor, max, min, pick and round`},
		{"width(2)", 0, `there is no function "width" | the functions are abs, ceil, floor, max, min, pick and round`},
		{"width.abs(2)", 0, `there is no function "width.abs" | the functions are abs, ceil, floor, max, min, pick and round`},
		{"abs()", 0, "abs takes one number | put commas between numbers"},
		{"1 + floor(1, 2)", 4, "floor takes one number | put commas between numbers"},
		{"min(1)", 0, "min takes 2 to 20 numbers | put commas between numbers"},
		{"max(" + strings.Repeat("1, ", 20) + "1)", 0, "max takes 2 to 20 numbers | put commas between numbers"},
		{"max + 1", 0, `unknown name "max" | a function needs its numbers in parentheses`},
		{"abs(true)", 4, "a truth where abs needs a number | " + paren},

		// numbers
		{"0x10", 0, "0x10 is no number | " + numbers},
		{"1_000", 0, "1_000 is no number | " + numbers},
		{"1e3", 0, "1e3 is no number | " + numbers},
		{"2n", 0, "2n is no number | " + numbers},
		{"1.", 0, "1. is no number | " + numbers},
		{".5", 0, ".5 is no number | " + numbers},
		{"1.2.3", 0, "1.2.3 is no number | " + numbers},
		{"18 mm", 3, mm},
		{"n + 18mm", 6, mm},
		{"1.5in", 3, mm},
		{"9007199254740992", 0, "9007199254740992 is too large for a formula | " + limit},
		{"1000.00000000000001", 0, "1000.00000000000001 has more digits than a number holds | write at most 15 digits"},
		{strings.Repeat("9", 400), 0, strings.Repeat("9", 400) + " is too large for a formula | " + limit},
		{"0.12345678901234567890", 0, "0.12345678901234567890 has more digits than a number holds | write at most 15 digits"},

		// names
		{"widht - 1", 0, `unknown name "widht" | did you mean "width"?`},
		{"1 + slide.lenght", 4, `unknown name "slide.lenght" | did you mean "slide.length"?`},
		{"höhe + hidden", 8, `unknown name "hidden" | known here: big, depth, drawer.slide.length, höhe, inside_width, n, slide.length, width`},
		{"inside-width - 1", 0, `unknown name "inside" | write inside_width: in a formula a hyphen is a minus`},
		{"slide", 0, `unknown name "slide" | known here: big, depth, drawer.slide.length, höhe, inside_width, n, slide.length, width`},
		{"width.height", 0, `unknown name "width.height" | known here: big, depth, drawer.slide.length, höhe, inside_width, n, slide.length, width`},
		{"slide.", 0, "slide. is no name | write for example slide.length"},
		{"slide.1", 0, "slide.1 is no name | write for example slide.length"},
		{"(slide).length", 7, ".length is no number | " + numbers},

		// syntax
		{"1 +", 3, early},
		{"1 + ", 3, early},
		{"(1 + 2", 6, early},
		{"min(1, 2", 8, early},
		{"n > 1 ? 2", 9, early},
		{"n > 1 ? 2 :", 11, early},
		{"-", 1, early},
		{"1 2", 2, "unexpected 2 | " + missing},
		{"höhe n", 6, "unexpected n | " + missing},
		{"1 + * 2", 4, "unexpected * | " + missing},
		{"1)", 1, "unexpected ) | " + missing},
		{"()", 1, "unexpected ) | " + missing},
		{"(1)(2)", 3, "unexpected ( | " + missing},
		{"min(1,, 2)", 6, "unexpected , | " + missing},
		{"min(1, 2, )", 10, "a value is missing between , and ) | delete the comma or write the value"},
		{"1, 2", 1, "unexpected , | " + missing},
		{"n > 1 : 2", 6, "unexpected : | " + missing},
		{"not.n", 3, "unexpected . | " + missing},
		{"true.n", 0, "true.n is no name | nothing belongs to true or false; write for example slide.length"},
		{"1 not 2", 6, "unexpected 2 | " + missing},
		{"n > 1 ? : 2", 8, "a value is missing between ? and : | write cond ? a : b"},

		// kinds
		{"width > 3", 0, "a truth where a number is needed | choose with cond ? a : b"},
		{" true", 1, "a truth where a number is needed | choose with cond ? a : b"},
		{"1 + (2 > 1)", 5, "a truth where + needs a number | " + paren},
		{"(2 > 1) * 3", 1, "a truth where * needs a number | " + paren},
		{"-true", 1, "a truth where - needs a number | " + paren},
		{"n and true ? 1 : 2", 0, "a number where and needs a truth | " + paren},
		{"true or slide.length ? 1 : 2", 8, "a number where or needs a truth | " + paren},
		{"not n < 2 ? 1 : 2", 4, "a number where not needs a truth | " + paren},
		{"n + 1 ? 1 : 2", 0, "a number where ? needs a truth | " + paren},
		{"1 + (n > 1 ? n > 2 : n)", 21, "a number where this ? : needs a truth | " + paren},
		{"1 + (n > 1 ? n > 2 : true)", 5, "a truth where + needs a number | " + paren},
		{"n > 1 ? x : 2", 8, `unknown name "x" | known here: big, depth, drawer.slide.length, höhe, inside_width, n, slide.length, width`},
		{"slide.length and true ? 1 : 2", 0, "a number where and needs a truth | " + paren},
		{"n > 1 ? 1 : n > 2", 12, "a truth where this ? : needs a number | " + paren},
		{"1 < n < 3 ? 1 : 2", 6, "a chain of comparisons | write a < b and b < c"},
		{"true == true ? 1 : 2", 0, "a truth where == needs a number | " + paren},

		// values that are known at once
		{"1 / 0", 2, "division by zero | guard it: b == 0 ? 0 : a / b"},
		{"1 + 0 / 0", 6, "division by zero | guard it: b == 0 ? 0 : a / b"},
		{"9007199254740991 + 1 - 1", 17, "the value grows too large | " + limit},
		{"9007199254740991 * 2", 17, "the value grows too large | " + limit},
	} {
		_, err := Number(r.text, scope)
		r.check(t, err)
	}

	f, err := Truth("1 / (n - 3) > 2", scope)
	if err == nil {
		_, err = f.Truth(values)
	}
	refusal{"1 / (n - 3) > 2", 2, "division by zero | guard it: b == 0 ? 0 : a / b"}.check(t, err)
	_, err = Truth("width", scope)
	refusal{"width", 0, "a number where a truth is needed | compare, for example width > 300"}.check(t, err)
	_, err = Number("a", nil)
	refusal{"a", 0, `unknown name "a" | no names are known here`}.check(t, err)
	many := Scope{}
	for c := 'a'; c <= 'z'; c++ {
		many[strings.Repeat(string(c), 9)] = true
	}
	_, err = Number("x", many)
	refusal{"x", 0, `unknown name "x" | known here: aaaaaaaaa, bbbbbbbbb, ccccccccc, ddddddddd, eeeeeeeee, fffffffff, ggggggggg, hhhhhhhhh, iiiiiiiii, jjjjjjjjj, kkkkkkkkk, lllllllll and others`}.check(t, err)
}

// TestRunRefused holds the exact text of what a run refuses.
func TestRunRefused(t *testing.T) {
	const limit = "no value may lie beyond 9007199254740991, which is 2^53 - 1"
	number := func(f *Formula, v Values) error { _, err := f.Number(v); return err }
	length := func(f *Formula, v Values) error { _, err := f.Length(v); return err }
	whole := func(f *Formula, v Values) error { _, err := f.Whole(v); return err }
	for _, test := range []struct {
		refusal
		run func(*Formula, Values) error
		v   Values
	}{
		{refusal{"1 + pick(n - 3, 4, 5)", 4, "pick number 0 of 2 | pick(i, a, b, ...) is a where i is 1, b where it is 2"}, number, values},
		{refusal{"pick(n, 4, 5)", 0, "pick number 3 of 2 | pick(i, a, b, ...) is a where i is 1, b where it is 2"}, number, values},
		{refusal{"höhe / (width - 600)", 6, "division by zero | guard it: b == 0 ? 0 : a / b"}, number, values},
		{refusal{"höhe / -0", 6, "division by zero | guard it: b == 0 ? 0 : a / b"}, number, values},
		{refusal{"big * big / big", 4, "the value grows too large | " + limit}, number, values},
		{refusal{"big + big", 4, "the value grows too large | " + limit}, number, values},
		{refusal{"-big - big", 5, "the value grows too large | " + limit}, number, values},
		{refusal{"big / 0.5", 4, "the value grows too large | " + limit}, number, values},
		{refusal{"1 + width", 4, `"width" has no value | a name must be worked out before it is used`}, number, Values{"n": 1}},
		{refusal{"1 + width", 4, `"width" is NaN, too large for a formula | ` + limit}, number, Values{"width": math.NaN()}},
		{refusal{"1 + width", 4, `"width" is -Inf, too large for a formula | ` + limit}, number, Values{"width": math.Inf(-1)}},
		{refusal{"1 + width", 4, `"width" is 1e+16, too large for a formula | ` + limit}, number, Values{"width": 1e16}},
		{refusal{" n / 2", 1, "the value comes to 1.5, which is no whole number | use floor, ceil or round"}, whole, values},
		{refusal{"n + 0.000001", 0, "the value comes to 3.000001, which is no whole number | use floor, ceil or round"}, whole, values},
		{refusal{"1000000001", 0, "the value comes to 1000000001, too large for a count | a count may come to 1000000000"}, whole, values},
		{refusal{"n / 0", 2, "division by zero | guard it: b == 0 ? 0 : a / b"}, length, values},
		{refusal{"n / (n - 3)", 2, "division by zero | guard it: b == 0 ? 0 : a / b"}, whole, values},
		{refusal{"-2000 * width", 0, "the length comes to -1200000 mm, beyond 1 km | lengths in formulas are in mm"}, length, values},
	} {
		f, err := Number(test.text, scope)
		if err != nil {
			test.refusal.check(t, err)
			continue
		}
		test.refusal.check(t, test.run(f, test.v))
	}
}

func TestLength(t *testing.T) {
	for text, want := range map[string]measure.Length{
		"width / n":              200 * measure.Millimetre,
		"100 / n":                33_333_333, // 33.333 333 3.. mm
		"200 / n":                66_666_667,
		"-200 / n":               -66_666_667,
		"0.1 + 0.2":              300_000,
		"(100 / n) * n":          100 * measure.Millimetre, // rounded once, at the end
		"25.4 * 23 / 32":         measure.Inch * 23 / 32,
		"1000000":                measure.Most,
		"(width - 2 * 11.9) / 2": 288_100_000,
	} {
		f, err := Number(text, scope)
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		if got, err := f.Length(values); got != want || err != nil {
			t.Errorf("%q = %d, %v, want %d", text, got, err, want)
		}
	}
}

func TestWhole(t *testing.T) {
	for text, want := range map[string]int{"n": 3, "-n": -3, "0.3 / 0.1": 3, "floor(width / 32)": 18, "1000000000": 1_000_000_000} {
		f, err := Number(text, scope)
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		if got, err := f.Whole(values); got != want || err != nil {
			t.Errorf("%q = %d, %v, want %d", text, got, err, want)
		}
	}
}

func TestUses(t *testing.T) {
	f, err := Number("width > 2 ? slide.length + width : min(n, 3)", scope)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := f.Uses(), []string{"n", "slide.length", "width"}; !slices.Equal(got, want) {
		t.Errorf("uses %q, want %q", got, want)
	}
	// A value that the formula does not use may be anything.
	if _, err := f.Number(Values{"n": 1, "slide.length": 1, "width": 1, "depth": math.NaN()}); err != nil {
		t.Error(err)
	}
}

func TestReserved(t *testing.T) {
	for _, word := range []string{"min", "and", "or", "not", "true", "false", "in", "let", "if", "nil"} {
		if !Reserved(word) {
			t.Errorf("%q is not reserved", word)
		}
		if _, err := Number(word+" + 1", Scope{word: true}); err == nil && word != "min" {
			t.Errorf("%q can be a name", word)
		}
	}
	if Reserved("width") || Reserved("slide.in") {
		t.Error("a plain name is reserved")
	}
}

// TestTogether runs one formula from several goroutines.
func TestTogether(t *testing.T) {
	f, err := Number("min(width, n) * 2 + width / 4", scope)
	if err != nil {
		t.Fatal(err)
	}
	var group sync.WaitGroup
	for lane := range 4 {
		group.Go(func() {
			for i := range 200 {
				w := float64(1000*lane + i)
				got, err := f.Number(Values{"width": w, "n": 7})
				if want := math.Min(w, 7)*2 + w/4; got != want || err != nil {
					t.Errorf("%v, %v, want %v", got, err, want)
					return
				}
			}
		})
	}
	group.Wait()
}

// tree is an expression whose text and value are known.
type tree struct {
	text  string
	value float64
	fails bool // somewhere a divisor is 0 or a value beyond the limit
}

// trees draws expressions with their values by plain Go arithmetic.
func trees(depth int) *rapid.Generator[tree] {
	return rapid.Custom(func(t *rapid.T) tree {
		if depth == 0 || rapid.IntRange(0, 4).Draw(t, "leaf") == 0 {
			name := rapid.SampledFrom([]string{"", "width", "slide.length", "n"}).Draw(t, "name")
			if name != "" {
				return tree{text: name, value: values[name]}
			}
			v := float64(rapid.IntRange(0, 40_000).Draw(t, "number")) / 4
			return tree{text: fmt.Sprint(v), value: v}
		}
		inner := trees(depth - 1)
		a, b := inner.Draw(t, "a"), inner.Draw(t, "b")
		r := tree{fails: a.fails || b.fails}
		switch op := rapid.SampledFrom([]string{"+", "-", "*", "/", "min", "max", "abs", "neg", "?"}).Draw(t, "op"); op {
		case "+":
			r.text, r.value = fmt.Sprintf("(%s + %s)", a.text, b.text), a.value+b.value
		case "-":
			r.text, r.value = fmt.Sprintf("(%s - %s)", a.text, b.text), a.value-b.value
		case "*":
			r.text, r.value = fmt.Sprintf("%s*%s", a.text, b.text), a.value*b.value
			r.text = "(" + r.text + ")"
		case "/":
			r.text, r.value = fmt.Sprintf("(%s/%s)", a.text, b.text), a.value/b.value
		case "min":
			r.text, r.value = fmt.Sprintf("min(%s, %s)", a.text, b.text), math.Min(a.value, b.value)
		case "max":
			r.text, r.value = fmt.Sprintf("max(%s, %s)", a.text, b.text), math.Max(a.value, b.value)
		case "abs":
			r = tree{text: "abs(" + a.text + ")", value: math.Abs(a.value), fails: a.fails}
		case "neg":
			r = tree{text: "(-" + a.text + ")", value: -a.value, fails: a.fails}
		case "?":
			r.text, r.value, r.fails = fmt.Sprintf("(%s > %s ? %[1]s : n)", a.text, b.text), values["n"], a.fails || b.fails
			if a.value-b.value >= Slack {
				r.value = a.value
			}
		}
		r.fails = r.fails || !(math.Abs(r.value) <= Limit)
		return r
	})
}

// TestAgainstGo holds formulas against the same arithmetic in Go.
func TestAgainstGo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := trees(4).Draw(t, "tree")
		if len(want.text) > longest {
			t.Skip("too long")
		}
		f, err := Number(want.text, scope)
		var got float64
		if err == nil {
			got, err = f.Number(values)
		}
		if want.fails != (err != nil) || !want.fails && got != want.value {
			t.Fatalf("%s = %v, %v, want %v (fails: %v)", want.text, got, err, want.value, want.fails)
		}
	})
}

// FuzzNumber holds that no text stops the compiler, that errors lie inside the text and
// that what comes out is finite.
func FuzzNumber(f *testing.F) {
	for _, seed := range []string{
		"width - 2 * 12.5", "min(1, n) > 2 ? slide.length : -höhe / 3", "not (1 < 2) and true", "1..2", "::abs(1)", "a ?: b", "$env",
		"1 < n < 3", "\xff", "(((((", "let x = 1; x", "not in", "if 1", "1 not in 2", "true.x", "n.in", "- - 1", "a.b.c(1)",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		check := func(err error) {
			at, ok := err.(*Error)
			if !ok || at.Offset < 0 || at.Offset > len(text) || at.Text == "" || at.Hint == "" {
				t.Fatalf("%q: %#v", text, err)
			}
		}
		if c, err := Number(text, scope); err != nil {
			check(err)
		} else if v, err := c.Number(values); err != nil {
			check(err)
		} else if !(math.Abs(v) <= Limit) {
			t.Fatalf("%q = %v", text, v)
		}
		if c, err := Truth(text, scope); err != nil {
			check(err)
		} else if _, err := c.Truth(values); err != nil {
			check(err)
		}
	})
}

var sink float64

func BenchmarkCompile(b *testing.B) {
	for b.Loop() {
		if _, err := Number("max(300, min(width, slide.length + 5)) - 2 * (n + 1)", scope); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkRun(b *testing.B) {
	f, err := Number("max(300, min(width, slide.length + 5)) - 2 * (n + 1)", scope)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		sink, _ = f.Number(values)
	}
}
