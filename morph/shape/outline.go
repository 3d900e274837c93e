package shape

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Harmonic holds the four coefficients of one harmonic n of an outline of
// perimeter T, in the outline's unit:
//
//	x(t) = … + A·cos(2πnt/T) + B·sin(2πnt/T)
//	y(t) = … + C·cos(2πnt/T) + D·sin(2πnt/T)
type Harmonic struct{ A, B, C, D float64 }

// Outline is a closed outline as the sum of ellipses.
type Outline struct {
	// Centre is the mean of the outline by length (the coefficients A0 and C0).
	Centre    r2.Vec
	Perimeter float64
	// Power is the mean squared distance of the outline from its centre: by
	// Parseval's theorem that of all its harmonics, those left out included.
	Power     float64
	Harmonics []Harmonic // 1, 2, …
}

// MaxHarmonics is the most harmonics that Of gives: far more than a traced
// outline carries.
const MaxHarmonics = 500

// Of gives the first n harmonics of the closed polygon through the points, the
// parameter being the length of chord from the first point (Kuhl & Giardina
// 1982). Points that repeat the one before are passed over.
//
// It refuses, with a sentence: fewer than one or more than MaxHarmonics
// harmonics, a point without a position, and fewer than three different points.
//
// The parameter is length, not angle: of an ellipse the first harmonic is not
// the ellipse itself, unless it is a circle.
func Of(points []r2.Vec, n int) (Outline, error) {
	if n < 1 || n > MaxHarmonics {
		return Outline{}, errors.New("The number of harmonics must be from 1 to 500.")
	}
	ring, err := ringOf(points)
	if err != nil {
		return Outline{}, err
	}
	o := Outline{Harmonics: make([]Harmonic, n)}
	for i, p := range ring {
		o.Perimeter += r2.Norm(r2.Sub(ring[(i+1)%len(ring)], p))
	}
	if math.IsInf(o.Perimeter, 0) {
		return Outline{}, errNoPlace
	}
	passed := 0.0
	from := complex(1, 0) // the angle of the first harmonic as a number on the unit circle
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		d := r2.Sub(q, p)
		dt := r2.Norm(d)
		o.Centre = r2.Add(o.Centre, r2.Scale(dt/2/o.Perimeter, r2.Add(p, q)))
		passed += dt
		sin, cos := math.Sincos(2 * math.Pi * passed / o.Perimeter)
		to := complex(cos, sin)
		// The n-th harmonic's angles are the n-th powers.
		z0, z1 := complex(1, 0), complex(1, 0)
		for k := range o.Harmonics {
			z0, z1 = z0*from, z1*to
			dc, ds := real(z1)-real(z0), imag(z1)-imag(z0)
			h := &o.Harmonics[k]
			h.A += d.X / dt * dc
			h.B += d.X / dt * ds
			h.C += d.Y / dt * dc
			h.D += d.Y / dt * ds
		}
		from = to
	}
	for i, p := range ring {
		p, q := r2.Sub(p, o.Centre), r2.Sub(ring[(i+1)%len(ring)], o.Centre)
		o.Power += r2.Norm(r2.Sub(q, p)) / o.Perimeter * (r2.Norm2(p) + r2.Dot(p, q) + r2.Norm2(q)) / 3
	}
	for k := range o.Harmonics {
		n := float64(k + 1)
		f := o.Perimeter / (2 * n * n * math.Pi * math.Pi)
		h := &o.Harmonics[k]
		*h = Harmonic{f * h.A, f * h.B, f * h.C, f * h.D}
	}
	return o, nil
}

var (
	errNoPlace = errors.New("A point of the outline has no position: place it again.")
	errNoShape = errors.New("The outline has no shape: it needs at least three points that do not coincide.")
	errNothing = errors.New("The outline encloses no shape that could be compared.")
)

// ringOf gives the points without repeats, or an error.
func ringOf(points []r2.Vec) ([]r2.Vec, error) {
	var ring []r2.Vec
	for _, p := range points {
		if size := math.Abs(p.X) + math.Abs(p.Y); math.IsNaN(size) || math.IsInf(size, 0) {
			return nil, errNoPlace
		}
		if len(ring) == 0 || r2.Norm(r2.Sub(p, ring[len(ring)-1])) > 0 {
			ring = append(ring, p)
		}
	}
	for len(ring) > 1 && r2.Norm(r2.Sub(ring[0], ring[len(ring)-1])) == 0 {
		ring = ring[:len(ring)-1]
	}
	if len(ring) < 3 {
		return nil, errNoShape
	}
	return ring, nil
}

// At gives the point of the outline at the share t of its perimeter, 0 being
// where it starts.
func (o Outline) At(t float64) r2.Vec {
	p := o.Centre
	for k, h := range o.Harmonics {
		sin, cos := math.Sincos(2 * math.Pi * float64(k+1) * t)
		p.X += h.A*cos + h.B*sin
		p.Y += h.C*cos + h.D*sin
	}
	return p
}

// Points gives n points of the outline at even shares of its perimeter.
func (o Outline) Points(n int) []r2.Vec {
	out := make([]r2.Vec, max(0, n))
	for i := range out {
		out[i] = o.At(float64(i) / float64(n))
	}
	return out
}
