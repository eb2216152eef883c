package nest

import (
	"cmp"
	"slices"
)

// mostSingly is up to how many copies parts are placed one by one from the start.
const mostSingly = 2000

// copies returns how many parts are asked for.
func (m *model) copies() int {
	n := 0
	for i := range m.kinds {
		n += m.kinds[i].count
	}
	return n
}

// bulk cuts most of a large demand by repeated patterns: one sheet is filled greedily, and
// used as often as the demand for its parts allows, until few copies are left. It returns
// the patterns and the demand that remains.
func (m *model) bulk() ([]cutting, []int) {
	demand := m.demand()
	copies := m.copies()
	var fixed []cutting
	used := make([]int, len(m.stocks))
	largest := make([]int32, len(m.kinds))
	for k := range largest {
		largest[k] = int32(k)
	}
	slices.SortFunc(largest, func(a, b int32) int {
		return cmp.Or(cmp.Compare(m.kinds[b].area, m.kinds[a].area), cmp.Compare(a, b))
	})
	for copies > mostSingly {
		s := newState(m, 0)
		copy(s.used, used)
		largest = slices.DeleteFunc(largest, func(k int32) bool {
			none := s.fresh(k) == nil
			if none && demand[k] > mostSingly {
				copies -= m.forgo(k, demand)
			}
			return none || demand[k] == 0
		})
		if len(largest) == 0 {
			break
		}
		m.fillOne(s, largest, demand)
		t := s.trees[0]
		counts := map[int32]int{}
		for _, k := range t.parts(nil) {
			counts[k]++
		}
		times := mostCopies
		for k, n := range counts {
			times = min(times, demand[k]/n)
		}
		i := m.index(t.stock)
		if t.stock.count >= 0 {
			times = min(times, t.stock.count-used[i])
		}
		for k, n := range counts {
			demand[k] -= n * times
			copies -= n * times
		}
		used[i] += times
		fixed = append(fixed, cutting{t, times})
	}
	return fixed, demand
}

// forgo gives up copies of a kind for which there is no sheet left, so that a few remain for
// gaps on other sheets, and returns how many.
func (m *model) forgo(k int32, demand []int) int {
	over := demand[k] - mostSingly
	demand[k] = mostSingly
	m.kinds[k].count -= over
	return over
}

// fillOne fills one sheet with copies of the first kinds.
func (m *model) fillOne(s *state, kinds []int32, demand []int) {
	const most = 200
	s.begin()
	for _, k := range kinds[:min(most, len(kinds))] {
		for range demand[k] {
			if len(s.trees) == 0 {
				if !s.place(k, 0) {
					break
				}
				continue
			}
			spot := s.trees[0].find(m, k)
			if spot.leaf == none {
				break
			}
			s.trees[0].put(m, k, spot)
		}
	}
	s.commit()
}
