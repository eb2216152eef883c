package register

import (
	"crypto/sha256"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"
	"time"

	"sawbook/cabinets/measure"
)

// Entry is one change. Entries are ordered by their numbers: clocks may jump.
type Entry struct {
	Sequence int64           `json:"sequence"` // from 1, without gaps
	Time     string          `json:"time"`     // RFC 3339, as the clock told
	User     string          `json:"user"`
	Reason   string          `json:"reason"`
	Kind     string          `json:"kind"`
	Body     json.RawMessage `json:"body"`
	Previous string          `json:"previous"` // digest of the entry before, "" of none
	Digest   string          `json:"digest"`   // of all the above: sum
}

// By says who changes something, why and when.
type By struct {
	User, Reason string
	Time         time.Time
}

// sum returns the digest of an entry: the SHA-256 of its fields as a JSON array, in hexadecimal digits.
func (e *Entry) sum() string {
	// Strings cannot fail to be marshalled.
	canonical, _ := json.Marshal([]any{e.Sequence, e.Time, e.User, e.Reason, e.Kind, string(e.Body), e.Previous})
	return fmt.Sprintf("%x", sha256.Sum256(canonical))
}

// follows reports what is wrong with an entry that should come after another; the zero entry comes before the first.
func (e *Entry) follows(last *Entry) error {
	if e.Sequence != last.Sequence+1 || e.Previous != last.Digest || e.Digest != e.sum() {
		return fmt.Errorf("%w: entry %d is not as it was written, or one before it is missing", errDamaged, e.Sequence)
	}
	return nil
}

// entries calls visit with all entries from a number on, in their order.
func entries(tx *sql.Tx, from int64, visit func(*Entry) error) error {
	rows, err := tx.Query("SELECT seq, time, user, reason, kind, body, previous, digest FROM entries WHERE seq >= ? ORDER BY seq", from)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var e Entry
		var body string
		if err := rows.Scan(&e.Sequence, &e.Time, &e.User, &e.Reason, &e.Kind, &body, &e.Previous, &e.Digest); err != nil {
			return err
		}
		e.Body = json.RawMessage(body)
		if err := visit(&e); err != nil {
			return err
		}
	}
	return rows.Err()
}

// newest returns the last entry, the zero entry where there is none.
func newest(tx *sql.Tx) (*Entry, error) {
	var last int64
	if err := tx.QueryRow("SELECT coalesce(max(seq), 0) FROM entries").Scan(&last); err != nil {
		return nil, err
	}
	e := &Entry{}
	err := entries(tx, last, func(found *Entry) error {
		e = found
		if e.Digest != e.sum() {
			return fmt.Errorf("%w: entry %d is not as it was written", errDamaged, e.Sequence)
		}
		return nil
	})
	return e, err
}

// add writes a new entry behind the last one, and all that follows from it.
func add(tx *sql.Tx, by By, kind string, body any) (*Entry, error) {
	last, err := newest(tx)
	if err != nil {
		return nil, err
	}
	text, err := json.Marshal(body)
	if err != nil {
		return nil, err
	}
	e := &Entry{Sequence: last.Sequence + 1, Time: by.Time.Format(time.RFC3339), User: printable(by.User), Reason: printable(by.Reason),
		Kind: kind, Body: text, Previous: last.Digest}
	e.Digest = e.sum()
	return e, enter(tx, e)
}

// printable returns a text on one line that every copy holds alike.
func printable(text string) string {
	return strings.Join(strings.Fields(strings.ToValidUTF8(text, "?")), " ")
}

// enter writes an entry and all that follows from it.
func enter(tx *sql.Tx, e *Entry) error {
	_, err := tx.Exec("INSERT INTO entries (seq, time, user, reason, kind, body, previous, digest) VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
		e.Sequence, e.Time, e.User, e.Reason, e.Kind, string(e.Body), e.Previous, e.Digest)
	if err != nil {
		return err
	}
	switch e.Kind {
	case Received, Counted, Cut, Kept, Undone:
		return e.move(tx)
	case Built, Noted:
		return e.build(tx)
	case Started, Recut, Ticked:
		return e.saw(tx)
	}
	return fmt.Errorf("entry %d is of the unknown kind %q", e.Sequence, e.Kind)
}

// Entries returns all entries.
func (r *Register) Entries() (all []Entry, err error) {
	err = r.read(func(tx *sql.Tx) error {
		return entries(tx, 1, func(e *Entry) error {
			all = append(all, *e)
			return nil
		})
	})
	return all, err
}

// Verify reads everything and returns the newest entry; an error tells the first thing that is not as it was written.
func (r *Register) Verify() (last *Entry, err error) {
	last = &Entry{}
	err = r.read(func(tx *sql.Tx) error {
		if err := sound(tx); err != nil {
			return err
		}
		if err := entries(tx, 1, func(e *Entry) error {
			err := e.follows(last)
			last = e
			return err
		}); err != nil {
			return err
		}
		return errors.Join(settled(tx), kept(tx), ticksSettled(tx))
	})
	return last, err
}

// settled reports whether the lots are what the entries come to.
func settled(tx *sql.Tx) error {
	want := map[int64]Quantity{}
	if err := entries(tx, 1, func(e *Entry) error {
		var b booking
		if err := json.Unmarshal(e.Body, &b); err != nil {
			return err
		}
		for _, m := range b.Moves {
			want[m.Lot] += m.Quantity
		}
		return nil
	}); err != nil {
		return err
	}
	s, err := stock(tx, math.MaxInt64)
	if err != nil {
		return err
	}
	for _, h := range s.Lots {
		var left Quantity
		if err := tx.QueryRow("SELECT left FROM lots WHERE lot = ?", h.Number).Scan(&left); err != nil {
			return err
		}
		if left != want[h.Number] || h.Left != left {
			return fmt.Errorf("%w: what is left of lot %d is not what its entries say", errDamaged, h.Number)
		}
	}
	return nil
}

// About says in a few words what an entry is about.
func (e Entry) About(style measure.Style) string {
	var b booking
	if err := json.Unmarshal(e.Body, &b); err != nil {
		return ""
	}
	switch {
	case e.Kind == Noted:
		var n note
		_ = json.Unmarshal(e.Body, &n) // it was read as something else already
		return "vehicle " + n.Serial + ": " + n.Text
	case e.Kind == Started, e.Kind == Recut, e.Kind == Ticked:
		return aboutSaw(e)
	case b.Undoes > 0:
		return fmt.Sprintf("entry %d", b.Undoes)
	case b.Batch != "" && b.Recuts > 0:
		return fmt.Sprintf("%s-%s up to recut %d", b.Batch, b.Digest, b.Recuts)
	case b.Batch != "":
		return b.Batch + "-" + b.Digest
	case len(b.Lots) == 1 && b.Lots[0].Label != "":
		return b.Lots[0].Label
	case b.Counted != nil:
		return fmt.Sprintf("%s of %s, %s", b.Counted.Quantity, b.Counted.Title(style), difference(b.sum()))
	case len(b.Lots) == 1:
		return fmt.Sprintf("%s of %s", b.sum(), b.Lots[0].Title(style))
	}
	return difference(b.sum()) // counted before entries said what
}

// sum is what comes in by a booking, less what goes.
func (b *booking) sum() (sum Quantity) {
	for _, m := range b.Moves {
		sum += m.Quantity
	}
	return sum
}

// difference says what a count changed.
func difference(q Quantity) string {
	switch {
	case q < 0:
		return (-q).String() + " less"
	case q > 0:
		return q.String() + " more"
	}
	return "as booked"
}
