package batch

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
)

// Axis is a size of a cabinet that is tried at several values.
type Axis struct {
	Cabinet string // as the layout calls it
	Size    string
	Whole   bool             // a count; all values are plain numbers then
	Now     measure.Length   // as the layout has it
	Values  []measure.Length // rising
}

// mostTried bounds how many values are tried, those of all axes together.
const mostTried = 2000

// axisForm is how a size to try is written.
const axisForm = "write it as cabinet.size=FROM..TO/STEP, such as bank-1.width=500..700/10"

// ParseAxis reads "cabinet.size=from..to/step" against the cabinets of an interior. Bare
// lengths are in the given unit; without a step it is 10 mm, 1/2 in, or 1 where the size is
// a whole number. In a layout of one cabinet its name may be left out.
func ParseAxis(text string, in *cabinets.Interior, unit measure.Unit) (Axis, error) {
	p := axisParser{text: text, unit: unit}
	name, values, ok := strings.Cut(text, "=")
	if !ok {
		return p.axis, p.wrong("has no =", axisForm)
	}
	cabinet, size, ok := strings.Cut(strings.TrimSpace(name), ".")
	if !ok {
		if cabinet, size = in.Cabinets[0].Name, cabinet; len(in.Cabinets) != 1 {
			return p.axis, p.wrong("names no cabinet", axisForm)
		}
	}
	if err := p.find(in, cabinet, size); err != nil {
		return p.axis, err
	}
	return p.axis, p.values(values)
}

type axisParser struct {
	text        string
	unit        measure.Unit
	axis        Axis
	least, most measure.Length
}

func (p *axisParser) wrong(what, hint string) error {
	return fmt.Errorf("%q %s\nhint: %s", p.text, what, hint)
}

// find looks the size up.
func (p *axisParser) find(in *cabinets.Interior, cabinet, size string) error {
	var names []string
	for i := range in.Cabinets {
		c := &in.Cabinets[i]
		if c.Name != cabinet {
			names = append(names, c.Name)
			continue
		}
		var sizes []string
		for k, s := range c.Solid.Definition.Sizes {
			if s.Name == size {
				p.axis = Axis{Cabinet: cabinet, Size: size, Whole: s.Whole, Now: c.Solid.Sizes[k].Value}
				p.least, p.most = s.Least, s.Most
				return nil
			}
			sizes = append(sizes, s.Name)
		}
		return p.wrong(fmt.Sprintf("names no size of %s, a %s", cabinet, c.Solid.Definition.Name), source.Suggest(size, sizes))
	}
	return p.wrong(fmt.Sprintf("names no cabinet of %s", in.Layout.Name), source.Suggest(cabinet, names))
}

// values reads "from..to/step".
func (p *axisParser) values(text string) error {
	from, rest, ok := strings.Cut(text, "..")
	if !ok {
		return p.wrong("has no ..", axisForm)
	}
	to, step := rest, ""
	if i := p.slash(rest); i >= 0 {
		to, step = rest[:i], rest[i+1:]
	}
	lo, err1 := p.value(from)
	hi, err2 := p.value(to)
	by, err3 := p.step(step)
	if err := errors.Join(err1, err2, err3); err != nil {
		return err
	}
	switch {
	case lo > hi:
		return p.wrong("falls", "give the smaller value first")
	case lo < p.least || hi > p.most:
		return p.wrong(fmt.Sprintf("leaves the range of %s, %s to %s", p.axis.Size, p.print(p.least), p.print(p.most)), "stay within it")
	case by <= 0:
		return p.wrong("has a step that is not above 0", axisForm)
	case int64(hi-lo)/int64(by) >= mostTried:
		return p.wrong(fmt.Sprintf("has more than %d values", mostTried), "take a larger step")
	}
	for v := lo; v <= hi; v += by {
		p.axis.Values = append(p.axis.Values, v)
	}
	return nil
}

// slash returns where the step of "to/step" begins: at the first slash with a value on
// either side, so that 30 1/2/1/4 is 30 1/2 by 1/4. It is below 0 where there is none.
func (p *axisParser) slash(text string) int {
	for i, r := range text {
		if r != '/' {
			continue
		}
		_, err1 := p.value(text[:i])
		_, err2 := p.value(text[i+1:])
		if err1 == nil && err2 == nil {
			return i
		}
	}
	return -1
}

func (p *axisParser) value(text string) (measure.Length, error) {
	if p.axis.Whole {
		var n int64
		if _, err := fmt.Sscanf(strings.TrimSpace(text)+"\n", "%d\n", &n); err != nil || n < 0 || n > math.MaxInt32 {
			return 0, p.wrong(fmt.Sprintf("has %q where %s is a whole number", text, p.axis.Size), axisForm)
		}
		return measure.Length(n), nil
	}
	l, err := measure.Parse(text, p.unit)
	var bad *measure.SyntaxError
	if errors.As(err, &bad) {
		return 0, p.wrong(fmt.Sprintf("has %q: %s", text, bad.Text), bad.Hint)
	}
	return l, err
}

func (p *axisParser) step(text string) (measure.Length, error) {
	switch {
	case text != "":
		return p.value(text)
	case p.axis.Whole:
		return 1, nil
	case p.unit == measure.Inches:
		return measure.Inch / 2, nil
	}
	return 10 * measure.Millimetre, nil
}

// print writes a value of the axis.
func (p *axisParser) print(v measure.Length) string {
	return p.axis.Print(v, measure.Style{Unit: p.unit, Denominator: 64})
}

// Print writes a value of the axis: a number, or a length with its unit.
func (a *Axis) Print(v measure.Length, style measure.Style) string {
	if a.Whole {
		return fmt.Sprint(int64(v))
	}
	return style.WithUnit(v)
}

// Finest is how near to a change values are tried: 1 mm, 1/16 in, or 1.
func (a *Axis) Finest(unit measure.Unit) measure.Length {
	switch {
	case a.Whole:
		return 1
	case unit == measure.Inches:
		return measure.Inch / 16
	}
	return measure.Millimetre
}
