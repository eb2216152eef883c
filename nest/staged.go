package nest

// staged starts from the best plan of fewer stages: any number from three, three from two.
// So what may be cut more freely never comes out dearer than what the same work finds
// under a tighter limit.
func (r *run) staged() {
	fewer := int32(0)
	switch r.m.stages {
	case 0:
		fewer = 3
	case 3:
		fewer = 2
	default:
		return
	}
	m := *r.m // shares kinds and stocks
	m.stages = fewer
	l := &run{ctx: r.ctx, m: &m, seed: r.seed, of: max(r.of/16, 1), known: r.known}
	l.solve()
	r.cancelled = r.cancelled || l.cancelled
	r.book(l.units)
	if l.best == nil || !r.best.worseThan(l.best.lack, l.best.price) {
		return
	}
	for i := range l.best.cuttings {
		c := &tree{}
		c.copyFrom(l.best.cuttings[i].tree)
		c.reopen(r.m)
		l.best.cuttings[i].tree = c
	}
	r.best = l.best
	r.tell("plan")
}
