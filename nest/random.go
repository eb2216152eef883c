package nest

import "math/bits"

// random is a source of random numbers: splitmix64 (Steele, Lea, Flood 2014, Fast
// splittable pseudorandom number generators, OOPSLA). It is the same on every machine.
type random uint64

func (r *random) next() uint64 {
	*r += 0x9e3779b97f4a7c15
	z := uint64(*r)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// below returns a number from 0 up to but not including n.
func (r *random) below(n int) int {
	hi, _ := bits.Mul64(r.next(), uint64(n))
	return int(hi)
}

// unit returns a number from 0 up to but not including 1.
func (r *random) unit() float64 { return float64(r.next()>>11) / (1 << 53) }
