package morph

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Plane carries points of a photograph onto a plane in front of the camera, in
// mm along the two sides of a rectangle that lies in it, whatever the tilt: a
// projective map, which a lens without distortion makes exactly.
type Plane struct {
	// m are the rows of the map of homogeneous coordinates.
	m [9]float64
}

// PlaneOf gives the plane of a rectangle from its four corners in px, in order
// round it; the first two bound a side of the given width, the second and third
// one of the given height, both in mm. The first corner becomes 0,0.
//
// It refuses, with a sentence: sides that are not above 0, corners without a
// position, in crossed order, three on a line, or in an arrangement that no
// view of a rectangle has.
func PlaneOf(corners [4]r2.Vec, width, height float64) (Plane, error) {
	if !(width > 0 && height > 0) || math.IsInf(width+height, 0) {
		return Plane{}, errors.New("The sides of the card must be above 0.")
	}
	if err := checkCorners(corners); err != nil {
		return Plane{}, err
	}
	p := planeOf(corners, width, height)
	for _, v := range p.m {
		if !finite(v) {
			return Plane{}, errors.New("The card's corners lie too far apart or too close together to undo its tilt.")
		}
	}
	return p, nil
}

// planeOf solves for the map without asking whether there is one; where there
// is none it holds numbers that are none.
func planeOf(c [4]r2.Vec, width, height float64) Plane {
	// The map from the unit square to the corners has a closed form, for the
	// square's corners are 0 and 1; its adjugate is the way back.
	d1, d2 := r2.Sub(c[1], c[2]), r2.Sub(c[3], c[2])
	s := r2.Sub(r2.Add(c[0], c[2]), r2.Add(c[1], c[3]))
	den := r2.Cross(d1, d2)
	g, h := r2.Cross(s, d2)/den, r2.Cross(d1, s)/den
	a, b := c[1].X-c[0].X+g*c[1].X, c[3].X-c[0].X+h*c[3].X
	d, e := c[1].Y-c[0].Y+g*c[1].Y, c[3].Y-c[0].Y+h*c[3].Y
	x, y := c[0].X, c[0].Y
	// Divided by its determinant, the adjugate gives the first corner the
	// weight 1, and every point before the horizon one above 0.
	det := a*(e-y*h) - b*(d-y*g) + x*(d*h-e*g)
	width, height = width/det, height/det
	return Plane{[9]float64{
		width * (e - y*h), width * (x*h - b), width * (b*y - x*e),
		height * (y*g - d), height * (a - x*g), height * (x*d - a*y),
		(d*h - e*g) / det, (b*g - a*h) / det, (a*e - b*d) / det,
	}}
}

// checkCorners tells why four points cannot be a rectangle seen from anywhere.
func checkCorners(c [4]r2.Vec) error {
	var turns [4]float64
	left := 0
	for i := range c {
		if !finite(c[i].X) || !finite(c[i].Y) {
			return errors.New("A corner of the card has no position in the photo: place it again.")
		}
		in, out := r2.Sub(c[(i+1)%4], c[i]), r2.Sub(c[(i+2)%4], c[(i+1)%4])
		turns[i] = r2.Cross(in, out) / (r2.Norm(in) * r2.Norm(out))
		if turns[i] > 0 {
			left++
		}
	}
	for _, t := range turns {
		// Also where two corners coincide, and the turn is no number.
		if !(math.Abs(t) > leastTurn) {
			return errors.New("Three corners of the card lie on one line: place each on a corner of its own.")
		}
	}
	switch left {
	case 0, 4:
		return nil
	case 2:
		return errors.New("The card's corners are in crossed order: place them one after the other round the card.")
	}
	return errors.New("One of the card's corners lies inside the other three: place the four round the card.")
}

// leastTurn is the sine of the least turn of the card's edge at a corner that
// is not taken for a line: about 1°.
const leastTurn = 0.02

// MM gives the place in the plane, in mm, of a point of the photograph in px.
// A point at or beyond the plane's horizon lies nowhere and gives numbers that
// are none.
func (p Plane) MM(q r2.Vec) r2.Vec {
	w := p.m[6]*q.X + p.m[7]*q.Y + p.m[8]
	if !(w > 0) {
		return r2.Vec{X: math.NaN(), Y: math.NaN()}
	}
	return r2.Vec{X: (p.m[0]*q.X + p.m[1]*q.Y + p.m[2]) / w, Y: (p.m[3]*q.X + p.m[4]*q.Y + p.m[5]) / w}
}

// PxPerMM is the scale of the photograph at a point of it, in px per mm: the
// root of how much larger an area is in the photograph than in the plane.
func (p Plane) PxPerMM(q r2.Vec) float64 {
	xx, xy, yx, yy := p.stretch(q)
	return 1 / math.Sqrt(math.Abs(xx*yy-xy*yx))
}

// stretch is the derivative of MM at a point of the photograph, in mm per px:
// that of x along x and y of the photograph, then that of y.
func (p Plane) stretch(q r2.Vec) (xx, xy, yx, yy float64) {
	at := p.MM(q)
	w := p.m[6]*q.X + p.m[7]*q.Y + p.m[8]
	return (p.m[0] - at.X*p.m[6]) / w, (p.m[1] - at.X*p.m[7]) / w,
		(p.m[3] - at.Y*p.m[6]) / w, (p.m[4] - at.Y*p.m[7]) / w
}
