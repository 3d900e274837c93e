package morph

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Moments are the area of a closed outline and its moments about the axes
// through its own centroid that are parallel to the outline's x and y. They do
// not depend on where the outline starts or which way round it runs.
type Moments struct {
	Area     float64 // of one unit², never negative
	Centroid r2.Vec
	Ixx      float64 // ∫(y−ȳ)² dA: resists bending that moves along y, unit⁴
	Iyy      float64 // ∫(x−x̄)² dA: resists bending that moves along x, unit⁴
	Ixy      float64 // ∫(x−x̄)(y−ȳ) dA, unit⁴
}

// MomentsOf gives the moments of the polygon with the given corners, in order,
// by Green's theorem. An outline without area gives the zero Moments.
func MomentsOf(outline []r2.Vec) Moments {
	if len(outline) < 3 {
		return Moments{}
	}
	// Measured from the first corner, so that an outline far from the origin
	// loses no digits.
	o := outline[0]
	var a, sx, sy, xx, yy, xy float64
	p := r2.Sub(outline[len(outline)-1], o)
	for _, v := range outline {
		q := r2.Vec{X: v.X - o.X, Y: v.Y - o.Y}
		c := p.X*q.Y - q.X*p.Y
		a += c
		sx += (p.X + q.X) * c
		sy += (p.Y + q.Y) * c
		yy += (p.X*p.X + p.X*q.X + q.X*q.X) * c
		xx += (p.Y*p.Y + p.Y*q.Y + q.Y*q.Y) * c
		xy += (p.X*q.Y + 2*p.X*p.Y + 2*q.X*q.Y + q.X*p.Y) * c
		p = q
	}
	if a == 0 || math.IsNaN(a) || math.IsInf(a, 0) {
		return Moments{}
	}
	// A clockwise outline has a negative a, and every sum with it.
	a, xx, yy, xy = a/2, xx/12, yy/12, xy/24
	c := r2.Vec{X: sx / (6 * a), Y: sy / (6 * a)}
	sign := math.Copysign(1, a)
	return Moments{
		Area:     sign * a,
		Centroid: r2.Add(c, o),
		Ixx:      sign * (xx - a*c.Y*c.Y),
		Iyy:      sign * (yy - a*c.X*c.X),
		Ixy:      sign * (xy - a*c.X*c.Y),
	}
}

// Area gives the area of the polygon with the given corners, in order, whichever
// way round; MomentsOf gives it too, with more work.
func Area(outline []r2.Vec) float64 {
	if len(outline) < 3 {
		return 0
	}
	var twice float64
	o := outline[0]
	p := r2.Sub(outline[len(outline)-1], o)
	for _, v := range outline {
		q := r2.Vec{X: v.X - o.X, Y: v.Y - o.Y}
		twice += p.X*q.Y - q.X*p.Y
		p = q
	}
	return math.Abs(twice) / 2
}

// Along gives the second moment of area ∫s² dA, s being the distance from the
// centroid measured along the unit vector d: what resists bending along d.
func (m Moments) Along(d r2.Vec) float64 {
	return m.Iyy*d.X*d.X + m.Ixx*d.Y*d.Y + 2*m.Ixy*d.X*d.Y
}

// Principal gives the largest and the smallest second moment over all
// directions, and the angle in degrees, from +x toward +y and above −90 up to
// 90, of the direction along which bending is resisted most.
func (m Moments) Principal() (largest, smallest, degrees float64) {
	mean := (m.Ixx + m.Iyy) / 2
	r := math.Hypot((m.Iyy-m.Ixx)/2, m.Ixy)
	return mean + r, mean - r, math.Atan2(2*m.Ixy, m.Iyy-m.Ixx) / 2 * 180 / math.Pi
}
