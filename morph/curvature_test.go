package morph_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"crownbench/morph"
)

// CALC; the model is READ in the abstract of Smith, Vann & Dodson 2005.
func TestCurvature(t *testing.T) {
	var root []r2.Vec
	for _, x := range []float64{0, 0.25, 0.5, 0.75, 1} {
		root = append(root, r2.Vec{X: x, Y: 0.5 * math.Sqrt(x)})
	}
	for _, c := range []struct {
		name string
		edge []r2.Vec
		a, b float64
	}{
		{"y = ½√x", root, 0, 0.5},
		{"five points", points(0, 0, 0.25, 0.3, 0.5, 0.4, 0.75, 0.5, 1, 0.6), -0.0015601, 0.5882599},
	} {
		a, b, err := morph.Curvature(c.edge)
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.name+" a", a, c.a, 1e-6)
		near(t, c.name+" b", b, c.b, 1e-6)
	}
}

func TestCurvatureRefuses(t *testing.T) {
	for _, edge := range [][]r2.Vec{nil, points(0, 0, 1, 1), points(2, 0, 2, 1, 2, 3), points(math.NaN(), 0, 1, 1, 2, 2)} {
		if _, b, err := morph.Curvature(edge); err == nil && !math.IsNaN(b) {
			t.Errorf("%v: slope %g, want an error", edge, b)
		}
	}
}

// A crown whose mesial edge is y = k·√x over its base line has b = k at any
// size, place, turn and in the mirror. Both axes are divided by the range of x,
// so in that unit y = (k/√range)·√x.
func TestCrownCurvature(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.Float64Range(1, 12).Draw(t, "k")
		reach := rapid.Float64Range(5, 30).Draw(t, "reach")
		size := rapid.Float64Range(0.1, 100).Draw(t, "size")
		angle := rapid.Float64Range(0, 7).Draw(t, "angle")
		mirror := rapid.Bool().Draw(t, "mirror")
		var outline []r2.Vec
		const n = 800
		for i := range n + 1 {
			x := reach * math.Pow(float64(i)/n, 2)
			outline = append(outline, r2.Vec{X: x, Y: k * math.Sqrt(x)})
		}
		apex := n
		outline = append(outline, r2.Vec{X: 20})
		for i, p := range outline {
			if mirror {
				p.X = -p.X
			}
			outline[i] = r2.Add(r2.Scale(size, r2.Rotate(p, angle, r2.Vec{})), r2.Vec{X: 300, Y: 200})
		}
		c := morph.CrownOf(outline, apex)
		if !c.CurvatureKnown {
			t.Fatal("not known")
		}
		nearRel(t, "b", c.Curvature, k/math.Sqrt(reach), 1e-3)
	})
}

// Where the clicks fall on an edge does not matter, only where the edge runs.
func TestCrownCurvatureIgnoresSpacing(t *testing.T) {
	sparse := points(0, 0, 4, 20, 12, 40, 20, 0)
	dense := points(0, 0)
	for i := 1; i <= 50; i++ {
		dense = append(dense, r2.Vec{X: 4 * float64(i) / 50, Y: 20 * float64(i) / 50})
	}
	dense = append(dense, points(12, 40, 20, 0)...)
	near(t, "b", morph.CrownOf(dense, 51).Curvature, morph.CrownOf(sparse, 2).Curvature, 1e-9)
}
