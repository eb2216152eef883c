package table

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"sawbook/cabinets/batch"
	"sawbook/output/internal/sample"
)

// What is on hand is not bought; where nobody keeps book, the place is empty.
func TestBuys(t *testing.T) {
	job := sample.Small(metric)
	job.Batch.Memory = &batch.Memory{Left: map[string]int64{"item felt 0 0 false ": 1500, "item oak-2 0 0 false ": 120}}
	want := [][]string{
		{"birch-12 1000 x 600 mm", "Birch plywood 12 mm", "2", "", "sheets", "2", "sheet", "12.50", "25.00"},
		{"oak-2", "Oak band", "2.12", "0.12", "m", "1", "roll of 50 m", "62.00", "62.00"},
		{"felt", "Felt tape", "1.04", "1.5", "m", "0", "roll of 10 m", "", ""},
		{"hinge", "Butt hinge", "4", "", "each", "1", "pack of 10", "9.90", "9.90"},
		{"total", "", "", "", "", "", "", "", "96.90"},
	}
	if diff := cmp.Diff(want, printed(Buys(job))); diff != "" {
		t.Error(diff)
	}
	csv := "\ufeffitem,name,need,on_hand,unit,buy,pack,price_EUR,cost_EUR\r\n" +
		"oak-2,Oak band,2.12,0.12,m,1,roll of 50 m,62.00,62.00\r\n" +
		"hinge,Butt hinge,4,,each,1,pack of 10,9.90,9.90\r\n"
	job.Materials = nil
	if diff := cmp.Diff(csv, written(t, Low(job).WriteCSV)); diff != "" {
		t.Error(diff)
	}
}

func TestLarger(t *testing.T) {
	job := sample.Small(inches)
	m := &job.Materials[0]
	job.Larger = []batch.Larger{{Least: m.Stock[0],
		Now:  batch.SheetUse{Material: m.Of, Sheets: 3, Cost: 3000, Area: 2, Parts: 1.5},
		With: batch.SheetUse{Material: m.Of, Sheets: 2, Bound: 1, Cost: 2500, Least: 1250, Area: 2, Parts: 1.2, Kept: 0.3}}}
	want := [][]string{{"birch-12", "~39 3/8 x ~23 5/8 in", "3", "1", "2", "30.00", "12.50", "25.00", "25.0 %", "25.0 %"}}
	if diff := cmp.Diff(want, printed(Larger(job))); diff != "" {
		t.Error(diff)
	}
}
