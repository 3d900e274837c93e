package vision

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r2"
)

// extreme is the piece of a rim that reaches farthest along a frame's direction:
// a curve, along over across, from reach before to reach after the farthest
// place.
type extreme struct {
	frame
	at, reach float64
	// corner tells that two edges meet there.
	corner bool
	c      []float64
	u      float64 // standard uncertainty of the curve at its top, px
}

// basis are the functions that the curve is made of: powers or, where two edges
// meet, a parabola on either side.
func (t *extreme) basis(across float64) [5]float64 {
	x := (across - t.at) / t.reach
	switch {
	case !t.corner:
		return [5]float64{1, x, x * x, x * x * x, x * x * x * x}
	case x < 0:
		return [5]float64{1, x, x * x}
	}
	return [5]float64{1, 0, 0, x, x * x}
}

func (t *extreme) along(across float64) float64 {
	sum := 0.0
	for i, b := range t.basis(across) {
		sum += t.c[i] * b
	}
	return sum
}

// height is how far the curve reaches, px along the frame.
func (t *extreme) height() float64 { return t.along(t.at) }

// top is where it reaches so far.
func (t *extreme) top() r2.Vec { return t.out(t.height(), t.at) }

// draw brings the points of a line onto the curve, fully at its top and less and
// less toward its ends.
func (t *extreme) draw(line []r2.Vec) {
	for i, q := range line {
		along, across := t.in(q)
		if x := (across - t.at) / t.reach; along > 0 && math.Abs(x) < 1 {
			line[i] = t.out(along+(1-x*x)*(t.along(across)-along), across)
		}
	}
}

// cornered is how far from a corner of a line, px, what is across the line there
// is not across an edge.
const cornered = 2

// underEdge is the standard uncertainty, px, of where a section's edge is that no
// number of points takes away: what lies under it shines through its outermost
// pixels (even seeds of toothtrial).
const underEdge = 0.25

// better is by how much less a corner has to leave unexplained than a curve that
// bends as it likes: its place is one more unknown.
const better = 0.8

// extreme finds where the rim reaches farthest along a frame's direction, with
// what lies within reach px of it across. corners tells that there may be one.
func (e *rim) extreme(f frame, reach float64, corners bool) (extreme, bool) {
	best := extreme{frame: f, reach: reach}
	far := math.Inf(-1)
	for _, q := range soften(e.points, true, 2) {
		if along, across := f.in(q); along > far {
			far, best.at = along, across
		}
	}
	var x, y, trust []float64
	for i, q := range e.points {
		if along, across := f.in(q); along > 0 && math.Abs(across-best.at) < 1.5*reach {
			x, y, trust = append(x, across), append(y, along), append(trust, 1/(e.u[i]*e.u[i]+0.04))
		}
	}
	near := best
	least, ok := near.fit(x, y, trust)
	if ok {
		// Again about its top.
		high := near.height()
		for k := -50; k <= 50; k++ {
			across := near.at + 0.5*reach*float64(k)/50
			if v := near.along(across); v > high {
				high, best.at = v, across
			}
		}
		least, ok = best.fit(x, y, trust)
	}
	least *= better
	if !corners {
		return best, ok
	}
	for k := -12; k <= 12; k++ {
		t := extreme{frame: f, at: near.at + reach*float64(k)/24, reach: reach, corner: true}
		clean := append([]float64(nil), trust...)
		for i := range x {
			if math.Abs(x[i]-t.at) < 1.5*e.blur+cornered {
				clean[i] = 0
			}
		}
		misfit, good := t.fit(x, y, clean)
		if good && t.c[1] > 0 && t.c[3] < 0 && (!ok || misfit < least) {
			best, least, ok = t, misfit, true
		}
	}
	return best, ok
}

// fit sets the curve by points of which some may stray ([biweight]), and
// gives the mean square that is left, of a stray point as much as counts; false
// when there are too few.
func (t *extreme) fit(x, y, trust []float64) (misfit float64, ok bool) {
	inside := append([]float64(nil), trust...)
	for i := range x {
		if math.Abs(x[i]-t.at) > t.reach {
			inside[i] = 0
		}
	}
	weight := append([]float64(nil), inside...)
	var solved mat.Cholesky
	for range 5 {
		normal, right := mat.NewSymDense(5, nil), mat.NewVecDense(5, nil)
		count := 0
		for i, w := range weight {
			if w == 0 {
				continue
			}
			count++
			b := t.basis(x[i])
			for j := range b {
				right.SetVec(j, right.AtVec(j)+w*b[j]*y[i])
				for k := j; k < len(b); k++ {
					normal.SetSym(j, k, normal.At(j, k)+w*b[j]*b[k])
				}
			}
		}
		c := mat.NewVecDense(5, nil)
		if count < 8 || !solved.Factorize(normal) || solved.SolveVecTo(c, right) != nil {
			return 0, false
		}
		t.c = c.RawVector().Data
		var off []float64
		for i, w := range inside {
			if w > 0 {
				off = append(off, math.Abs(y[i]-t.along(x[i])))
			}
		}
		stray := 6 * math.Max(0.1, quantile(off, 0.5))
		sum, total := 0.0, 0.0
		for i, w := range inside {
			d := math.Min(math.Abs(y[i]-t.along(x[i])), stray)
			sum, total = sum+w*d*d, total+w
			weight[i] = w * biweight(d, stray)
		}
		misfit = sum / total
		t.u = sum / float64(max(1, len(off)-5))
	}
	// The points are not independent of each other.
	top := mat.NewVecDense(5, nil)
	top.SetVec(0, 1)
	var q mat.VecDense
	if solved.SolveVecTo(&q, top) != nil {
		return 0, false
	}
	t.u = math.Hypot(underEdge, 2*math.Sqrt(t.u*math.Max(0, q.AtVec(0))))
	return misfit, true
}
