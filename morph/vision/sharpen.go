package vision

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// sharpen brings a closed line, found on level n, to the edge on all larger
// copies in turn.
func sharpen(p *Picture, n int, line []r2.Vec) (Outline, error) {
	var e edge
	line = soften(line, true, 2)
	reach := 3
	if ragged(resample(line, true, stride)) > smooth {
		line = soften(line, true, 12)
		reach = 6
	}
	for ; n >= 0; n-- {
		e = p.Level(n).lay(line, true, reach).settle(stiffness)
		line = soften(e.points, true, 1)
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
	clean := crispness(p, line)
	o := Outline{Points: line, crisp: clean, Confidence: e.clear() * math.Max(0, math.Min(1, 2-ragged(line)/smooth))}
	tell := edgelike(quantile(clean, 0.1))
	if o.Confidence < leastConfidence {
		return Outline{}, ErrTooBusy
	}
	o.Confidence *= 0.3 + 0.7*tell
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
