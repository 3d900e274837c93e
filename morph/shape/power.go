package shape

import "math"

// power is the mean squared distance of one harmonic from its centre.
func (h Harmonic) power() float64 { return (h.A*h.A + h.B*h.B + h.C*h.C + h.D*h.D) / 2 }

// Share is the part of an outline's power that its first n harmonics carry, 0
// to 1. The line that they draw lies √(1 − share) away from the outline, as a
// root mean square and in parts of the outline's own root mean square distance
// from its centre.
func (o Outline) Share(n int) float64 {
	if !(o.Power > 0) || math.IsInf(o.Power, 0) {
		return 0
	}
	sum := 0.0
	for _, h := range o.Harmonics[:min(max(n, 0), len(o.Harmonics))] {
		sum += h.power()
	}
	return min(sum/o.Power, 1)
}

// Enough is the fewest harmonics with which every one of the outlines keeps a
// share of its power; where one lacks the harmonics for that, all that it has.
func Enough(share float64, outlines ...Outline) int {
	enough := 1
	for _, o := range outlines {
		for enough < len(o.Harmonics) && o.Share(enough) < share {
			enough++
		}
	}
	return enough
}
