package diagram

import (
	"testing"

	"sawbook/cabinets/batch"
)

func TestStacks(t *testing.T) {
	for _, test := range []struct {
		times, stack int
		want         string
	}{{7, 3, ", in 3 stacks"}, {7, 0, ""}, {7, 1, ""}, {1, 3, ""}, {3, 3, ", in one stack"}, {4, 3, ", in 2 stacks"}} {
		if got := stacks(&batch.Pattern{Times: test.times}, test.stack); got != test.want {
			t.Errorf("%d sheets in stacks of %d: %q, want %q", test.times, test.stack, got, test.want)
		}
	}
}
