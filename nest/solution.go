package nest

import "slices"

// solution is a plan as far as the search knows it: trees, each used so many times.
type solution struct {
	cuttings []cutting
	missing  []int32
	lack     float64
	price    price
}

// cutting is a tree used so many times.
type cutting struct {
	tree  *tree
	times int
}

func (c *cutting) price() price { return price{int64(c.times) * c.tree.stock.price, c.times} }

func (p price) plus(q price) price  { return price{p.cost + q.cost, p.sheets + q.sheets} }
func (p price) minus(q price) price { return price{p.cost - q.cost, p.sheets - q.sheets} }

// total returns the price of cuttings.
func total(cuttings []cutting) (sum price) {
	for i := range cuttings {
		sum = sum.plus(cuttings[i].price())
	}
	return sum
}

// better reports whether a solution with the given lack and price is better than b.
func (b *solution) worseThan(lack float64, p price) bool {
	return lack < b.lack || lack == b.lack && p.below(b.price)
}

// offer keeps fixed and s together if they are better than the best so far.
func (r *run) offer(fixed []cutting, s *state) {
	p := total(fixed).plus(s.price())
	if r.best != nil && !r.best.worseThan(s.lack, p) {
		return
	}
	r.best = &solution{cuttings: slices.Clone(fixed), missing: slices.Clone(s.missing), lack: s.lack, price: p}
	for _, t := range s.trees {
		c := &tree{}
		c.copyFrom(t)
		r.best.cuttings = append(r.best.cuttings, cutting{c, 1})
	}
	r.tell("plan")
}

// load makes s hold the sheets of cuttings, one by one.
func (s *state) load(cuttings []cutting) {
	for i := range cuttings {
		for range cuttings[i].times {
			t := s.fetch()
			t.copyFrom(cuttings[i].tree)
			s.add(t)
		}
	}
}

// reserve books the sheets that fixed uses.
func (s *state) reserve(fixed []cutting) {
	for i := range fixed {
		s.used[s.m.index(fixed[i].tree.stock)] += fixed[i].times
	}
}
