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
	// tipShare is the share of an edge next to its end that rounding and wear
	// have shaped.
	tipShare = 0.05
	// usedShare is the share of an edge that is carried on beyond it.
	usedShare = 0.6
	// astray is how far, radians, an edge may turn off before it is the break
	// that it runs along.
	astray = 0.6
	// roundness is the radius of a whole crown's tip as a share of its height,
	// and uRoundness its standard uncertainty: an assumption, made wide enough
	// for sharp and blunt teeth (common practice, no source).
	roundness, uRoundness = 0.016, 0.008
)

// wholeEdge gives an edge, walked from its base, without what rounding, wear or a
// break has made of its end.
func wholeEdge(edge []r2.Vec) walk {
	w := walkAlong(edge)
	long := w.length()
	way := r2.Sub(w.at(0.8*long), w.at(0.5*long))
	end := long
	for s := long; s > 0.5*long; s -= 0.005 * long {
		d := r2.Sub(w.at(s), w.at(s-0.03*long))
		if math.Abs(math.Atan2(r2.Cross(way, d), r2.Dot(way, d))) > astray {
			end = s - 0.03*long
		}
	}
	return walkAlong(w.part(0, math.Min(end, long)-tipShare*long))
}

// Tip estimates the apex of a crown whose tip is lost or blunt from what is
// left of its edges, in px: the mesial one from A to the tip, the distal one
// from the tip to B. Parabolas through the upper part of both are carried on
// until they meet; the tip was rounded off a little before. The uncertainty is how much the answer depends on how much
// of the edges is used and on the kind of curve, the scatter of the edges about
// it, and that the tip's roundness is not known.
//
// The error is ErrNoApex.
func Tip(mesial, distal []r2.Vec) (Apex, error) {
	if len(mesial) < 8 || len(distal) < 8 {
		return Apex{}, ErrNoApex
	}
	if walkAlong(mesial).length() == 0 || walkAlong(distal).length() == 0 {
		return Apex{}, ErrNoApex
	}
	m, d := wholeEdge(mesial), wholeEdge(reversed(distal))
	base := r2.Scale(0.5, r2.Add(mesial[0], distal[len(distal)-1]))
	top := r2.Scale(0.5, r2.Add(m.at(m.length()), d.at(d.length())))
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
	}{{0.4, 2}, {0.85, 2}, {0.9, 3}} {
		q, _, ok := meet(f, m, d, other.share, other.degree)
		if !ok {
			q = r2.Add(at, r2.Scale(0.1*m.length(), f.along))
		}
		off := r2.Norm(r2.Sub(q, at))
		spread += off * off / 3
	}
	// The tip was round: it ended before the point where its edges meet.
	high := r2.Norm(r2.Sub(at, base))
	half := 0.5 * math.Acos(math.Max(-1, math.Min(1, r2.Cos(ending(m), ending(d)))))
	short := high * (1/math.Sin(math.Max(half, 0.1)) - 1)
	at = r2.Sub(at, r2.Scale(roundness*short, f.along))
	round := uRoundness * short
	return Apex{At: at, U: math.Sqrt(u*u + spread + round*round)}, nil
}

// ending is the direction in which an edge ends.
func ending(w walk) r2.Vec {
	return r2.Sub(w.at(w.length()), w.at(0.92*w.length()))
}

// meet carries both edges on until they meet, and gives the uncertainty of the
// place along the crown from their scatter.
func meet(f frame, m, d walk, share float64, degree int) (at r2.Vec, u float64, ok bool) {
	over := func(w walk) curve {
		var x, y []float64
		for _, p := range resample(w.part(w.length()*(1-share), w.length()), false, w.length()/300) {
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
	low, _ := f.in(r2.Scale(0.5, r2.Add(m.at(m.length()), d.at(d.length()))))
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
