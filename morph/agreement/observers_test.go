package agreement_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"crownbench/morph/agreement"
)

// crossed lays a table of teeth by observers by repeats out as measurements.
func crossed(table [][][]float64) []agreement.Measurement {
	var ms []agreement.Measurement
	for t, row := range table {
		for o, cell := range row {
			for _, v := range cell {
				ms = append(ms, agreement.Measurement{Tooth: t, Observer: o, Value: v})
			}
		}
	}
	return ms
}

// READ data of Bland & Altman 1986, TEM CALC as in TestTechnicalError: one
// meter is one observer who measured twice.
func TestErrorsOfOneObserver(t *testing.T) {
	var table [][][]float64
	for i := range wright1 {
		table = append(table, [][]float64{{wright1[i], wright2[i]}})
	}
	e, err := agreement.ErrorsOf(crossed(table))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "within", e.Within.TEM, 15.306669, 1e-6)
	near(t, "percent", e.Within.Percent, 3.417565, 1e-6)
	near(t, "reliability", e.Within.Reliability, 0.982648, 1e-6)
	// CALC: √(7966/2/χ²) with the tabled quantiles of χ² on 17 degrees of
	// freedom, 30.191 and 7.564 (any table of χ²).
	near(t, "low", e.Within.In.Low, math.Sqrt(7966/2/30.191), 1e-3)
	near(t, "high", e.Within.In.High, math.Sqrt(7966/2/7.564), 1e-3)
	if e.Between.Known || e.Total.Known || e.Between.Needs == "" {
		t.Errorf("one observer gives an error between observers: %+v", e)
	}
}

// READ data of Shrout & Fleiss 1979: without repeats the error between
// observers is √WMS, 2.502776 (CALC), and nothing is known within.
func TestErrorsBetweenObservers(t *testing.T) {
	var table [][][]float64
	for _, row := range shroutFleiss {
		var cells [][]float64
		for _, v := range row {
			cells = append(cells, []float64{v})
		}
		table = append(table, cells)
	}
	e, err := agreement.ErrorsOf(crossed(table))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "between", e.Between.TEM, 2.502776, 1e-6)
	near(t, "percent", e.Between.Percent, 47.296559, 1e-6)
	near(t, "total", e.Total.TEM, e.Between.TEM, 1e-12)
	if e.Within.Known || e.Within.Needs == "" {
		t.Error("nobody repeated, and yet the error within is known")
	}
}

// CALC by hand: observer 1 measured tooth 0 twice, 1 and 3, observer 2 once, 5;
// tooth 1 has observer 2 alone, 7. Within: variance of {1, 3}, 2. Between:
// means 2 and 5, mean square within tooth 0 4.5. Cells hold 2, 1 and 1
// measurements, mean of 1/n 5/6, so total² = 4.5 + (1 − 5/6)·2.
func TestErrorsOfAnUnevenTable(t *testing.T) {
	e, err := agreement.ErrorsOf(crossed([][][]float64{{{1, 3}, {5}}, {nil, {7}}}))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "within", e.Within.TEM, math.Sqrt2, 1e-12)
	near(t, "between", e.Between.TEM, math.Sqrt(4.5), 1e-12)
	near(t, "total", e.Total.TEM, math.Sqrt(4.5+1.0/3), 1e-12)
}

// In an additive table without noise the error between observers is the SD of
// their biases (closed form). Whichever cells are left of it, each error is
// either known, with an interval that holds it, or says what it needs.
func TestMissingCellsOfAnAdditiveTable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		teeth, observers := rapid.IntRange(2, 8).Draw(t, "teeth"), rapid.IntRange(2, 6).Draw(t, "observers")
		full := make([]agreement.Measurement, 0, teeth*observers)
		for i := range teeth {
			for o := range observers {
				full = append(full, agreement.Measurement{Tooth: i, Observer: o, Value: 10*float64(i) + float64(o*o)})
			}
		}
		e, err := agreement.ErrorsOf(full)
		if err != nil {
			t.Fatal(err)
		}
		var squares float64 // Σ(o² − mean)²/(observers − 1)
		for o := range observers {
			squares += float64(o * o)
		}
		mean := squares / float64(observers)
		squares = 0
		for o := range observers {
			d := float64(o*o) - mean
			squares += d * d
		}
		near(t, "between", e.Between.TEM, math.Sqrt(squares/float64(observers-1)), 1e-9)
		some := rapid.Permutation(full).Draw(t, "order")
		n := rapid.IntRange(1, len(some)).Draw(t, "kept")
		part, err := agreement.ErrorsOf(some[:n])
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range []agreement.Error{part.Within, part.Between, part.Total} {
			if x.Known == (x.Needs != "") {
				t.Fatalf("known %v, needs %q", x.Known, x.Needs)
			}
			if x.Known && !(x.In.Low <= x.TEM && x.TEM <= x.In.High) {
				t.Fatalf("%g outside its own interval %v", x.TEM, x.In)
			}
		}
	})
}

