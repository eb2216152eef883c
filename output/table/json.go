package table

import (
	"bytes"
	"encoding/json"
	"io"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// WriteJSON writes the table as one JSON object: its name, its currency, and its rows.
func (t *Table) WriteJSON(w io.Writer) error {
	return writeJSON(w, struct {
		List     string `json:"list"`
		Unit     string `json:"unit"`
		Currency string `json:"currency,omitempty"`
		Rows     rows   `json:"rows"`
	}{t.Name, "mm", t.Currency, rowsOf(t)})
}

func writeJSON(w io.Writer, v any) error {
	out := json.NewEncoder(w)
	out.SetEscapeHTML(false)
	out.SetIndent("", " ")
	return out.Encode(v)
}

// rows are a table's rows as JSON: objects whose keys stand in the order of the
// columns. Lengths are exact mm, money is a decimal, empty cells are null.
type rows struct{ *Table }

func rowsOf(t *Table) rows { return rows{t.For(Files)} }

func (r rows) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('[')
	for row := range r.Rows {
		if row > 0 {
			b.WriteByte(',')
		}
		if err := r.object(&b, row); err != nil {
			return nil, err
		}
	}
	b.WriteByte(']')
	return b.Bytes(), nil
}

func (r rows) object(b *bytes.Buffer, row int) error {
	b.WriteByte('{')
	for i, c := range r.Columns {
		if i > 0 {
			b.WriteByte(',')
		}
		key, err := json.Marshal(c.Key)
		if err != nil {
			return err
		}
		value, err := json.Marshal(r.cell(row, i))
		if err != nil {
			return err
		}
		b.Write(key)
		b.WriteByte(':')
		b.Write(value)
	}
	b.WriteByte('}')
	return nil
}

func (r rows) cell(row, column int) any {
	c := r.Columns[column]
	switch cell := r.Rows[row][column].(type) {
	case measure.Length:
		return json.Number(cell.Exact())
	case shop.Money:
		return json.Number(Amount(cell))
	case float64:
		switch c.Kind {
		case Share:
			return json.Number(decimal(cell, c.Decimals+2))
		case Quantity:
			return json.Number(r.Print(row, column))
		}
		return json.Number(decimal(cell, c.Decimals))
	default:
		return cell
	}
}
