package morph

import "math"

// Bending is what a cross-section of a crown sets against bending: its area,
// and for a load in the mesiodistal (MD) and in the labiolingual (LL) direction
// its second moment of area I and its section modulus Z = I / (greatest
// distance from the centroidal axis). In mm: mm², mm⁴, mm³.
//
// The model is a solid, homogeneous, straight beam loaded at the tip (after
// Van Valkenburgh & Ruff 1987), without pulp cavity, root or enamel.
type Bending struct{ Area, IMD, ILL, ZMD, ZLL float64 }

// bending completes a section that is symmetric about both axes.
func bending(length, width, area, imd, ill float64) Bending {
	return Bending{Area: area, IMD: imd, ILL: ill, ZMD: imd / (length / 2), ZLL: ill / (width / 2)}
}

// Ellipse gives the section with the given mesiodistal length and labiolingual
// width: the usual stand-in where no section is outlined.
func Ellipse(length, width float64) Bending {
	l, w := length, width
	return bending(l, w, math.Pi*l*w/4, math.Pi*l*l*l*w/64, math.Pi*l*w*w*w/64)
}

// HollowEllipse gives an elliptical section with a concentric elliptical
// cavity of the given length and width.
func HollowEllipse(length, width, cavityLength, cavityWidth float64) Bending {
	out, in := Ellipse(length, width), Ellipse(cavityLength, cavityWidth)
	return bending(length, width, out.Area-in.Area, out.IMD-in.IMD, out.ILL-in.ILL)
}

// Rectangle gives a rectangular section.
func Rectangle(length, width float64) Bending {
	l, w := length, width
	return bending(l, w, l*w, l*l*l*w/12, l*w*w*w/12)
}

// Rhombus gives a section with its corners on the two axes.
func Rhombus(length, width float64) Bending {
	l, w := length, width
	return bending(l, w, l*w/2, l*l*l*w/48, l*w*w*w/48)
}

// ParabolicLens gives a section with two sharp carinae between parabolic
// faces: half thickness (W/2)(1 − 4x²/L²) at x from the middle.
func ParabolicLens(length, width float64) Bending {
	l, w := length, width
	return bending(l, w, 2*l*w/3, l*l*l*w/30, 4*l*w*w*w/105)
}

// CircularLens gives a section with two sharp carinae between faces that are
// arcs of one circle: a chord of the given length and, at its middle, the given
// thickness, which must not exceed the length.
func CircularLens(length, width float64) Bending {
	l, s := length, width/2
	r := (l*l/4 + s*s) / (2 * s)
	theta := 2 * math.Atan(2*s/l)
	sin, cos := math.Sincos(theta)
	h := r * cos
	segment := r * r * (theta - sin*cos)
	q := 2.0 / 3 * r * r * r * sin * sin * sin
	io := r * r * r * r / 4 * (theta - sin*cos + 2*sin*sin*sin*cos)
	return bending(l, width,
		r*r*(2*theta-math.Sin(2*theta)),
		r*r*r*r/2*(theta-sin*cos)-r*r*r*r/3*sin*sin*sin*cos,
		2*(io-2*h*q+h*h*segment))
}
