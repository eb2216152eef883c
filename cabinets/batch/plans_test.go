package batch

import (
	"context"
	"fmt"
	"testing"

	"sawbook/nest"
)

// oneSheet is a problem that differs by the length of its part.
func oneSheet(length int64) nest.Problem {
	return nest.Problem{
		Parts:  []nest.Part{{Length: length, Width: 400, Count: 30}},
		Sheets: []nest.Sheet{{Length: 2500, Width: 1250, Price: 74, Stock: -1}},
	}
}

// What the end of a context cut short is not remembered.
func TestPlansForgetWhatWasCutShort(t *testing.T) {
	var plans Plans
	ended, end := context.WithCancel(context.Background())
	end()
	if _, err := plans.solve(ended, oneSheet(700), nest.Options{Effort: nest.Quick}); err != nil {
		t.Fatal(err)
	}
	if n := len(plans.known); n != 0 {
		t.Errorf("%d plans are remembered", n)
	}
	plan, err := plans.solve(context.Background(), oneSheet(700), nest.Options{Effort: nest.Quick})
	if err != nil {
		t.Fatal(err)
	}
	again, _ := plans.solve(context.Background(), oneSheet(700), nest.Options{Effort: nest.Quick})
	if plan != again || len(plans.known) != 1 {
		t.Errorf("the plan is not remembered")
	}
}

// The oldest plans are forgotten, so that a page that stays open takes no more memory.
func TestPlansAreBounded(t *testing.T) {
	var plans Plans
	for i := range mostPlans + 10 {
		plans.entry(fmt.Sprint(i))
	}
	if len(plans.known) != mostPlans || len(plans.asked) != mostPlans {
		t.Errorf("%d plans are remembered, %d asked for", len(plans.known), len(plans.asked))
	}
	if plans.known["9"] != nil || plans.known["10"] == nil {
		t.Error("others than the oldest are forgotten")
	}
}
