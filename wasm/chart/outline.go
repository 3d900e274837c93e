package chart

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/stat"

	m "crownbench/wasm/markup"
)

// Outline goes round the points of a group: their convex hull, or with a
// Coverage (0 to 1) the ellipse that would hold that part of them were they
// normal, on a logarithmic axis in their logs. Fewer than three points, or
// points in one line, have none.
type Outline struct {
	Name     string
	Group    Group
	At       []r2.Vec
	Coverage float64
}

// corners of the outline in the axes' own measures.
func (k Outline) corners(x, y extent) []r2.Vec {
	var at []r2.Vec
	for _, p := range k.At {
		tx, okX := x.of(p.X)
		ty, okY := y.of(p.Y)
		if okX && okY {
			at = append(at, r2.Vec{X: tx, Y: ty})
		}
	}
	if k.Coverage > 0 && k.Coverage < 1 {
		return Ellipse(at, k.Coverage)
	}
	return Hull(at)
}

func (k Outline) reach(x, y *extent) {
	for _, c := range k.corners(*x, *y) {
		x.add(c.X)
		y.add(c.Y)
	}
}

func (k Outline) draw(l Layout) []*m.Node {
	d := ""
	for i, c := range k.corners(l.x.extent, l.y.extent) {
		d += string("ML"[min(i, 1)]) + px(l.x.px(c.X)) + " " + px(l.y.px(c.Y))
	}
	if d == "" {
		return nil
	}
	return []*m.Node{k.line(d + "z")}
}

// line has the dashes of its group, so that outlines that cross can be told
// apart without colour too.
func (k Outline) line(d string) *m.Node {
	n := line(d, k.Group.Colour(), 1.6, false)
	if dashes := []string{"", "7 3", "2 3", "9 3 2 3", "4 4"}; k.Group > 0 {
		if dash := dashes[int(k.Group)%len(dashes)]; dash != "" {
			n.Attrs["stroke-dasharray"] = dash
		}
	}
	return n
}

func (k Outline) key(at r2.Vec) (string, []*m.Node) {
	return k.Name, []*m.Node{k.line("M" + px(at.X-6) + " " + px(at.Y) + "h12")}
}

// Hull returns the corners of the smallest convex polygon round points, turning
// from x towards y, by Andrew's monotone chain (1979). Points in one line have
// none.
func Hull(points []r2.Vec) []r2.Vec {
	at := slices.Clone(points)
	slices.SortFunc(at, func(a, b r2.Vec) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	at = slices.Compact(at)
	chain := func() []r2.Vec {
		var c []r2.Vec
		for _, p := range at {
			for len(c) > 1 && !(r2.Cross(r2.Sub(c[len(c)-1], c[len(c)-2]), r2.Sub(p, c[len(c)-2])) > 0) {
				c = c[:len(c)-1]
			}
			c = append(c, p)
		}
		return c
	}
	lower := chain()
	slices.Reverse(at)
	upper := chain()
	if len(lower)+len(upper) < 5 {
		return nil
	}
	return append(lower[:len(lower)-1:len(lower)-1], upper[:len(upper)-1]...)
}

// ellipseCorners is how many corners an ellipse is drawn with.
const ellipseCorners = 72

// Ellipse returns points on the ellipse about the mean of points that holds a
// part of a normal distribution with their covariance (divisor n-1): squared
// Mahalanobis distance -2·ln(1-coverage), the quantile of chi-square with two
// degrees of freedom in closed form. Fewer than three points or points without
// any spread have none.
func Ellipse(points []r2.Vec, coverage float64) []r2.Vec {
	if len(points) < 3 {
		return nil
	}
	x, y := make([]float64, len(points)), make([]float64, len(points))
	for i, p := range points {
		x[i], y[i] = p.X, p.Y
	}
	mx, vx := stat.MeanVariance(x, nil)
	my, vy := stat.MeanVariance(y, nil)
	r := math.Sqrt(-2 * math.Log1p(-coverage))
	// The lower triangle L of the covariance carries the unit circle onto it.
	l11 := math.Sqrt(vx)
	l21 := 0.0
	if l11 > 0 {
		l21 = stat.Covariance(x, y, nil) / l11
	}
	l22 := math.Sqrt(max(0, vy-l21*l21))
	if size := math.Hypot(l11, math.Hypot(l21, l22)); !(size > 0) || math.IsInf(r*size, 0) || math.IsInf(mx, 0) || math.IsInf(my, 0) {
		return nil
	}
	at := make([]r2.Vec, ellipseCorners)
	for i := range at {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / ellipseCorners)
		at[i] = r2.Vec{X: mx + r*l11*cos, Y: my + r*(l21*cos+l22*sin)}
	}
	return at
}
