package register

import (
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/shop"
)

// book decides what to move on the stock as it is, and moves it.
func (r *Register) book(by By, kind string, decide func(tx *sql.Tx, s *Stock) (*booking, error)) (e *Entry, err error) {
	err = r.change(func(tx *sql.Tx) error {
		s, err := stock(tx, math.MaxInt64)
		if err != nil {
			return err
		}
		b, err := decide(tx, s)
		if err != nil {
			return err
		}
		e, err = add(tx, by, kind, b)
		return err
	})
	return e, err
}

// Receive books a delivery in.
func (r *Register) Receive(by By, l Lot, q Quantity) (*Entry, error) {
	return r.book(by, Received, func(_ *sql.Tx, s *Stock) (*booking, error) {
		l.Number = s.next()
		return &booking{Lots: []Lot{l}, Moves: []Move{{l.Number, q}}}, nil
	})
}

// Keep books an offcut in. Its label must be new.
func (r *Register) Keep(by By, l Lot) (*Entry, error) {
	return r.book(by, Kept, func(_ *sql.Tx, s *Stock) (*booking, error) {
		if s.Offcut(l.Label) != nil {
			return nil, fmt.Errorf("the register knows an offcut %s already\nhint: give every offcut a label of its own", l.Label)
		}
		l.Number = s.next()
		return &booking{Lots: []Lot{l}, Moves: []Move{{l.Number, One}}}, nil
	})
}

// Count books what was counted: l is the lot for what the register did not know of, and its key says what was counted.
func (r *Register) Count(by By, l Lot, now Quantity) (*Entry, error) {
	return r.book(by, Counted, func(_ *sql.Tx, s *Stock) (*booking, error) {
		b := &booking{Counted: &counted{l.Key, now}}
		more := now - s.Left(l.Key)
		if more <= 0 {
			b.Moves, _ = s.draw(l.Key, -more)
			return b, nil
		}
		number := s.newestOf(l.Key)
		if number == 0 {
			number = s.next()
			l.Number = number
			b.Lots = []Lot{l}
		}
		b.Moves = []Move{{number, more}}
		return b, nil
	})
}

// newestOf returns the number of the newest lot of a key, 0 where there is none.
func (s *Stock) newestOf(k Key) (number int64) {
	for _, h := range s.Lots {
		if h.Key == k {
			number = h.Number
		}
	}
	return number
}

// Taken is what Take booked.
type Taken struct {
	*Entry
	Out     []Need
	In      []Lot  // new offcuts
	Back    []Need // what recuts did not need after all
	Gone    []Lot  // offcuts that recuts used, or whose sheets they planned anew
	Unknown []Need // what the register keeps no book of
	Recuts  int    // that are booked with it
	Again   bool   // the batch was booked out before; these are recuts since
}

// Take books out what a job takes and its new offcuts in, once. Where it was planned anew at the saw, the sheets are those of
// then, bad ones among them; recuts that were made since it was booked out are booked by the next Take, each once.
func (r *Register) Take(by By, j *batch.Job) (*Taken, error) {
	var t Taken
	e, err := r.book(by, Cut, func(tx *sql.Tx, s *Stock) (*booking, error) {
		c, err := cutting(tx, j.Batch.Name+"-"+j.Digest)
		if err != nil {
			return nil, err
		}
		cut, err := cuts(tx, math.MaxInt64)
		if err != nil {
			return nil, err
		}
		b := &booking{Batch: j.Batch.Name, Digest: j.Digest, Recuts: max(0, len(c.Plans)-1)}
		if booked := bookedOut(cut, j.Digest); len(booked) > 0 {
			return b, t.again(b, s, j, c, cut, booked)
		}
		from := planned(j)
		if b.Recuts > 0 {
			t.Recuts, from = b.Recuts, c.used(j.Batch.Shop)
		}
		if err := t.out(b, s, j, needsOf(j, from), cut); err != nil {
			return nil, err
		}
		t.in(b, s, from)
		return b, nil
	})
	t.Entry = e
	return &t, err
}

// out draws what a job needs. What the stock is short of is told all at once.
func (t *Taken) out(b *booking, s *Stock, j *batch.Job, all []Need, before []cutBatch) error {
	var short []string
	next := s.next()
	come := func(l Lot, q Quantity) { // what came in at a time that the register does not know, and goes out now
		l.Number = next
		b.Lots, b.Moves = append(b.Lots, l), append(b.Moves, Move{next, q})
		next++
	}
	for _, n := range all {
		release, label, ofRelease := strings.Cut(n.Label, "/")
		h := s.Offcut(n.Label)
		switch {
		case n.Kind == Offcut && ofRelease && j.Batch.Sibling(release) != "" && h == nil:
			moves, lacks := s.drawLeft(label, n.Quantity, lastCut(before, j.Batch.Sibling(release)))
			if lacks > 0 {
				short = append(short, fmt.Sprintf("%s: it is left by release %s, which is not booked out, or it was used since", n.Title(j.Batch.Shop.Style), release))
			}
			b.Moves = append(b.Moves, moves...)
		case n.Kind == Offcut && h == nil: // it stands in the shop file alone
			come(Lot{Key: n.Key}, One)
			b.Moves = append(b.Moves, Move{next - 1, -One})
		case n.Kind == Offcut && h.Undone && h.Left == 0:
			b.Moves = append(b.Moves, Move{h.Number, One}, Move{h.Number, -One})
		case n.Kind == Sheet && !s.knowsSize(n.Key) && limited(j.Batch.Shop, n.Key) >= n.Quantity: // until now the shop file alone kept count of it
			come(Lot{Key: n.Key}, limited(j.Batch.Shop, n.Key))
			b.Moves = append(b.Moves, Move{next - 1, -n.Quantity})
		case n.Kind != Offcut && !s.Knows(n.Kind, n.Item):
			t.Unknown = append(t.Unknown, n)
			continue
		default:
			moves, lacks := s.draw(n.Key, n.Quantity)
			if lacks > 0 {
				short = append(short, fmt.Sprintf("%s: the batch takes %s; on hand: %s", n.Title(j.Batch.Shop.Style), n.Quantity.With(n.Unit), (n.Quantity-lacks).With(n.Unit)))
			}
			b.Moves = append(b.Moves, moves...)
		}
		t.Out = append(t.Out, n)
	}
	if len(short) > 0 {
		return fmt.Errorf("%s\nhint: receive or count what came in since; nothing was booked", strings.Join(short, "\n"))
	}
	return nil
}

