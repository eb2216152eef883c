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
	if n := len(plans.found.known); n != 0 {
		t.Errorf("%d plans are remembered", n)
	}
	plan, err := plans.solve(context.Background(), oneSheet(700), nest.Options{Effort: nest.Quick})
	if err != nil {
		t.Fatal(err)
	}
	again, _ := plans.solve(context.Background(), oneSheet(700), nest.Options{Effort: nest.Quick})
	if plan != again || len(plans.found.known) != 1 {
		t.Errorf("the plan is not remembered")
	}
}

// Plans that come back are not tidied again; a plan that is another one is.
func TestTidiedPlansAreRemembered(t *testing.T) {
	var plans Plans
	tidied := func(length int64, r nest.Rules) *nest.Plan {
		p := oneSheet(length)
		plan, err := plans.solve(t.Context(), p, nest.Options{Effort: nest.Quick})
		if err != nil {
			t.Fatal(err)
		}
		return plans.tidied(t.Context(), []nest.Planned{{Problem: &p, Plan: plan}}, r)[0].Plan
	}
	first := tidied(700, nest.Rules{})
	tidied(710, nest.Rules{})
	if tidied(700, nest.Rules{}) != first || len(plans.tidy.known) != 2 {
		t.Errorf("%d sets of plans were tidied, not 2", len(plans.tidy.known))
	}
	tidied(700, nest.Rules{Cut: 40})
	if len(plans.tidy.known) != 3 {
		t.Error("other rules tidy nothing else")
	}
}

// The oldest plans are forgotten, so that a page that stays open takes no more memory.
func TestPlansAreBounded(t *testing.T) {
	var plans Plans
	for i := range mostKnown + 10 {
		plans.found.entry(fmt.Sprint(i))
	}
	if len(plans.found.known) != mostKnown || len(plans.found.asked) != mostKnown {
		t.Errorf("%d plans are remembered, %d asked for", len(plans.found.known), len(plans.found.asked))
	}
	if plans.found.known["9"] != nil || plans.found.known["10"] == nil {
		t.Error("others than the oldest are forgotten")
	}
}
