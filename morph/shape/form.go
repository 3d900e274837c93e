package shape

import "math"

// Form is the form of an outline: its harmonics freed from place, size, turn,
// start and direction by the ellipse of the first harmonic. Its long half-axis
// is 1 and lies along x, the start at its positive end, and the outline runs
// counter-clockwise with y up.
//
// Of an ellipse that is nearly a circle the long axis is not settled, and with
// it neither is the form; Roundness tells.
type Form []Harmonic

// Roundness is the short axis of the first harmonic's ellipse over its long
// axis, 0 to 1.
func (f Form) Roundness() float64 {
	if len(f) == 0 {
		return 0
	}
	return math.Abs(f[0].D)
}

// negligible is the size, relative to the long half-axis, below which a
// coefficient is taken for rounding when the end of the long axis is chosen.
const negligible = 1e-6

// Form gives the form of the outline. It refuses an outline whose first
// harmonic is nothing.
//
// The start may lie at either end of the long axis; one end makes the even
// harmonics the negative of what the other makes them. The rule: the first of
// A2, D2, B2, C2, A4, … that is not negligible is positive. Where it is close
// to 0 the ends are nearly alike, and Distance looks at both.
func (o Outline) Form() (Form, error) {
	f := make(Form, len(o.Harmonics))
	copy(f, o.Harmonics)
	if len(f) == 0 {
		return nil, errNoShape
	}
	f.counterClockwise()
	h := f[0]
	start := math.Atan2(2*(h.A*h.B+h.C*h.D), h.A*h.A-h.B*h.B+h.C*h.C-h.D*h.D) / 2
	for k, h := range f {
		sin, cos := math.Sincos(float64(k+1) * start)
		f[k] = Harmonic{h.A*cos + h.B*sin, h.B*cos - h.A*sin, h.C*cos + h.D*sin, h.D*cos - h.C*sin}
	}
	long := math.Hypot(f[0].A, f[0].C)
	if !(long > 0) || math.IsInf(long, 0) {
		return nil, errNothing
	}
	cos, sin := f[0].A/long, f[0].C/long
	for k, h := range f {
		f[k] = Harmonic{
			(cos*h.A + sin*h.C) / long, (cos*h.B + sin*h.D) / long,
			(cos*h.C - sin*h.A) / long, (cos*h.D - sin*h.B) / long,
		}
	}
	if f.leads() < 0 {
		f.turn()
	}
	return f, nil
}

// counterClockwise makes the outline run counter-clockwise.
func (f Form) counterClockwise() {
	// The area enclosed is π·Σ n·(AₙDₙ − BₙCₙ).
	area := 0.0
	for k, h := range f {
		area += float64(k+1) * (h.A*h.D - h.B*h.C)
	}
	if area >= 0 {
		return
	}
	for k, h := range f {
		f[k] = Harmonic{h.A, -h.B, h.C, -h.D}
	}
}

// leads gives the coefficient whose sign settles the end of the long axis.
func (f Form) leads() float64 {
	for k := 1; k < len(f); k += 2 {
		h := f[k]
		for _, c := range [4]float64{h.A, h.D, h.B, h.C} {
			if math.Abs(c) > negligible {
				return c
			}
		}
	}
	return 0
}

// turn starts the form at the other end of its long axis, turned by 180°.
func (f Form) turn() {
	for k := 1; k < len(f); k += 2 {
		h := f[k]
		f[k] = Harmonic{-h.A, -h.B, -h.C, -h.D}
	}
}

// Mirrored gives the form of the mirror image: of the tooth of the other side.
func (f Form) Mirrored() Form {
	// Mirrored at the long axis (C and D change sign) and run the other way
	// round (B and D do).
	m := make(Form, len(f))
	for k, h := range f {
		m[k] = Harmonic{h.A, -h.B, -h.C, h.D}
	}
	if m.leads() < 0 {
		m.turn()
	}
	return m
}

// Distance tells how far apart two forms are: the root mean square distance
// between points of equal length along their outlines, in half lengths of the
// long axis, their centres on each other, either end of the long axis being
// tried. With mirrored set the mirror image is tried too. A harmonic that one
// of them lacks counts as 0.
func Distance(f, g Form, mirrored bool) float64 {
	best := min(gap(f, g, 1), gap(f, g, -1))
	if mirrored {
		m := g.Mirrored()
		best = min(best, gap(f, m, 1), gap(f, m, -1))
	}
	return best
}

// gap is the distance with the even harmonics of g multiplied by even. By
// Parseval's theorem it needs no points.
func gap(f, g Form, even float64) float64 {
	sum := 0.0
	for k := range max(len(f), len(g)) {
		var p, q Harmonic
		if k < len(f) {
			p = f[k]
		}
		if k < len(g) {
			q = g[k]
		}
		if k%2 == 1 {
			q = Harmonic{even * q.A, even * q.B, even * q.C, even * q.D}
		}
		a, b, c, d := p.A-q.A, p.B-q.B, p.C-q.C, p.D-q.D
		sum += a*a + b*b + c*c + d*d
	}
	return math.Sqrt(sum / 2)
}
