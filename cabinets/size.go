package cabinets

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"sawbook/cabinets/measure"
)

// Print writes a value of the size: a number, or a length in the unit of a style, without it.
func (s *Size) Print(value measure.Length, style measure.Style) string {
	if s.Whole {
		return strconv.FormatInt(int64(value), 10)
	}
	return style.Format(value)
}

// Parse reads a value of the size within its range; a bare number is in the style's unit. The
// error says in one line what is wrong, and what would do.
func (s *Size) Parse(text string, style measure.Style) (measure.Length, error) {
	value, err := s.value(text, style.Unit)
	switch {
	case err != nil:
		return 0, err
	case value < s.Least || value > s.Most:
		unit := ""
		if !s.Whole {
			unit = " " + style.Unit.String()
		}
		return 0, fmt.Errorf("%s is out of range: choose %s to %s%s", text, s.Print(s.Least, style), s.Print(s.Most, style), unit)
	}
	return value, nil
}

func (s *Size) value(text string, bare measure.Unit) (measure.Length, error) {
	if s.Whole {
		n, err := strconv.ParseInt(strings.TrimSpace(text), 10, 32)
		if err != nil {
			return 0, fmt.Errorf("%q is no whole number: write it in digits", text)
		}
		return measure.Length(n), nil
	}
	value, err := measure.Parse(text, bare)
	var bad *measure.SyntaxError
	if errors.As(err, &bad) {
		return 0, fmt.Errorf("%s: %s", bad.Text, bad.Hint)
	}
	return value, err
}
