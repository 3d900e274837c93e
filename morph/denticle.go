package morph

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// DensityLength is the length of carina, in mm, to which the trade scales
// denticle counts (Smith 2005).
const DensityLength = 5.0

// Density gives denticles per 5 mm from a number counted over a length of
// carina in mm. A count made over less than 5 mm, as on small teeth, is scaled
// up and its error with it (Farlow et al. 1991; Smith 2005).
func Density(n, lengthMM float64) float64 { return DensityLength * n / lengthMM }

// CountU is the standard uncertainty of a typed count, in denticles: where the
// interval begins and ends within a denticle is not known, ± half of one.
const CountU = 0.5

// TickSpan gives the length along the line between the first and the last tick
// in the unit of the points, each tick counting at the point of the line that
// is nearest to it, and the gaps between neighbours along it, in order.
func TickSpan(line, ticks []r2.Vec) (span float64, gaps []float64) {
	at := make([]float64, len(ticks))
	for i, t := range ticks {
		at[i] = along(line, t)
	}
	if len(at) < 2 {
		return 0, nil
	}
	slices.Sort(at)
	for i := 1; i < len(at); i++ {
		gaps = append(gaps, at[i]-at[i-1])
	}
	return at[len(at)-1] - at[0], gaps
}

// tickSpan is the span of TickSpan alone.
func tickSpan(line, ticks []r2.Vec) float64 {
	if len(ticks) < 2 {
		return 0
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, t := range ticks {
		s := along(line, t)
		lo, hi = min(lo, s), max(hi, s)
	}
	return hi - lo
}
