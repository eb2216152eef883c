package diagram

import (
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/output/draw"
)

// Every interior of the demo, from above and its walls, on each paper: every cabinet is named on a wall and on the plan, in
// place or by a letter ("bench-2" may stand on two rows), no text lies over another or leaves the page, no dimension is under 3.5 mm, and the
// scale is that which is printed: the inside is as long as it says.
func TestInteriorViews(t *testing.T) {
	folder := openDemo(t)
	b := folder.Load(filepath.Join(demoFolder, "batches", "spring.yaml"), nil)
	interiors, _ := b.Interiors()
	if len(interiors) < 2 {
		t.Fatalf("%d interiors", len(interiors))
	}
	for _, paper := range []Paper{A4, Letter} {
		style := measure.Style{}
		if paper == Letter {
			style.Unit = measure.Inches
		}
		width, height := paper.Room()
		for _, in := range interiors {
			plan, walls := Plan(in, "", style, width, height), Elevations(in, style, width, height)
			if len(walls) != 2 {
				t.Fatalf("%s: %d walls", in.Title(), len(walls))
			}
			all := append([]draw.Drawing{plan}, walls...)
			var onPlan, onWalls string
			for i := range all {
				checkPage(t, &all[i])
				text := words(&all[i])
				if length := style.Format(in.Layout.Inside[cabinets.X]); !slices.Contains(strings.Split(text, "\n"), length) {
					t.Errorf("%s: the length %s is missing", all[i].Title, length)
				}
				if i == 0 {
					onPlan = text
				} else {
					onWalls += text
				}
				for _, s := range all[i].Shapes {
					if v, is := s.(draw.Text); is && dimension.MatchString(v.Text) && len(v.Text) > 1 && v.Size < 3.5 {
						t.Errorf("%s: dimension %q is %v mm high", all[i].Title, v.Text, v.Size)
					}
				}
			}
			for i := range in.Cabinets {
				name := in.Cabinets[i].Name
				if !named(onPlan, name) {
					t.Errorf("%s: %s is not named on the plan", in.Title(), name)
				}
				if !named(onWalls, name) {
					t.Errorf("%s: %s is not named on a wall", in.Title(), name)
				}
			}
			look(t, "interior "+in.Title()+" "+paper.Name, all)
		}
	}
}

// On a narrow screen no line and no dot, dimensions apart, runs through a cabinet's name.
func TestNoLineCrossesAName(t *testing.T) {
	interiors, _ := openDemo(t).Load(filepath.Join(demoFolder, "batches", "spring.yaml"), nil).Interiors()
	for _, in := range interiors {
		d := Plan(in, "", measure.Style{}, 100, 150)
		for _, s := range d.Shapes {
			name, is := s.(draw.Text)
			if !is || !slices.ContainsFunc(in.Cabinets, func(c cabinets.Placed) bool { return c.Name == name.Text }) {
				continue
			}
			for _, o := range d.Shapes {
				switch o.(type) {
				case draw.Line, draw.Circle:
					if extentOf(o).inset(-0.05).overlaps(boxOf(name)) {
						t.Errorf("%s: %v runs through %q", d.Title, o, name.Text)
					}
				}
			}
		}
	}
}

// words are the texts of a drawing, one a line.
func words(d *draw.Drawing) (all string) {
	for _, s := range d.Shapes {
		if v, is := s.(draw.Text); is {
			all += v.Text + "\n"
		}
	}
	return all
}

// named reports whether a name stands in texts, on a row of its own, on two, or after a letter.
func named(texts, name string) bool {
	return strings.Contains("\n"+texts, "\n"+name+"\n") || strings.Contains(texts, " = "+name+"\n") || strings.Contains(strings.ReplaceAll(texts, "\n", ""), name)
}

// Looking at the left wall the front is at the right, at the right wall at the left: a cabinet at the front of each
// stands there. In a layout y runs to the right of who looks forward, as x, y and z do by the right hand.
func TestWallsFaceTheirWay(t *testing.T) {
	folder := openDemo(t)
	b := folder.Load(filepath.Join(demoFolder, "layouts", "curlew.yaml"), nil)
	in := b.Vehicles[0].Interior
	for _, right := range []bool{false, true} {
		w := newWall(in, right, measure.Style{})
		w.scale = 20
		whole := w.paper(w.whole)
		front := slices.MinFunc(w.cabinets, func(a, b *cabinets.Placed) int { return int((a.Box.Hi[0] - b.Box.Hi[0]).MM()) })
		at := w.paper(front.Box)
		if atLeft := (at.x1+at.x2)/2 < (whole.x1+whole.x2)/2; atLeft != right {
			t.Errorf("right wall %v: %s, at the front, stands at %+v of %+v", right, front.Name, at, whole)
		}
	}
}
