package morph

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// CrownShape is what a traced crown measures in lateral view, in the unit of
// its points. A number that the trace does not give is 0.
type CrownShape struct {
	Triangle         // A–B, A–G and G–B, straight lines
	Area     float64 // inside the outline, closed by the base line B–A
	// Curvature is the slope b of the mesial edge; see the function Curvature.
	// CurvatureKnown tells whether the edge gives one.
	Curvature      float64
	CurvatureKnown bool
}

// edgePoints is the number of evenly spaced points by which an edge is
// represented when its curvature is fitted, so that the fit does not depend on
// where a person happened to click.
const edgePoints = 101

// CrownOf measures a crown from its outline, A first and B last, and the index
// of the apex in it. An apex outside the open range between the ends gives the
// base line only.
func CrownOf(outline []r2.Vec, apex int) CrownShape {
	var c CrownShape
	last := len(outline) - 1
	if last < 1 {
		return c
	}
	a, b := outline[0], outline[last]
	c.CBL = distance(a, b)
	if apex <= 0 || apex >= last {
		return c
	}
	g := outline[apex]
	c.AL, c.CH = distance(a, g), distance(g, b)
	c.Area = Area(outline)
	if !(c.CBL > 0) {
		return c
	}
	// The base line as x axis, the apex above it: a mirrored or turned
	// photograph gives the same numbers.
	x := r2.Scale(1/c.CBL, r2.Sub(b, a))
	y := r2.Vec{X: -x.Y, Y: x.X}
	if d := r2.Sub(g, a); d.X*y.X+d.Y*y.Y < 0 {
		y = r2.Scale(-1, y)
	}
	var points [edgePoints]r2.Vec
	edge := spread(points[:], outline[:apex+1])
	for i, p := range edge {
		d := r2.Sub(p, a)
		edge[i] = r2.Vec{X: d.X*x.X + d.Y*x.Y, Y: d.X*y.X + d.Y*y.Y}
	}
	_, slope, err := Curvature(edge)
	if err == nil && !math.IsNaN(slope) && !math.IsInf(slope, 0) {
		c.Curvature, c.CurvatureKnown = slope, true
	}
	return c
}

func distance(p, q r2.Vec) float64 { return math.Hypot(p.X-q.X, p.Y-q.Y) }
