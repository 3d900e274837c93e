package classify

import (
	"math"
	"sort"
)

// axis is an eigenvector of length 1 with its eigenvalue.
type axis struct {
	value  float64
	vector []float64
}

// eigen returns the eigenvectors of a symmetric matrix, the largest eigenvalue
// first, and false when it holds something that is no finite number. The matrix
// is overwritten.
//
// These are cyclic Jacobi rotations (Golub and Van Loan, Matrix Computations,
// section 8.5). The matrices of a map are a dozen wide at the most, for which they
// are as exact as gonum's decomposition, which the tests compare them with; in the
// program that one would add 44 kB to what a visit transfers.
func eigen(a [][]float64) ([]axis, bool) {
	n := len(a)
	axes := make([]axis, n)
	for i := range axes {
		axes[i].vector = make([]float64, n)
		axes[i].vector[i] = 1
	}
	// Each sweep squares what is left, so five to ten do; the rest is for the worst
	// that rounding can do.
	for range 60 {
		off, all := 0.0, 0.0
		for i := range a {
			for j, v := range a[i] {
				all += v * v
				if i != j {
					off += v * v
				}
			}
		}
		if math.IsNaN(all) || math.IsInf(all, 0) {
			return nil, false
		}
		if off <= 1e-30*all {
			break
		}
		for p := range n {
			for q := p + 1; q < n; q++ {
				rotate(a, axes, p, q)
			}
		}
	}
	for i := range axes {
		axes[i].value = a[i][i]
	}
	sort.SliceStable(axes, func(i, j int) bool { return axes[i].value > axes[j].value })
	return axes, true
}

// rotate turns coordinates p and q so that a[p][q] becomes 0, by the smaller of
// the two angles that do.
func rotate(a [][]float64, axes []axis, p, q int) {
	if a[p][q] == 0 {
		return
	}
	tau := (a[q][q] - a[p][p]) / (2 * a[p][q])
	tan := 1 / (math.Abs(tau) + math.Hypot(1, tau))
	if tau < 0 {
		tan = -tan
	}
	cos := 1 / math.Hypot(1, tan)
	sin := tan * cos
	turn := func(x, y *float64) { *x, *y = cos**x-sin**y, sin**x+cos**y }
	for k := range a {
		turn(&a[k][p], &a[k][q])
	}
	for k := range a {
		turn(&a[p][k], &a[q][k])
		turn(&axes[p].vector[k], &axes[q].vector[k])
	}
	a[p][q], a[q][p] = 0, 0
}
