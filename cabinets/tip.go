package cabinets

import (
	"fmt"
	"math"

	"sawbook/cabinets/load"
	"sawbook/cabinets/measure"
)

// Drawer is what a drawer with what it holds asks of its slides, when the vehicle brakes or corners.
type Drawer struct {
	Cabinet, Assembly string
	Run               *Run
	Mass              float64 // kg, with what it is made to hold
	Above             float64 // mm, of the centre of mass above the slides
	Push              float64 // across the drawer, as a multiple of gravity
	Along             bool    // that is along the vehicle
	Rule              *load.Rule
	load.Tip                  // over one of its slides
	Guide             float64 // N, where a guide alone keeps it upright; 0 without one
}

// Open is a cabinet with all its drawers drawn, as full as they are made for, at rest.
type Open struct {
	Cabinet  string
	Drawers  int
	Out      float64 // kg that are drawn
	load.Tip         // over its front foot
	Pull     float64 // N at its top that keep it from tipping; 0 where it stands by itself
}

// rule is that of the layout's vehicle, or, where it names none, the first there is.
func (l *Layout) rule() *load.Rule {
	if l.Vehicle != nil && l.Vehicle.Rule != nil {
		return l.Vehicle.Rule
	}
	return &load.Rules[0]
}

// Drawers lists the drawers of which it is known how they run.
func (in *Interior) Drawers() (all []Drawer) {
	in = in.full()
	for i := range in.Cabinets {
		p := &in.Cabinets[i]
		for _, m := range p.Solid.Moves {
			if m.Run != nil {
				all = append(all, in.drawer(p, m))
			}
		}
	}
	return all
}

func (in *Interior) drawer(p *Placed, m Move) Drawer {
	d := Drawer{Cabinet: p.Name, Assembly: m.Assembly, Run: m.Run, Rule: in.Layout.rule(), Along: p.turned(X) == X}
	d.Push = max(d.Rule.Side, d.Rule.Tipping)
	if d.Along {
		d.Push = max(d.Rule.Forward, d.Rule.Rear)
	}
	mass, centre := p.Solid.filled(m)
	d.Mass, d.Above = mass, centre[Z]-m.Run.Line.MM()
	d.Tip = load.Lean(d.Mass, d.Push, d.Above, m.Run.Apart.MM())
	if held := (p.Solid.outsideOf(m.Assembly).Hi[Z] - m.Run.Line).MM(); m.Run.Guided && held > 0 {
		d.Guide = d.Over / held * 1000
	}
	return d
}

// filled returns the mass of what moves with what it is made to hold, and its centre in mm. What it holds
// counts at the middle of its outside.
func (s *Solid) filled(m Move) (mass float64, centre [3]float64) {
	mass, centre = s.moved(m.Assembly)
	if m.Run == nil || m.Run.Load == 0 {
		return mass, centre
	}
	box, whole := s.outsideOf(m.Assembly), mass+m.Run.Load
	for a := range centre {
		middle := (box.Lo[a] + box.Hi[a]).MM() / 2
		centre[a] = (float64(mass*centre[a]) + float64(m.Run.Load*middle)) / whole
	}
	return whole, centre
}

// outsideOf returns the outside of an assembly.
func (s *Solid) outsideOf(assembly string) (box Box) {
	for _, a := range s.assemblies() {
		if a.name == assembly {
			box = a.box
		}
	}
	return box
}

// Opened lists the cabinets that have drawers, with all of these drawn.
func (in *Interior) Opened() (all []Open) {
	in = in.full()
	for i := range in.Cabinets {
		if o, has := in.Cabinets[i].opened(); has {
			all = append(all, o)
		}
	}
	return all
}

