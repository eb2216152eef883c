// Package table renders lists of a job as CSV, as aligned text and as JSON. What a list
// holds is written once, as columns.
package table

import (
	"fmt"
	"math"
	"strconv"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// Table is a list: rows of cells under columns.
type Table struct {
	Name    string // of its files: "parts"
	Title   string
	Columns []Column
	Rows    [][]any // a cell is of its column's kind, or nil where it is empty
	Style   measure.Style
	// Currency is the ISO 4217 code of all money in the table.
	Currency string
}

// Column is what a column's cells are.
type Column struct {
	Key      string // in CSV and JSON
	Head     string // in print
	Kind     Kind
	Decimals int  // of a Number or a Share, of a Quantity at most
	In       Form // where the column stands
}

// Form is one of the forms of a table, or several.
type Form int

const (
	Files  Form = 1 << iota // CSV and JSON
	Plain                   // aligned text
	Page                    // the printed page
	Always = Files | Plain | Page
)

// Kind is the type of a column's cells.
type Kind int

const (
	Text     Kind = iota // string
	Count                // int
	Number               // float64
	Quantity             // float64, printed with no more decimals than it has
	Share                // float64 from 0 to 1, printed in per cent
	Length               // measure.Length
	Money                // shop.Money
)

// Right reports whether the column's cells are set flush right.
func (c Column) Right() bool { return c.Kind != Text }

// For returns the table with the columns of one form alone.
func (t *Table) For(f Form) *Table {
	only := *t
	only.Columns, only.Rows = nil, make([][]any, len(t.Rows))
	for i, c := range t.Columns {
		if c.In&f == 0 {
			continue
		}
		only.Columns = append(only.Columns, c)
		for row := range t.Rows {
			only.Rows[row] = append(only.Rows[row], t.Rows[row][i])
		}
	}
	return &only
}

// Print returns a cell as people read it: lengths in the shop's style.
func (t *Table) Print(row, column int) string {
	cell := t.Rows[row][column]
	if cell == nil {
		return ""
	}
	c := t.Columns[column]
	switch c.Kind {
	case Count:
		return strconv.Itoa(cell.(int))
	case Number:
		return decimal(cell.(float64), c.Decimals)
	case Quantity:
		return strconv.FormatFloat(tidy(cell.(float64), c.Decimals), 'f', -1, 64)
	case Share:
		return decimal(100*cell.(float64), c.Decimals) + " %"
	case Length:
		return t.Style.Format(cell.(measure.Length))
	case Money:
		return Amount(cell.(shop.Money))
	}
	return cell.(string)
}

// decimal prints v to so many decimals, never as -0.
func decimal(v float64, decimals int) string {
	return strconv.FormatFloat(tidy(v, decimals), 'f', decimals, 64)
}

// tidy rounds v to so many decimals, never to -0.
func tidy(v float64, decimals int) float64 {
	unit := math.Pow10(decimals)
	return math.Round(v*unit)/unit + 0
}

// Amount prints money as a decimal without its currency: "592.00".
func Amount(m shop.Money) string {
	sign := ""
	if m < 0 {
		sign, m = "-", -m
	}
	return fmt.Sprintf("%s%d.%02d", sign, m/100, m%100)
}

// column is a column of a list of R and how to read its cells.
type column[R any] struct {
	Column
	value func(R) any
}

func text[R any](key, head string, value func(R) string) column[R] {
	return column[R]{Column{Key: key, Head: head, In: Always}, func(r R) any { return value(r) }}
}

func count[R any](key, head string, value func(R) int) column[R] {
	return column[R]{Column{Key: key, Head: head, In: Always, Kind: Count}, func(r R) any { return value(r) }}
}

func number[R any](key, head string, decimals int, value func(R) float64) column[R] {
	return column[R]{Column{Key: key, Head: head, In: Always, Kind: Number, Decimals: decimals}, func(r R) any { return value(r) }}
}

func share[R any](key, head string, value func(R) float64) column[R] {
	return column[R]{Column{Key: key, Head: head, In: Always, Kind: Share, Decimals: 1}, func(r R) any { return value(r) }}
}

func money[R any](key, head string, value func(R) shop.Money) column[R] {
	return column[R]{Column{Key: key, Head: head, In: Always, Kind: Money}, func(r R) any { return value(r) }}
}

// length makes a column of lengths; a length of 0 is an empty cell.
func length[R any](key, head string, value func(R) measure.Length) column[R] {
	return column[R]{Column{Key: key, Head: head, In: Always, Kind: Length}, func(r R) any {
		if l := value(r); l != 0 {
			return l
		}
		return nil
	}}
}

// place makes a column of places along an axis; nil is an empty cell.
func place[R any](key, head string, value func(R) any) column[R] {
	return column[R]{Column{Key: key, Head: head, In: Always, Kind: Length}, func(r R) any { return value(r) }}
}

// only limits a column to some forms.
func only[R any](in Form, c column[R]) column[R] {
	c.In = in
	return c
}

// build makes a table of rows.
func build[R any](s *shop.Shop, name, title string, rows []R, columns ...column[R]) *Table {
	t := &Table{Name: name, Title: title, Style: s.Style, Currency: s.Currency}
	for _, c := range columns {
		t.Columns = append(t.Columns, c.Column)
	}
	for _, r := range rows {
		cells := make([]any, len(columns))
		for i, c := range columns {
			cells[i] = c.value(r)
		}
		t.Rows = append(t.Rows, cells)
	}
	return t
}
