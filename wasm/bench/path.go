package bench

import (
	"math"
	"slices"

	"crownbench/morph"
	"gonum.org/v1/gonum/spatial/r2"
)

// appended gives the path with one vertex more, to which the points of via lead.
// It is the one place where a walk grows.
func appended(p morph.Path, at r2.Vec, via [][2]float64) morph.Path {
	v := morph.At(at)
	v.Via = nilIfEmpty(via)
	return append(p, v)
}

// place is a point on a path: the path would keep its shape with a vertex put
// there. The vertex would come before the vertex index, or after the last one
// where index is the path's length, with the first via of that stretch's Via
// points before it.
type place struct {
	at    r2.Vec
	index int
	via   int
}

// nearest gives the place on a path that is nearest to q and its distance,
// which is infinite for a path of fewer than two points.
func nearest(p morph.Path, closed bool, q r2.Vec) (best place, distance float64) {
	distance = math.Inf(1)
	stretch := func(from, to r2.Vec, via [][2]float64, index int) {
		for k := 0; k <= len(via); k++ {
			next := to
			if k < len(via) {
				next = r2.Vec{X: via[k][0], Y: via[k][1]}
			}
			at := onSegment(from, next, q)
			if d := r2.Norm(r2.Sub(at, q)); d < distance {
				best, distance = place{at, index, k}, d
			}
			from = next
		}
	}
	for i := 1; i < len(p); i++ {
		stretch(p[i-1].Vec(), p[i].Vec(), p[i].Via, i)
	}
	if closed && len(p) > 1 {
		stretch(p[len(p)-1].Vec(), p[0].Vec(), p[0].Via, len(p))
	}
	return best, distance
}

// onSegment gives the point of the segment a–b that is nearest to q.
func onSegment(a, b, q r2.Vec) r2.Vec {
	d := r2.Sub(b, a)
	t := r2.Dot(r2.Sub(q, a), d) / r2.Norm2(d)
	if !(t > 0) { // a segment without length gives NaN
		return a
	}
	if t >= 1 {
		return b
	}
	return r2.Add(a, r2.Scale(t, d))
}

// inserted gives the path with a vertex at a place on it. The points along a
// followed edge are shared out between the two sides.
func inserted(p morph.Path, w place) morph.Path {
	if len(p) == 0 || w.index < 0 || w.index > len(p) {
		return p
	}
	v := morph.At(w.at)
	owner := &p[w.index%len(p)]
	k := min(max(w.via, 0), len(owner.Via))
	v.Via = nilIfEmpty(slices.Clone(owner.Via[:k]))
	owner.Via = nilIfEmpty(slices.Clone(owner.Via[k:]))
	return slices.Insert(p, w.index, v)
}

// moved puts vertex i elsewhere, with what leads to it and on from it: an edge
// that was followed to the old position does not lead to the new one.
func moved(p morph.Path, i int, to r2.Vec, before, after [][2]float64) {
	p[i] = morph.At(to)
	p[i].Via = nilIfEmpty(before)
	if len(p) > 1 {
		p[(i+1)%len(p)].Via = nilIfEmpty(after)
	}
}

// removed gives the path without vertex i, its neighbours joined by a straight
// line.
func removed(p morph.Path, i int) morph.Path {
	p[(i+1)%len(p)].Via = nil
	return slices.Delete(p, i, i+1)
}

// reversed gives an open path walked from its other end.
func reversed(p morph.Path) morph.Path {
	n := len(p)
	out := make(morph.Path, n)
	for k := range out {
		out[k] = morph.At(p[n-1-k].Vec())
		if k > 0 {
			via := slices.Clone(p[n-k].Via)
			slices.Reverse(via)
			out[k].Via = nilIfEmpty(via)
		}
	}
	return out
}

func nilIfEmpty(via [][2]float64) [][2]float64 {
	if len(via) == 0 {
		return nil
	}
	return via
}

// farthest gives the vertex between the ends of a path that is farthest from
// the middle of the line between the ends, or Unset where there is none.
func farthest(p morph.Path) int {
	best, far := morph.Unset, -1.0
	if len(p) < 3 {
		return best
	}
	mid := r2.Scale(0.5, r2.Add(p[0].Vec(), p[len(p)-1].Vec()))
	for i := 1; i < len(p)-1; i++ {
		if d := r2.Norm2(r2.Sub(p[i].Vec(), mid)); d > far {
			best, far = i, d
		}
	}
	return best
}
