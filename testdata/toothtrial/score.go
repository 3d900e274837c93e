package toothtrial

import (
	"math"
	"slices"
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
	// Confidence is how far the proposal says to trust its lengths: the less of
	// Base and Apex, those of its ends. Outline is how far to trust the line
	// between them, on which area and edge depend.
	Confidence, Outline, Base, Apex float64
	// A, B and G tell how far each landmark lies off, and how far the proposal
	// says that it may.
	A, B, G      Off
	Root, Broken bool // what the proposal says of them
}

// Off is where a proposed point lies from the true one, px, toward the tip and
// across the crown, and the stated uncertainty, px; 0 when there is none.
type Off struct{ Along, Across, U float64 }

// By is the whole distance, px.
func (o Off) By() float64 { return math.Hypot(o.Along, o.Across) }

// Good tells whether every length is within 0.5 % or 1 px.
func (s Score) Good() bool {
	return s.Refused == nil && fine(s.CBL, s.TrueCBL) && fine(s.CH, s.TrueCH) && fine(s.AL, s.TrueAL)
}

// fine tells whether an error is within 0.5 % or 1 px.
func fine(e, length float64) bool { return math.Abs(e) <= math.Max(1, 0.005*length) }

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
	s := Score{
		Confidence: min(l.Base, l.Apex), Outline: o.Confidence, Base: l.Base, Apex: l.Apex,
		Root: l.Root, Broken: l.Broken,
	}
	if far(l.A, a)+far(l.B, b) > far(l.A, b)+far(l.B, a) {
		s.Swapped = true
		l.A, l.B, l.UA, l.UB = l.B, l.A, l.UB, l.UA
	}
	up := r2.Unit(r2.Sub(g, r2.Scale(0.5, r2.Add(a, b))))
	off := func(p, truth r2.Vec, u float64) Off {
		d := r2.Sub(p, truth)
		return Off{r2.Dot(d, up), r2.Cross(up, d), u}
	}
	s.A, s.B, s.G = off(l.A, a, l.UA), off(l.B, b, l.UB), off(l.G, g, l.UG)
	s.TrueCBL, s.TrueCH, s.TrueAL = far(a, b), far(b, g), far(a, g)
	s.Size = max(s.TrueCBL, s.TrueCH, s.TrueAL)
	s.CBL, s.CH, s.AL = far(l.A, l.B)-s.TrueCBL, far(l.B, l.G)-s.TrueCH, far(l.A, l.G)-s.TrueAL
	s.CMA = angle(l.B, l.A, l.G) - angle(b, a, g)
	crown := slices.Concat(l.Mesial, l.Distal)
	var astray []float64
	for i := 0; i < len(truth.Outline); i += 1 + len(truth.Outline)/400 {
		astray = append(astray, distance(truth.Outline[i], crown))
	}
	sort.Float64s(astray)
	s.EdgeMedian, s.Edge90 = astray[len(astray)/2], astray[len(astray)*9/10]
	s.AreaError = area(crown)/area(truth.Outline) - 1
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
