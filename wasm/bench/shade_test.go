package bench_test

import (
	"math"
	"testing"

	"crownbench/wasm/bench"
)

// CALC: contrast turns about middle grey by a power of 4, brightness adds half the
// range, a channel stands in for all three.
func TestShadeMatrix(t *testing.T) {
	apply := func(s bench.Shade, in [3]float64) (out [3]float64) {
		for i, row := range s.Matrix() {
			out[i] = row[0]*in[0] + row[1]*in[1] + row[2]*in[2] + row[3]
		}
		return out
	}
	colour := [3]float64{0.1, 0.5, 0.9}
	for name, c := range map[string]struct {
		shade bench.Shade
		want  [3]float64
	}{
		"as it is":             {bench.Shade{}, colour},
		"contrast":             {bench.Shade{Contrast: 1}, [3]float64{-1.1, 0.5, 2.1}},
		"less of it":           {bench.Shade{Contrast: -1}, [3]float64{0.4, 0.5, 0.6}},
		"brightness":           {bench.Shade{Brightness: 0.5}, [3]float64{0.35, 0.75, 1.15}},
		"green":                {bench.Shade{Channel: bench.Green}, [3]float64{0.5, 0.5, 0.5}},
		"blue, with contrast":  {bench.Shade{Contrast: 0.5, Channel: bench.Blue}, [3]float64{1.3, 1.3, 1.3}},
		"red, with brightness": {bench.Shade{Brightness: -0.2, Channel: bench.Red}, [3]float64{0, 0, 0}},
	} {
		got := apply(c.shade, colour)
		for i := range got {
			if math.Abs(got[i]-c.want[i]) > 1e-12 {
				t.Errorf("%s: %v, want %v", name, got, c.want)
				break
			}
		}
	}
}

func TestShadeStaysInRangeAndOutOfTheRecord(t *testing.T) {
	s := newStand(t)
	s.bench.SetShade(bench.Shade{Brightness: 7, Contrast: -9})
	if got := s.bench.Shade(); got != (bench.Shade{Brightness: 1, Contrast: -1}) {
		t.Errorf("%+v", got)
	}
	s.bench.SetShade(bench.Shade{Brightness: math.NaN()})
	if got := s.bench.Shade(); got.Brightness != 1 || s.edits != 0 {
		t.Errorf("%+v after %d edits", got, s.edits)
	}
}
