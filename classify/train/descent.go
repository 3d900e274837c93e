package main

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// memory is how many steps the descent remembers to guess curvature.
const memory = 8

// descend minimises f from x in at most steps steps of limited-memory BFGS with
// backtracking (Nocedal & Wright 2006, algorithms 7.4 and 3.1). f returns the
// value and writes the gradient. x is overwritten with the best point.
//
// gonum's optimiser would do, but its package also brings in a second module
// that the project has no other need for.
func descend(f func(x, gradient []float64) float64, x []float64, steps int) {
	n := len(x)
	g := make([]float64, n)
	value := f(x, g)
	var ds, dg [][]float64
	next, ng := make([]float64, n), make([]float64, n)
	for range steps {
		if floats.Norm(g, 2) < 1e-6 {
			return
		}
		d := direction(g, ds, dg)
		slope := floats.Dot(d, g)
		if slope >= 0 { // the memory has gone stale
			ds, dg = nil, nil
			d = direction(g, nil, nil)
			slope = floats.Dot(d, g)
		}
		step := 1.0
		if len(ds) == 0 {
			step = math.Min(1, 1/floats.Norm(g, 1))
		}
		var nv float64
		for tries := 0; ; tries++ {
			floats.AddScaledTo(next, x, step, d)
			nv = f(next, ng)
			if nv <= value+1e-4*step*slope {
				break
			}
			if tries == 25 {
				return
			}
			step /= 2
		}
		s, y := make([]float64, n), make([]float64, n)
		floats.SubTo(s, next, x)
		floats.SubTo(y, ng, g)
		if floats.Dot(s, y) > 1e-12 {
			ds, dg = append(ds, s), append(dg, y)
			if len(ds) > memory {
				ds, dg = ds[1:], dg[1:]
			}
		}
		copy(x, next)
		copy(g, ng)
		value = nv
	}
}

// direction is the two-loop recursion.
func direction(g []float64, ds, dg [][]float64) []float64 {
	d := make([]float64, len(g))
	floats.SubTo(d, d, g)
	a := make([]float64, len(ds))
	for i := len(ds) - 1; i >= 0; i-- {
		a[i] = floats.Dot(ds[i], d) / floats.Dot(ds[i], dg[i])
		floats.AddScaled(d, -a[i], dg[i])
	}
	if k := len(ds) - 1; k >= 0 {
		floats.Scale(floats.Dot(ds[k], dg[k])/floats.Dot(dg[k], dg[k]), d)
	}
	for i := range ds {
		b := floats.Dot(dg[i], d) / floats.Dot(ds[i], dg[i])
		floats.AddScaled(d, a[i]-b, ds[i])
	}
	return d
}
