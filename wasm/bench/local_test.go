package bench

import (
	"image"
	"math"
	"testing"
)

// grey is a copy of a photo in grey of 0 to 255.
func grey(w, h int, at func(x, y int) float64) []byte {
	pix := make([]byte, 4*w*h)
	for i := range w * h {
		v := uint8(math.Round(at(i%w, i/w)))
		pix[4*i], pix[4*i+1], pix[4*i+2], pix[4*i+3] = v, v, v, 255
	}
	return pix
}

// CALC: of an even grey the mean is that grey and the deviation 0, so that the
// gain is the most there is; of a fine chequer of greys m ± d it is the spread
// aimed at over d, never below 1.
func TestSurroundings(t *testing.T) {
	size := image.Pt(200, 120)
	for name, c := range map[string]struct{ mean, deviation, gain float64 }{
		"even":            {51, 0, localMost},
		"faint chequer":   {51, 25.5, localSpread / 0.1},
		"strong chequer":  {127.5, 127.5, 1},
		"the least faint": {102, 1, localMost},
	} {
		s := surroundingsOf(grey(size.X, size.Y, func(x, y int) float64 {
			return math.Floor(c.mean + c.deviation*float64(1-2*((x+y)%2)))
		}), size)
		at := 60*size.X + 100 // away from the edges, where the window has an even share of both
		if math.Abs(s.mean[at]-math.Floor(c.mean)/255) > 0.004 || math.Abs(s.gain[at]-c.gain) > 0.05 {
			t.Errorf("%s: mean %.4f, gain %.3f; want %.4f, %.3f", name, s.mean[at], s.gain[at], c.mean/255, c.gain)
		}
	}
}

// CALC: averaged twice by a window of 2r+1, a step has half its height where it
// stands, and the even grey of each side from 2r+1 px on.
func TestSurroundingsOfAStep(t *testing.T) {
	size := image.Pt(240, 40)
	s := surroundingsOf(grey(size.X, size.Y, func(x, _ int) float64 { return 255 * float64(min(x/120, 1)) }), size)
	r := int(math.Round(localReach * 240))
	row := s.mean[20*size.X:]
	if got := (row[119] + row[120]) / 2; math.Abs(got-0.5) > 1e-9 {
		t.Errorf("at the step the mean is %g", got)
	}
	if row[119-2*r] > 1e-9 || row[120+2*r] < 1-1e-9 || row[119-2*r+1] <= 1e-9 {
		t.Errorf("the step reaches from %g to %g", row[119-2*r], row[120+2*r])
	}
}

// The texture gives mean and gain back as closely as its bytes allow: 1/65280
// and 1/510 of its range; at no strength every gain is 1.
func TestSurroundingsAsTexture(t *testing.T) {
	s := surroundings{4, 1, []float64{0, 0.123456, 0.5, 1}, []float64{1, 2, 5, 3.3}}
	pix := make([]byte, 16)
	for _, strength := range []float64{0, 0.5, 1} {
		s.texture(strength, pix)
		for i, m := range s.mean {
			mean := float64(pix[4*i])/255 + float64(pix[4*i+1])/255/256
			gain := float64(pix[4*i+2]) / 255 * localRange
			if math.Abs(mean-m) > 1.0/65280 || math.Abs(gain-math.Pow(s.gain[i], strength)) > localRange/510.0+1e-9 || pix[4*i+3] != 255 {
				t.Errorf("strength %g: mean %g for %g, gain %g for %g", strength, mean, m, gain, s.gain[i])
			}
		}
	}
}

func BenchmarkSurroundings(b *testing.B) {
	size := image.Pt(255, 170)
	pix := grey(size.X, size.Y, func(x, y int) float64 { return float64((x * y) % 256) })
	for b.Loop() {
		surroundingsOf(pix, size)
	}
}
