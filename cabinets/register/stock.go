package register

import (
	"database/sql"
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// Kinds of entries that move stock.
const (
	Received = "received"
	Counted  = "counted"
	Kept     = "kept" // an offcut
	Cut      = "cut"  // a batch
	Undone   = "undone"
)

// Quantity is thousandths of what a thing is counted in: sheets, metres, litres, pairs.
type Quantity int64

// One is one sheet, metre, litre or pair.
const One Quantity = 1000

// Of rounds an amount to a quantity.
func Of(amount float64) Quantity { return Quantity(math.Round(amount * float64(One))) }

// Amount returns the quantity as a number.
func (q Quantity) Amount() float64 { return float64(q) / float64(One) }

// String prints the quantity with as many decimals as it has.
func (q Quantity) String() string { return strconv.FormatFloat(q.Amount(), 'f', -1, 64) }

// With prints the quantity and what it is counted in.
func (q Quantity) With(unit string) string {
	if q == One {
		unit = strings.TrimSuffix(unit, "s")
	}
	return q.String() + " " + unit
}

// Kind is what a thing in stock is.
type Kind string

const (
	Sheet  Kind = "sheet"
	Offcut Kind = "offcut"
	Item   Kind = "item" // a roll, a tin, hardware
)

// Key says of what a lot is: lots of one key serve alike.
type Key struct {
	Kind Kind   `json:"kind"`
	Item string `json:"item"` // a material, or what the shop file names
	// Of sheets and offcuts, in nm.
	Length measure.Length `json:"length,omitempty"`
	Width  measure.Length `json:"width,omitempty"`
	Across bool           `json:"across,omitempty"` // the grain runs across the length
	Label  string         `json:"label,omitempty"`  // of an offcut
}

// Lot is one delivery, or one offcut.
type Lot struct {
	Number int64 `json:"lot"`
	Key
	Thickness measure.Length `json:"thickness,omitempty"` // as measured, 0 where it was not
	Price     *shop.Money    `json:"price,omitempty"`     // of one sheet or pack, as bought
	Place     string         `json:"place,omitempty"`
}

// Move is what comes to a lot, or goes from it.
type Move struct {
	Lot      int64    `json:"lot"`
	Quantity Quantity `json:"quantity"`
}

// booking is the body of an entry that moves stock.
type booking struct {
	Batch  string `json:"batch,omitempty"`
	Digest string `json:"digest,omitempty"` // of the job that was cut
	Adds   int64  `json:"adds,omitempty"`   // the entry that booked the job out before its newest recuts
	Recuts int    `json:"recuts,omitempty"` // how many are booked with this
	Undoes int64  `json:"undoes,omitempty"`
	Lots   []Lot  `json:"lots,omitempty"` // new ones
	Moves  []Move `json:"moves,omitempty"`

	Counted *counted `json:"counted,omitempty"`
}

// counted is what somebody counted; the moves are what that changes.
type counted struct {
	Key
	Quantity Quantity `json:"quantity"`
}

// move writes the lots and moves of an entry.
func (e *Entry) move(tx *sql.Tx) error {
	var b booking
	if err := json.Unmarshal(e.Body, &b); err != nil {
		return fmt.Errorf("entry %d: %w", e.Sequence, err)
	}
	for _, l := range b.Lots {
		body, err := json.Marshal(l)
		if err != nil {
			return err
		}
		label := sql.NullString{String: l.Label, Valid: l.Label != ""}
		if _, err := tx.Exec("INSERT INTO lots (lot, seq, body, label) VALUES (?, ?, ?, ?)", l.Number, e.Sequence, string(body), label); err != nil {
			return err
		}
	}
	for _, m := range b.Moves {
		if _, err := tx.Exec("INSERT INTO moves (seq, lot, quantity) VALUES (?, ?, ?)", e.Sequence, m.Lot, m.Quantity); err != nil {
			return err
		}
		if _, err := tx.Exec("UPDATE lots SET left = left + ? WHERE lot = ?", m.Quantity, m.Lot); err != nil {
			return err
		}
	}
	if e.Kind == Cut && b.Adds == 0 {
		_, err := tx.Exec("INSERT INTO taken (digest, seq) VALUES (?, ?)", b.Digest, e.Sequence)
		return err
	}
	if b.Undoes == 0 {
		return nil
	}
	if _, err := tx.Exec("INSERT INTO undone (seq, by) VALUES (?, ?)", b.Undoes, e.Sequence); err != nil {
		return err
	}
	_, err := tx.Exec("DELETE FROM taken WHERE seq = ?", b.Undoes)
	return err
}

// Held is a lot, and what is left of it.
type Held struct {
	Lot
	Left   Quantity
	Undone bool // the entry that brought it in was taken back, so that the shop file is right again
}

// Stock is what there was after so many entries.
type Stock struct {
	Sequence int64
	Lots     []Held // oldest first; those that are used up among them
}

// Stock returns what there is.
func (r *Register) Stock() (*Stock, error) { return r.StockAfter(math.MaxInt64) }

// StockAfter returns what there was once an entry had been written.
func (r *Register) StockAfter(sequence int64) (s *Stock, err error) {
	err = r.read(func(tx *sql.Tx) error {
		s, err = stock(tx, sequence)
		return err
	})
	return s, err
}

func stock(tx *sql.Tx, after int64) (*Stock, error) {
	s := &Stock{}
	if err := tx.QueryRow("SELECT coalesce(max(seq), 0) FROM entries WHERE seq <= ?", after).Scan(&s.Sequence); err != nil {
		return nil, err
	}
	rows, err := tx.Query(`SELECT lots.body, coalesce(sum(quantity), 0), EXISTS (SELECT 1 FROM undone WHERE undone.seq = lots.seq AND undone.by <= ?1) FROM lots LEFT JOIN moves ON moves.lot = lots.lot AND moves.seq <= ?1
		WHERE lots.seq <= ?1 GROUP BY lots.lot ORDER BY lots.lot`, after)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var h Held
		var body string
		if err := rows.Scan(&body, &h.Left, &h.Undone); err != nil {
			return nil, err
		}
		if err := json.Unmarshal([]byte(body), &h.Lot); err != nil {
			return nil, fmt.Errorf("%w: a lot cannot be read: %w", errDamaged, err)
		}
		s.Lots = append(s.Lots, h)
	}
	return s, rows.Err()
}

