package vision

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// corners finds how far down each side of the outline its base corner lies: the
// two places, well apart on the lower half, where it turns most. The certainty
// is 0 when there are no two such places.
func (t *standing) corners() (left, right, sure float64) {
	const least = 30 * math.Pi / 180
	type turn struct{ s, angle float64 }
	var best, second turn
	round := t.right.length()
	for s := 0.15 * round; s < 0.85*round; s++ {
		if v := t.turning(s); v > best.angle {
			best = turn{s, v}
		}
	}
	for s := 0.15 * round; s < 0.85*round; s++ {
		if math.Abs(s-best.s) < 0.5*t.wide {
			continue
		}
		if v := t.turning(s); v > second.angle {
			second = turn{s, v}
		}
	}
	if second.angle < least {
		return 0, 0, 0
	}
	right, left = math.Min(best.s, second.s), round-math.Max(best.s, second.s)
	return left, right, math.Min(1, (second.angle-least)/least)
}

// turning is by what angle the outline turns a length s down the right side,
// seen over chords of a sixth of the tooth's width; 0 on its upper half.
func (t *standing) turning(s float64) float64 {
	chord := math.Max(4, t.wide/6)
	p := t.right.at(s)
	if r2.Dot(r2.Sub(t.apex, p), t.up) < t.long/2 {
		return 0
	}
	a, b := r2.Sub(p, t.right.at(s-chord)), r2.Sub(t.right.at(s+chord), p)
	return math.Atan2(r2.Cross(a, b), r2.Dot(a, b))
}

// corner sharpens a base corner: where the edge above it and the base line
// beside it would meet if nothing rounded them off.
func (t *standing) corner(side walk, at, far float64) r2.Vec {
	home := side.at(at)
	f := frameOf(home, t.up)
	skip := t.rounding()
	above := polynomial(f, side.part(at-0.16*t.long, at-skip), false)
	base := side.length() - at - far // length of the base line
	below := polynomial(f, side.part(at+skip, at+math.Max(2*skip, 0.6*base)), true)
	if !above.valid || !below.valid {
		return home
	}
	up, across, met := crossroads(above.at, below.at)
	if p := f.out(up, across); met && r2.Norm(r2.Sub(p, home)) < 3*skip {
		return p
	}
	return home
}

// polynomial fits across over up of some points, or up over across.
func polynomial(f frame, points []r2.Vec, over bool) curve {
	var x, y []float64
	for _, p := range points {
		up, across := f.in(p)
		if over {
			up, across = across, up
		}
		x, y = append(x, up), append(y, across)
	}
	return fit(x, y, 2)
}
