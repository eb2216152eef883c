package table

import (
	"encoding/csv"
	"io"
	"strings"

	"sawbook/cabinets/measure"
)

// byteOrderMark tells a spreadsheet that what follows is UTF-8; without it some read
// the file in an old code page.
const byteOrderMark = "\ufeff"

// WriteCSV writes the table as CSV (RFC 4180: CRLF, quoted where needed) in UTF-8. A
// length takes two columns: exact in mm, and in the shop's style with its unit, so that
// no spreadsheet takes 3/4 for a date. Shares are written as they are, 0 to 1.
func (t *Table) WriteCSV(w io.Writer) error {
	t = t.For(Files)
	if _, err := io.WriteString(w, byteOrderMark); err != nil {
		return err
	}
	out := csv.NewWriter(w)
	out.UseCRLF = true
	records := [][]string{t.csvHeader()}
	for row := range t.Rows {
		records = append(records, t.csvRow(row))
	}
	return out.WriteAll(records)
}

func (t *Table) csvHeader() []string {
	var header []string
	for _, c := range t.Columns {
		switch c.Kind {
		case Length:
			header = append(header, c.Key+"_mm", c.Key)
		case Money:
			header = append(header, c.Key+"_"+t.Currency)
		default:
			header = append(header, c.Key)
		}
	}
	return header
}

func (t *Table) csvRow(row int) []string {
	var record []string
	for i, c := range t.Columns {
		cell := t.Rows[row][i]
		switch {
		case c.Kind == Length && cell == nil:
			record = append(record, "", "")
		case c.Kind == Length:
			l := cell.(measure.Length)
			record = append(record, l.Exact(), t.Style.WithUnit(l))
		case c.Kind == Share && cell != nil:
			record = append(record, decimal(cell.(float64), c.Decimals+2))
		case c.Kind == Text && cell != nil:
			record = append(record, harmless(cell.(string)))
		default:
			record = append(record, t.Print(row, i))
		}
	}
	return record
}

// harmless puts an apostrophe in front of a text that a spreadsheet would run as a
// formula.
func harmless(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r\n", rune(s[0])) {
		return "'" + s
	}
	return s
}
