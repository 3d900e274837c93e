package toothphoto

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// SectionShape names the family of a crown section.
type SectionShape int

const (
	// Superellipse is |x/a|^n + |y/b|^n = 1. Exponent 2 is the ellipse, a
	// larger one flattens the sides.
	Superellipse SectionShape = iota
	// Lens is bounded by two equal circular arcs that meet at the carinae.
	Lens
	// DShape is a superellipse whose labial half is deeper than the lingual
	// one, as in front teeth.
	DShape
)

func (s SectionShape) String() string {
	switch s {
	case Superellipse:
		return "superellipse"
	case Lens:
		return "lens"
	case DShape:
		return "D-shape"
	}
	return fmt.Sprintf("SectionShape(%d)", int(s))
}

// Section is the shape of a crown section apart from its size. The zero value
// is an ellipse.
type Section struct {
	Shape SectionShape
	// Exponent of Superellipse and DShape; 0 means 2.
	Exponent float64
	// Labial is the share of the width on the labial side of the line that
	// joins the carinae, for DShape only; 0 means 0.7.
	Labial float64
}

func (s Section) exponent() float64 {
	if s.Exponent == 0 {
		return 2
	}
	return s.Exponent
}

// depths returns how far the section reaches to each side of the mesiodistal
// axis, for a section of width w.
func (s Section) depths(w float64) (labial, lingual float64) {
	share := 0.5
	if s.Shape == DShape {
		share = s.Labial
		if share == 0 {
			share = 0.7
		}
	}
	return share * w, (1 - share) * w
}

// check refuses a section that cannot be drawn: a lens wider than long, an
// exponent outside 1–20 or a labial share outside 0–1.
func (s Section) check(length, width float64) error {
	if !(length > 0) || !(width > 0) || math.IsInf(length, 0) || math.IsInf(width, 0) {
		return fmt.Errorf("toothphoto: section of %g by %g mm: both must be positive", length, width)
	}
	switch s.Shape {
	case Lens:
		if width > length {
			return fmt.Errorf("toothphoto: a lens %g mm wide cannot be %g mm long: the arcs would not meet at the carinae", width, length)
		}
	case Superellipse, DShape:
		if n := s.exponent(); !(n >= 1 && n <= 20) {
			return fmt.Errorf("toothphoto: section exponent %g is outside 1 to 20", n)
		}
		if s.Shape == DShape && !(s.Labial >= 0 && s.Labial < 1) {
			return fmt.Errorf("toothphoto: labial share %g is outside 0 to 1", s.Labial)
		}
	default:
		return fmt.Errorf("toothphoto: unknown section shape %d", int(s.Shape))
	}
	return nil
}

// profile returns the half thickness, as a fraction of the greatest one, at
// u = -1 (mesial end) to 1 (distal end), and its derivative by u. The
// derivative is limited to steepness 6 because it is used for shading only.
func (s Section) profile(u, length, width float64) (h, slope float64) {
	const steepest = 6
	if u <= -1 {
		return 0, steepest
	}
	if u >= 1 {
		return 0, -steepest
	}
	if s.Shape == Lens {
		r, _ := lensArc(length, width)
		x := u * length / 2
		root := math.Sqrt(r*r - x*x)
		h = (root - (r - width/2)) / (width / 2)
		slope = -x / root * (length / 2) / (width / 2)
	} else {
		n := s.exponent()
		a := math.Abs(u)
		var rest, power float64
		if n == 2 {
			rest = 1 - a*a
			h = math.Sqrt(rest)
			power = a / math.Max(h, 1e-9)
		} else {
			rest = 1 - math.Pow(a, n)
			h = math.Pow(rest, 1/n)
			power = math.Pow(a, n-1) * math.Pow(rest, 1/n-1)
		}
		slope = -math.Copysign(power, u)
	}
	return h, math.Max(-steepest, math.Min(steepest, slope))
}

// lensArc returns the radius of the two arcs of a circular lens and the half
// angle that each subtends.
func lensArc(length, width float64) (radius, half float64) {
	s := width / 2
	radius = (length*length/4 + s*s) / (2 * s)
	half = 2 * math.Atan2(2*s, length)
	return radius, half
}

