package book

import (
	"strings"
	"testing"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/output/internal/sample"
)

// Latin, Greek and Cyrillic names print; a letter of another script is found wherever it stands,
// with the name and the place.
func TestUnprintable(t *testing.T) {
	job := sample.Small(measure.Style{})
	job.Batch.Shop.Name = "Łódź Ýmir Βήτα Щука"
	if found := Unprintable(job.Batch); len(found) > 0 {
		t.Errorf("found without need: %v", found)
	}
	in := job.Batch.Vehicles[0].Interior
	for _, test := range []struct {
		place       *string
		text, where string
	}{
		{&job.Batch.Shop.Name, "漢 Fit-Out", "shop"},
		{&job.Batch.Name, "春", "batch"},
		{&job.Batch.Shop.Materials[0].Name, "Birch 🌲", "material birch-12"},
		{&job.Batch.Shop.Hardware[0].Name, "ヒンジ", "hardware hinge"},
		{&job.Batch.Vehicles[1].Serial, "א-2", "vehicle"},
		{&in.Layout.Name, "ダンリン", "layout"},
		{&in.Cabinets[0].Name, "箱", "ダンリン + long: 箱"},
		{&in.Cabinets[0].Solid.Parts[0].Name, "板", "ダンリン + long: 箱"},
	} {
		*test.place = test.text
		count := 0
		for _, f := range Unprintable(job.Batch) {
			if f.Where == test.where && strings.Contains(f.Text, test.text) && f.Level == cabinets.LevelWarning {
				count++
			}
		}
		if count != 1 {
			t.Errorf("%q at %s is found %d times: %v", test.text, test.where, count, Unprintable(job.Batch))
		}
	}
	in.Cabinets[0].Contents = []cabinets.Content{{What: "鍋", Reach: "open the 扉"}}
	contents := 0
	for _, f := range Unprintable(job.Batch) {
		if strings.HasSuffix(f.Where, ": contents") {
			contents++
		}
	}
	if contents != 2 {
		t.Errorf("%d findings of contents, want 2", contents)
	}
}
