package shape_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"crownbench/morph/shape"
)

func outline(t testing.TB, n int, points ...r2.Vec) shape.Outline {
	t.Helper()
	o, err := shape.Of(points, n)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

type reporter interface {
	Helper()
	Errorf(format string, args ...any)
}

func near(t reporter, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.12g, want %.12g ± %g", what, got, want, tol)
	}
}

func square() []r2.Vec {
	return []r2.Vec{{X: 1}, {X: 1, Y: 1}, {X: -1, Y: 1}, {X: -1, Y: -1}, {X: 1, Y: -1}}
}

// CALC: closed forms of the square of side 2, the rectangle 6 × 2 and the
// triangle 3-4-5 under the definition of Kuhl & Giardina 1982.
func TestHarmonicsOfPolygons(t *testing.T) {
	const tol = 1e-9
	q := outline(t, 5, square()...)
	near(t, "perimeter", q.Perimeter, 8, tol)
	near(t, "square a1", q.Harmonics[0].A, 8*math.Sqrt2/math.Pi/math.Pi, tol)
	near(t, "square d1", q.Harmonics[0].D, 1.1463183365, tol)
	near(t, "square b1", q.Harmonics[0].B, 0, tol)
	near(t, "square c1", q.Harmonics[0].C, 0, tol)
	for _, k := range []int{1, 3} {
		h := q.Harmonics[k]
		near(t, fmt.Sprint("square harmonic ", k+1), math.Abs(h.A)+math.Abs(h.B)+math.Abs(h.C)+math.Abs(h.D), 0, tol)
	}
	near(t, "square a3", q.Harmonics[2].A, -0.1273687041, tol)
	near(t, "square d3", q.Harmonics[2].D, 0.1273687041, tol)
	near(t, "square a5", q.Harmonics[4].A, -0.0458527335, tol)
	near(t, "square d5", q.Harmonics[4].D, -0.0458527335, tol)

	q = outline(t, 1, append(square()[1:], square()[0])...)
	near(t, "square from a corner a1", q.Harmonics[0].A, 8/math.Pi/math.Pi, tol)
	near(t, "square from a corner b1", q.Harmonics[0].B, -0.8105694691, tol)
	near(t, "square from a corner c1", q.Harmonics[0].C, 0.8105694691, tol)
	near(t, "square from a corner d1", q.Harmonics[0].D, 0.8105694691, tol)

	r := outline(t, 3, r2.Vec{X: 3}, r2.Vec{X: 3, Y: 1}, r2.Vec{X: -3, Y: 1}, r2.Vec{X: -3, Y: -1}, r2.Vec{X: 3, Y: -1})
	near(t, "rectangle a1", r.Harmonics[0].A, 2.9954741689, tol)
	near(t, "rectangle d1", r.Harmonics[0].D, 1.2407660265, tol)
	near(t, "rectangle a3", r.Harmonics[2].A, 0.1378628918, tol)
	near(t, "rectangle d3", r.Harmonics[2].D, 0.3328304632, tol)
	f, err := r.Form()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "rectangle's form a1", f[0].A, 1, tol)
	near(t, "rectangle's form d1", f[0].D, math.Sqrt2-1, tol)
	near(t, "rectangle's roundness", f.Roundness(), 0.4142135624, tol)
	near(t, "rectangle's form a3", f[2].A, 0.0460237292, tol)
	near(t, "rectangle's form d3", f[2].D, 1.0/9, tol)

	x := outline(t, 1, r2.Vec{}, r2.Vec{X: 4}, r2.Vec{Y: 3})
	near(t, "triangle T", x.Perimeter, 12, tol)
	near(t, "triangle A0", x.Centre.X, 1.5, tol)
	near(t, "triangle C0", x.Centre.Y, 1, tol)
	near(t, "triangle a1", x.Harmonics[0].A, -1.1550614935, tol)
	near(t, "triangle b1", x.Harmonics[0].B, 1.4340062464, tol)
	near(t, "triangle c1", x.Harmonics[0].C, -0.4255489713, tol)
	near(t, "triangle d1", x.Harmonics[0].D, -1.2885715513, tol)
}

// CALC: an ellipse is not its own first harmonic when the parameter is length.
func TestEllipseIsNotItsFirstHarmonic(t *testing.T) {
	o := outline(t, 3, ellipse(5, 3, 2000)...)
	near(t, "a1", o.Harmonics[0].A, 4.677256, 1e-5)
	near(t, "d1", o.Harmonics[0].D, 3.171278, 1e-5)
	near(t, "a3", o.Harmonics[2].A, 0.261796, 1e-5)
	near(t, "d3", o.Harmonics[2].D, 0.201055, 1e-5)
	near(t, "perimeter of the polygon", o.Perimeter, 25.526988, 1e-5)
}

func ellipse(a, b float64, n int) []r2.Vec {
	out := make([]r2.Vec, n)
	for i := range out {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out[i] = r2.Vec{X: a * cos, Y: b * sin}
	}
	return out
}

