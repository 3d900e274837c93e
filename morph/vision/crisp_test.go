package vision

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// A closed form: of a step blurred by a normal distribution of deviation s the
// share within a of its middle is erf(a/s√2). On the copy of half the size one
// px is two of the photograph, and what is seen reaches four px of it. Averaging
// two by two pixels adds 2²/12 to the variance, sampling between their centres
// 2²/6 on average.
func TestCrispTellsAnEdgeFromAShade(t *testing.T) {
	const size, radius = 320, 90.0
	for _, c := range []struct {
		soft float64
		edge bool
	}{{1, true}, {1.8, true}, {6, false}, {12, false}} {
		pix := make([]uint8, 4*size*size)
		for i := range size * size {
			x, y := float64(i%size)+0.5-size/2, float64(i/size)+0.5-size/2
			v := uint8(math.Round(130 + 60*math.Erf((radius-math.Hypot(x, y))/(c.soft*math.Sqrt2))))
			copy(pix[4*i:], []uint8{v, v, v, 255})
		}
		p, err := NewPicture(pix, size, size)
		if err != nil {
			t.Fatal(err)
		}
		var line []r2.Vec
		for k := range 360 {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / 360)
			line = append(line, r2.Vec{X: size/2 + radius*cos, Y: size/2 + radius*sin})
		}
		got := quantile(crispness(p, line), 0.5)
		s := math.Sqrt(2 * (c.soft*c.soft + 4./12 + 4./6))
		want := math.Erf(2/s) / math.Erf(8/s)
		if math.Abs(got-want) > 0.04 {
			t.Errorf("blurred by %g px: share %.2f, want %.2f", c.soft, got, want)
		}
		if sure := edgelike(got) > 0.5; sure != c.edge {
			t.Errorf("blurred by %g px: share %.2f taken for an edge: %v", c.soft, got, sure)
		}
	}
}
