package classify

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Ellipse models of two published crowns (READ lengths, CALC strengths):
// FMNH PR2081 mx05 and SGM Din-1 mx03.
func TestStrengthOfPublishedCrowns(t *testing.T) {
	for _, c := range []struct {
		cbl, cbw, ch float64
		md, ll       float64
	}{
		{45.46, 32.63, 94.06, 70.383500, 50.519437},
		{41.46, 15.15, 71.01, 36.004071, 13.156336},
	} {
		s, err := StrengthOf(c.cbl, c.cbw, c.ch)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(s.Mesiodistal/c.md-1) > 1e-6 || math.Abs(s.Labiolingual/c.ll-1) > 1e-6 {
			t.Errorf("%g × %g × %g: %.6f and %.6f mm², want %.6f and %.6f", c.cbl, c.cbw, c.ch, s.Mesiodistal, s.Labiolingual, c.md, c.ll)
		}
	}
	// Common practice, no source: the tyrannosaur crown is nearer the spike end
	// than the carcharodontosaur one.
	robust, _ := StrengthOf(45.46, 32.63, 94.06)
	blade, _ := StrengthOf(41.46, 15.15, 71.01)
	if robust.Spike <= blade.Spike || robust.SidewaysPercentile <= blade.SidewaysPercentile {
		t.Errorf("spike %.2f and %.2f, sideways %.0f and %.0f", robust.Spike, blade.Spike, robust.SidewaysPercentile, blade.SidewaysPercentile)
	}
}

// Strength grows with the square of size, shape values not at all (CALC).
func TestStrengthScaling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cbl := rapid.Float64Range(1, 40).Draw(t, "CBL")
		cbw := rapid.Float64Range(1, 40).Draw(t, "CBW")
		ch := rapid.Float64Range(1, 100).Draw(t, "CH")
		k := rapid.Float64Range(0.5, 3).Draw(t, "k")
		a, err := StrengthOf(cbl, cbw, ch)
		b, err2 := StrengthOf(k*cbl, k*cbw, k*ch)
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		for _, r := range [][2]float64{
			{b.Mesiodistal / a.Mesiodistal, k * k}, {b.Labiolingual / a.Labiolingual, k * k},
			{b.Evenness / a.Evenness, 1}, {b.Slenderness / a.Slenderness, 1},
			{a.Labiolingual / a.Mesiodistal, a.Evenness},
		} {
			if math.Abs(r[0]/r[1]-1) > 1e-9 {
				t.Fatalf("%g, want %g", r[0], r[1])
			}
		}
		for _, p := range []float64{a.EvennessPercentile, a.SlendernessPercentile, a.SidewaysPercentile} {
			if p < 0 || p > 100 {
				t.Fatalf("percentile %g", p)
			}
		}
	})
}

func TestStrengthNeedsThreeLengths(t *testing.T) {
	for _, c := range [][3]float64{{0, 1, 1}, {1, 0, 1}, {1, 1, 0}, {-1, 1, 1}, {math.NaN(), 1, 1}, {1, 1, math.Inf(1)}} {
		if _, err := StrengthOf(c[0], c[1], c[2]); err == nil {
			t.Errorf("%v: no error", c)
		}
	}
}
