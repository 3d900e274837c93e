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
	var scores []float64
	highest := 0.0
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
					best, highest = s, v
				}
			}
		}
		if score > 0 {
			scores = append(scores, score)
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
	sure := math.Min(1, (highest-usual)/usual)
	for ; n >= 0; n-- {
		best = t.climb(p.Level(n), best, allowed)
	}
	best.sure = sure
	return best
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

// clearStep and faintStep are the changes of colour, grey levels over three
// quarters of the line, that count as the border of the enamel: on an outline
// that ends in an even line, which may be that border itself, and on one that
// ends torn, as roots do.
const clearStep, faintStep = 14.0, 5.0

// torn is the unevenness of an end, as a share of its length, that no enamel
// border has.
const torn = 0.012

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

// contrast is by how much the colour changes across a line, in grey levels: as
// much as three quarters of the line show, in the same direction of colour, and
// how much it is on average, where no part counts much more than another.
func (t *standing) contrast(l *Level, s step) (most, mean float64) {
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
	return along[n/4], mean
}
