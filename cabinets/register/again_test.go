package register

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

// Of what bookings took, only what they have not given back yet can be given back. What the shop file alone kept count of
// came in whole with the booking that took of it; a new offcut was not taken from anywhere.
func TestDrawn(t *testing.T) {
	first := cutBatch{1, booking{Lots: []Lot{{Number: 7}, {Number: 9}}, Moves: []Move{{2, -2 * One}, {7, 5 * One}, {7, -3 * One}, {9, One}}}}
	again := cutBatch{4, booking{Moves: []Move{{2, One}, {9, -One}}}}
	if diff := cmp.Diff(map[int64]Quantity{2: One, 7: 3 * One, 9: One}, drawnBy([]cutBatch{first, again})); diff != "" {
		t.Error(diff)
	}
}
