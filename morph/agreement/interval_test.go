package agreement_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"crownbench/morph/agreement"
)

// The 95 % intervals that a widely used statistics package prints for the data
// of Shrout & Fleiss 1979, from memory, to the digits printed.
func TestIntraclassIntervals(t *testing.T) {
	c, err := agreement.IntraclassCorrelation(shroutFleiss)
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		name      string
		got       agreement.Interval
		low, high float64
	}{
		{"ICC(1,1)", c.InOneSingle, -0.133, 0.72}, {"ICC(2,1)", c.InTwoSingle, 0.019, 0.76}, {"ICC(3,1)", c.InThreeSingle, 0.342, 0.95},
		{"ICC(1,4)", c.InOneMean, -0.884, 0.91}, {"ICC(2,4)", c.InTwoMean, 0.071, 0.93}, {"ICC(3,4)", c.InThreeMean, 0.676, 0.99},
	} {
		near(t, x.name+" low", x.got.Low, x.low, 6e-4)
		near(t, x.name+" high", x.got.High, x.high, 6e-3)
	}
}

// Whatever is measured, an interval holds its own estimate and every number is
// one.
func TestIntraclassIntervalsHoldTheEstimate(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, k := rapid.IntRange(2, 8).Draw(t, "teeth"), rapid.IntRange(2, 6).Draw(t, "observers")
		value := rapid.OneOf(rapid.Float64Range(0, 10), rapid.SampledFrom([]float64{1, 2, 3}))
		var r agreement.Repeats
		for range n {
			r = append(r, rapid.SliceOfN(value, k, k).Draw(t, "tooth"))
		}
		c, err := agreement.IntraclassCorrelation(r)
		if err != nil {
			return
		}
		for _, x := range []struct {
			v float64
			i agreement.Interval
		}{
			{c.OneSingle, c.InOneSingle}, {c.OneMean, c.InOneMean}, {c.TwoSingle, c.InTwoSingle},
			{c.TwoMean, c.InTwoMean}, {c.ThreeSingle, c.InThreeSingle}, {c.ThreeMean, c.InThreeMean},
		} {
			if math.IsNaN(x.v + x.i.Low + x.i.High) {
				t.Fatalf("%+v", c)
			}
			if x.v < x.i.Low-1e-9 || x.v > x.i.High+1e-9 {
				t.Fatalf("%g outside %v in %+v", x.v, x.i, c)
			}
		}
	})
}

// Bland & Altman 1986 print these intervals for the two meters, from memory:
// bias −22.0 to 17.8, limits at two SDs −114.3 to −45.1 and 40.9 to 110.1.
// Ours are at 1.96 SDs, so they are compared after that shift.
func TestIntervalsOfLimits(t *testing.T) {
	l, err := agreement.LimitsOfAgreement(wright1, mini1)
	if err != nil {
		t.Fatal(err)
	}
	shift := 0.04 * l.SD
	near(t, "bias low", l.InMean().Low, -22.0, 0.1)
	near(t, "bias high", l.InMean().High, 17.8, 0.1)
	near(t, "lower low", l.InLower().Low-shift, -114.3, 0.2)
	near(t, "lower high", l.InLower().High-shift, -45.1, 0.2)
	near(t, "upper low", l.InUpper().Low+shift, 40.9, 0.2)
	near(t, "upper high", l.InUpper().High+shift, 110.1, 0.2)
}

// Bland & Altman 1986 give the SD of differences between single measurements
// from the means of two by each meter as 37.7 l/min (from memory); CALC:
// √(s² of mean differences + Σd₁²/4n + Σd₂²/4n), with the sums of squares of
// TestTechnicalError.
func TestLimitsOfMeans(t *testing.T) {
	var a, b [][]float64
	var da []float64
	for i := range wright1 {
		a, b = append(a, []float64{wright1[i], wright2[i]}), append(b, []float64{mini1[i], mini2[i]})
		da = append(da, (wright1[i]+wright2[i]-mini1[i]-mini2[i])/2)
	}
	l, err := agreement.LimitsOfMeans(a, b)
	if err != nil {
		t.Fatal(err)
	}
	var mean, ss float64
	for _, d := range da {
		mean += d / float64(len(da))
	}
	for _, d := range da {
		ss += (d - mean) * (d - mean)
	}
	near(t, "SD", l.SD, math.Sqrt(ss/16+7966.0/4/17+13479.0/4/17), 1e-9)
	near(t, "SD as printed", l.SD, 37.7, 0.1)
	one := func(v []float64) (rows [][]float64) {
		for _, x := range v {
			rows = append(rows, []float64{x})
		}
		return rows
	}
	single, err := agreement.LimitsOfMeans(one(wright1), one(mini1))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "SD without repeats", single.SD, 38.765130, 1e-6)
	for _, c := range [][2][][]float64{{nil, nil}, {{{1}}, {{1}, {2}}}, {{{1}, nil}, {{1}, {2}}}, {{{1}, {2}}, {{1}, nil}}} {
		if _, err := agreement.LimitsOfMeans(c[0], c[1]); err == nil {
			t.Errorf("%v: no error", c)
		}
	}
}