// egg draws an outline with one blunt and one pointed end and uneven sides, so
// that nothing about its form is a matter of choice.
func egg(t *rapid.T) []r2.Vec {
	n := rapid.IntRange(20, 90).Draw(t, "points")
	b := rapid.Float64Range(0.3, 0.7).Draw(t, "width")
	skew := rapid.Float64Range(0.1, 0.3).Draw(t, "skew") * rapid.SampledFrom([]float64{-1, 1}).Draw(t, "end")
	lean := rapid.Float64Range(-0.2, 0.2).Draw(t, "lean")
	out := ellipse(1, b, n)
	for i, p := range out {
		out[i] = r2.Vec{X: p.X, Y: p.Y*(1+skew*p.X) + lean*p.X*p.X}
	}
	return out
}

// Where an outline lies, how large it is, how it is turned, where it starts and
// which way round it runs change nothing.
func TestFormIsInvariant(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		points := egg(t)
		size := rapid.Float64Range(0.01, 1000).Draw(t, "size")
		sin, cos := math.Sincos(rapid.Float64Range(-10, 10).Draw(t, "turn"))
		shift := r2.Vec{X: rapid.Float64Range(-100, 100).Draw(t, "x"), Y: rapid.Float64Range(-100, 100).Draw(t, "y")}
		start := rapid.IntRange(0, len(points)-1).Draw(t, "start")
		back := rapid.Bool().Draw(t, "back")
		moved := make([]r2.Vec, len(points))
		for i := range points {
			k := (start + i) % len(points)
			if back {
				k = (start + len(points) - i) % len(points)
			}
			p := points[k]
			moved[i] = r2.Add(shift, r2.Scale(size, r2.Vec{X: cos*p.X - sin*p.Y, Y: sin*p.X + cos*p.Y}))
		}
		f, g := form(t, points), form(t, moved)
		for k := range f {
			const tol = 1e-9
			near(t, fmt.Sprint("a", k+1), g[k].A, f[k].A, tol)
			near(t, fmt.Sprint("b", k+1), g[k].B, f[k].B, tol)
			near(t, fmt.Sprint("c", k+1), g[k].C, f[k].C, tol)
			near(t, fmt.Sprint("d", k+1), g[k].D, f[k].D, tol)
		}
		near(t, "distance", shape.Distance(f, g, false), 0, 1e-9)
	})
}

func form(t *rapid.T, points []r2.Vec) shape.Form {
	o, err := shape.Of(points, 12)
	if err != nil {
		t.Fatal(err)
	}
	f, err := o.Form()
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// A mirror image is the same form only where that is allowed for, and a form
// mirrored twice is itself.
func TestMirroredForm(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		points := egg(t)
		mirror := make([]r2.Vec, len(points))
		lean := 0.0
		for i, p := range points {
			mirror[i] = r2.Vec{X: p.X, Y: -p.Y}
			lean += p.Y
		}
		f, g := form(t, points), form(t, mirror)
		near(t, "distance to the mirror image", shape.Distance(f, g, true), 0, 1e-9)
		near(t, "mirrored form", shape.Distance(f.Mirrored(), g, false), 0, 1e-9)
		near(t, "mirrored twice", shape.Distance(f.Mirrored().Mirrored(), f, false), 0, 1e-12)
		if math.Abs(lean)/float64(len(points)) > 0.02 && shape.Distance(f, g, false) < 1e-3 {
			t.Errorf("an outline that leans is %g from its mirror image", shape.Distance(f, g, false))
		}
	})
}

// Parseval: the distance is that between points of equal length along the two.
func TestDistanceIsBetweenOutlines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, g := form(t, egg(t)), form(t, egg(t))
		rms := func(f, g shape.Form) float64 {
			p, q := shape.Outline{Harmonics: f}.Points(64), shape.Outline{Harmonics: g}.Points(64)
			sum := 0.0
			for i := range p {
				sum += r2.Norm2(r2.Sub(p[i], q[i]))
			}
			return math.Sqrt(sum / float64(len(p)))
		}
		turned := append(shape.Form(nil), g...)
		for k := 1; k < len(turned); k += 2 {
			h := turned[k]
			turned[k] = shape.Harmonic{A: -h.A, B: -h.B, C: -h.C, D: -h.D}
		}
		near(t, "distance", shape.Distance(f, g, false), min(rms(f, g), rms(f, turned)), 1e-9)
		near(t, "distance the other way", shape.Distance(g, f, false), shape.Distance(f, g, false), 1e-12)
	})
}

// With enough harmonics the outline comes back: the error falls as 1/n.
func TestOutlineComesBack(t *testing.T) {
	rect := []r2.Vec{{X: 3}, {X: 3, Y: 1}, {X: -3, Y: 1}, {X: -3, Y: -1}, {X: 3, Y: -1}}
	o := outline(t, 300, rect...)
	for i, p := range o.Points(160) {
		// 16 length units around: 10 points a unit, from (3,0) upward.
		s := float64(i) / 10
		var want r2.Vec
		switch {
		case s <= 1:
			want = r2.Vec{X: 3, Y: s}
		case s <= 7:
			want = r2.Vec{X: 4 - s, Y: 1}
		case s <= 9:
			want = r2.Vec{X: -3, Y: 8 - s}
		case s <= 15:
			want = r2.Vec{X: s - 12, Y: -1}
		default:
			want = r2.Vec{X: 3, Y: s - 16}
		}
		near(t, fmt.Sprint("point ", i), r2.Norm(r2.Sub(p, want)), 0, 0.01)
	}
}

