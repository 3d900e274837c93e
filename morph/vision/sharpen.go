package vision

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// sharpen brings a closed line, found on level n, to the edge on all larger
// copies in turn.
func sharpen(p *Picture, n int, f *field, body *mask) (Outline, error) {
	grainy := f.uneven != nil
	var e edge
	reach := 3
	line := body.contour()
	if grainy {
		line = soften(line, true, 4)
		reach = 6
	} else if line = soften(line, true, 2); ragged(resample(line, true, stride)) > smooth {
		line = soften(line, true, 12)
		reach = 6
	}
	for ; n >= 0; n-- {
		r := p.Level(n).lay(line, true, reach)
		if grainy {
			e = r.divide(grainStiffness)
			line = soften(e.points, true, 2)
		} else {
			e = r.settle(stiffness)
			line = soften(e.points, true, 1)
		}
		reach = 3
		if n > 0 {
			for i := range line {
				line[i] = r2.Scale(2, line[i])
			}
		}
	}
	for i := range line {
		line[i] = p.Clamp(line[i])
	}
	o := Outline{Points: line, grainy: grainy}
	even := smooth
	if grainy {
		even *= 2 // grains lie upon the edge
		o.edgy = f.parts(line)
	} else {
		for _, c := range crispness(p, line) {
			o.edgy = append(o.edgy, edgelike(c))
		}
	}
	o.Confidence = e.clear() * math.Max(0, math.Min(1, 2-ragged(line)/even))
	if o.Confidence < leastConfidence {
		return Outline{}, ErrTooBusy
	}
	o.Confidence *= 0.3 + 0.7*quantile(o.edgy, 0.1)
	return o, nil
}

// leastConfidence is that below which an outline is not worth looking at.
const leastConfidence = 0.2

// smooth is how ragged the outline of a tooth is at most, as a share of its
// size, denticles and all; twice as ragged, a line is not an outline.
const smooth = 0.0025

// ragged is how far an evenly spaced closed line strays from its own course,
// smoothed over a twenty-fifth of its length, as a share of its size. Seven
// tenths of the line stray less: a torn root's end does not count.
func ragged(line []r2.Vec) float64 {
	n := len(line)
	around := n / 50
	if around < 1 {
		return 0
	}
	var sum r2.Vec
	for k := -around; k <= around; k++ {
		sum = r2.Add(sum, line[(k+n)%n])
	}
	off := make([]float64, n)
	for i := range line {
		off[i] = r2.Norm(r2.Sub(line[i], r2.Scale(1/float64(2*around+1), sum)))
		sum = r2.Add(sum, r2.Sub(line[(i+around+1)%n], line[(i-around+n)%n]))
	}
	return quantile(off, 0.7) / math.Sqrt(math.Abs(area(line))+1)
}

// stiffness is what a line pays to swerve by one px within a stride, as a share
// of the contrast along it.
const stiffness = 0.25

// grainStiffness is what a line on a grainy ground pays to swerve by one px
// within a stride, natural logarithms of likelihood: as much as a few grains
// upon the edge can say, which are several px each.
const grainStiffness = 20
