package nest

import "slices"

// model is a problem made ready for search. A blade of width k frees a piece of length
// l from a longer one exactly as a blade without width frees l+k from the longer one
// plus k. So every part and every trimmed sheet grows by the kerf, and what remains is
// cutting without kerf. All lengths are then divided by their greatest common divisor.
type model struct {
	problem *Problem
	unit    int64 // greatest common divisor of all grown lengths
	kerf    int64 // of the problem, undivided
	kinds   []kind
	ranked  [anyOrder]ranking // the kinds in every order
	stocks  []stock
	misfits []Misfit
	// longest[d] is the longest cut in direction d, grown and divided.
	longest [3]int64
	stages  int32   // 0 is no limit
	scale   float64 // 1 / area of the largest sheet
	dearest float64 // price of the dearest sheet, at least 1
}

// kind is all parts that may replace one another on any sheet. Its length lies along
// the face grain, unless turns allows both ways.
type kind struct {
	l, w    int64 // grown by the kerf, divided by unit
	turns   bool
	count   int
	area    float64 // share of the largest sheet
	fits    []bool  // by stock
	members []member
}

// member is a part of the problem that is of a kind.
type member struct {
	part    int
	swapped bool // the kind's length is the part's width
}

// stock is a sheet of the problem that may be used.
type stock struct {
	sheet  int
	l, w   int64 // trimmed, grown by the kerf, divided by unit
	across bool
	price  int64
	count  int // below 0 is no limit
	area   float64
}

// size returns the extents along x and y of k on a sheet of stock s.
func (k *kind) size(turned bool) (x, y int64) {
	if turned {
		return k.w, k.l
	}
	return k.l, k.w
}

// ways returns the first and the last way in which k may lie on s: 0 is with its length
// along x, 1 with its length along y.
func (k *kind) ways(s *stock) (first, last int) {
	switch {
	case k.turns:
		return 0, 1
	case s.across:
		return 1, 1
	default:
		return 0, 0
	}
}

// newModel prepares a valid problem.
func newModel(p *Problem) *model {
	m := &model{problem: p, kerf: p.Kerf, stages: int32(p.Stages)}
	m.unit = commonDivisor(p)
	m.addStocks()
	m.addKinds()
	m.longest[Rip] = m.longestCut(p.LongestRip)
	m.longest[Crosscut] = m.longestCut(p.LongestCrosscut)
	m.dropMisfits()
	m.ranked = m.rankings()
	return m
}

// unlimited is the longest cut where none is given.
const unlimited = int64(1) << 62

// longestCut grows and divides a limit; a piece with an extent up to it may be cut.
func (m *model) longestCut(limit int64) int64 {
	if limit == 0 {
		return unlimited
	}
	return (limit + m.kerf) / m.unit
}

func commonDivisor(p *Problem) int64 {
	g := int64(0)
	for _, s := range p.Sheets {
		g = gcd(gcd(g, s.Length-s.Left-s.Right+p.Kerf), s.Width-s.Bottom-s.Top+p.Kerf)
	}
	for _, part := range p.Parts {
		g = gcd(gcd(g, part.Length+p.Kerf), part.Width+p.Kerf)
	}
	return g
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

func (m *model) addStocks() {
	largest := 0.0
	m.dearest = 1
	for i, s := range m.problem.Sheets {
		if s.Stock == 0 {
			continue
		}
		t := stock{
			sheet: i, across: s.GrainAcross, price: s.Price, count: s.Stock,
			l: (s.Length - s.Left - s.Right + m.kerf) / m.unit,
			w: (s.Width - s.Bottom - s.Top + m.kerf) / m.unit,
		}
		t.area = float64(t.l) * float64(t.w)
		largest = max(largest, t.area)
		m.stocks = append(m.stocks, t)
	}
	m.scale = 1 / largest
	for i := range m.stocks {
		m.stocks[i].area /= largest
		m.dearest = max(m.dearest, float64(m.stocks[i].price))
	}
}

// addKinds gathers equal parts. A part across the grain is one along it with its sides
// exchanged; one that may turn is taken long side first.
func (m *model) addKinds() {
	type key struct {
		l, w  int64
		turns bool
	}
	index := map[key]int{}
	for i, part := range m.problem.Parts {
		l, w := (part.Length+m.kerf)/m.unit, (part.Width+m.kerf)/m.unit
		turns := part.Grain == Any && l != w
		swapped := part.Grain == Across || turns && l < w
		if swapped {
			l, w = w, l
		}
		at, known := index[key{l, w, turns}]
		if !known {
			at = len(m.kinds)
			index[key{l, w, turns}] = at
			m.kinds = append(m.kinds, kind{l: l, w: w, turns: turns})
		}
		m.kinds[at].count += part.Count
		m.kinds[at].members = append(m.kinds[at].members, member{i, swapped})
	}
	for i := range m.kinds {
		k := &m.kinds[i]
		k.area = float64(k.l) * float64(k.w) * m.scale
	}
}

// dropMisfits takes out the kinds that can be cut from no sheet of the problem.
func (m *model) dropMisfits() {
	m.kinds = slices.DeleteFunc(m.kinds, func(k kind) bool {
		for i := range m.problem.Sheets {
			if m.cuttable(&k, i) {
				return false
			}
		}
		for _, b := range k.members {
			m.misfits = append(m.misfits, m.misfit(b.part))
		}
		return true
	})
	for i := range m.kinds {
		k := &m.kinds[i]
		for j := range m.stocks {
			k.fits = append(k.fits, m.newTree(&m.stocks[j]).best(m, k).leaf != none)
		}
	}
	m.kinds = slices.DeleteFunc(m.kinds, func(k kind) bool { return !slices.Contains(k.fits, true) })
	slices.SortFunc(m.misfits, func(a, b Misfit) int { return a.Part - b.Part })
}

// cuttable reports whether k can be cut from sheet i of the problem, whatever its stock.
func (m *model) cuttable(k *kind, i int) bool {
	s := m.problem.Sheets[i]
	t := stock{across: s.GrainAcross,
		l: (s.Length - s.Left - s.Right + m.kerf) / m.unit,
		w: (s.Width - s.Bottom - s.Top + m.kerf) / m.unit}
	return m.newTree(&t).best(m, k).leaf != none
}

// misfit measures by how little part i misses a sheet.
func (m *model) misfit(i int) Misfit {
	part := m.problem.Parts[i]
	best := Misfit{Part: i, Sheet: -1}
	for j, s := range m.problem.Sheets {
		for _, turned := range []bool{false, true} {
			straight := turned == s.GrainAcross
			if part.Grain == Along && !straight || part.Grain == Across && straight {
				continue
			}
			l, w := part.Length, part.Width
			if turned {
				l, w = w, l
			}
			long := max(0, l-(s.Length-s.Left-s.Right))
			wide := max(0, w-(s.Width-s.Bottom-s.Top))
			if best.Sheet < 0 || long+wide < best.Long+best.Wide {
				best.Sheet, best.Long, best.Wide = j, long, wide
			}
		}
	}
	return best
}

// Misfit reports whether a part other than p's own can be cut from no sheet of p, whatever
// its stock, and by how little it misses one. Neither extent lacks where only the limits on
// cuts keep it from being cut.
func (p *Problem) Misfit(part Part) (lacks Misfit, misses bool) {
	alone := *p
	alone.Parts = []Part{part}
	if misfits := newModel(&alone).misfits; len(misfits) > 0 {
		return misfits[0], true
	}
	return Misfit{}, false
}
