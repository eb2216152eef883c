package table

import (
	"bytes"
	"encoding/json"
	"io"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// WriteJSON writes the table as one JSON object: its name, its currency, and its rows as
// objects by column. Lengths are exact mm, money is a decimal, empty cells are null.
func (t *Table) WriteJSON(w io.Writer) error {
	rows := make([]json.RawMessage, len(t.Rows))
	for i := range t.Rows {
		row, err := t.jsonRow(i)
		if err != nil {
			return err
		}
		rows[i] = row
	}
	out := json.NewEncoder(w)
	out.SetEscapeHTML(false)
	out.SetIndent("", " ")
	return out.Encode(struct {
		List     string            `json:"list"`
		Unit     string            `json:"unit"`
		Currency string            `json:"currency"`
		Rows     []json.RawMessage `json:"rows"`
	}{t.Name, "mm", t.Currency, rows})
}

// jsonRow encodes a row as an object whose keys stand in the order of the columns.
func (t *Table) jsonRow(row int) (json.RawMessage, error) {
	var b bytes.Buffer
	for i, c := range t.Columns {
		b.WriteByte("{,"[min(i, 1)])
		value, err := json.Marshal(t.jsonCell(row, i))
		if err != nil {
			return nil, err
		}
		key, err := json.Marshal(c.Key)
		if err != nil {
			return nil, err
		}
		b.Write(key)
		b.WriteByte(':')
		b.Write(value)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

func (t *Table) jsonCell(row, column int) any {
	c := t.Columns[column]
	switch cell := t.Rows[row][column].(type) {
	case measure.Length:
		return json.Number(cell.Exact())
	case shop.Money:
		return json.Number(Amount(cell))
	case float64:
		if c.Kind == Share {
			return json.Number(decimal(cell, c.Decimals+2))
		}
		return json.Number(decimal(cell, c.Decimals))
	default:
		return cell
	}
}
