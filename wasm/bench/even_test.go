package bench

import (
	"math/bits"

	"pgregory.net/rapid"
)

// Even draws a number evenly from lo to hi, and now and then one of the two.
// Rapid's own numbers crowd near 0, which is nearly always a corner of the
// window: properties of what lies within would hold for want of cases.
func Even(t *rapid.T, lo, hi float64, label string) float64 {
	switch z := rapid.Uint64().Draw(t, label); z {
	case 0:
		return lo
	case 1:
		return hi
	default:
		return lo + (hi-lo)*float64(scattered(z)>>11)/(1<<53)
	}
}

// EvenInt draws a whole number evenly from lo to hi.
func EvenInt(t *rapid.T, lo, hi int, label string) int {
	return min(int(Even(t, float64(lo), float64(hi)+1, label)), hi)
}

// scattered spreads numbers over all 64 bits (an odd multiple and its bits
// turned round, twice).
func scattered(z uint64) uint64 {
	for range 2 {
		z = bits.ReverseBytes64(z * 0x9e3779b97f4a7c15)
	}
	return z * 0x9e3779b97f4a7c15
}