// Groups of one are plain differences: CALC as in TestLimitsOfAgreement.
func TestSpread(t *testing.T) {
	var groups [][]float64
	for i := range wright1 {
		groups = append(groups, []float64{wright1[i] - mini1[i]}, nil)
	}
	s, err := agreement.SpreadOf(groups)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "mean", s.Mean, -2.117647, 1e-6)
	near(t, "SD", s.SD, 38.765130, 1e-6)
	near(t, "lower", s.Lower(), -78.097302, 1e-6)
	near(t, "upper", s.Upper(), 73.862007, 1e-6)
	if s.Groups != 17 || s.N != 17 || !s.InLower().Holds(s.Lower()) || !s.InUpper().Holds(s.Upper()) {
		t.Errorf("%+v, %v, %v", s, s.InLower(), s.InUpper())
	}
	// CALC: two groups {0, 2} and {3, 5}: means 1 and 4, variance of means 4.5,
	// within 2; SD² = 4.5 + 2/2.
	s, err = agreement.SpreadOf([][]float64{{0, 2}, {3, 5}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "SD of two groups", s.SD, math.Sqrt(5.5), 1e-12)
	for name, g := range map[string][][]float64{"nothing": nil, "one group": {{1, 2}}, "no number": {{1}, {math.NaN()}}} {
		if _, err := agreement.SpreadOf(g); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

// CALC by hand: median 10, distances 1 0 1 0 1 1 0 40, their median 1; 0.6745·40.
func TestScores(t *testing.T) {
	z, err := agreement.Scores([]float64{9, 10, 11, 10, 9, 11, 10, 50})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "50", z[7], 26.98, 1e-9)
	near(t, "9", z[0], -0.6745, 1e-9)
	// Most are equal: mean distance 10/8, so 10/(1.2533·10/8).
	z, err = agreement.Scores([]float64{5, 5, 5, 5, 5, 5, 5, 15})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "15", z[7], 8/1.2533, 1e-9)
	for name, v := range map[string][]float64{"few": {1, 1, 1, 1, 1, 1, 100}, "equal": {3, 3, 3, 3, 3, 3, 3, 3, 3}, "nothing": nil} {
		z, err := agreement.Scores(v)
		if err != nil {
			t.Fatal(err)
		}
		if slices.ContainsFunc(z, func(x float64) bool { return x != 0 }) {
			t.Errorf("%s: %v", name, z)
		}
	}
	if _, err := agreement.Scores([]float64{1, 2, 3, 4, math.Inf(1)}); err == nil {
		t.Error("an endless value: no error")
	}
}

func TestMedian(t *testing.T) {
	near(t, "odd", agreement.Median([]float64{3, 1, 2}), 2, 0)
	near(t, "even", agreement.Median([]float64{4, 1, 2, 3}), 2.5, 0)
	near(t, "none", agreement.Median(nil), 0, 0)
}

// CALC: mean 2, SD 1, three observers; t on two degrees of freedom is 4.302653
// (any table of t).
func TestBias(t *testing.T) {
	b, err := agreement.BiasOf([]float64{1, 2, 3})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "mean", b.Mean, 2, 1e-12)
	near(t, "low", b.In.Low, 2-4.302653/math.Sqrt(3), 1e-6)
	near(t, "high", b.In.High, 2+4.302653/math.Sqrt(3), 1e-6)
	if b.Clear() {
		t.Error("0 lies in the interval, and yet the bias is clear")
	}
	for _, d := range [][]float64{nil, {1}, {1, math.NaN()}} {
		if _, err := agreement.BiasOf(d); err == nil {
			t.Errorf("bias of %v: no error", d)
		}
	}
}
