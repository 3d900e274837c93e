package morph

import (
	"fmt"
	"math"
)

// bounds are the least and the greatest of something; the zero bounds bound
// nothing.
type bounds struct{ least, greatest float64 }

func (b bounds) hold(v float64) bool {
	return b == bounds{} || v >= b.least && v <= b.greatest
}

// What a length in mm or a ratio can be at all: above 0.
var (
	lengths = bounds{math.SmallestNonzeroFloat64, math.MaxFloat64}
	ratios  = lengths
)

// The compiled table of Hendrickx et al. 2024 has densities from 4 to 80 per
// 5 mm, CBL from 0.38 to 54.5 mm and CH from 0.57 to 145.6 mm. Lengths are
// doubted only far beyond that, where a slipped unit or scale is likely.

// judge tells what is wrong with a value of a row's quantity, and whether that
// rules the value out.
func (e *entry) judge(v float64) (problem string, impossible bool) {
	what := fmt.Sprintf("%s %s", e.ID, figure(v))
	if e.Unit != "" {
		what += " " + e.Unit
	}
	switch {
	case !e.possible.hold(v) && v <= 0:
		return what + " cannot be: it must be above 0.", true
	case e.Unit == "per 5 mm" && !e.possible.hold(v):
		return fmt.Sprintf("%s cannot be: published counts run from %s to %s per 5 mm. Check the count, the length and the scale.",
			what, figure(e.published.least), figure(e.published.greatest)), true
	case e.Unit == "per 5 mm" && !e.published.hold(v):
		return fmt.Sprintf("%s lies outside the published counts, %s to %s per 5 mm: check the count, the length and the scale.",
			what, figure(e.published.least), figure(e.published.greatest)), false
	case !e.published.hold(v):
		return fmt.Sprintf("%s is far from any published crown: check the number and its unit, or the scale.", what), false
	}
	return "", false
}