func (p *Placed) opened() (o Open, has bool) {
	o.Cabinet = p.Name
	s := p.Solid
	foot := s.foot().MM()
	drawn := map[string]bool{}
	for _, m := range s.Moves {
		if m.Is != "drawer" {
			continue
		}
		drawn[m.Assembly] = true
		travel := s.outsideOf(m.Assembly).Size(Y)
		if m.Run != nil && m.Run.Travel > 0 {
			travel = m.Run.Travel
		}
		mass, centre := s.filled(m)
		o.Drawers++
		o.Out += mass
		o.Add(mass, centre[Y]-travel.MM()-foot)
	}
	for i := range s.Parts {
		if part := &s.Parts[i]; !drawn[part.Assembly] {
			o.Add(part.Mass, (part.Snapped.Lo[Y]+part.Snapped.Hi[Y]).MM()/2-foot)
		}
	}
	for i := range s.Hardware {
		o.Add(s.Hardware[i].Mass(), (s.Outside.Lo[Y]+s.Outside.Hi[Y]).MM()/2-foot)
	}
	o.Pull = o.Tip.Pull(s.Outside.Size(Z).MM())
	return o, o.Drawers > 0
}

// foot returns how far back the foremost point lies that a cabinet stands on: behind a toe kick, where
// that is sawn out.
func (s *Solid) foot() measure.Length {
	foot := s.Outside.Hi[Y]
	for i := range s.Parts {
		p := &s.Parts[i]
		if p.Box.Lo[Z] > s.Outside.Lo[Z]+same {
			continue
		}
		front := p.Box.Lo[Y]
		for _, o := range p.openings {
			if o.Lo[Z] <= p.Box.Lo[Z]+same && o.Lo[Y] <= front+same {
				front = max(front, o.Hi[Y])
			}
		}
		foot = min(foot, front)
	}
	return foot
}

// tips finds drawers that tip over their slides, cabinets that nothing holds when their drawers are open, and what is
// too much for drawers.
func (in *Interior) tips() {
	for _, d := range in.Drawers() {
		if !d.Tips() || d.Run.Guided {
			continue
		}
		way := "to the side"
		if d.Along {
			way = "along the vehicle"
		}
		in.find(LevelWarning, d.Cabinet+": "+d.Assembly,
			fmt.Sprintf("is tall for its width: %s g %s (%s) tip it over one of its slides, %.0f Nm against the %.0f Nm of its weight, and no guide holds its top", kilograms(d.Push), way, d.Rule.Name, math.Ceil(d.Over), math.Floor(d.Back)),
			"guide its top, put slides at top and bottom, make it wider or lower, or let it hold less and lower down; statics of braking and cornering, not of a crash")
	}
	for i := range in.Cabinets {
		in.overfull(&in.Cabinets[i])
	}
	if in.Layout.Vehicle == nil {
		return
	}
	for i := range in.Cabinets {
		p := &in.Cabinets[i]
		if o, has := p.opened(); has && o.Tips() && p.Fixings.Count < 0 {
			in.find(LevelWarning, p.Name,
				fmt.Sprintf("tips forward at rest once its drawers are open and full: %.0f Nm over its front foot, %.0f Nm back, and no fixings are declared", math.Ceil(o.Over), math.Floor(o.Back)),
				fmt.Sprintf("fix it near its top, where it pulls with %.0f N then, and let its latches keep all drawers but one shut", math.Ceil(o.Pull)))
		}
	}
}

// overfull finds a cabinet of nothing but drawers that keeps more than their slides were chosen for. Where something
// else opens, nobody says what lies in a drawer.
func (in *Interior) overfull(p *Placed) {
	made, kept := 0.0, 0.0
	for _, m := range p.Solid.Moves {
		if m.Run == nil || m.Run.Load == 0 {
			return
		}
		made += m.Run.Load
	}
	for _, c := range p.Contents {
		kept += c.Mass
	}
	if len(p.Solid.Moves) == 0 || kept <= made {
		return
	}
	keeps, holds := Beyond(kept, made)
	in.find(LevelWarning, p.Name, fmt.Sprintf("keeps %s kg, and its drawers are made to hold %s kg in all", keeps, holds),
		"keep less in it, or make its drawers for more, so that stronger slides are chosen")
}
