package formula

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"strconv"

	"github.com/expr-lang/expr/builtin"
	"github.com/expr-lang/expr/conf"
	"github.com/expr-lang/expr/file"
)

// Limit is the largest magnitude of a value: above it a float64 does not hold every
// whole number and its neighbour.
const Limit = 1<<53 - 1

const limitHint = "no value may lie beyond 9007199254740991, which is 2^53 - 1"

// Slack is half a nanometre in mm. Numbers that lie closer are equal in comparisons,
// floor and ceil take a number so close to a whole one for it, and so does Whole: 0.3 / 0.1 is
// 2.9999999999999996 in binary, yet three shelves fit.
const Slack = 0.5e-6

var (
	errZero  = &Error{Text: "division by zero", Hint: "guard it: b == 0 ? 0 : a / b"}
	errLarge = &Error{Text: "the value grows too large", Hint: limitHint}
)

var arithmetic = map[string]func(a, b float64) float64{
	"+": func(a, b float64) float64 { return a + b },
	"-": func(a, b float64) float64 { return a - b },
	"*": func(a, b float64) float64 { return a * b },
	"/": func(a, b float64) float64 { return a / b },
}

var comparisons = map[string]func(a, b float64) bool{
	"==": func(a, b float64) bool { return math.Abs(a-b) < Slack },
	"!=": func(a, b float64) bool { return math.Abs(a-b) >= Slack },
	"<":  func(a, b float64) bool { return a-b <= -Slack },
	"<=": func(a, b float64) bool { return a-b < Slack },
	">":  func(a, b float64) bool { return a-b >= Slack },
	">=": func(a, b float64) bool { return a-b > -Slack },
}

func floor(a float64) float64 {
	if near := math.Round(a); math.Abs(a-near) < Slack {
		return near
	}
	return math.Floor(a)
}

// round rounds half away from zero.
func round(a float64) float64 { return math.Copysign(floor(math.Abs(a)+0.5), a) }

var ones = map[string]func(a float64) float64{
	"abs":   math.Abs,
	"floor": floor,
	"ceil":  func(a float64) float64 { return -floor(-a) },
	"round": round,
}

// table holds all operators and functions as the library calls them. No name in a
// formula can spell an operator, so these cannot be called by it.
var table = func() conf.FunctionsTable {
	t := conf.FunctionsTable{}
	add := func(name string, typ any, f func(...any) (any, error)) {
		t[name] = &builtin.Function{Name: name, Func: f, Types: []reflect.Type{reflect.TypeOf(typ)}}
	}
	for name, f := range arithmetic {
		add(name, f, func(a ...any) (any, error) {
			x, y := a[0].(float64), a[1].(float64)
			if name == "/" && y == 0 {
				return nil, errZero
			}
			value := f(x, y)
			if !(math.Abs(value) <= Limit) {
				return nil, errLarge
			}
			return value, nil
		})
	}
	for name, f := range comparisons {
		add(name, f, func(a ...any) (any, error) { return f(a[0].(float64), a[1].(float64)), nil })
	}
	for name, f := range ones {
		add(name, f, func(a ...any) (any, error) { return f(a[0].(float64)), nil })
	}
	for name, f := range map[string]func(a, b float64) float64{"min": math.Min, "max": math.Max} {
		add(name, (func(...float64) float64)(nil), func(a ...any) (any, error) {
			value := a[0].(float64)
			for _, next := range a[1:] {
				value = f(value, next.(float64))
			}
			return value, nil
		})
	}
	add("pick", (func(...float64) float64)(nil), func(a ...any) (any, error) {
		at := round(a[0].(float64))
		if at < 1 || at >= float64(len(a)) {
			return nil, &Error{Text: fmt.Sprintf("pick number %s of %d", figure(a[0].(float64)), len(a)-1), Hint: "pick(i, a, b, ...) is a where i is 1, b where it is 2"}
		}
		return a[int(at)].(float64), nil
	})
	return t
}()

// runError places an error of a run at its operator.
func runError(text string, err error) *Error {
	var at *file.Error
	var what *Error
	if !errors.As(err, &at) || !errors.As(err, &what) {
		return &Error{Offset: start(text), Text: err.Error()}
	}
	return &Error{Offset: byteOffset(text, at.From), Text: what.Text, Hint: what.Hint}
}

// figure prints a number with as many digits as it needs.
func figure(v float64) string {
	if math.Abs(v) <= Limit {
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}
