package bound

import "math/bits"

// mul returns the product of two numbers of 0 or more in 128 bits.
func mul(a, b int64) (hi, lo uint64) { return bits.Mul64(uint64(a), uint64(b)) }

func add(a, b uint64) (sum, carry uint64) { return bits.Add64(a, b, 0) }

// div returns a quotient that fits an int64.
func div(hi, lo, by uint64) int64 {
	q, _ := bits.Div64(hi, lo, by)
	return int64(q)
}