// limited returns how many sheets of a size the shop file says there are; 0 where it does not limit them.
func limited(in *shop.Shop, k Key) (sum Quantity) {
	m := in.Material(k.Item)
	if m == nil {
		return 0
	}
	for _, sheet := range m.Sheets {
		if sheet.Stock > 0 && sheet.Layers == nil && sheetKey(m, sheet) == k {
			sum += One * Quantity(sheet.Stock)
		}
	}
	return sum
}

// lastCut returns the last entry that booked a batch out as a whole, 0 where there is none.
func lastCut(cuts []cutBatch, name string) (entry int64) {
	for _, c := range cuts {
		if c.Batch == name && c.Adds == 0 {
			entry = c.entry
		}
	}
	return entry
}

// leftBy reports whether a lot is an offcut that an entry left, by the label that was printed.
func (h *Held) leftBy(entry int64, label string) bool {
	as := labelOf(entry, label)
	return h.Label == as || strings.HasPrefix(h.Label, as+".")
}

// labelOf labels an offcut by the entry that brings it in and by what is printed. No other offcut has such a label: entries
// are numbered once.
func labelOf(entry int64, printed string) string { return fmt.Sprintf("%d-%s", entry, printed) }

// drawLeft returns the moves that take offcuts which an entry left, by the label that was printed, and how many are missing.
func (s *Stock) drawLeft(label string, q Quantity, entry int64) (moves []Move, short Quantity) {
	for _, h := range s.Lots {
		if take := min(q, h.Left); take > 0 && h.leftBy(entry, label) {
			moves = append(moves, Move{h.Number, -take})
			q -= take
		}
	}
	return moves, q
}

// in brings the offcuts that a job leaves in.
func (t *Taken) in(b *booking, s *Stock, from []sawn) {
	next := s.next() + int64(len(b.Lots))
	for _, of := range from {
		for _, o := range of.offcuts {
			for copied := range of.times {
				label := labelOf(s.Sequence+1, of.label(o.Label, copied+1))
				l := Lot{Number: next, Key: Key{Kind: Offcut, Item: of.material.ID, Length: o.Length, Width: o.Width, Across: of.sheet.GrainAcross, Label: label}}
				b.Lots, b.Moves = append(b.Lots, l), append(b.Moves, Move{next, One})
				t.In = append(t.In, l)
				next++
			}
		}
	}
}

// Undo takes an entry back; 0 is the newest that can be. Its number stays used.
func (r *Register) Undo(by By, number int64) (undone *Entry, err error) {
	_, err = r.book(by, Undone, func(tx *sql.Tx, s *Stock) (*booking, error) {
		if undone, err = undoable(tx, number); err != nil {
			return nil, err
		}
		var b booking
		if err := json.Unmarshal(undone.Body, &b); err != nil {
			return nil, err
		}
		if undone.Kind == Cut {
			cut, err := cuts(tx, math.MaxInt64)
			if err != nil {
				return nil, err
			}
			if last := lastOf(bookedOut(cut, b.Digest)); last != undone.Sequence {
				return nil, fmt.Errorf("entry %d cannot be undone: entry %d adds recuts to it\nhint: undo that first", undone.Sequence, last)
			}
		}
		back := &booking{Batch: b.Batch, Digest: b.Digest, Undoes: undone.Sequence}
		change := map[int64]Quantity{}
		for _, m := range slices.Backward(b.Moves) { // what came in and went out at once never falls below zero
			back.Moves = append(back.Moves, Move{m.Lot, -m.Quantity})
			change[m.Lot] -= m.Quantity
		}
		for _, h := range s.Lots {
			if h.Left+change[h.Number] < 0 {
				return nil, fmt.Errorf("entry %d cannot be undone: what came in by it has gone since (lot %d, %s)\nhint: undo later entries first; sawbook stock history lists them", undone.Sequence, h.Number, h.Item)
			}
		}
		return back, nil
	})
	return undone, err
}

// undoable returns the entry with a number, or the newest, that moves stock and was not taken back.
func undoable(tx *sql.Tx, number int64) (found *Entry, err error) {
	err = entries(tx, max(number, 1), func(e *Entry) error {
		var by int64
		err := tx.QueryRow("SELECT by FROM undone WHERE seq = ?", e.Sequence).Scan(&by)
		moves := e.Kind == Received || e.Kind == Counted || e.Kind == Kept || e.Kind == Cut
		switch {
		case err != nil && !errors.Is(err, sql.ErrNoRows):
			return err
		case err != nil && moves && (number == 0 || number == e.Sequence):
			found = e
		case number == e.Sequence && err == nil:
			return fmt.Errorf("entry %d is undone already, by entry %d\nhint: book it anew", number, by)
		case number == e.Sequence:
			return fmt.Errorf("entry %d is %s, and moves no stock that could be brought back\nhint: sawbook stock history lists the entries", number, e.Kind)
		}
		return nil
	})
	if err == nil && found == nil {
		err = errors.New("there is no such entry to undo\nhint: sawbook stock history lists the entries")
	}
	return found, err
}
