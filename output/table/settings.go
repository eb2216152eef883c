package table

import (
	"fmt"
	"strings"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
)

// Settings lists every position of fence and stop, wide to narrow, with all cuts made at
// it.
func Settings(job *batch.Job) *Table {
	type setting = batch.Setting
	return build(job.Batch.Shop, "settings", "Settings", batch.Settings(job),
		length("thickness", "Thick", func(s setting) measure.Length { return s.Thickness }),
		text("cut", "Cut", func(s setting) string {
			if s.Rip {
				return "rip"
			}
			return "crosscut"
		}),
		length("set", "Set", func(s setting) measure.Length { return s.Set }),
		count("made", "Cuts", func(s setting) int { return s.Made() }),
		text("steps", "Made at", settingSteps))
}

// settingSteps lists a setting's cuts by pattern: "A1 × 3: 4-6, 9; A2: 1".
func settingSteps(s batch.Setting) string {
	var patterns []string
	for i := 0; i < len(s.Cuts); {
		first := s.Cuts[i]
		var steps []int
		for ; i < len(s.Cuts) && s.Cuts[i].Pattern == first.Pattern; i++ {
			steps = append(steps, s.Cuts[i].Step)
		}
		name := first.Material.NameOf(first.Pattern)
		if first.Pattern.Times > 1 {
			name += fmt.Sprintf(" × %d", first.Pattern.Times)
		}
		patterns = append(patterns, name+": "+Ranges(steps))
	}
	return strings.Join(patterns, "; ")
}
