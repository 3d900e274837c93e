package vision

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// spot is a landmark with its standard uncertainty, px, along the crown and
// across it.
type spot struct {
	at            r2.Vec
	along, across float64
}

// border is one edge of a tooth near a landmark: a curve in a frame, across over
// along or along over across, with the share of it that the picture shows.
type border struct {
	curve
	x, y, weight     []float64 // the points
	seen, systematic float64
}

// blocks is how many a border's points are parted into, one after another, to
// see how far its course depends on each.
const blocks = 8

// evenly is how far apart the points are that a border is fitted to, px.
const evenly = stride

// follow fits a parabola to the edge near some points of an outline, and again
// to the edge near that parabola from one place to another, so that a piece the
// outline missed is found. over tells that along is a function of across.
func (t *standing) follow(p *Picture, f frame, points []r2.Vec, from, to float64, over bool) border {
	var b border
	for k := range 3 {
		if k > 0 {
			points = points[:0:0]
			n := int(math.Abs(to-from)/evenly) + 2
			for i := range n {
				x := from + (to-from)*float64(i)/float64(n-1)
				if over {
					points = append(points, f.out(b.at(x), x))
				} else {
					points = append(points, f.out(x, b.at(x)))
				}
			}
		}
		e := p.place(points, 1)
		var x, y, weight []float64
		for i, q := range e.points {
			along, across := f.in(q)
			if over {
				along, across = across, along
			}
			x, y = append(x, along), append(y, across)
			weight = append(weight, 1/(e.u[i]*e.u[i]+0.04))
		}
		c, kept := fitSteady(x, y, weight, 2, 0.25)
		if !c.valid {
			return border{}
		}
		b = border{c, x, y, weight, kept / math.Max(1, float64(len(points))), systematic}
		if t.grainy {
			b.systematic = onGrain
		}
	}
	return b
}

// biweight is how far a point counts, 1 to 0, that strays from where it is looked
// for: from a distance of wide on not at all (Tukey's biweight).
func biweight(off, wide float64) float64 {
	q := math.Min(1, off/wide)
	return (1 - q*q) * (1 - q*q)
}

// fitSteady is a polynomial through points of which some may stray: from six
// median deviations on a point does not count ([biweight]). least is the
// deviation, px, that is always allowed. kept is how many points count.
func fitSteady(x, y, trust []float64, degree int, least float64) (c curve, kept float64) {
	weight := trust
	for range 5 {
		if c = fitWeighed(x, y, weight, degree); !c.valid {
			return c, 0
		}
		off := make([]float64, len(x))
		for i := range x {
			off[i] = math.Abs(y[i] - c.at(x[i]))
		}
		wide := 6 * math.Max(least, quantile(off, 0.5))
		weight, kept = make([]float64, len(x)), 0
		for i := range x {
			counts := biweight(off[i], wide)
			weight[i] = trust[i] * counts
			kept += counts
		}
	}
	return c, kept
}

// systematic is the standard uncertainty, px, that no number of points along an
// edge takes away: where in its blur the edge is (even seeds of toothtrial: with it
// the stated uncertainties hold the truth as often as they say).
const systematic = 0.2

// onGrain is systematic on a grainy ground, px: the gaps between grains are dark
// as the tooth's shaded side is (even seeds of toothtrial).
const onGrain = 0.8

// withoutBlocks gives where the border would be at x without each block of its
// points in turn.
func (b border) withoutBlocks(x float64) (at []float64) {
	for k := range blocks {
		from, to := k*len(b.x)/blocks, (k+1)*len(b.x)/blocks
		without := func(v []float64) []float64 { return slices.Concat(v[:from], v[to:]) }
		if c, _ := fitSteady(without(b.x), without(b.y), without(b.weight), 2, 0.25); c.valid {
			at = append(at, c.at(x))
		}
	}
	return at
}

// unsteady is how far an edge's course is known at x, px. Denticles, cracks and
// glare move many points of it together, so what they do to it is seen by leaving
// out block after block: the jackknife of dependent points (Künsch 1989). What
// was not seen of the edge may run otherwise.
func (b border) unsteady(x float64) float64 {
	mean, squares := 0.0, 0.0
	others := b.withoutBlocks(x)
	for _, v := range others {
		mean += v / float64(len(others))
	}
	for _, v := range others {
		squares += (v - mean) * (v - mean)
	}
	spread := math.Sqrt(squares * float64(blocks-1) / float64(blocks))
	return math.Hypot(b.systematic, spread) / math.Max(0.2, math.Min(1, 1.3*b.seen))
}

// crossroads is where the curves across = flank(up) and up = base(across) meet,
// sought from 0, 0 by turns, which brings it nearer as long as the slopes of both
// there multiply to less than one: two lines that are less than halfway parallel.
// met is false when it does not come to rest within a hundredth of a px.
func crossroads(flank, base func(float64) float64) (up, across float64, met bool) {
	for range 60 {
		across = flank(up)
		was := up
		if up = base(across); math.Abs(up-was) < 0.01 {
			return up, across, true
		}
	}
	return 0, 0, false
}

// baseCorner is where the edge above a base corner and the base line beside it
// would meet if nothing rounded them off. ok is false when they are not seen.
func (t *standing) baseCorner(p *Picture, side walk, at, far float64) (s spot, ok bool) {
	home := side.at(at)
	f := frameOf(home, t.up)
	skip := t.rounding()
	base := side.length() - at - far // length of the base line
	above := t.follow(p, f, side.part(at-0.16*t.long, at-skip), 0.16*t.long, 2, false)
	beside := side.part(at+skip, at+math.Max(2*skip, 0.6*base))
	_, end := f.in(beside[len(beside)-1])
	below := t.follow(p, f, beside, end, 2*math.Copysign(1, end), true)
	if !above.valid || !below.valid {
		return spot{}, false
	}
	up, across, met := crossroads(above.at, below.at)
	if !met {
		return spot{}, false
	}
	s = spot{f.out(up, across), below.unsteady(across), above.unsteady(up)}
	return s, r2.Norm(r2.Sub(s.at, home)) <= math.Max(3*skip, 0.06*t.long)
}

