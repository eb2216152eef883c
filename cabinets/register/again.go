package register

import (
	"fmt"
	"slices"
	"strings"

	"sawbook/cabinets/batch"
)

// bookedOut lists the bookings of one job, by its digest: the first, then those of recuts since, in their order.
func bookedOut(cut []cutBatch, digest string) []cutBatch {
	return slices.DeleteFunc(slices.Clone(cut), func(c cutBatch) bool { return c.Digest != digest })
}

// lastOf returns the number of the last of some bookings.
func lastOf(booked []cutBatch) int64 { return booked[len(booked)-1].entry }

// again books the recuts that were made since a job was booked out: the difference between what was used then and now.
func (t *Taken) again(b *booking, s *Stock, j *batch.Job, c *Cutting, cut, booked []cutBatch) error {
	newest := lastOf(booked)
	then := Cutting{Name: c.Name}
	for i, p := range c.Plans {
		if i == 0 || p.Entry < newest { // the first is what was printed, even where it came to the saw later
			then.Plans = append(then.Plans, p)
		}
	}
	if t.Again, t.Recuts = true, len(c.Plans)-len(then.Plans); t.Recuts == 0 {
		recuts := ""
		if len(c.Plans) > 1 {
			recuts = ", with all recuts"
		}
		return fmt.Errorf("%s-%s is booked out already, by entry %d%s\nhint: sawbook stock undo %d takes that back", j.Batch.Name, j.Digest, newest, recuts, newest)
	}
	b.Adds = booked[0].entry
	was, now := then.used(j.Batch.Shop), c.used(j.Batch.Shop)
	if err := t.out(b, s, j, beyond(needsOf(j, now), needsOf(j, was)), cut); err != nil {
		return err
	}
	drawn := drawnBy(booked)
	for _, n := range beyond(needsOf(j, was), needsOf(j, now)) {
		t.back(b, s, j, n, cut, drawn)
	}
	t.gone(b, s, offcutsBeyond(was, now), booked)
	t.in(b, s, offcutsBeyond(now, was))
	return nil
}

// beyond lists what some needs come to more than others.
func beyond(these, others []Need) (more []Need) {
	for _, n := range these {
		for _, o := range others {
			if o.Key == n.Key {
				n.Quantity -= o.Quantity
			}
		}
		if n.Quantity > 0 {
			more = append(more, n)
		}
	}
	return more
}

// drawnBy tells how much of each lot bookings took, less what they gave back. What a lot brought in with it is not given back.
func drawnBy(booked []cutBatch) map[int64]Quantity {
	drawn := map[int64]Quantity{}
	for _, c := range booked {
		for _, m := range c.Moves {
			if m.Quantity < 0 || !slices.ContainsFunc(c.Lots, func(l Lot) bool { return l.Number == m.Lot }) {
				drawn[m.Lot] -= m.Quantity
			}
		}
	}
	return drawn
}

// back gives what is not needed after all to the lots that it was drawn from, the newest first.
func (t *Taken) back(b *booking, s *Stock, j *batch.Job, n Need, cut []cutBatch, drawn map[int64]Quantity) {
	release, label, _ := strings.Cut(n.Label, "/")
	left := n.Quantity
	for _, h := range slices.Backward(s.Lots) {
		is := h.Key == n.Key || n.Kind == Offcut && j.Batch.Sibling(release) != "" && h.leftBy(lastCut(cut, j.Batch.Sibling(release)), label)
		if q := min(left, drawn[h.Number]); is && q > 0 {
			b.Moves = append(b.Moves, Move{h.Number, q})
			left -= q
		}
	}
	if n.Quantity -= left; n.Quantity > 0 {
		t.Back = append(t.Back, n)
	}
}

// gone takes out the offcuts of bookings before that recuts used, or whose sheets they planned anew. Somebody may have
// counted them away already.
func (t *Taken) gone(b *booking, s *Stock, from []sawn, booked []cutBatch) {
	for _, of := range from {
		for _, o := range of.offcuts {
			label := of.label(o.Label, 1)
			for _, h := range s.Lots {
				if h.Left > 0 && slices.ContainsFunc(booked, func(c cutBatch) bool { return h.Label == labelOf(c.entry, label) }) {
					b.Moves = append(b.Moves, Move{h.Number, -h.Left})
					t.Gone = append(t.Gone, h.Lot)
				}
			}
		}
	}
}

// offcutsBeyond lists the offcuts of some sheets, each cut once, that others do not leave, with their sheets.
func offcutsBeyond(these, others []sawn) (more []sawn) {
	left := map[string]bool{}
	for _, of := range others {
		for _, o := range of.offcuts {
			left[of.label(o.Label, 1)] = true
		}
	}
	for _, of := range these {
		of.offcuts = slices.DeleteFunc(slices.Clone(of.offcuts), func(o SawOffcut) bool { return left[of.label(o.Label, 1)] })
		more = append(more, of)
	}
	return more
}