// CALC: the triangle 3-4-5, and a unit square against a rectangle 2 × 1.
func TestProcrustes(t *testing.T) {
	near(t, "centroid size", shape.CentroidSize([]r2.Vec{{}, {X: 4}, {Y: 3}}), math.Sqrt(50.0/3), 1e-12)
	unit := []r2.Vec{{}, {X: 1}, {X: 1, Y: 1}, {Y: 1}}
	double := []r2.Vec{{}, {X: 2}, {X: 2, Y: 1}, {Y: 1}}
	p, err := shape.Superimpose(unit, double, false)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "full distance²", p.Full*p.Full, 0.1, 1e-12)
	near(t, "partial distance²", p.Partial*p.Partial, 2-6/math.Sqrt(10), 1e-12)
	near(t, "angle", p.Angle, 0.3217505544, 1e-10)

	scalene := []r2.Vec{{}, {X: 4}, {X: 1, Y: 2}}
	mirror := []r2.Vec{{}, {X: -4}, {X: -1, Y: 2}}
	p, err = shape.Superimpose(scalene, mirror, true)
	if err != nil || !p.Mirrored || p.Full > 1e-7 {
		t.Errorf("mirror image: %+v, %v", p, err)
	}
	p, err = shape.Superimpose(scalene, mirror, false)
	if err != nil || p.Mirrored || p.Full < 0.1 {
		t.Errorf("mirror image where none is allowed: %+v, %v", p, err)
	}
}

func TestShapeRefuses(t *testing.T) {
	nowhere := r2.Vec{X: math.NaN()}
	for _, c := range []struct {
		points []r2.Vec
		n      int
		want   string
	}{
		{square(), 0, "from 1 to 500"}, {square(), 501, "from 1 to 500"}, {nil, 3, "three points"},
		{[]r2.Vec{{X: 1}, {X: 1}, {X: 2}, {X: 1}}, 3, "three points"}, {append(square(), nowhere), 3, "no position"},
		{[]r2.Vec{{X: 1}, {X: math.Inf(1)}, {Y: 1}}, 3, "no position"},
	} {
		if _, err := shape.Of(c.points, c.n); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v, %d harmonics: %v, want %q", c.points, c.n, err, c.want)
		}
	}
	if _, err := (shape.Outline{}).Form(); err == nil {
		t.Error("nothing has a form")
	}
	for _, c := range [][2][]r2.Vec{{nil, nil}, {square(), square()[1:]}, {{{}, {}}, {{}, {X: 1}}}, {{{}, nowhere}, {{}, {X: 1}}}} {
		if _, err := shape.Superimpose(c[0], c[1], true); err == nil {
			t.Errorf("%v compared", c)
		}
	}
}

// Whatever the points, nothing panics and what is given is a number.
func TestAnyOutline(t *testing.T) {
	coordinate := rapid.OneOf(rapid.Float64(), rapid.Float64Range(-5, 5),
		rapid.SampledFrom([]float64{math.NaN(), math.Inf(1), 0, 1e308, -1e308, 5e-324}))
	rapid.Check(t, func(t *rapid.T) {
		points := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) r2.Vec {
			return r2.Vec{X: coordinate.Draw(t, "x"), Y: coordinate.Draw(t, "y")}
		}), 0, 8).Draw(t, "points")
		o, err := shape.Of(points, 4)
		if err != nil {
			return
		}
		f, err := o.Form()
		if err != nil {
			return
		}
		if d := shape.Distance(f, f, true); d != 0 {
			t.Errorf("a form is %g from itself", d)
		}
		if _, err := shape.Superimpose(points, points, true); err != nil {
			return
		}
	})
}

func BenchmarkOf(b *testing.B) {
	for _, n := range []int{100, 1000, 10000} {
		points := ellipse(5, 3, n)
		b.Run(fmt.Sprintf("points=%d/harmonics=12", n), func(b *testing.B) {
			for b.Loop() {
				if _, err := shape.Of(points, 12); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func ExampleDistance() {
	// Two base sections: a lens and the same lens turned and twice as large.
	lens := []r2.Vec{{X: 2}, {X: 0, Y: 1}, {X: -2}, {X: 0, Y: -1}}
	turned := []r2.Vec{{Y: 4}, {X: -2}, {Y: -4}, {X: 2}}
	var forms [2]shape.Form
	for i, points := range [][]r2.Vec{lens, turned} {
		o, err := shape.Of(points, 8)
		if err != nil {
			fmt.Println(err)
			return
		}
		if forms[i], err = o.Form(); err != nil {
			fmt.Println(err)
			return
		}
	}
	fmt.Printf("%.3f\n", shape.Distance(forms[0], forms[1], false))
	// Output: 0.000
}
