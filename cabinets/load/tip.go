package load

// Tip weighs what tips something over a line against what keeps it from that: the sums of
// moments about the line, in Nm.
type Tip struct{ Over, Back float64 }

// Tips reports whether it goes over.
func (t Tip) Tips() bool { return t.Over > t.Back }

// Lean returns the moments on a drawer of a mass in kg about one slide of its pair, where it is
// pushed to that side by a multiple of gravity. The slides are so far apart, and its centre of mass
// in the middle, so far above them or below: mm.
func Lean(mass, push, above, apart float64) Tip {
	weight := mass * Gravity / 1000 // N, and m from mm
	return Tip{Over: weight * push * max(above, -above), Back: weight * apart / 2}
}

// Add adds a mass in kg that stands so far behind the line, or before it where that is below 0: mm.
func (t *Tip) Add(mass, behind float64) {
	if moment := mass * Gravity / 1000 * behind; moment > 0 {
		t.Back += moment
	} else {
		t.Over -= moment
	}
}

// Pull returns the force in N that is missing, and would have to be applied so many mm above the
// line; 0 where it stands by itself.
func (t Tip) Pull(height float64) float64 {
	return max(t.Over-t.Back, 0) / height * 1000
}
