package vision

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/spatial/r2"
)

// step is a line across a tooth at which its colour changes: how far down each
// side it meets the outline, px, how far it bulges toward the root as a share
// of its length, and how far to trust it, 0 to 1.
type step struct {
	left, right, bulge float64
	sure               float64
}

// cervix finds the line from side to side at which enamel turns into root: the
// gently bulging line across which the colour steps most, all along, above the
// corners of the outline's end. sure is 0 when there is none.
func (t *standing) cervix(p *Picture, left, right float64) step {
	n := 0
	for n < p.Levels()-1 && t.long/float64(int(1)<<n) > 260 {
		n++
	}
	top := 0.5 * math.Min(left, right)
	gap := math.Max(3*p.Level(n).Factor, 0.03*t.long)
	allowed := func(s step) bool {
		return s.left > top && s.right > top && s.left < left-gap && s.right < right-gap && math.Abs(s.bulge) < 0.15
	}
	l := p.Level(n)
	var best step
	var scores, downs []float64
	highest, at := 0.0, 0.0
	for down := top; down < math.Max(left, right); down += 2 * l.Factor {
		score := 0.0
		for slant := -10; slant <= 10; slant++ {
			d := float64(slant) / 10 * 0.3 * t.wide
			for _, bulge := range []float64{0, 0.03, 0.06} {
				s := step{left: down - d, right: down + d, bulge: bulge}
				if !allowed(s) {
					continue
				}
				v, _ := t.contrast(l, s)
				score = math.Max(score, v)
				if v > highest {
					best, highest, at = s, v, down
				}
			}
		}
		if score > 0 {
			scores, downs = append(scores, score), append(downs, down)
		}
	}
	least := clearStep
	if t.jagged(left, right) > torn {
		least = faintStep // an end like this is a root's
	}
	usual := math.Max(least, 2*quantile(scores, 0.5))
	if highest < usual {

		return step{}
	}
	rival := 0.0
	for i, v := range scores {
		if math.Abs(downs[i]-at) > 0.06*t.long {
			rival = math.Max(rival, v)
		}
	}
	sure := math.Min(1, math.Min((highest-usual)/usual, highest/math.Max(rival, 1)-1))
	for ; n >= 0; n-- {
		best = t.climb(p.Level(n), best, allowed)
		best = t.settleStep(p.Level(n), best)
	}
	best.sure = math.Max(0.05, sure)
	return best
}

// settleStep brings a line to where the colour changes fastest along it: a
// parabola through what the ribbon about it finds, without the worst third.
func (t *standing) settleStep(l *Level, s step) step {
	a, b := t.left.at(s.left), t.right.at(s.right)
	d := r2.Sub(b, a)
	long := r2.Norm(d)
	if long < 12*l.Factor {
		return s
	}
	f := frameOf(a, d)
	if r2.Dot(f.right, t.up) > 0 {
		f.right = r2.Scale(-1, f.right) // toward the root
	}
	const points = 60
	line := make([]r2.Vec, points+1)
	for k := range line {
		u := 0.03 + 0.94*float64(k)/points
		line[k] = r2.Scale(1/l.Factor, f.out(u*long, 4*s.bulge*long*u*(1-u)))
	}
	e := l.lay(line, false, 3).settle(2 * stiffness)
	var x, y []float64
	for _, q := range e.points[1:max(2, len(e.points)-1)] {
		along, off := f.in(r2.Scale(l.Factor, q))
		x, y = append(x, along), append(y, off)
	}
	c := fit(x, y, 2)
	for range 3 {
		if !c.valid {
			return s
		}
		off := make([]float64, len(x))
		for i := range x {
			off[i] = math.Abs(y[i] - c.at(x[i]))
		}
		limit := quantile(off, 0.67)
		var u, v []float64
		for i := range x {
			if off[i] <= limit {
				u, v = append(u, x[i]), append(v, y[i])
			}
		}
		c = fit(u, v, 2)
	}
	if !c.valid {
		return s
	}
	reach := 4 * l.Factor
	left, okLeft := crossing(t.left, s.left, reach, f, c)
	right, okRight := crossing(t.right, s.right, reach, f, c)
	if !okLeft || !okRight {
		return s
	}
	return step{left: left, right: right, bulge: -c.c[2] * long / 4}
}

