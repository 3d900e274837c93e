package vision

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// course is the way one edge of a crown takes near its tip, carried on from
// farther down, and how far the outline lies inside it.
type course struct {
	border
	inside float64 // px, on average just below the tip
	back   float64 // px down the side, where the outline is on the course
}

// course follows the edge of one side up to the tip; the frame stands on the tip
// and points along it. ok is false when the picture shows no edge there.
func (t *standing) course(p *Picture, f frame, side walk) (c course, ok bool) {
	near, far := t.rounding(), 0.25*t.long
	c.border = t.follow(p, f, side.part(0.08*t.long, far), -far, -near, false)
	if !c.valid || c.seen < 0.6 {
		return c, false
	}
	_, out := f.in(side.at(0.15 * t.long))
	by := func(s float64) float64 {
		along, across := f.in(side.at(s))
		return math.Copysign(1, out) * (c.at(along) - across)
	}
	var off []float64
	last := near
	for s := near; s < far; s += stride {
		v := by(s)
		if s < 0.06*t.long {
			off = append(off, v)
		}
		if v > 1 {
			last = s
		}
	}
	c.inside, c.back = quantile(off, 0.5), near
	if c.inside >= t.leftOut() {
		c.back = last
	}
	for c.back < far && by(c.back) > 0.3 {
		c.back += stride
	}
	return c, true
}

// mend brings the outline back to a crown's edge where it left out a part beside
// the tip: a side in shade has the ground's colour on the small copy that the
// tooth is told from the ground on, while its edge is seen in the photograph. It
// gives by how much, px, the outline is still off the edges' courses.
func (t *standing) mend(p *Picture) (strays float64) {
	up, ok := t.tipward()
	if !ok {
		return 0
	}
	f := frameOf(t.apex, up)
	left, okLeft := t.course(p, f, t.left)
	right, okRight := t.course(p, f, t.right)
	if math.Max(left.inside, right.inside) < t.leftOut() || !okLeft || !okRight {
		return math.Max(math.Abs(left.inside), math.Abs(right.inside))
	}
	near := t.rounding()
	middle := func(x float64) float64 { return (left.at(x) + right.at(x)) / 2 }
	tip := 2*middle(-near) - middle(-2*near) // across, where the middle line is carried on to
	l, fromLeft := t.mended(f, t.left, left, tip)
	r, fromRight := t.mended(f, t.right, right, tip)
	t.tipWith(f.out(0, tip), l, r, fromLeft, fromRight)
	return 0
}

// leftOut is from how far on, px, an outline inside an edge's course left a part
// of the tooth out, and does not only pass its denticles.
func (t *standing) leftOut() float64 { return math.Max(2, 0.004*t.long) }

// mended is a side from a tip at 0, tip in the frame down to where the outline is
// right, and where on the outline's side that is, px: the tip's round end, and the
// edge's course as far as the outline is off it.
func (t *standing) mended(f frame, side walk, c course, tip float64) (line []r2.Vec, from float64) {
	near := t.rounding()
	// Where the edge would reach the tip's height; beyond the tip there is no
	// round end.
	begin := c.at(-near)
	high := begin + near*c.slope(-near)
	if (high-tip)*(begin-tip) < 0 {
		high = tip
	}
	const bends = 8
	for k := 1; k < bends; k++ { // a parabola from level at the tip to along the edge
		u := float64(k) / bends
		line = append(line, f.out(-near*u*u, (1-u)*(1-u)*tip+2*u*(1-u)*high+u*u*begin))
	}
	lowest, _ := f.in(side.at(c.back))
	for x := -near; x > lowest; x -= stride {
		line = append(line, f.out(x, c.at(x)))
	}
	return line, c.back
}
