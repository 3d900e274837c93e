package morph

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Triangle is the triangle A-B-G of a crown in lateral view: the sides CBL
// (A–B), AL (A–G) and CH (G–B), all in one unit (Smith 2005).
//
//	      G
//	     /|
//	AL  / | CH
//	   /  |
//	  A---B
//	   CBL
type Triangle struct{ CBL, AL, CH float64 }

// Angles are the three angles of a Triangle in degrees: at the mesial base
// point (CMA, Smith's crown angle CA), at the apex (CAA) and at the distal base
// point (CDA). They sum to 180.
type Angles struct{ CMA, CAA, CDA float64 }

// sideSlack is the relative excess of one side over the other two that
// rounding alone can make.
const sideSlack = 1e-9

// Check refuses sides that no triangle has: a side that is not a positive
// number, or one longer than the two others together.
func (t Triangle) Check() error {
	sides := []struct {
		id     ID
		length float64
	}{{CBL, t.CBL}, {AL, t.AL}, {CH, t.CH}}
	for _, s := range sides {
		if !(s.length > 0) || math.IsInf(s.length, 0) {
			return fmt.Errorf("%s must be a length above 0, not %s.", s.id, figure(s.length))
		}
	}
	for i, s := range sides {
		rest := sides[(i+1)%3].length + sides[(i+2)%3].length
		if s.length > rest*(1+sideSlack) {
			return fmt.Errorf("CBL %s, AL %s and CH %s cannot be the sides of one triangle: %s is longer than the other two together. Check the three lengths.",
				figure(t.CBL), figure(t.AL), figure(t.CH), s.id)
		}
	}
	return nil
}

// Angles gives the angles by the law of cosines (Smith 2005), or the error of
// Check.
func (t Triangle) Angles() (Angles, error) {
	if err := t.Check(); err != nil {
		return Angles{}, err
	}
	return t.angles(), nil
}

// angles is Angles for sides that were checked, or that differ from checked
// ones by a small shift: there a side too long by that shift reads as a flat
// triangle.
func (t Triangle) angles() Angles {
	return Angles{
		CMA: opposite(t.CH, t.CBL, t.AL),
		CAA: opposite(t.CBL, t.AL, t.CH),
		CDA: opposite(t.AL, t.CBL, t.CH),
	}
}

// opposite is the angle in degrees between sides p and q, opposite side o.
func opposite(o, p, q float64) float64 {
	// Ratios first: squares of very long sides would overflow.
	c := (p/q + q/p - (o/p)*(o/q)) / 2
	return math.Acos(max(-1, min(1, c))) * 180 / math.Pi
}

// Apex gives the position of G when A is at the origin, B on the positive x
// axis and the apex above it, in the unit of the sides. An x beyond CBL tells
// that the apex hangs over the distal base point: a recurved crown.
func (t Triangle) Apex() (r2.Vec, error) {
	a, err := t.Angles()
	if err != nil {
		return r2.Vec{}, err
	}
	sin, cos := math.Sincos(a.CMA * math.Pi / 180)
	return r2.Vec{X: t.AL * cos, Y: t.AL * sin}, nil
}
