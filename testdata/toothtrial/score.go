package toothtrial

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/spatial/r2"

	"crownbench/morph/vision"
	"crownbench/testdata/toothphoto"
)

// Score is how a proposal compares with the truth of its photograph. Lengths
// are those in the picture, between points in px, so neither scale nor tilt
// enters.
type Score struct {
	Refused error // why there is no proposal; the rest is 0 then

	// Edge is the distance of the true crown outline from the proposed one, px:
	// the median and the ninetieth percentile along it.
	EdgeMedian, Edge90 float64
	// AreaError is the relative error of the crown's area, closed by A–B,
	// against that within the denticles.
	AreaError float64
	// Size is the longest of the three true lengths, px.
	Size float64
	// CBL, CH and AL are errors in px, Lengths the true lengths.
	CBL, CH, AL             float64
	TrueCBL, TrueCH, TrueAL float64
	// CMA is the error of the crown angle, degrees.
	CMA float64
	// Swapped tells that A and B are the wrong way round; the other errors are
	// those after putting them right.
	Swapped bool
	// Confidence is the least of the proposal's own.
	Confidence float64
}

// Good tells whether every length is within 0.5 % or 1 px.
func (s Score) Good() bool {
	fine := func(e, length float64) bool { return math.Abs(e) <= math.Max(1, 0.005*length) }
	return s.Refused == nil && fine(s.CBL, s.TrueCBL) && fine(s.CH, s.TrueCH) && fine(s.AL, s.TrueAL)
}

// Worst is the greatest relative error of a length.
func (s Score) Worst() float64 {
	return max(math.Abs(s.CBL)/s.TrueCBL, math.Abs(s.CH)/s.TrueCH, math.Abs(s.AL)/s.TrueAL)
}

// Middle is a point well inside a crown, where a person would click.
func Middle(truth toothphoto.Truth) r2.Vec {
	return r2.Scale(1./3, r2.Add(*truth.G, r2.Add(*truth.A, *truth.B)))
}

// Propose clicks into the crown of a lateral photograph and scores what is
// proposed.
func Propose(p *vision.Picture, truth toothphoto.Truth) Score {
	o, err := vision.Silhouette(p, Middle(truth))
	if err != nil {
		return Score{Refused: err}
	}
	l, err := vision.Landmarks(p, o)
	if err != nil {
		return Score{Refused: err}
	}
	a, g, b := *truth.A, *truth.G, *truth.B
	s := Score{Confidence: min(o.Confidence, l.Base, l.Apex)}
	if far(l.A, a)+far(l.B, b) > far(l.A, b)+far(l.B, a) {
		s.Swapped = true
		l.A, l.B = l.B, l.A
	}
	s.TrueCBL, s.TrueCH, s.TrueAL = far(a, b), far(b, g), far(a, g)
	s.Size = max(s.TrueCBL, s.TrueCH, s.TrueAL)
	s.CBL, s.CH, s.AL = far(l.A, l.B)-s.TrueCBL, far(l.B, l.G)-s.TrueCH, far(l.A, l.G)-s.TrueAL
	s.CMA = angle(l.B, l.A, l.G) - angle(b, a, g)
	var off []float64
	for i := 0; i < len(truth.Outline); i += 1 + len(truth.Outline)/400 {
		off = append(off, distance(truth.Outline[i], o.Points))
	}
	sort.Float64s(off)
	s.EdgeMedian, s.Edge90 = off[len(off)/2], off[len(off)*9/10]
	crown := area(truth.Outline)
	s.AreaError = area(append(append([]r2.Vec{}, l.Mesial...), l.Distal...))/crown - 1
	return s
}

func far(p, q r2.Vec) float64 { return r2.Norm(r2.Sub(p, q)) }

// angle is that at the middle point, degrees.
func angle(p, at, q r2.Vec) float64 {
	return math.Acos(r2.Cos(r2.Sub(p, at), r2.Sub(q, at))) * 180 / math.Pi
}

func area(pts []r2.Vec) float64 {
	sum := 0.0
	for i, p := range pts {
		sum += r2.Cross(p, pts[(i+1)%len(pts)])
	}
	return math.Abs(sum) / 2
}

// distance is that of a point from a closed line.
func distance(p r2.Vec, line []r2.Vec) float64 {
	best := math.Inf(1)
	for i, a := range line {
		d := r2.Sub(line[(i+1)%len(line)], a)
		w := 0.0
		if l := r2.Norm2(d); l > 0 {
			w = math.Max(0, math.Min(1, r2.Dot(r2.Sub(p, a), d)/l))
		}
		best = math.Min(best, far(p, r2.Add(a, r2.Scale(w, d))))
	}
	return best
}