// Outline returns n points of the section of the given length and width (mm),
// from the mesial end (0, 0) along the labial side (y > 0) to the distal end
// (length, 0), which is point n/2, and back along the lingual side. The curve
// is closed: the first point is not repeated. n must be even and at least 8.
func (s Section) Outline(length, width float64, n int) ([]r2.Vec, error) {
	if err := s.check(length, width); err != nil {
		return nil, err
	}
	if n < 8 || n%2 != 0 {
		return nil, fmt.Errorf("toothphoto: a section outline of %d points: the number must be even and at least 8", n)
	}
	labial, lingual := s.depths(width)
	pts := make([]r2.Vec, n)
	for i := range pts {
		angle := 2 * math.Pi * float64(i) / float64(n)
		depth := labial
		if i > n/2 {
			depth = lingual
		}
		var u, h float64
		if s.Shape == Lens {
			r, half := lensArc(length, width)
			var sweep float64
			if i <= n/2 {
				sweep = half * (2*angle/math.Pi - 1)
			} else {
				sweep = half * (3 - 2*angle/math.Pi)
			}
			u = r * math.Sin(sweep) / (length / 2)
			h = (r*math.Cos(sweep) - (r - width/2)) / (width / 2)
		} else {
			// The exponent 2/n keeps the points even along a superellipse.
			e := 2 / s.exponent()
			u = -math.Copysign(math.Pow(math.Abs(math.Cos(angle)), e), math.Cos(angle))
			h = math.Pow(math.Abs(math.Sin(angle)), e)
		}
		y := depth * h
		if i > n/2 {
			y = -y
		}
		pts[i] = r2.Vec{X: length / 2 * (1 + u), Y: y}
	}
	pts[0] = r2.Vec{}
	pts[n/2] = r2.Vec{X: length}
	return pts, nil
}

// SectionProperties are the area (mm²) and the second moments of area (mm⁴)
// of a solid section about axes through its centroid.
type SectionProperties struct {
	Area float64 // mm²
	// AboutMesiodistal is ∫y² dA, y the labiolingual distance from the
	// centroid: it resists bending in the labiolingual direction.
	AboutMesiodistal float64 // mm⁴
	// AboutLabiolingual is ∫x² dA, x the mesiodistal distance from the
	// centroid: it resists bending in the mesiodistal direction.
	AboutLabiolingual float64 // mm⁴
	// CentroidY is the labiolingual position of the centroid, positive toward
	// the labial side of the line that joins the carinae.
	CentroidY float64 // mm
}

// Properties returns the area and second moments of the section in closed
// form. It returns the errors of a section that cannot be drawn.
func (s Section) Properties(length, width float64) (SectionProperties, error) {
	if err := s.check(length, width); err != nil {
		return SectionProperties{}, err
	}
	if s.Shape == Lens {
		return lensProperties(length, width), nil
	}
	a := length / 2
	n := s.exponent()
	labial, lingual := s.depths(width)
	// Dirichlet's integral over a quarter of the superellipse.
	quarter := func(b float64, p, q float64) float64 {
		return math.Pow(a, p) * math.Pow(b, q) / (n * n) *
			math.Gamma(p/n) * math.Gamma(q/n) / math.Gamma((p+q)/n+1)
	}
	area := 2 * (quarter(labial, 1, 1) + quarter(lingual, 1, 1))
	moment := 2 * (quarter(labial, 1, 2) - quarter(lingual, 1, 2))
	yy := 2 * (quarter(labial, 1, 3) + quarter(lingual, 1, 3))
	xx := 2 * (quarter(labial, 3, 1) + quarter(lingual, 3, 1))
	centroid := moment / area
	return SectionProperties{
		Area:              area,
		AboutMesiodistal:  yy - area*centroid*centroid,
		AboutLabiolingual: xx,
		CentroidY:         centroid,
	}, nil
}

// lensProperties integrates two circular segments back to back.
func lensProperties(length, width float64) SectionProperties {
	r, t := lensArc(length, width)
	sin, cos := math.Sincos(t)
	h := r * cos
	segment := r * r * (t - sin*cos)
	first := 2. / 3 * r * r * r * sin * sin * sin
	second := math.Pow(r, 4) / 4 * (t - sin*cos + 2*sin*sin*sin*cos)
	return SectionProperties{
		Area:              2 * segment,
		AboutMesiodistal:  2 * (second - 2*h*first + h*h*segment),
		AboutLabiolingual: math.Pow(r, 4)/2*(t-sin*cos) - math.Pow(r, 4)/3*sin*sin*sin*cos,
	}
}
