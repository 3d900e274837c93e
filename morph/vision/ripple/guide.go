package ripple

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// guide is a smooth line along a carina, sampled at even steps, with the unit
// normal to its left (y down: left of the way along it as seen in the picture).
type guide struct {
	step    float64 // px
	points  []r2.Vec
	normals []r2.Vec
}

// guideDegree is the degree of the polynomials that a carina is freed from its
// ripple by: a carina bends once or twice, and four denticles or more bend
// oftener than that.
const guideDegree = 6

// length is the guide's length in px.
func (g guide) length() float64 { return g.step * float64(len(g.points)-1) }

// guideAlong fits a guide to a polyline; step is about how far apart its
// samples shall be.
func guideAlong(line []r2.Vec, step float64) guide {
	at := even(line, step)
	xs, ys := make([]float64, len(at)), make([]float64, len(at))
	for i, p := range at {
		xs[i], ys[i] = p.X, p.Y
	}
	xs, ys = smooth(xs, guideDegree), smooth(ys, guideDegree)
	for i := range at {
		at[i] = r2.Vec{X: xs[i], Y: ys[i]}
	}
	// Evenly in the length of the guide itself, which the ripple does not make
	// longer.
	return guideOf(even(at, step))
}

func guideOf(points []r2.Vec) guide {
	g := guide{points: points, normals: make([]r2.Vec, len(points))}
	g.step = arc(points) / float64(len(points)-1)
	for i := range points {
		t := r2.Sub(points[min(i+1, len(points)-1)], points[max(i-1, 0)])
		if n := r2.Norm(t); n > 0 {
			g.normals[i] = r2.Vec{X: t.Y / n, Y: -t.X / n}
		}
	}
	return g
}

// over gives the point at so many px along the guide and so many to its left.
func (g guide) over(s, rise float64) r2.Vec {
	f := s / g.step
	i := max(0, min(int(f), len(g.points)-2))
	w := max(0, min(1, f-float64(i)))
	p := r2.Add(r2.Scale(1-w, g.points[i]), r2.Scale(w, g.points[i+1]))
	n := r2.Add(r2.Scale(1-w, g.normals[i]), r2.Scale(w, g.normals[i+1]))
	return r2.Add(p, r2.Scale(rise, n))
}

// moved gives the guide moved to its left by the given px at each sample.
func (g guide) moved(by []float64) guide {
	line := make([]r2.Vec, len(g.points))
	for i, p := range g.points {
		line[i] = r2.Add(p, r2.Scale(by[i], g.normals[i]))
	}
	return guideOf(even(line, g.step))
}

// arc is the length of a polyline.
func arc(line []r2.Vec) float64 {
	sum := 0.0
	for i := 1; i < len(line); i++ {
		sum += r2.Norm(r2.Sub(line[i], line[i-1]))
	}
	return sum
}

// even gives points of a polyline that lie about step apart along it, both ends
// among them: at least two.
func even(line []r2.Vec, step float64) []r2.Vec {
	whole := arc(line)
	n := max(1, int(math.Round(whole/step)))
	out := make([]r2.Vec, 0, n+1)
	out = append(out, line[0])
	passed, i := 0.0, 1
	for k := 1; k < n; k++ {
		want := whole * float64(k) / float64(n)
		seg := r2.Norm(r2.Sub(line[i], line[i-1]))
		for i < len(line)-1 && passed+seg < want {
			passed += seg
			i++
			seg = r2.Norm(r2.Sub(line[i], line[i-1]))
		}
		w := 0.0
		if seg > 0 {
			w = min(1, (want-passed)/seg)
		}
		out = append(out, r2.Add(r2.Scale(1-w, line[i-1]), r2.Scale(w, line[i])))
	}
	return append(out, line[len(line)-1])
}

// smooth gives the least squares polynomial of a degree through evenly spaced
// values, at their places.
func smooth(values []float64, degree int) []float64 {
	n := len(values)
	out := make([]float64, n)
	var basis [][]float64
	for d := 0; d <= min(degree, n-1); d++ {
		// The next power made square to those before it, twice over for
		// rounding: discrete orthogonal polynomials.
		b := make([]float64, n)
		for i := range b {
			if d == 0 {
				b[i] = 1
			} else {
				b[i] = basis[d-1][i] * (2*float64(i)/float64(n-1) - 1)
			}
		}
		for range 2 {
			for _, a := range basis {
				share := dot(a, b)
				for i := range b {
					b[i] -= share * a[i]
				}
			}
		}
		size := math.Sqrt(dot(b, b))
		if !(size > 0) {
			break
		}
		for i := range b {
			b[i] /= size
		}
		basis = append(basis, b)
		share := dot(b, values)
		for i := range out {
			out[i] += share * b[i]
		}
	}
	return out
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

func without(a, b []float64) []float64 {
	out := make([]float64, len(a))
	for i := range out {
		out[i] = a[i] - b[i]
	}
	return out
}
