package morph_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"crownbench/morph"
)

func TestCrosses(t *testing.T) {
	bow := points(0, 0, 2, 2, 2, 0, 0, 2)
	for _, c := range []struct {
		name   string
		line   []float64
		closed bool
		want   bool
	}{
		{"nothing", nil, true, false},
		{"triangle", []float64{0, 0, 1, 0, 0, 1}, true, false},
		{"square", []float64{0, 0, 1, 0, 1, 1, 0, 1}, true, false},
		{"bow tie", []float64{0, 0, 2, 2, 2, 0, 0, 2}, true, true},
		{"loop, open", []float64{0, 0, 2, 2, 2, 0, 0, 2}, false, true},
		{"crossed by its closing line, open", []float64{0, 0, 1, 1, 2, -1, 3, 0}, false, false},
		{"crossed by its closing line, closed", []float64{0, 0, 1, 1, 2, -1, 3, 0}, true, true},
		{"zigzag, open", []float64{0, 0, 1, 1, 2, 0, 3, 1}, false, false},
		{"touching", []float64{0, 0, 2, 0, 2, 2, 1, 0, 0, 2}, true, false},
		{"there and back", []float64{0, 0, 2, 0, 1, 0, 0, 0}, true, false},
	} {
		if got := morph.Crosses(points(c.line...), c.closed); got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
	bow[2].X = math.NaN()
	morph.Crosses(bow, true) // any answer will do
}

// A starlike outline never crosses itself; with two of its points exchanged
// that are not neighbours, a convex one always does.
func TestCrossesAnyOutline(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		if o := outlines(t); morph.Crosses(o, true) {
			t.Fatalf("%v: crosses", o)
		}
		n := rapid.IntRange(5, 50).Draw(t, "corners")
		var o []float64
		for i := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			o = append(o, 50*cos, 20*sin)
		}
		line := points(o...)
		i := rapid.IntRange(0, n-1).Draw(t, "i")
		j := (i + rapid.IntRange(2, n-2).Draw(t, "apart")) % n
		line[i], line[j] = line[j], line[i]
		if !morph.Crosses(line, true) {
			t.Fatalf("%d and %d of %d exchanged: does not cross", i, j, n)
		}
	})
}

func TestCrossedOutlineIsSaid(t *testing.T) {
	tooth := inventedTooth(40, 0, 30)
	p := tooth.Views[0].Crown.Path
	p[3], p[9] = p[9], p[3]
	o := tooth.Views[1].Section.Outline
	o[3], o[9] = o[9], o[3]
	r := morph.Read(tooth)
	for _, id := range []morph.ID{morph.CrownArea, morph.EdgeCurvature, morph.BaseArea, morph.CBW, morph.IMD} {
		if !strings.Contains(r.Get(id).Problem, "crosses itself") {
			t.Errorf("%s: problem %q", id, r.Get(id).Problem)
		}
	}
	if say := r.Get(morph.CH).Problem; say != "" {
		t.Errorf("CH: problem %q, though no crossing touches it", say)
	}
}
