package ripple

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"crownbench/morph/vision"
)

// strip is the picture along a guide, straightened: a row of samples across the
// guide for each of its points, from reach px to its right to reach px to its
// left, as one number each: how much the colour is like that of the right side.
type strip struct {
	reach  float64
	across int // samples in a row
	like   []float64
	// What the right and the left side are like, by row, and how far apart they
	// are on the whole.
	right, left []float64
	contrast    float64
}

// acrossStep is how far apart, in px, the samples of a row are.
const acrossStep = 0.5

// levelLength is over how many px of guide a side's own colour is taken: the
// colours of ground and enamel change along a carina, a denticle does not.
const levelLength = 24.0

// stripOf straightens the picture along a guide.
func stripOf(l *vision.Level, g guide, reach float64) strip {
	s := strip{reach: reach, across: 2*int(math.Round(reach/acrossStep)) + 1}
	colours := make([][3]float64, len(g.points)*s.across)
	for i, p := range g.points {
		l.Rest()
		for k := range s.across {
			n := (float64(k) - float64(s.across-1)/2) * acrossStep
			colours[i*s.across+k] = l.SampleColour(r2.Add(p, r2.Scale(n, g.normals[i])))
		}
	}
	weights := apart(colours, s.across)
	l.Rest()
	s.like = make([]float64, len(colours))
	for i, c := range colours {
		s.like[i] = weights[0]*c[0] + weights[1]*c[1] + weights[2]*c[2]
	}
	s.right, s.left = make([]float64, len(g.points)), make([]float64, len(g.points))
	for i := range g.points {
		row := s.like[i*s.across:][:s.across]
		for k := range s.flank() {
			s.right[i] += row[k] / float64(s.flank())
			s.left[i] += row[s.across-1-k] / float64(s.flank())
		}
	}
	s.right, s.left = gauss(s.right, levelLength/g.step), gauss(s.left, levelLength/g.step)
	for i := range s.right {
		s.contrast += (s.right[i] - s.left[i]) / float64(len(s.right))
	}
	return s
}

// flank is how many samples at either end of a row are taken for that side's
// own colour.
func (s strip) flank() int { return max(2, s.across/5) }

// apart gives the weights of red, green and blue by which the two flanks differ
// most, against how much each varies by itself.
func apart(colours [][3]float64, across int) [3]float64 {
	flank := max(2, across/5)
	var mean, square [2][3]float64
	n := float64(len(colours) / across * flank)
	for i := 0; i+across <= len(colours); i += across {
		for k := range flank {
			for c := range 3 {
				r, l := colours[i+k][c], colours[i+across-1-k][c]
				mean[0][c] += r / n
				mean[1][c] += l / n
				square[0][c] += r * r / n
				square[1][c] += l * l / n
			}
		}
	}
	var w [3]float64
	size := 0.0
	for c := range w {
		varies := square[0][c] - mean[0][c]*mean[0][c] + square[1][c] - mean[1][c]*mean[1][c]
		w[c] = (mean[0][c] - mean[1][c]) / (max(0, varies) + 4) // 4: two grey levels of noise
		size += w[c] * w[c]
	}
	if size == 0 {
		return w
	}
	for c := range w {
		w[c] /= math.Sqrt(size)
	}
	return w
}

// edge gives how far to the left of the guide the right side's colour reaches
// at each of its points, in px: the share of each row that is of that colour,
// which an even blur does not move.
func (s strip) edge() []float64 {
	out := make([]float64, len(s.right))
	least := s.contrast / 4
	for i := range out {
		row := s.like[i*s.across:][:s.across]
		span := s.right[i] - s.left[i]
		if span < least {
			span = least // hardly any contrast here: let it count for little
		}
		sum := 0.0
		for _, v := range row {
			sum += max(0, min(1, (v-s.left[i])/span))
		}
		out[i] = (sum - float64(s.across)/2) * acrossStep
	}
	return out
}

// gauss smooths values with a Gaussian of the given deviation in samples; at
// the ends only what is there counts.
func gauss(values []float64, sigma float64) []float64 {
	if !(sigma > 0) {
		return append([]float64(nil), values...)
	}
	reach := int(math.Ceil(3 * sigma))
	kernel := make([]float64, reach+1)
	for k := range kernel {
		kernel[k] = math.Exp(-float64(k*k) / (2 * sigma * sigma))
	}
	out := make([]float64, len(values))
	for i := range values {
		sum, mass := 0.0, 0.0
		for k := max(0, i-reach); k <= min(len(values)-1, i+reach); k++ {
			w := kernel[max(i-k, k-i)]
			sum += w * values[k]
			mass += w
		}
		out[i] = sum / mass
	}
	return out
}
