package verify

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"
)

// number is a JSON number as it was written, read into an integer only where it is used.
type number string

// UnmarshalJSON keeps whatever was written; what is no number is found when it is read.
func (n *number) UnmarshalJSON(text []byte) error {
	*n = number(text)
	return nil
}

type plan struct {
	Format    string     `json:"format"`
	Materials []material `json:"materials"`
}

type material struct {
	Material    string    `json:"material"`
	Kerf        number    `json:"kerf"`
	Sheets      number    `json:"sheets"`
	LeastSheets number    `json:"least_sheets"`
	Cost        number    `json:"cost"`
	LeastCost   number    `json:"least_cost"`
	Stages      number    `json:"stages"`
	Status      string    `json:"status"`
	Demand      *[]demand `json:"demand"`
	Patterns    []pattern `json:"patterns"`
	Blanks      []pattern `json:"blanks"`
	Groups      []group   `json:"groups"`
}

type demand struct {
	Part   string `json:"part"`
	Length number `json:"length"`
	Width  number `json:"width"`
	Count  number `json:"count"`
	Grain  string `json:"grain"`
}

type pattern struct {
	Pattern number   `json:"pattern"`
	Blank   string   `json:"blank"` // what is cut, where it is no sheet
	Layers  []layer  `json:"layers"`
	Times   number   `json:"times"`
	Sheet   sheet    `json:"sheet"`
	Parts   []placed `json:"parts"`
	Cuts    []cut    `json:"cuts"`
	Offcuts []offcut `json:"offcuts"`
}

// layer is a piece that a blank is pressed from.
type layer struct {
	Material string `json:"material"`
	Part     string `json:"part"`
}

type sheet struct {
	Length number `json:"length"`
	Width  number `json:"width"`
	Grain  string `json:"grain"`
	Trim   struct {
		Left   number `json:"left"`
		Right  number `json:"right"`
		Bottom number `json:"bottom"`
		Top    number `json:"top"`
	} `json:"trim"`
	Price  number `json:"price"`
	Offcut string `json:"offcut"`
}

type placed struct {
	Part   string `json:"part"`
	X      number `json:"x"`
	Y      number `json:"y"`
	Length number `json:"length"`
	Width  number `json:"width"`
	Turned bool   `json:"turned"`
}

type cut struct {
	Step  number `json:"step"`
	Stage number `json:"stage"`
	X1    number `json:"x1"`
	Y1    number `json:"y1"`
	X2    number `json:"x2"`
	Y2    number `json:"y2"`
	Tool  string `json:"tool"` // "" is the table saw
}

type offcut struct {
	X      number `json:"x"`
	Y      number `json:"y"`
	Length number `json:"length"`
	Width  number `json:"width"`
}

const (
	// largestFile bounds the memory: a plan of a million parts has a tenth of this.
	largestFile = 1 << 30
	// longest is a thousand kilometres in nm, so that no sum of lengths overflows.
	longest = 1_000_000_000_000_000
	// dearest and most bound amounts and counts for the same reason.
	dearest = 1_000_000_000_000_000
	most    = 1_000_000_000
)

// read takes a plan from r. A key written twice is a fault, because two readers may
// take it in two ways; keys that are not known are passed over.
func read(r io.Reader) (*plan, error) {
	text, err := io.ReadAll(io.LimitReader(r, largestFile+1))
	if err != nil {
		return nil, fmt.Errorf("reading the plan: %w", err)
	}
	if len(text) > largestFile {
		return nil, fmt.Errorf("reading the plan: it has more than %d bytes", largestFile)
	}
	p := new(plan)
	if err := json.Unmarshal(text, p); err != nil {
		return nil, fmt.Errorf("reading the plan: %w", err)
	}
	if err := checkKeys(text); err != nil {
		return nil, fmt.Errorf("reading the plan: %w", err)
	}
	return p, nil
}

// checkKeys finds keys that are written twice in one object of a valid JSON text. Keys
// that differ in case only are the same: encoding/json reads them so.
func checkKeys(text []byte) error {
	var open []map[string]bool // the keys of each open object; nil for an array
	var spare []map[string]bool
	key := false // a string that comes now is a key
	for i := 0; i < len(text); i++ {
		switch text[i] {
		case '{':
			keys := map[string]bool{}
			if n := len(spare); n > 0 {
				keys, spare = spare[n-1], spare[:n-1]
			}
			open, key = append(open, keys), true
		case '[':
			open, key = append(open, nil), false
		case '}', ']':
			// A map stays as large as it once was: only small ones are worth clearing.
			if keys := open[len(open)-1]; keys != nil && len(keys) <= 16 {
				clear(keys)
				spare = append(spare, keys)
			}
			open = open[:len(open)-1]
		case ',':
			key = open[len(open)-1] != nil
		case '"':
			start := i
			for i++; text[i] != '"'; i++ {
				if text[i] == '\\' {
					i++
				}
			}
			if !key {
				continue
			}
			key = false
			name := string(text[start+1 : i])
			if strings.Contains(name, `\`) {
				if err := json.Unmarshal(text[start:i+1], &name); err != nil {
					return err
				}
			}
			name = strings.ToLower(name)
			keys := open[len(open)-1]
			if keys[name] {
				return fmt.Errorf("the key %q is written twice in one object, at byte %d", name, start)
			}
			keys[name] = true
		}
	}
	return nil
}

// length reads millimetres into nm; what names the number in a fault.
func (c *checker) length(what string, n number) (int64, bool) {
	return c.number(what, n, 6, longest)
}

// money reads an amount into minor units.
func (c *checker) money(what string, n number) (int64, bool) {
	return c.number(what, n, 2, dearest)
}

func (c *checker) whole(what string, n number) (int64, bool) {
	return c.number(what, n, 0, most)
}

func (c *checker) number(what string, n number, places int, most int64) (int64, bool) {
	v, fault := decimal(string(n), places, most)
	if fault != "" {
		c.faultf("%s %s", what, fault)
	}
	return v, fault == ""
}

// decimal reads a plain decimal into an integer of 10^-places and says what is wrong
// with it, if anything.
func decimal(text string, places int, most int64) (v int64, fault string) {
	if text == "" {
		return 0, "is missing"
	}
	shown := text
	if len(shown) > 40 {
		shown = shown[:40] + "..."
	}
	digits, negative := strings.CutPrefix(text, "-")
	whole, rest, point := strings.Cut(digits, ".")
	if whole == "" || point && rest == "" || !onlyDigits(whole) || !onlyDigits(rest) {
		return 0, "is not a plain decimal: " + shown
	}
	if len(rest) > places {
		if strings.Trim(rest[places:], "0") != "" {
			if places == 0 {
				return 0, "is not a whole number: " + shown
			}
			return 0, fmt.Sprintf("has more than %d decimals: %s", places, shown)
		}
		rest = rest[:places]
	}
	for _, d := range whole + rest + strings.Repeat("0", places-len(rest)) {
		if v = v*10 + int64(d-'0'); v > most {
			return 0, "is too large: " + shown
		}
	}
	if negative {
		v = -v
	}
	return v, ""
}

func onlyDigits(s string) bool {
	return strings.Trim(s, "0123456789") == ""
}