// No table of numbers that a tooth can have gives a number that is none.
func TestErrorsAreNumbers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var ms []agreement.Measurement
		for range rapid.IntRange(1, 40).Draw(t, "n") {
			ms = append(ms, agreement.Measurement{
				Tooth: rapid.IntRange(0, 5).Draw(t, "tooth"), Observer: rapid.IntRange(0, 5).Draw(t, "observer"),
				Value: rapid.OneOf(rapid.Just(0.0), rapid.Just(3.0), rapid.Float64Range(-1e9, 1e9)).Draw(t, "value"),
			})
		}
		e, err := agreement.ErrorsOf(ms)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range []agreement.Error{e.Within, e.Between, e.Total} {
			for _, v := range []float64{x.TEM, x.Percent, x.Reliability, x.In.Low, x.In.High} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Fatalf("%+v", e)
				}
			}
		}
	})
}

func TestErrorsRefuse(t *testing.T) {
	for name, ms := range map[string][]agreement.Measurement{
		"nothing": nil, "no number": {{Value: math.NaN()}}, "endless": {{Value: math.Inf(-1)}},
		"tooth −1": {{Tooth: -1}}, "observer −1": {{Observer: -1}},
		"too large": {{Value: 1e200}, {Value: -1e200}},
	} {
		if _, err := agreement.ErrorsOf(ms); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

// A class of known errors, many times over (seeded): the stated 95 % intervals
// hold the truth 90 to 99 times of a hundred. Every observer has a bias of his
// own, every tooth misleads each observer differently, and a fifth of the cells
// is missing in the second kind of class.
func TestIntervalsHoldTheTruth(t *testing.T) {
	const (
		classes = 1000
		sdTooth = 5.0
	)
	for _, c := range []struct {
		name                  string
		teeth, observers      int
		sdObserver, sdPair, e float64
		missing               float64
	}{
		{"a class of thirty", 6, 30, 0.3, 0.1, 0.2, 0},
		{"five observers", 8, 5, 0.2, 0.2, 0.3, 0},
		{"cells missing", 6, 12, 0.3, 0.2, 0.2, 0.2},
		{"no bias", 6, 10, 0, 0, 0.2, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			var within, between, total, icc, bias int
			for seed := range uint64(classes) {
				r := rand.New(rand.NewPCG(seed, 1979))
				var ms []agreement.Measurement
				complete := make(agreement.Repeats, c.teeth)
				ownBias := make([]float64, c.observers)
				observer := make([]float64, c.observers)
				for o := range observer {
					observer[o] = c.sdObserver * r.NormFloat64()
				}
				for i := range c.teeth {
					tooth := 20 + sdTooth*r.NormFloat64()
					for o := range c.observers {
						pair := c.sdPair * r.NormFloat64()
						for k := range 2 {
							v := tooth + observer[o] + pair + c.e*r.NormFloat64()
							if k == 0 {
								complete[i] = append(complete[i], v)
							}
							ownBias[o] += (v - tooth) / float64(2*c.teeth)
							if r.Float64() >= c.missing {
								ms = append(ms, agreement.Measurement{Tooth: i, Observer: o, Value: v})
							}
						}
					}
				}
				got, err := agreement.ErrorsOf(ms)
				if err != nil {
					t.Fatal(err)
				}
				count := func(n *int, i agreement.Interval, truth float64) {
					if i.Holds(truth) {
						*n++
					}
				}
				vo, vp, ve := c.sdObserver*c.sdObserver, c.sdPair*c.sdPair, c.e*c.e
				count(&within, got.Within.In, c.e)
				count(&total, got.Total.In, math.Sqrt(vo+vp+ve))
				if c.missing == 0 {
					count(&between, got.Between.In, math.Sqrt(vo+vp+ve/2))
				} else { // a share of the cells has one measurement
					m := c.missing
					count(&between, got.Between.In, math.Sqrt(vo+vp+ve*((1-m)*(1-m)/2+2*m*(1-m))/(1-m*m)))
				}
				x, err := agreement.IntraclassCorrelation(complete)
				if err != nil {
					t.Fatal(err)
				}
				vt := sdTooth * sdTooth
				count(&icc, x.InTwoSingle, vt/(vt+vo+vp+ve))
				b, err := agreement.BiasOf(ownBias)
				if err != nil {
					t.Fatal(err)
				}
				count(&bias, b.In, 0)
			}
			for name, n := range map[string]int{"within": within, "between": between, "total": total, "ICC(2,1)": icc, "bias": bias} {
				t.Logf("%s: %.1f %%", name, 100*float64(n)/classes)
				if n < classes*90/100 || n > classes*99/100 {
					t.Errorf("the 95 %% interval of %s holds the truth in %.1f %% of the classes", name, 100*float64(n)/classes)
				}
			}
		})
	}
}

func BenchmarkErrorsOf(b *testing.B) {
	var ms []agreement.Measurement
	r := rand.New(rand.NewPCG(1, 2))
	for i := range 12 {
		for o := range 200 {
			if r.Float64() < 0.9 {
				ms = append(ms, agreement.Measurement{Tooth: i, Observer: o, Value: r.NormFloat64()})
			}
		}
	}
	for b.Loop() {
		if _, err := agreement.ErrorsOf(ms); err != nil {
			b.Fatal(err)
		}
	}
}