// crossing is where a side of the outline passes a curve, near a length s along
// it.
func crossing(w walk, s, reach float64, f frame, c curve) (float64, bool) {
	off := func(s float64) float64 {
		along, off := f.in(w.at(s))
		return off - c.at(along)
	}
	low, high := s-reach, s+reach
	if low < 0 || high > w.length() || off(low)*off(high) > 0 {
		return s, false
	}
	for range 40 {
		if middle := (low + high) / 2; off(low)*off(middle) <= 0 {
			high = middle
		} else {
			low = middle
		}
	}
	return (low + high) / 2, true
}

// climb moves a line, in ever smaller steps, to where the change is greatest.
func (t *standing) climb(l *Level, best step, allowed func(step) bool) step {
	_, score := t.contrast(l, best)
	for fine := 4 * l.Factor; fine >= 0.25*l.Factor; fine /= 2 {
		for range 20 {
			was := best
			for _, d := range [][3]float64{{1, 1, 0}, {-1, -1, 0}, {1, -1, 0}, {-1, 1, 0}, {1, 0, 0}, {-1, 0, 0}, {0, 1, 0}, {0, -1, 0}, {0, 0, 1}, {0, 0, -1}, {1, 1, -1}, {-1, -1, 1}} {
				s := step{left: was.left + fine*d[0], right: was.right + fine*d[1], bulge: was.bulge + fine*d[2]/t.wide}
				if !allowed(s) {
					continue
				}
				if _, v := t.contrast(l, s); v > score {
					best, score = s, v
				}
			}
			if best == was {
				break
			}
		}
	}
	return best
}

// clearStep and faintStep are the steady changes of colour, grey levels, that
// count as the border of the enamel: on an outline
// that ends in an even line, which may be that border itself, and on one that
// ends torn, as roots do.
const clearStep, faintStep = 16.0, 8.0

// torn is the unevenness of an end, as a share of its length, that no enamel
// border has.
const torn = 0.005

// jagged is how far the outline between both corners strays from a parabola, as
// a share of its length (standard deviation).
func (t *standing) jagged(left, right float64) float64 {
	base := t.right.length() - left - right
	inset := 0.1 * base
	end := t.right.part(right+inset, right+base-inset)
	f := frameOf(end[0], r2.Sub(end[len(end)-1], end[0]))
	var x, y []float64
	for _, p := range end {
		along, off := f.in(p)
		x, y = append(x, along), append(y, off)
	}
	return fit(x, y, 2).sd / math.Max(1, base)
}

// contrast is by how much the colour changes across a line, in grey levels, in
// one direction of colour: on average, where no part counts much more than
// another, and halfway between that and what three quarters of the line show.
func (t *standing) contrast(l *Level, s step) (steady, mean float64) {
	a, b := r2.Scale(1/l.Factor, t.left.at(s.left)), r2.Scale(1/l.Factor, t.right.at(s.right))
	d := r2.Sub(b, a)
	long := r2.Norm(d)
	if long < 8 {
		return 0, 0
	}
	// Toward the root: to the right of the way from the right side to the left.
	root := r2.Vec{X: -d.Y / long, Y: d.X / long}
	if r2.Dot(root, t.up) > 0 {
		root = r2.Scale(-1, root)
	}
	const limit = 64
	n := min(limit, int(long/1.5))
	var near, far [limit]colour
	var middle colour
	for k := range n {
		u := 0.04 + 0.92*(float64(k)+0.5)/float64(n)
		q := r2.Add(r2.Add(a, r2.Scale(u, d)), r2.Scale(4*s.bulge*long*u*(1-u), root))
		for i, off := range [...]float64{1, 2.2, 4.5} {
			over, under := l.SampleColour(r2.Sub(q, r2.Scale(off, root))), l.SampleColour(r2.Add(q, r2.Scale(off, root)))
			for c := range 3 {
				if i < 2 {
					near[k][c] += (over[c] - under[c]) / 2
				} else {
					far[k][c] = over[c] - under[c]
				}
			}
		}
		for c := range 3 {
			middle[c] += near[k][c] / float64(n)
		}
	}
	size := math.Sqrt(apart(middle, colour{}))
	if size == 0 {
		return 0, 0
	}
	along := make([]float64, n)
	beyond := 0.0
	for k := range n {
		for c := range 3 {
			along[k] += near[k][c] * middle[c] / size
			beyond += far[k][c] * middle[c] / size / float64(n)
		}
	}
	sort.Float64s(along)
	for _, v := range along {
		mean += math.Min(v, 1.5*along[n/2]) / float64(n)
	}
	// Light that falls off over the crown changes more the farther one looks.
	if beyond > 1.5*size {
		return 0, mean
	}
	return (along[n/4] + mean) / 2, mean
}