// baseEnd is where the base line of a crown with a root meets the enamel's edge:
// where the edge above it, carried on, passes the line's end. The root's edge
// goes another way, even if only by little. uLine is the standard uncertainty of
// the line there, px.
func (t *standing) baseEnd(p *Picture, side walk, at float64, tangent r2.Vec, uLine float64) (s spot, ok bool) {
	home := side.at(at)
	f := frameOf(home, t.up)
	reach := math.Max(12, 0.14*t.long)
	edge := t.follow(p, f, side.part(at-reach, at), reach, 0.5, false)
	if !edge.valid {
		return spot{}, false
	}
	// The line through home along the tangent, up over across.
	up, across := r2.Dot(tangent, f.along), r2.Dot(tangent, f.right)
	if math.Abs(across) < 0.2 {
		return spot{}, false
	}
	a, b, met := crossroads(edge.at, func(b float64) float64 { return up / across * b })
	if !met {
		return spot{}, false
	}
	s = spot{f.out(a, b), uLine, edge.unsteady(a)}
	return s, r2.Norm(r2.Sub(s.at, home)) <= math.Max(4, 0.02*t.long)
}

// rounding is how far from a tip or a corner at most an outline is rounded off, px.
func (t *standing) rounding() float64 { return math.Max(3, 0.012*t.long) }

// tangents are the directions of a base line at its two ends, toward the right.
func (s step) tangents(a, b, up r2.Vec) (left, right r2.Vec) {
	d := r2.Unit(r2.Sub(b, a))
	n := r2.Vec{X: -d.Y, Y: d.X}
	if r2.Dot(n, up) > 0 {
		n = r2.Scale(-1, n)
	}
	return r2.Unit(r2.Add(d, r2.Scale(4*s.bulge, n))), r2.Unit(r2.Sub(d, r2.Scale(4*s.bulge, n)))
}

// tip finds the apex to a fraction of a pixel: how far along the crown its
// colour reaches at the very end, and where across the crown that is. Blur
// draws a round end back; that is put right by its curvature. A broken crown's
// highest point is known only as well as its rivals lie close.
func (t *standing) tip(p *Picture, broken bool) spot {
	s := spot{t.apex, 0.8, 1}
	up, ok := t.tipward()
	if !ok {
		return s
	}
	f := frameOf(t.apex, up)
	var x, y []float64
	for _, w := range []walk{t.left, t.right} {
		for _, q := range w.part(0, 0.06*t.long) {
			if along, across := f.in(q); along > -t.rounding() {
				x, y = append(x, across), append(y, along)
			}
		}
	}
	// What lies hardly lower may be the highest of a break instead.
	rival := 1.0
	if broken {
		rival = math.Max(1, 0.02*t.long)
	}
	low, high := 0.0, 0.0
	for i := range x {
		if y[i] > -rival {
			low, high = math.Min(low, x[i]), math.Max(high, x[i])
		}
	}
	// Anywhere between them, all alike: the deviation of that is their distance by
	// √12. A round end that falls by b·x² is within a px of its top over 2/√b.
	flat := high - low
	round := fit(x, y, 2)
	if round.valid && round.bend() < 0 {
		flat = math.Max(flat, math.Min(2/math.Sqrt(-round.bend()), 0.06*t.long))
	}
	s.across = math.Hypot(math.Max(0.6, flat/math.Sqrt(12)), t.strays/2)
	end := p.place([]r2.Vec{f.out(0, -2.4), f.out(0, -0.8), f.out(0, 0.8), f.out(0, 2.4)}, 0)
	reach, weight := 0.0, 0.0
	for i, q := range end.points {
		along, across := f.in(q)
		if math.Abs(across) > 1.2 {
			continue
		}
		w := 1 / (end.u[i]*end.u[i] + 0.05)
		reach, weight = reach+w*along, weight+w
	}
	if weight == 0 {
		return s
	}
	// Half of the colour is left at the old place: the end is not far behind.
	reach = math.Max(reach/weight, -0.5)
	s.along = 0
	// Of a round end of curvature k, blur of variance v leaves v·k/2 less.
	if round.valid && round.bend() < 0 {
		v := end.blur*end.blur + 0.6
		lost := math.Min(0.6, -v*round.bend())
		reach += lost
		s.along = lost / 2
	}
	s.at = f.out(reach, 0)
	s.along = math.Sqrt(1/weight + 0.04 + s.along*s.along)
	return s
}

// unseen is the uncertainty of a landmark about which the picture shows no edge.
func unseen(long float64) float64 { return math.Max(2, 0.01*long) }

// within is how far a spot may lie off: nineteen of twenty lie nearer.
func (s spot) within() float64 { return 2 * math.Hypot(s.along, s.across) }

// between is how far to trust the distance between two spots, 0 to 1: see held.
func (t *standing) between(a, b spot) float64 {
	d := r2.Sub(b.at, a.at)
	long := r2.Norm(d)
	if long == 0 {
		return 0
	}
	along := r2.Dot(d, t.up) / long
	across := math.Sqrt(math.Max(0, 1-along*along))
	variance := along*along*(a.along*a.along+b.along*b.along) + across*across*(a.across*a.across+b.across*b.across)
	return held(2*math.Sqrt(variance), long)
}
