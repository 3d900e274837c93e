package shape

import "math"

// Anchored is the form of an outline whose start, direction and turn mean
// something, as those of a crown do that stands on its base and was traced from
// A over G to B: its harmonics freed from place and size alone. The long
// half-axis of the first harmonic's ellipse is 1 (Kuhl & Giardina 1982), its
// turn and its start are left as they are.
//
// Of crowns about as high as long, whose first ellipse is nearly a circle, it
// is the form to compare: Form would turn them by the accident of that ellipse.
type Anchored []Harmonic

// Anchored gives the form, and the half-axis that it was divided by, in the
// outline's unit. It refuses an outline whose first harmonic is nothing.
func (o Outline) Anchored() (f Anchored, size float64, err error) {
	if len(o.Harmonics) == 0 {
		return nil, 0, errNoShape
	}
	size = o.Harmonics[0].long()
	if !(size > 0) || math.IsInf(size, 0) {
		return nil, 0, errNothing
	}
	f = make(Anchored, len(o.Harmonics))
	for k, h := range o.Harmonics {
		f[k] = Harmonic{h.A / size, h.B / size, h.C / size, h.D / size}
	}
	return f, size, nil
}

// long is the long half-axis of a harmonic's ellipse: the larger singular value
// of its coefficients.
//
//	⎛A B⎞
//	⎝C D⎠
func (h Harmonic) long() float64 {
	return (math.Hypot(h.A+h.D, h.C-h.B) + math.Hypot(h.A-h.D, h.C+h.B)) / 2
}

// Distance tells how far apart two forms are: the root mean square distance
// between points of equal length along their outlines from where they start,
// their centres on each other, in half lengths of the first ellipse's long axis.
// A harmonic that one of them lacks counts as 0.
func (f Anchored) Distance(g Anchored) float64 { return gap(Form(f), Form(g), 1) }
