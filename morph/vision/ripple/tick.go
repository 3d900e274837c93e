package ripple

import (
	"math"
	"math/cmplx"
	"slices"
)

// span is a stretch of the guide between two samples.
type span struct{ from, to int }

// What counts as a row of denticles: the share of variance that its spacing
// explains, and its height against that of the row on the whole.
const (
	leastShare  = 0.5
	leastHeight = 0.45
	leastRipple = 0.05 // px: what sampling itself may make
)

// rows gives the stretches where a rhythm shows. A gap shorter than a period
// and a half, such as a chipped denticle, does not part a row; stretches of
// fewer than three periods are chance.
func (t trail) rows() []span {
	var heights []float64
	for i, h := range t.height {
		if t.share[i] >= leastShare {
			heights = append(heights, h)
		}
	}
	if len(heights) == 0 {
		return nil
	}
	least := max(leastRipple, leastHeight*median(heights))
	var out []span
	for i := 0; i < len(t.height); i++ {
		if t.share[i] < leastShare*0.8 || t.height[i] < least {
			continue
		}
		if k := len(out) - 1; k >= 0 && float64(i-out[k].to)*t.step < 1.5*t.period[i] {
			out[k].to = i
		} else {
			out = append(out, span{i, i})
		}
	}
	kept := out[:0]
	for _, s := range out {
		if t.periods(s) >= 3 {
			kept = append(kept, s)
		}
	}
	return kept
}

// periods is how many periods a stretch holds.
func (t trail) periods(s span) float64 {
	sum := 0.0
	for i := s.from; i < s.to; i++ {
		sum += t.step / t.period[i]
	}
	return sum
}

// tips gives where along the guide, in px, the denticles of a stretch have
// their tips; outward is 1 where the edge is measured away from the tooth and −1
// where it is measured into it.
func (t trail) tips(s span, outward float64) []float64 {
	var out []float64
	phase := cmplx.Phase(t.wave[s.from] * complex(outward, 0))
	turns := math.Ceil(phase / (2 * math.Pi)) // the next whole turn
	for i := s.from; i < s.to; i++ {
		d := cmplx.Phase(t.wave[i+1] * cmplx.Conj(t.wave[i]))
		for phase+d >= 2*math.Pi*turns && d > 0 {
			w := (2*math.Pi*turns - phase) / d
			out = append(out, (float64(i)+max(0, w))*t.step)
			turns++
		}
		phase += d
	}
	return out
}

func median(values []float64) float64 {
	if len(values) == 0 {
		return 0
	}
	sorted := append([]float64(nil), values...)
	slices.Sort(sorted)
	return sorted[len(sorted)/2]
}
