package morph

import (
	"cmp"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// Crosses tells whether a line crosses itself, as an outline does when a point
// was placed out of order: its area then means nothing. A closed line runs on
// from its last point to its first. Touching itself is not crossing.
func Crosses(line []r2.Vec, closed bool) bool {
	n := len(line) - 1
	if closed {
		n++
	}
	if n < 3 {
		return false
	}
	lo, hi := line[0], line[0]
	for _, p := range line {
		lo = r2.Vec{X: min(lo.X, p.X), Y: min(lo.Y, p.Y)}
		hi = r2.Vec{X: max(hi.X, p.X), Y: max(hi.Y, p.Y)}
	}
	tall := hi.Y-lo.Y > hi.X-lo.X

	// Segments sorted along the longer side of the line's box, so that each
	// meets few others.
	type segment struct {
		p, q     r2.Vec
		from, to float64
	}
	segments := make([]segment, n)
	for i := range segments {
		s := segment{p: line[i], q: line[(i+1)%len(line)]}
		s.from, s.to = s.p.X, s.q.X
		if tall {
			s.from, s.to = s.p.Y, s.q.Y
		}
		s.from, s.to = min(s.from, s.to), max(s.from, s.to)
		segments[i] = s
	}
	slices.SortFunc(segments, func(a, b segment) int { return cmp.Compare(a.from, b.from) })
	for k, a := range segments {
		for _, b := range segments[k+1:] {
			if b.from > a.to {
				break
			}
			if across(a.p, a.q, b.p, b.q) && across(b.p, b.q, a.p, a.q) {
				return true
			}
		}
	}
	return false
}

// across tells whether c and d lie strictly on either side of the line through
// a and b. Neighbouring segments share a point, which lies on neither side.
func across(a, b, c, d r2.Vec) bool {
	ab := r2.Sub(b, a)
	side := func(p r2.Vec) float64 { return ab.X*(p.Y-a.Y) - ab.Y*(p.X-a.X) }
	s, t := side(c), side(d)
	return s > 0 && t < 0 || s < 0 && t > 0
}
