package bench

import (
	"image"
	"math"
)

// Local contrast shows each place of a photo about the grey and the contrast of
// its own surroundings, so that dark enamel and bright card are looked into at
// once (statistical differencing after Wallis, as in Pratt, Digital Image
// Processing, "Statistical differencing"; from memory). It acts on the grey of a
// pixel; what its colour differs from its grey stays.
const (
	// localReach is how far a place's surroundings reach, as a part of the photo's
	// long side: a piece of a crown, not the whole of it.
	localReach = 1.0 / 24
	// localSpread is the standard deviation, of a range of 1, that surroundings
	// are stretched to, and localMost how much at most: more would show noise.
	localSpread, localMost = 0.18, 5
	// localLift is how much of the way to middle grey surroundings are brought.
	localLift = 0.6
	// localRange is the gain that the largest byte of a texture stands for.
	localRange = 8
)

// surroundings holds, for each px of a small copy of the photo, the mean grey
// about it, 0 to 1, and by how much differences from it are enlarged at full
// strength.
type surroundings struct {
	width, height int
	mean, gain    []float64
}

// surroundingsOf looks at a small copy of the photo, RGBA row by row.
func surroundingsOf(pix []byte, size image.Point) surroundings {
	n := size.X * size.Y
	s := surroundings{size.X, size.Y, make([]float64, n), make([]float64, n)}
	square := s.gain // until it is no longer needed
	for i := range n {
		p := pix[4*i:][:3]
		// The luma of ITU-R BT.601, as for all that is found in a picture.
		v := (0.299*float64(p[0]) + 0.587*float64(p[1]) + 0.114*float64(p[2])) / 255
		s.mean[i], square[i] = v, v*v
	}
	r := max(1, int(math.Round(localReach*float64(max(size.X, size.Y)))))
	line := make([]float64, max(size.X, size.Y))
	for range 2 { // twice, so that no edge of a window shows
		blur(s.mean, size, r, line)
		blur(square, size, r, line)
	}
	for i, m := range s.mean {
		deviation := math.Sqrt(max(square[i]-m*m, 0))
		s.gain[i] = min(max(localSpread/max(deviation, 1e-6), 1), localMost)
	}
	return s
}

// blur replaces each value by the mean of the square of 2r+1 values about it,
// as far as there are any.
func blur(v []float64, size image.Point, r int, line []float64) {
	for y := range size.Y {
		average(v[y*size.X:], 1, size.X, r, line)
	}
	for x := range size.X {
		average(v[x:], size.X, size.Y, r, line)
	}
}

// average does so for n values that lie step apart.
func average(v []float64, step, n, r int, line []float64) {
	sum, count := 0.0, 0
	for i := range n {
		line[i] = v[i*step]
	}
	for i := range min(r, n) {
		sum += line[i]
		count++
	}
	for i := range n {
		if i+r < n {
			sum += line[i+r]
			count++
		}
		if i-r-1 >= 0 {
			sum -= line[i-r-1]
			count--
		}
		v[i*step] = sum / float64(count)
	}
}

// texture writes what a drawing needs, four bytes a px: the mean as two digits
// of base 256, the gain at the given strength in parts of localRange, and 255.
func (s surroundings) texture(strength float64, dst []byte) {
	for i, m := range s.mean {
		digits := uint16(math.Round(m * 65280)) // 255 and 0 for white
		gain := math.Pow(s.gain[i], strength)
		p := dst[4*i:][:4]
		p[0], p[1], p[2], p[3] = uint8(digits>>8), uint8(digits), uint8(math.Round(gain/localRange*255)), 255
	}
}

// lift is how much of the way to middle grey means are brought.
func (s Shade) lift() float64 { return localLift * s.Local }
