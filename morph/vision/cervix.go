package vision

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/spatial/r2"
)

// step is a line across a tooth at which its colour changes: how far down each
// side it meets the outline, px, how far it bulges toward the root as a share
// of its length, and how far it stands out from its rivals, 0 to 1.
type step struct {
	left, right, bulge float64
	sure               float64
	uLeft, uRight      float64 // how far either end may lie off, px
}

// stands is how far a line of a length, px, is the border: as far as it stands
// out from its rivals, or is held well within what a measurement may be off.
func (s step) stands(long float64) float64 {
	if s.sure > 0.25 && math.Max(s.uLeft, s.uRight) < 0.4*slack(long) {
		return math.Max(s.sure, 0.6)
	}
	return s.sure
}

// slack is how far a measurement of a length may be off, px.
func slack(long float64) float64 { return math.Max(1, 0.005*long) }

// held is how far to trust a length of which the ends are uncertain: u is what
// nineteen of twenty are nearer to the truth, px. A half where nine of ten are off
// by no more than a measurement may be, which is 1.645 deviations of the two that
// u is.
func held(u, long float64) float64 {
	u /= slack(long)
	return math.Exp2(-u * u / (1.216 * 1.216))
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
		l.Rest()
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
	if !t.grainy && t.jagged(left, right) > torn {
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
	best = t.sharpenStep(p, n, best, allowed)
	best.sure = math.Max(0.05, sure)
	return best
}

// sharpenStep brings a line from level n to full size, in two ways: in small
// steps from one copy to the next, and by looking farther on the first. The one
// that is doubted less stands.
func (t *standing) sharpenStep(p *Picture, n int, s step, allowed func(step) bool) step {
	near, wide := s, t.settleStep(p.Level(n), t.climb(p.Level(n), s, allowed), 10)
	for ; n >= 0; n-- {
		l := p.Level(n)
		near = t.settleStep(l, t.climb(l, near, allowed), 3)
		wide = t.settleStep(l, t.settleStep(l, wide, 6), 3)
	}
	near.uLeft, near.uRight = t.doubt(p, near)
	wide.uLeft, wide.uRight = t.doubt(p, wide)
	if math.Hypot(wide.uLeft, wide.uRight) < math.Hypot(near.uLeft, near.uRight) {
		return wide
	}
	return near
}

// settleStep brings a line to where the colour changes fastest within reach px
// of the level: a parabola through what the ribbon about it finds, where a
// clear change counts more than a faint one and what strays least.
func (t *standing) settleStep(l *Level, s step, reach int) step {
	b, ok := t.base(l, s)
	if !ok {
		return s
	}
	x, y, trust := b.seek(reach)
	c, _ := fitSteady(x, y, trust, 2, 0.3*l.Factor)
	if !c.valid {
		return s
	}
	room := float64(reach+2) * l.Factor
	left, okLeft := crossing(t.left, s.left, room, b.frame, c)
	right, okRight := crossing(t.right, s.right, room, b.frame, c)
	if !okLeft || !okRight {
		return s
	}
	return step{left: left, right: right, bulge: -c.bend() * b.long / 4}
}

// baseLine is a line across a tooth in a frame of its own: along it from the
// left side, and toward the root.
type baseLine struct {
	level *Level
	frame frame
	long  float64 // px
	line  []r2.Vec
	bulge float64
}

func (t *standing) base(l *Level, s step) (b baseLine, ok bool) {
	from := t.left.at(s.left)
	d := r2.Sub(t.right.at(s.right), from)
	b = baseLine{level: l, long: r2.Norm(d), bulge: s.bulge}
	if b.long < 12*l.Factor {
		return b, false
	}
	b.frame = frameOf(from, d)
	if r2.Dot(b.frame.right, t.up) > 0 {
		b.frame.right = r2.Scale(-1, b.frame.right)
	}
	const points = 60
	for k := range points + 1 {
		x := (0.02 + 0.96*float64(k)/points) * b.long
		b.line = append(b.line, r2.Scale(1/l.Factor, b.frame.out(x, b.at(x))))
	}
	return b, true
}

// at is how far toward the root the line lies, x px along it.
func (b baseLine) at(x float64) float64 { return 4 * b.bulge * x * (1 - x/b.long) }

// seek gives the points of the fastest change of colour within reach px of the
// level, and how far to trust each.
func (b baseLine) seek(reach int) (x, y, trust []float64) {
	e := b.level.lay(b.line, false, reach).settle(stiffness)
	for i := 1; i < len(e.points)-1; i++ {
		along, off := b.frame.in(r2.Scale(b.level.Factor, e.points[i]))
		x, y = append(x, along), append(y, off)
		c, n := e.contrast[i]*e.contrast[i], e.noise[i]*e.noise[i]
		trust = append(trust, c/(c+4*n+25))
	}
	return x, y, trust
}

// doubt is how far either end of a line may lie off, px: by how much what is
// found anew about it strays from it, eighth by eighth, near that end more than
// far from it.
func (t *standing) doubt(p *Picture, s step) (left, right float64) {
	n := 0
	for n < p.Levels()-1 && t.wide/float64(int(1)<<n) > 250 {
		n++
	}
	b, ok := t.base(p.Level(n), s)
	if !ok {
		return t.wide, t.wide
	}
	const parts = 8
	var off [parts]float64
	for _, reach := range []int{3, 6} {
		x, y, _ := b.seek(reach)
		var own [parts][]float64
		for i := range x {
			k := max(0, min(int(parts*x[i]/b.long), parts-1))
			own[k] = append(own[k], y[i]-b.at(x[i]))
		}
		for k, v := range own {
			off[k] = math.Max(off[k], math.Abs(quantile(v, 0.5)))
		}
	}
	most := 0.0
	for k, v := range off {
		most = math.Max(most, v)
		if k < 3 {
			left = math.Max(left, 1.5*v)
		}
		if k >= parts-3 {
			right = math.Max(right, 1.5*v)
		}
	}
	return math.Hypot(left, 0.7*most), math.Hypot(right, 0.7*most)
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
