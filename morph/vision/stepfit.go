package vision

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/spatial/r2"
)

const (
	// half is how far to either side of an edge its profile is looked at, px.
	half = 6
	// places are where in a profile a step is tried, placed px apart.
	places, placed = 25, 0.25
)

// blurredStep is one kind of edge: two sides, each of a colour that may change
// steadily with the distance from the edge, parted by a step blurred by a normal
// distribution. For each place of the step there are the orthonormal columns
// that span all such profiles.
//
//	one side ────╮
//	             ╰──── other side
type blurredStep struct {
	blur  float64
	spans [places][4][2*half + 1]float64
}

// blurredSteps are the kinds of edge that are told apart: by their blur, px.
// Lens, sensor and the reading between pixels give half a pixel at least.
var blurredSteps = sync.OnceValue(func() []blurredStep {
	var out []blurredStep
	for _, blur := range []float64{0.6, 0.8, 1.1, 1.5, 2} {
		b := blurredStep{blur: blur}
		for k := range b.spans {
			at := placed * float64(k-places/2)
			v := &b.spans[k]
			for i := range 2*half + 1 {
				x := float64(i-half) - at
				far := 0.5 * (1 + math.Erf(x/(blur*math.Sqrt2)))
				v[0][i], v[1][i], v[2][i], v[3][i] = 1-far, far, x*(1-far), x*far
			}
			for j := range v {
				for m := range j {
					dot := 0.0
					for i := range v[j] {
						dot += v[j][i] * v[m][i]
					}
					for i := range v[j] {
						v[j][i] -= dot * v[m][i]
					}
				}
				size := 0.0
				for _, x := range v[j] {
					size += x * x
				}
				size = math.Sqrt(size)
				for i := range v[j] {
					v[j][i] /= size
				}
			}
		}
		out = append(out, b)
	}
	return out
})

// misfit is the sum of squares, over the three colours, of what the step at
// each place leaves unexplained of a profile.
func (b *blurredStep) misfit(profile []colour) (out [places]float64) {
	total := 0.0
	for _, c := range profile {
		total += apart(c, colour{})
	}
	for k := range out {
		out[k] = total
		for j := range b.spans[k] {
			var dot colour
			for i, v := range b.spans[k][j] {
				for c := range dot {
					dot[c] += v * profile[i][c]
				}
			}
			out[k] -= apart(dot, colour{})
		}
	}
	return out
}

// placedEdge are points where the picture's colour steps, px of the photograph,
// with the standard uncertainty of each across the edge.
type placedEdge struct {
	points []r2.Vec
	u      []float64
	blur   float64 // px
}

// place finds the edge near an open line of the photograph, to a fraction of
// a pixel, by fitting blurred steps to the profiles across it; where there is
// none within three px there is no point. Every profile is the mean of as many
// as around on both sides of it along the line.
func (p *Picture) place(line []r2.Vec, around int) placedEdge {
	r := p.Level(0).lay(line, false, half-margin)
	r.average(around)
	kinds := blurredSteps()
	best, least := 0, math.Inf(1)
	for k := range kinds {
		r.level.Rest()
		sum := 0.0
		for i := 0; i < len(r.points); i += telling {
			m := kinds[k].misfit(r.profile(i))
			sum += math.Sqrt(math.Max(0, m[lowest(m[:])]))
		}
		if sum < least {
			best, least = k, sum
		}
	}
	r.level.Rest()
	out := placedEdge{blur: kinds[best].blur}
	for i := range r.points {
		m := kinds[best].misfit(r.profile(i))
		k := lowest(m[:])
		if k == 0 || k == places-1 {
			continue
		}
		a, b, c := m[k-1], m[k], m[k+1]
		bend := a - 2*b + c
		if bend <= 0 {
			continue
		}
		// A third of the 3 × 13 values are independent of each other.
		variance := math.Max(b, 6)/11 + 0.3
		u := placed * math.Sqrt(2*variance/bend)
		if u > 1 {
			continue
		}
		at := placed * (float64(k-places/2) + (a-c)/(2*bend))
		out.points = append(out.points, r.at(i, at))
		out.u = append(out.u, u)
	}
	return out
}

// telling is how many rows apart those are that tell of the blur.
const telling = 4

// profile is the colours across the line at a row.
func (r *ribbon) profile(i int) []colour { return r.look[i*r.wide:][:r.wide] }

// lowest is the index of the least value.
func lowest(v []float64) int {
	at := 0
	for i := range v {
		if v[i] < v[at] {
			at = i
		}
	}
	return at
}
