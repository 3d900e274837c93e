package model

import "math"

// Kernel returns how much a tooth at a squared distance of d ≥ 0 beyond the
// nearest weighs, exp(-d), or 0 where that no longer shows.
func Kernel(d float64) float64 { return kernel(d) }

// reachOfKernel is the difference of squared distances beyond which a tooth's
// weight, e to the minus that, no longer shows in any share.
const reachOfKernel = 16

// stepsOfKernel is how many tabled values of exp lie in a unit.
const stepsOfKernel = 256

// kernels holds exp(-(i+½)/stepsOfKernel), and as much again of zeros, for what
// is beyond reach.
var kernels = func() (table [2 * reachOfKernel * stepsOfKernel]float64) {
	const (
		half = 0.998048781107475472710042659083 // exp(-1/512)
		step = half * half
	)
	table[0] = half
	for i := range reachOfKernel*stepsOfKernel - 1 {
		table[i+1] = table[i] * step
	}
	return table
}()

// kernel returns exp(-d) for 0 ≤ d < reachOfKernel, to 1.3e-9 of it, and 0 for all
// above: a tabled value times the Taylor series of what is left. It takes a fraction
// of [math.Exp]'s time in a browser, and, having only products and sums, gives the
// same bits everywhere. There is no branch in it (see add6): numbers not below zero
// have the order of their bits.
func kernel(d float64) float64 {
	d = math.Float64frombits(min(math.Float64bits(d), reachBits))
	step := d*stepsOfKernel - 0.5 + toWhole
	x := (step-toWhole+0.5)/stepsOfKernel - d
	return kernels[math.Float64bits(step)&uint64(len(kernels)-1)] * (1 + x*(1+x*(1./2)))
}

// toWhole, added to a small number, leaves no room for a fraction: the sum is
// rounded to a whole number, which its last bits are. A browser takes longer to
// turn a number into a whole one and back.
const toWhole = 3 << 51

// reachBits are the bits of reachOfKernel.
var reachBits = math.Float64bits(reachOfKernel)
