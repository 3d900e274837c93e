package agreement_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"crownbench/morph/agreement"
)

// Peak expiratory flow of 17 subjects in l/min by two meters, twice each: READ
// data of Bland & Altman 1986, Lancet 327: 307–310, as public test suites quote
// them.
var (
	wright1 = []float64{494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427}
	wright2 = []float64{490, 397, 512, 401, 470, 611, 415, 431, 638, 429, 420, 633, 275, 492, 165, 372, 421}
	mini1   = []float64{512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451}
	mini2   = []float64{525, 415, 508, 444, 500, 625, 460, 390, 642, 432, 420, 605, 227, 467, 268, 370, 443}
)

// Six targets by four judges: READ data of Shrout & Fleiss 1979, Psychol. Bull.
// 86: 420–428.
var shroutFleiss = agreement.Repeats{
	{9, 2, 5, 8}, {6, 1, 3, 2}, {8, 4, 6, 8}, {7, 1, 2, 6}, {10, 5, 6, 9}, {6, 2, 4, 7},
}

type reporter interface {
	Helper()
	Errorf(format string, args ...any)
}

func near(t reporter, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.10g, want %.10g ± %g", what, got, want, tol)
	}
}

func pairs(a, b []float64) agreement.Repeats {
	var r agreement.Repeats
	for i := range a {
		r = append(r, []float64{a[i], b[i]})
	}
	return r
}

// Digits CALC from the READ data; printed there: −2.1, 38.8, and limits at two
// SDs from rounded numbers −79.7 and 75.5.
func TestLimitsOfAgreement(t *testing.T) {
	l, err := agreement.LimitsOfAgreement(wright1, mini1)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "mean", l.Mean, -2.117647, 1e-6)
	near(t, "SD", l.SD, 38.765130, 1e-6)
	near(t, "lower", l.Lower(), -78.097302, 1e-6)
	near(t, "upper", l.Upper(), 73.862007, 1e-6)
	near(t, "SE of the mean", l.SEMean(), 9.401925, 1e-6)
	near(t, "SE of a limit", l.SELimit(), 16.284612, 1e-6)
	near(t, "mean as printed", l.Mean, -2.1, 0.05)
	near(t, "SD as printed", l.SD, 38.8, 0.05)
	near(t, "lower at 2 SD as printed", l.Mean-2*l.SD, -79.7, 0.1)
	near(t, "upper at 2 SD as printed", l.Mean+2*l.SD, 75.5, 0.1)
}

func TestTechnicalError(t *testing.T) {
	for _, c := range []struct {
		name                    string
		repeats                 agreement.Repeats
		tem, mean, percent, rel float64 // CALC; rel 0 where none is known
	}{
		{"Wright meter (READ data, Bland & Altman 1986)", pairs(wright1, wright2), 15.306669, 447.882353, 3.417565, 0.982648},
		{"mini meter (READ data, Bland & Altman 1986)", pairs(mini1, mini2), 19.910831, 453.911765, 4.386498, 0.967544},
		{"four pairs", pairs([]float64{10, 12, 9, 11}, []float64{10.2, 11.8, 9.1, 11.1}), 0.111803, 10.525, 1.062265, 0},
		{"four judges (READ data, Shrout & Fleiss 1979)", shroutFleiss, 2.502776, 5.291667, 47.296559, 0},
	} {
		got, err := agreement.TechnicalError(c.repeats)
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.name+" TEM", got.TEM, c.tem, 1e-6)
		near(t, c.name+" mean", got.Mean, c.mean, 1e-6)
		near(t, c.name+" percent", got.Percent, c.percent, 1e-6)
		if c.rel != 0 {
			near(t, c.name+" reliability", got.Reliability, c.rel, 1e-6)
		}
	}
	wright, err := agreement.TechnicalError(pairs(wright1, wright2))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "SD of all 34", wright.SD, 116.200132, 1e-6)
	near(t, "repeatability", wright.Repeatability(), 42.427922, 1e-6)
}

