package model

// Kernel returns how much a tooth at a squared distance of d beyond the nearest
// weighs, exp(-d), or 0 where that no longer shows.
func Kernel(d float64) float64 {
	if d < reachOfKernel {
		return kernel(d)
	}
	return 0
}

// reachOfKernel is the difference of squared distances beyond which a tooth's
// weight, e to the minus that, no longer shows in any share.
const reachOfKernel = 16

// stepsOfKernel is how many tabled values of exp lie in a unit.
const stepsOfKernel = 256

// kernels holds exp(-(i+½)/stepsOfKernel).
var kernels = func() (table [reachOfKernel * stepsOfKernel]float64) {
	const (
		half = 0.998048781107475472710042659083 // exp(-1/512)
		step = half * half
	)
	table[0] = half
	for i := range table[1:] {
		table[i+1] = table[i] * step
	}
	return table
}()

// kernel returns exp(-d) for 0 ≤ d < reachOfKernel, to 1.3e-9 of it: a tabled
// value times the Taylor series of what is left. It takes a fraction of
// [math.Exp]'s time in a browser, and, having only products and sums, gives the
// same bits everywhere.
func kernel(d float64) float64 {
	i := int(d * stepsOfKernel)
	x := (float64(i)+0.5)/stepsOfKernel - d
	return kernels[i&(len(kernels)-1)] * (1 + x*(1+x*(1./2)))
}
