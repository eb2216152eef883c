// Package load reckons with masses in a vehicle: what falls on which axle, and the forces
// that a rule for load restraint asks holding-down to bear. It is a leaf of plain numbers.
//
// Such rules describe braking and cornering. None of this says anything about a crash.
package load

// Gravity is the standard acceleration in m/s2.
const Gravity = 9.80665

// Split returns what of a mass falls on the front and on the rear axle, from the statics of
// a beam on two supports: rear = A G/R, front = G - rear, where A is how far behind the
// front axle the mass stands, in the unit of the wheelbase R. A part beyond an axle lifts the
// other one: its share is negative.
func Split(mass, behind, wheelbase float64) (front, rear float64) {
	rear = mass * behind / wheelbase
	return mass - rear, rear
}

// Sides returns what of a mass falls on the left and on the right wheels, where it stands so
// far to the right of the middle, and the wheels of an axle stand a track apart.
func Sides(mass, right, track float64) (l, r float64) {
	r = mass * (0.5 + right/track)
	return mass - r, r
}

// Rule is a published rule for load restraint: accelerations as multiples of gravity.
type Rule struct {
	Name                string
	Forward, Side, Rear float64
	Tipping             float64 // to the side for what may tip; 0 is as Side
	About               string
}

// Rules are the rules that a layout may name.
var Rules = []Rule{
	{Name: "EN 12195-1", Forward: 0.8, Side: 0.5, Rear: 0.5, Tipping: 0.6, About: "road vehicles"},
	{Name: "VDI 2700-16, to 2.0 t", Forward: 0.9, Side: 0.7, Rear: 0.5, About: "small vans up to 2.0 t"},
	{Name: "VDI 2700-16, 2.0 to 3.5 t", Forward: 0.8, Side: 0.6, Rear: 0.5, About: "small vans from 2.0 to 3.5 t"},
}

// RuleNamed returns a rule by its name, nil where there is none.
func RuleNamed(name string) *Rule {
	for i := range Rules {
		if Rules[i].Name == name {
			return &Rules[i]
		}
	}
	return nil
}

// Names lists the rules' names.
func Names() []string {
	names := make([]string, len(Rules))
	for i, r := range Rules {
		names[i] = r.Name
	}
	return names
}

// Forces are what a rule asks of the holding-down of a mass, in N.
type Forces struct{ Forward, Side, Rear float64 }

// Of returns the forces on a mass in kg; tips says that it is likelier to tip than to slide,
// as what is taller than it is wide.
func (r *Rule) Of(mass float64, tips bool) Forces {
	side := r.Side
	if tips && r.Tipping > 0 {
		side = r.Tipping
	}
	weight := mass * Gravity
	return Forces{r.Forward * weight, side * weight, r.Rear * weight}
}