// CALC digits; printed there .17 .29 .71 .44 .62 .91.
func TestIntraclassCorrelation(t *testing.T) {
	c, err := agreement.IntraclassCorrelation(shroutFleiss)
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		name               string
		got, want, printed float64
	}{
		{"BMS", c.Between, 11.241667, 11.24}, {"WMS", c.Within, 6.263889, 6.26}, {"JMS", c.Observer, 32.486111, 32.49}, {"EMS", c.Residual, 1.019444, 1.02},
		{"ICC(1,1)", c.OneSingle, 0.165742, 0.17}, {"ICC(2,1)", c.TwoSingle, 0.289764, 0.29}, {"ICC(3,1)", c.ThreeSingle, 0.714841, 0.71},
		{"ICC(1,4)", c.OneMean, 0.442797, 0.44}, {"ICC(2,4)", c.TwoMean, 0.620051, 0.62}, {"ICC(3,4)", c.ThreeMean, 0.909316, 0.91},
	} {
		near(t, x.name, x.got, x.want, 1e-6)
		near(t, x.name+" to two places", x.got, x.printed, 0.005)
	}
	tem, err := agreement.TechnicalError(shroutFleiss)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "TEM²", tem.TEM*tem.TEM, c.Within, 1e-9)
}

// CALC: √((3² + 4²)/2 + 12²).
func TestTotalTEM(t *testing.T) {
	near(t, "total", agreement.TotalTEM(3, 4, 12), math.Sqrt(156.5), 1e-12)
}

func TestRefusals(t *testing.T) {
	for name, r := range map[string]agreement.Repeats{
		"nothing": nil, "one repeat": {{1}, {2}}, "ragged": {{1, 2}, {1, 2, 3}}, "no number": {{1, math.NaN()}, {1, 2}}, "endless": {{1, math.Inf(1)}, {1, 2}},
		"too large": {{1e308, -1e308}, {1e308, 1}},
	} {
		if _, err := agreement.TechnicalError(r); err == nil {
			t.Errorf("technical error of %s: no error", name)
		}
		if _, err := agreement.IntraclassCorrelation(r); err == nil {
			t.Errorf("correlation of %s: no error", name)
		}
	}
	for name, r := range map[string]agreement.Repeats{
		"one tooth": {{1, 2}}, "teeth alike": {{1, 2}, {2, 1}}, "teeth nearly alike": {{1, 1}, {1, 2}, {2, 1}},
	} {
		if _, err := agreement.IntraclassCorrelation(r); err == nil {
			t.Errorf("correlation of %s: no error", name)
		}
	}
	for _, c := range [][2][]float64{{nil, nil}, {{1}, {1}}, {{1, 2}, {1}}, {{1, math.NaN()}, {1, 2}}, {{1, math.Inf(1)}, {1, 2}}} {
		if _, err := agreement.LimitsOfAgreement(c[0], c[1]); err == nil {
			t.Errorf("limits of %v: no error", c)
		}
	}
}

// Another unit scales the errors; another zero leaves them; neither touches a
// correlation. Perfect repeats have no error and a correlation of 1.
func TestInvariance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, k := rapid.IntRange(3, 12).Draw(t, "teeth"), rapid.IntRange(2, 5).Draw(t, "repeats")
		unit, zero := rapid.Float64Range(0.1, 10).Draw(t, "unit"), rapid.Float64Range(-50, 50).Draw(t, "zero")
		var r, s, perfect agreement.Repeats
		for i := range n {
			var a, b, c []float64
			for range k {
				v := 10*float64(i) + rapid.Float64Range(0, 8).Draw(t, "v")
				a, b, c = append(a, v), append(b, unit*v+zero), append(c, float64(i))
			}
			r, s, perfect = append(r, a), append(s, b), append(perfect, c)
		}
		tr, err := agreement.TechnicalError(r)
		if err != nil {
			t.Fatal(err)
		}
		ts, err := agreement.TechnicalError(s)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "TEM", ts.TEM, unit*tr.TEM, 1e-9*(1+ts.TEM))
		cr, err := agreement.IntraclassCorrelation(r)
		if err != nil {
			t.Fatal(err)
		}
		cs, err := agreement.IntraclassCorrelation(s)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "ICC(2,1)", cs.TwoSingle, cr.TwoSingle, 1e-7)
		cp, err := agreement.IntraclassCorrelation(perfect)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "perfect ICC(1,1)", cp.OneSingle, 1, 1e-12)
		near(t, "perfect ICC(2,1)", cp.TwoSingle, 1, 1e-12)
	})
}

func ExampleTechnicalError() {
	// Crown base length of four invented teeth in mm, measured twice.
	t, err := agreement.TechnicalError(agreement.Repeats{{10, 10.2}, {12, 11.8}, {9, 9.1}, {11, 11.1}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("TEM %.3f mm, %.2f %%\n", t.TEM, t.Percent)
	// Output: TEM 0.112 mm, 1.06 %
}
