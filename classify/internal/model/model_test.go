package model

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// A crown's log measurements fall on a line; what is not measured is expected
// there.
func Example() {
	g := Gauss{Mean: make([]float64, Coordinates), Cov: make([][]float64, Coordinates)}
	for i := range g.Cov {
		g.Cov[i] = make([]float64, Coordinates)
		g.Cov[i][i] = 1
	}
	g.Cov[CBL][CH], g.Cov[CH][CBL] = 0.9, 0.9
	var o Observation
	o.Set(CBL, 2, 0)
	x := g.Fill(&o, g.Gain(&o))
	fmt.Printf("%.3f %.3f %.3f\n", x[CBL], x[CH], x[CBW])
	// Output: 2.000 1.800 0.000
}

// gauss returns a distribution with a covariance that is positive definite by
// construction: a product with its transpose, plus one.
func gauss(t *rapid.T) Gauss {
	a := rapid.SliceOfN(rapid.SliceOfN(rapid.Float64Range(-1, 1), Coordinates, Coordinates), Coordinates, Coordinates).Draw(t, "a")
	g := Gauss{Mean: rapid.SliceOfN(rapid.Float64Range(-1, 1), Coordinates, Coordinates).Draw(t, "mean")}
	for i := range Coordinates {
		g.Cov = append(g.Cov, make([]float64, Coordinates))
		for j := range Coordinates {
			for k := range Coordinates {
				g.Cov[i][j] += a[i][k] * a[j][k]
			}
		}
		g.Cov[i][i]++
	}
	return g
}

func observation(t *rapid.T) Observation {
	var o Observation
	for c := range Channels {
		if rapid.Bool().Draw(t, "known") {
			o.Set(c, rapid.Float64Range(-2, 2).Draw(t, "value"), 0)
		}
	}
	// A ratio is observed only where its lengths are not.
	if o.Has(CBL) && o.Has(CBW) {
		o = o.Without(CBR)
	}
	if o.Has(CBL) && o.Has(CH) {
		o = o.Without(CHR)
	}
	return o
}

// What was observed exactly stays as it was.
func TestFillKeepsWhatIsKnown(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g, o := gauss(t), observation(t)
		if o.Has(CBR) && o.Has(CHR) && o.Has(CBW) && o.Has(CH) {
			o = o.Without(CHR) // three of the four settle the fourth
		}
		if o.Has(CBR) && o.Has(CBL) || o.Has(CBR) && o.Has(CBW) && o.Has(CHR) && o.Has(CH) {
			o = o.Without(CBR)
		}
		x := g.Fill(&o, g.Gain(&o))
		at := func(c int) float64 { return g.Mean[c] + x[c] }
		for c := range Coordinates {
			if o.Has(c) && math.Abs(at(c)-o.Value[c]) > 1e-5 {
				t.Fatalf("coordinate %d: %g, observed %g", c, at(c), o.Value[c])
			}
		}
		if o.Has(CBR) && math.Abs(at(CBW)-at(CBL)-o.Value[CBR]) > 1e-5 {
			t.Fatalf("CBW - CBL = %g, observed %g", at(CBW)-at(CBL), o.Value[CBR])
		}
	})
}

// An error as large as all variation leaves half of a value's say: with
// variance 1 and error variance 1 the expectation is half the deviation (CALC).
func TestErrorVarianceShrinks(t *testing.T) {
	g := Gauss{Mean: make([]float64, Coordinates)}
	for i := range Coordinates {
		g.Cov = append(g.Cov, make([]float64, Coordinates))
		g.Cov[i][i] = 1
	}
	var o Observation
	o.Set(CBL, 3, 1)
	if x := g.Fill(&o, g.Gain(&o)); math.Abs(x[CBL]-1.5) > 1e-6 {
		t.Errorf("expected %g, want 1.5", x[CBL])
	}
}

// The place of a crown is the matrix times its filled coordinates.
func TestPlaceIsMatrixTimesFill(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g, o := gauss(t), observation(t)
		s := Space{Gauss: g, Matrix: rapid.SliceOfN(rapid.SliceOfN(rapid.Float64Range(-2, 2), Coordinates, Coordinates), 1, 4).Draw(t, "matrix")}
		x := g.Fill(&o, g.Gain(&o))
		for range 2 { // the second time from what was kept
			p := make([]float64, s.Dimensions())
			s.Place(p, &o)
			for r, row := range s.Matrix {
				var want float64
				for i, w := range row {
					want += w * x[i]
				}
				if math.Abs(p[r]-want) > 1e-6*(1+math.Abs(want)) {
					t.Fatalf("dimension %d: %g, want %g", r, p[r], want)
				}
			}
		}
	})
}

// Cutting a full crown to any pattern gives an observation of that pattern, and
// the crown holds it.
func TestCutGivesThePattern(t *testing.T) {
	full := Crown([MesialAbsent]float64{10, 5, 20, 22, 8, 4, 12, 11}, [MesialAbsent]float64{}, Present, Present)
	patterns := Patterns()
	for _, p := range patterns {
		cut := p.Cut(full)
		if got := cut.Pattern(); got != p {
			t.Errorf("pattern %b cut to %b", p, got)
		}
		if !p.Holds(&full) {
			t.Errorf("a full crown does not hold %b", p)
		}
	}
	sorted := slices.Clone(patterns)
	slices.Sort(sorted)
	if len(slices.Compact(sorted)) != len(patterns) || len(patterns) != 13*16-1 {
		t.Errorf("%d patterns, %d different; want %d", len(patterns), len(slices.Compact(sorted)), 13*16-1)
	}
	// Knowing one more thing leads from a listed pattern to a listed pattern.
	for _, p := range patterns {
		for _, h := range Helpers {
			if with := p.With(h); !slices.Contains(patterns, with) {
				t.Errorf("%b with %b gives %b, which is not listed", p, h, with)
			}
		}
	}
}

