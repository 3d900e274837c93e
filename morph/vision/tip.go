package vision

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Apex is where the edges of a crown would meet: an estimate, never a
// measurement.
type Apex struct {
	At r2.Vec  // px
	U  float64 // its standard uncertainty along the crown, px
}

// ErrNoApex says why no apex is estimated.
var ErrNoApex = errors.New("the two edges do not run together toward the tip: where the apex was cannot be estimated")

const (
	// tipShare is the share of an edge next to the tip that rounding, wear or
	// the break has shaped.
	tipShare = 0.06
	// usedShare is the share of an edge that is carried on beyond it.
	usedShare = 0.6
)

// Tip estimates the apex of a crown whose tip is lost or blunt from what is
// left of its edges, in px: the mesial one from A to the tip, the distal one
// from the tip to B. Parabolas through the upper part of both are carried on
// until they meet. The uncertainty is how much the answer depends on how much
// of the edges is used and on the kind of curve, and the scatter of the edges
// about it.
//
// The error is ErrNoApex.
func Tip(mesial, distal []r2.Vec) (Apex, error) {
	if len(mesial) < 8 || len(distal) < 8 {
		return Apex{}, ErrNoApex
	}
	m, d := walkAlong(mesial), walkAlong(reversed(distal))
	base := r2.Scale(0.5, r2.Add(mesial[0], distal[len(distal)-1]))
	top := r2.Scale(0.5, r2.Add(m.at(m.length()*(1-tipShare)), d.at(d.length()*(1-tipShare))))
	if r2.Norm(r2.Sub(top, base)) == 0 {
		return Apex{}, ErrNoApex
	}
	f := frameOf(base, r2.Sub(top, base))
	at, u, ok := meet(f, m, d, usedShare, 2)
	if !ok {
		return Apex{}, ErrNoApex
	}
	spread := 0.0
	for _, other := range []struct {
		share  float64
		degree int
	}{{0.4, 2}, {0.85, 2}, {0.85, 3}} {
		q, _, ok := meet(f, m, d, other.share, other.degree)
		if !ok {
			q = r2.Add(at, r2.Scale(0.1*m.length(), f.along))
		}
		off := r2.Norm(r2.Sub(q, at))
		spread += off * off / 3
	}
	return Apex{At: at, U: math.Sqrt(u*u + spread)}, nil
}

// meet carries both edges on until they meet, and gives the uncertainty of the
// place along the crown from their scatter.
func meet(f frame, m, d walk, share float64, degree int) (at r2.Vec, u float64, ok bool) {
	over := func(w walk) curve {
		var x, y []float64
		for _, p := range resample(w.part(w.length()*(1-tipShare-share), w.length()*(1-tipShare)), false, w.length()/300) {
			up, right := f.in(p)
			x, y = append(x, up), append(y, right)
		}
		return fit(x, y, degree)
	}
	cm, cd := over(m), over(d)
	if !cm.valid || !cd.valid {
		return r2.Vec{}, 0, false
	}
	gap := func(x float64) float64 { return cm.at(x) - cd.at(x) }
	low, _ := f.in(r2.Scale(0.5, r2.Add(m.at(m.length()*(1-tipShare)), d.at(d.length()*(1-tipShare)))))
	step := low / 400
	start := gap(low)
	for x := low; x < 2.2*low && step > 0; x += step {
		if gap(x+step)*start <= 0 {
			x += step * gap(x) / (gap(x) - gap(x+step))
			closing := math.Abs(cm.slope(x) - cd.slope(x))
			u = math.Hypot(cm.u(x), cd.u(x)) / math.Max(closing, 1e-3)
			return f.out(x, (cm.at(x)+cd.at(x))/2), u, true
		}
	}
	return r2.Vec{}, 0, false
}
