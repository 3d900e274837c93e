package vision

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// carry finds how far a tip reaches on a grainy ground, where a line around it
// stops short of it and single grains look like more of it: both edges are
// carried on, and what lies between them is told from what lies beside them,
// step by step toward the tip. The place where the one turns into the other
// becomes the apex. ok is false when it is not seen.
func (t *standing) carry(p *Picture) (s spot, ok bool) {
	up := r2.Add(r2.Unit(r2.Sub(t.left.at(0.05*t.long), t.left.at(0.16*t.long))), r2.Unit(r2.Sub(t.right.at(0.05*t.long), t.right.at(0.16*t.long))))
	if r2.Norm(up) < 0.2 {
		return s, false
	}
	f := frameOf(t.apex, up)
	edge := func(w walk) curve {
		var x, y, trust []float64
		for _, q := range w.part(0.05*t.long, 0.3*t.long) {
			along, across := f.in(q)
			x, y, trust = append(x, along), append(y, across), append(trust, 1)
		}
		c, _ := fitSteady(x, y, trust, 2, 1) // a tip that is cut off askew strays
		return c
	}
	left, right := edge(t.left), edge(t.right)
	if !left.valid || !right.valid {
		return s, false
	}
	l := p.Level(0)
	from, to := -0.2*t.long, 0.1*t.long
	var tooth, ground tally
	for x := from; x < to; x++ {
		a, b := math.Min(left.at(x), right.at(x)), math.Max(left.at(x), right.at(x))
		if (left.at(x)-right.at(x))*(left.at(from)-right.at(from)) <= 0 {
			a, b = (a+b)/2, (a+b)/2
		}
		for k := range 12 {
			off := 2 + 0.02*t.long*float64(k)/11
			ground.add(l.SampleColour(f.out(x, a-off)), 1)
			ground.add(l.SampleColour(f.out(x, b+off)), 1)
			if x < -0.1*t.long {
				tooth.add(l.SampleColour(f.out(x, a+(b-a)*(0.1+0.8*float64(k)/11))), 1)
			}
		}
	}
	if tooth.n == 0 || ground.n == 0 {
		return s, false
	}
	g, e := ground.blob(1), tooth.blob(1)
	const (
		most = 3.0 // natural logarithms that one place can count
		each = 0.3 // neighbouring pixels say much the same
	)
	sum, best, at := 0.0, 0.0, from
	var sums, places []float64
	for x := -0.1 * t.long; x < to; x += 0.5 {
		a, b := left.at(x), right.at(x)
		if (b-a)*(right.at(from)-left.at(from)) <= 0 || math.Abs(b-a) < 1 {
			break
		}
		n := max(1, int(0.7*math.Abs(b-a)))
		for k := range n {
			c := l.SampleColour(f.out(x, a+(b-a)*(0.15+0.7*(float64(k)+0.5)/float64(n))))
			v := 0.5*g.away(c) + g.cost - 0.5*e.away(c) - e.cost
			sum += 0.5 * each * math.Max(-most, math.Min(v, most))
		}
		sums, places = append(sums, sum), append(places, x)
		if sum > best {
			best, at = sum, x
		}
	}
	if best < 4 {
		return s, false
	}
	low, high := at, at
	for i, v := range sums {
		if v > best-4 {
			low, high = math.Min(low, places[i]), math.Max(high, places[i])
		}
	}
	s.at = f.out(at, (left.at(at)+right.at(at))/2)
	s.along = math.Hypot(0.7, math.Max(at-low, high-at)/2)
	s.across = math.Max(0.7, math.Abs(left.at(at)-right.at(at))/4)
	t.tipTo(s.at, f, left, right, at)
	return s, true
}

// tipTo makes a place the apex, px along a frame; the outline follows both edges
// there, if it is farther than where it ended.
func (t *standing) tipTo(apex r2.Vec, f frame, left, right curve, at float64) {
	round := []r2.Vec{apex}
	back := 0.0
	if at > 1 {
		back = 0.05 * t.long
		_, fromRight := f.in(t.right.at(back))
		low, _ := f.in(t.right.at(back))
		for x := at - 1.5; x > low; x -= 1.5 {
			if (right.at(x)-left.at(x))*(fromRight-left.at(low)) > 0 {
				round = append(round, f.out(x, right.at(x)))
			}
		}
	}
	round = append(round, t.right.part(back+1, t.right.length()-back-1)...)
	if at > 1 {
		low, _ := f.in(t.left.at(back))
		for x := low + 1.5; x < at; x += 1.5 {
			round = append(round, f.out(x, left.at(x)))
		}
	}
	t.outline = round
	t.turnTo(0)
}
