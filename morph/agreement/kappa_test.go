package agreement_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"crownbench/morph/agreement"
)

func TestCohenKappa(t *testing.T) {
	for _, c := range []struct {
		name              string
		table             [][]int
		kappa, se, within float64
	}{
		// CALC: agreement 0.7, by chance 0.5.
		{"35 of 50", [][]int{{20, 5}, {10, 15}}, 0.4, 0, 0},
		// Fleiss 1981, Statistical Methods for Rates and Proportions, table of
		// 100 subjects: κ 0.68, standard error 0.087 (from memory); κ is also
		// CALC: (0.89 − 0.66)/0.34.
		{"100 subjects", [][]int{{75, 1, 4}, {5, 4, 1}, {0, 0, 10}}, 0.23 / 0.34, 0.087, 0.0015},
		// Fleiss, Cohen & Everitt 1969, proportions of 200 subjects: κ 0.429,
		// standard error 0.054 (from memory).
		{"200 subjects", [][]int{{106, 10, 4}, {22, 28, 10}, {2, 12, 6}}, 0.4286, 0.054, 0.0006},
	} {
		k, err := agreement.CohenKappa(c.table)
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.name, k.Kappa, c.kappa, 1e-4)
		if c.se > 0 {
			near(t, c.name+" SE", k.SE, c.se, c.within)
		}
		if !k.In.Holds(k.Kappa) {
			t.Errorf("%s: %g outside %v", c.name, k.Kappa, k.In)
		}
	}
}

// Thirty patients named by six psychiatrists: depression, personality disorder,
// schizophrenia, neurosis, other. Fleiss 1971, Psychol. Bull. 76: 378–382, table
// and results from memory; the shares printed there hold for the table as given
// here (CALC).
var psychiatrists = [][]int{
	{0, 0, 0, 6, 0}, {0, 3, 0, 0, 3}, {0, 1, 4, 0, 1}, {0, 0, 0, 0, 6}, {0, 3, 0, 3, 0}, {2, 0, 4, 0, 0},
	{0, 0, 4, 0, 2}, {2, 0, 3, 1, 0}, {2, 0, 0, 4, 0}, {0, 0, 0, 0, 6}, {1, 0, 0, 5, 0}, {1, 1, 0, 4, 0},
	{0, 3, 3, 0, 0}, {1, 0, 0, 5, 0}, {0, 2, 0, 3, 1}, {0, 0, 5, 0, 1}, {3, 0, 0, 1, 2}, {5, 1, 0, 0, 0},
	{0, 2, 0, 4, 0}, {1, 0, 2, 0, 3}, {0, 0, 0, 0, 6}, {0, 1, 0, 5, 0}, {0, 2, 0, 1, 3}, {2, 0, 0, 4, 0},
	{1, 0, 0, 4, 1}, {0, 5, 0, 1, 0}, {4, 0, 0, 0, 2}, {0, 2, 0, 4, 0}, {1, 0, 5, 0, 0}, {0, 0, 0, 0, 6},
}

func TestFleissKappa(t *testing.T) {
	shares := []float64{0.144, 0.144, 0.167, 0.306, 0.239} // printed, from memory
	for j, want := range shares {
		var n float64
		for _, row := range psychiatrists {
			n += float64(row[j])
		}
		near(t, "share", n/180, want, 5e-4)
	}
	k, err := agreement.FleissKappa(psychiatrists)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "observed", k.Observed, 0.556, 1e-3) // printed, from memory
	near(t, "chance", k.Chance, 0.220, 1e-3)     // printed, from memory
	near(t, "kappa", k.Kappa, 0.430, 1e-3)       // printed, from memory
	if !k.In.Holds(k.Kappa) || k.In.Low <= 0 || k.In.High >= 1 {
		t.Errorf("interval %v", k.In)
	}

	// Fourteen observers, ten subjects: a much used worked example, from
	// memory: κ 0.210.
	k, err = agreement.FleissKappa([][]int{
		{0, 0, 0, 0, 14}, {0, 2, 6, 4, 2}, {0, 0, 3, 5, 6}, {0, 3, 9, 2, 0}, {2, 2, 8, 1, 1},
		{7, 7, 0, 0, 0}, {3, 2, 6, 3, 0}, {2, 5, 3, 2, 2}, {6, 5, 2, 1, 0}, {0, 2, 2, 3, 7},
	})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "kappa of fourteen", k.Kappa, 0.210, 5e-4)
}

func TestKappaRefuses(t *testing.T) {
	for name, table := range map[string][][]int{
		"nothing": nil, "no teeth": {{0, 0}, {0, 0}}, "not square": {{1, 2}}, "below 0": {{1, -1}, {0, 3}}, "one name": {{5, 0}, {0, 0}},
	} {
		if k, err := agreement.CohenKappa(table); err == nil {
			t.Errorf("two observers, %s: %+v", name, k)
		}
		if k, err := agreement.KappaWithKey([][][]int{table, table}); err == nil {
			t.Errorf("with the key, %s: %+v", name, k)
		}
	}
	if _, err := agreement.KappaWithKey([][][]int{{{1, 0}, {0, 1}}}); err == nil {
		t.Error("one observer with the key: no error")
	}
	for name, counts := range map[string][][]int{
		"nothing": nil, "one tooth": {{1, 2}}, "one observer": {{1, 0}, {0, 1}}, "ragged": {{1, 1}, {2}},
		"below 0": {{3, -1}, {2, 0}}, "one name": {{3, 0}, {3, 0}},
	} {
		if k, err := agreement.FleissKappa(counts); err == nil {
			t.Errorf("several observers, %s: %+v", name, k)
		}
	}
}

// Perfect agreement is 1 with no error; kappa does not depend on the order of
// names; and nothing that is counted gives a number that is none.
func TestKappaProperties(t *testing.T) {
	perfect, err := agreement.CohenKappa([][]int{{4, 0}, {0, 3}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "perfect", perfect.Kappa, 1, 1e-12)
	near(t, "perfect SE", perfect.SE, 0, 1e-12)
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 4).Draw(t, "names")
		row := rapid.SliceOfN(rapid.IntRange(0, 5), n, n)
		a := rapid.SliceOfN(row, n, n).Draw(t, "first")
		b := rapid.SliceOfN(row, n, n).Draw(t, "second")
		reversed := func(m [][]int) [][]int {
			out := make([][]int, n)
			for i := range m {
				for j := range m[i] {
					out[i] = append(out[i], m[n-1-i][n-1-j])
				}
			}
			return out
		}
		for _, f := range []func([][]int) (agreement.Kappa, error){
			agreement.CohenKappa,
			agreement.FleissKappa,
			func(m [][]int) (agreement.Kappa, error) { return agreement.KappaWithKey([][][]int{m, b}) },
		} {
			k, err := f(a)
			if err != nil {
				continue
			}
			for _, v := range []float64{k.Kappa, k.SE, k.In.Low, k.In.High, k.Observed, k.Chance} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Fatalf("%+v of %v", k, a)
				}
			}
			if !k.In.Holds(k.Kappa) && k.Kappa > -1+1e-9 && k.Kappa < 1-1e-9 {
				t.Fatalf("%+v outside its own interval", k)
			}
		}
		k, err := agreement.CohenKappa(a)
		if err != nil {
			return
		}
		r, err := agreement.CohenKappa(reversed(a))
		if err != nil {
			t.Fatal(err)
		}
		near(t, "names in another order", r.Kappa, k.Kappa, 1e-9)
	})
}
