package morph

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// PointingSource tells where a photograph's pointing error comes from.
type PointingSource string

const (
	PointingAssumed  PointingSource = "assumed"  // DefaultPointing
	PointingStated   PointingSource = "stated"   // View.Pointing
	PointingRepeated PointingSource = "repeated" // the person's own repeats
)

// PointingError is the standard uncertainty of one placed point along x and
// along y, in px of the photograph, and where it comes from.
type PointingError struct {
	U      float64
	Source PointingSource
	// Points and Marks are how many points were repeated, and how often in all.
	Points, Marks int
	// Problem is a sentence where repeats are there but give nothing.
	Problem string
}

// String says it in words: "0.62 px, from 10 marks of 2 points".
func (e PointingError) String() string {
	u := figure(math.Round(e.U*1000) / 1000)
	switch e.Source {
	case PointingStated:
		return u + " px, as stated"
	case PointingRepeated:
		return fmt.Sprintf("%s px, from %d marks of %d point%s", u, e.Marks, e.Points, plural(e.Points))
	}
	return u + " px, as assumed"
}

func plural(n int) string {
	if n == 1 {
		return ""
	}
	return "s"
}

// PointingError gives the pointing error of the view: what is stated, else what
// its repeats show, else DefaultPointing.
func (v View) PointingError() PointingError {
	e := PointingError{U: DefaultPointing, Source: PointingAssumed}
	if v.Pointing > 0 && !math.IsInf(v.Pointing, 0) {
		e.U, e.Source = v.Pointing, PointingStated
		return e
	}
	if len(v.Repeats) == 0 {
		return e
	}
	marks := make([][]r2.Vec, len(v.Repeats))
	for i, r := range v.Repeats {
		for _, p := range r {
			marks[i] = append(marks[i], p.Vec())
		}
	}
	u, err := PointingOf(marks)
	if err != nil {
		e.Problem = err.Error()
		return e
	}
	e.U, e.Source = u, PointingRepeated
	for _, m := range marks {
		if len(m) > 1 {
			e.Points, e.Marks = e.Points+1, e.Marks+len(m)
		}
	}
	return e
}

// fewestFreedoms is the least number of degrees of freedom that a pointing
// error is estimated from: three marks of one point.
const fewestFreedoms = 4

// PointingOf gives the standard uncertainty of one mark along x and along y, in
// the unit of the marks, from marks of the same points again and again: one
// list for each point. Px of the photograph times the zoom at which the points
// were marked make it an error on the screen.
//
// It is the standard deviation of the marks about the mean of their own point,
// pooled over points and both directions with f degrees of freedom, times
// √(f/(f−2)), the standard deviation of Student's distribution: few repeats say
// little of the error, and intervals of ±1.96 u would be too short without.
//
// It refuses, with a sentence: too few marks (fewer than three of one point or
// as much over several), one without a position, and marks that all coincide.
func PointingOf(repeats [][]r2.Vec) (float64, error) {
	var sum, freedoms float64
	for _, marks := range repeats {
		var mean r2.Vec
		for _, p := range marks {
			mean = r2.Add(mean, r2.Scale(1/float64(len(marks)), p))
		}
		for _, p := range marks {
			sum += r2.Norm2(r2.Sub(p, mean))
		}
		freedoms += 2 * float64(max(0, len(marks)-1))
	}
	switch {
	case freedoms < fewestFreedoms:
		return 0, errors.New("Mark the same point three times at least, better five, before the pointing error can be told.")
	case !finite(sum):
		return 0, errors.New("A repeated mark has no position in the photo: place it again.")
	case sum == 0:
		return 0, errors.New("The repeated marks all lie on the same place: look away from the point between two marks.")
	}
	return math.Sqrt(sum / (freedoms - 2)), nil
}
