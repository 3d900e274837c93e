package morph

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/stat"
)

// Curvature fits Y = a + b·√X to the mesial edge of a crown in lateral view
// (Smith, Vann & Dodson 2005) and gives a and b, both without unit.
//
// The axes: x runs along the base line from A toward B, y at a right angle to
// it toward the apex. x is measured from the edge's mesialmost point (A itself
// unless the edge bulges mesially of A) and y from the edge's first point, A;
// both are divided by the edge's range of x. The fit is least squares in Y with
// every given point counting the same, so points should be evenly spread.
//
// It refuses fewer than three points and an edge without extent along x.
func Curvature(edge []r2.Vec) (a, b float64, err error) {
	if len(edge) < 3 {
		return 0, 0, errors.New("The curvature needs at least three points on the mesial edge.")
	}
	lo, hi := edge[0].X, edge[0].X
	for _, p := range edge {
		lo, hi = min(lo, p.X), max(hi, p.X)
	}
	extent := hi - lo
	if !(extent > 0) || math.IsInf(extent, 0) {
		return 0, 0, errors.New("The curvature is not defined: the mesial edge rises straight up from the base.")
	}
	x, y := make([]float64, len(edge)), make([]float64, len(edge))
	for i, p := range edge {
		x[i], y[i] = math.Sqrt((p.X-lo)/extent), (p.Y-edge[0].Y)/extent
	}
	a, b = stat.LinearRegression(x, y, nil, false)
	return a, b, nil
}
