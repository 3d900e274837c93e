package morph_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/stat/distuv"

	"crownbench/morph"
)

// CALC: squares about the means are 2 + 2 of the first point and 2 of the
// second, with 2·2 + 2·1 = 6 degrees of freedom: √(6/6)·√(6/4).
func TestPointingOf(t *testing.T) {
	u, err := morph.PointingOf([][]r2.Vec{
		{{X: 9, Y: 20}, {X: 10, Y: 21}, {X: 11, Y: 19}},
		{{X: 4, Y: 4}, {X: 6, Y: 4}},
		{{X: 700, Y: 700}},
	})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "u", u, math.Sqrt(6.0/4), 1e-12)
}

// Over many hands that mark a point five times, an interval of ±1.96 u holds a
// further mark's true place about 95 times in 100, as Student's distribution
// would with its own quantile.
func TestPointingOfFewRepeatsIsWideEnough(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	const hands = 4000
	held := 0
	for range hands {
		marks := make([]r2.Vec, 5)
		for i := range marks {
			marks[i] = r2.Vec{X: 0.7 * random.NormFloat64(), Y: 0.7 * random.NormFloat64()}
		}
		u, err := morph.PointingOf([][]r2.Vec{marks})
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(0.7*random.NormFloat64()) <= 1.96*u {
			held++
		}
	}
	near(t, "share held", float64(held)/hands, 0.95, 0.014)
	student := distuv.StudentsT{Sigma: 1, Nu: 8}
	near(t, "factor against Student's quantile", math.Sqrt(8.0/6), student.Quantile(0.975)/1.96, 0.03)
}

func TestPointingRefuses(t *testing.T) {
	p := func(x, y float64) r2.Vec { return r2.Vec{X: x, Y: y} }
	for _, c := range []struct {
		marks [][]r2.Vec
		want  string
	}{
		{nil, "three times"}, {[][]r2.Vec{{p(1, 1), p(2, 2)}, {p(1, 1)}}, "three times"},
		{[][]r2.Vec{{p(1, 1), p(1, 1), p(1, 1)}}, "same place"},
		{[][]r2.Vec{{p(1, 1), p(math.NaN(), 1), p(1, 1)}}, "no position"}, {[][]r2.Vec{{p(1, 1), p(math.Inf(1), 1), p(1, 1)}}, "no position"},
	} {
		if u, err := morph.PointingOf(c.marks); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v: %g, %v, want %q", c.marks, u, err, c.want)
		}
	}
}

// A stated error counts before repeats, repeats before the assumed one, and
// readings follow the one that counts.
func TestPointingErrorThatCounts(t *testing.T) {
	repeats := []morph.Path{{{X: 9, Y: 20}, {X: 10, Y: 21}, {X: 11, Y: 19}}, {{X: 4, Y: 4}, {X: 6, Y: 4}}}
	for _, c := range []struct {
		stated  float64
		repeats []morph.Path
		u       float64
		source  morph.PointingSource
		say     string
	}{
		{0, nil, 1, morph.PointingAssumed, "1 px, as assumed"},
		{0, repeats, math.Sqrt(1.5), morph.PointingRepeated, "1.225 px, from 5 marks of 2 points"},
		{2.5, repeats, 2.5, morph.PointingStated, "2.5 px, as stated"},
		{0, repeats[1:], 1, morph.PointingAssumed, "1 px, as assumed"},
	} {
		tooth := inventedTooth(12, 0, 8)
		usual := morph.Read(tooth)
		for i := range tooth.Views {
			tooth.Views[i].Pointing, tooth.Views[i].Repeats = c.stated, c.repeats
		}
		e := tooth.Views[0].PointingError()
		near(t, c.say, e.U, c.u, 1e-12)
		if e.Source != c.source || e.String() != c.say {
			t.Errorf("%s, %q; want %s, %q", e.Source, e, c.source, c.say)
		}
		if (e.Problem != "") != (c.repeats != nil && c.source == morph.PointingAssumed) {
			t.Errorf("%s: problem %q", c.say, e.Problem)
		}
		nearRel(t, "u of CMA, "+c.say, morph.Read(tooth).Get(morph.CMA).U, c.u*usual.Get(morph.CMA).U, 1e-3)
	}
}

func ExamplePointingOf() {
	// The apex marked five times.
	u, err := morph.PointingOf([][]r2.Vec{{{X: 811, Y: 94}, {X: 812, Y: 95}, {X: 811, Y: 96}, {X: 810, Y: 95}, {X: 811, Y: 95}}})
	fmt.Printf("± %.2f px %v\n", u, err)
	// Output: ± 0.82 px <nil>
}