// Absence answers the question of a density; not knowing does not.
func TestAbsentIsNotUnknown(t *testing.T) {
	crown := func(distal State, dc float64) Observation {
		return Crown([MesialAbsent]float64{CBL: 10, DC: dc}, [MesialAbsent]float64{}, Unknown, distal)
	}
	absent, unknown, present, counted := crown(Absent, 0), crown(Unknown, 0), crown(Present, 0), crown(Present, 12)
	for _, c := range []struct {
		name  string
		o     Observation
		dc    bool
		state bool
	}{
		{"absent", absent, true, true}, {"unknown", unknown, false, false}, {"present", present, false, true}, {"counted", counted, true, true},
	} {
		if got := c.o.Pattern()&HasDC != 0; got != c.dc {
			t.Errorf("%s: answers the density %v, want %v", c.name, got, c.dc)
		}
		if got := c.o.Has(DistalAbsent); got != c.state {
			t.Errorf("%s: state known %v, want %v", c.name, got, c.state)
		}
	}
}

// Percentiles run through the stated points and never fall as distance grows.
func TestReachPercentiles(t *testing.T) {
	r := Reach{Patterns: []Distances{{Pattern: HasCBL, Percentile: []float64{1, 2, 3, 4, 5, 6, 8}}}}
	r.index()
	for i, d := range []float64{1, 2, 3, 4, 5, 6, 8} {
		if got, ok := r.Percentile(HasCBL, d); !ok || got != ReachPercentiles[i] {
			t.Errorf("distance %g: %g, want %g", d, got, ReachPercentiles[i])
		}
	}
	last := -1.0
	for d := 0.0; d < 40; d += 0.1 {
		got, _ := r.Percentile(HasCBL, d)
		if got < last || got > 100 {
			t.Fatalf("distance %.1f: percentile %g after %g", d, got, last)
		}
		last = got
	}
	if _, ok := r.Percentile(HasCH, 1); ok {
		t.Error("a percentile for a pattern that is not there")
	}
}

func FuzzParse(f *testing.F) {
	f.Add([]byte(`{}`))
	f.Add([]byte(`{"Reach":{"Mean":[1],"Cov":[[1]],"Matrix":[[1]]},"Tasks":[]}`))
	f.Add([]byte(`{"Tasks":[null]}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		if file, err := Parse(text); err == nil && file.Reach == nil {
			t.Error("a model without reach was accepted")
		}
	})
}

// A class with a prior of 1/4 stands twice as high at tilt 1/2, four times at
// tilt 1; a class that was never met stands as it is (CALC).
func TestStandings(t *testing.T) {
	prior := []float64{0.75, 0.25, 0}
	for _, c := range []struct{ tilt, want float64 }{{0, 1}, {0.5, 2}, {1, 4}} {
		s := Standings(prior, c.tilt)
		if math.Abs(s[1]-c.want) > 1e-12 || s[2] != 1 {
			t.Errorf("tilt %g: standings %v, want %g for a prior of 1/4 and 1 for none", c.tilt, s, c.want)
		}
	}
}

// A class stands at its share times its weight, and never below one with a
// smaller share, so that every set holds the likeliest classes first; one with a
// third of the shares is in whenever another is.
func TestStand(t *testing.T) {
	got := make([]float64, 3)
	Stand(got, []float64{0.7, 0.3, 0}, []float64{1, 4, 2}) // 0.7, 1.2 and 0 by themselves
	if got[0] != 1.2 || got[1] != 1.2 || got[2] != 0 {
		t.Errorf("standings %v, want 1.2, 1.2, 0", got)
	}
	Stand(got, []float64{0.6, 0.4, 0}, []float64{4, 1, 2}) // 2.4, 0.4 and 0 by themselves
	if got[0] != 2.4 || got[1] != 2.4 || got[2] != 0 {
		t.Errorf("standings %v, want 2.4, 2.4, 0", got)
	}
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 18).Draw(t, "classes")
		shares, weight, stands := make([]float64, n), make([]float64, n), make([]float64, n)
		for c := range n {
			shares[c] = float64(rapid.IntRange(0, 20).Draw(t, "share")) / 20
			weight[c] = 1 + float64(rapid.IntRange(0, 20).Draw(t, "weight"))/4
		}
		Stand(stands, shares, weight)
		for c := range n {
			if stands[c] < shares[c]*weight[c] {
				t.Fatalf("class %d stands below its own share: %v", c, stands)
			}
			for d := range n {
				if (shares[c] > shares[d] || shares[c] > 0.34) && stands[c] < stands[d] {
					t.Fatalf("class %d is likely enough and stands lower than %d: %v of %v", c, d, stands, shares)
				}
			}
		}
	})
}
