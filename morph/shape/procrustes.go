package shape

import (
	"errors"
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/spatial/r2"
)

// Procrustes tells how far apart two sets of points are once each has been
// centred and scaled to unit centroid size and one turned to fit the other.
type Procrustes struct {
	Full     float64 // √(1 − s²): one is also scaled to fit best
	Partial  float64 // √(2 − 2s): both stay at unit size
	Angle    float64 // acos s, radians: along the space of shapes
	Mirrored bool    // the second set fits better as its mirror image
}

// CentroidSize is the root of the sum of squared distances of the points from
// their mean.
func CentroidSize(points []r2.Vec) float64 {
	_, size := centred(points)
	return size
}

// Superimpose compares two sets of points, of which those at the same place in
// the list belong together. With mirrored set the second may be mirrored, as
// the teeth of the two sides of a jaw are. It refuses sets of different or of
// no length, points without a position, and points that all coincide.
func Superimpose(x, y []r2.Vec, mirrored bool) (Procrustes, error) {
	if len(x) != len(y) || len(x) < 2 {
		return Procrustes{}, errors.New("Two sets of points are compared point by point: both need the same number, at least two.")
	}
	p, sizeP := centred(x)
	q, sizeQ := centred(y)
	if !(sizeP > 0 && sizeQ > 0) || math.IsInf(sizeP, 0) || math.IsInf(sizeQ, 0) {
		return Procrustes{}, errors.New("The points of a set coincide or have no position: they form no shape.")
	}
	// In the plane, as complex numbers, the best turn is the phase of Σp̄q, and
	// its modulus is the sum s of the singular values of pᵀq (with the sign of
	// the determinant where a mirror image is not allowed).
	var turned, flipped complex128
	for i := range p {
		turned += cmplx.Conj(p[i]) * q[i]
		flipped += p[i] * q[i]
	}
	s, m := cmplx.Abs(turned)/sizeP/sizeQ, cmplx.Abs(flipped)/sizeP/sizeQ
	fit := Procrustes{Mirrored: mirrored && m > s}
	if fit.Mirrored {
		s = m
	}
	s = min(s, 1)
	fit.Full, fit.Partial, fit.Angle = math.Sqrt(1-s*s), math.Sqrt(2-2*s), math.Acos(s)
	return fit, nil
}

// centred gives the points about their mean, and their centroid size.
func centred(points []r2.Vec) ([]complex128, float64) {
	var mean complex128
	for _, p := range points {
		mean += complex(p.X, p.Y) / complex(float64(len(points)), 0)
	}
	out := make([]complex128, len(points))
	var sum float64
	for i, p := range points {
		out[i] = complex(p.X, p.Y) - mean
		sum += real(out[i])*real(out[i]) + imag(out[i])*imag(out[i])
	}
	return out, math.Sqrt(sum)
}
