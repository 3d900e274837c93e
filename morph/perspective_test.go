package morph_test

import (
	"math"
	"testing"

	"crownbench/morph"
)

// CALC: similar triangles of a pinhole camera, in percent.
func TestOffsetError(t *testing.T) {
	for _, c := range []struct{ distance, offset, percent float64 }{
		{500, 10, 2.040816}, {300, 15, 5.263158}, {500, -10, -1.960784}, {1000, 10, 1.010101}, {200, 5, 2.564103}, {500, 0, 0},
	} {
		got, err := morph.OffsetError(c.distance, c.offset)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "percent", 100*got, c.percent, 1e-6)
	}
	for _, c := range [][2]float64{{0, 0}, {-1, 0}, {math.NaN(), 0}, {math.Inf(1), 1}, {100, 100}, {100, 200}, {100, math.NaN()}, {100, math.Inf(-1)}} {
		if _, err := morph.OffsetError(c[0], c[1]); err == nil {
			t.Errorf("%v: no error", c)
		}
	}
}

// CALC: cos θ − 1, in percent.
func TestTiltError(t *testing.T) {
	for degrees, percent := range map[float64]float64{0: 0, 2: -0.060917, 5: -0.380530, 10: -1.519225, 15: -3.407417, 20: -6.030738} {
		near(t, "percent", 100*morph.TiltError(degrees), percent, 1e-6)
	}
}