// Left returns how much there is of a key.
func (s *Stock) Left(k Key) (sum Quantity) {
	for _, h := range s.Lots {
		if h.Key == k {
			sum += h.Left
		}
	}
	return sum
}

// Knows reports whether the register keeps book of a material's sheets, or of an item: whether any of it ever came in.
func (s *Stock) Knows(kind Kind, item string) bool {
	for _, h := range s.Lots {
		if h.Kind == kind && h.Item == item {
			return true
		}
	}
	return false
}

// Offcut returns the offcut with a label, nil where the register knows none.
func (s *Stock) Offcut(label string) *Held {
	for i := range s.Lots {
		if s.Lots[i].Label == label && label != "" {
			return &s.Lots[i]
		}
	}
	return nil
}

// draw returns the moves that take a quantity out, from the oldest lots first, and what is missing.
func (s *Stock) draw(k Key, q Quantity) (moves []Move, short Quantity) {
	for _, h := range s.Lots {
		if take := min(q, h.Left); h.Key == k && take > 0 {
			moves = append(moves, Move{h.Number, -take})
			q -= take
		}
	}
	return moves, q
}

// next returns the number of the next new lot.
func (s *Stock) next() int64 {
	if len(s.Lots) == 0 {
		return 1
	}
	return s.Lots[len(s.Lots)-1].Number + 1
}
