package vision

import (
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r2"
)

// walk is a line with the way along it: arc[i] is the length of the line up to
// point i, px.
type walk struct {
	points []r2.Vec
	arc    []float64
}

func walkAlong(points []r2.Vec) walk {
	w := walk{points: points, arc: make([]float64, len(points))}
	for i := 1; i < len(points); i++ {
		w.arc[i] = w.arc[i-1] + r2.Norm(r2.Sub(points[i], points[i-1]))
	}
	return w
}

func (w walk) length() float64 { return w.arc[len(w.arc)-1] }

// at is the point a length s along the line, kept between its ends.
func (w walk) at(s float64) r2.Vec {
	n := len(w.points)
	if n == 1 || s <= 0 {
		return w.points[0]
	}
	i := sort.SearchFloat64s(w.arc, s)
	if i >= n {
		return w.points[n-1]
	}
	if i == 0 {
		return w.points[0]
	}
	d := w.arc[i] - w.arc[i-1]
	f := 0.0
	if d > 0 {
		f = (s - w.arc[i-1]) / d
	}
	return r2.Add(r2.Scale(1-f, w.points[i-1]), r2.Scale(f, w.points[i]))
}

// part gives the points between two lengths along the line, both ends too.
func (w walk) part(from, to float64) []r2.Vec {
	out := []r2.Vec{w.at(from)}
	for i, s := range w.arc {
		if s > from && s < to {
			out = append(out, w.points[i])
		}
	}
	return append(out, w.at(to))
}

// reversed gives the line walked the other way.
func reversed(line []r2.Vec) []r2.Vec {
	out := make([]r2.Vec, len(line))
	for i, p := range line {
		out[len(line)-1-i] = p
	}
	return out
}

// curve is a polynomial y = c0 + c1·t + c2·t² + … in t = (x - mid) / half, which
// goes from -1 to 1 over the points it was fitted to, with their deviation from
// it and what its coefficients' uncertainty follows from.
type curve struct {
	c         []float64
	mid, half float64
	sd        float64
	normal    mat.Cholesky // of the normal equations
	valid     bool
}

// fit puts a polynomial of a degree through points by least squares.
func fit(x, y []float64, degree int) curve { return fitWeighed(x, y, nil, degree) }

// fitWeighed is fit where points count by their weights, all alike when there
// are none.
func fitWeighed(x, y, weight []float64, degree int) curve {
	n, k := len(x), degree+1
	if n < k+1 {
		return curve{}
	}
	low, high := slices.Min(x), slices.Max(x)
	if low == high {
		return curve{}
	}
	out := curve{c: make([]float64, k), mid: (low + high) / 2, half: (high - low) / 2}
	// Over -1 to 1 the normal equations of so low a degree keep their digits.
	normal, right := mat.NewSymDense(k, nil), mat.NewVecDense(k, nil)
	weigh := func(i int) float64 {
		if weight == nil {
			return 1
		}
		return weight[i]
	}
	for i, v := range x {
		p := out.powers(v)
		for j := range k {
			right.SetVec(j, right.AtVec(j)+weigh(i)*p[j]*y[i])
			for l := j; l < k; l++ {
				normal.SetSym(j, l, normal.At(j, l)+weigh(i)*p[j]*p[l])
			}
		}
	}
	if !out.normal.Factorize(normal) {
		return curve{}
	}
	if out.normal.SolveVecTo(mat.NewVecDense(k, out.c), right) != nil {
		return curve{}
	}
	out.valid = true
	sum := 0.0
	for i, v := range x {
		d := y[i] - out.at(v)
		sum += weigh(i) * d * d
	}
	out.sd = math.Sqrt(sum / float64(n-k))
	return out
}

// powers are 1, t, t², … at x, as many as there are coefficients.
func (c *curve) powers(x float64) []float64 {
	p := make([]float64, len(c.c))
	t := (x - c.mid) / c.half
	for j, power := 0, 1.0; j < len(p); j, power = j+1, power*t {
		p[j] = power
	}
	return p
}

func (c *curve) at(x float64) float64 {
	t, v := (x-c.mid)/c.half, 0.0
	for j := len(c.c) - 1; j >= 0; j-- {
		v = v*t + c.c[j]
	}
	return v
}

// slope is the polynomial's derivative.
func (c *curve) slope(x float64) float64 {
	t, v := (x-c.mid)/c.half, 0.0
	for j := len(c.c) - 1; j >= 1; j-- {
		v = v*t + float64(j)*c.c[j]
	}
	return v / c.half
}

// bend is half the second derivative of a polynomial of degree two.
func (c *curve) bend() float64 { return c.c[2] / (c.half * c.half) }

// u is the standard uncertainty of the polynomial at x.
func (c *curve) u(x float64) float64 {
	p := mat.NewVecDense(len(c.c), c.powers(x))
	var q mat.VecDense
	if c.normal.SolveVecTo(&q, p) != nil {
		return math.Inf(1)
	}
	return c.sd * math.Sqrt(math.Max(0, mat.Dot(p, &q)))
}

// frame is a turned coordinate system: along one direction and to its right.
type frame struct {
	origin, along, right r2.Vec
}

func frameOf(origin, along r2.Vec) frame {
	along = r2.Unit(along)
	return frame{origin, along, r2.Vec{X: -along.Y, Y: along.X}}
}

func (f frame) in(p r2.Vec) (along, right float64) {
	d := r2.Sub(p, f.origin)
	return r2.Dot(d, f.along), r2.Dot(d, f.right)
}

func (f frame) out(along, right float64) r2.Vec {
	return r2.Add(f.origin, r2.Add(r2.Scale(along, f.along), r2.Scale(right, f.right)))
}
