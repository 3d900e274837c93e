package morph_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"crownbench/morph"
)

func points(xy ...float64) []r2.Vec {
	var out []r2.Vec
	for i := 0; i < len(xy); i += 2 {
		out = append(out, r2.Vec{X: xy[i], Y: xy[i+1]})
	}
	return out
}

// CALC: closed forms.
func TestMoments(t *testing.T) {
	for _, c := range []struct {
		name    string
		outline []r2.Vec
		want    morph.Moments
	}{
		{"rectangle 4×2", points(0, 0, 4, 0, 4, 2, 0, 2),
			morph.Moments{Area: 8, Centroid: r2.Vec{X: 2, Y: 1}, Ixx: 8.0 / 3, Iyy: 32.0 / 3}},
		{"right triangle 3×3", points(0, 0, 3, 0, 0, 3),
			morph.Moments{Area: 4.5, Centroid: r2.Vec{X: 1, Y: 1}, Ixx: 2.25, Iyy: 2.25, Ixy: -1.125}},
		{"L", points(0, 0, 4, 0, 4, 1, 1, 1, 1, 3, 0, 3),
			morph.Moments{Area: 6, Centroid: r2.Vec{X: 1.5, Y: 1}, Ixx: 4, Iyy: 8.5, Ixy: -3}},
	} {
		clockwise := slices.Clone(c.outline)
		slices.Reverse(clockwise)
		for way, outline := range map[string][]r2.Vec{"": c.outline, ", clockwise": clockwise} {
			got := morph.MomentsOf(outline)
			name := c.name + way
			near(t, name+" area", got.Area, c.want.Area, 1e-9)
			near(t, name+" x", got.Centroid.X, c.want.Centroid.X, 1e-9)
			near(t, name+" y", got.Centroid.Y, c.want.Centroid.Y, 1e-9)
			near(t, name+" Ixx", got.Ixx, c.want.Ixx, 1e-9)
			near(t, name+" Iyy", got.Iyy, c.want.Iyy, 1e-9)
			near(t, name+" Ixy", got.Ixy, c.want.Ixy, 1e-9)
			near(t, name+" area alone", morph.Area(outline), c.want.Area, 1e-9)
		}
	}
}

// CALC: the L has principal moments 10 and 2.5.
func TestPrincipal(t *testing.T) {
	m := morph.MomentsOf(points(0, 0, 4, 0, 4, 1, 1, 1, 1, 3, 0, 3))
	largest, smallest, degrees := m.Principal()
	near(t, "largest", largest, 10, 1e-9)
	near(t, "smallest", smallest, 2.5, 1e-9)
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	near(t, "along the principal direction", m.Along(r2.Vec{X: cos, Y: sin}), 10, 1e-9)
	near(t, "across it", m.Along(r2.Vec{X: -sin, Y: cos}), 2.5, 1e-9)

	// A 4×2 rectangle resists most along its length.
	if _, _, degrees := morph.MomentsOf(points(0, 0, 4, 0, 4, 2, 0, 2)).Principal(); degrees != 0 {
		t.Errorf("rectangle: direction %g°, want 0", degrees)
	}
}

// CALC: n/(2π)·sin(2π/n) of an ellipse's area lies inside its regular n-gon.
func TestAreaOfInscribedPolygon(t *testing.T) {
	var outline []r2.Vec
	for i := range 360 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 360)
		outline = append(outline, r2.Vec{X: 10 * cos, Y: 5 * sin})
	}
	nearRel(t, "share of the ellipse", morph.Area(outline)/(math.Pi*50), 0.9999492312, 1e-9)
}

func TestMomentsOfNoArea(t *testing.T) {
	for _, o := range [][]r2.Vec{nil, points(1, 2), points(0, 0, 1, 1), points(0, 0, 1, 1, 2, 2), points(0, 0, math.NaN(), 1, 2, 3), points(0, 0, math.Inf(1), 1, 2, 3)} {
		if m := morph.MomentsOf(o); m != (morph.Moments{}) {
			t.Errorf("%v: moments %+v, want none", o, m)
		}
	}
}

// A starlike outline around a centre: radii in draw order.
func outlines(t *rapid.T) []r2.Vec {
	n := rapid.IntRange(3, 40).Draw(t, "n")
	var out []r2.Vec
	for i := range n {
		r := rapid.Float64Range(1, 20).Draw(t, "r")
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out = append(out, r2.Vec{X: r * cos, Y: r * sin})
	}
	return out
}

// Shift, turn, mirror, another start and the other way round change nothing
// that does not depend on the axes.
func TestMomentsInvariant(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		outline := outlines(t)
		before := morph.MomentsOf(outline)
		i1, i2, _ := before.Principal()
		shift := r2.Vec{X: rapid.Float64Range(-1e3, 1e3).Draw(t, "dx"), Y: rapid.Float64Range(-1e3, 1e3).Draw(t, "dy")}
		angle := rapid.Float64Range(0, 7).Draw(t, "angle")
		mirror := rapid.Bool().Draw(t, "mirror")
		var moved []r2.Vec
		for _, p := range outline {
			if mirror {
				p.X = -p.X
			}
			moved = append(moved, r2.Add(r2.Rotate(p, angle, r2.Vec{}), shift))
		}
		start := rapid.IntRange(0, len(moved)-1).Draw(t, "start")
		moved = append(moved[start:len(moved):len(moved)], moved[:start]...)
		if rapid.Bool().Draw(t, "reverse") {
			slices.Reverse(moved)
		}
		after := morph.MomentsOf(moved)
		j1, j2, _ := after.Principal()
		nearRel(t, "area", after.Area, before.Area, 1e-8)
		nearRel(t, "largest", j1, i1, 1e-6)
		near(t, "smallest", j2, i2, 1e-6*i1)
		near(t, "polar", after.Ixx+after.Iyy, i1+i2, 1e-6*i1)
	})
}

func ExampleMomentsOf() {
	m := morph.MomentsOf([]r2.Vec{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 4, Y: 2}, {X: 0, Y: 2}})
	fmt.Printf("area %g, along x %.4f, along y %.4f\n", m.Area, m.Iyy, m.Ixx)
	// Output: area 8, along x 10.6667, along y 2.6667
}
