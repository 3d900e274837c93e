package morph_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"crownbench/morph"
)

// CALC: closed forms, the lenses checked against numerical integration. The
// lengths of the two specimens are READ in the compiled table of Hendrickx et
// al. 2024.
func TestSolids(t *testing.T) {
	for _, c := range []struct {
		name string
		got  morph.Bending
		want morph.Bending
	}{
		{"ellipse 20×10", morph.Ellipse(20, 10), morph.Bending{157.0796327, 3926.990817, 981.7477042, 392.6990817, 196.3495408}},
		{"circle 10", morph.Ellipse(10, 10), morph.Bending{78.5398163, 490.8738521, 490.8738521, 98.1747704, 98.1747704}},
		{"rectangle 20×10", morph.Rectangle(20, 10), morph.Bending{200, 6666.666667, 1666.666667, 666.6666667, 333.3333333}},
		{"rhombus 20×10", morph.Rhombus(20, 10), morph.Bending{100, 1666.666667, 416.6666667, 166.6666667, 83.3333333}},
		{"parabolic lens 20×10", morph.ParabolicLens(20, 10), morph.Bending{133.3333333, 2666.666667, 761.9047619, 266.6666667, 152.3809524}},
		{"circular lens 20×10", morph.CircularLens(20, 10), morph.Bending{139.7797556, 2960.146704, 822.7579581, 296.0146704, 164.5515916}},
		{"circular lens 20×8", morph.CircularLens(20, 8), morph.Bending{110.0058631, 2282.183182, 410.3295944, 228.2183182, 102.5823986}},
		{"circular lens 10×10", morph.CircularLens(10, 10), morph.Bending{78.5398163, 490.8738521, 490.8738521, 98.1747704, 98.1747704}},
		{"FMNH PR2081 mx05", morph.Ellipse(45.46, 32.63), morph.Bending{1165.028063, 150478.7818, 77526.5667, 6620.271966, 4751.858210}},
		{"SGM Din-1 mx03", morph.Ellipse(41.46, 15.15), morph.Bending{493.323509, 52999.33554, 7076.802818, 2556.649085, 934.231395}},
	} {
		nearRel(t, c.name+" area", c.got.Area, c.want.Area, 1e-6)
		nearRel(t, c.name+" I_MD", c.got.IMD, c.want.IMD, 1e-6)
		nearRel(t, c.name+" I_LL", c.got.ILL, c.want.ILL, 1e-6)
		nearRel(t, c.name+" Z_MD", c.got.ZMD, c.want.ZMD, 1e-6)
		nearRel(t, c.name+" Z_LL", c.got.ZLL, c.want.ZLL, 1e-6)
	}
}

// CALC: Z_MD/Z_LL is 1/CBR for an ellipse, a rectangle and a rhombus but not
// for a lens (1.79892 for 20×10).
func TestModulusRatio(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := rapid.Float64Range(0.5, 60).Draw(t, "length")
		w := rapid.Float64Range(0.5, 60).Draw(t, "width")
		for _, b := range []morph.Bending{morph.Ellipse(l, w), morph.Rectangle(l, w), morph.Rhombus(l, w)} {
			nearRel(t, "ratio", b.ZMD/b.ZLL, l/w, 1e-9)
		}
	})
	b := morph.CircularLens(20, 10)
	near(t, "lens", b.ZMD/b.ZLL, 1.79892, 5e-6)
}

// CALC: a cavity takes its own share away; one as large as the tooth leaves
// nothing, and a half-size one leaves 15/16 of Z.
func TestHollowEllipse(t *testing.T) {
	out := morph.Ellipse(20, 10)
	none := morph.HollowEllipse(20, 10, 0, 0)
	nearRel(t, "no cavity", none.ZMD, out.ZMD, 1e-12)
	half := morph.HollowEllipse(20, 10, 10, 5)
	nearRel(t, "half cavity area", half.Area, out.Area*3/4, 1e-12)
	nearRel(t, "half cavity Z_MD", half.ZMD, out.ZMD*15/16, 1e-12)
	nearRel(t, "half cavity Z_LL", half.ZLL, out.ZLL*15/16, 1e-12)
}

// An outline of many points has the numbers of the closed form that it
// follows.
func TestSectionFollowsClosedForm(t *testing.T) {
	const n = 4000
	const l, w = 20.0, 10.0
	type form struct {
		name string
		want morph.Bending
		half func(x float64) float64 // half thickness at x from the middle
	}
	r := (l*l/4 + w*w/4) / w
	for _, f := range []form{
		{"ellipse", morph.Ellipse(l, w), func(x float64) float64 { return w / 2 * math.Sqrt(max(0, 1-4*x*x/l/l)) }},
		{"rhombus", morph.Rhombus(l, w), func(x float64) float64 { return w / 2 * (1 - 2*math.Abs(x)/l) }},
		{"parabolic lens", morph.ParabolicLens(l, w), func(x float64) float64 { return w / 2 * (1 - 4*x*x/l/l) }},
		{"circular lens", morph.CircularLens(l, w), func(x float64) float64 { return math.Sqrt(r*r-x*x) - (r - w/2) }},
	} {
		var outline []r2.Vec
		for i := range n {
			// By equal angles, so that blunt ends are followed closely.
			x := -l / 2 * math.Cos(math.Pi*float64(i)/n)
			outline = append(outline, r2.Vec{X: x, Y: f.half(x)})
		}
		for i := range n {
			x := l / 2 * math.Cos(math.Pi*float64(i)/n)
			outline = append(outline, r2.Vec{X: x, Y: -f.half(x)})
		}
		for i, p := range outline { // turned, so that no axis helps
			outline[i] = r2.Rotate(p, 0.7, r2.Vec{X: 3, Y: -2})
		}
		s := morph.SectionOf(outline, outline[0], outline[n])
		nearRel(t, f.name+" length", s.Length, l, 1e-9)
		nearRel(t, f.name+" width", s.Width, w, 1e-6)
		nearRel(t, f.name+" area", s.Area, f.want.Area, 1e-5)
		nearRel(t, f.name+" I_MD", s.IMD, f.want.IMD, 1e-5)
		nearRel(t, f.name+" I_LL", s.ILL, f.want.ILL, 1e-5)
		nearRel(t, f.name+" Z_MD", s.ZMD, f.want.ZMD, 1e-5)
		nearRel(t, f.name+" Z_LL", s.ZLL, f.want.ZLL, 1e-5)
	}
}

// CALC: the L of TestMoments, its long arm lying mesiodistally: Z over the
// farther side from the centroid (1.5, 1).
func TestSectionWithoutSymmetry(t *testing.T) {
	s := morph.SectionOf(points(0, 0, 4, 0, 4, 1, 1, 1, 1, 3, 0, 3), r2.Vec{}, r2.Vec{X: 4})
	near(t, "length", s.Length, 4, 1e-12)
	near(t, "width", s.Width, 3, 1e-12)
	near(t, "I_MD", s.IMD, 8.5, 1e-9)
	near(t, "I_LL", s.ILL, 4, 1e-9)
	near(t, "Z_MD", s.ZMD, 8.5/2.5, 1e-9)
	near(t, "Z_LL", s.ZLL, 4.0/2, 1e-9)
}
