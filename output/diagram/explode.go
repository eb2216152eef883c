package diagram

import (
	"cmp"
	"math"
	"slices"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/output/diagram/scene"
)

// spreads are how much further from the middle of the cabinet each part moves: as little
// as shows all of them.
var spreads = []float64{0.2, 0.3, 0.45, 0.7, 1.1}

// clearing is the gap to an assembly that was drawn off, as a share of the cabinet's
// longest side.
const clearing = 0.08

// explode returns how far to move each part of a solid to take it apart: every part away
// from the middle, in proportion to how far it lies from it, which keeps parts
// apart; and assemblies that can be drawn off the others without meeting them, such as
// drawers, lids and doors, along that way until they are clear of them.
func explode(s *cabinets.Solid, spread float64) [][3]measure.Length {
	moved := make([][3]measure.Length, len(s.Parts))
	boxes := make([]cabinets.Box, len(s.Parts))
	for i := range s.Parts {
		boxes[i] = s.Parts[i].Snapped
		for a := range moved[i] {
			from := (boxes[i].Lo[a] + boxes[i].Hi[a] - s.Outside.Lo[a] - s.Outside.Hi[a]) / 2
			moved[i][a] = measure.Length(math.Round(float64(from) * spread))
		}
	}
	rounds, rest := drawnOff(s)
	for i := range rest {
		boxes[rest[i]] = shifted(boxes[rest[i]], moved[rest[i]])
	}
	placed := extent(boxes, rest)
	gap := measure.Length(clearing * float64(max(s.Outside.Size(0), s.Outside.Size(1), s.Outside.Size(2))))
	for _, round := range slices.Backward(rounds) {
		all := placed
		for _, way := range ways {
			parts := round[way]
			if len(parts) == 0 {
				continue
			}
			for _, i := range parts {
				boxes[i] = shifted(boxes[i], moved[i])
			}
			travel := way.clear(extent(boxes, parts), placed) + gap
			for _, i := range parts {
				moved[i][way.axis] += way.sign * travel
				boxes[i].Lo[way.axis] += way.sign * travel
				boxes[i].Hi[way.axis] += way.sign * travel
			}
			all = around(all, extent(boxes, parts))
		}
		placed = all
	}
	return moved
}

// way is one of the six ways along the axes.
type way struct {
	axis cabinets.Axis
	sign measure.Length
}

// ways are in the order in which they are tried: up, to the front, to the sides, to the
// back, down.
var ways = []way{{cabinets.Z, 1}, {cabinets.Y, -1}, {cabinets.X, 1}, {cabinets.X, -1}, {cabinets.Y, 1}, {cabinets.Z, -1}}

// clear returns how far b must go to be beyond o.
func (w way) clear(b, o cabinets.Box) measure.Length {
	if w.sign > 0 {
		return max(o.Hi[w.axis]-b.Lo[w.axis], 0)
	}
	return max(b.Hi[w.axis]-o.Lo[w.axis], 0)
}

// meets reports whether b, on its way, meets o.
func (w way) meets(b, o cabinets.Box) bool {
	const graze = 10 * measure.Micrometre
	for a := range b.Lo {
		if cabinets.Axis(a) != w.axis && (b.Hi[a] <= o.Lo[a]+graze || o.Hi[a] <= b.Lo[a]+graze) {
			return false
		}
	}
	return w.clear(b, o) > graze
}

// drawnOff returns the parts of the assemblies that can be drawn off, in rounds: those of
// each round once the rounds before it are gone. The rest stays: at least the assembly
// that takes most room.
func drawnOff(s *cabinets.Solid) (rounds []map[way][]int, rest []int) {
	assemblies := map[string][]int{}
	var names []string
	for i := range s.Parts {
		name := s.Parts[i].Assembly
		if assemblies[name] == nil {
			names = append(names, name)
		}
		assemblies[name] = append(assemblies[name], i)
	}
	bodies := make([]scene.Body, len(s.Parts))
	for i := range bodies {
		bodies[i] = bodyOf(&s.Parts[i])
	}
	snapped := make([]cabinets.Box, len(s.Parts))
	for i := range snapped {
		snapped[i] = s.Parts[i].Snapped
	}
	volume := func(name string) float64 {
		b := extent(snapped, assemblies[name])
		return b.Size(0).MM() * b.Size(1).MM() * b.Size(2).MM()
	}
	slices.SortStableFunc(names, func(a, b string) int { return cmp.Compare(volume(b), volume(a)) })
	for {
		round := map[way][]int{}
		stay := names[:1:1]
		for _, name := range names[1:] {
			if w, ok := wayOut(bodies, assemblies, name, names); ok {
				round[w] = append(round[w], assemblies[name]...)
			} else {
				stay = append(stay, name)
			}
		}
		if len(stay) == len(names) {
			for _, name := range names {
				rest = append(rest, assemblies[name]...)
			}
			return rounds, rest
		}
		rounds = append(rounds, round)
		names = stay
	}
}

// wayOut returns the shortest way by which an assembly leaves the others.
func wayOut(bodies []scene.Body, assemblies map[string][]int, name string, others []string) (best way, ok bool) {
	least := measure.Length(math.MaxInt64)
	for _, w := range ways {
		travel, free := measure.Length(0), true
		for _, other := range others {
			if other == name {
				continue
			}
			for _, i := range assemblies[name] {
				for _, k := range assemblies[other] {
					for _, b := range bodies[i] {
						for _, o := range bodies[k] {
							free = free && !w.meets(b, o)
							travel = max(travel, w.clear(b, o))
						}
					}
				}
			}
		}
		if free && travel < least {
			best, least, ok = w, travel, true
		}
	}
	return best, ok
}

func shifted(b cabinets.Box, by [3]measure.Length) cabinets.Box {
	for a := range by {
		b.Lo[a] += by[a]
		b.Hi[a] += by[a]
	}
	return b
}

// around returns the least box around two boxes.
func around(b, o cabinets.Box) cabinets.Box {
	for a := range b.Lo {
		b.Lo[a], b.Hi[a] = min(b.Lo[a], o.Lo[a]), max(b.Hi[a], o.Hi[a])
	}
	return b
}

// extent returns the least box around some of the boxes.
func extent(boxes []cabinets.Box, which []int) cabinets.Box {
	whole := boxes[which[0]]
	for _, i := range which {
		whole = around(whole, boxes[i])
	}
	return whole
}
