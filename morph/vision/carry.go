package vision

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// wedge is a tip between its two edges, carried on as parabolas, in a frame at
// its apex that points along it.
type wedge struct {
	frame
	left, right curve
	base        float64 // px along the frame, where the edges are surely apart
}

// wedge carries on both edges; ok is false when they give no curves.
func (t *standing) wedge() (w wedge, ok bool) {
	up, ok := t.tipward()
	if !ok {
		return w, false
	}
	w.frame, w.base = frameOf(t.apex, up), -0.2*t.long
	edge := func(side walk) curve {
		var x, y, trust []float64
		for _, q := range side.part(0.05*t.long, 0.3*t.long) {
			along, across := w.in(q)
			x, y, trust = append(x, along), append(y, across), append(trust, 1)
		}
		c, _ := fitSteady(x, y, trust, 2, 1) // a tip that is cut off askew strays
		return c
	}
	w.left, w.right = edge(t.left), edge(t.right)
	return w, w.left.valid && w.right.valid
}

// at gives where both edges are across the frame, px; apart tells whether they
// have not met yet on the way from the base.
func (w *wedge) at(along float64) (left, right float64, apart bool) {
	left, right = w.left.at(along), w.right.at(along)
	return left, right, (right-left)*(w.right.at(w.base)-w.left.at(w.base)) > 0
}

// sides describes the tooth between the edges, well below its tip, and the ground
// beside them.
func (t *standing) sides(p *Picture, w *wedge, to float64) (tooth, ground tally) {
	l := p.Level(0)
	for x := w.base; x < to; x++ {
		left, right, apart := w.at(x)
		a, b := math.Min(left, right), math.Max(left, right)
		if !apart {
			a, b = (a+b)/2, (a+b)/2
		}
		for k := range 12 {
			share := float64(k) / 11
			off := 2 + 0.02*t.long*share
			ground.add(l.SampleColour(w.out(x, a-off)), 1)
			ground.add(l.SampleColour(w.out(x, b+off)), 1)
			if x < -0.1*t.long {
				tooth.add(l.SampleColour(w.out(x, a+(b-a)*(0.1+0.8*share))), 1)
			}
		}
	}
	return tooth, ground
}

// carry finds how far a tip reaches on a grainy ground, where a line around it
// stops short of it and single grains look like more of it: both edges are
// carried on, and what lies between them is told from what lies beside them,
// step by step toward the tip. The place where the one turns into the other
// becomes the apex. ok is false when it is not seen.
func (t *standing) carry(p *Picture) (s spot, ok bool) {
	w, ok := t.wedge()
	if !ok {
		return s, false
	}
	to := 0.1 * t.long
	tooth, ground := t.sides(p, &w, to)
	if tooth.n == 0 || ground.n == 0 {
		return s, false
	}
	g, e := ground.blob(1), tooth.blob(1)
	const (
		most = 3.0 // natural logarithms that one place can count
		each = 0.3 // neighbouring pixels say much the same
		some = 4.0 // natural logarithms that tell one place from another
	)
	l := p.Level(0)
	sum, best, at := 0.0, 0.0, w.base
	var sums, places []float64
	for x := -0.1 * t.long; x < to; x += 0.5 {
		a, b, apart := w.at(x)
		if !apart || math.Abs(b-a) < 1 {
			break
		}
		n := max(1, int(0.7*math.Abs(b-a)))
		for k := range n {
			c := l.SampleColour(w.out(x, a+(b-a)*(0.15+0.7*(float64(k)+0.5)/float64(n))))
			sum += 0.5 * each * math.Max(-most, math.Min(g.unlikely(c)-e.unlikely(c), most))
		}
		sums, places = append(sums, sum), append(places, x)
		if sum > best {
			best, at = sum, x
		}
	}
	if best < some {
		return s, false
	}
	low, high := at, at
	for i, v := range sums {
		if v > best-some {
			low, high = math.Min(low, places[i]), math.Max(high, places[i])
		}
	}
	left, right, _ := w.at(at)
	s.at = w.out(at, (left+right)/2)
	s.along = math.Hypot(0.7, math.Max(at-low, high-at)/2)
	s.across = math.Max(0.7, math.Abs(left-right)/4)
	t.tipTo(&w, at, s.at)
	return s, true
}

// tipTo makes a place the apex, at px along a wedge; the outline follows both
// edges there, if that is farther than where it ended.
func (t *standing) tipTo(w *wedge, at float64, apex r2.Vec) {
	back := 0.0 // how much of the outline's own ends is given up
	var up, down []r2.Vec
	if at > 1 {
		back = 0.05 * t.long
		from, _ := w.in(t.left.at(back))
		for x := from + stride; x < at; x += stride {
			up = append(up, w.out(x, w.left.at(x)))
		}
		from, _ = w.in(t.right.at(back))
		for x := from + stride; x < at; x += stride {
			down = append(down, w.out(x, w.right.at(x)))
		}
	}
	t.tipWith(apex, reversed(up), reversed(down), back+1, back+1)
}

// tipWith gives the outline another apex, with both sides from there down to where
// its own go on, so many px down.
func (t *standing) tipWith(apex r2.Vec, left, right []r2.Vec, fromLeft, fromRight float64) {
	t.outline = append([]r2.Vec{apex}, right...)
	t.outline = append(t.outline, t.right.part(fromRight, t.right.length()-fromLeft)...)
	t.outline = append(t.outline, reversed(left)...)
	t.turnTo(0)
}
